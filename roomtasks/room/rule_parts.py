"""The text of an RFC 5545 recurrence rule, read and held to the standard.

Here live the `Rule` value and everything that can be said of a rule from its
text alone (RFC 5545 3.3.10). Which days it falls on is in `recurrence`; how
to say it in plain words is in `rule_words`.
"""

import re
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time

from roomtasks.room.column import shown
from roomtasks.room.day import FIRST_YEAR, LAST_YEAR
from roomtasks.room.problem import Problem

FREQUENCIES = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY", "HOURLY", "MINUTELY", "SECONDLY")
DAY_FREQUENCIES = frozenset(FREQUENCIES[:4])
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")

MOST_COUNT = 10_000
MOST_INTERVAL = 1_000_000
MOST_TEXT = 2_000

WHERE = "rule"

_NUMBER_PARTS: dict[str, tuple[str, int, int]] = {
    "BYMONTH": ("by_month", 1, 12),
    "BYMONTHDAY": ("by_month_day", -31, 31),
    "BYYEARDAY": ("by_year_day", -366, 366),
    "BYWEEKNO": ("by_week_no", -53, 53),
    "BYHOUR": ("by_hour", 0, 23),
    "BYMINUTE": ("by_minute", 0, 59),
    "BYSECOND": ("by_second", 0, 59),
    "BYSETPOS": ("by_set_pos", -366, 366),
}
_PARTS = frozenset({"FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY", *_NUMBER_PARTS})
_COARSE = ("DAILY", "WEEKLY", "MONTHLY")
_BANNED: dict[str, tuple[str, ...]] = {
    "BYMONTHDAY": ("WEEKLY",),
    "BYYEARDAY": _COARSE,
    "BYWEEKNO": tuple(name for name in FREQUENCIES if name != "YEARLY"),
}
_INSTEAD = {
    "BYMONTHDAY": "use BYDAY, or FREQ=MONTHLY",
    "BYYEARDAY": "use FREQ=YEARLY",
    "BYWEEKNO": "use FREQ=YEARLY",
}

_WHOLE = re.compile(r"[+-]?\d{1,7}", re.ASCII)
_DAY = re.compile(r"([+-]?\d{1,2})?(MO|TU|WE|TH|FR|SA|SU)", re.ASCII)
_UNTIL = re.compile(r"(\d{4})(\d\d)(\d\d)(?:T(\d\d)(\d\d)(\d\d)(Z)?)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Rule:
    """One recurrence rule with its start; equal when text, start and exceptions are.

    `text` is the rule without "RRULE:", in capitals. What the text leaves to
    the start (the weekday of a weekly rule, say) is filled into the parts.
    `by_day` holds (n, weekday): n is 0 for every such day, Monday is 0.
    `until` is a date, a naive local time, or an instant in UTC.
    """

    text: str
    start: date | datetime
    exdates: tuple[date | datetime, ...] = ()
    freq: str = field(default="DAILY", compare=False)
    interval: int = field(default=1, compare=False)
    count: int | None = field(default=None, compare=False)
    until: date | datetime | None = field(default=None, compare=False)
    week_starts: int = field(default=0, compare=False)
    by_month: tuple[int, ...] = field(default=(), compare=False)
    by_month_day: tuple[int, ...] = field(default=(), compare=False)
    by_year_day: tuple[int, ...] = field(default=(), compare=False)
    by_week_no: tuple[int, ...] = field(default=(), compare=False)
    by_day: tuple[tuple[int, int], ...] = field(default=(), compare=False)
    by_hour: tuple[int, ...] = field(default=(), compare=False)
    by_minute: tuple[int, ...] = field(default=(), compare=False)
    by_second: tuple[int, ...] = field(default=(), compare=False)
    by_set_pos: tuple[int, ...] = field(default=(), compare=False)

    @property
    def has_clock(self) -> bool:
        """Whether its instances are local times, not whole days."""
        return isinstance(self.start, datetime)


def read_rule(
    text: str, start: date | datetime, exdates: tuple[date | datetime, ...] = ()
) -> Rule | Problem:
    """The rule in `text`, starting on a date or at a naive local time."""
    body = "".join(text.split()).upper().removeprefix("RRULE:").rstrip(";")
    parts = _split(body) if text.isascii() else _foreign(text)
    if isinstance(parts, Problem):
        return parts
    clash = _clashes(parts, start, exdates)
    if clash is not None:
        return clash
    numbers = _numbers(parts)
    if isinstance(numbers, Problem):
        return numbers
    days = _days(parts)
    if isinstance(days, Problem):
        return days
    steps = _steps(parts, start)
    if isinstance(steps, Problem):
        return steps
    if isinstance(start, datetime):
        start = start.replace(microsecond=0, fold=0)
    by_parts, by_day = _filled(parts["FREQ"], start, numbers, days)
    rule = Rule(
        text=body,
        start=start,
        exdates=exdates,
        freq=parts["FREQ"],
        interval=steps.interval,
        count=steps.count,
        until=steps.until,
        week_starts=steps.week_starts,
        by_day=by_day,
        **by_parts,
    )
    return _nth_fits(rule) or rule


@dataclass(frozen=True, slots=True)
class _Steps:
    interval: int
    count: int | None
    until: date | datetime | None
    week_starts: int


def _steps(parts: dict[str, str], start: date | datetime) -> _Steps | Problem:
    """INTERVAL, COUNT, UNTIL and WKST."""
    until = _until(parts, start)
    if isinstance(until, Problem):
        return until
    interval = _limited(parts, "INTERVAL", MOST_INTERVAL)
    if isinstance(interval, Problem):
        return interval
    count = _limited(parts, "COUNT", MOST_COUNT)
    if isinstance(count, Problem):
        return count
    wkst = parts.get("WKST", "MO")
    if wkst not in WEEKDAYS:
        return _bad("WKST", wkst, "use one of " + ", ".join(WEEKDAYS))
    return _Steps(interval or 1, count, until, WEEKDAYS.index(wkst))


def _split(body: str) -> dict[str, str] | Problem:
    """Part names to values, each known, given once and not empty."""
    if not body:
        return Problem(WHERE, "it is empty", "write one such as FREQ=WEEKLY;BYDAY=SA")
    if len(body) > MOST_TEXT:
        return Problem(WHERE, f"it is longer than {MOST_TEXT} characters", "shorten it")
    parts: dict[str, str] = {}
    for piece in body.split(";"):
        name, sign, value = piece.partition("=")
        if name in ("RSCALE", "SKIP"):
            return Problem(
                WHERE,
                f"{name} belongs to RFC 7529, which is not used here",
                "leave it out; for the last day of every month use BYMONTHDAY=-1",
            )
        if name not in _PARTS or not sign:
            return Problem(
                WHERE, f"“{shown(piece)}” is no part of a rule", "use " + ", ".join(sorted(_PARTS))
            )
        if not value:
            return Problem(WHERE, f"{name} has no value", f"give {name} a value or leave it out")
        if name in parts:
            return Problem(WHERE, f"{name} is given twice", "give it once, values with commas")
        parts[name] = value
    if "FREQ" not in parts:
        return Problem(WHERE, "FREQ is missing", "add one such as FREQ=WEEKLY")
    if parts["FREQ"] not in FREQUENCIES:
        return _bad("FREQ", parts["FREQ"], "use one of " + ", ".join(FREQUENCIES))
    return parts


def _clashes(
    parts: dict[str, str], start: date | datetime, exdates: tuple[date | datetime, ...]
) -> Problem | None:
    """Parts that RFC 5545 3.3.10 does not allow together, or with such a start."""
    freq, clock = parts["FREQ"], isinstance(start, datetime)
    if not FIRST_YEAR <= start.year <= LAST_YEAR:
        return Problem(WHERE, "its start is out of reach", f"use {FIRST_YEAR} to {LAST_YEAR}")
    if isinstance(start, datetime) and start.tzinfo is not None:
        return Problem(WHERE, "its start carries an offset", "give the local time alone")
    for day in exdates:
        if isinstance(day, datetime) != clock:
            what = "times" if clock else "dates without a time"
            return Problem(WHERE, f"{day.isoformat()} does not fit its start", f"leave out {what}")
    if "COUNT" in parts and "UNTIL" in parts:
        return Problem(WHERE, "COUNT and UNTIL are both given", "keep one of the two")
    if not clock and freq not in DAY_FREQUENCIES:
        return Problem(
            WHERE, f"FREQ={freq} needs a start with a time of day", "use FREQ=DAILY or coarser"
        )
    for name in ("BYHOUR", "BYMINUTE", "BYSECOND"):
        if not clock and name in parts:
            return Problem(WHERE, f"{name} needs a start with a time of day", "leave it out")
    for name, frequencies in _BANNED.items():
        if name in parts and freq in frequencies:
            return Problem(WHERE, f"{name} cannot go with FREQ={freq}", _INSTEAD[name])
    if "BYSETPOS" in parts and not any(n.startswith("BY") for n in parts.keys() - {"BYSETPOS"}):
        return Problem(WHERE, "BYSETPOS picks from another BY part, and there is none", "add BYDAY")
    return None


def _numbers(parts: dict[str, str]) -> dict[str, tuple[int, ...]] | Problem:
    """The lists of numbers, each in its range, sorted and without repeats."""
    numbers: dict[str, tuple[int, ...]] = {}
    for name, (attribute, low, high) in _NUMBER_PARTS.items():
        found = set()
        for word in parts[name].split(",") if name in parts else ():
            number = int(word) if _WHOLE.fullmatch(word) else None
            if number is None or not low <= number <= high or (low < 0 and number == 0):
                span = f"{low} to {high}" if low >= 0 else f"1 to {high}, or -1 to {low}"
                return _bad(name, word, f"use {span}")
            found.add(number)
        numbers[attribute] = tuple(sorted(found))
    return numbers


def _days(parts: dict[str, str]) -> tuple[tuple[int, int], ...] | Problem:
    """BYDAY as (n, weekday) pairs, n 0 where none is written."""
    days = set()
    freq = parts["FREQ"]
    for word in parts["BYDAY"].split(",") if "BYDAY" in parts else ():
        found = _DAY.fullmatch(word)
        if not found or (found[1] is not None and int(found[1]) == 0):
            return _bad("BYDAY", word, "use MO to SU, or 1SA and -1SU in monthly rules")
        if found[1] is not None and (freq not in ("MONTHLY", "YEARLY") or "BYWEEKNO" in parts):
            with_part = "BYWEEKNO" if "BYWEEKNO" in parts else f"FREQ={freq}"
            return _bad("BYDAY", word, f"with {with_part} leave the number out: {found[2]}")
        days.add((int(found[1] or 0), WEEKDAYS.index(found[2])))
    return tuple(sorted(days, key=lambda day: (day[1], day[0])))


def _until(parts: dict[str, str], start: date | datetime) -> date | datetime | Problem | None:
    """UNTIL, of the same kind as the start (RFC 5545 3.3.10)."""
    if "UNTIL" not in parts:
        return None
    text = parts["UNTIL"]
    clock = isinstance(start, datetime)
    shape = "20261231T235959Z" if clock else "20261231"
    found = _UNTIL.fullmatch(text)
    if not found:
        return _bad("UNTIL", text, f"write it as {shape}")
    if (found[4] is not None) != clock:
        kind = "a date and time" if clock else "a date alone"
        return _bad("UNTIL", text, f"the start is {kind}, so write UNTIL as {shape}")
    try:
        day = date(int(found[1]), int(found[2]), int(found[3]))
        until: date | datetime = day
        if clock:
            moment = datetime.combine(day, time(int(found[4]), int(found[5]), int(found[6])))
            until = moment.replace(tzinfo=UTC) if found[7] else moment
    except ValueError:
        return _bad("UNTIL", text, "give a date and time that exist")
    if day < _day_of(start) and not (found[7] and (_day_of(start) - day).days <= 1):
        return _bad("UNTIL", text, f"that is before the start, {start.isoformat()}")
    return until


def _limited(parts: dict[str, str], name: str, most: int) -> int | Problem | None:
    """A whole number from 1 to `most`, or None where the part is not given."""
    if name not in parts:
        return None
    word = parts[name]
    if not re.fullmatch(r"\d{1,12}", word, re.ASCII) or not 1 <= int(word) <= most:
        hint = ", or leave COUNT out for a rule without an end" if name == "COUNT" else ""
        return _bad(name, word, f"use 1 to {most}{hint}")
    return int(word)


def _filled(
    freq: str,
    start: date | datetime,
    numbers: dict[str, tuple[int, ...]],
    days: tuple[tuple[int, int], ...],
) -> tuple[dict[str, tuple[int, ...]], tuple[tuple[int, int], ...]]:
    """All BY parts, with those that the start implies (RFC 5545 3.3.10) written in."""
    parts = dict(numbers)
    picks_days = days or numbers["by_month_day"] or numbers["by_year_day"]
    if not picks_days:
        if freq == "WEEKLY" or numbers["by_week_no"]:
            days = ((0, start.weekday()),)
        elif freq == "MONTHLY":
            parts["by_month_day"] = (start.day,)
        elif freq == "YEARLY":
            parts["by_month_day"] = (start.day,)
            parts["by_month"] = numbers["by_month"] or (start.month,)
    clock = start if isinstance(start, datetime) else datetime.combine(start, time())
    finer = FREQUENCIES.index(freq)
    for place, name in enumerate(("hour", "minute", "second"), start=4):
        if finer < place and not parts[f"by_{name}"]:
            parts[f"by_{name}"] = (getattr(clock, name),)
    return parts, days


def _nth_fits(rule: Rule) -> Problem | None:
    """Numbers in BYDAY that the month or the year can never reach."""
    most = 5 if rule.freq == "MONTHLY" or rule.by_month else 53
    for n, weekday in rule.by_day:
        if abs(n) > most:
            return _bad("BYDAY", f"{n}{WEEKDAYS[weekday]}", f"use 1 to {most}, or -1 to -{most}")
    return None


def _bad(name: str, value: str, remedy: str) -> Problem:
    return Problem(WHERE, f"{name}={shown(value)} cannot be used", remedy)


def _foreign(text: str) -> Problem:
    return Problem(
        WHERE, f"“{shown(text)}” has letters no rule has", "use plain A to Z, 0 to 9 and ; = , + -"
    )


def _day_of(start: date | datetime) -> date:
    return start.date() if isinstance(start, datetime) else start
