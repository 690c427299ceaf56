"""Alarms beside the interface: the next instants that matter, told once when they come.

APScheduler holds one dated job for each coming instant and is armed anew after
every change. It is a courtesy only: what is due is always recomputed from the
store, and `Watch` notices what a scheduler cannot, a new room day, a sleep, a
clock that was put back or forward.
"""

import logging
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler

JUMP_SECONDS = 60.0


class Alarms:
    """Coming instants. Start it inside the running event loop."""

    def __init__(self, ring: Callable[[], Awaitable[None]]) -> None:
        logging.getLogger("apscheduler").setLevel(logging.CRITICAL)
        self._ring = ring
        self._scheduler = AsyncIOScheduler(
            timezone="UTC", job_defaults={"misfire_grace_time": None, "coalesce": True}
        )

    def start(self) -> None:
        self._scheduler.start()

    def stop(self) -> None:
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    def arm(self, instants: Iterable[datetime], now: datetime, wall: datetime) -> None:
        """Ring at each of these instants. `now` is the room's now, `wall` this machine's."""
        self._scheduler.remove_all_jobs()
        for instant in sorted(set(instants))[:64]:
            if instant > now:
                due = wall + (instant - now) + timedelta(milliseconds=50)
                self._scheduler.add_job(self._ring, "date", run_date=due)

    @property
    def armed(self) -> int:
        return len(self._scheduler.get_jobs())


@dataclass
class Watch:
    """Notices time that passed in a way no timer saw. Feed it now and a monotonic second."""

    day: date | None = None
    now: datetime | None = None
    second: float = 0.0
    told: set[str] = field(default_factory=set)

    def look(self, now: datetime, day: date, second: float) -> tuple[bool, str]:
        """Whether to look again, and a warning where the clock jumped."""
        again, warning = self.day is not None and day != self.day, ""
        if self.now is not None:
            jump = (now - self.now).total_seconds() - (second - self.second)
            if abs(jump) > JUMP_SECONDS:
                again = True
                way = "forward" if jump > 0 else "back"
                warning = f"The clock went {way} {_span(abs(jump))}: all is worked out anew."
        self.day, self.now, self.second = day, now, second
        return again, warning

    def once(self, name: str) -> bool:
        """Whether this was not told before."""
        if name in self.told:
            return False
        self.told.add(name)
        return True


def _span(seconds: float) -> str:
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes / 60:.0f} h"
