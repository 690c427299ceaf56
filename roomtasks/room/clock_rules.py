"""The arithmetic of rules that dateutil is not asked for.

Rules finer than a day (HOURLY, MINUTELY, SECONDLY), as naive local times:
which days pass the rule's day parts, and which steps of the clock fall on such
a day. Also week numbers and BYSETPOS on a ready list. Rules from DAILY up are
in `recurrence`.
"""

import calendar
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import TypeVar

from roomtasks.room.rule_parts import Rule

T = TypeVar("T")

STEPS_A_DAY = {"HOURLY": 24, "MINUTELY": 24 * 60, "SECONDLY": 24 * 60 * 60}
MOST_EMPTY_DAYS = 150_000
MOST_EMPTY_STEPS = 3_000_000


def clock_times(rule: Rule) -> Iterator[datetime]:
    """Local times of the rule from its start on, without COUNT and UNTIL.

    Ends where nothing came of 400 years of days, or of three million steps in
    a row: such a rule has no more times that anybody will wait for.
    """
    start = rule.start
    if not isinstance(start, datetime) or rule.freq not in STEPS_A_DAY:
        raise ValueError("only for rules finer than a day")
    empty_days = empty_steps = 0
    day = start.date()
    while empty_days <= MOST_EMPTY_DAYS and empty_steps <= MOST_EMPTY_STEPS:
        if day_passes(rule, day):
            steps = _steps_on(rule, start, day)
            empty_steps += len(steps)
            for moment in _moments(rule, day, steps):
                if moment >= start:
                    empty_days = empty_steps = 0
                    yield moment
        empty_days += 1
        if day == date.max:
            return
        day += timedelta(days=1)


def day_passes(rule: Rule, day: date) -> bool:
    """Whether a day satisfies BYMONTH, BYMONTHDAY, BYYEARDAY and plain BYDAY."""
    if rule.by_month and day.month not in rule.by_month:
        return False
    if rule.by_day and all(weekday != day.weekday() for _, weekday in rule.by_day):
        return False
    if rule.by_month_day:
        length = calendar.monthrange(day.year, day.month)[1]
        if not {day.day, day.day - length - 1} & set(rule.by_month_day):
            return False
    if rule.by_year_day:
        number = day.timetuple().tm_yday
        length = 366 if calendar.isleap(day.year) else 365
        return bool({number, number - length - 1} & set(rule.by_year_day))
    return True


def _steps_on(rule: Rule, start: datetime, day: date) -> range:
    """The rule's own steps on a day, counted in its unit from midnight."""
    a_day = STEPS_A_DAY[rule.freq]
    seconds = start.hour * 3600 + start.minute * 60 + start.second
    first = seconds * a_day // 86400
    gone = (day - start.date()).days * a_day - first
    return range(first if gone < 0 else -gone % rule.interval, a_day, rule.interval)


def _moments(rule: Rule, day: date, steps: range) -> Iterator[datetime]:
    """The local times that a day's steps give, after BYHOUR to BYSETPOS."""
    seconds_each = 86400 // STEPS_A_DAY[rule.freq]
    for step in steps:
        hour, rest = divmod(step * seconds_each, 3600)
        minute, second = divmod(rest, 60)
        if rule.by_hour and hour not in rule.by_hour:
            continue
        if rule.freq == "HOURLY":
            minutes, seconds = rule.by_minute, rule.by_second
        elif rule.by_minute and minute not in rule.by_minute:
            continue
        elif rule.freq == "MINUTELY":
            minutes, seconds = (minute,), rule.by_second
        elif rule.by_second and second not in rule.by_second:
            continue
        else:
            minutes, seconds = (minute,), (second,)
        found = [time(hour, m, s) for m in minutes for s in seconds]
        for clock in picked(found, rule.by_set_pos):
            yield datetime.combine(day, clock)


def picked(found: list[T], positions: tuple[int, ...]) -> list[T]:
    """BYSETPOS: the nth of one period's instances, negative from the end; all where empty."""
    if not positions:
        return found
    chosen = {n - 1 if n > 0 else len(found) + n for n in positions}
    return [one for place, one in enumerate(found) if place in chosen]


def week_numbers(day: date, week_starts: int) -> set[int]:
    """The number of the day's week in its year, from the front and from the end.

    Week 1 is the first with four days or more in the year (RFC 5545 3.3.10);
    `week_starts` is WKST, 0 for Monday.
    """
    fourth = day + timedelta(days=3 - (day.weekday() - week_starts) % 7)
    number = (fourth.timetuple().tm_yday - 1) // 7 + 1
    year_length = 366 if calendar.isleap(fourth.year) else 365
    weeks_to_come = (year_length - fourth.timetuple().tm_yday) // 7
    return {number, -1 - weeks_to_come}
