"""Back from days away: what was missed, how to catch up, and the act that keeps it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.away_back import Back, Missed, span_back
from roomtasks.room.naming import happened, job_there, jobs_at
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.tui.side_acts import Act
from roomtasks.tui.weeks_words import person
from roomtasks.work.away_view import back_view, catch_up

CATCH_UP = "catch up"


def back_acts(room: Room, now: datetime) -> tuple[Act, ...]:
    """Catch up, where days away are just over."""
    span = span_back(room, room.day_at(now))
    if isinstance(span, Problem):
        return ()
    words = f"Keep this plan of catching up after {day_words(span.first)} to {day_words(span.last)}"
    return (Act(label=CATCH_UP, make=lambda _, __: catch_up, sure=words,
                first=lambda _: lambda store, now: _foreseen(store, now, room)),)  # fmt: skip


def _foreseen(store: Store, now: datetime, room: Room) -> tuple[str, ...] | Problem:
    found = back_view(store, now)
    return found if isinstance(found, Problem) else tuple(back_lines(found, room))


def back_title(lines: Sequence[str]) -> str:
    return f"{lines[0]}: nothing is kept yet"


def back_lines(found: Back, room: Room) -> Iterator[str]:
    """Heads at the edge, what is under them set in."""
    yield f"Back from {day_words(found.first)} to {day_words(found.last)}"
    yield "First"
    yield from _set_in(step.text for step in found.before)
    yield "Catching up, day by day"
    yield from _set_in(_days(found))
    yield "Changes that were missed"
    yield from _set_in(note.text for note in found.notes)
    yield "Missed"
    yield from _set_in(_missed(found.missed))
    who = person(room, found.stand_in)
    yield f"Done meanwhile, {who} stood in"
    yield from _set_in(_done(found))


def _set_in(texts: Iterable[str]) -> Iterator[str]:
    lines = [f"  {text}" for text in texts]
    yield from lines or ["  Nothing."]


def _places(ones: Iterable[Missed | PlannedJob]) -> str:
    places: dict[str, list[str]] = defaultdict(list)
    for one in ones:
        places[one.name].append(one.target)
    return "; ".join(jobs_at(name, where) for name, where in places.items())


def _days(found: Back) -> Iterator[str]:
    jobs = (*found.late, *found.of_parts)
    for planned in found.plan.days:
        theirs = [job for job in jobs if job.day == planned.day]
        if theirs:
            over = f", {planned.over_minutes:.0f} over" if planned.over_minutes >= 0.5 else ""
            yield (f"{day_words(planned.day)}, {planned.minutes:.0f} of "
                   f"{planned.minutes_there_are:.0f} min{over}: {_places(theirs)}")  # fmt: skip
    if found.later:
        yield f"After {day_words(found.plan.last)}: {_places(found.later)}"


def _missed(missed: Sequence[Missed]) -> Iterator[str]:
    by_late: dict[int, list[Missed]] = defaultdict(list)
    for one in missed:
        if not one.lapsed:
            by_late[one.days_late].append(one)
    for late, ones in sorted(by_late.items(), reverse=True):
        lead = f"{late} day{'' if late == 1 else 's'} late" if late else "Still in time"
        yield f"{lead}: {_places(ones)}"
    gone: dict[str, int] = defaultdict(int)
    for one in missed:
        if one.lapsed:
            gone[job_there(one.name, one.target)] += 1
    if gone:
        listed = "; ".join(f"{what} {many}x" for what, many in gone.items())
        yield f"Gone by, not made up for one by one: {listed}"


def _done(found: Back) -> Iterator[str]:
    counts: dict[tuple[str, str], int] = defaultdict(int)
    for mark in found.ticked:
        counts[day_words(mark.day), mark.who or "no name"] += 1
    for (day, who), many in counts.items():
        yield f"{day}, {who}: {many} job{'' if many == 1 else 's'}"
    for event in found.noted:
        note = f" ({event.note})" if event.note else ""
        yield f"{day_words(event.day)}: {event.target} {happened(event.event, event.count)}{note}"
