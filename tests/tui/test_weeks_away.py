"""Days away by keys alone: asked about, shown, kept on a yes, taken out again."""

from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.setup import Away, Person
from roomtasks.tui.screens.page import PageScreen
from tests.rooms import small_room
from tests.tui.desk import flat, new_store, opened, screen_text, settle
from tests.tui.list_keys import hit
from tests.tui.weeks_keys import SIZES, away_in, go_to, in_hand, on_top, rows, weeks_of

JULY = "2027-07-28 07:30"
STORED = Away(first=date(2027, 8, 2), last=date(2027, 8, 15), stand_in="tb")


@pytest.mark.parametrize("size", SIZES)
async def test_days_away_are_shown_first_and_kept_on_a_yes(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "12 of 45 min", after="Wed 10 Mar")
        assert "6 away from here" in flat(app)
        await hit(app, pilot, "6", "1", "4", "enter")
        assert isinstance(app.screen, PageScreen)
        await settle(pilot)
        page = flat(app)
        assert "Away Wed 10 Mar to Sun 14 Mar: only asked" in page
        for head in ("No place: decide now", "Before", "Can wait"):
            assert head in page
        assert away_in(path) == [STORED]
        await hit(app, pilot, "0")
        assert on_top(app) is screen
        assert "Keep away Wed 10 Mar to Sun 14 Mar; Tom stands in" in flat(app)
        await hit(app, pilot, "1")
        assert away_in(path)[0] == Away(
            first=date(2027, 3, 10), last=date(2027, 3, 14), stand_in="tb"
        )
        assert "away Wed 10 Mar to Sun 14 Mar" in screen.said
        await go_to(app, pilot, "Away: Tom stands in", after="Wed 10 Mar, away")
        if size != (60, 20):
            assert "╱" in screen_text(app)
        await hit(app, pilot, "u")
        assert away_in(path) == [STORED]


async def test_a_no_keeps_nothing_and_a_wrong_day_is_refused(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "12 of 45 min", after="Wed 10 Mar")
        await hit(app, pilot, "6", "1", "4", "enter", "0", "escape")
        assert away_in(path) == [STORED]
        assert on_top(app) is screen
        await hit(app, pilot, "4", "9", "9", "enter")
        assert "is no day; type the last day as 21 or 21.3" in screen.said
        await hit(app, pilot, "4", "2", "0", "full_stop", "9", "enter")
        assert "days ahead; a plan reaches 49 days" in screen.said
        assert away_in(path) == [STORED]


async def test_not_away_after_all(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, when=JULY) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        assert "away from Mon 2" in screen_text(app).split("\n")[1]
        await go_to(app, pilot, "Away: Tom stands in, 12 min", after="Tue 3 Aug, away")
        assert in_hand(screen).endswith("jobs")
        await hit(app, pilot, "6")
        assert "Not away Mon 2 Aug to Sun 15 Aug after all? 1 yes" in flat(app)
        await hit(app, pilot, "1")
        assert away_in(path) == []
        assert not any("away" in row for row in rows(screen) if row.startswith("Tue 3 Aug"))


async def test_who_stands_in_is_asked_where_there_are_several(tmp_path: Path) -> None:
    sheets = small_room()
    sheets["people"].append(Person(code="ann", name="Ann", part="stand-in"))
    path = new_store(tmp_path, sheets)
    async with opened(path) as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await go_to(app, pilot, "12 of 45 min", after="Wed 10 Mar")
        await hit(app, pilot, "6", "1", "4", "enter")
        assert "Who stands in: 1 Ann 2 Tom" in flat(app)
        await hit(app, pilot, "1", "0", "1")
        assert away_in(path)[0].stand_in == "ann"
        assert screen.wanted.away is None


async def test_back_from_days_away_the_plan_of_catching_up_is_shown_and_kept(
    tmp_path: Path,
) -> None:
    path = new_store(tmp_path)
    async with opened(path, when="2027-08-16 07:30") as (app, pilot, _):
        screen = await weeks_of(app, pilot)
        await hit(app, pilot, "1")
        assert "6 catch up" in flat(app)
        await hit(app, pilot, "6")
        assert isinstance(app.screen, PageScreen)
        await settle(pilot)
        assert "Back from Mon 2 Aug to Sun 15 Aug: nothing is kept yet" in flat(app)
        assert "Catching up, day by day" in flat(app)
        await hit(app, pilot, "0")
        assert "Keep this plan of catching up after Mon 2 Aug to Sun 15 Aug? 1 yes" in flat(app)
        await hit(app, pilot, "1")
        assert screen.said.startswith("catching up: ")
        await hit(app, pilot, "u")
        assert screen.said.startswith("Taken back")
