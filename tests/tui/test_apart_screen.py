"""The list of fish kept apart with keys alone: what it shows at three sizes, acts, pages."""

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.problem import Problem
from roomtasks.room.stock import Group
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.signs import PLAIN
from roomtasks.tui.widgets.day_line import DayLineView
from roomtasks.tui.widgets.lines_view import LinesView
from roomtasks.work import course_acts, fish, room_acts, stay_acts
from tests.rooms import at, small_room, store_with
from tests.tui.desk import SATURDAY, flat, opened, screen_text
from tests.tui.list_keys import choose, escape, go, hit, on_apart, pick, said, typed, until_still

SIZES = [(60, 20), (80, 24), (140, 45)]
COURSE = Course(code="dips", name="Three days", product="remedy", amount=5.0, unit="ml",
                per_litres=100.0, caution="Gloves.")  # fmt: skip
STEPS = [
    *(CourseStep(course="dips", day=n, action="dose") for n in (0, 1, 2)),
    CourseStep(course="dips", day=1, action="change", share=0.25),
]


def told(answer: object) -> None:
    assert not isinstance(answer, Problem), answer


def a_store(folder: Path, **sheets: Any) -> Store:
    return store_with(folder, {**small_room(), **sheets})


def made(folder: Path, **sheets: Any) -> Path:
    store = a_store(folder, **sheets)
    store.close()
    return store.path


def dosed(folder: Path) -> Path:
    """A course in Q1 since Thursday 4 March, Friday's dose not noted."""
    store = a_store(folder)
    told(course_acts.keep_course(store, at("2027-03-04 07:00"), "mk", COURSE, STEPS))
    told(course_acts.start_course(store, at("2027-03-04 08:00"), "mk", "Q1", "dips"))
    store.close()
    return store.path


@pytest.mark.parametrize("size", SIZES)
async def test_a_lot_is_told_whole_at_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(made(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "s")
        seen = flat(app)
        for words in (
            "1 lot apart ▲ not looked at Q1 A5 Q1 free Sat 3 Apr",
            "next: A5 look at it today", "Q1 day 14 of 42 8 brevis stay-1",
            "it came on Sat 20 Feb, and 42", "unlooked 13 days", "6 looked: fine", "? keys",
        ):  # fmt: skip
            assert words in seen, words
        assert "…" not in seen
        laid = on_apart(app).laid
        width = on_apart(app).query_one(LinesView).size.width
        assert all(len(row.text) < width for row in laid.rows)
        assert on_apart(app).query_one(DayLineView).display == (size[0] > 60)


@pytest.mark.parametrize("size", SIZES)
async def test_a_long_refusal_is_shown_to_its_end(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(made(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "s")
        await choose(app, pilot, "moved to a tank, to breed or grow")
        await typed(app, pilot, "3")
        await pick(app, pilot, "B1")
        assert "[part-of-a-lot]" in flat(app)
        assert "at the lot [part-of-a-lot]. Nothing was entered." in flat(app)
        assert "roomtasks" not in flat(app)


async def test_looks_are_noted_by_one_key_and_taken_back(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "6")
        assert "Q1 looked at: fine." in said(app)
        assert "looked at today" in flat(app)
        assert "not looked at A5" in flat(app)
        await hit(app, pilot, "u")
        assert "Taken back" in said(app)
        assert "not looked at Q1 A5" in flat(app)


async def test_deaths_and_signs_are_told_apart(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await choose(app, pilot, "dead, explained")
        await typed(app, pilot, "1")
        await hit(app, pilot, "1")
        assert "died, explained: jumped" in said(app)
        assert "Q1 free Sat 3 Apr" in flat(app)
        await choose(app, pilot, "dead, unexplained")
        await typed(app, pilot, "x")
        assert "“x” is no whole number; type digits, as 8" in said(app)
        await choose(app, pilot, "sign of illness")
        await hit(app, pilot, "1")
        assert "sign of illness (white spots)" in said(app)
        assert "0 of 28 clear days since the sign" in flat(app)
        await choose(app, pilot, "not seen")
        await typed(app, pilot, "2")
        assert "not seen 2" in said(app)


async def test_a_course_shows_its_day_and_the_dose_that_was_missed(tmp_path: Path) -> None:
    async with opened(dosed(tmp_path), size=(80, 45)) as (app, pilot, _):
        await hit(app, pilot, "s")
        seen = flat(app)
        assert "1 dosed" in seen
        assert "next: Q1 Three days: a dose was missed, break it off and start again" in seen
        assert "Q1 Three days, course day 2 of 2, last Sat 6 Mar" in seen
        assert "today: 4.32 ml of remedy (dose not noted yet)" in seen
        assert "▲ missed: no dose noted on Fri 5 Mar" in seen
        assert "! Gloves." in seen
        key = next(item.key for item in on_apart(app).laid.items if item and "run " in item.key)
        await go(app, pilot, key)
        assert "6 break the course off" in flat(app)
        await hit(app, pilot, "5")
        assert "Label: 5 ml of remedy for 100 L" in flat(app)
        assert "day 1: change 25 %" in flat(app)
        await hit(app, pilot, "0", "6")
        await typed(app, pilot, "bottle empty")
        assert "it starts again at its first day? 1 yes" in flat(app)
        await hit(app, pilot, "1")
        assert "broken off on its day 2: bottle empty" in said(app)


async def test_a_room_with_no_course_says_where_one_is_typed(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await choose(app, pilot, "start a course")
        assert "none is kept yet; type it from its label first" in said(app)


async def test_a_course_for_a_whole_system_says_its_litres_first(tmp_path: Path) -> None:
    sheets = {"courses": [COURSE], "course_steps": STEPS}
    groups = [replace(row, tank="A5") if row.code == "lelupi" else row
              for row in small_room()["groups"]]  # fmt: skip
    async with opened(made(tmp_path, groups=groups, **sheets)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "watch A5")
        await choose(app, pilot, "start a course")
        await pick(app, pilot, "Three days")
        await hit(app, pilot, "1")
        assert "shared-water" in flat(app)
        assert "its water is the 713 L of S: all would be dosed, and its filter" in flat(app)
        await escape(app, pilot)
        assert "No course" not in flat(app)


async def test_a_valve_says_what_it_changes_before_the_yes(tmp_path: Path) -> None:
    async with opened(made(tmp_path), size=(80, 45)) as (app, pilot, clock):
        await hit(app, pilot, "s")
        await go(app, pilot, "system S")
        await hit(app, pilot, "6")
        await pick(app, pilot, "A5")
        assert "A5 leaves the water of S; S then holds 627 L, not 713" in flat(app)
        assert "shutting does not undo last week" in flat(app)
        await hit(app, pilot, "1")
        assert "valve of A5 on S shut" in said(app)
        clock.pass_by(days=1)
        await app.look_again()
        await until_still(app, pilot)
        assert "⊗ A5 shut from S since Sat 6 Mar, 0 % changed since; stays shut" in flat(app)
        await go(app, pilot, "valve A5")
        await hit(app, pilot, "6", "1")
        assert "[not-clear]" in flat(app)
        assert "set the class of A5 to clean once its clear days are over" in flat(app)
        await escape(app, pilot)


def history(folder: Path) -> Path:
    """A1 gave fish to B3, was cut off, and sold two; Q1's net went to B1."""
    store = a_store(folder)
    told(fish.move(store, at("2027-03-02 09:00"), "mk", "young-calvus", 2, "B3"))
    told(fish.take_out(store, at("2027-03-03 09:00"), "mk", "young-lelupi", 2, "sold", "A. Buyer"))
    told(room_acts.turn_valve(store, at("2027-03-04 09:00"), "mk", "A1", "shut"))
    store.close()
    return store.path


@pytest.mark.parametrize("size", SIZES)
async def test_who_met_whom_is_a_page_and_all_are_watched_by_one_yes(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(history(tmp_path), size=size) as (app, pilot, clock):
        await hit(app, pilot, "s")
        await go(app, pilot, "valve A1")
        await choose(app, pilot, "who met whom")
        assert "Days back, or a first and last day (Enter: 30): _" in flat(app)
        await typed(app, pilot)
        page = app.screen.query_one(LinesView)
        whole = " ".join(" ".join(page.row_at(n).text for n in range(page.count)).split())
        assert whole.startswith("Thu 4 Feb to Sat 6 Mar 2027: 6 tanks")
        assert "B3 Tue 2 Mar to Sat 6 Mar fish moved" in whole
        assert "A1 4 Feb > B3 by move of 2 Mar" in whole
        assert "LEFT THE ROOM: 2 young lelupi, sold Wed 3 Mar (A. Buyer)" in whole
        assert "6 watch all of these" in flat(app)
        await hit(app, pilot, "6")
        await typed(app, pilot, "white spots")
        assert "7 tanks: A1, A2, A3, A4, A5, A6, B3" in flat(app)
        assert "hold moves and sales from them? 1 yes" in flat(app)
        before = await app.desk.ask(read.room)
        await escape(app, pilot)
        assert await app.desk.ask(read.room) == before
        await choose(app, pilot, "who met whom")
        await typed(app, pilot, "2027-03-05 2027-03-06")
        await hit(app, pilot, "6")
        await typed(app, pilot, "white spots")
        assert "1 tank: A1" in flat(app)
        await hit(app, pilot, "1")
        assert "1 tank that met A1 under watch" in said(app)
        await hit(app, pilot, "u")
        assert await app.desk.ask(read.room) == before
        assert clock.instant == at(SATURDAY)


async def test_where_it_could_have_come_from_has_nothing_to_watch(tmp_path: Path) -> None:
    async with opened(history(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await choose(app, pilot, "where it could have come from")
        await typed(app, pilot, "next week")
        assert "“next” is not a date" in said(app)
        await choose(app, pilot, "where it could have come from")
        await typed(app, pilot, "14")
        assert "no other tank" in flat(app)
        assert "6 watch" not in flat(app)
        await hit(app, pilot, "6", "0")
        assert on_apart(app).question is None


async def test_the_release_list_is_shown_when_asked_for(tmp_path: Path) -> None:
    async with opened(made(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "list stay-1")
        await hit(app, pilot, "6")
        item = on_apart(app).item
        assert item is not None
        assert item.key == "line stay-1 dates"
        await go(app, pilot, "line stay-1 eating")
        await hit(app, pilot, "6")
        assert "release of stay-1: eating, normal droppings" in said(app)
        assert "✓ 3 eating, normal droppings: ticked Sat 6 Mar Maeve" in flat(app)
        await go(app, pilot, "line stay-1 tests")
        await choose(app, pilot, "nitrite read")
        await typed(app, pilot, "0.3")
        assert "nitrite 0.3 mg/L on Sat 6 Mar" in flat(app)


async def test_an_arrival_of_an_earlier_day_for_other_days(tmp_path: Path) -> None:
    sheets = small_room()
    tanks = [replace(row, role="quarantine") if row.code == "B3" else row
             for row in sheets["tanks"]]  # fmt: skip
    stocked = [row for row in sheets["stocked"] if row.tank != "B3"]
    path = made(tmp_path, tanks=tanks, stocked=stocked)
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "arrival")
        assert "An arrival (ready for it: B3)" in flat(app)
        await choose(app, pilot, "an arrival of an earlier day, or for other days")
        await pick(app, pilot, "B3")
        for words in ("Black Calvus", "about 12", "a friend", "-2", "60", ""):
            await typed(app, pilot, words)
        assert "lot" in said(app)
        assert "on day 2 of 60" in said(app)
        room = await app.desk.ask(read.room)
        assert not isinstance(room, Problem)
        group = next(row for row in room.groups if row.tank == "B3")
        assert (group.code, group.line, group.count) == ("black-calvus", "Black Calvus", 12)
        assert (group.count_known, group.origin) == ("about", "a friend")
        assert group.since == date(2027, 3, 4)


async def test_two_groups_in_a_lot_are_asked_about(tmp_path: Path) -> None:
    store = a_store(tmp_path)
    more = Group(code="new-2", line="ocellatus", tank="Q1", count=3, since=date(2027, 3, 5))
    when: datetime = at("2027-03-05 09:00")
    told(stay_acts.arrive(store, when, "mk", more, anyway=True))
    store.close()
    async with opened(store.path) as (app, pilot, _):
        await hit(app, pilot, "s")
        assert "Q1 day 1 of 42 8 brevis, 3 ocellatus" in flat(app)
        await choose(app, pilot, "dead, unexplained")
        assert "Which: 1 8 brevis (new-1) 2 3 ocellatus (new-2)" in flat(app)
        await hit(app, pilot, "2")
        await typed(app, pilot, "1")
        assert "1 of ocellatus (new-2) in Q1: died" in said(app)


async def test_an_empty_room_offers_an_arrival(tmp_path: Path) -> None:
    path = made(tmp_path, groups=[], stays=[], conditions=[], stocked=[], events=[])
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "s")
        assert "No lots apart" in flat(app)
        assert "'an arrival' begins a lot" in flat(app)
        assert not on_apart(app).query_one(DayLineView).display
        assert "6 an arrival" in flat(app)


async def test_plain_signs_draw_all_of_it_in_plain_letters(tmp_path: Path) -> None:
    async with opened(dosed(tmp_path), size=(140, 45)) as (app, pilot, _):
        app.signs = PLAIN
        await hit(app, pilot, "s")
        assert screen_text(app).isascii()
        assert "v today" in flat(app)
        assert "! missed" in flat(app)
