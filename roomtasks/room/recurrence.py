"""Which days and instants an RFC 5545 rule falls on.

Everything runs on naive local dates and times; a zone comes in only where
`instances` turns local times into instants. Questions about a day start at
the period that holds it, so that an old rule costs no more than a new one.
Reading and checking the text of a rule is in `rule_parts`, saying it in plain
words in `rule_words`.
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import dropwhile, groupby, islice, takewhile
from typing import Literal
from zoneinfo import ZoneInfo

from dateutil import rrule

from roomtasks.room.clock_rules import clock_times, picked, week_numbers
from roomtasks.room.day import day_exists, local_exists, resolve
from roomtasks.room.problem import Problem
from roomtasks.room.rule_parts import DAY_FREQUENCIES, WHERE, Rule, read_rule
from roomtasks.room.rule_words import describe

__all__ = [
    "Rule",
    "between",
    "describe",
    "first_after",
    "first_on_or_after",
    "instances",
    "last_on_or_before",
    "parse_rule",
]

ONE_DAY = timedelta(days=1)
MIDNIGHT = time()
CALENDAR_CYCLE_YEARS = 400
MOST_OMITTED = 1_000
LAST_DAY = date(9990, 12, 31)

_FREQ: dict[str, Literal[0, 1, 2, 3]] = {
    "YEARLY": rrule.YEARLY,
    "MONTHLY": rrule.MONTHLY,
    "WEEKLY": rrule.WEEKLY,
    "DAILY": rrule.DAILY,
}


@lru_cache(maxsize=8192)
def parse_rule(
    text: str, start: date | datetime, exdates: tuple[date | datetime, ...] = ()
) -> Rule | Problem:
    """The rule in `text` (with or without "RRULE:"), or what is wrong with it.

    `start` is DTSTART: a date for a rule of whole days, a naive local time for
    one of instants; `exdates` are of the same kind. Refuses what RFC 5545
    3.3.10 forbids, RFC 7529's parts, and rules that never fall on any day.
    """
    rule = read_rule(text, start, exdates)
    if isinstance(rule, Problem) or _surely_falls(rule) or _falls(rule):
        return rule
    return Problem(
        WHERE, f"{rule.text} never falls on any day", "check its BY parts against one another"
    )


def instances(rule: Rule, zone: ZoneInfo, count: int) -> list[date] | list[datetime]:
    """The first `count` instances: dates, or instants shown in `zone`.

    An instance on a date or local time that does not exist in the zone is left
    out and not counted, a time that happens twice is the first of the two (RFC
    5545 3.3.10, 3.3.5). The list is short where the rule ends sooner.
    """
    if count < 0:
        raise ValueError("count below 0")
    if not rule.has_clock:
        return list(islice(_existing_days(rule, zone), count))
    return list(islice(_instants(rule, zone), count))


@lru_cache(maxsize=16384)
def first_on_or_after(rule: Rule, day: date) -> date | None:
    """The first day of a whole-day rule that is not before `day`."""
    return next(_days_from(rule, day), None)


def first_after(rule: Rule, day: date) -> date | None:
    """The first day of a whole-day rule after `day`."""
    return first_on_or_after(rule, day + ONE_DAY)


@lru_cache(maxsize=16384)
def last_on_or_before(rule: Rule, day: date) -> date | None:
    """The last day of a whole-day rule that is not after `day`."""
    first = _start_day(rule)
    reach = 2
    while day >= first:
        back = max(_periods_between(rule, day) - reach + 1, 0)
        opens = max(_period_start(rule, back), first)
        found = between(rule, opens, day)
        if found:
            return found[-1]
        if back == 0:
            return None
        day = opens - ONE_DAY
        reach *= 2
    return None


def between(rule: Rule, first: date, last: date) -> list[date]:
    """The days of a whole-day rule from `first` to `last`, both included."""
    return list(takewhile(lambda day: day <= last, _days_from(rule, first)))


def _days_from(rule: Rule, day: date) -> Iterator[date]:
    """Days of the rule from `day` on, exceptions dropped."""
    if rule.has_clock:
        raise ValueError("a rule of local times has no days of its own")
    if rule.count is not None:
        found: Iterator[date] = dropwhile(lambda known: known < day, _counted(rule))
    else:
        moments = _unended(rule, _periods_between(rule, day))
        found = (moment.date() for moment in moments if moment.date() >= day)
        if rule.until is not None:
            until = rule.until
            found = takewhile(lambda known: known <= until, found)
    return (known for known in found if known not in rule.exdates)


@lru_cache(maxsize=128)
def _counted(rule: Rule) -> tuple[date, ...]:
    """All days of a rule with COUNT: those can only be counted from the start."""
    return tuple(moment.date() for moment in islice(_unended(rule, 0), rule.count))


def _unended(rule: Rule, period: int) -> Iterator[datetime]:
    """Naive local times from a period on, as if it had no COUNT and no UNTIL."""
    try:
        if rule.by_week_no:
            yield from _in_weeks(rule, _engine(rule, period), 0)
        else:
            yield from _engine(rule, period)
    except (ValueError, OverflowError):
        # Past the year 9999 there is no calendar to go on with.
        return


def _in_weeks(rule: Rule, moments: Iterable[datetime], years_on: int) -> Iterator[datetime]:
    """BYWEEKNO and BYSETPOS, year by year.

    dateutil is not asked for BYWEEKNO: for the days before the first week of
    a year it takes the number of weeks of the wrong year.
    """
    start = rule.start if isinstance(rule.start, datetime) else _midnight(rule.start)
    start = start.replace(year=start.year + years_on)
    for _, members in groupby(moments, key=lambda moment: moment.year):
        found = [
            moment
            for moment in members
            if week_numbers(moment.date(), rule.week_starts) & set(rule.by_week_no)
        ]
        yield from (moment for moment in picked(found, rule.by_set_pos) if moment >= start)


def _engine(rule: Rule, period: int, years_on: int = 0) -> rrule.rrule:
    """The rule from its nth period on; the first period counts from the start.

    `years_on` moves it by whole cycles of the calendar. BYWEEKNO, and BYSETPOS
    with it, are left to `_in_weeks`, which needs whole years.
    """
    weeks = bool(rule.by_week_no)
    if period > 0 or weeks:
        begin = _midnight(_period_start(rule, period))
    elif isinstance(rule.start, datetime):
        begin = rule.start
    else:
        begin = _midnight(rule.start)
    return rrule.rrule(
        _FREQ[rule.freq],
        dtstart=begin.replace(year=begin.year + years_on),
        interval=rule.interval,
        wkst=rule.week_starts,
        bymonth=rule.by_month or None,
        bymonthday=rule.by_month_day or None,
        byyearday=rule.by_year_day or None,
        byweekday=_weekdays(rule),
        byhour=rule.by_hour or None,
        byminute=rule.by_minute or None,
        bysecond=rule.by_second or None,
        bysetpos=None if weeks else rule.by_set_pos or None,
    )


def _weekdays(rule: Rule) -> list[rrule.weekday] | None:
    """BYDAY for dateutil, which ANDs plain and numbered days where the RFC ORs them."""
    if not rule.by_day:
        return None
    if len({n == 0 for n, _ in rule.by_day}) == 1:
        return [
            rrule.weekdays[weekday](n) if n else rrule.weekdays[weekday]
            for n, weekday in rule.by_day
        ]
    most = 5 if rule.freq == "MONTHLY" or rule.by_month else 53
    numbered = {
        (n, weekday)
        for given, weekday in rule.by_day
        for n in ((given,) if given else range(1, most + 1))
    }
    return [rrule.weekdays[weekday](n) for n, weekday in sorted(numbered)]


def _midnight(day: date) -> datetime:
    return datetime.combine(day, MIDNIGHT)


def _start_day(rule: Rule) -> date:
    return rule.start.date() if isinstance(rule.start, datetime) else rule.start


def _periods_between(rule: Rule, day: date) -> int:
    """How many whole INTERVALs lie between the start's period and the day's."""
    start = _start_day(rule)
    if rule.freq == "YEARLY":
        units = day.year - start.year
    elif rule.freq == "MONTHLY":
        units = (day.year - start.year) * 12 + day.month - start.month
    elif rule.freq == "WEEKLY":
        units = (day - _week_start(start, rule.week_starts)).days // 7
    else:
        units = (day - start).days
    return max(units // rule.interval, 0)


def _period_start(rule: Rule, period: int) -> date:
    """First day of the nth period after the start's own."""
    start, units = _start_day(rule), period * rule.interval
    if rule.freq == "YEARLY":
        return date(start.year + units, 1, 1)
    if rule.freq == "MONTHLY":
        year, month0 = divmod(start.year * 12 + start.month - 1 + units, 12)
        return date(year, month0 + 1, 1)
    if rule.freq == "WEEKLY":
        return _week_start(start, rule.week_starts) + timedelta(weeks=units)
    return start + timedelta(days=units)


def _week_start(day: date, week_starts: int) -> date:
    return day - timedelta(days=(day.weekday() - week_starts) % 7)


def _surely_falls(rule: Rule) -> bool:
    """Common forms that need no search to show that they have days."""
    if rule.by_set_pos or rule.freq not in DAY_FREQUENCIES:
        return False
    if rule.freq == "WEEKLY":
        return not rule.by_month
    filters = (rule.by_month, rule.by_month_day, rule.by_year_day, rule.by_week_no, rule.by_day)
    kinds = sum(bool(part) for part in filters)
    return kinds == 0 or (kinds == 1 and rule.interval == 1)


def _falls(rule: Rule) -> bool:
    """Whether the rule has any instance at all, its COUNT and UNTIL apart.

    The calendar repeats after 400 years, so a rule that stays silent for 400
    years times its INTERVAL is silent for ever. The search is moved up by
    whole cycles until that span just fits before the year 9999, where dateutil
    stops of itself: it has no bound of its own.
    """
    if rule.freq not in DAY_FREQUENCIES:
        return next(clock_times(rule), None) is not None
    span_years = CALENDAR_CYCLE_YEARS * rule.interval
    cycles = (date.max.year - span_years - rule.start.year) // CALENDAR_CYCLE_YEARS
    years_on = max(cycles, 0) * CALENDAR_CYCLE_YEARS
    moments: Iterable[datetime] = _engine(rule, 0, years_on)
    if rule.by_week_no:
        moments = _in_weeks(rule, moments, years_on)
    try:
        return next(iter(moments), None) is not None
    except (ValueError, OverflowError):
        return False


def _existing_days(rule: Rule, zone: ZoneInfo) -> Iterator[date]:
    counted = _unended(rule, 0)
    days = (moment.date() for moment in counted)
    until = rule.until if rule.until is not None else LAST_DAY
    kept = (
        day for day in takewhile(lambda day: day <= until, days) if day_exists(day, zone, MIDNIGHT)
    )
    return (day for day in islice(kept, rule.count) if day not in rule.exdates)


def _instants(rule: Rule, zone: ZoneInfo) -> Iterator[datetime]:
    """Instants of a rule of local times; COUNT counts only times that exist."""
    times = _unended(rule, 0) if rule.freq in DAY_FREQUENCIES else clock_times(rule)
    found = islice(_real_times(rule, zone, times), rule.count)
    return (resolve(local, zone) for local in found if local not in rule.exdates)


def _real_times(rule: Rule, zone: ZoneInfo, times: Iterator[datetime]) -> Iterator[datetime]:
    """Local times that the zone's clocks show, up to UNTIL."""
    omitted = 0
    until = rule.until
    for local in times:
        if local.date() > LAST_DAY or omitted > MOST_OMITTED:
            return
        if isinstance(until, datetime):
            moment = resolve(local, zone) if until.tzinfo else local
            if moment > until:
                return
        if local_exists(local, zone):
            omitted = 0
            yield local
        else:
            omitted += 1
