"""Lots kept apart, courses and watches as JSON."""

from roomtasks.cli.asked import Document, day, figure
from roomtasks.room.course_days import NO_ADVICE, CourseDay
from roomtasks.room.problem import Problem
from roomtasks.room.release import Line
from roomtasks.room.stay_clock import Candidate
from roomtasks.work.stay_view import FishView, RunNow, StayView, WatchView


def fish_document(view: FishView) -> Document:
    """The whole of `fish`; days are room days, litres and grams as the label's unit says."""
    return {
        "today": day(view.today),
        "stays": [_stay(stay) for stay in view.stays],
        "courses": [_run(run) for run in view.runs],
        "watches": [_watch(row) for row in view.watches],
    }


def _stay(stay: StayView) -> Document:
    now = stay.now
    return {
        "stay": now.stay.code, "tank": now.stay.tank, "groups": list(stay.groups),
        "count": stay.heads, "since": day(now.stay.since), "came": day(now.stay.first_day),
        "day": now.day, "days": now.days, "release_on": day(now.release_on),
        "release_on_known": "computed", "release_on_from": now.set_by.why,
        "set_by": _date(now.set_by), "dates": [_date(item) for item in now.candidates],
        "unlooked_days": [day(item) for item in now.unlooked],
        "no_clear_days": [day(item) for item in now.no_clear],
        "under_medicine": now.under_medicine, "look_twice_until": day(now.look_twice_until),
        "warnings": list(now.warnings), "next_act": stay.next_act,
        "release": [_line(line) for line in stay.lines],
    }  # fmt: skip


def _date(item: Candidate) -> Document:
    return {"cause": item.cause, "date": day(item.day), "why": item.why}


def _line(line: Line) -> Document:
    return {
        "number": line.number, "line": line.code, "words": line.words, "state": line.state,
        "evidence": line.evidence, "may_confirm": line.may_tick,
    }  # fmt: skip


def _run(run: RunNow) -> Document:
    return {
        "run": run.run.code, "course": run.course.code, "name": run.course.name,
        "tank": run.run.tank, "since": day(run.run.since), "day": run.number,
        "last_day": day(run.last), "last_day_number": (run.last - run.run.since).days,
        "today": _today(run.today), "missed_doses": [day(item) for item in run.missed],
        "caution": f"{run.course.caution} {NO_ADVICE}".strip(),
    }  # fmt: skip


def _today(found: CourseDay | Problem) -> Document:
    if isinstance(found, Problem):
        return {"words": [], "dose": None, "problem": found.sentence()}
    dose = found.dose
    return {
        "words": list(found.words),
        "dose": None if dose is None else {
            "product": dose.product, "amount": figure(dose.amount.value),
            "unit": dose.amount.unit, "amount_known": dose.amount.known,
            "amount_from": dose.amount.formula, "why": dose.why,
        },
        "problem": None,
    }  # fmt: skip


def _watch(row: WatchView) -> Document:
    return {
        "tank": row.tank, "state": row.state, "since": day(row.since), "reason": row.reason or None,
        "clear_on": day(row.clear_on), "clear_on_known": "computed", "clear_on_from": row.why,
        "unlooked_days": [day(item) for item in row.unlooked], "next_act": row.next_act,
    }  # fmt: skip
