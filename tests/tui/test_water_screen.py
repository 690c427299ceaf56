"""The water screen under the keys: opened, walked, its numbers opened, steps marked."""

from pathlib import Path

import pytest
from rich.cells import cell_len

from roomtasks.tui.screens.water import WaterScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.rooms import at
from tests.tui.desk import flat, opened, screen_text, settle
from tests.tui.side_keys import hit, until_still
from tests.tui.water_keys import DAY, FRIDAY, SIZES, foot, go_to, steps_in, water_of, water_store

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
        assert "Open: 1 water" in flat(app)
        await hit(app, pilot, "1")
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
        assert "no fill was started there; note the start of the fill first" in flat(app)
        assert "Mark it all the same?" in flat(app)
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
