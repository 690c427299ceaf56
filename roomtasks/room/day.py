"""Local time of the room: instants, room days, and the text of both.

Here live the rule for a written local time (RFC 5545 3.3.5), durations
(3.3.6), and the room day, which may begin at any time of day. Nothing here
asks what the time is, and nothing here knows recurrence rules.
"""

import re
from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem

FIRST_YEAR = 1900
LAST_YEAR = 2999

_DAY = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_LOCAL = re.compile(
    r"(\d{4})(-?)(\d{2})\2(\d{2})"
    r"(?:[T ](\d{2})(?:(:?)(\d{2})(?:\6(\d{2})(?:\.(\d{1,6}))?)?))?",
    re.ASCII,
)
_OFFSET = re.compile(r"(.*?)(?:(Z)|([+-])(\d{2}):?(\d{2}))", re.ASCII)
_ZONE = re.compile(r"[A-Za-z][A-Za-z0-9_+-]*(?:/[A-Za-z0-9_+-]+){0,2}", re.ASCII)
_NOT_PLACES = frozenset({"posix", "right", "localtime", "posixrules", "Factory"})


def resolve(local: datetime, zone: ZoneInfo) -> datetime:
    """The instant a written local time means, shown in `zone`.

    A time that happens twice is the first of the two; a time that the clocks
    jump over counts with the offset in force before the jump (RFC 5545
    3.3.5). Raises ValueError for a time that already carries an offset.
    """
    return _instant(local, zone).astimezone(zone)


def local_exists(local: datetime, zone: ZoneInfo) -> bool:
    """Whether the clocks of `zone` ever show this naive local time."""
    return resolve(local, zone).replace(tzinfo=None) == local.replace(fold=0)


def day_start(day: date, zone: ZoneInfo, starts: time) -> datetime:
    """The instant at which the room day `day` begins, shown in `zone`.

    `starts` is the time of day at which the room's day begins; where the
    clocks jump over it, RFC 5545 3.3.5 says which instant it is.
    """
    return resolve(datetime.combine(day, starts), zone)


def day_exists(day: date, zone: ZoneInfo, starts: time) -> bool:
    """Whether the room day has any length.

    A place that crosses the date line drops a whole day: Apia has no
    30 December 2011.
    """
    tomorrow = day + timedelta(days=1)
    return _start_utc(day, zone, starts) != _start_utc(tomorrow, zone, starts)


def room_day(instant: datetime, zone: ZoneInfo, starts: time) -> date:
    """The room day to which an instant belongs.

    It is the last day that has begun, so it always exists and never runs
    backwards, also when the clocks do. Raises ValueError for a naive time.
    """
    if instant.tzinfo is None:
        raise ValueError("room_day needs an instant with an offset")
    moment = instant.astimezone(UTC)
    day = instant.astimezone(zone).date() + timedelta(days=1)
    while _start_utc(day, zone, starts) > moment:
        day -= timedelta(days=1)
    return day


def next_day(day: date, zone: ZoneInfo, starts: time) -> date:
    """The first day after `day` that exists in the zone."""
    return _neighbour(day, zone, starts, timedelta(days=1))


def previous_day(day: date, zone: ZoneInfo, starts: time) -> date:
    """The last day before `day` that exists in the zone."""
    return _neighbour(day, zone, starts, timedelta(days=-1))


def after(start: datetime, zone: ZoneInfo, *, days: int = 0, hours: float = 0) -> datetime:
    """The instant that lies calendar days and then exact hours after a local time.

    Days keep the time on the clock, hours are hours by a stop watch, and the
    days are added first (RFC 5545 3.3.6).
    """
    shifted = _instant(start + timedelta(days=days), zone) + timedelta(hours=hours)
    return shifted.astimezone(zone)


def parse_instant(text: str, zone: ZoneInfo) -> datetime | Problem:
    """An ISO 8601 date and time; without an offset it is local to `zone`.

    Answers the instant, shown in `zone`.
    """
    split = _OFFSET.fullmatch(text.strip())
    local = parse_local(split[1] if split else text)
    if isinstance(local, Problem):
        return local
    if not isinstance(local, datetime):
        return _fault(text, "has no time of day", f"write it as {local.isoformat()}T08:00")
    if split is None:
        return resolve(local, zone)
    hours, minutes = (0, 0) if split[2] else (int(split[4]), int(split[5]))
    if hours > 14 or minutes > 59:
        return _fault(text, "has an offset that no place on earth has", "write it as +01:00 or Z")
    shift = timedelta(hours=hours, minutes=minutes)
    offset = timezone(-shift if split[3] == "-" else shift)
    return local.replace(tzinfo=offset).astimezone(zone)


def parse_local(text: str) -> date | datetime | Problem:
    """A local date, or a local date and time, without an offset (ISO 8601)."""
    found = _LOCAL.fullmatch(text.strip())
    if not found:
        return _fault(
            text, "is not a date, or a date and time", "write it as 2026-04-07 or 2026-04-07T08:30"
        )
    day = _real_day(text, int(found[1]), int(found[3]), int(found[4]))
    if isinstance(day, Problem) or found[5] is None:
        return day
    hour, minute, second = int(found[5]), int(found[7]), int(found[8] or 0)
    if hour > 23 or minute > 59 or second > 59:
        return _fault(text, "is a time that no day has", "write the time as 00:00 to 23:59")
    return datetime.combine(day, time(hour, minute, second, int((found[9] or "0").ljust(6, "0"))))


def parse_day(text: str) -> date | Problem:
    """A date written YYYY-MM-DD."""
    found = _DAY.fullmatch(text.strip())
    if not found:
        return _fault(text, "is not a date", "write it as 2026-04-07 (year-month-day)")
    return _real_day(text, int(found[1]), int(found[2]), int(found[3]))


def zone_named(text: str) -> ZoneInfo | Problem:
    """The time zone of that IANA name; nothing that could be a path elsewhere."""
    name = text.strip()
    remedy = "give a place such as Europe/London, or UTC"
    if not name:
        return Problem("", "no time zone is given", remedy)
    if not _ZONE.fullmatch(name) or name.split("/")[0] in _NOT_PLACES:
        return _fault(text, "is not the name of a time zone", remedy)
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return _fault(text, "is not a time zone known here", remedy)


def _instant(local: datetime, zone: ZoneInfo) -> datetime:
    if local.tzinfo is not None:
        raise ValueError("a local time carries no offset")
    return local.replace(tzinfo=zone, fold=0).astimezone(UTC)


def _start_utc(day: date, zone: ZoneInfo, starts: time) -> datetime:
    return _instant(datetime.combine(day, starts), zone)


def _neighbour(day: date, zone: ZoneInfo, starts: time, step: timedelta) -> date:
    day += step
    while not day_exists(day, zone, starts):
        day += step
    return day


def _real_day(text: str, year: int, month: int, day: int) -> date | Problem:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return _fault(text, "is out of reach", f"use the years {FIRST_YEAR} to {LAST_YEAR}")
    try:
        return date(year, month, day)
    except ValueError:
        return _fault(text, "is a date that does not exist", "give a day that the calendar has")


def _fault(text: str, what: str, remedy: str) -> Problem:
    return Problem("", f"“{shown(text)}” {what}", remedy)
