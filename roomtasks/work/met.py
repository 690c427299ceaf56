"""Who met whom, from one look at the store, and the watch that follows from it.

Moves noted before transfers were kept are read out of their events, so that
old history counts too.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.day import day_start
from roomtasks.room.job import Hold
from roomtasks.room.journal import Event, Mark
from roomtasks.room.met import History, Reached, could_have_come_from, lots_in, reached_from
from roomtasks.room.naming import day_words, many
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.room.stock import Condition
from roomtasks.room.transfer import Contact, Transfer
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing

LOOK_BACK = timedelta(days=30)
_MOVED = re.compile(r"(\S+) from (\S+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class MetView:
    """What a question of who met whom found, and what lives in the reached tanks now."""

    tank: str
    first: date
    last: date
    back: bool
    reached: Reached
    lots: tuple[str, ...]


def met_view(
    store: Store, now: datetime, tank: str, first: date | None = None, last: date | None = None,
    *, back: bool = False,
) -> MetView | Problem:  # fmt: skip
    """Every tank that met one tank in a span of room days, 30 days to today where none is given."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        history = history_of(store, room)
    return _view(room, history, now, tank, first, last, back=back)


def _view(
    room: Room, history: History, now: datetime, tank: str, first: date | None,
    last: date | None, *, back: bool,
) -> MetView | Problem:  # fmt: skip
    today = room.day_at(now)
    if tank not in room.tank:
        return Problem(tank, "there is no such tank", "'roomtasks racks' shows them")
    last = min(last or today, today)
    first = first or last - LOOK_BACK
    if first > last:
        return Problem("from", f"{day_words(first)} is after {day_words(last)}",
                       "give a first day that is not after the last, nor ahead")  # fmt: skip
    begin = day_start(first, room.zone, room.day_starts)
    end = min(now, day_start(last + timedelta(days=1), room.zone, room.day_starts))
    find = could_have_come_from if back else reached_from
    found = find(history, tank, begin, max(begin, end))
    lots = lots_in(found, {group.code: group.tank for group in room.groups if group.count})
    return MetView(tank=tank, first=first, last=last, back=back, reached=found, lots=lots)


def history_of(store: Store, room: Room) -> History:
    """All that could carry anything from water to water."""
    transfers = read.rows(store, SHEET["transfers"])
    known = {transfer.act for transfer in transfers}
    strips = [job.code for job in room.jobs if job.kind == "strip"]
    marks: list[Mark] = []
    for job in strips:
        marks += read.rows(store, SHEET["marks"], "WHERE \"job\" = ? AND \"outcome\" = 'done'",
                           (job,))  # fmt: skip
    return History(
        turns=room.valves,
        transfers=[*_of_events(room.events, known), *transfers],
        contacts=room.contacts,
        stripped=[(mark.target, mark.at) for mark in marks if mark.target in room.tank],
    )


def _of_events(events: Iterable[Event], known: set[int | None]) -> list[Transfer]:
    found = []
    for event in events:
        match = _MOVED.fullmatch(event.note) if event.event == "moved" else None
        if match is None or event.act in known or event.at is None:
            continue
        found.append(
            Transfer(
                id=event.id, act=event.act, group=match[1], from_tank=match[2],
                to_tank=event.target, count=event.count or 0, how="moved", day=event.day,
                at=event.at,
            )
        )  # fmt: skip
    return found


def watch_all(
    store: Store, now: datetime, who: str, tank: str, reason: str, first: date | None = None,
    last: date | None = None,
) -> Told | Problem:  # fmt: skip
    """Set every tank that was reached under watch, and hold moves and sales from them; one act."""

    def do(it: Doing) -> str | Problem:
        if not reason.strip():
            return Problem("reason", "it is blank", "say what was seen")
        seen = _view(it.room, history_of(it.writer.store, it.room), it.now, tank, first, last,
                     back=False)  # fmt: skip
        if isinstance(seen, Problem):
            return seen
        places = sorted({met.tank for met in seen.reached.tanks})
        for place in places:
            condition = it.room.condition_of(place, it.today)
            if condition is None or condition.state == "clean":
                it.writer.put(
                    "conditions",
                    Condition(tank=place, since=it.today, state="watch",
                              reason=f"met {tank}: {reason}"),
                )  # fmt: skip
            it.writer.put(
                "holds",
                Hold(code=f"met-{it.writer.id}-{place}"[:32], target=place, kinds="move",
                     cause="keeper", reason=f"met {tank}: {reason}", since=it.today),
            )  # fmt: skip
        return (f"{many(len(places), 'tank')} that met {tank} under watch, moves and sales from "
                f"there held: {', '.join(places)} ({reason})")  # fmt: skip

    return doing(store, now, who, "watch-met", do)


def contact(
    store: Store, now: datetime, who: str, from_tank: str, to_tank: str, by: str
) -> Told | Problem:
    """Note that gear or hands went from one tank to another without cleaning between."""

    def do(it: Doing) -> str | Problem:
        for code in (from_tank, to_tank):
            if code not in it.room.tank:
                return Problem(code, "there is no such tank", "'roomtasks racks' shows them")
        if from_tank == to_tank:
            return Problem(to_tank, "both are the same tank", "name two tanks")
        it.writer.put(
            "contacts",
            Contact(
                id=it.writer.next_id("contacts"), act=it.writer.id, from_tank=from_tank,
                to_tank=to_tank, by=by, day=it.today, at=it.now, who=it.who,
            ),
        )  # fmt: skip
        return f"{by} went from {from_tank} to {to_tank} uncleaned"

    return doing(store, now, who, "contact", do)
