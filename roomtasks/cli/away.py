"""`away`: what days away do to the work; `keep-away`, `home`: enter them, take them out.

`back` and `catch-up`, the return, are said in `cli.back`.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from roomtasks.cli.ahead_json import job_document
from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, told
from roomtasks.cli.back import BACK_MORE, CATCH_UP_MORE, run_back, run_catch_up
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name, text
from roomtasks.cli.words import day as day_word
from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.away_plan import AwayPlan, Moved
from roomtasks.room.naming import job_at, jobs_at, place_of
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.work.away_view import away_view, keep_away, stay_home


def _span_words(parser: Parser) -> None:
    add = parser.add_argument
    add("first", type=day_word, metavar="FROM", help="the first day away")
    add("last", type=day_word, metavar="TO", help="the last day away, included")
    add("--stand-in", type=name, default=None, metavar="WHO", help="who stands in")


def _away(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        found = away_view(scene.store, scene.now, args.first, args.last, args.stand_in or "")
        if isinstance(found, Problem):
            return found
        _, plan = found
        names = {person.code: person.name for person in scene.room.people}
        return Answer(away_document(plan), lambda page: _write(page, plan, names))

    return in_room(asked, do)


def away_document(plan: AwayPlan) -> Document:
    """What a span away does, as JSON."""
    return {
        "from": day(plan.first), "to": day(plan.last), "stand_in": plan.stand_in or None,
        "before": [_moved(moved) for moved in plan.before],
        "can_wait": [_moved(moved) for moved in plan.wait],
        "stand_in_days": [
            {
                "day": day(planned.day), "minutes": figure(planned.stand_in_minutes, 3),
                "minutes_known": "computed",
                "jobs": [job_document(job) for job in plan.on(planned.day)],
            }
            for planned in plan.ahead.days
            if plan.first <= planned.day <= plan.last
        ],
        "no_place": [_moved(moved) for moved in plan.no_place],
        "nobody": [{"id": note.about, "text": note.text} for note in plan.nobody],
        "notes": [
            {"about": note.about, "text": note.text, "sort": note.sort, "rule": note.rule or None}
            for note in plan.notes
        ],
    }  # fmt: skip


def _moved(moved: Moved) -> Document:
    return {**job_document(moved.job), "why": moved.why}


def _write(page: Page, plan: AwayPlan, names: Mapping[str, str]) -> None:
    page.line(f"Away {day_words(plan.first)} to {day_words(plan.last)} {plan.last.year}",
              style="head")  # fmt: skip
    for note in plan.notes:
        page.line(note.text, hang=4, style="held" if note.sort == "warned" else "quiet")
    page.head("Before")
    _by_day(page, plan.before)
    page.head("Can wait")
    _by_day(page, plan.wait)
    who = names.get(plan.stand_in, plan.stand_in) or "nobody is named"
    page.head(f"The stand-in ({who})")
    if not plan.stand_in_jobs:
        page.line("No job is marked for a stand-in.", indent=2)
    for planned in plan.ahead.days:
        theirs = plan.on(planned.day)
        if theirs:
            page.line(f"{day_words(planned.day)}, {planned.stand_in_minutes:.0f} min: "
                      f"{'; '.join(grouped(theirs))}", indent=2, hang=2)  # fmt: skip
    page.head("No place: decide now")
    for note in plan.nobody:
        place = place_of(note.about)
        page.line(f"{place}: {note.text}" if place else note.text, indent=2, hang=2, style="late")
    if not (plan.no_place or plan.nobody):
        page.line("Nothing.", indent=2)
    for moved in plan.no_place:
        page.line(f"{job_at(moved.job.name, moved.job.target)}: {moved.why}", indent=2, hang=2,
                  style="late")  # fmt: skip


def _by_day(page: Page, moved: Iterable[Moved]) -> None:
    days: dict[str, list[PlannedJob]] = defaultdict(list)
    for each in moved:
        days[day_words(each.job.day)].append(each.job)
    if not days:
        page.line("Nothing.", indent=2)
    for words, jobs in days.items():
        page.line(f"{words}: {'; '.join(grouped(jobs))}", indent=2, hang=2)


def grouped(jobs: Iterable[PlannedJob]) -> list[str]:
    """Jobs of one name together, with their places."""
    places: dict[str, list[str]] = defaultdict(list)
    for job in jobs:
        places[job.name].append(job.target)
    return [jobs_at(title, where, " ") for title, where in places.items()]


def _keep_words(parser: Parser) -> None:
    _span_words(parser)
    parser.add_argument("--note", type=text, default=None, help="a note")


def _home_words(parser: Parser) -> None:
    parser.add_argument("day", type=day_word, metavar="DATE", help="any of the days")


def _keep(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: keep_away(
            scene.store,
            scene.now,
            scene.who,
            args.first,
            args.last,
            args.stand_in or "",
            args.note or "",
        ),
    )


def _home(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(asked, lambda scene: stay_home(scene.store, scene.now, scene.who, args.day))


COMMANDS = {
    "away": Command(
        _away, _span_words,
        "What to do before, what can wait, what the stand-in may do, and what has no place. "
        "Nothing is stored; 'keep-away' enters the days.",
    ),
    "back": Command(run_back, more=BACK_MORE),
    "catch-up": Command(run_catch_up, more=CATCH_UP_MORE, writes=True),
    "keep-away": Command(_keep, _keep_words, writes=True),
    "home": Command(_home, _home_words, writes=True),
}  # fmt: skip
