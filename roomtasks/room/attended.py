"""When somebody is there: spans of real time, from the room's hours by weekday.

A room with no hours is always watched. Spans that meet at midnight are one.
Instants come and go with an offset; lengths are real time, so a night on which
the clocks change is as long as it is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from roomtasks.room.day import resolve
from roomtasks.room.setup import WEEKDAYS, Hours

MIDNIGHT = time(0, 0)
_DAY = timedelta(days=1)
_FAR = 15  # days looked over: hours come round every week


@dataclass(frozen=True, slots=True)
class Attended:
    """The hours somebody is there, in a zone. All instants answered are in UTC."""

    hours: tuple[Hours, ...]
    zone: ZoneInfo

    @classmethod
    def of(cls, hours: Iterable[Hours], zone: ZoneInfo) -> "Attended":
        return cls(tuple(hours), zone)

    def first_start(self, length: timedelta, not_before: datetime) -> datetime | None:
        """The first instant from which somebody is there for so long; None where never."""
        begin = not_before.astimezone(UTC)
        if not self.hours:
            return begin
        day = begin.astimezone(self.zone).date()
        for start, end in self._spans(day - _DAY, day + _FAR * _DAY):
            at = max(start, begin)
            if at + length <= end:
                return at
        return None

    def last_start(self, length: timedelta, done_by: datetime) -> datetime | None:
        """The last instant from which somebody is there for so long, over by `done_by`."""
        limit = done_by.astimezone(UTC)
        if not self.hours:
            return limit - length
        day = limit.astimezone(self.zone).date()
        for start, end in reversed(self._spans(day - _FAR * _DAY, day + _DAY)):
            at = min(end, limit) - length
            if at >= start:
                return at
        return None

    def at(self, instant: datetime) -> bool:
        """Whether somebody is there at an instant, the ends of a span included."""
        return self.first_start(timedelta(0), instant) == instant.astimezone(UTC)

    def longest(self, near: datetime) -> timedelta | None:
        """The longest span about a day; None where somebody is always there."""
        day = near.astimezone(self.zone).date()
        spans = self._spans(day - 7 * _DAY, day + 7 * _DAY)
        return max((end - start for start, end in spans), default=None)

    def _spans(self, first: date, last: date) -> list[tuple[datetime, datetime]]:
        """Spans of the days first to last, in order, those that touch made one."""
        found: list[tuple[datetime, datetime]] = []
        for start, end in sorted(self._rows(first, last)):
            if found and start <= found[-1][1]:
                found[-1] = (found[-1][0], max(end, found[-1][1]))
            elif end > start:
                found.append((start, end))
        return found

    def _rows(self, first: date, last: date) -> Iterable[tuple[datetime, datetime]]:
        day = first
        while day <= last:
            for row in self.hours:
                if WEEKDAYS[day.weekday()] == row.weekday:
                    until = day + _DAY if row.until_time == MIDNIGHT else day
                    yield self._instant(day, row.from_time), self._instant(until, row.until_time)
            day += _DAY

    def _instant(self, day: date, clock: time) -> datetime:
        return resolve(datetime.combine(day, clock), self.zone).astimezone(UTC)
