"""Alarms beside the interface: the next instants that matter, told once when they come.

APScheduler holds one dated job for each coming instant and is armed anew after
every change. It is a courtesy only: what is due is always recomputed from the
store, and `watch` notices what a scheduler cannot, a new room day, a sleep, a
clock that was put back or forward.
"""

import logging
from collections.abc import Awaitable, Callable, Iterable
from datetime import datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler


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
