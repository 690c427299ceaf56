"""Broods, moves and the coming weeks as they stand, from one look at the store."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from roomtasks.room.brood import Brood
from roomtasks.room.brood_life import lineage
from roomtasks.room.brood_now import (
    BroodNow,
    brood_now,
    judged_at,
    leaving_sizes,
    tanks_there,
    wants_of,
)
from roomtasks.room.chain_room import reserved_by
from roomtasks.room.density import lodger_of
from roomtasks.room.destination import Answer, Judging, Mover, destinations
from roomtasks.room.due import Waters, one_due
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.rededicate import MakeOver, make_over
from roomtasks.room.room import Room
from roomtasks.room.room_full import WEEKS, Want, Week, WhatIf, sentence, weeks_of
from roomtasks.room.slots import Scene
from roomtasks.room.targets import tasks
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.brood_acts import nursery_of

__all__ = ["BroodsView", "brood_view", "judging_of", "leaving_sizes", "places_of"]
READ_DAYS = 14


@dataclass(frozen=True, kw_only=True)
class BroodsView:
    """Open broods, moves to come, tanks being made over, and the coming weeks."""

    today: date
    now: datetime
    broods: tuple[BroodNow, ...]
    closed: tuple[Brood, ...]
    origins: dict[str, tuple[str, ...]]
    moves: tuple[PlannedMove, ...]
    make_overs: tuple[MakeOver, ...]
    weeks: tuple[Week, ...]
    wants: tuple[Want, ...]
    untold: tuple[str, ...]
    says: str


def judging_of(store: Store, room: Room, now: datetime) -> Judging:
    """The room with temperatures as read in the last two weeks, and tanks due to be stripped."""
    today = room.day_at(now)
    celsius: dict[str, float] = {}
    for reading in read.newest_readings(store, days=READ_DAYS, each=1, until=today):
        if reading.what == "temperature" and reading.target in room.tank:
            celsius[reading.target] = reading.value
    return judged_at(now, room, celsius, _to_strip(store, room, now))


def _to_strip(store: Store, room: Room, now: datetime) -> frozenset[str]:
    strips = [(job, t) for job, t in tasks(room, now) if job.kind == "strip" and t in room.tank]
    pasts = read.pasts(store, [(job.code, tank) for job, tank in strips])
    scene, waters = Scene(room, room.day_at(now), now, pasts), Waters(room, now)
    found = set()
    for job, tank in strips:
        due = one_due(scene, job, tank, waters)
        if due is not None and due.placed <= scene.today and not room.lived_in(tank):
            found.add(tank)
    return frozenset(found)


def brood_view(
    store: Store, now: datetime, what_if: WhatIf | None = None, weeks: int = WEEKS
) -> BroodsView | Problem:  # fmt: skip
    """Everything about broods and moves at an instant."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        judging = judging_of(store, room, now)
    fault = _what_if_fault(room, what_if)
    if fault is not None:
        return fault
    reserved = reserved_by(room.planned_moves)
    broods = tuple(_open_broods(judging, reserved))
    wants, untold = wants_of(judging, broods, weeks)
    found = weeks_of(wants, tanks_there(room, broods), judging.today, weeks, what_if)
    groups = {part.group.code for now_ in broods for part in now_.parts}
    return BroodsView(
        today=judging.today, now=now, broods=broods,
        closed=tuple(brood for brood in room.broods if brood.closed is not None),
        origins={code: lineage(room.groups, room.broods, code) for code in sorted(groups)},
        moves=tuple(sorted(room.planned_moves, key=lambda move: (move.chain, move.n))),
        make_overs=tuple(
            make_over(made, room.gates, judging.today)
            for made in room.rededications if made.ended is None
        ),
        weeks=found, wants=wants, untold=untold, says=sentence(found, judging.today),
    )  # fmt: skip


def places_of(
    store: Store, now: datetime, group: str, count: int | None = None,
    leaving_cm: float | None = None,
) -> tuple[Mover, Answer] | Problem:  # fmt: skip
    """Every tank judged for a group, or so many of it."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        judging = judging_of(store, room, now)
    found = next((one for one in room.groups if one.code == group), None)
    if found is None or not found.count:
        return Problem(group, "there is no such group with fish",
                       "'roomtasks tank CODE' shows who lives there")  # fmt: skip
    if count is not None and count > found.count:
        return Problem(group, f"there are {found.count}, not {count}", "count again",
                       "counts-add-up")  # fmt: skip
    if leaving_cm is not None and leaving_cm <= 0:
        return Problem("leaving", f"{leaving_cm:g} cm is no length", "give a length above 0")
    lodger = lodger_of(room, group, judging.lengths)
    leaving = leaving_sizes(room, judging.lengths).get(group)
    mover = Mover(
        now=replace(lodger, count=count or found.count), from_tank=found.tank,
        leaving_cm=leaving if leaving_cm is None else leaving_cm,
    )  # fmt: skip
    return mover, destinations(judging, mover, reserved_by(room.planned_moves))


def _open_broods(judging: Judging, reserved: Iterable[str]) -> Iterable[BroodNow]:
    taken = tuple(reserved)
    for brood in judging.room.broods:
        if brood.closed is None:
            nursery = nursery_of(judging.room, brood)
            if not isinstance(nursery, Problem):
                yield brood_now(judging, nursery, taken)


def _what_if_fault(room: Room, what_if: WhatIf | None) -> Problem | None:
    if what_if is None:
        return None
    pairs = {brood.parents for brood in room.broods}
    for pair in sorted(what_if.rests):
        if pair not in pairs:
            return Problem(pair, "no brood is of these parents", "name a pair that has spawned")
    broods = {brood.code for brood in room.broods if brood.closed is None}
    for code, week in (what_if.sold_in or {}).items():
        if code not in broods:
            return Problem(code, "there is no such open brood", "'roomtasks broods' shows them")
        if not 1 <= week <= WEEKS:
            return Problem(code, f"week {week} is not among the {WEEKS}", f"give 1 to {WEEKS}")
    return None
