"""Water that does not do for all, given out by need."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.demand import by_need
from roomtasks.room.problem import Problem
from roomtasks.room.shortage import who_goes_first
from tests.room.made_draws import a_draw


def test_water_is_given_out_by_need_in_whole_draws() -> None:
    draws = (
        a_draw(0, 30.0, need=1, reason="inside a course of salt"),
        a_draw(1, 80.0, need=2, reason="eggs and fry"),
        a_draw(2, 20.0, need=4, reason="missed last time"),
    )
    found = who_goes_first(draws, 60.0)
    assert not isinstance(found, Problem)
    served, without = found
    assert [(each.draw.order, each.reason) for each in served] == [
        (0, "inside a course of salt"), (2, "missed last time"),
    ]  # fmt: skip
    assert [each.draw.order for each in without] == [1]
    assert without[0].reason == "it takes 80 L, and those before it leave 30 L; eggs and fry"


def test_need_before_the_walk() -> None:
    draws = (
        a_draw(0, 30.0, days_since=7), a_draw(1, 30.0, days_since=14),
        a_draw(2, 30.0, need=2, reason="eggs and fry"), a_draw(3, 30.0, need=1),
    )  # fmt: skip
    found = who_goes_first(by_need(draws, ()), 95.0)
    assert not isinstance(found, Problem)
    assert [each.draw.order for each in found[0]] == [3, 2, 1]


@given(litres=st.lists(st.floats(0, 100), max_size=12), there=st.floats(0, 400))
@settings(deadline=None)
def test_no_more_is_given_out_than_there_is(litres: list[float], there: float) -> None:
    draws = tuple(a_draw(n, each) for n, each in enumerate(litres))
    found = who_goes_first(draws, there)
    assert not isinstance(found, Problem)
    served, without = found
    assert sorted(g.draw.order for g in (*served, *without)) == list(range(len(draws)))
    given = sum(each.draw.from_reservoir for each in served)
    assert given <= there + 1e-4
    assert all(each.draw.from_reservoir > there - given - 1e-4 for each in without)


@pytest.mark.parametrize("litres", [-1.0, math.nan, math.inf, 1e308])
def test_litres_that_cannot_be_given_out(litres: float) -> None:
    found = who_goes_first((a_draw(0, 5.0),), litres)
    assert isinstance(found, Problem)
    assert found.where == "litres"
    found = who_goes_first((a_draw(0, litres),), 5.0)
    assert isinstance(found, Problem)
    assert found.where == "change@T000 litres"
