"""What is done at the lines of the broods by keys: stages, samples, shares, the account."""

from pathlib import Path

import pytest

from tests.tui.brood_room import DAY, brood_store
from tests.tui.desk import flat, new_store, opened
from tests.tui.list_keys import choose, go, hit, lines, on_broods, pick, room_of, said, typed

SIZES = [(60, 20), (80, 24), (140, 45)]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    store = brood_store(tmp_path)
    store.close()
    return store.path


def counts(path: Path, line: str) -> dict[str, tuple[str, int]]:
    return {g.code: (g.tank, g.count) for g in room_of(path).groups if g.line == line}


async def test_6_enters_what_is_next_and_the_next_after_it_follows(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "brood l1")
        assert "6 hatch seen" in flat(app)
        await hit(app, pilot, "6")
        assert said(app).startswith("l1: hatch seen Thu 6 May")
        assert "l1 lelupi of lelupi B2 day 3, hatched not counted" in lines(app)
        assert "6 culture started" in flat(app)
        await hit(app, pilot, "6")
        assert "6 brine started" in flat(app)
        await hit(app, pilot, "u")
        assert "6 culture started" in flat(app)
    stages = [row.stage for row in room_of(path).sightings if row.brood == "l1"]
    assert stages == ["hatch", "spawn"] or stages == ["spawn", "hatch"]


async def test_a_stage_of_another_day_with_its_losses(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "brood l1")
        await choose(app, pilot, "stage, day and losses")
        await hit(app, pilot, "1")
        await typed(app, pilot, "-1", "60", "12")
        assert "l1: hatch seen Wed 5 May, 60 counted" in said(app)
    row = next(r for r in room_of(path).sightings if (r.brood, r.stage) == ("l1", "hatch"))
    assert (row.day.isoformat(), row.count, row.lost) == ("2027-05-05", 60, 12)


@pytest.mark.parametrize("size", SIZES)
async def test_lengths_are_typed_in_mm_with_the_number_pad(
    path: Path, size: tuple[int, int]
) -> None:
    async with opened(path, when="2027-05-20 10:00", size=size) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "sample c1")
        await choose(app, pilot, "measured")
        await typed(app, pilot, "29+30.5+33")
        assert "c1: 3 measured Thu 20 May, 2.9 to 3.3 cm, middle 3.05 cm (total)" in said(app)
        assert "3 measured Thu 20 May, today: smallest 29, middle 30.5, largest 33 mm" in lines(app)


async def test_three_of_many_measured_earlier(path: Path) -> None:
    async with opened(path, when="2027-05-20 10:00") as (app, pilot, _):
        await hit(app, pilot, "v")
        await choose(app, pilot, "measured, three of many")
        await typed(app, pilot, "19", "15", "28 30 34")
        assert "c1: 15 measured Wed 19 May" in said(app)


async def test_a_sample_of_ten_times_the_last_is_asked_and_not_refused(path: Path) -> None:
    async with opened(path, when="2027-05-20 10:00") as (app, pilot, _):
        await hit(app, pilot, "v")
        before = len(room_of(path).samples)
        await choose(app, pilot, "measured")
        await typed(app, pilot, "260")
        assert "26 cm, after 2.5 cm on Thu 6 May; mm for cm?" in said(app)
        assert said(app).endswith("Do it all the same? 1 yes  0 leaves it")
        await hit(app, pilot, "escape")
        assert len(room_of(path).samples) == before
        await choose(app, pilot, "measured")
        await typed(app, pilot, "260")
        await hit(app, pilot, "1")
        assert len(room_of(path).samples) == before + 1


async def test_what_cannot_be_is_told_at_the_foot_and_nothing_changes(path: Path) -> None:
    async with opened(path, when="2027-05-20 10:00") as (app, pilot, _):
        await hit(app, pilot, "v")
        before = room_of(path)
        for label, text, why in (
            ("measured", "-14", "-14 mm is no length; give lengths above 0, in mm"),
            ("count", "x", "“x” is no count of fish"),
            ("sold", "121", "there are 120, not 121"),
        ):
            await choose(app, pilot, label)
            await typed(app, pilot, text)
            if on_broods(app).question is not None:
                await hit(app, pilot, "1")
            assert why in said(app), (label, said(app))
            assert room_of(path) == before, label


async def test_dates_out_of_order_are_told(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        before = room_of(path)
        await go(app, pilot, "brood l1")
        await choose(app, pilot, "stage, day and losses")
        await hit(app, pilot, "1")
        await typed(app, pilot, "2027-05-01", "", "")
        assert "Sat 1 May is before the spawn on Mon 3 May; correct the day" in said(app)
        await choose(app, pilot, "stage, day and losses")
        await hit(app, pilot, "4")
        await typed(app, pilot, "+2", "", "")
        assert "lies ahead" in said(app)
        assert room_of(path) == before


async def test_every_tank_is_judged_on_a_page_and_a_refused_one_asks(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "tank c1 c1")
        await choose(app, pilot, "split")
        await typed(app, pilot, "30")
        page = flat(app)
        assert "Where 120 of c1 can go" in page
        assert page.index("A6 holds all 120") < page.index("B3 holds 38 by 0.2 g/L")
        assert page.index("B3 holds 38") < page.index("not A2: young lelupi")
        assert "[kept-apart]" in page
        await pick(app, pilot, "not A2")
        assert "looks like calvus" in said(app)
        assert said(app).endswith("Do it all the same? 1 yes  0 leaves it")
        await hit(app, pilot, "escape")
        assert counts(path, "calvus")["c1"] == ("B1", 120)
        await choose(app, pilot, "split")
        await typed(app, pilot, "30")
        await pick(app, pilot, "A6")
        assert "c1 split: 30 to A6" in said(app)
        assert "A6 (c1.2): about 30" in lines(app)
    assert counts(path, "calvus")["c1"] == ("B1", 90)


async def test_grading_parts_the_large_ones(path: Path) -> None:
    async with opened(path, when="2027-05-20 10:00") as (app, pilot, _):
        await hit(app, pilot, "v")
        await choose(app, pilot, "measured")
        await typed(app, pilot, "20+29+42")
        assert "6 plan move" in flat(app)
        item = on_broods(app).item
        assert item is not None
        assert "the largest, 4.2 cm, is 2.1 times the smallest" in " ".join(item.more)
        await choose(app, pilot, "grade")
        await typed(app, pilot, "25")
        await pick(app, pilot, "A6")
        assert "c1 graded: 25 to A6" in said(app)


async def test_a_count_a_move_and_a_sale(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await go(app, pilot, "tank c1 c1")
        await choose(app, pilot, "count")
        await typed(app, pilot, "117")
        await hit(app, pilot, "1")
        assert "B1: 117 counted" in lines(app)
        await choose(app, pilot, "moved")
        await typed(app, pilot, "")
        await pick(app, pilot, "A6")
        assert counts(path, "calvus")["c1"] == ("A6", 117)
        await go(app, pilot, "brood c1")
        await choose(app, pilot, "sold")
        await typed(app, pilot, "17")
        assert counts(path, "calvus")["c1"] == ("A6", 100)


async def test_closed_with_its_account_which_is_shown_first(path: Path) -> None:
    async with opened(path, when=DAY) as (app, pilot, _):
        await hit(app, pilot, "v")
        await choose(app, pilot, "sold")
        await typed(app, pilot, "100")
        await choose(app, pilot, "count")
        await typed(app, pilot, "18")
        await hit(app, pilot, "1")
        await choose(app, pilot, "close with its account")
        await typed(app, pilot, "")
        assert "120 counted = 100 sold + 18 kept + 0 died + 0 given, 2 open" in lines(app)
        assert said(app) == "Close it? 1 yes  0 leaves it"
        await hit(app, pilot, "1")
        assert "and 2 nothing accounts for" in said(app)
        assert "--" not in said(app)
        await hit(app, pilot, "1")
        assert "c1 closed: 120 counted = 100 sold + 18 kept + 2 died + 0 given" in said(app)
        assert "c1 calvus closed Thu 6 May: 120 counted = 100 sold" in lines(app)


@pytest.mark.parametrize("size", SIZES)
async def test_a_spawn_is_reachable_in_a_room_without_broods(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        await hit(app, pilot, "v", "6")
        await pick(app, pilot, "lelupi (lelupi) in B2")
        await typed(app, pilot, "", "-1", "80")
        assert "brood lelupi1 of lelupi in B2, spawned Fri 5 Mar" in said(app)
        assert "lelupi1 lelupi of lelupi B2 day 1, eggs not counted" in lines(app)
        await go(app, pilot, "begin spawn")
        await choose(app, pilot, "a spawn, parents not known")
        await pick(app, pilot, "A3")
        await typed(app, pilot, "brevis", "br-1", "", "")
        assert "brood br-1 of brevis in A3, spawned Sat 6 Mar" in said(app)
