"""Words, typed answers and the line of days of fish kept apart, without a terminal."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.tui.apart_asks import (
    Choices,
    code_of,
    counted,
    day_of,
    made_code,
    span_of,
    whole,
)
from roomtasks.tui.apart_days import day_lines_of
from roomtasks.tui.apart_lines import apart_parts
from roomtasks.tui.apart_words import next_words, refusal, said_days, top_words
from roomtasks.tui.here_words import on_screen
from roomtasks.tui.signs import PLAIN, SHAPES
from roomtasks.tui.widgets.day_line import FREE, LETTERS, DayLine, day_lines, legend
from roomtasks.work.apart_view import ApartView, apart_view
from roomtasks.work.course_acts import start_course
from tests.rooms import at, small_room, store_with

TODAY = date(2027, 3, 6)
DAYS = st.integers(min_value=0, max_value=500)
MARKS = st.lists(st.tuples(DAYS, st.sampled_from([letter for letter, _ in LETTERS])))


@pytest.fixture
def seen(tmp_path: Path) -> ApartView:
    with store_with(tmp_path, small_room()) as store:
        found = apart_view(store, at("2027-03-06 08:00"), {})
    assert isinstance(found, ApartView)
    return found


def test_refusals_name_the_rule_and_what_the_screen_has(seen: ApartView) -> None:
    told = refusal(Problem("Q1", "lot x is there", "move it by 'roomtasks move-lot x TANK'",
                           "two-lots"))  # fmt: skip
    assert told == (
        "Refused: Q1: lot x is there; move it by 'move the whole lot' at the lot [two-lots]"
    )
    asked = refusal(Problem("Q1", "all go back", "say so again with --anyway", "ask"))
    assert "Refused" not in asked
    assert "--anyway" not in asked
    two = refusal(Problem("Q1", "x is in its water", "then say --also", "two-medicines"))
    assert "--also" not in two
    assert on_screen("'roomtasks confirm lot-1 eating' once it is so") == (
        "tick eating in its release list by 6 once it is so"
    )
    assert on_screen("'roomtasks racks' shows them") == "the walk shows them"


def test_dates_are_said_as_a_keeper_says_them() -> None:
    assert said_days("look on 2027-03-07, not 2027-13-40") == "look on Sun 7 Mar, not 2027-13-40"


@pytest.mark.parametrize("width", [40, 60, 80, 140])
def test_the_top_line_is_never_cut(seen: ApartView, width: int) -> None:
    words = top_words(seen, SHAPES, width)
    assert cell_len(words) <= width
    assert words.startswith("1 lot apart  ▲ not looked at Q1 A5")


def test_the_longest_unlooked_tank_is_next(seen: ApartView) -> None:
    assert next_words(seen) == "next: A5 look at it today"


def test_a_dose_of_today_is_next_before_a_look_that_is_owed(tmp_path: Path) -> None:
    course = Course(code="dips", name="Two days", product="remedy", amount=5.0, unit="ml",
                    per_litres=100.0)  # fmt: skip
    steps = [CourseStep(course="dips", day=n, action="dose") for n in (0, 1)]
    began = at("2027-03-05 08:00")
    with store_with(tmp_path, {**small_room(), "courses": [course], "course_steps": steps}) as it:
        assert not isinstance(start_course(it, began, "mk", "Q1", "dips"), Problem)
        found = apart_view(it, at("2027-03-06 08:00"), {})
    assert isinstance(found, ApartView)
    assert next_words(found) == "next: Q1 course day 1: 4.32 ml of remedy"


def test_every_act_of_every_line_has_a_label_and_no_command_in_it(seen: ApartView) -> None:
    parts = apart_parts(seen, PLAIN, frozenset({"stay-1"}))
    items = [item for part in parts for item in part.items]
    assert len({item.key for item in items}) == len(items)
    for item in items:
        assert "roomtasks" not in " ".join((item.text, *item.more))
        assert len({act.label for act in item.acts}) == len(item.acts)
    assert all(item.text.isascii() for item in items)


@pytest.mark.parametrize(("text", "value"), [("8", 8), (" about 30", 30), ("~ 5", 5)])
def test_counts_are_read(text: str, value: int) -> None:
    assert whole(text) == value
    assert counted(text) == (value, "exact" if text == "8" else "about")


@pytest.mark.parametrize("text", ["", "x", "-3", "8.5", "1e3", "٣", "99999999"])
def test_what_is_no_count_is_said(text: str) -> None:
    assert isinstance(whole(text), Problem)
    assert isinstance(counted(text), Problem)


def test_days_and_spans_are_read() -> None:
    assert day_of("today", TODAY) == TODAY
    assert day_of("-2", TODAY) == date(2027, 3, 4)
    assert day_of("2027-02-01", TODAY) == date(2027, 2, 1)
    assert isinstance(day_of("soon", TODAY), Problem)
    assert span_of("30", TODAY) == (date(2027, 2, 4), TODAY)
    assert span_of("2027-02-01 to 2027-02-09", TODAY) == (date(2027, 2, 1), date(2027, 2, 9))
    assert span_of("2027-02-01", TODAY) == (date(2027, 2, 1), TODAY)


@given(st.text(max_size=30))
def test_no_span_breaks_it(text: str) -> None:
    found = span_of(text, TODAY)
    assert isinstance(found, Problem) or len(found) == 2


@given(st.text(max_size=60))
def test_a_code_is_made_of_any_kind(text: str) -> None:
    room = Room(setup=small_room()["setup"][0], groups=tuple(small_room()["groups"]))
    made = made_code(room, text)
    assert code_of(made) == made
    assert made not in {group.code for group in room.groups}


def test_choices_name_every_tank_once(seen: ApartView) -> None:
    ask = Choices(seen)
    where = ask.tank("Where", ("A1",), ("B3",))
    assert where.values[0] == "B3"
    assert "A1" not in where.values
    assert len(set(where.values)) == len(where.values) == len(seen.room.tanks) - 1
    assert sorted(ask.taker().values) == sorted(tank.code for tank in seen.room.tanks)
    assert "Q1  NOT: lot stay-1 is on day 14 of 42 there" in ask.taker().choices


def test_a_line_of_days_has_its_marks_in_their_places(seen: ApartView) -> None:
    (line,) = day_lines_of(seen, "stay-1")
    name, axis, track = day_lines(line, 60, PLAIN)
    assert name.rstrip() == "Q1 day 14 of 42, free Sat 3 Apr"
    assert (axis.index("v"), track[0], track.rstrip()[-1]) == (14, "A", FREE)
    assert track.rstrip() == "A" + "?" * 13 + "-" * 28 + FREE
    wide = day_lines(line, 100, PLAIN)[2]
    assert wide.rstrip().index(FREE) == 84


@given(came=DAYS, restart=DAYS, today=DAYS, free=DAYS, width=st.integers(1, 140), marks=MARKS)
def test_any_line_of_days_fits_its_width(
    came: int, restart: int, today: int, free: int, width: int, marks: list[tuple[int, str]]
) -> None:
    day_0 = TODAY + timedelta(days=came + restart)
    line = DayLine(
        name="Q1", came=TODAY + timedelta(days=came), day_0=day_0,
        today=day_0 + timedelta(days=today), free=day_0 + timedelta(days=free),
        marks=tuple((TODAY + timedelta(days=came + n), letter) for n, letter in marks),
        unlooked=frozenset(),
    )  # fmt: skip
    rows = [*day_lines(line, width, SHAPES), legend([line], max(width, 20), SHAPES)]
    assert all(cell_len(row) <= max(width, 20) for row in rows)
    if width >= 10:
        assert FREE in day_lines(line, width, SHAPES)[2]
        assert SHAPES.now in day_lines(line, width, SHAPES)[1]
