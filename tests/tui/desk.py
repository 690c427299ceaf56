"""Driving the interface in tests: a store, a clock turned by hand, the screen as text."""

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from textual.pilot import Pilot

from roomtasks.tui.app import RoomApp
from tests.rooms import at, small_room, store_with


@dataclass
class HandClock:
    """A clock turned by hand; its monotonic seconds follow unless it is told otherwise."""

    instant: datetime
    second: float = 0.0

    def now(self, zone: ZoneInfo) -> datetime:
        return self.instant.astimezone(zone)

    def monotonic(self) -> float:
        return self.second

    def pass_by(self, **span: float) -> None:
        """Time passes as it does."""
        self.instant += timedelta(**span)
        self.second += timedelta(**span).total_seconds()

    def jump(self, **span: float) -> None:
        """The wall clock jumps, or the machine slept."""
        self.instant += timedelta(**span)


SATURDAY = "2027-03-06 07:30"


def new_store(folder: Path, sheets: Mapping[str, list[Any]] | None = None) -> Path:
    store = store_with(folder, sheets or small_room())
    store.close()
    return store.path


@asynccontextmanager
async def opened(
    path: Path, *, when: str = SATURDAY, size: tuple[int, int] = (80, 24), who: str = "Maeve"
) -> AsyncIterator[tuple[RoomApp, "Pilot[int]", HandClock]]:  # fmt: skip
    """The interface on a store, settled."""
    clock = HandClock(at(when))
    app = RoomApp(path, clock, who)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        yield app, pilot, clock


async def settle(pilot: "Pilot[int]") -> None:
    """Until the store thread has answered and the screen is painted."""
    for _ in range(3):
        await pilot.pause(0.01)


async def press(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Keys with time between them, as a person hits them."""
    for key in keys:
        app.walk._last = ("", -10.0)
        await pilot.press(key)
        await settle(pilot)


def screen_text(app: RoomApp) -> str:
    """The screen as lines of text."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


def flat(app: RoomApp) -> str:
    """The screen as one line, so that wrapped sentences can be looked for."""
    return " ".join(screen_text(app).split())


def in_hand(app: RoomApp) -> str:
    line = app.walk.round.in_hand
    return line.id if line is not None else ""
