"""Chains, counts that are open, tanks made over and the weeks, by keys alone."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from roomtasks.room.room_full import WhatIf
from roomtasks.tui.app import RoomApp
from tests.tui.brood_room import DAY, MONDAY, brood_store, chain_store
from tests.tui.desk import flat, opened
from tests.tui.list_keys import choose, go, hit, later, lines, on_broods, pick, room_of, said, typed

SIZES = [(60, 20), (80, 24), (140, 45)]
CHANGE_DAY = "2027-03-06 10:00"


@pytest.fixture
def full(tmp_path: Path) -> Path:
    store = chain_store(tmp_path)
    store.close()
    return store.path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    store = brood_store(tmp_path)
    store.close()
    return store.path


def where(path: Path) -> dict[str, tuple[str, int]]:
    return {group.code: (group.tank, group.count) for group in room_of(path).groups}


@pytest.mark.parametrize("size", SIZES)
async def test_a_chain_is_shown_and_planned_on_a_yes(full: Path, size: tuple[int, int]) -> None:
    async with opened(full, when=MONDAY, size=size) as (app, pilot, _):
        await hit(app, pilot, "v")
        await choose(app, pilot, "plan a move with a sale")
        await pick(app, pilot, "not A2")
        await pick(app, pilot, "50 c (large) in A3")
        assert "Asked, not kept yet" in flat(app)
        assert "1. large A3 to a buyer Sat 6 Mar" in flat(app)
        assert "2. half A2 to A3 Sat 6 Mar" in flat(app)
        assert "3. s1 B1 to A2 Sat 6 Mar" in flat(app)
        assert "3 links, no shorter chain can be" in lines(app)
        assert said(app) == "Do that? 1 yes  0 leaves it"
        await hit(app, pilot, "escape")
        assert "Asked, not kept yet" not in lines(app)
        assert room_of(full).planned_moves == ()
        await choose(app, pilot, "plan a move with a sale")
        await pick(app, pilot, "not A2")
        await pick(app, pilot, "50 c (large) in A3")
        await hit(app, pilot, "1")
        assert "3 links (no shorter one can be)" in said(app)
        assert "0 of 3 links done, the last Sat 6 Mar" in lines(app)
        assert "3. 60 s1 B1 to A2 Sat 6 Mar, in 5 days, waits for link 1" in lines(app)


async def test_a_chain_that_cannot_be_says_the_least_that_would_do(full: Path) -> None:
    async with opened(full, when=MONDAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await choose(app, pilot, "plan move")
        await pick(app, pilot, "not A2")
        assert "no chain of moves brings it to a tank" in said(app)
        assert "sell or give away the 50 of large in A3" in said(app)
        assert on_broods(app).question is None
        assert room_of(full).planned_moves == ()


async def planned(app: RoomApp, pilot: "Pilot[int]") -> None:
    await choose(app, pilot, "plan a move with a sale")
    await pick(app, pilot, "not A2")
    await pick(app, pilot, "50 c (large) in A3")
    await hit(app, pilot, "1")


async def test_links_are_done_in_order_and_an_open_count_is_settled(full: Path) -> None:
    async with opened(full, when=MONDAY) as (app, pilot, clock):
        await hit(app, pilot, "v")
        await planned(app, pilot)
        await later(app, pilot, clock, days=5, hours=1)
        chain = room_of(full).planned_moves[0].chain
        await go(app, pilot, f"link {chain} 2")
        await hit(app, pilot, "6")
        await typed(app, pilot, "")
        assert "link 1 comes first: large out of A3" in said(app)
        await go(app, pilot, f"link {chain} 1")
        await hit(app, pilot, "6", "1")
        assert "50 of c (large) in A3: sold" in said(app)
        await go(app, pilot, f"link {chain} 2")
        await hit(app, pilot, "6")
        await typed(app, pilot, "91")
        assert "91 in, of 90 out" in said(app)
        await hit(app, pilot, "6")
        await typed(app, pilot, "88")
        assert "90 out, 88 in: open until settled" in said(app)
        assert "half: 90 in, 88 seen, 2 open, A3 since Sat 6 Mar" in lines(app)
        assert "1 count open" in flat(app)
        await go(app, pilot, f"open {chain} 2")
        await hit(app, pilot, "6")
        await typed(app, pilot, "91")
        assert "91 seen, of 90 put in" in said(app)
        await hit(app, pilot, "6")
        await typed(app, pilot, "89")
        assert "settled: 89 of 90 seen, 1 written off" in said(app)
        assert "Counts that are open" not in lines(app)
    assert where(full)["half"] == ("A3", 89)


async def test_a_late_link_slips_with_all_behind_it_and_the_chain_is_dropped(full: Path) -> None:
    async with opened(full, when=MONDAY) as (app, pilot, clock):
        await hit(app, pilot, "v")
        await planned(app, pilot)
        chain = room_of(full).planned_moves[0].chain
        await later(app, pilot, clock, days=7)
        await go(app, pilot, f"link {chain} 1")
        await choose(app, pilot, "slip to a day")
        await typed(app, pilot, "2027-03-02")
        assert "Tue 2 Mar is gone by" in said(app)
        await choose(app, pilot, "slip to a day")
        await typed(app, pilot, "13")
        assert "link 1 to Sat 13 Mar; behind it: 1 on Sat 13 Mar, 2 on Sat 13 Mar" in said(app)
        await choose(app, pilot, "drop the chain")
        await hit(app, pilot, "1")
        assert "dropped: 3 of 3 links not done" in said(app)
        assert "links done" not in lines(app)


@pytest.mark.parametrize("size", SIZES)
async def test_a_tank_is_made_over_step_by_step(path: Path, size: tuple[int, int]) -> None:
    async with opened(path, when=DAY, size=size) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "begin over")
        await hit(app, pilot, "6")
        await pick(app, pilot, "B3")
        await typed(app, pilot, "+2")
        await pick(app, pilot, "not known yet")
        await typed(app, pilot, "calvus")
        assert "B3 is made over on Sat 8 May" in said(app)
        code = room_of(path).rededications[0].code
        await go(app, pilot, f"step {code} 2")
        await hit(app, pilot, "6")
        assert "step 2 waits for step 1" in said(app)
        assert "1. destination of the old group fixed GATE" in lines(app)
        await go(app, pilot, f"step {code} 1")
        await hit(app, pilot, "6")
        await typed(app, pilot, "none in it")
        for step in (2, 3, 4):
            await go(app, pilot, f"over {code}")
            assert f"6 step {step} done" in flat(app)
            await hit(app, pilot, "6")
        assert "pump and heater are off: this must not stay so overnight; do step 12" in lines(app)
        assert "B3: step 4 is done and pump and heater are off, not so" in flat(app)
        await choose(app, pilot, "end it here")
        await hit(app, pilot, "1")
        assert "finish that step first" in said(app)


async def test_what_if_is_asked_of_the_weeks_and_not_kept(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        before, seen = room_of(path), on_broods(app).seen
        assert seen is not None
        expected = [week.wanted for week in seen.view.weeks]
        await go(app, pilot, "weeks say")
        await hit(app, pilot, "6", "1")
        assert "WHAT IF, not kept" in flat(app)
        assert "WHAT IF, not kept: calvus rests" in lines(app)
        asked = on_broods(app).seen
        assert asked is not None
        assert sum(week.wanted for week in asked.view.weeks) < sum(expected)
        await go(app, pilot, "week 2")
        await choose(app, pilot, "what if sold in week 2")
        await hit(app, pilot, "1")
        assert "calvus rests, c1 sold by the end of week 2" in lines(app)
        await go(app, pilot, "weeks say")
        await choose(app, pilot, "what if sold by a week")
        await hit(app, pilot, "1")
        await typed(app, pilot, "17")
        assert "week 17 is not among the 16" in said(app)
        await choose(app, pilot, "as it is")
        assert on_broods(app).what_if == WhatIf()
        again = on_broods(app).seen
        assert again is not None
        assert [week.wanted for week in again.view.weeks] == expected
        assert room_of(path) == before
