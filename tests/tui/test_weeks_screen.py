"""The weeks by keys alone: what they show, moves tried, kept and let go, what-ifs, spans."""

from datetime import date
from pathlib import Path

import pytest

from roomtasks.tui.screens.page import PageScreen, PickScreen
from roomtasks.tui.widgets.bars_view import BarsView
from tests.tui.desk import flat, new_store, opened, screen_text
from tests.tui.list_keys import hit
from tests.tui.weeks_keys import (
    NEXT,
    SIZES,
    SQUEEZE,
    TODAY,
    go_to,
    in_hand,
    on_top,
    pins_in,
    rows,
    weeks_of,
)


@pytest.mark.parametrize("size", SIZES)
async def test_the_top_line_and_the_days_are_there_at_every_size(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        top, second = screen_text(app).split("\n")[:2]
        assert "86" in top
        assert "Sat 13" in top
        assert "6 late" in second
        assert "Busiest day, Sat 13 Mar: 86 minutes" in flat(app)
        assert screen.query_one(BarsView).display is (size != (60, 20))
        foot = screen_text(app).split("\n")[-1]
        assert foot.rstrip().endswith("? keys")
        await hit(app, pilot, "1")
        assert screen.day == TODAY
        assert in_hand(screen).startswith("84 of 180 min, R1 185 of 2760 L")
        for day in range(7, 20):
            assert any(f" {day} Mar" in row for row in rows(screen))
        await hit(app, pilot, "1")
        assert screen.day == NEXT
        await hit(app, pilot, "7")
        assert screen.day == TODAY


async def test_bars_stand_above_the_list_or_lie_beside_it_and_mark_the_day_in_hand(
    tmp_path: Path,
) -> None:
    for size, mark in (((80, 24), "Su7<"), ((140, 45), "▶Sun  7")):
        async with opened(new_store(tmp_path / f"{size[0]}"), size=size) as (app, pilot, _):
            await weeks_of(app, pilot)
            await hit(app, pilot, "1", "1")
            assert mark in screen_text(app)


async def test_the_round_is_one_line_and_5_opens_it(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Daily round", after="Tue 9 Mar")
        assert "Look over" not in " ".join(rows(screen))
        await hit(app, pilot, "5")
        assert isinstance(app.screen, PageScreen)
        assert "Look over: " in flat(app)
        await hit(app, pilot, "0")
        assert on_top(app) is screen


async def test_a_move_is_told_before_it_is_kept_and_u_takes_it_back(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, SQUEEZE)
        await hit(app, pilot, "plus")
        assert screen.said.startswith(
            "Only asked: Squeeze the first sponge B1-1, Sat 6 to Sun 7 Mar: busiest day "
        )
        assert "min over" in screen.said
        assert "L short" in screen.said
        assert "moved" in screen.said or "no other job moves" in screen.said
        assert "6 keep on Sun 7" in flat(app)
        assert "0 let it go" in flat(app)
        assert "only tried, from Sat 6" in in_hand(screen)
        assert screen.day == NEXT
        assert pins_in(path) == []
        await hit(app, pilot, "plus")
        assert "Sat 6 to Mon 8 Mar" in screen.said
        await hit(app, pilot, "minus", "6")
        assert "outside its window" in flat(app)
        assert "Do it all the same? 1 yes" in flat(app)
        assert pins_in(path) == []
        await hit(app, pilot, "1")
        assert [(pin.target, pin.day) for pin in pins_in(path)] == [("B1-1", NEXT)]
        assert "kept on Sun 7 Mar" in screen.said
        assert "kept by you" in in_hand(screen)
        assert screen.wanted.trial is None
        await hit(app, pilot, "u")
        assert pins_in(path) == []
        assert "Taken back" in screen.said
        assert on_top(app) is screen


@pytest.mark.parametrize("key", ["0", "escape"])
async def test_a_move_that_is_let_go_leaves_all_as_it_was(tmp_path: Path, key: str) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        before = rows(screen)
        await go_to(app, pilot, SQUEEZE)
        await hit(app, pilot, "plus")
        assert rows(screen) != before
        await hit(app, pilot, key)
        assert rows(screen) == before
        assert on_top(app) is screen
        assert "nothing was kept" in screen.said
        assert pins_in(path) == []
        await hit(app, pilot, key)
        assert on_top(app) is app.walk


async def test_what_was_shown_is_what_is_kept(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, SQUEEZE)
        await hit(app, pilot, "plus")
        assert screen.seen is not None
        tried = screen.seen.shown.where()
        await hit(app, pilot, "6", "1")
        assert screen.seen.asked is None
        assert screen.seen.base.where() == tried


async def test_a_day_that_is_not_offered_is_asked_about(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Change B1", after="Sat 6 Mar")
        await hit(app, pilot, "minus")
        assert "Fri 5 Mar has gone by" in screen.said
        await hit(app, pilot, "plus")
        assert "the plan leaves Sun 7 Mar out for it, by the change day" in flat(app)
        await hit(app, pilot, "escape")
        assert screen.wanted.trial is None
        await hit(app, pilot, "plus", "1")
        assert "Change B1, Sat 6 to Sun 7 Mar" in screen.said
        await hit(app, pilot, "6")
        assert [(pin.target, pin.day) for pin in pins_in(path)] == [("B1", NEXT)]


async def test_outside_the_window_is_asked_about_and_kept_anyway_on_one_yes(
    tmp_path: Path,
) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Change B1", after="Sat 6 Mar")
        for _ in range(3):
            await hit(app, pilot, "plus", "1")
        assert "Sat 6 to Tue 9 Mar" in screen.said
        await hit(app, pilot, "plus")
        assert "Wed 10 Mar is outside its window, Thu 4 Mar to Tue 9 Mar" in flat(app)
        await hit(app, pilot, "1", "6")
        assert [pin.day for pin in pins_in(path)] == [date(2027, 3, 10)]


async def test_4_lets_the_plan_choose_again_and_6_asks_first(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Change B1", after="Sat 6 Mar")
        await hit(app, pilot, "6")
        assert [pin.day for pin in pins_in(path)] == [TODAY]
        assert "kept by you" in in_hand(screen)
        await hit(app, pilot, "6")
        assert "let the plan choose its day again? 1 yes" in flat(app)
        await hit(app, pilot, "escape")
        assert pins_in(path) != []
        await hit(app, pilot, "4")
        assert pins_in(path) == []


async def test_only_the_next_one_can_be_kept(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Change B1", after="Sat 13 Mar")
        await hit(app, pilot, "plus", "1")
        assert "only the next one there can be kept on a day" in screen.said
        await hit(app, pilot, "6")
        assert "follows that" in screen.said
        assert pins_in(path) == []


async def test_lines_that_are_no_job_say_so_and_what_comes_along_does_not_move(
    tmp_path: Path,
) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await hit(app, pilot, "plus")
        assert "No job of one day is in hand" in screen.said
        await go_to(app, pilot, "Refill S S", after="Sat 6 Mar")
        await hit(app, pilot, "plus")
        assert "comes with “Change system S at S”; move that" in screen.said


async def test_a_job_is_pulled_forward_from_a_list(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "Could come forward", after="Sat 6 Mar")
        assert "6 pull one here" in flat(app)
        await hit(app, pilot, "6")
        assert isinstance(app.screen, PickScreen)
        await hit(app, pilot, "5")
        assert on_top(app) is screen
        assert "to Sat 6 Mar" in screen.said
        assert pins_in(path) == []


async def test_the_span_goes_round(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        for days in (28, 56, 14):
            await hit(app, pilot, "slash")
            assert screen.seen is not None
            assert len(screen.seen.base.days) == days
            assert screen.said == ""
            assert f"{days} days" in screen_text(app).split("\n")[0]


@pytest.mark.parametrize("size", SIZES)
async def test_a_what_if_stands_beside_what_is_and_is_not_kept(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await hit(app, pilot, "asterisk", "3")
        assert isinstance(app.screen, PickScreen)
        await hit(app, pilot, "2", "2", "2", "2", "2", "2", "5")
        assert screen.wanted.what_if.without == ("B1",)
        second = screen_text(app).split("\n")[1]
        assert "busiest 86→" in second
        assert "if without B1" in second
        assert "Nothing is kept" in screen.said
        await hit(app, pilot, "asterisk", "1", "6", "minus", "6", "0", "enter")
        assert screen.wanted.what_if.minutes == (("saturday", -60.0),)
        assert screen.wanted.what_if.without == ("B1",)
        await hit(app, pilot, "asterisk", "7")
        assert screen.seen is not None
        assert screen.seen.asked is None
        assert "if without" not in flat(app)


async def test_every_what_if_there_is_can_be_asked_and_0_lets_them_go(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await hit(app, pilot, "asterisk", "2", "1", "8", "0", "enter")
        await hit(app, pilot, "asterisk", "4", "5", "enter")
        await hit(app, pilot, "asterisk", "5", "2")
        await hit(app, pilot, "asterisk", "6", "6", "9", "0", "enter")
        asked = screen.wanted.what_if
        assert asked.litres == (("R1", 80.0),)
        assert asked.more == (("A1", 1.0),)
        assert asked.second == ("R2",)
        assert asked.helper == (("saturday", 90.0),)
        assert screen.seen is not None
        assert screen.seen.asked is not None
        await hit(app, pilot, "0")
        assert screen.seen.asked is None
        assert on_top(app) is screen


async def test_what_cannot_be_asked_is_refused_and_leaves_the_plan(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        before = rows(screen)
        await hit(app, pilot, "asterisk", "4", "5", "backspace")
        await hit(app, pilot, "asterisk", "1", "6", "9", "9", "9", "9", "enter")
        assert "will not do; type -1440 to 1440" in screen.said
        assert rows(screen) == before


async def test_keys_do_not_wait_for_the_plan(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, SQUEEZE)
        screen.planner.wait_seconds = 0.5
        await pilot.press("plus")
        await pilot.press("6")
        assert "not worked out yet" in screen.said
        await pilot.press("2")
        assert in_hand(screen) != SQUEEZE
        await pilot.press("8")
        await hit(app, pilot, "plus")
        assert "Sat 6 to Mon 8 Mar" in screen.said
