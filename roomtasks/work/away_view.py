"""Days away and the return, from one look at the store, and the acts that keep them."""

from datetime import date, datetime, timedelta

from roomtasks.room.ahead_nitrate import NitrateScene
from roomtasks.room.away_back import Back, BackScene, back, kept_days, span_back
from roomtasks.room.away_plan import AwayPlan, away_plan, joined
from roomtasks.room.due import all_due
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.scope import pasts_wanted
from roomtasks.room.setup import Away
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.water_marks import LOOK_BACK


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
            return Problem("days away", f"{day_words(last)} is before {day_words(first)}",
                           "give the first day, then the last")  # fmt: skip
        if last < it.today:
            return Problem("days away", f"{day_words(last)} is past", "give days to come")
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
            return Problem("days away", f"none of them holds {day_words(first)}",
                           "nothing was changed", "no-change")  # fmt: skip
        it.writer.remove("away", [span.first])
        return f"not away {day_words(span.first)} to {day_words(span.last)} after all"

    return doing(store, now, who, "home", do)


def back_view(store: Store, now: datetime) -> Back | Problem:
    """What to do on the return from days away; nothing is stored."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        scene = _back_scene(store, room, now)
    return scene if isinstance(scene, Problem) else back(scene)


def _back_scene(store: Store, room: Room, now: datetime) -> BackScene | Problem:
    """All that the return is looked at with. Refuses where no days away are just over."""
    today = room.day_at(now)
    span = span_back(room, today)
    if isinstance(span, Problem):
        return span
    pasts = read.pasts(store, pasts_wanted(room, now, None))
    dues = all_due(room, pasts, now)
    changes = read.water_marks(store, today - LOOK_BACK)
    water = NitrateScene(
        room=room, now=now, readings=Readings.of(read.newest_readings(store, until=today)),
        changes=tuple(mark for mark in changes if mark.day <= today),
    )  # fmt: skip
    days = (span.last - span.first).days + 1
    marks = [m for n in range(days) for m in read.marks_on(store, span.first + timedelta(days=n))]
    times = read.times(store, [(due.job.code, due.target) for due in dues])
    return BackScene(water=water, dues=dues, pasts=pasts, marks=tuple(marks), times=times)


def catch_up(store: Store, now: datetime, who: str) -> Told | Problem:
    """Keep the plan of the return, in one act.

    What is overdue and not for today is put off to its day; the further parts of
    missed changes become jobs of one day. The first part stands in the plan of
    the water on its day.
    """

    def do(it: Doing) -> str | Problem:
        scene = _back_scene(it.writer.store, it.room, it.now)
        if isinstance(scene, Problem):
            return scene
        found = back(scene)
        if isinstance(found, Problem):
            return found
        days = kept_days(found, it.today)
        moved = [d for d in scene.dues if d.id in days and not _put_off_so(d, days[d.id], found)]
        for due in moved:
            _put_off(it, due, days[due.id])
        parts = [job for job in found.parts if it.room.job.get(job.code) != job]
        for job in parts:
            it.writer.put("jobs", job)
        return _kept_words(len(moved), len(parts), found)

    return doing(store, now, who, "catch-up", do)


def _put_off_so(due: Due, day: date, found: Back) -> bool:
    """Whether it is put off to that day already, or to any day after the plan as it should be."""
    if due.put_off_to is None:
        return False
    return due.put_off_to == day or min(due.put_off_to, day) > found.plan.last


def _put_off(it: Doing, due: Due, day: date) -> None:
    it.writer.put(
        "marks",
        Mark(
            id=it.writer.next_id("marks"), act=it.writer.id, job=due.job.code, target=due.target,
            slot=due.slot.day, outcome="put-off", day=it.today, at=it.now, who=it.who, until=day,
            note="catching up after days away",
        ),
    )  # fmt: skip


def _kept_words(moved: int, parts: int, found: Back) -> str:
    words = f"catching up: {moved} jobs put off to their days"
    if parts:
        words += f", {parts} further parts of changes entered"
    last = max((job.day for job in (*found.late, *found.of_parts)), default=None)
    return words + (f", the last on {day_words(last)}" if last is not None else "")
