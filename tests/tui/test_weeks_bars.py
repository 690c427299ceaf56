"""Bars of days: every day drawn from 40 cells on, numbers whole, a sign at what is over."""

import re
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.tui.signs import PLAIN, SHAPES, Signs
from roomtasks.tui.widgets.bars_view import LETTERS, WEEKDAYS, Bar, Chart, drawn

FIRST = date(2027, 5, 16)
bars = st.builds(
    Bar,
    value=st.floats(0, 3000).map(lambda value: round(value, 1)),
    limit=st.none() | st.integers(0, 900).map(float),
    hatched=st.booleans(),
)
spans = st.sampled_from((7, 14, 28, 56))


@st.composite
def charts_of(draw: st.DrawFn) -> tuple[Chart, ...]:
    days = draw(spans)
    names = ("min", *draw(st.sampled_from(((), ("R1 L",), ("R1 L", "LONGER-1 L")))))
    return tuple(
        Chart(name, tuple(draw(st.lists(bars, min_size=days, max_size=days)))) for name in names
    )


def letters(charts: tuple[Chart, ...]) -> str:
    days = [FIRST + timedelta(days=n) for n in range(len(charts[0].bars))]
    return "".join(LETTERS[day.weekday()] for day in days)


@settings(max_examples=60, deadline=None)
@given(
    charts=charts_of(), width=st.integers(40, 150), height=st.integers(6, 50),
    lying=st.booleans(), hand=st.integers(-1, 60), signs=st.sampled_from((SHAPES, PLAIN)),
)  # fmt: skip
def test_every_day_is_drawn_and_no_number_is_cut(
    charts: tuple[Chart, ...], width: int, height: int, lying: bool, hand: int, signs: Signs
) -> None:
    lines = drawn(
        charts, FIRST, FIRST + timedelta(days=hand), width, height, lying, signs
    ).lines()  # fmt: skip
    assert len(lines) == height
    assert all(len(line) == width for line in lines)
    text = "\n".join(lines)
    days = len(charts[0].bars)
    named = re.findall(r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun) +\d+", text)
    short = re.findall(r"\b(?:Mo|Tu|We|Th|Fr|Sa|Su)\d+", text)
    compact = [
        line.replace(" ", "") for line in lines
        if line.strip() and set(line.replace(" ", "")) <= set(LETTERS)
    ]  # fmt: skip
    if named:
        assert sorted(named) == sorted(WEEKDAYS[(FIRST + timedelta(n)).weekday()]
                                       for n in range(days))  # fmt: skip
    elif short:
        assert len(short) == days
    else:
        assert "".join(compact) == letters(charts)
    _numbers_are_whole(text, charts)


def _numbers_are_whole(text: str, charts: tuple[Chart, ...]) -> None:
    """Every number on the sheet is one of a bar, of a full bar, or of a day."""
    whole = {bar.number for chart in charts for bar in chart.bars}
    whole |= {f"{chart.top:.0f}" for chart in charts}
    whole |= {str(n) for n in range(1, 32)}
    without_names = re.sub(r"R1|LONGER-1|LONGE…|LONG…", "", text)
    assert set(re.findall(r"\d+", without_names)) <= whole


def test_a_bar_over_its_limit_has_the_sign_at_its_number() -> None:
    chart = Chart("min", (Bar(52, 45), *[Bar(12, 45)] * 13))
    for signs in (SHAPES, PLAIN):
        for lying in (False, True):
            text = "\n".join(drawn((chart,), FIRST, None, 80, 20, lying, signs).lines())
            assert f"52{signs.late}" in text
            assert text.count(signs.late) >= 1
            assert f"12{signs.late}" not in text


def test_days_away_are_hatched_and_never_over() -> None:
    chart = Chart("min", (Bar(52, 45, hatched=True), *[Bar(0, 45)] * 13))
    text = "\n".join(drawn((chart,), FIRST, None, 80, 8, False, SHAPES).lines())
    assert "╱" in text
    assert SHAPES.late not in text


def test_the_day_in_hand_is_marked() -> None:
    chart = Chart("min", tuple(Bar(12, 45) for _ in range(28)))
    hand = FIRST + timedelta(days=4)
    assert "^20" in "\n".join(drawn((chart,), FIRST, hand, 80, 8, False, SHAPES).lines())
    assert "▶Thu 20" in "\n".join(drawn((chart,), FIRST, hand, 58, 40, True, SHAPES).lines())


def test_nothing_to_draw_is_no_fault() -> None:
    assert drawn((), FIRST, None, 80, 8, False, SHAPES).lines() == [" " * 80] * 8
    assert drawn((Chart("min", ()),), FIRST, None, 0, 0, False, SHAPES).lines() == []
