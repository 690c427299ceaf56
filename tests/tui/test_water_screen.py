"""The water screen under the keys: walked, opened, marked as it happens, asked, chosen, left."""

import sqlite3
from dataclasses import replace
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot

from roomtasks.room.room import SHEET
from roomtasks.room.treatment import Choice
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import WhatIf
from roomtasks.store import read, search
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
from tests.work.water_store import example_store, sheets_of

FRIDAY = "2027-03-12 18:00"
DAY = date(2027, 3, 13)
SIZES = [(60, 20), (80, 24), (140, 45)]


def water_store(folder: Path, **vessel: Any) -> Path:
    store = example_store(folder, **vessel)
    store.close()
    return store.path


async def hit(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Keys with time between them; the plan is worked out before the next."""
    for key in keys:
        for screen in app.screen_stack:
            if hasattr(screen, "_last"):
                screen._last = ("", -10.0)
            if hasattr(screen, "_opened_by"):
                screen._opened_by = ("", -10.0)
        await pilot.press(key)
        await until_still(app, pilot)


async def until_still(app: RoomApp, pilot: "Pilot[int]") -> None:
    """Until no plan is being worked out."""
    await settle(pilot)
    for _ in range(200):
        if not any(worker.is_running for worker in app.workers if app.water.screen is not None):
            break
        await pilot.pause(0.02)
    await settle(pilot)


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


# ---- opening and leaving -------------------------------------------------------------------------


async def test_one_key_opens_it_and_it_says_what_is_wanted_ready_and_next(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        first, second = screen_text(app).split("\n")[:2]
        assert "Change Sat 13 Mar 09:00   wanted 919 L, can be ready 455 L   ▲464 L short" in first
        assert "Next: R1: hose out at 18:46, in 46 min" in second
        assert "140 now" in flat(app)
        assert "▶R1: hose out by 18:46 at the latest" in flat(app)


@pytest.mark.parametrize("key", ["0", "escape", "full_stop", "q", "c"])
async def test_the_keys_that_close_pages_close_it(tmp_path: Path, key: str) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, key)
        assert app.screen is app.walk
        assert app.is_running


async def test_the_list_turned_once_more_opens_it_from_the_number_pad(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await hit(app, pilot, "full_stop", "full_stop")
        assert app.screen is app.walk
        await hit(app, pilot, "full_stop")
        assert isinstance(app.screen, WaterScreen)
        await hit(app, pilot, "full_stop")
        assert app.walk.list_sort == "walk"
        assert app.screen is app.walk


async def test_the_key_that_opens_it_hit_twice_does_not_close_it(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await pilot.press("c", "c")
        await until_still(app, pilot)
        assert isinstance(app.screen, WaterScreen)


async def test_the_key_that_closes_it_hit_twice_takes_nothing_back(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "6")
        await pilot.press("0", "0")
        await settle(pilot)
        assert app.screen is app.walk
    assert len(steps_in(path)) == 1


# ---- walking and opening numbers -----------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_every_line_is_reached_by_walking(tmp_path: Path, size: tuple[int, int]) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=size) as (app, pilot, _):
        screen = await water_of(app, pilot)
        shown = screen_text(app)
        for _ in range(40):
            before = screen.query_one(LinesView).at
            await hit(app, pilot, "3")
            shown += "\n" + screen_text(app)
            assert all(cell_len(line) <= size[0] for line in screen_text(app).split("\n"))
            if screen.query_one(LinesView).at == before:
                break
        for row in screen.laid.rows[2:]:
            assert row.text.strip() in shown
        assert screen.query_one(LinesView).at == len(screen.laid.rows) - 1
        await hit(app, pilot, "2")
        assert screen.query_one(LinesView).at == len(screen.laid.rows) - 1


async def test_parts_are_jumped_to(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "1", "1")
        assert screen.item is not None
        assert screen.item.key == "batch 1 run in"
        await hit(app, pilot, "7")
        assert screen.item.key == "reservoir R1"
        await hit(app, pilot, "2", "8", "9", "9", "9")
        assert screen.query_one(LinesView).at == 0


async def test_a_number_opens_to_formula_inputs_and_source(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(80, 40)) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await go_to(app, pilot, "c A1")
        await hit(app, pilot, "5")
        assert app.screen.query("#title")
        text = flat(app)
        for words in ("Litres: 27.3 L", "Known: measured", "How:", "What went in:", "91 L"):
            assert words in text
        await hit(app, pilot, "0")
        assert app.screen is screen
        await go_to(app, pilot, "add 28c ml")
        await hit(app, pilot, "enter")
        assert "560 L" in flat(app)
        assert "The label decides the dose" in flat(app)


async def test_a_number_closed_by_a_key_hit_twice_leaves_the_water_open(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "5")
        await pilot.press("0", "0")
        await until_still(app, pilot)
        assert isinstance(app.screen, WaterScreen)


async def test_a_line_without_a_number_says_so(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await go_to(app, pilot, "! Never leave")
        assert "5 open" not in foot(app)
        await hit(app, pilot, "5")
        assert app.screen is screen
        assert "Nothing is worked out on this line" in flat(app)


# ---- marking as it happens -----------------------------------------------------------------------


async def test_each_step_is_marked_by_one_key_and_the_rest_moves(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, clock):
        await water_of(app, pilot)
        for minutes, word, following in (
            (10, "R1 hose out", "fill starts"), (5, "R1 fill started", "full"),
            (95, "R1 full", "condition it"), (3, "R1 conditioned", "heater on"),
            (90, "R1 heater on", "mix"), (600, "R1 mixed", "ready check"),
        ):  # fmt: skip
            clock.pass_by(minutes=minutes)
            assert f"6 {word}" in foot(app)
            await hit(app, pilot, "6")
            assert f"Next: R1: {following}" in flat(app)
        clock.pass_by(minutes=60)
        await hit(app, pilot, "6")
        assert "R1: temperature in C (wanted 25), then Enter:" in flat(app)
        await hit(app, pilot, "2", "4", "full_stop", "8", "enter")
        assert "R1: ready, 24.8 C" in flat(app)
        assert "6 R1" not in foot(app)
        await hit(app, pilot, "6")
        assert "nothing is next to mark; the change is marked on the walk" in flat(app)
    made = steps_in(path)
    assert [row.step for row in made] == [
        "hose-out", "fill-start", "full", "treated", "heat-on", "mixed", "ready",
    ]  # fmt: skip
    assert made[0].for_day == DAY
    assert made[1].recipe == "hard"
    assert made[2].litres == 700.0
    assert made[6].celsius == 24.8
    assert {row.who for row in made} == {"Maeve"}


async def test_a_late_fill_moves_everything_after_it(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(80, 40)) as (app, pilot, clock):
        await water_of(app, pilot)
        assert "Sat 05:14 heater on" in flat(app)
        clock.pass_by(hours=3)
        await hit(app, pilot, "6", "6")
        text = flat(app)
        assert "the hour cannot be kept" in text
        assert "earliest wanted by step" in text
        assert "✓ done Fri 21:00 fill started" in text


async def test_a_step_hit_twice_within_a_second_counts_once(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        app.screen._last = ("", -10.0)  # type: ignore[attr-defined]
        await pilot.press("6", "6")
        await until_still(app, pilot)
    assert [row.step for row in steps_in(path)] == ["hose-out"]


async def test_the_list_key_hit_twice_answers_nothing(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await pilot.press("4", "4")
        await until_still(app, pilot)
        assert screen.question is not None
    assert steps_in(path) == []


async def test_a_refused_step_is_entered_only_on_a_yes(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "4", "2", "enter")
        assert "no fill was started there; say fill-start first. Mark it all the same?" in flat(app)
        assert "--anyway" not in flat(app)
        await hit(app, pilot, "0")
        assert screen.question is None
        assert steps_in(path) == []
        await hit(app, pilot, "4", "2", "enter", "1")
        assert "R1: full, 700 L in it" in flat(app)
    assert [row.step for row in steps_in(path)] == ["full"]


async def test_raw_water_is_never_marked_ready(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "6", "6", "6", "4", "7", "2", "5", "enter")
        assert "its water is raw" in flat(app)
        assert screen.question is None
    assert "ready" not in [row.step for row in steps_in(path)]


async def test_another_step_is_marked_from_the_list(tmp_path: Path) -> None:
    path = water_store(tmp_path, holds_litres=500.0)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "4")
        assert "1 fill started 2 full 3 conditioned 4 heater on" in flat(app)
        await hit(app, pilot, "8")
        assert "R1: not ready" in flat(app)
        await hit(app, pilot, "4", "9", "4", "3", "0", "enter")
        assert "R1: raw water run in 30 L" in flat(app)
        await hit(app, pilot, "4", "9", "2", "9", "9", "9", "9", "enter")
        assert "will not do; type 0 to 700" in flat(app)
    assert [(row.step, row.litres) for row in steps_in(path)] == [
        ("not-ready", None), ("raw-in", 530.0),
    ]  # fmt: skip


async def test_a_step_done_earlier_is_told_with_its_time(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "4", "9", "5", "1", "7", "2", "0", "enter")
        assert "R1: hose laid out at Fri 12 Mar 17:20" in flat(app)
        await hit(app, pilot, "b", "1", "7", "6", "0", "enter")
        assert "no day has a 1760" in flat(app)
    assert [row.at for row in steps_in(path)] == [at("2027-03-12 17:20")]


async def test_a_step_is_taken_back_by_u(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "6", "6", "u")
        assert "Taken back: R1: fill started" in flat(app)
        assert "6 R1 fill started" in foot(app)
        await pilot.press("u", "u")
        await until_still(app, pilot)
    assert [row.step for row in steps_in(path)] == ["hose-out"]


async def test_the_reservoir_in_hand_is_the_one_of_the_line(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await go_to(app, pilot, "R2 [")
        assert "6 R2 fill started" in foot(app)
        assert "▶R2 empty" in flat(app)
        await hit(app, pilot, "6")
        assert "R2: fill started" in flat(app)
    assert [(row.reservoir, row.step) for row in steps_in(path)] == [("R2", "fill-start")]


# ---- what if, and choices ------------------------------------------------------------------------


@pytest.mark.parametrize(("keys", "words"), [
    (("plus",), "WHAT IF: Sun 14 Mar. Not kept. As it is: 455 of 919 L; so: 0 of 0 L."),
    (("asterisk", "1", "1", "0", "3", "0", "enter"), "WHAT IF: begins 10:30."),
    (("asterisk", "2", "1", "5", "enter"), "WHAT IF: every change 15 %."),
    (("asterisk", "3", "9", "enter"), "WHAT IF: R1 fills at 9 L/min."),
    (("asterisk", "4", "5", "enter"), "WHAT IF: with H1 30 %."),
    (("asterisk", "4", "2", "5", "2", "0", "enter"), "WHAT IF: with N1 20 %."),
    (("asterisk", "5", "2", "1", "enter"), "WHAT IF: new water 21 C."),
    (("asterisk", "6", "6", "0", "enter"), "every change at 60 % of what is planned."),
    (("asterisk", "7"), "WHAT IF: with the keep-back."),
    (("asterisk", "8", "1", "0", "4", "0", "enter"), "WHAT IF: R1 empty at Sat 10:40."),
])  # fmt: skip
async def test_what_if_is_shown_as_such_and_nothing_is_kept(
    tmp_path: Path, keys: tuple[str, ...], words: str
) -> None:
    path = water_store(tmp_path)
    with Store.open(path) as store:
        acts = len(search.acts(store))
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, *keys)
        assert words in flat(app)
        assert "Nothing of this is kept." in flat(app)
        assert "6 R1" not in foot(app)
        await hit(app, pilot, "6")
        assert "What if is only asked" in flat(app)
        await hit(app, pilot, "asterisk", "9")
        assert screen.what_if == WhatIf()
        assert "WHAT IF" not in flat(app)
        assert "6 R1 hose out" in foot(app)
    with Store.open(path) as store:
        assert len(search.acts(store)) == acts
    assert steps_in(path) == []


async def test_a_larger_fill_rate_moves_the_clock_and_cold_water_is_refused(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(80, 40)) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "3", "1", "2", "enter")
        assert "Fri 19:43 fill starts, 47 min" in flat(app)
        await hit(app, pilot, "asterisk", "9", "asterisk", "5", "1", "5", "enter")
        assert "REFUSED" in flat(app)


async def test_what_cannot_be_asked_is_told_and_the_plan_stays(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "2", "0", "enter")
        assert "will not do; type 1 to 100" in flat(app)
        await hit(app, pilot, "asterisk", "1", "9", "9", "9", "9", "enter")
        assert "no day has a 9999" in flat(app)
        await hit(app, pilot, "minus")
        assert "WHAT IF: Fri 12 Mar" in flat(app)
        await hit(app, pilot, "minus")
        assert "Thu 11 Mar has gone by" in flat(app)
        assert screen.what_if == WhatIf(day=date(2027, 3, 12))


async def test_one_tank_more_is_picked_from_those_without_a_change(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "4")
        assert "One tank more: which" in flat(app)
        assert "N1 nursery" in flat(app)
        assert "A1" not in flat(app)
        await hit(app, pilot, "0")
        assert app.screen is screen
        assert screen.question is None


async def test_what_does_not_fit_shows_its_choices_with_their_price(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(140, 45)) as (app, pilot, _):
        screen = await water_of(app, pilot)
        text = " ".join(row.text for row in screen.laid.rows)
        assert "It does not do for the day: / chooses" in text
        assert "18.3 % instead of 30 %" in text
        await go_to(app, pilot, "2 one batch")
        await hit(app, pilot, "5")
        assert "S: 16.7 %" in flat(app)


@pytest.mark.parametrize(("keys", "made"), [
    (("slash", "1", "1", "0", "3", "0", "enter"), Choice(day=DAY, hour=time(10, 30))),
    (("slash", "2", "6", "0", "enter"), Choice(day=DAY, share=0.6)),
    (("slash", "3"), Choice(day=DAY, keep_back=True)),
    (("asterisk", "1", "1", "0", "3", "0", "enter", "slash", "1"),
     Choice(day=DAY, hour=time(10, 30))),
    (("asterisk", "6", "6", "0", "enter", "slash", "2"), Choice(day=DAY, share=0.6)),
])  # fmt: skip
async def test_a_choice_is_kept_on_a_yes_only(
    tmp_path: Path, keys: tuple[str, ...], made: Choice
) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, *keys, "0")
        assert choices_in(path) == []
        await hit(app, pilot, *keys, "1")
        assert screen.what_if == WhatIf()
        assert "change of Sat 13 Mar 2027" in flat(app)
        assert "Chosen for this day; / then 4 takes it back" in flat(app)
        assert choices_in(path) == [made]
        await hit(app, pilot, "slash", "4", "1")
        assert "as planned again" in flat(app)
    assert choices_in(path) == []


async def test_a_chosen_share_makes_the_day_fit(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "slash", "2", "6", "0", "enter", "1")
        assert "wanted 551 L, can be ready 551 L" in screen_text(app).split("\n")[0]
        assert "short" not in screen_text(app).split("\n")[0]
        await hit(app, pilot, "slash", "2", "2", "0", "0", "enter")
        assert "will not do" in flat(app)


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
        await app._rung()
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
