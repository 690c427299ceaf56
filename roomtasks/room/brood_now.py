"""A brood as it stands and as it will be: size, density, the day to move and why, where to.

Puts together what `brood_life`, `brood_growth`, `density`, `move_day` and
`destination` say, and turns it into tanks wanted by week for `room_full`.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.brood import Brood
from roomtasks.room.brood_growth import SLOWS_AT, Growth, SizeDay, growth_of, size_day
from roomtasks.room.brood_life import Nursery, Step, family, steps_of
from roomtasks.room.density import (
    Load,
    Lodger,
    fit_in,
    length_at_limit,
    line_of,
    load_of,
    lodgers_in,
)
from roomtasks.room.destination import NEEDED_ROLES, Answer, Judging, Mover, destinations
from roomtasks.room.line import LineFacts
from roomtasks.room.move_day import SIZE, MoveDay, move_day, stop_gaps
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.room_full import WEEKS, Want
from roomtasks.room.stock import Group

GROW_OUT = "grow-out"
COUNTED = ("nursery", GROW_OUT)


@dataclass(frozen=True, kw_only=True)
class Part:
    """The fish of a brood in one tank: how full it is, when they must go, and where they could."""

    group: Group
    size_cm: float | None
    load: Load | Problem | None
    full: SizeDay | None
    full_by: str
    move: MoveDay | Problem
    target_cm: float
    answer: Answer | None
    gaps: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BroodNow:
    """A brood on a day. `growth` is a Problem while nothing tells how it grows."""

    brood: Brood
    line: LineFacts
    age_days: int
    growth: Growth | Problem
    size_cm: float | None
    at_move: SizeDay | Problem | None
    at_sale: SizeDay | Problem | None
    next_spawn: date | None
    steps: tuple[Step, ...]
    parts: tuple[Part, ...]
    remarks: tuple[str, ...]


def groups_of(room: Room, brood: Brood) -> tuple[Group, ...]:
    """The groups with fish of a brood, its own and those split off."""
    if not brood.group:
        return ()
    codes = family(room.groups, brood.group)
    return tuple(group for group in room.groups if group.code in codes and group.count)


def sizes_on(room: Room, day: date) -> dict[str, float]:
    """The middle length of each group of an open brood on a day, by its growth or last sample."""
    found: dict[str, float] = {}
    for brood in room.broods:
        if brood.closed is not None:
            continue
        growth = growth_of(brood, line_of(room, brood.line), room.samples)
        size: float | Problem | None = None
        if isinstance(growth, Growth):
            size = growth.size_cm(day)
        else:
            own = [s for s in room.samples if s.brood == brood.code]
            size = max(own, key=lambda s: s.day).middle_cm if own else None
        if isinstance(size, float) and size > 0:
            found.update({group.code: size for group in groups_of(room, brood)})
    return found


def leaving_sizes(room: Room, lengths: Mapping[str, float]) -> dict[str, float]:
    """The length each group will have when it leaves its next tank: of sale for young ones."""
    found = {}
    for group in room.groups:
        line = line_of(room, group.line)
        size = lengths.get(group.code)
        if group.stage != "adult":
            found[group.code] = max(size or 0.0, line.sale_cm)
        elif size is not None or line.adult_cm is not None:
            found[group.code] = size if size is not None else line.adult_cm or 0.0
    return found


def next_spawn(room: Room, brood: Brood, line: LineFacts) -> date | None:
    """The day its parents are expected to spawn again, by their newest spawn."""
    if not brood.parents or line.spawns_again_days is None:
        return None
    spawns = [b.spawned for b in room.broods if b.parents == brood.parents]
    return max(spawns) + timedelta(days=line.spawns_again_days)


def brood_now(
    judging: Judging, nursery: Nursery, reserved: Iterable[str] = ()
) -> BroodNow:  # fmt: skip
    """A brood on the day of the judging."""
    room, today, brood, line = judging.room, judging.today, nursery.brood, nursery.line
    growth = growth_of(brood, line, nursery.samples)
    size: float | None = None
    at_move: SizeDay | Problem | None = None
    at_sale: SizeDay | Problem | None = None
    if isinstance(growth, Growth):
        found = growth.size_cm(today)
        size = None if isinstance(found, Problem) else found
        at_move = size_day(growth, line.move_cm, today)
        at_sale = size_day(growth, line.sale_cm, today)
    spawns = next_spawn(room, brood, line)
    taken = tuple(reserved)
    parts = tuple(
        _part(judging, nursery, group, growth, size, spawns, taken)
        for group in groups_of(room, brood)
    )
    return BroodNow(
        brood=brood, line=line, age_days=(today - brood.spawned).days, growth=growth, size_cm=size,
        at_move=at_move, at_sale=at_sale, next_spawn=spawns,
        steps=steps_of(nursery, judging.at, today), parts=parts,
        remarks=tuple(_remarks(nursery, growth, today, parts)),
    )  # fmt: skip


def _remarks(
    nursery: Nursery, growth: Growth | Problem, today: date, parts: Iterable[Part]
) -> Iterable[str]:
    if isinstance(growth, Growth) and growth.stale(today):
        yield "the samples are stale: measure again"
    for part in parts:
        if isinstance(part.load, Load) and part.load.share > SLOWS_AT:
            yield (
                f"{part.group.tank} is at {100 * part.load.share:.0f} % of its limit: growth "
                "slows, and the forecast with it"
            )
    if nursery.brood.celsius is not None and not nursery.samples:
        yield f"raised at {nursery.brood.celsius:g} C: days run slower when cooler"


def _part(
    judging: Judging, nursery: Nursery, group: Group, growth: Growth | Problem,
    size: float | None, spawns: date | None, reserved: tuple[str, ...],
) -> Part:  # fmt: skip
    room, line, today = judging.room, nursery.line, judging.today
    here = room.tank[group.tank]
    target = line.move_cm if here.role in NEEDED_ROLES else line.sale_cm
    others = lodgers_in(room, group.tank, judging.lengths, without=[group.code])
    own = Lodger(group=group.code, line=line, count=group.count, length_cm=size)
    met = length_at_limit(room, group.tank, line, group.count, others, judging.at)
    full = None
    if isinstance(growth, Growth) and not isinstance(met, Problem):
        found = size_day(growth, met[0], today)
        full = None if isinstance(found, Problem) else found
    reach = size_day(growth, target, today) if isinstance(growth, Growth) else None
    parents_here = nursery.brood.parents in {g.code for g in room.groups_in(group.tank)}
    when = move_day(
        size=reach.day if isinstance(reach, SizeDay) else None, size_cm=target,
        density=full.day if full is not None else None,
        density_cm=0.0 if isinstance(met, Problem) else met[0],
        limit="" if isinstance(met, Problem) else met[1], needed=nursery.brood.needed_by,
        spawn=spawns if parents_here else None, today=today,
    )  # fmt: skip
    mover = Mover(now=own, leaving_cm=max(size or 0.0, line.sale_cm), from_tank=group.tank)
    goes = here.role in NEEDED_ROLES or (isinstance(when, MoveDay) and when.cause != SIZE)
    answer = destinations(judging, mover, reserved) if goes else None
    gaps: tuple[str, ...] = ()
    if answer is not None and isinstance(when, MoveDay):
        fits = fit_in(room, group.tank, line, target, others, judging.at)
        ready = when.day if answer.whole or answer.split else None
        gaps = stop_gaps(
            when, ready, group.count, None if isinstance(fits, Problem) else fits.heads
        )
    return Part(
        group=group, size_cm=size, load=load_of(room, group.tank, [*others, own], judging.at),
        full=full, full_by="" if isinstance(met, Problem) else met[1], move=when, target_cm=target,
        answer=answer, gaps=gaps,
    )  # fmt: skip


# --- tanks wanted by week ------------------------------------------------------------


def tanks_there(room: Room, broods: Iterable[BroodNow]) -> dict[str, int]:
    """Tanks of each kind that are free, or hold only fish of the broods that are followed."""
    own = {part.group.code for now in broods for part in now.parts}
    made_over = {r.tank for r in room.rededications if r.ended is None}
    found: dict[str, int] = {}
    for tank in room.tanks:
        if tank.role not in COUNTED or tank.code in made_over:
            continue
        others = bool(room.young_in(tank.code)) or any(
            group.code not in own for group in room.groups_in(tank.code)
        )
        found[tank.role] = found.get(tank.role, 0) + (not others)
    return found


def wants_of(
    judging: Judging, broods: Iterable[BroodNow], weeks: int = WEEKS
) -> tuple[tuple[Want, ...], tuple[str, ...]]:
    """Tanks that broods will want, and what could not be told.

    In its tank until the day to move, then in grow-out until the size of sale; in the tank
    of its parents it takes none that others could have.
    A brood to come takes as many days as the newest of its line, from spawn to move.
    """
    known = tuple(broods)
    horizon = judging.today + timedelta(days=7 * weeks)
    wants: list[Want] = []
    untold: list[str] = []
    for now in known:
        for part in now.parts:
            wants += _wants_of_part(judging, now, part, horizon)
            if not isinstance(now.at_sale, SizeDay):
                untold.append(f"{now.brood.code}: no growth is known, so it stays in its tanks")
        wants += _to_come(judging, now, horizon)
    return tuple(wants), tuple(dict.fromkeys(untold))


def _wants_of_part(
    judging: Judging, now: BroodNow, part: Part, horizon: date
) -> list[Want]:  # fmt: skip
    room, today = judging.room, judging.today
    role = room.tank[part.group.tank].role
    sale = now.at_sale.day if isinstance(now.at_sale, SizeDay) else horizon
    sellable = now.size_cm is not None and now.size_cm >= now.line.move_cm
    leaves = max(part.move.day, today) if isinstance(part.move, MoveDay) else horizon
    if role not in NEEDED_ROLES and leaves >= sale:  # they stay until they are sold
        leaves = max(sale, today + timedelta(days=1))
    found = []
    if role in COUNTED and leaves > today:
        here = Want(brood=now.brood.code, kind=role, first=today, until=leaves, tanks=1,
                    can_sell=sellable and role == GROW_OUT, tank=part.group.tank)  # fmt: skip
        found.append(here)
    if leaves < sale:
        found.append(
            Want(brood=now.brood.code, kind=GROW_OUT, first=leaves, until=sale,
                 tanks=_tanks_for(judging, now.line, part.group.count), can_sell=sellable)
        )  # fmt: skip
    return found


def _tanks_for(judging: Judging, line: LineFacts, count: int) -> int:
    """How many grow-out tanks so many fish take at the size of sale, by the middle one of them."""
    room = judging.room
    holds = []
    for tank in room.tanks:
        if tank.role == GROW_OUT:
            fit = fit_in(room, tank.code, line, line.sale_cm, (), judging.at)
            if not isinstance(fit, Problem):
                holds.append(fit.heads)
    if not holds:
        return 1
    middle = sorted(holds)[len(holds) // 2]
    return max(1, math.ceil(count / max(1, middle)))


def _to_come(judging: Judging, now: BroodNow, horizon: date) -> list[Want]:
    """Broods expected of the same parents, as many fish and as fast as this one."""
    gap = now.line.spawns_again_days
    newest = max(
        (b.spawned for b in judging.room.broods if b.parents == now.brood.parents), default=None
    )
    if now.next_spawn is None or not gap or now.brood.spawned != newest:
        return []
    if not isinstance(now.at_move, SizeDay) or not isinstance(now.at_sale, SizeDay):
        return []
    to_move = timedelta(days=math.ceil(now.at_move.age_days))
    to_sale = timedelta(days=math.ceil(now.at_sale.age_days))
    count = sum(part.group.count for part in now.parts) or (now.brood.counted or 0)
    tanks = _tanks_for(judging, now.line, count)
    found = []
    spawned = max(now.next_spawn, judging.today)
    while spawned + to_move < horizon:
        found.append(
            Want(brood=f"{now.brood.parents} {spawned.isoformat()}", kind=GROW_OUT, tanks=tanks,
                 first=spawned + to_move, until=spawned + to_sale, pair=now.brood.parents,
                 expected=True)
        )  # fmt: skip
        spawned += timedelta(days=gap)
    return found


def judged_at(at: datetime, room: Room, celsius: Mapping[str, float],
              to_strip: frozenset[str]) -> Judging:  # fmt: skip
    """The room ready to be judged, lengths of its groups worked out for the day."""
    lengths = sizes_on(room, room.day_at(at))
    return Judging(room=room, at=at, celsius=celsius, to_strip=to_strip, lengths=lengths)
