"""The change that makes up for missed ones: never their plain sum, never past the limit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import MEASURED, Amount
from roomtasks.room.away_catch_up import CaughtUp
from roomtasks.room.body import body_of
from roomtasks.room.due import all_due
from roomtasks.room.forecast import CatchUpPlan, Wanted, catch_up_plan
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.water import after_change
from tests.room.example_room import at, example_room, with_setup, with_tank

NOW = at("2027-03-13T08:00")
INVENTED = "worked here, invented room"


def plan(room: Room, tank: str, fraction: float, **asked: object) -> CatchUpPlan:
    found = catch_up_plan(room, body_of(room, tank, NOW), fraction, **asked)  # type: ignore[arg-type]
    assert isinstance(found, CatchUpPlan), found
    return found


def test_one_missed_week_at_d3() -> None:
    found = plan(example_room(), "D3", 0.30, ratio=2.0)
    assert found.one_fraction.value == pytest.approx(0.462, abs=5e-4), INVENTED
    assert found.one_litres == pytest.approx(24.2, abs=0.05), INVENTED
    assert (found.refused, found.limit, found.changes) == (True, 0.40, 2), INVENTED
    assert found.each_fraction == pytest.approx(0.266, abs=5e-4), INVENTED
    assert found.each_litres == pytest.approx(14.0, abs=0.05), INVENTED
    assert found.by == "missed"
    assert found.notes == ()


def test_one_missed_week_of_the_whole_rack() -> None:
    room = example_room()
    a_day = sum(plan(room, f"D{n}", 0.30, ratio=2.0).each_litres for n in range(1, 9))
    assert a_day == pytest.approx(111.8, abs=0.05), INVENTED


@pytest.mark.parametrize(
    ("missed", "percents"),
    [(1, (33, 40, 46, 57)), (2, (43, 50, 56, 67)), (3, (50, 57, 63, 73))],
)
def test_the_table_of_missed_changes(missed: int, percents: tuple[int, ...]) -> None:
    for fraction, percent in zip((0.20, 0.25, 0.30, 0.40), percents, strict=True):
        found = plan(example_room(), "D3", fraction, ratio=missed + 1.0)
        assert 100 * found.one_fraction.value == pytest.approx(percent, abs=0.5), INVENTED


def test_a_change_done_early_is_smaller() -> None:
    found = plan(example_room(), "D3", 0.30, ratio=4 / 7)
    assert found.one_fraction.value == pytest.approx(0.197, abs=5e-4), INVENTED
    assert (found.refused, found.changes) == (False, 1)
    assert found.each_litres == found.one_litres


def test_a_test_beats_the_sum() -> None:
    tested = Wanted(now=Amount(50.0, "mg/L", MEASURED), target_mg_per_l=24.0, source_mg_per_l=5.0)
    found = plan(example_room(), "D3", 0.30, ratio=2.0, tested=tested)
    assert found.by == "reading"
    assert found.one_fraction.value == pytest.approx(1 - (24 - 5) / (50 - 5)), INVENTED
    assert found.one_fraction.inputs[0].known == MEASURED
    published = Wanted(now=Amount(80.0, "mg/L", MEASURED), target_mg_per_l=40.0,
                       source_mg_per_l=10.0)  # fmt: skip
    whole = plan(example_room(), "D3", 0.30, ratio=2.0, tested=published)
    assert whole.one_fraction.value == pytest.approx(0.571429, rel=1e-5)  # (C0 - Ct)/(C0 - Cs)


def test_water_that_is_there_already_needs_no_change() -> None:
    tested = Wanted(now=Amount(20.0, "mg/L", MEASURED), target_mg_per_l=24.0)
    found = plan(example_room(), "D3", 0.30, ratio=2.0, tested=tested)
    assert (found.one_fraction.value, found.each_litres, found.refused) == (0.0, 0.0, False)


def test_a_system_is_caught_up_as_one_body() -> None:
    found = plan(example_room(), "A1", 0.30, ratio=2.0)
    share = 2200 / 2412
    usual = 0.30 * share
    wanted = 2 * usual / (1 + usual)
    assert found.one_fraction.value == pytest.approx(wanted / share)  # more than a tank's 46.2 %
    left = (1 - found.each_fraction * share) ** found.changes
    assert 1 - left == pytest.approx(wanted)
    assert found.each_fraction <= 0.40


def test_the_strictest_tank_of_a_body_sets_its_limit() -> None:
    assert plan(with_tank(example_room(), "B2", largest_change=0.20), "A1", 0.15,
                ratio=2.0).limit == 0.20  # fmt: skip
    assert plan(with_setup(example_room(), largest_change=0.50), "D3", 0.30, ratio=2.0).changes == 1


def test_long_without_a_change_is_tested_first() -> None:
    (note,) = plan(example_room(), "D3", 0.30, ratio=4.0).notes
    assert "test pH, hardness and ammonia first" in note.text


@given(
    fraction=st.floats(0.01, 0.9), ratio=st.floats(0, 20), limit=st.floats(0.05, 1),
    tank=st.sampled_from(["A1", "D3", "Q1"]),
)  # fmt: skip
def test_parts_keep_the_limit_and_make_the_whole(
    fraction: float, ratio: float, limit: float, tank: str
) -> None:
    room = example_room()
    body = body_of(room, tank, NOW)
    found = plan(room, tank, fraction, ratio=ratio, limit=limit)
    assert 0 <= found.each_fraction <= limit * (1 + 1e-6)
    share = body.tanks_litres / body.litres.value
    left = after_change(1.0, min(1.0, found.each_fraction * share), 0.0, found.changes)
    assert left == pytest.approx(1 - found.one_fraction.value * share, abs=1e-9)
    assert found.each_litres == pytest.approx(found.each_fraction * body.tanks_litres)
    assert found.one_fraction.value * share <= 1


@given(fraction=st.floats(0.01, 0.9), ratio=st.floats(1, 20))
def test_never_simply_the_sum(fraction: float, ratio: float) -> None:
    found = plan(example_room(), "D3", fraction, ratio=ratio)
    assert found.one_fraction.value <= ratio * fraction + 1e-12
    assert found.one_fraction.value >= fraction - 1e-12


@pytest.mark.parametrize(
    ("fraction", "asked", "where", "possible"),
    [
        (0.0, {"ratio": 2.0}, "fraction", "above 0"),
        (math.nan, {"ratio": 2.0}, "fraction", "plain number"),
        (30.0, {"ratio": 2.0}, "fraction", "30 % is written 0.3"),
        (0.3, {"ratio": -1.0}, "ratio", "from 0 to 3660"),
        (0.3, {"ratio": 1e308}, "ratio", "check the number"),
        (0.3, {"ratio": 2.0, "limit": 0.0}, "limit", "above 0"),
        (1.0, {"ratio": 2.0}, "fraction", "below 1"),
        (0.3, {"ratio": 2.0, "tested": Wanted(now=Amount(50, "mg/L"), target_mg_per_l=5.0,
                                              source_mg_per_l=8.0)}, "source", "come near 8"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_up(
    fraction: float, asked: dict[str, object], where: str, possible: str
) -> None:
    room = example_room()
    found = catch_up_plan(room, body_of(room, "D3", NOW), fraction, **asked)  # type: ignore[arg-type]
    assert isinstance(found, Problem)
    assert found.where == where
    assert possible in found.sentence()


def test_the_parts_after_days_away_are_no_larger_than_what_makes_up_for_the_missed() -> None:
    room = example_room()
    one = CaughtUp(
        due=next(due for due in all_due(room, {}, NOW) if due.id == "change-d@D3"), missed=1,
        plan=plan(room, "D3", 0.30, ratio=2.0), tanks_litres=52.5,
    )  # fmt: skip
    assert one.changes == 2
    assert one.fraction == pytest.approx(0.266, abs=5e-4), INVENTED
    assert one.litres == pytest.approx(14.0, abs=0.05), INVENTED
