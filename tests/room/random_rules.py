"""Random rules of whole days, and a second opinion on them that knows no library.

`days_by_hand` looks at each day on its own, by the table in RFC 5545 3.3.10,
and shares nothing with the program: it reads the text itself.
"""

import calendar
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import groupby
from random import Random

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
ONE_DAY = timedelta(days=1)


def random_rule(rnd: Random) -> tuple[str, date]:
    """A rule's text and its start; most have instances, some have none."""
    freq = rnd.choice(["DAILY", "WEEKLY", "MONTHLY", "MONTHLY", "YEARLY", "YEARLY"])
    start = date(2004, 1, 1) + timedelta(days=rnd.randrange(3000))
    if rnd.random() < 0.2:
        start = start.replace(month=rnd.choice([1, 3, 5, 7, 8, 10, 12]), day=31)
    parts = {"FREQ": freq}
    if rnd.random() < 0.5:
        parts["INTERVAL"] = str(rnd.choice([1, 2, 2, 3, 4, 5, 7, 12]))
    if rnd.random() < 0.4:
        parts["WKST"] = rnd.choice(WEEKDAYS)
    if rnd.random() < 0.25:
        parts["BYMONTH"] = _some(rnd, range(1, 13), 4)
    _day_parts(rnd, freq, parts)
    if rnd.random() < 0.2 and any(name in parts for name in ("BYDAY", "BYMONTHDAY", "BYYEARDAY")):
        parts["BYSETPOS"] = _some(rnd, [1, 2, 3, -1, -2], 2)
        if freq == "WEEKLY":
            # Whole weeks only: the standard is silent on a set cut short by the start.
            week_starts = WEEKDAYS.index(parts.get("WKST", "MO"))
            start -= timedelta(days=(start.weekday() - week_starts) % 7)
    ending = rnd.random()
    if ending < 0.15:
        parts["COUNT"] = str(rnd.randrange(1, 60))
    elif ending < 0.3:
        parts["UNTIL"] = f"{start + timedelta(days=rnd.randrange(4000)):%Y%m%d}"
    names = list(parts)
    rnd.shuffle(names)
    return ";".join(f"{name}={parts[name]}" for name in names), start


def _day_parts(rnd: Random, freq: str, parts: dict[str, str]) -> None:
    """BYDAY, BYMONTHDAY, BYYEARDAY and BYWEEKNO, where the frequency allows them."""
    if rnd.random() < 0.45:
        days = rnd.sample(WEEKDAYS, rnd.randrange(1, 4))
        if freq in ("MONTHLY", "YEARLY") and rnd.random() < 0.6:
            reach = [1, 2, 3, 4, 5, -1, -2, -5] if freq == "MONTHLY" else [1, 5, 20, 53, -1, -7]
            if "BYMONTH" in parts:
                reach = [1, 2, 3, 4, 5, -1, -2]
            days = [f"{rnd.choice(reach)}{day}" for day in days]
        parts["BYDAY"] = ",".join(days)
    numbered = any(not day.isalpha() for day in parts.get("BYDAY", "MO").split(","))
    if freq != "WEEKLY" and rnd.random() < 0.35:
        parts["BYMONTHDAY"] = _some(rnd, [1, 2, 13, 15, 28, 29, 30, 31, -1, -2, -31], 4)
    elif freq == "YEARLY" and rnd.random() < 0.25:
        parts["BYYEARDAY"] = _some(rnd, [1, 60, 100, 200, 365, 366, -1, -100, -366], 3)
    elif freq == "YEARLY" and "BYDAY" in parts and not numbered and rnd.random() < 0.5:
        parts["BYWEEKNO"] = _some(rnd, [1, 2, 20, 52, 53, -1, -2, -52, -53], 2)


def _some(rnd: Random, choices: range | list[int], most: int) -> str:
    found = rnd.sample(list(choices), rnd.randrange(1, most + 1))
    return ",".join(str(number) for number in found)


def days_by_hand(text: str, start: date, last: date) -> list[date]:
    """The rule's days from `start` to `last`, found by looking at every day."""
    parts = dict(part.split("=") for part in text.split(";"))
    week_starts = WEEKDAYS.index(parts.get("WKST", "MO"))
    positions = _numbers(parts, "BYSETPOS")
    until = parts.get("UNTIL")
    found: list[date] = []
    days = _every_day(date(start.year - 1, 12, 1), date(last.year + 2, 1, 31))

    def period(day: date) -> int:
        return _period(parts["FREQ"], day, week_starts, start)

    for number, members in groupby(days, key=period):
        if number < 0 or number % int(parts.get("INTERVAL", "1")):
            continue
        matching = [day for day in members if _matches(parts, start, day, week_starts)]
        if positions:
            wanted = {n - 1 if n > 0 else len(matching) + n for n in positions}
            matching = [day for at, day in enumerate(matching) if at in wanted]
        found += [day for day in matching if day >= start]
    if "COUNT" in parts:
        found = found[: int(parts["COUNT"])]
    if until:
        found = [day for day in found if f"{day:%Y%m%d}" <= until]
    return [day for day in found if day <= last]


def _every_day(first: date, last: date) -> Iterator[date]:
    for number in range((last - first).days + 1):
        yield first + timedelta(days=number)


def _period(freq: str, day: date, week_starts: int, start: date) -> int:
    """Number of the period that holds a day; the start's own is 0."""
    if freq == "YEARLY":
        return day.year - start.year
    if freq == "MONTHLY":
        return (day.year - start.year) * 12 + day.month - start.month
    if freq == "WEEKLY":
        week = start - timedelta(days=(start.weekday() - week_starts) % 7)
        return (day - week).days // 7
    return (day - start).days


def _numbers(parts: dict[str, str], name: str) -> list[int]:
    return [int(word) for word in parts[name].split(",")] if name in parts else []


def _matches(parts: dict[str, str], start: date, day: date, week_starts: int) -> bool:
    freq, month_length = parts["FREQ"], calendar.monthrange(day.year, day.month)[1]
    year_length = 366 if calendar.isleap(day.year) else 365
    months, month_days = _numbers(parts, "BYMONTH"), _numbers(parts, "BYMONTHDAY")
    year_days, weeks = _numbers(parts, "BYYEARDAY"), _numbers(parts, "BYWEEKNO")
    by_day = parts["BYDAY"].split(",") if "BYDAY" in parts else []
    if not (by_day or month_days or year_days):
        if freq == "WEEKLY" or weeks:
            by_day = [WEEKDAYS[start.weekday()]]
        elif freq in ("MONTHLY", "YEARLY"):
            month_days = [start.day]
            if freq == "YEARLY" and not months:
                months = [start.month]
    in_year = day.timetuple().tm_yday
    return (
        (not months or day.month in months)
        and (not month_days or bool({day.day, day.day - month_length - 1} & {*month_days}))
        and (not year_days or bool({in_year, in_year - year_length - 1} & {*year_days}))
        and (not weeks or _in_weeks(day, weeks, week_starts))
        and (not by_day or _on_weekday(day, by_day, freq == "MONTHLY" or bool(months)))
    )


def _on_weekday(day: date, by_day: list[str], in_month: bool) -> bool:
    if in_month:
        at, length = day.day, calendar.monthrange(day.year, day.month)[1]
    else:
        at, length = day.timetuple().tm_yday, 366 if calendar.isleap(day.year) else 365
    name = WEEKDAYS[day.weekday()]
    nth, nth_last = (at - 1) // 7 + 1, -((length - at) // 7 + 1)
    return bool({name, f"{nth}{name}", f"+{nth}{name}", f"{nth_last}{name}"} & {*by_day})


def _in_weeks(day: date, weeks: list[int], week_starts: int) -> bool:
    """Week 1 is the first with four days or more in the year, by WKST."""
    fourth = day - timedelta(days=(day.weekday() - week_starts) % 7) + 3 * ONE_DAY
    before = after = 0
    while (fourth - timedelta(weeks=before + 1)).year == fourth.year:
        before += 1
    while (fourth + timedelta(weeks=after + 1)).year == fourth.year:
        after += 1
    return before + 1 in weeks or -after - 1 in weeks
