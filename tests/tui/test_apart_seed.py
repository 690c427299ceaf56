"""A seed sponge by keys alone: which tank it starts, which sponge, what is refused."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from roomtasks.room.room import Room
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.page import PickScreen
from tests.rooms import small_room, store_with
from tests.tui.desk import opened
from tests.tui.list_keys import choose, go, hit, pick, said

if TYPE_CHECKING:
    from textual.pilot import Pilot

TO_START = "a seed sponge to start a tank"


def made(folder: Path) -> Path:
    """B1-2 was hung in on the first of March."""
    sheets = small_room()
    sheets["filters"] = [
        replace(item, since=date(2027, 3, 1)) if item.code == "B1-2" else item
        for item in sheets["filters"]
        if item.tank != "B3"
    ]
    store = store_with(folder, sheets)
    store.close()
    return store.path


async def hangs(app: RoomApp, item: str) -> str:
    """The tank a filter hangs in."""

    def look(store: Store) -> str:
        room = read.room(store)
        assert isinstance(room, Room)
        return room.filter[item].tank

    return await app.desk.ask(look)


async def starting_b3(app: RoomApp, pilot: "Pilot[int]") -> None:
    """The list of sponges that might start the tank B3, from the walk."""
    await hit(app, pilot, "s")
    await go(app, pilot, "arrival")
    await choose(app, pilot, TO_START)
    await pick(app, pilot, "B3")


async def test_a_sponge_is_hung_into_a_tank_and_taken_back(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await starting_b3(app, pilot)
        page = app.screen
        assert isinstance(page, PickScreen)
        rows = [row.text for row in page.rows(60)]
        assert any(row.startswith("B2-1  ripe; B2 keeps B2-2, ripe") for row in rows)
        assert any(row.startswith("B1-2  NOT: it runs only since Mon 1 Mar") for row in rows)
        assert any("Q1-1  NOT: Q1 is kept for quarantine" in row for row in rows)
        await pick(app, pilot, "B2-1")
        assert "seed sponge B2-1 from B2 to B3" in said(app).replace("\n", " ")
        assert await hangs(app, "B2-1") == "B3"
        await hit(app, pilot, "u")
        assert await hangs(app, "B2-1") == "B2"


async def test_one_that_would_not_do_is_refused_with_its_rule(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await starting_b3(app, pilot)
        await pick(app, pilot, "B1-2")
        assert "seed-not-ripe" in said(app)


async def test_at_a_lot_it_is_hung_into_its_own_tank(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "lot stay-1")
        await choose(app, pilot, "a seed sponge into here")
        await pick(app, pilot, "B2-1")
        assert await hangs(app, "B2-1") == "Q1"
