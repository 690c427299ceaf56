"""Driving the water screen in tests: keys with the plan worked out between, what is stored."""

from datetime import date
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from roomtasks.room.room import SHEET
from roomtasks.room.treatment import Choice
from roomtasks.room.vessel import VesselStep
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.water import WaterScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import screen_text
from tests.tui.side_keys import hit
from tests.work.water_store import example_store

FRIDAY = "2027-03-12 18:00"
DAY = date(2027, 3, 13)
SIZES = [(60, 20), (80, 24), (140, 45)]


def water_store(folder: Path, **vessel: Any) -> Path:
    store = example_store(folder, **vessel)
    store.close()
    return store.path


async def water_of(app: RoomApp, pilot: "Pilot[int]") -> WaterScreen:
    """The water screen, opened by its key."""
    await hit(app, pilot, "c")
    screen = app.screen
    assert isinstance(screen, WaterScreen)
    return screen


def foot(app: RoomApp) -> str:
    return screen_text(app).split("\n")[-1]


def steps_in(path: Path) -> list[VesselStep]:
    with Store.open(path) as store:
        return read.rows(store, SHEET["vessel_steps"])


def choices_in(path: Path) -> list[Choice]:
    with Store.open(path) as store:
        return read.rows(store, SHEET["choices"])


async def go_to(app: RoomApp, pilot: "Pilot[int]", text: str) -> None:
    """To the line that begins so, by the nearest part and then line by line."""
    screen = app.screen
    assert isinstance(screen, WaterScreen)
    found = (n for n, row in enumerate(screen.laid.rows) if row.text.strip().startswith(text))
    row = next(found)
    lines = screen.query_one(LinesView)
    while lines.at > row:
        await hit(app, pilot, "9")
    while (
        screen.laid.part_from(lines.at, 1) <= row and screen.laid.part_from(lines.at, 1) > lines.at
    ):
        await hit(app, pilot, "1")
    while lines.at < row:
        await hit(app, pilot, "2")
