"""What time it is: the only reader of the system clock.

Commands and the interface ask a `Clock` and nothing else, so that "now" can be
put elsewhere. What a room day is stands in `room.day`, alarms do not live here.
"""

import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo


class Clock(Protocol):
    """Answers what time it is."""

    def now(self, zone: ZoneInfo) -> datetime:
        """The instant it is, shown in `zone`."""
        ...

    def monotonic(self) -> float:
        """Seconds that only run forward, for measuring spans."""
        ...


@dataclass(frozen=True, slots=True)
class SystemClock:
    """The clock of this machine."""

    def now(self, zone: ZoneInfo) -> datetime:
        """The instant it is, shown in `zone`."""
        return datetime.now(UTC).astimezone(zone)

    def monotonic(self) -> float:
        """Seconds that only run forward."""
        return time.monotonic()


@dataclass(frozen=True, slots=True)
class FixedClock:
    """A clock that stands still at one instant. Raises ValueError for a naive instant."""

    instant: datetime

    def __post_init__(self) -> None:
        _with_offset(self.instant)

    def now(self, zone: ZoneInfo) -> datetime:
        """The instant it stands at, shown in `zone`."""
        return self.instant.astimezone(zone)

    def monotonic(self) -> float:
        """Seconds that only run forward: spans are real though the clock stands."""
        return time.monotonic()


@dataclass(frozen=True, slots=True)
class RunningClock:
    """A clock set to an instant and running from there. `began` is in monotonic seconds."""

    instant: datetime
    began: float

    def __post_init__(self) -> None:
        _with_offset(self.instant)

    def now(self, zone: ZoneInfo) -> datetime:
        """The instant set plus the time gone by since, shown in `zone`."""
        gone = timedelta(seconds=time.monotonic() - self.began)
        return (self.instant.astimezone(UTC) + gone).astimezone(zone)

    def monotonic(self) -> float:
        """Seconds that only run forward."""
        return time.monotonic()


def running_from(instant: datetime) -> RunningClock:
    """A clock that shows `instant` now and runs on."""
    return RunningClock(instant, time.monotonic())


def _with_offset(instant: datetime) -> None:
    if instant.tzinfo is None:
        raise ValueError("a clock needs an instant with an offset")
