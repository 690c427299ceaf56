"""Rules between rows for the work: jobs, pairs of jobs, holds, counters, days away.

Does not live here: which jobs wait for one another in a ring (`check_rings`).
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from roomtasks.room.column import FIRST_YEAR, LAST_YEAR, Column, from_text, shown
from roomtasks.room.fault import Facts, Fault, no_place, unknown
from roomtasks.room.job import Between, Hold, Job, parse_effects, parse_party, parse_window
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import window_fits
from roomtasks.room.setup import Away
from roomtasks.room.slots import rule_of, trigger_of, window_of
from roomtasks.room.trigger import AfterEvent, Calendar, Counter, Every, Follows, Once
from roomtasks.room.where import Where, parse_where

_where = lru_cache(maxsize=4096)(parse_where)
AFTER_EVENTS = ("apart", "not-same-day")
_A_CODE = Column("code", "a code")
_SHEET_OF_THING = {
    "system": "systems",
    "reservoir": "reservoirs",
    "rack": "racks",
    "tank": "tanks",
    "filter": "filters",
}
_SHEET_OF_SCOPE = {"rack": "racks", "system": "systems", "cut-off": "systems", "tank": "tanks"}


def job_faults(facts: Facts) -> Iterator[Fault]:
    """Every job has a rule, a place, a window and effects that can be read and exist."""
    for row, job in facts.rows("jobs"):
        yield from _rule_faults(facts, row, job)
        yield from _place_faults(facts, row, job)
        effects = parse_effects(job.effects)
        if isinstance(effects, Problem):
            yield Fault("jobs", row, "effects", effects.what, effects.remedy)
        if job.reservoir and job.reservoir not in facts.codes("reservoirs"):
            yield unknown(facts, "jobs", row, "reservoir", job.reservoir, "reservoirs")


def _rule_faults(facts: Facts, row: int, job: Job) -> Iterator[Fault]:
    trigger = trigger_of(job)
    window = parse_window(job.window)
    if isinstance(window, Problem):
        yield Fault("jobs", row, "window", window.what, window.remedy)
    if isinstance(trigger, Problem):
        yield Fault("jobs", row, "rule", trigger.what, trigger.remedy)
    elif isinstance(trigger, Calendar):
        rule = rule_of(trigger.rule, job.starts)
        if isinstance(rule, Problem):
            yield Fault("jobs", row, "rule", rule.what, rule.remedy)
    elif isinstance(trigger, Once) and not FIRST_YEAR <= trigger.day.year <= LAST_YEAR:
        yield Fault("jobs", row, "rule", f"{trigger.day} is out of reach",
                    f"use the years {FIRST_YEAR} to {LAST_YEAR}")  # fmt: skip
    elif isinstance(trigger, AfterEvent | Counter):
        yield from _code_faults(row, trigger)
    elif isinstance(trigger, Follows) and trigger.job not in facts.codes("jobs"):
        yield unknown(facts, "jobs", row, "rule", trigger.job, "jobs")
    elif isinstance(trigger, Every) and not isinstance(window, Problem):
        used = window_of(job, trigger, window)
        misfit = window_fits(trigger.interval, used.early, used.late)
        if misfit is not None:
            yield Fault("jobs", row, "window", misfit.what, misfit.remedy)


def _code_faults(row: int, trigger: AfterEvent | Counter) -> Iterator[Fault]:
    """An event or a counter whose name no event or counter can have never comes."""
    sort, name = (
        ("event", trigger.event) if isinstance(trigger, AfterEvent) else
        ("counter", trigger.counter)
    )  # fmt: skip
    misfit = from_text(_A_CODE, name)
    if isinstance(misfit, Problem):
        yield Fault("jobs", row, "rule", f"no {sort} can be named so: {misfit.what}", misfit.remedy)


def _place_faults(facts: Facts, row: int, job: Job) -> Iterator[Fault]:
    where = _where(job.where)
    if isinstance(where, Problem):
        yield Fault("jobs", row, "where", where.what, where.remedy)
        return
    sheet = _sheet_of(where)
    for name in dict.fromkeys(where.names if sheet else ()):
        if name not in facts.codes(sheet):
            yield unknown(facts, "jobs", row, "where", name, sheet)
        if where.names.count(name) > 1:
            yield Fault("jobs", row, "where", f"{name} is named twice", "name each once")


def _sheet_of(where: Where) -> str:
    """The sheet on which the names of a place stand, "" where it names nothing."""
    if where.scope == "named":
        return _SHEET_OF_THING.get(where.thing, "")
    return _SHEET_OF_SCOPE.get(where.scope, "")


def between_faults(facts: Facts) -> Iterator[Fault]:
    """Both sides of a pair can be read, and their jobs exist."""
    for row, pair in facts.rows("between"):
        for column in ("first", "second"):
            yield from _party_faults(facts, row, pair, column)


def _party_faults(facts: Facts, row: int, pair: Between, column: str) -> Iterator[Fault]:
    party = parse_party(getattr(pair, column))
    if isinstance(party, Problem):
        yield Fault("between", row, column, party.what, party.remedy)
    elif party.sort == "job" and party.name not in facts.codes("jobs"):
        yield unknown(facts, "between", row, column, party.name, "jobs")
    elif party.sort == "event" and column == "second":
        yield Fault(
            "between", row, column, f"the event “{shown(party.name)}” cannot be moved to another "
            "day", "write the event first, and the job or kind second",
        )  # fmt: skip
    elif party.sort == "event" and pair.relation not in AFTER_EVENTS:
        yield Fault(
            "between", row, column, f"“{pair.relation}” ties jobs, and this is an event",
            f"use {' or '.join(AFTER_EVENTS)} with an event",
        )  # fmt: skip


def hold_faults(facts: Facts) -> Iterator[Fault]:
    """A hold is at a place of the room, on kinds that exist, and ends after it begins."""
    for row, hold in facts.rows("holds"):
        if hold.target not in facts.places:
            yield no_place(facts, "holds", row, "target", hold.target)
        if hold.until is not None and hold.until < hold.since:
            yield Fault(
                "holds", row, "until", f"it ends on {hold.until}, before it begins on {hold.since}",
                "correct one of the two days, or leave until blank",
            )  # fmt: skip
        yield from _kind_faults(facts, row, hold)


def _kind_faults(facts: Facts, row: int, hold: Hold) -> Iterator[Fault]:
    words = hold.kinds.split()
    if len(words) == 2 and words[0] == "job":
        if words[1] not in facts.codes("jobs"):
            yield unknown(facts, "holds", row, "kinds", words[1], "jobs")
        return
    wrong = [word for word in words if word != "all" and word not in KINDS]
    if wrong or not words:
        named = f"“{shown(wrong[0])}” is no kind of job" if wrong else "it names no kind of job"
        yield Fault(
            "holds", row, "kinds", named, f"use all, job CODE, or kinds among {', '.join(KINDS)}"
        )


def counter_faults(facts: Facts) -> Iterator[Fault]:
    """A counter never runs backwards."""
    readings = sorted(facts.rows("counters"), key=lambda item: (item[1].counter, item[1].day))
    for (_, before), (row, after) in pairwise(readings):
        if before.counter == after.counter and after.value < before.value:
            yield Fault(
                "counters", row, "value",
                f"{after.counter} goes down, from {before.value:g} on {before.day} to "
                f"{after.value:g} on {after.day}",
                "correct one of the two; give a new counter a code of its own",
            )  # fmt: skip


def away_faults(facts: Facts) -> Iterator[Fault]:
    """Days away run forward and do not overlap; who stands in is known, if any people are."""
    people = {name for _, person in facts.rows("people") for name in (person.code, person.name)}
    newest: Away | None = None
    for row, span in sorted(facts.rows("away"), key=lambda item: (item[1].first, item[0])):
        if span.stand_in and people and span.stand_in not in people:
            yield Fault(
                "away", row, "stand_in", f"there is nobody “{shown(span.stand_in)}” among people",
                "add them to people, or give the code or name of somebody there", ("people",),
            )  # fmt: skip
        if span.last < span.first:
            yield Fault(
                "away", row, "last", f"the last day, {span.last}, is before the first, "
                f"{span.first}", "correct one of the two days",
            )  # fmt: skip
            continue
        if newest is not None and newest.first < span.first <= newest.last:
            yield _overlap(row, span, newest)
        if newest is None or span.last > newest.last:
            newest = span


def _overlap(row: int, span: Away, newest: Away) -> Fault:
    return Fault(
        "away", row, "first",
        f"it begins on {span.first}, inside the days away from {newest.first} to {newest.last}",
        "write them as one, or part them",
    )  # fmt: skip
