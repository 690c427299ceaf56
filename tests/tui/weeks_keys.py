"""Driving the weeks in tests: the screen by its key, lines found and gone to by keys alone."""

from datetime import date
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen

from roomtasks.room.pin import Pin
from roomtasks.room.room import SHEET
from roomtasks.room.setup import Away
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.weeks import WeeksScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import settle
from tests.tui.list_keys import hit

SIZES = [(60, 20), (80, 24), (140, 45)]
TODAY, NEXT = date(2027, 3, 6), date(2027, 3, 7)
SQUEEZE = "▲ Squeeze the first sponge B1-1"


async def weeks_of(app: RoomApp, pilot: "Pilot[int]") -> WeeksScreen:
    """The weeks, opened by their key."""
    await hit(app, pilot, "y")
    screen = app.screen
    assert isinstance(screen, WeeksScreen)
    screen.planner.wait_seconds = 0.0
    return screen


def on_top(app: RoomApp) -> Screen[Any]:
    return app.screen


def rows(screen: WeeksScreen) -> list[str]:
    return [row.text for row in screen.laid.rows]


async def go_to(app: RoomApp, pilot: "Pilot[int]", text: str, after: str = "") -> None:
    """To the first line that begins so (after a head that does), by parts and then by lines."""
    screen = app.screen
    assert isinstance(screen, WeeksScreen)
    found = rows(screen)
    begin = next(n for n, row in enumerate(found) if row.startswith(after)) if after else 0
    row = next(n for n, line in enumerate(found) if n >= begin and line.strip().startswith(text))
    lines = screen.query_one(LinesView)
    at, keys = lines.at, []
    while at != row:
        part = screen.laid.part_from(at, 1 if at < row else -1)
        by_part = at < part <= row or row <= part < at
        keys.append(("1" if at < row else "7") if by_part else "2" if at < row else "8")
        at = part if by_part else at + (1 if at < row else -1)
    await pilot.press(*keys)
    await settle(pilot)
    assert lines.at == row


def in_hand(screen: WeeksScreen) -> str:
    item = screen.item
    return "" if item is None else item.text


def pins_in(path: Path) -> list[Pin]:
    with Store.open(path) as store:
        return read.rows(store, SHEET["pins"])


def away_in(path: Path) -> list[Away]:
    with Store.open(path) as store:
        return read.rows(store, SHEET["away"])
