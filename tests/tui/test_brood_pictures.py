"""Growth and weeks as they are drawn: every line in its width, in dots, blocks and plain signs."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from roomtasks.room.problem import Problem
from roomtasks.room.room_full import WhatIf
from roomtasks.store.base import Store
from roomtasks.tui.brood_look import judge_places, read_broods
from roomtasks.tui.brood_pictures import drawing, growing
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.signs import PLAIN, SHAPES
from roomtasks.tui.widgets.growth_view import Growing, growth_lines
from roomtasks.tui.widgets.weeks_strip import Kind, strip_lines
from tests.rooms import at
from tests.tui.brood_room import DAY, brood_store
from tests.tui.desk import new_store, opened, screen_text
from tests.tui.list_keys import go, hit

DRAWN = Growing(
    title="c1", points=((10.0, 8.0, 10.0, 12.0), (20.0, 18.0, 20.0, 22.0)),
    line=tuple((float(age), float(age)) for age in range(10, 41)),
    spread=tuple((20.0 + n, 20 + 0.8 * n, 20 + 1.2 * n) for n in range(21)),
    limits=((30.0, "30 move"), (38.0, "38 sell")), today=20.0, last=40.0,
)  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = brood_store(tmp_path)
    yield made
    made.close()


def look(store: Store) -> BroodsSeen:
    found = read_broods(store, at(DAY), WhatIf())
    assert not isinstance(found, Problem)
    return judge_places(found)


def test_samples_forecast_and_limits_stand_where_they_belong() -> None:
    lines = growth_lines(DRAWN, 46, 44, PLAIN, False)
    assert lines[0].startswith("c1  o measured  line: forecast, spread")
    rows = {mm: lines[1 + 41 - round(mm / (1.08 * 40) * 41)] for mm in range(41)}
    assert rows[20][5 + 20] == "o"
    assert rows[22][5 + 20] == rows[18][5 + 20] == "|"
    assert rows[10][5 + 10] == "o"
    assert rows[30].startswith("  30|30 move")
    assert rows[38].startswith("  38|38 sell")
    assert rows[30][5 + 30] == "*"
    assert rows[28][5 + 30] == rows[32][5 + 30] == ":"
    assert "20 today" in lines[-1]


def test_dots_are_drawn_only_where_they_can_be() -> None:
    fine = "".join(growth_lines(DRAWN, 46, 12, SHAPES, True))
    plain = "".join(growth_lines(DRAWN, 46, 12, PLAIN, False))
    assert any(0x2800 < ord(sign) < 0x2900 for sign in fine)
    assert plain.isascii()
    assert growth_lines(DRAWN, 12, 12, SHAPES, True) == []
    assert growth_lines(DRAWN, 46, 4, SHAPES, True) == []


def test_what_has_no_samples_is_drawn_with_its_limits(store: Store) -> None:
    seen = look(store)
    drawn = growing(seen, seen.view.broods[1])
    assert not drawn.points
    assert not drawn.line
    text = "\n".join(growth_lines(drawn, 60, 10, SHAPES, True))
    assert "25 move" in text
    assert "35 sell" in text
    assert "3 today" in text


def test_the_forecast_is_the_one_that_is_told(store: Store) -> None:
    """25 mm on day 59, 35 mm on day 84 with 20 % of the days left to either side."""
    seen = look(store)
    drawn = growing(seen, seen.view.broods[0])
    line = dict(drawn.line)
    assert line[58.0] < 25 <= line[59.0]
    assert line[83.0] < 35 <= line[84.0]
    spread = {age: (least, most) for age, least, most in drawn.spread}
    assert spread[58.0][0] == pytest.approx(spread[58.0][1])
    assert spread[79.0][1] >= 35 > spread[78.0][1] - 0.4
    assert spread[90.0][0] >= 35 > spread[88.0][0]
    assert drawn.points[-1] == pytest.approx((58, 23, 25, 28))


@given(
    st.lists(st.tuples(st.floats(0, 400), st.floats(0.1, 3000)), max_size=6),
    st.lists(st.tuples(st.floats(0.1, 3000), st.text(max_size=12)), max_size=4),
    st.floats(0, 400), st.integers(1, 160), st.integers(1, 60), st.booleans(),
)  # fmt: skip
def test_no_plot_runs_over(
    points: list[tuple[float, float]], limits: list[tuple[float, str]], today: float, width: int,
    height: int, fine: bool,
) -> None:  # fmt: skip
    drawn = Growing(
        title="a", points=tuple((age, mm, mm, mm) for age, mm in points),
        line=tuple(sorted(points)), spread=tuple((age, mm, 2 * mm) for age, mm in points),
        limits=tuple(limits), today=today, last=today + 1,
    )  # fmt: skip
    lines = growth_lines(drawn, width, height, SHAPES if fine else PLAIN, fine)
    assert len(lines) <= height
    assert all(cell_len(line) == width for line in lines)


KINDS = (Kind("grow-out", 2, (1, 2, 3, 4) * 4), Kind("nursery", 1, (0, 1) * 8))


def test_weeks_show_numbers_and_a_sign_where_tanks_are_short() -> None:
    lines = strip_lines(KINDS, 3, 79, 8, SHAPES, True)
    assert lines[0].startswith("grow-out: 2 there, short from week 3")
    assert lines[2].split() == ["1", "2", "▲3", "▲4"] * 4
    assert lines[3].startswith("nursery: 1 there, never short")
    assert lines[-1].split()[:4] == ["1", "2", "▶3", "4"]
    assert "▒" in strip_lines(KINDS, 3, 79, 20, SHAPES, True)[1]


def test_weeks_in_plain_signs() -> None:
    lines = strip_lines(KINDS, 0, 58, 20, PLAIN, False)
    assert all(line.isascii() for line in lines)
    assert any("%" in line for line in lines)
    assert any("#" in line for line in lines)
    assert any("!3" in line and "!4" in line for line in lines)
    assert strip_lines(KINDS, 0, 40, 20, PLAIN, False) == []
    assert strip_lines((), 0, 80, 20, PLAIN, False) == []


@given(
    st.lists(st.tuples(st.integers(0, 30), st.lists(st.integers(0, 99), min_size=16, max_size=16)),
             min_size=1, max_size=3),
    st.integers(0, 16), st.integers(48, 160), st.integers(12, 60), st.booleans(),
)  # fmt: skip
def test_no_strip_runs_over(
    kinds: list[tuple[int, list[int]]], hand: int, width: int, height: int, fine: bool
) -> None:
    made = [Kind(f"kind {n}", there, tuple(many)) for n, (there, many) in enumerate(kinds)]
    lines = strip_lines(made, hand, width, height, SHAPES if fine else PLAIN, fine)
    assert len(lines) <= height
    assert all(cell_len(line) == width for line in lines)


def test_a_line_of_no_brood_has_the_weeks_beside_it(store: Store) -> None:
    seen = look(store)
    weeks = drawing(seen, "week 2", PLAIN, False)
    assert weeks is not None
    assert ">2" in weeks(79, 8)[-1]
    growth = drawing(seen, "c1", PLAIN, False)
    assert growth is not None
    assert "o" in growth(79, 8)[3]


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 45)])
async def test_the_picture_follows_the_line_in_hand(
    tmp_path: Path, size: tuple[int, int]
) -> None:  # fmt: skip
    store = brood_store(tmp_path)
    store.close()
    async with opened(store.path, when=DAY, size=size) as (app, pilot, _):
        await hit(app, pilot, "v")
        shown = size[0] > 60
        assert ("c1 calvus: mm by day" in screen_text(app)) == shown
        await go(app, pilot, "brood l1")
        assert ("l1 lelupi: mm by day" in screen_text(app)) == shown
        await go(app, pilot, "week 1")
        assert ("grow-out: 3 there, never short" in screen_text(app)) == shown


async def test_a_room_without_broods_or_such_tanks_draws_nothing_odd(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "v", "2", "2", "8")
        assert "No brood is open" in screen_text(app)
