"""A what-if as another room: tanks more like one there is, a second reservoir like another.

A tank more stands beside the one it is like and is its copy in everything the
plan of the weeks looks at: sizes, filters, valve, fish, holds, what happened
there and when its jobs were last done. Nothing of it is kept anywhere.
Does not live here: minutes, litres, tanks less and helpers, which need no other
room (`plan_ahead`, `ahead_hands`).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from roomtasks.room.ahead_plan import WhatIfAhead
from roomtasks.room.ahead_water import most_litres_a_day
from roomtasks.room.column import shown
from roomtasks.room.job import Job
from roomtasks.room.kind import KINDS
from roomtasks.room.near import near, or_words
from roomtasks.room.past import Past, Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.tank import Tank
from roomtasks.room.walk import Times
from roomtasks.room.water_plan import Note
from roomtasks.room.where import Where, parse_where

MOST_TANKS, MOST_RESERVOIRS = 50, 9
_LONGEST_STEM = 26
_BY_THE_TANK = ("air",)  # kinds done at a system that take longer with each tank, besides changes
_AT = (
    ("valves", "tank", ""), ("groups", "tank", "code"), ("stays", "tank", "code"),
    ("conditions", "tank", ""), ("stocked", "tank", ""), ("levels", "tank", ""),
    ("holds", "target", "code"), ("events", "target", ""),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfRoom:
    """The room with what is asked in it, and its pasts and recorded minutes.

    `like` names for each new tank, filter and reservoir the one it is like;
    `litres` are what reservoirs make more or less a day, to be asked of the plan.
    """

    room: Room
    pasts: Pasts
    times: Times
    like: Mapping[str, str]
    litres: tuple[tuple[str, float], ...] = ()
    notes: tuple[Note, ...] = ()


def asks_another_room(what_if: WhatIfAhead) -> bool:
    """Whether a what-if is one that needs another room."""
    return bool(what_if.more or what_if.second)


def what_if_room_fault(room: Room, what_if: WhatIfAhead) -> Problem | None:
    """Refuse tanks and reservoirs that are not there, and numbers that cannot be."""
    for name, many in what_if.more:
        if name not in room.tank:
            return _unknown("more", f"there is no tank “{shown(name)}”", name, room.tank)
        if many != int(many) or not 1 <= many <= MOST_TANKS:
            return Problem("more", f"{many:g} is no number of tanks more like {name}",
                           f"give a whole number, 1 to {MOST_TANKS}")  # fmt: skip
    if sum(many for _, many in what_if.more) > MOST_TANKS:
        return Problem("more", f"that is more than {MOST_TANKS} tanks more", "ask for fewer")
    for name in what_if.second:
        if name not in room.reservoir:
            what = f"there is no reservoir “{shown(name)}”"
            return _unknown("second", what, name, room.reservoir)
    if len(what_if.second) > MOST_RESERVOIRS:
        return Problem("second", f"that is more than {MOST_RESERVOIRS} reservoirs more",
                       "ask for fewer")  # fmt: skip
    return None


def _unknown(where: str, what: str, name: str, known: Iterable[str]) -> Problem:
    found = near(name, known)
    return Problem(where, what, or_words(found) if found else "look at what the room has")


def what_if_room(
    room: Room, pasts: Pasts, times: Times, what_if: WhatIfAhead
) -> WhatIfRoom | Problem:
    """The room with the tanks and reservoirs more that are asked for.

    A job done by the rack, a change at a system and its outlets take longer by
    the number of tanks there; litres that a job says itself stay. A second
    reservoir is filled and treated as the first and its litres count with the
    first's. Refuses what `what_if_room_fault` does.
    """
    fault = what_if_room_fault(room, what_if)
    if fault is not None:
        return fault
    found = WhatIfRoom(room=room, pasts=dict(pasts), times=dict(times), like={})
    for name, many in what_if.more:
        for _ in range(int(many)):
            found = _tank_more(found, room.tank[name])
    found = _longer(room, found)
    for name in what_if.second:
        found = _second(found, room.reservoir[name])
    return replace(found, notes=tuple(_told(room, found, what_if)))


# --- a tank more ------------------------------------------------------------------------


def _tank_more(found: WhatIfRoom, tank: Tank) -> WhatIfRoom:
    room = found.room
    new = _free(tank.code, _codes(room))
    beside = [t.place for t in room.tanks if (t.rack, t.shelf) == (tank.rack, tank.shelf)]
    filters = [item for item in room.filters if item.tank == tank.code]
    became = {tank.code: new}
    for n, item in enumerate(filters, start=1):
        became[item.code] = _free(f"{new}-{n}", {*_codes(room), *became.values()}, first="")
    facts: dict[str, Any] = {
        "tanks": (*room.tanks, replace(tank, code=new, place=max(beside) + 1)),
        "filters": (
            *room.filters,
            *(replace(item, code=became[item.code], tank=new) for item in filters),
        ),
        "jobs": tuple(_job_at(job, became, [item.code for item in filters]) for job in room.jobs),
    }
    for sheet, column, code in _AT:
        rows = room.rows(sheet)
        facts[sheet] = (*rows, *_copies(rows, column, code, became))
    return _grown(found, facts, became)


def _codes(room: Room) -> set[str]:
    places = (room.tanks, room.filters, room.systems, room.reservoirs, room.racks)
    return {row.code for rows in places for row in rows}


def _free(stem: str, used: Iterable[str], first: str = ".2") -> str:
    """A code made from another that is not used: D3.2, D3.3 and so on."""
    taken, stem = set(used), stem[:_LONGEST_STEM]
    if not first and stem not in taken:
        return stem
    n = 2
    while f"{stem}.{n}" in taken:
        n += 1
    return f"{stem}.{n}"


def _copies(
    rows: Sequence[Any], column: str, code: str, became: Mapping[str, str]
) -> Iterator[Any]:  # fmt: skip
    """The rows of a sheet that stand at a place, written once more for the place it became."""
    names = {field.name for field in fields(rows[0])} if rows else set()
    used = {getattr(row, code) for row in rows} if code in names else set()
    last = max((row.id for row in rows), default=0) if "id" in names else 0
    for row in rows:
        new = became.get(getattr(row, column))
        if new is None:
            continue
        changed: dict[str, Any] = {column: new}
        if code in names and code:
            changed[code] = _free(getattr(row, code), used)
            used.add(changed[code])
        if "id" in names:
            last += 1
            changed["id"] = last
        yield replace(row, **changed)


def _job_at(job: Job, became: Mapping[str, str], filters: Sequence[str]) -> Job:
    """The job with the new places where its place names the old one; other places hold them."""
    where = parse_where(job.where)
    if isinstance(where, Problem):
        return job
    names = _named(where, became, filters)
    new = [became[name] for name in names if name in became]
    return replace(job, where=f"{where.thing} {' '.join([*names, *new])}") if new else job


def _named(where: Where, became: Mapping[str, str], filters: Sequence[str]) -> tuple[str, ...]:
    if where.thing == "filter" and where.scope == "tank" and where.names[0] in became:
        return tuple(filters)
    return where.names if where.scope == "named" else ()


def _grown(found: WhatIfRoom, facts: Mapping[str, Any], became: Mapping[str, str]) -> WhatIfRoom:
    """With these facts, and the pasts and recorded minutes of the new places."""
    pasts, times = dict(found.pasts), dict(found.times)
    for (job, target), past in found.pasts.items():
        if target in became:
            pasts[job, became[target]] = _past_at(past, became[target])
    for (job, target), minutes in found.times.items():
        if target in became:
            times[job, became[target]] = minutes
    return replace(
        found, room=replace(found.room, **facts), pasts=pasts, times=times,
        like={**found.like, **{new: old for old, new in became.items()}},
    )  # fmt: skip


def _past_at(past: Past, target: str) -> Past:
    return replace(
        past,
        closing=replace(past.closing, target=target) if past.closing else None,
        done=replace(past.done, target=target) if past.done else None,
        since=tuple(replace(mark, target=target) for mark in past.since),
    )


# --- jobs that take longer with more tanks ----------------------------------------------


def _longer(before: Room, found: WhatIfRoom) -> WhatIfRoom:
    """With the minutes of jobs done by the rack or the system, by the tanks there now."""
    times = dict(found.times)
    for job, target, share in _shares(before, found.room):
        known = times.get((job.code, target)) or [job.minutes]
        times[job.code, target] = [round(minutes * share, 2) for minutes in known]
    return replace(found, times=times)


def _shares(before: Room, after: Room) -> Iterator[tuple[Job, str, float]]:
    """Each job done by the rack or the system where tanks were added, and how much longer."""
    for job in before.jobs:
        where = parse_where(job.where)
        if isinstance(where, Problem) or where.scope != "named":
            continue
        at_system = KINDS[job.kind].water or job.kind in _BY_THE_TANK
        for target in where.names:
            if where.thing == "rack" or (where.thing == "system" and at_system):
                had, has = _tanks_at(before, target), _tanks_at(after, target)
                if had and has > had:
                    yield job, target, has / had


def _tanks_at(room: Room, place: str) -> int:
    if place in room.system:
        return sum(
            room.valve.turns[tank.code][-1].state == "open"
            and room.valve.turns[tank.code][-1].system == place
            for tank in room.tanks
            if tank.code in room.valve.turns
        )
    return sum(tank.rack == place for tank in room.tanks)


# --- a second reservoir -----------------------------------------------------------------


def _second(found: WhatIfRoom, reservoir: Reservoir) -> WhatIfRoom:
    room = found.room
    new = _free(reservoir.code, _codes(room))
    became = {reservoir.code: new}
    facts: dict[str, Any] = {
        "reservoirs": (*room.reservoirs, replace(reservoir, code=new)),
        "jobs": tuple(_job_at(job, became, ()) for job in room.jobs),
        "holds": (*room.holds, *_copies(room.holds, "target", "code", became)),
    }
    litres = most_litres_a_day(room, reservoir)
    grown = _grown(found, facts, became)
    return replace(grown, litres=(*grown.litres, (reservoir.code, litres), (new, -litres)))


# --- what is told -----------------------------------------------------------------------


def _told(before: Room, found: WhatIfRoom, what_if: WhatIfAhead) -> Iterator[Note]:
    for name in dict.fromkeys(name for name, _ in what_if.more):
        many = sum(int(number) for tank, number in what_if.more if tank == name)
        text = f"{many} tank{'' if many == 1 else 's'} more like {name}, with its fish and jobs"
        yield Note(about=name, text=text, rule="what-if")
        yield from _no_place(before, name, many)
    longer = {f"{job.name} at {target}" for job, target, _ in _shares(before, found.room)}
    if longer:
        text = ("jobs done by the rack or the system take longer by the tanks there; litres that "
                "a job says itself are left as they are")  # fmt: skip
        yield Note(about="minutes", text=text, rule="what-if")
    for name in dict.fromkeys(what_if.second):
        text = (f"another reservoir like {name}, filled and treated as it is; the litres of both "
                f"count as {name}'s")  # fmt: skip
        yield Note(about=name, text=text, rule="what-if")


def _no_place(room: Room, name: str, many: int) -> Iterator[Note]:
    tank = room.tank[name]
    places = next(
        (s.places for s in room.shelves if (s.rack, s.shelf) == (tank.rack, tank.shelf)), None
    )
    stand = sum((t.rack, t.shelf) == (tank.rack, tank.shelf) for t in room.tanks)
    if places is not None and stand + many > places:
        text = (f"shelf {tank.shelf} of rack {tank.rack} has {places} places and {stand} tanks: "
                "where they would stand is not looked at")  # fmt: skip
        yield Note(about=name, text=text, sort="warned", rule="what-if")
