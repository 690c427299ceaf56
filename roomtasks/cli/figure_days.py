"""Figures on dates: the days of a recurrence rule, and an instant some time on."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from roomtasks.cli.figure_kit import LEFT_OUT, Answer, Figure, Values, number, whole, words
from roomtasks.room import day, recurrence
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import refuse

MOST_INSTANCES = 10_000
MOST_DAYS = 36_600
MOST_HOURS = 24 * MOST_DAYS


def _dates(given: Values) -> Answer | Problem:
    zone, start = _zone(given.words("zone")), _local("start", given.words("start"))
    if isinstance(zone, Problem):
        return zone
    if isinstance(start, Problem):
        return start
    count = given.whole("count")
    if not 1 <= count <= MOST_INSTANCES:
        return refuse("count", f"must be from 1 to {MOST_INSTANCES}, not {count}")
    left_out = []
    for text in filter(None, map(str.strip, given.words("exdate").split(","))):
        moment = _local("exdate", text)
        if isinstance(moment, Problem):
            return moment
        left_out.append(moment)
    rule = recurrence.parse_rule(given.words("rule"), start, tuple(left_out))
    if isinstance(rule, Problem):
        return rule
    values = [_iso(moment) for moment in recurrence.instances(rule, zone, count)]
    return Answer(len(values), {"values": values})


def _after(given: Values) -> Answer | Problem:
    zone = _zone(given.words("zone"))
    if isinstance(zone, Problem):
        return zone
    start = _local("start", given.words("start"))
    if isinstance(start, Problem):
        return start
    if not isinstance(start, datetime):
        return Problem("start", "has no time of day", f"write it as {start.isoformat()}T08:00")
    if "hours" not in given and "days" not in given:
        return Problem("after", "neither hours= nor days= is given", "give one of them")
    hours, days = given.maybe("hours") or 0.0, int(given.get("days", 0))
    if abs(hours) > MOST_HOURS or abs(days) > MOST_DAYS:
        return refuse("hours and days", f"reach further than {MOST_DAYS} days")
    return _counted(start, zone, days, hours)


def _counted(start: datetime, zone: ZoneInfo, days: int, hours: float) -> Answer:
    end = day.after(start, zone, days=days, hours=hours)
    gone = end.astimezone(UTC) - day.resolve(start, zone).astimezone(UTC)
    return Answer(gone.total_seconds() / 3600, {"instant": _iso(end)})


def _local(field: str, text: str) -> date | datetime | Problem:
    found = day.parse_local(text)
    if isinstance(found, Problem):
        return Problem(field, found.what, found.remedy)
    return found


def _zone(text: str) -> ZoneInfo | Problem:
    found = day.zone_named(text)
    if isinstance(found, Problem):
        return Problem("zone", found.what, found.remedy)
    return found


def _iso(moment: date | datetime) -> str:
    return moment.isoformat()


_ZONE_KEY = words("zone", "time zone, else the room's", default=LEFT_OUT)

DAYS = (
    Figure(
        "dates",
        "the first days or instants of a recurrence rule",
        (
            words("rule", "an RFC 5545 rule, such as FREQ=WEEKLY;BYDAY=SA"),
            words("start", "local date or date-time of the first"),
            _ZONE_KEY,
            whole("count", "how many at most", 10),
            words("exdate", "dates or date-times left out, with commas", default=LEFT_OUT),
        ),
        "instances",
        "instances on dates or local times that do not exist are left out (3.3.10)",
        "RFC 5545",
        _dates,
    ),
    Figure(
        "after",
        "the instant some hours or days after a local time; the value is hours gone by",
        (
            words("start", "local date-time"),
            _ZONE_KEY,
            number("hours", "exact hours", "h", default=LEFT_OUT),
            whole("days", "calendar days", LEFT_OUT, "days"),
        ),
        "h",
        "days on the calendar first, then exact hours (3.3.6)",
        "RFC 5545",
        _after,
    ),
)
