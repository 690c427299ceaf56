"""The water screen at every size, in strange rooms, as time goes by and others mark."""

import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.keys import KEYS, SHOWN
from roomtasks.tui.screens.water import WaterScreen
from roomtasks.tui.signs import PLAIN
from roomtasks.tui.widgets.lines_view import LinesView
from roomtasks.work.water import step
from tests.room.example_room import example_room
from tests.rooms import at, small_room
from tests.tui.desk import HandClock, flat, new_store, opened, screen_text, settle
from tests.tui.side_keys import hit, until_still
from tests.tui.water_keys import FRIDAY, SIZES, foot, go_to, steps_in, water_of, water_store
from tests.work.water_store import sheets_of

# ---- the key line, sizes, plain signs, strange rooms ---------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_the_key_line_tells_only_what_keys_do(tmp_path: Path, size: tuple[int, int]) -> None:
    path = water_store(tmp_path)
    known = {
        SHOWN.get(key.keys[0], key.keys[0]): key for key in KEYS if "water" in key.screens
    }  # fmt: skip
    async with opened(path, when=FRIDAY, size=size) as (app, pilot, _):
        screen = await water_of(app, pilot)
        for _ in range(12):
            parts = [part for part in foot(app).split("  ") if part.strip()]
            for part in parts:
                sign, _, label = part.strip().partition(" ")
                key = known[sign]
                found = screen.expected()
                step_words = f"{screen.reservoir} {found.words}" if found is not None else ""
                assert label in (key.label, step_words, "all keys")
            assert ("5 open" in foot(app)) is (screen.item is not None and screen.item.opens)
            await hit(app, pilot, "2")


async def test_all_keys_are_shown_with_those_of_the_water_first(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(100, 45)) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "question_mark")
        assert "The water" in screen_text(app).split("\n")[1]
        assert "Mark the next step at the reservoir in hand" in flat(app)
        await hit(app, pilot, "0")
        assert app.screen is screen


async def test_no_action_of_the_table_is_without_a_key_of_its_own() -> None:
    names = [name for key in KEYS if "water" in key.screens for name in key.keys]
    assert len(names) == len(set(names))
    for key in KEYS:
        if "water" in key.screens:
            assert callable(getattr(WaterScreen, f"action_{key.action}"))


@pytest.mark.parametrize("size", [*SIZES, (20, 5), (110, 24), (76, 22)])
async def test_every_size_keeps_to_its_width(tmp_path: Path, size: tuple[int, int]) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=size) as (app, pilot, _):
        screen = await water_of(app, pilot)
        for keys in ((), ("6",), ("asterisk",), ("escape",), ("plus",), ("4",)):
            await hit(app, pilot, *keys)
            lines = screen_text(app).split("\n")
            assert all(cell_len(line) <= size[0] for line in lines)
        if size[1] >= 20:
            assert screen.query_one("#vessels").display is (size[0] >= 76)
            assert screen.query_one(LinesView).size.height >= 8


async def test_a_resized_screen_keeps_the_line_in_hand(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(140, 45)) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await go_to(app, pilot, "c A2")
        await pilot.resize_terminal(60, 20)
        await until_still(app, pilot)
        assert screen.item is not None
        assert screen.item.text.startswith("c A2")
        assert "▶c A2" in flat(app)


async def test_plain_terminals_get_plain_signs(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(140, 45)) as (app, pilot, _):
        app.signs = PLAIN
        await water_of(app, pilot)
        assert screen_text(app).isascii()


async def test_a_room_without_reservoirs_or_jobs_says_what_to_do(tmp_path: Path) -> None:
    path = new_store(tmp_path, {**small_room(), "reservoirs": [], "jobs": [], "between": []})
    async with opened(path) as (app, pilot, _):
        screen = await water_of(app, pilot)
        assert "No reservoir is entered yet" in flat(app)
        assert "No job changes water yet" in flat(app)
        for key in ("6", "4", "5", "b", "u", "plus", "minus", "asterisk", "escape", "slash",
                    "escape", "1", "7", "3", "9", "2", "8"):  # fmt: skip
            await hit(app, pilot, key)
        assert app.screen is screen
        assert "6 " not in foot(app)


@pytest.mark.parametrize("size", SIZES)
async def test_a_room_from_before_recipes_is_planned_as_far_as_it_goes(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, when="2027-03-05 18:00", size=size) as (app, pilot, _):
        screen = await water_of(app, pilot)
        assert "Sat 6 Mar" in screen_text(app).split("\n")[0]
        text = " ".join(row.text for row in screen.laid.rows)
        assert "No recipe is entered" in text


HOSTILE = ("a[/]b", "\x1b[31mred\x1b[0m", "‮abc", "two\nlines", "🐟" * 40, "x" * 3000)


@pytest.mark.parametrize("name", HOSTILE)
async def test_hostile_names_are_shown_harmless(tmp_path: Path, name: str) -> None:
    sheets = sheets_of(example_room())
    sheets["jobs"] = [replace(job, name=name, note=name) for job in sheets["jobs"]]
    sheets["rates"] = [replace(rate, product=name, caution=name) for rate in sheets["rates"]]
    sheets["reservoirs"] = [replace(row, name=name, note=name) for row in sheets["reservoirs"]]
    path = new_store(tmp_path, sheets)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        for key in ("1", "1", "2", "2", "5", "0", "3", "3", "5", "0", "6"):
            await hit(app, pilot, key)
            text = screen_text(app)
            assert "\x1b" not in text
            assert "‮" not in text
            assert all(cell_len(line) <= 80 for line in text.split("\n"))
        assert app.is_running


# ---- time, others, faults ------------------------------------------------------------------------


async def test_the_walk_rings_when_the_next_step_of_water_has_come(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when="2027-03-12 18:45:57") as (app, pilot, clock):
        await pilot.pause(2.2)
        assert app.water.seen is not None
        assert app.alarms is not None
        clock.pass_by(seconds=4)
        await pilot.pause(2.4)
        await settle(pilot)
        assert "Now: hose out at R1." in flat(app)
        app.walk.say("")
        await app.ringing.rung()
        assert "Now:" not in flat(app)


async def test_a_step_marked_elsewhere_shows_within_two_seconds(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        with Store.open(path) as store:
            step(store, at("2027-03-12 18:00"), "Tom", "R1", "hose-out")
        await pilot.pause(1.6)
        await until_still(app, pilot)
        assert "6 R1 fill started" in foot(app)


async def test_a_what_if_stays_while_the_minutes_go_by(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, clock):
        await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "1", "1", "0", "0", "0", "enter")
        clock.pass_by(minutes=5)
        await pilot.pause(1.4)
        await until_still(app, pilot)
        assert "WHAT IF: begins 10:00" in flat(app)
        assert "now Fri 18:05" in " ".join(row.text for row in _rows(app))


def _rows(app: RoomApp) -> Any:
    assert isinstance(app.screen, WaterScreen)
    return app.screen.laid.rows


async def test_a_locked_store_keeps_the_step_and_tries_again(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        await hit(app, pilot, "6")
        await pilot.pause(1.4)
        await settle(pilot)
        assert "kept and tried again" in flat(app)
        other.execute("ROLLBACK")
        other.close()
        await pilot.pause(2.6)
        await until_still(app, pilot)
        assert "R1: hose laid out" in flat(app)
    assert [row.step for row in steps_in(path)] == ["hose-out"]


async def test_a_vanished_store_is_told(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, clock):
        await water_of(app, pilot)
        path.rename(tmp_path / "elsewhere.db")
        await hit(app, pilot, "6")
        assert "NOT marked" in flat(app)
        assert not path.exists()
        assert isinstance(clock, HandClock)
