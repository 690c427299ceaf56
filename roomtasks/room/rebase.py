"""When a job done comes round again: the next due date from the last doing.

Here live intervals and the named ways in which a doing moves, or does not
move, what follows. Jobs that go by the calendar need nothing from here: their
next date is the next date of their rule, whenever they were done.
"""

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Literal

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem

Unit = Literal["days", "weeks", "months"]

MOST_DAYS = 3660
WIDEST_WINDOW_DAYS = 30
LAST_MONTHS = 3

_TEXT = re.compile(r"(\d{1,6})\s*([a-z]+)", re.ASCII)
_UNITS: dict[str, Unit] = {
    "d": "days",
    "day": "days",
    "days": "days",
    "w": "weeks",
    "week": "weeks",
    "weeks": "weeks",
    "mo": "months",
    "month": "months",
    "months": "months",
}
_DAYS_EACH: dict[Unit, int] = {"days": 1, "weeks": 7, "months": 30}


class Keeps(StrEnum):
    """What a doing leaves standing. The values are the words in a room's files."""

    FLOATING = "from-done"
    SLOT = "keeps-slot"
    MONTH = "keeps-month"
    QUARTER = "keeps-quarter"
    DATE = "keeps-date"


IN_MONTHS_ONLY = frozenset({Keeps.MONTH, Keeps.QUARTER, Keeps.DATE})
DAY_OF_MONTH_STAYS = frozenset({Keeps.SLOT, Keeps.DATE})


@dataclass(frozen=True, slots=True)
class Interval:
    """A stretch of whole days, weeks or months, at least one, ten years at most.

    Raises ValueError for any other; `parse_interval` answers a problem.
    """

    count: int
    unit: Unit

    def __post_init__(self) -> None:
        if self.unit not in _DAYS_EACH or not 1 <= self.days <= MOST_DAYS:
            raise ValueError(f"no interval: {self.count} {self.unit}")

    def after(self, day: date, month_day: int = 0) -> date:
        """The day one interval later; a month too short gives its last day.

        `month_day` is the day of the month wanted, where it is not that of `day`.
        """
        if self.unit == "months":
            return _months_on(day, self.count, month_day)
        return day + timedelta(days=self.days)

    @property
    def days(self) -> int:
        """Length in days; a month counts as 30 here, for windows and estimates."""
        return self.count * _DAYS_EACH[self.unit]

    def __str__(self) -> str:
        return f"{self.count} {self.unit[:-1] if self.count == 1 else self.unit}"


def parse_interval(text: str) -> Interval | Problem:
    """An interval as people write it: 14 days, 2 weeks, 3 months, 14 d, 2 w, 3 mo."""
    found = _TEXT.fullmatch(text.strip().lower())
    unit = _UNITS.get(found[2]) if found else None
    if found is None or unit is None:
        return Problem(
            "",
            f"“{shown(text)}” is not an interval",
            "write a whole number and days, weeks or months: 14 days",
        )
    count, most = int(found[1]), MOST_DAYS // _DAYS_EACH[unit]
    if not 1 <= count <= most:
        return Problem("", f"“{shown(text)}” is out of reach", f"use 1 to {most} {unit}")
    return Interval(count, unit)


def default_window(interval: Interval) -> tuple[int, int]:
    """Days early and days late that still count as on time, unless the job says.

    One tenth of the interval in whole days, at most 30 (the rule for recurring
    special inspections in US Army TM 1-1500-328-23). At least one day from a
    weekly job up: that floor is this program's own choice.
    """
    tenth_days = min(interval.days // 10, WIDEST_WINDOW_DAYS)
    if interval.days >= 7:
        tenth_days = max(tenth_days, 1)
    return tenth_days, tenth_days


def keeps_fits(keeps: Keeps, interval: Interval) -> Problem | None:
    """Whether this way of keeping makes sense with this interval."""
    if keeps in IN_MONTHS_ONLY and interval.unit != "months":
        return Problem(
            "", f"{keeps} goes by whole months, not {interval}", "give the interval in months"
        )
    return None


def window_fits(interval: Interval, early_days: int, late_days: int) -> Problem | None:
    """Whether the days allowed early and late leave neighbouring slots apart."""
    if early_days < 0 or late_days < 0:
        return Problem("", "days early or late are below 0", "use 0 or more")
    if early_days + late_days >= interval.days:
        return Problem(
            "",
            f"{early_days} days early and {late_days} late reach the next slot, {interval} on",
            f"use less than {interval.days} days for both together",
        )
    return None


def month_day(keeps: Keeps, interval: Interval, due: date, starts: date | None) -> int:
    """The day of the month a due date stands for.

    A job of the 31st that keeps its day is due on 28 February and then on 31 March:
    the day it started on is meant wherever a month is too short for it.
    """
    if (
        starts is None
        or keeps not in DAY_OF_MONTH_STAYS
        or interval.unit != "months"
        or due != _month_end(due)
        or (_month_number(due) - _month_number(starts)) % interval.count
    ):
        return due.day
    return max(starts.day, due.day)


def next_due(
    keeps: Keeps,
    due: date,
    done: date,
    interval: Interval,
    early_days: int,
    late_days: int,
    starts: date | None = None,
) -> date:
    """The date on which a job done on `done`, and due on `due`, is due again.

    `early_days` and `late_days` matter to keeps-slot only; `starts`, the first due
    date, to jobs that keep a day of the month (`month_day`). Raises ValueError
    where `keeps_fits` would have refused. Sources, way by way: the functions
    below.
    """
    refusal = keeps_fits(keeps, interval)
    if refusal is not None:
        raise ValueError(refusal.sentence())
    match keeps:
        case Keeps.FLOATING:
            return interval.after(done)
        case Keeps.SLOT:
            wanted = month_day(keeps, interval, due, starts)
            return _slot(due, done, interval, early_days, late_days, wanted)
        case Keeps.MONTH:
            return _month(due, done, interval)
        case Keeps.QUARTER:
            return _quarter(due, done, interval)
        case Keeps.DATE:
            return _date(due, done, interval, month_day(keeps, interval, due, starts))


def _slot(
    due: date, done: date, interval: Interval, early_days: int, late_days: int, wanted: int
) -> date:  # fmt: skip
    """Inside the window the plan stands, outside, early or late, it starts anew.

    US Army TM 1-1500-328-23, recurring special inspections.
    """
    inside = -early_days <= (done - due).days <= late_days
    return interval.after(due, wanted) if inside else interval.after(done)


def _month(due: date, done: date, interval: Interval) -> date:
    """The month before and the month after count as the month that was due.

    14 CFR 125.293(a) and 135.323(b). Such a job is due by the end of a month.
    """
    inside = abs(_month_number(done) - _month_number(due)) <= 1
    return _month_end(interval.after((due if inside else done).replace(day=1)))


def _quarter(due: date, done: date, interval: Interval) -> date:
    """Done in the last three months, the old date rules; else the month's end.

    EASA AMC1 ORO.FC.145(g). A due date at a month's end means whole months, so
    30 November opens on 1 September and stays at the month's end.
    """
    if due == _month_end(due):
        inside = _month_number(done) > _month_number(due) - LAST_MONTHS and done <= due
        return _month_end(interval.after((due if inside else done).replace(day=1)))
    if _months_on(due, -LAST_MONTHS) < done <= due:
        return interval.after(due)
    return _month_end(interval.after(done.replace(day=1)))


def _date(due: date, done: date, interval: Interval, wanted: int) -> date:
    """Done within a month less a day before, the date of the year is kept.

    The rule of the United Kingdom's vehicle test, as quoted in secondary
    pages. Otherwise the job is good for the interval less a day, counted from
    the day it was done.
    """
    if _months_on(due, -1) < done <= due:
        return interval.after(due, wanted)
    anniversary = interval.after(done)
    clamped = anniversary.day != done.day
    return anniversary if clamped else anniversary - timedelta(days=1)


def _month_number(day: date) -> int:
    return day.year * 12 + day.month - 1


def _months_on(day: date, months: int, month_day: int = 0) -> date:
    year, month0 = divmod(_month_number(day) + months, 12)
    last = calendar.monthrange(year, month0 + 1)[1]
    return date(year, month0 + 1, min(month_day or day.day, last))


def _month_end(day: date) -> date:
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])
