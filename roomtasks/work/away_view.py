"""Days away, from one look at the store, and the act that keeps them."""

from datetime import date, datetime

from roomtasks.room.away_plan import AwayPlan, away_plan, joined
from roomtasks.room.due import all_due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.scope import pasts_wanted
from roomtasks.room.setup import Away
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing


def away_view(
    store: Store, now: datetime, first: date, last: date, stand_in: str = ""
) -> tuple[Room, AwayPlan] | Problem:
    """The room and what a span away does to its work; nothing is stored."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        pasts = read.pasts(store, pasts_wanted(room, now, None))
    dues = all_due(room, pasts, now)
    code = _person(room, stand_in)
    if isinstance(code, Problem):
        return code
    found = away_plan(room, dues, pasts, now, first, last, code)
    return found if isinstance(found, Problem) else (room, found)


def _person(room: Room, name: str) -> str | Problem:
    if not name:
        stand_ins = [person.code for person in room.people if person.part == "stand-in"]
        return stand_ins[0] if len(stand_ins) == 1 else ""
    match = next((p.code for p in room.people if name.lower() in (p.code, p.name.lower())), None)
    if match is None:
        known = ", ".join(person.code for person in room.people) or "nobody"
        return Problem("stand-in", f"there is nobody “{name[:40]}”", f"people entered: {known}")
    return match


def keep_away(
    store: Store, now: datetime, who: str, first: date, last: date, stand_in: str = "",
    note: str = "",
) -> Told | Problem:  # fmt: skip
    """Enter days away; spans that overlap or meet become one."""

    def do(it: Doing) -> str | Problem:
        if last < first:
            return Problem("days away", f"{last.isoformat()} is before {first.isoformat()}",
                           "give the first day, then the last")  # fmt: skip
        if last < it.today:
            return Problem("days away", f"{last.isoformat()} is past", "give days to come")
        code = _person(it.room, stand_in)
        if isinstance(code, Problem):
            return code
        begin, end, met = joined(it.room.away, first, last)
        for span in met:
            it.writer.remove("away", [span.first])
        kept = code or next((span.stand_in for span in met if span.stand_in), "")
        words = note or next((span.note for span in met if span.note), "")
        it.writer.put("away", Away(first=begin, last=end, stand_in=kept, note=words))
        tail = f", joined with {len(met)} entered before" if met else ""
        return f"away {day_words(begin)} to {day_words(end)}{tail}"

    return doing(store, now, who, "away", do)


def stay_home(store: Store, now: datetime, who: str, first: date) -> Told | Problem:
    """Take the days away that hold this day out again."""

    def do(it: Doing) -> str | Problem:
        span = next((a for a in it.room.away if a.first <= first <= a.last), None)
        if span is None:
            return Problem("days away", f"no days away hold {first.isoformat()}",
                           "nothing was changed", "no-change")  # fmt: skip
        it.writer.remove("away", [span.first])
        return f"not away {day_words(span.first)} to {day_words(span.last)} after all"

    return doing(store, now, who, "home", do)
