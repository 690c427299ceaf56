"""The page of days away that are only asked about: before, can wait, stand-in, no place."""

import textwrap
from collections import defaultdict
from collections.abc import Iterable, Iterator

from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.away_plan import AwayPlan, Moved
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.weeks_words import person, together
from roomtasks.tui.widgets.lines_view import Row

LINE = tuple[str, str]


def away_title(plan: AwayPlan) -> str:
    return f"Away {day_words(plan.first)} to {day_words(plan.last)}: only asked, nothing is kept"


def keep_words(plan: AwayPlan, room: Room) -> str:
    """What a yes would keep."""
    who = f"; {person(room, plan.stand_in)} stands in" if plan.stand_in else ""
    none = len(plan.no_place) + len(plan.nobody)
    left = f"; {none} with no place" if none else ""
    return f"Keep away {day_words(plan.first)} to {day_words(plan.last)}{who}{left}?"


def away_rows(plan: AwayPlan, room: Room, signs: Signs, width: int) -> list[Row]:
    """All of it, what needs deciding first."""
    return [row for text, weight in _lines(plan, room, signs) for row in _rows(text, weight, width)]


def page_rows(lines: Iterable[str], width: int) -> list[Row]:
    """Lines of a page, those at the edge as heads."""
    return [
        row for text in lines for row in _rows(text, "" if text.startswith(" ") else "head", width)
    ]


def _rows(text: str, weight: str, width: int) -> list[Row]:
    indent = len(text) - len(text.lstrip())
    wrapped = textwrap.wrap(
        clean(text), max(10, width - 1), subsequent_indent=" " * (indent + 2)
    )  # fmt: skip
    return [Row(line, weight) for line in wrapped]


def _lines(plan: AwayPlan, room: Room, signs: Signs) -> Iterator[LINE]:
    yield f"No place: decide now ({len(plan.no_place) + len(plan.nobody)})", "head"
    for note in plan.nobody:
        yield f"  {signs.late} {note.about}: {note.text}", "late"
    for why, jobs in _by_why(plan.no_place).items():
        yield f"  {signs.late} {'; '.join(together(jobs))}: {why}", "late"
    yield from _nothing((*plan.no_place, *plan.nobody))
    yield f"Before ({len(plan.before)})", "head"
    yield from _by_day(plan.before)
    yield f"Can wait ({len(plan.wait)})", "head"
    yield from _by_day(plan.wait)
    who = person(room, plan.stand_in) if plan.stand_in else "nobody is named"
    yield f"The stand-in: {who} ({len(plan.stand_in_jobs)})", "head"
    yield from _theirs(plan)
    if plan.notes:
        yield "To mind", "head"
    for note in plan.notes:
        yield f"  {note.text}", "late" if note.sort == "warned" else ""


def _nothing(found: Iterable[object]) -> Iterator[LINE]:
    if not list(found):
        yield "  Nothing.", "quiet"


def _by_why(moved: Iterable[Moved]) -> dict[str, list[PlannedJob]]:
    found: dict[str, list[PlannedJob]] = defaultdict(list)
    for one in moved:
        found[one.why].append(one.job)
    return found


def _by_day(moved: tuple[Moved, ...]) -> Iterator[LINE]:
    days: dict[str, list[PlannedJob]] = defaultdict(list)
    for one in sorted(moved, key=lambda one: one.job.day):
        days[day_words(one.job.day)].append(one.job)
    for words, jobs in days.items():
        yield f"  {words}: {'; '.join(together(jobs))}", ""
    yield from _nothing(moved)


def _theirs(plan: AwayPlan) -> Iterator[LINE]:
    """The stand-in's days; days that are alike are told once."""
    alike: dict[str, list[str]] = defaultdict(list)
    for day in plan.ahead.days:
        jobs = plan.on(day.day)
        if jobs:
            text = f"{day.stand_in_minutes:.0f} min: {'; '.join(together(jobs))}"
            alike[text].append(day_words(day.day))
    for text, days in alike.items():
        yield f"  {', '.join(days)}, {text}", ""
    if not plan.stand_in_jobs:
        yield "  No job is marked for a stand-in.", "quiet"
