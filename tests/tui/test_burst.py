"""Keys typed ahead: each goes where it would have gone had it been typed slowly."""

from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from roomtasks.room.room import SHEET
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.facts import FactsScreen, FormScreen
from roomtasks.tui.screens.start import StartScreen
from tests.tui.desk import new_store, opened, press, settle

SIZES = [(60, 20), (80, 24), (140, 45)]


def burst(app: RoomApp, *keys: str) -> None:
    """All of these at once, before the first of them is looked at."""
    for key in keys:
        app.post_message(events.Key(key, key if len(key) == 1 else None))


async def quiet(pilot: "Pilot[int]") -> None:
    for _ in range(5):
        await settle(pilot)
        await pilot.pause(0.05)


def field(app: RoomApp, name: str) -> str:
    return app.screen.query_one(f"#f-{name}", Input).value


@pytest.mark.parametrize("size", SIZES)
async def test_in_a_form_what_follows_an_arrow_goes_to_the_next_field(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await press(app, pilot, "e", "6", "5")
        burst(app, "B", "down", "2", "enter", "9", "tab", "down", "6", "1", "up", "x")
        await quiet(pilot)
        assert (field(app, "rack"), field(app, "shelf"), field(app, "place")) == ("B", "2", "9")
        assert (field(app, "length_cm"), field(app, "role")) == ("61", "x")
        assert app.focused is not None
        assert app.focused.id == "f-role"


async def test_what_is_typed_just_before_saving_is_saved(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "e", "6", "5")
        burst(app, "down", "down", "down", "down", "7", "1", "f2")
        await quiet(pilot)
        assert isinstance(app.screen, FactsScreen)
    with Store.open(path) as store:
        tank = next(tank for tank in read.rows(store, SHEET["tanks"]) if tank.code == "A1")
    assert tank.length_cm == 71


async def test_arrows_in_a_burst_are_all_taken(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "e", "6", "5")
        assert isinstance(app.screen, FormScreen)
        burst(app, *["down"] * 5, *["up"] * 2)
        await quiet(pilot)
        assert app.focused is not None
        assert app.focused.id == "f-role"


async def test_the_guided_start_takes_a_burst_in_order(tmp_path: Path) -> None:
    async with opened(tmp_path / "none.room") as (app, pilot, _):
        assert isinstance(app.screen, StartScreen)
        burst(app, "up", "up", "up", "N", "o", "w", "down", "down", "m", "o", "n", "d", "a", "y")
        await quiet(pilot)
        assert (field(app, "name"), field(app, "change")) == ("Now", "monday")


async def test_keys_typed_while_a_page_opens_are_for_the_page(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5")
        app.walk._last = ("", -10.0)
        burst(app, "9", "2", "0")
        await quiet(pilot)
        assert app.screen is app.walk
    with Store.open(path) as store:
        assert [act.verb for act in search.acts(store)] == ["done"]
