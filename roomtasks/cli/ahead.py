"""`ahead`: the coming days, levelled; `pin`, `unpin`: a day the keeper keeps.

The plan is made in `room.plan_ahead`; here it is asked and said.
"""

import argparse
from collections import defaultdict
from collections.abc import Callable, Mapping

from roomtasks.cli.ahead_compare import replay_document, write_replay
from roomtasks.cli.ahead_json import ahead_document
from roomtasks.cli.asked import Answer, Asked, Scene, in_room, told
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway, pair, what_if
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob, WhatIfAhead
from roomtasks.room.ahead_words import least_over
from roomtasks.room.column import shown
from roomtasks.room.naming import job_at, job_there, jobs_at, many, place_of, tenths
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.work.ahead_view import ahead_view, pin, replay_view, unpin

DAYS = 14
EXAMPLE = "sunday=-60 or V1=80"


def _number(given: str) -> float:
    """The number of a pair; what cannot be one is said with the pair."""
    try:
        value = float(given)
    except ValueError:
        value = float("nan")
    if not -100_000 <= value <= 100_000:
        raise argparse.ArgumentTypeError(
            f"“{shown(given)}” makes no such pair; write it as {EXAMPLE}"
        )
    return value


_AMOUNT = pair(_number, EXAMPLE)
_WHAT_IFS: tuple[tuple[str, Callable[[str], object], str, str], ...] = (
    ("--minutes", _AMOUNT, "DAY=N", "so many minutes more or less on a weekday, or on a date"),
    ("--litres", _AMOUNT, "V1=N", "a reservoir makes so many litres more a day"),
    ("--without", name, "TANK", "a tank less"),
    ("--more", _AMOUNT, "TANK=N", "so many tanks more, like this one"),
    ("--second", name, "V1", "another reservoir like this one"),
    ("--helper", _AMOUNT, "DAY=N", "so many minutes of help on a weekday"),
)


def _words(parser: Parser) -> None:
    add = parser.add_argument
    add("--days", type=whole(0, 100_000), default=DAYS, metavar="N", help="how many days, 7 to 56")
    for option, reader, metavar, said in _WHAT_IFS:
        what_if(parser, option, reader, metavar, f"what if: {said}")
    add("--compare", action="store_true", help="today's plan and the asked one side by side")
    add("--all", action="store_true", help="also the daily round of each day")


def _what_if(args: argparse.Namespace) -> WhatIfAhead:
    return WhatIfAhead(
        minutes=tuple(args.minutes), litres=tuple(args.litres), without=tuple(args.without),
        more=tuple(args.more), second=tuple(args.second), helper=tuple(args.helper),
    )  # fmt: skip


def _ahead(asked: Asked) -> Answer | Problem:
    args = asked.args
    asks = _what_if(args)

    def do(scene: Scene) -> Answer | Problem:
        if args.compare:
            both = replay_view(scene.store, scene.now, args.days, asks)
            if isinstance(both, Problem):
                return both
            return Answer(replay_document(both), lambda page: write_replay(page, both))
        found = ahead_view(scene.store, scene.now, args.days, asks)
        if isinstance(found, Problem):
            return found
        names = {person.code: person.name for person in scene.room.people}
        return Answer(ahead_document(found), lambda page: _write(page, found, args.all, names))

    return in_room(asked, do)


def _write(page: Page, ahead: Ahead, everything: bool, names: Mapping[str, str]) -> None:
    page.line(f"{day_words(ahead.first)} to {day_words(ahead.last)} {ahead.last.year}",
              style="head")  # fmt: skip
    page.line(_busiest(ahead))
    if ahead.over_minutes:
        page.line(f"{tenths(ahead.over_minutes)} minutes over what there are; "
                  f"{least_over(ahead)}", hang=4)  # fmt: skip
    for use in ahead.litres:
        most = f" of {use.most_litres:.0f}" if use.most_litres is not None else ""
        page.line(f"{use.reservoir}: {use.litres:.0f}{most} L on its heaviest day")
    for note in ahead.cannot:
        if note.rule == "minutes":
            continue  # each day says its own
        lead = "cannot: " if note.sort == "refused" else "no place found: "
        lead = "late: " if note.rule == "late" else lead
        place = place_of(note.about)
        page.line(f"{lead}{place}: {note.text}" if place else lead + note.text, hang=4,
                  style="late")  # fmt: skip
    for one in ahead.helps:
        page.line("would help: " + one.text, hang=4)
    for note in ahead.notes:
        page.line(note.text, hang=4, style="quiet")
    for planned in ahead.days:
        _write_day(page, planned, everything, names)


def _busiest(ahead: Ahead) -> str:
    text = f"busiest day {tenths(ahead.busiest_minutes)} minutes"
    if ahead.proven:
        return text + ", and no plan can have less"
    return f"{text}; it cannot be below {tenths(ahead.bound_minutes)}"


def _write_day(
    page: Page, planned: PlannedDay, everything: bool, names: Mapping[str, str]
) -> None:  # fmt: skip
    there_are = tenths(planned.minutes_there_are)
    head = f"{day_words(planned.day)}: {tenths(planned.minutes)} of {there_are} min"
    if planned.away:
        who = names.get(planned.stand_in, planned.stand_in) or "nobody"
        head = f"{day_words(planned.day)}: away, {who} {planned.stand_in_minutes:.0f} min"
    litres = [f"{use.reservoir} {use.litres:.0f} L" for use in planned.litres if use.litres]
    page.head(", ".join([head, *litres]))
    if planned.over_minutes:
        page.line(f"{tenths(planned.over_minutes)} min over", style="late")
    shown = [job for job in planned.jobs if everything or not _daily(job)]
    for text in _grouped(shown, names):
        page.line(text, indent=2, hang=2)
    hidden = len(planned.jobs) - len(shown)
    if hidden:
        page.line(f"and the daily round, {many(hidden, 'job')}", indent=2, style="quiet")
    for job in planned.overdue:
        page.line(f"overdue: {job_at(job.name, job.target)}", indent=2, style="late")
    for job in planned.jobs:
        if job.waits:
            page.line(f"{job_there(job.name, job.target)} waits for {job.waits}", indent=2, hang=4,
                      style="held")  # fmt: skip


def _daily(job: PlannedJob) -> bool:
    return job.opens == job.closes == job.slot and job.kind in (
        "look", "feed", "feed-fry", "check", "start",
    )  # fmt: skip


def _grouped(jobs: list[PlannedJob], names: Mapping[str, str]) -> list[str]:
    """Jobs of one name on one line, with their places."""
    places: dict[tuple[str, str], list[str]] = defaultdict(list)
    for job in jobs:
        mark = "*" if job.pinned else "!" if job.late_days else ""
        if job.target + mark not in places[job.name, job.by]:
            places[job.name, job.by].append(job.target + mark)
    return [
        jobs_at(name, where) + (f" ({names.get(by, by)})" if by != "keeper" else "")
        for (name, by), where in places.items()
    ]


def _pin_words(parser: Parser) -> None:
    parser.add_argument("job", type=name, metavar="JOB@PLACE", help="the job and its place")
    parser.add_argument("day", type=day_word, metavar="DATE", help="the day it is kept on")
    anyway(parser)


def _unpin_words(parser: Parser) -> None:
    parser.add_argument("job", type=name, metavar="JOB@PLACE", help="the job and its place")


def _pin(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: pin(scene.store, scene.now, scene.who, args.job, args.day, args.anyway),
    )


def _unpin(asked: Asked) -> Answer | Problem:
    return told(
        asked, lambda scene: unpin(scene.store, scene.now, scene.who, asked.args.job)
    )  # fmt: skip


COMMANDS = {
    "ahead": Command(
        _ahead, _words,
        "The plan is advice: due dates and windows stay the truth. * kept on its day by you, "
        "! past its window.",
    ),
    "pin": Command(_pin, _pin_words, writes=True),
    "unpin": Command(_unpin, _unpin_words, writes=True),
}  # fmt: skip
