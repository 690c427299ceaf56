"""By which rule a job falls due: one line of text into a value.

Forms, read here and written in the keeper's guide:
every 14 days [keeps-slot ...]; calendar RULE (RFC 5545); once 2027-03-01;
event spawn +3; event moved +1 +2 +3 +7; state empty +1;
state restocked +0..+6 after 7 days; counter carbon-litres 4000;
follows refill 15 min. Days are worked out in `slots`, not here.
"""

import re
from dataclasses import dataclass
from datetime import date

from roomtasks.room.column import LARGEST_NUMBER
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import Interval, Keeps, keeps_fits, parse_interval

STATES = ("empty", "restocked", "valve-shut", "valve-open", "pump-off")
FORMS = (
    "every 14 days", "every 14 days keeps-slot", "calendar FREQ=WEEKLY;BYDAY=MO",
    "once 2027-03-01", "event spawn +3", "state empty +1", "counter pump-hours 4000",
    "follows refill 15 min",
)  # fmt: skip
_HINT = "write it as one of: " + "; ".join(FORMS)
MOST_DAYS = 3660


@dataclass(frozen=True, slots=True)
class Every:
    """So many days, weeks or months after it was last done."""

    interval: Interval
    keeps: Keeps


@dataclass(frozen=True, slots=True)
class Calendar:
    """By an RFC 5545 recurrence rule on room days."""

    rule: str


@dataclass(frozen=True, slots=True)
class Once:
    """One day."""

    day: date


@dataclass(frozen=True, slots=True)
class AfterEvent:
    """Days before or after each event of a name at the target."""

    event: str
    offsets: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class OnState:
    """Days after a state was entered, while it lasts.

    `after_days`: only where the state before it had lasted longer than this.
    """

    state: str
    offsets: tuple[int, ...]
    after_days: int = 0


@dataclass(frozen=True, slots=True)
class Counter:
    """When a counter has run so much further since the job was done."""

    counter: str
    each: float


@dataclass(frozen=True, slots=True)
class Follows:
    """So many minutes after another job was done."""

    job: str
    minutes: int = 0


Trigger = Every | Calendar | Once | AfterEvent | OnState | Counter | Follows


def parse_trigger(text: str) -> Trigger | Problem:
    """Read a job's rule. Calendar rules are checked with their start in `slots`."""
    match text.split():
        case ["every", count, unit, *rest] if len(rest) <= 1:
            return _every(count, unit, rest)
        case ["calendar", rule]:
            return Calendar(rule)
        case ["once", day]:
            return _once(day)
        case ["event", name, *offsets] if offsets:
            days = _offsets(offsets)
            return days if isinstance(days, Problem) else AfterEvent(name, days)
        case ["state", state, *rest] if state in STATES:
            return _state(state, rest)
        case ["counter", name, each] if re.fullmatch(r"\d{1,9}(\.\d+)?", each) and each.isascii():
            if not 0 < float(each) <= LARGEST_NUMBER:
                return Problem("", f"a counter cannot run {each}", "give a number above 0")
            return Counter(name, float(each))
        case ["follows", job]:
            return Follows(job)
        case ["follows", job, minutes, "min"] if re.fullmatch(r"[0-9]{1,4}", minutes):
            return Follows(job, int(minutes))
    if not text.strip():
        return Problem("", "the job has no rule", _HINT)
    return Problem("", f"“{text[:60]}” is no rule", _HINT)


def _every(count: str, unit: str, rest: list[str]) -> Every | Problem:
    interval = parse_interval(f"{count} {unit}")
    if isinstance(interval, Problem):
        return Problem("", interval.what, interval.remedy)
    words = [keeps.value for keeps in Keeps]
    if rest and rest[0] not in words:
        return Problem("", f"“{rest[0][:40]}” is no way to count on", "use " + ", ".join(words))
    keeps = Keeps(rest[0]) if rest else Keeps.FLOATING
    misfit = keeps_fits(keeps, interval)
    return misfit if misfit is not None else Every(interval, keeps)


def _once(text: str) -> Once | Problem:
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return Problem("", f"“{text[:40]}” is no date", "write it as once 2027-03-01")
    try:
        return Once(date.fromisoformat(text))
    except ValueError:
        return Problem("", f"the date {text} does not exist", "look at the day and the month")


def _state(state: str, rest: list[str]) -> OnState | Problem:
    after = 0
    if len(rest) >= 3 and rest[-3] == "after" and rest[-1] in ("day", "days"):
        if not re.fullmatch(r"[0-9]{1,4}", rest[-2]):
            return Problem("", f"“{rest[-2][:40]}” is no number of days", _HINT)
        after, rest = int(rest[-2]), rest[:-3]
    days = _offsets(rest or ["+0"])
    return days if isinstance(days, Problem) else OnState(state, days, after)


_OFFSET = re.compile(r"([+-][0-9]{1,4})(?:\.\.([+-][0-9]{1,4}))?")


def _offsets(words: list[str]) -> tuple[int, ...] | Problem:
    days: set[int] = set()
    for word in words:
        match = _OFFSET.fullmatch(word)
        if match is None:
            return Problem("", f"“{word[:40]}” is no number of days", "write +3, -2 or +0..+6")
        first, last = int(match[1]), int(match[2] or match[1])
        if last < first or max(abs(first), abs(last)) > MOST_DAYS:
            return Problem(
                "", f"“{word}” is no span of days", f"from small to large, at most {MOST_DAYS}"
            )
        days.update(range(first, last + 1))
    return tuple(sorted(days))
