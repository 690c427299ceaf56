"""The draws of a day: what each occurrence takes at each place, and what is refused.

A change takes a fraction of a tank's own water; at a system that is one draw
a tank, and what is topped off goes to its sump. Litres as they go in at the
place; `from_reservoir` adds the share lost in hoses and spills.
Does not live here: which occurrences fall on the day (`ahead`), the sums of
draws and who comes first (`demand`).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from math import prod

from roomtasks.room.ahead import on_day
from roomtasks.room.amount import COMPUTED, SET, Amount, Input
from roomtasks.room.body import CUT_OFF, Body, bodies
from roomtasks.room.day import day_start
from roomtasks.room.due import Waters, one_due
from roomtasks.room.health import Health
from roomtasks.room.job import Job
from roomtasks.room.kind import KINDS
from roomtasks.room.naming import day_words
from roomtasks.room.near import near, or_words
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import first, share_above_zero
from roomtasks.room.room import Room
from roomtasks.room.slots import Scene
from roomtasks.room.tank import drain_mark_cm, litres_of
from roomtasks.room.walk import order_key
from roomtasks.room.water import catch_up, owed_after_part
from roomtasks.room.water_plan import Draw, Note, WhatIf

CHANGE, TOP_OFF, OTHER = "change", "top-off", "other"
LARGEST_CHANGE = "largest-change"
COURSE, YOUNG, MISSED, BY_DAYS = 1, 2, 4, 5  # 3 needs a forecast: `demand.by_need`
AS_PLANNED = WhatIf()
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Drawn:
    """The draws of a day in the order of the walk, and what must be told of them.

    A draw that is refused stands among them, so that no sum is quietly short;
    its note says that it must not be done so.
    """

    draws: tuple[Draw, ...]
    notes: tuple[Note, ...] = ()

    def at(self, tank: str) -> tuple[Draw, ...]:
        """The draws of one tank."""
        return tuple(draw for draw in self.draws if draw.tank == tank)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What all draws of a day are worked out from."""

    room: Room
    day: date
    now: datetime
    what_if: WhatIf
    body: dict[str, Body]  # by tank, and by system

    @property
    def share(self) -> float:
        return 1.0 if self.what_if.share is None else self.what_if.share


def draws_on(
    room: Room, dues: Sequence[Due], day: date, now: datetime, what_if: WhatIf = AS_PLANNED
) -> Drawn | Problem:
    """Every draw of water on a day, today or ahead, in the order of the walk.

    A change at a system is one draw for each open tank, by its own litres.
    `share` scales every draw, `fraction` sets that of every change that has
    one, `extra` adds a change at a tank. Refuses a day gone by, a share or
    fraction outside 0 to 1, and a tank that does not exist.
    """
    fault = _fault_of(room, day, now, what_if)
    if fault is not None:
        return fault
    by_place = {body.code: body for body in bodies(room, now)}
    by_place |= {tank: body for body in tuple(by_place.values()) for tank in body.tanks}
    asked = _Asked(room, day, now, what_if, by_place)
    present = on_day(room, dues, day, now)
    extra, told = _extra(asked, present.dues)
    ordered = sorted((*present.dues, *extra), key=lambda due: order_key(room, due))
    made = [draw for due in ordered for draw in _draws_of(asked, due)]
    draws = tuple(replace(draw, order=n) for n, draw in enumerate(made))
    notes = (
        *present.notes, *told, *_without_volume(asked, ordered), *too_large(room, draws),
        *_to_the_drain(asked, draws),
    )  # fmt: skip
    return Drawn(draws, notes)


def _fault_of(room: Room, day: date, now: datetime, what_if: WhatIf) -> Problem | None:
    today = room.day_at(now)
    if day < today:
        return Problem("day", f"{day_words(day)} is past", "give today or a later day")
    for tank, fraction in what_if.extra:
        if tank not in room.tank:
            known = near(tank, room.tank)
            return Problem("extra", f"there is no tank “{tank}”",
                           or_words(known) if known else "give a tank of the room")  # fmt: skip
        if (fault := share_above_zero(f"extra {tank}", fraction)) is not None:
            return fault
    return first(
        None if what_if.share is None else share_above_zero("share", what_if.share),
        None if what_if.fraction is None else share_above_zero("fraction", what_if.fraction),
    )


# --- what one occurrence takes ------------------------------------------------------


def _draws_of(asked: _Asked, due: Due) -> Iterator[Draw]:
    room, sort = asked.room, _sort(due.job)
    if due.target in room.system:
        body = asked.body[due.target]
        fraction = _fraction(asked, due)
        if sort == CHANGE and fraction is None and body.tanks_litres:
            fraction = _litres(asked, due) / body.tanks_litres
        if fraction is not None and sort != TOP_OFF:
            tanks = sorted(body.tanks, key=room.path_of)
            yield from (d for tank in tanks if (d := _share_of(asked, due, tank, fraction)))
            return
        yield _litres_at(asked, due, body.code, "", body.litres.value * (fraction or 0.0))
        return
    fraction = _fraction(asked, due)
    if fraction is not None and sort != TOP_OFF:
        draw = _share_of(asked, due, due.tank, fraction) if due.tank else None
        yield from [draw] if draw else []
    else:
        yield _litres_at(asked, due, due.tank or due.target, due.tank, 0.0)


def _sort(job: Job) -> str:
    if job.kind == TOP_OFF:
        return TOP_OFF
    return CHANGE if KINDS[job.kind].water or job.fraction is not None else OTHER


def _fraction(asked: _Asked, due: Due) -> float | None:
    """The fraction still to change of each tank's own water; None where it goes by litres."""
    if due.fraction is None:
        return None
    wanted = due.fraction if due.owed_fraction is None else due.owed_fraction
    if asked.what_if.fraction is not None and not _is_extra(due):
        wanted = owed_after_part(due.part_done, asked.what_if.fraction)
    return wanted * asked.share


def _litres(asked: _Asked, due: Due) -> float:
    return (due.litres or 0.0) * asked.share


def _share_of(asked: _Asked, due: Due, code: str, fraction: float) -> Draw | None:
    """A fraction of a tank's own water; None where its volume is not known, or nothing is owed."""
    tank = asked.room.tank[code]
    litres = litres_of(tank)
    if isinstance(litres, Problem) or fraction <= 0:
        return None
    mark = drain_mark_cm(tank, fraction) if fraction <= 1 else None
    amount = Amount(
        fraction * litres.litres, "L", litres.known, "fraction x the tank's own water",
        (Input("fraction", fraction, ""),
         Input(code, litres.litres, "L", litres.known, litres.source)),
    )  # fmt: skip
    return _draw(
        asked, due, code, code, amount, fraction, None if isinstance(mark, Problem) else mark
    )


def _litres_at(asked: _Asked, due: Due, place: str, tank: str, instead: float) -> Draw:
    """Litres as the job says, at a tank, a system's sump or elsewhere in the room."""
    litres = _litres(asked, due) or instead
    amount = Amount(
        litres, "L", SET if asked.share == 1 else COMPUTED, "litres as the job says",
        (Input(due.job.name, due.job.litres or litres, "L"),
         *([Input("share", asked.share)] if asked.share != 1 else [])),
    )  # fmt: skip
    body = asked.body.get(place)
    fraction = mark = None
    if tank and body is not None and _sort(due.job) != TOP_OFF:
        holds = dict(body.each)[tank]
        fraction = litres / holds if holds else None
        mark = drain_mark_cm(asked.room.tank[tank], fraction) if fraction else None
    return _draw(
        asked, due, place, tank, amount, fraction, None if isinstance(mark, Problem) else mark
    )


def _draw(
    asked: _Asked, due: Due, place: str, tank: str, litres: Amount, fraction: float | None,
    drain_cm: float | None,
) -> Draw:  # fmt: skip
    room, body = asked.room, asked.body.get(place)
    done = due.past.done
    days = (asked.day - done.day).days if done is not None else None
    missed = due.slot.missed + due.past.left_out
    need, reason = _need(asked, tank, missed, days)
    first_recipe = room.recipes[0].code if room.recipes else ""
    own = room.tank[tank].recipe if tank else ""
    return Draw(
        due_id=due.id, name=due.job.name, sort=_sort(due.job), place=place, tank=tank,
        body=body.code if body else "", recipe=own or (body.recipe if body else first_recipe),
        reservoir=due.job.reservoir, litres=litres,
        from_reservoir=room.setup.with_loss(litres.value), fraction=fraction,
        drain_cm=drain_cm, health=room.health_of(tank, asked.day) if tank else due.health,
        missed=missed, part_done=due.part_done, part_that_day=_part_on(due, asked.day),
        days_since=days, need=need, need_reason=reason,
    )  # fmt: skip


def _part_on(due: Due, day: date) -> float:
    """What parts of a change marked on a day come to, by the dilution sum."""
    parts = (m.fraction for m in due.past.since if m.outcome == "partly" and m.day == day)
    return 1.0 - prod(1.0 - part for part in parts if part is not None)


def _need(asked: _Asked, tank: str, missed: int, days: int | None) -> tuple[int, str]:
    room = asked.room
    courses = [lvl.product for lvl in room.levels if lvl.tank == tank and lvl.on(asked.day)]
    if tank and courses:
        return COURSE, f"inside a course of {courses[0]}"
    if tank and room.health_of(tank, asked.day) is Health.FRY:
        return YOUNG, "eggs and fry"
    if tank and room.tank[tank].role == "nursery":
        return YOUNG, "nursery"
    if missed:
        return MISSED, "missed last time" if missed == 1 else f"missed {missed} times"
    if days is None:
        return BY_DAYS, "never done yet"
    return BY_DAYS, f"{days} day{'' if days == 1 else 's'} since it was done"


# --- what is asked besides ------------------------------------------------------------


def _is_extra(due: Due) -> bool:
    return due.job.code == "extra" and due.job.rule.startswith("once ")


def _extra(asked: _Asked, present: Iterable[Due]) -> tuple[list[Due], list[Note]]:
    """Changes asked for at tanks that have none that day, and a note where one has."""
    room, day = asked.room, asked.day
    busy: set[str] = set()
    for due in present:
        if _sort(due.job) == CHANGE:
            tanks = asked.body[due.target].tanks if due.target in room.system else (due.tank,)
            busy.update(tanks)
    made, notes = [], []
    at = day_start(day, room.zone, room.day_starts)
    scene, waters = Scene(room, day, at, {}), Waters(room, asked.now)
    for tank, fraction in dict(asked.what_if.extra).items():
        if tank in busy:
            notes.append(Note(about=tank, text="it has a change that day already; no other is "
                              "added", sort="warned"))  # fmt: skip
            continue
        # An emptied tank rests from changes, not from being stripped.
        kind = "change" if room.lived_in(tank) else "strip"
        job = Job(code="extra", name="Extra change", kind=kind, where=f"tank {tank}",
                  rule=f"once {day.isoformat()}", fraction=fraction)  # fmt: skip
        added = one_due(scene, job, tank, waters)
        made += [added] if added is not None else []
    return made, notes


# --- what must be told ------------------------------------------------------------------


def _without_volume(asked: _Asked, dues: Iterable[Due]) -> Iterator[Note]:
    """A fault for each change whose litres nobody can know."""
    told: set[str] = set()
    for due in dues:
        body = asked.body.get(due.tank or due.target)
        if body is None and due.fraction is not None:
            text = f"{due.job.name} takes a share of {due.target}, which holds no water of its own"
            yield Note(about=due.id, text=text, sort="refused", rule="volume")
        elif body is not None:
            own = {due.tank or tank for tank in body.tanks}
            for tank in own - told:
                litres = litres_of(asked.room.tank[tank])
                if isinstance(litres, Problem):
                    told.add(tank)
                    yield Note(about=tank, text=litres.sentence(), sort="refused", rule="volume")


def too_large(room: Room, draws: Sequence[Draw]) -> Iterator[Note]:
    """A refusal where tanks would have more changed in the day than they bear, once a body."""
    kept: dict[str, float] = defaultdict(lambda: 1.0)
    body_of: dict[str, str] = {}
    for draw in draws:
        if draw.tank and draw.fraction is not None:
            kept[draw.tank] *= (1.0 - min(1.0, draw.fraction)) * (1.0 - draw.part_that_day)
            body_of[draw.tank] = draw.body
    begun = {draw.tank for draw in draws if draw.part_that_day}
    same: dict[tuple[str, float, float], list[str]] = defaultdict(list)
    for tank, left in kept.items():
        limit = room.tank[tank].largest_change or room.setup.largest_change
        if 1.0 - left > limit + _ROUNDING and room.empty_since(tank) is None:
            same[body_of[tank], round(1.0 - left, 6), limit].append(tank)
    for (body, fraction, limit), tanks in same.items():
        about = tanks[0] if len(tanks) == 1 else body
        text = _refusal(room, tanks, fraction, limit, begun=not begun.isdisjoint(tanks))
        yield Note(about=about, text=text, sort="refused", rule=LARGEST_CHANGE)


def _refusal(room: Room, tanks: Sequence[str], fraction: float, limit: float, begun: bool) -> str:
    single = len(tanks) == 1

    def said(share: float) -> str:
        litres = f" ({share * room.tank_litres(tanks[0]):.1f} L)" if single else ""
        return f"{100 * share:.3g} %{litres}"

    where = tanks[0] if single else f"{', '.join(tanks)} each"
    text = f"{where}: {said(fraction)} in one day is more than the largest change, {said(limit)}"
    if begun:
        return f"{text}, with what was changed that day already; do the rest the day after"
    split = catch_up(fraction, 0, limit)
    if isinstance(split, Problem):
        return f"{text}; do {said(limit)} and look again the next day"
    return f"{text}; do {split.changes} of {said(split.each_fraction)}, a day apart"


def _to_the_drain(asked: _Asked, draws: Iterable[Draw]) -> Iterator[Note]:
    for tank in dict.fromkeys(draw.tank for draw in draws if draw.sort == CHANGE and draw.tank):
        body = asked.body[tank]
        if body.sort == CUT_OFF:
            text = f"its valve is shut: the old water goes to waste, never to {body.system}'s sump"
            yield Note(about=tank, text=text, rule="cut-off")
