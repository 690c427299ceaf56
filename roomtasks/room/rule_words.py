"""A recurrence rule in plain words, for the keeper.

Only the common forms have words; anything else is shown as its own text,
which is exact, rather than as a sentence that might not be.
"""

from datetime import datetime

from roomtasks.room.rule_parts import DAY_FREQUENCIES, Rule

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTH_NAMES = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_ORDER = {
    1: "first",
    2: "second",
    3: "third",
    4: "fourth",
    5: "fifth",
    -1: "last",
    -2: "second to last",
    -3: "third to last",
    -4: "fourth to last",
    -5: "fifth to last",
}
_SHORTEST = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_UNITS = {"HOURLY": "hour", "MINUTELY": "minute", "SECONDLY": "second", "DAILY": "day"}


def describe(rule: Rule) -> str:
    """Plain English for the rule's days, its end and what it leaves out."""
    body = _body(rule)
    if body is None:
        return rule.text
    return body + _time_of_day(rule) + _end(rule)


def _body(rule: Rule) -> str | None:
    """The days of the rule in words, or None for a form that has none."""
    if rule.freq not in DAY_FREQUENCIES:
        return None if _refined(rule) else _every(rule.interval, _UNITS[rule.freq])
    if rule.has_clock and (len(rule.by_hour), len(rule.by_minute), len(rule.by_second)) != (
        1,
        1,
        1,
    ):
        return None
    if rule.by_year_day or rule.by_week_no:
        return None
    match rule.freq:
        case "DAILY":
            return _daily(rule)
        case "WEEKLY":
            return _weekly(rule)
        case "MONTHLY":
            return _monthly(rule)
        case _:
            return _yearly(rule)


def _refined(rule: Rule) -> bool:
    """Whether a rule finer than a day says more than its step."""
    words = rule.text.split(";")
    return any(word.startswith("BY") for word in words)


def _daily(rule: Rule) -> str | None:
    if rule.by_month or rule.by_month_day or rule.by_set_pos:
        return None
    if rule.by_day:
        return f"every {_day_list(rule)}" if rule.interval == 1 else None
    return _every(rule.interval, "day")


def _weekly(rule: Rule) -> str | None:
    if rule.by_month or rule.by_set_pos:
        return None
    if rule.interval == 1:
        return f"every {_day_list(rule)}"
    if rule.interval == 2 and len(rule.by_day) == 1:
        return f"every other {_day_list(rule)}"
    days = "every day" if len(rule.by_day) == len(DAY_NAMES) else _day_list(rule)
    return f"{_every(rule.interval, 'week')} on {days}"


def _monthly(rule: Rule) -> str | None:
    if rule.by_month:
        return None
    days = _days_in_month(rule)
    if days is None:
        return None
    if days.startswith("every "):
        return days if rule.interval == 1 else None
    if "shorter month" in days:
        return days if rule.interval == 1 else None
    if rule.interval == 1:
        return (days if days.startswith("on ") else f"{days} of the month") + _where(rule)
    if rule.interval == 2:
        return f"{days} of every other month{_where(rule)}"
    return f"{days}, every {rule.interval} months{_where(rule)}"


def _yearly(rule: Rule) -> str | None:
    days = _days_in_month(rule)
    if days is None or not rule.by_month:
        return None
    months = _joined([MONTH_NAMES[month - 1] for month in rule.by_month])
    year = "each year" if rule.interval == 1 else _every(rule.interval, "year")
    if days.startswith("every "):
        return f"{days} in {months}, {year}"
    return f"{days} of {months}, {year}{_where(rule)}"


def _where(rule: Rule) -> str:
    """A word of warning for days that not every month has."""
    rare = max(rule.by_month_day, default=0) > 28 or 5 in {abs(n) for n, _ in rule.by_day}
    if rule.by_month and max(rule.by_month_day, default=0) > 28:
        rare = any(max(rule.by_month_day) > _SHORTEST[month - 1] for month in rule.by_month)
    return ", where there is one" if rare else ""


def _days_in_month(rule: Rule) -> str | None:
    """The days within a month: by date, by the nth weekday, or by weekday."""
    if rule.by_day and rule.by_month_day:
        return None
    if rule.by_month_day:
        return _dates(rule)
    if not rule.by_day:
        return None
    numbers = {n for n, _ in rule.by_day}
    weekdays = {weekday for _, weekday in rule.by_day}
    if rule.by_set_pos:
        if numbers != {0} or len(weekdays) != 1:
            return None
        numbers = set(rule.by_set_pos)
    elif numbers == {0}:
        return f"every {_day_list(rule)}"
    if len(weekdays) != 1 or not numbers <= _ORDER.keys():
        return None
    ordered = sorted(numbers, key=lambda n: (n < 0, n))
    return f"{_joined([_ORDER[n] for n in ordered])} {DAY_NAMES[weekdays.pop()]}"


def _dates(rule: Rule) -> str | None:
    """Dates of the month, with the form for "the 30th, or the last day"."""
    days = rule.by_month_day
    if rule.by_set_pos:
        runs_to_end = days == tuple(range(28, days[-1] + 1)) and days[-1] > 28
        if rule.by_set_pos == (-1,) and runs_to_end and not rule.by_month:
            return f"on the {_nth(days[-1])}, or the last day of a shorter month"
        return None
    if days == (-1,):
        return "last day"
    if any(day < -1 for day in days):
        return None
    words = [_nth(day) for day in days if day > 0]
    if -1 in days:
        words.append("last day")
    return f"on the {_joined(words)}"


def _time_of_day(rule: Rule) -> str:
    if not isinstance(rule.start, datetime) or rule.freq not in DAY_FREQUENCIES:
        return ""
    seconds = f":{rule.by_second[0]:02d}" if rule.by_second[0] else ""
    return f" at {rule.by_hour[0]:02d}:{rule.by_minute[0]:02d}{seconds}"


def _end(rule: Rule) -> str:
    words = ""
    if rule.count is not None:
        words = ", once" if rule.count == 1 else f", {rule.count} times"
    elif rule.until is not None:
        until = rule.until
        words = f", until {until.day} {MONTH_NAMES[until.month - 1]} {until.year}"
        if isinstance(until, datetime):
            words += f" {until:%H:%M}" + (" UTC" if until.tzinfo else "")
    if rule.exdates:
        words += f", {len(rule.exdates)} left out"
    return words


def _every(interval: int, unit: str) -> str:
    if interval == 1:
        return f"every {unit}"
    return f"every other {unit}" if interval == 2 else f"every {interval} {unit}s"


def _day_list(rule: Rule) -> str:
    names = [DAY_NAMES[weekday] for _, weekday in rule.by_day]
    return "day" if len(names) == len(DAY_NAMES) else _joined(names)


def _joined(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def _nth(day: int) -> str:
    ending = {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
    return f"{day}{'th' if 11 <= day <= 13 else ending}"
