"""`back`: what was missed on days away and how to catch up; `catch-up`: keep that plan."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from roomtasks.cli.ahead_json import ahead_document, job_document
from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, instant, told
from roomtasks.cli.page import Page
from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.away_back import Back, Missed
from roomtasks.room.away_catch_up import CaughtUp
from roomtasks.room.job import Job
from roomtasks.room.journal import Mark
from roomtasks.room.naming import OUTCOME_WORDS, happened, job_said, job_there, jobs_at
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.work.away_view import back_view, catch_up

BACK_MORE = (
    "On the last day away or after it. Nothing is stored; 'catch-up' keeps the plan. A missed "
    "change is never made up for by its sum: the share that does is worked out, and above the "
    "largest change of a day it is done in parts, a day apart."
)
CATCH_UP_MORE = (
    "What is overdue is put off to its day of the plan and further parts of changes become jobs "
    "of one day, all in one act."
)


def run_back(asked: Asked) -> Answer | Problem:
    """What was missed, and the way to catch up."""

    def do(scene: Scene) -> Answer | Problem:
        found = back_view(scene.store, scene.now)
        if isinstance(found, Problem):
            return found
        room = scene.room
        return Answer(back_document(found), lambda page: write_back(page, found, room))

    return in_room(asked, do)


def run_catch_up(asked: Asked) -> Answer | Problem:
    """Keep the plan of the return."""
    return told(asked, lambda scene: catch_up(scene.store, scene.now, scene.who))


# --- as text ---------------------------------------------------------------------------


def write_back(page: Page, found: Back, room: Room) -> None:
    """The return as text: what comes first, what was missed, and each day of catching up."""
    named = {person.code: person.name for person in room.people}
    who = named.get(found.stand_in, found.stand_in) or "nobody"
    page.line(f"Back from {day_words(found.first)} to {day_words(found.last)} {found.last.year}, "
              f"{who} stood in", style="head")  # fmt: skip
    page.head("First")
    for step in found.before:
        page.line(step.text, indent=2, hang=2)
    page.head("Missed")
    _write_missed(page, found.missed)
    page.head("Done meanwhile")
    _write_ticked(page, found, room.job)
    page.head("Changes that were missed")
    _lines(page, [note.text for note in found.notes])
    page.head("Catching up")
    _write_days(page, found)
    page.line("'roomtasks catch-up' keeps these days", style="quiet")


def _lines(page: Page, texts: Sequence[str]) -> None:
    for text in texts or ["Nothing."]:
        page.line(text, indent=2, hang=2)


def _write_missed(page: Page, missed: Sequence[Missed]) -> None:
    open_now = [one for one in missed if not one.lapsed]
    by_late: dict[int, list[Missed]] = defaultdict(list)
    for one in open_now:
        by_late[one.days_late].append(one)
    for late, ones in sorted(by_late.items(), reverse=True):
        lead = f"{late} day{'' if late == 1 else 's'} late" if late else "still in time"
        page.line(f"{lead}: {'; '.join(_places(ones))}", indent=2, hang=2,
                  style="late" if late else "")  # fmt: skip
    gone = [one for one in missed if one.lapsed]
    counts: dict[str, int] = defaultdict(int)
    for one in gone:
        counts[job_there(one.name, one.target)] += 1
    if counts:
        text = "; ".join(f"{what} {many}x" for what, many in counts.items())
        page.line(f"gone by, not made up for one by one: {text}", indent=2, hang=2, style="quiet")
    if not missed:
        page.line("Nothing.", indent=2)


def _places(ones: Iterable[Missed | PlannedJob]) -> list[str]:
    places: dict[str, list[str]] = defaultdict(list)
    for one in ones:
        places[one.name].append(one.target)
    return [jobs_at(name, where, " ") for name, where in places.items()]


def _write_ticked(page: Page, found: Back, jobs: Mapping[str, Job]) -> None:
    days: dict[str, list[Mark]] = defaultdict(list)
    for mark in found.ticked:
        days[f"{day_words(mark.day)}, {mark.who or 'no name'}"].append(mark)
    _lines(page, [f"{lead}: {_marked(marks, jobs)}" for lead, marks in days.items()])
    for event in found.noted:
        note = f" ({event.note})" if event.note else ""
        what = f"{happened(event.event, event.count)}{note}"
        page.line(f"{day_words(event.day)}: {event.target} {what}", indent=2, hang=2)


def _marked(marks: Sequence[Mark], jobs: Mapping[str, Job]) -> str:
    counts: dict[str, int] = defaultdict(int)
    for mark in marks:
        name = job_said(jobs, mark.job)
        counts[name if mark.outcome == "done" else f"{name}: {OUTCOME_WORDS[mark.outcome]}"] += 1
    return ", ".join(f"{job} {many}x" if many > 1 else job for job, many in counts.items())


def _write_days(page: Page, found: Back) -> None:
    late: dict[str, list[PlannedJob]] = defaultdict(list)
    for job in (*found.late, *found.of_parts):
        late[day_words(job.day)].append(job)
    for planned in found.plan.days:
        jobs = late.get(day_words(planned.day))
        if not jobs:
            continue
        over = f", {planned.over_minutes:.0f} over" if planned.over_minutes else ""
        page.line(f"{day_words(planned.day)}, {planned.minutes:.0f} of "
                  f"{planned.minutes_there_are:.0f} min{over}: {'; '.join(_places(jobs))}",
                  indent=2, hang=2)  # fmt: skip
    if found.later:
        page.line(f"after {day_words(found.plan.last)}, for another goes first: "
                  f"{'; '.join(_places(found.later))}", indent=2, hang=2)  # fmt: skip
    if not late:
        page.line("Nothing is overdue.", indent=2)


# --- as JSON ---------------------------------------------------------------------------


def back_document(found: Back) -> Document:
    """The return as JSON."""
    return {
        "from": day(found.first), "to": day(found.last), "stand_in": found.stand_in or None,
        "first": [
            {"sort": step.sort, "about": step.about, "text": step.text} for step in found.before
        ],
        "missed": [_missed(one) for one in found.missed],
        "ticked": [_ticked(mark) for mark in found.ticked],
        "noted": [
            {"day": day(event.day), "event": event.event, "target": event.target,
             "count": event.count, "note": event.note or None}
            for event in found.noted
        ],
        "changes": [_change(one) for one in found.changes],
        "parts": [
            {"id": f"{job.code}@{job.where.split()[-1]}", "name": job.name,
             "day": job.rule.split()[-1], "fraction": figure(job.fraction)}
            for job in found.parts
        ],
        "overdue": [job_document(job) for job in found.late],
        "later": [one.id for one in found.later],
        "notes": [{"about": note.about, "text": note.text} for note in found.notes],
        "plan": ahead_document(found.plan),
    }  # fmt: skip


def _missed(one: Missed) -> Document:
    return {
        "id": one.id, "name": one.name, "target": one.target, "tank": one.tank or None,
        "fell_due": day(one.fell_due), "closes": day(one.closes), "days_late": one.days_late,
        "lapsed": one.lapsed, "stand_in": one.stand_in,
    }  # fmt: skip


def _ticked(mark: Mark) -> Document:
    return {
        "id": f"{mark.job}@{mark.target}", "outcome": mark.outcome, "day": day(mark.day),
        "at": instant(mark.at), "who": mark.who or None,
    }  # fmt: skip


def _change(one: CaughtUp) -> Document:
    return {
        "id": one.due.id, "body": one.plan.body, "missed": one.missed, "by": one.plan.by,
        "one_fraction": figure(one.plan.one_fraction.value), "one_fraction_known": "computed",
        "one_fraction_from": one.plan.one_fraction.formula, "changes": one.changes,
        "each_fraction": figure(one.fraction), "each_litres": figure(one.litres, 3),
        "largest_change": figure(one.plan.limit), "go_on_as_usual": one.often,
    }  # fmt: skip
