"""What a change does to the water, and how big a change is needed."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room import water
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE
from roomtasks.room.water import CatchUp, Steady

CALCULUS = "OpenStax, Calculus Volume 2, section 4.3 Separable Equations"
CHEMISTRY = "OpenStax, Chemistry 2e, section 3.3 Molarity"
EXCHANGE = "Practical Formulas for Computing Water Exchange Rates, Prog. Fish-Cult. 47(1):69-70"
GEIST = "B. Geist, Calculating Turn-over Time (web note)"
DILUTION = "geometric dilution C_n = C_0(1-f)^n"
INVENTED = "worked here, invented room"

MG_PER_L = st.floats(0, 1000)
FRACTION = st.floats(0.001, 0.999)
GAP = st.floats(0.01, 500)


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


def flushed(
    litres: float, start_kg: float, inflow_kg_per_l: float, litres_per_h: float, hours: float
) -> float:
    """kg in a mixed vessel after so long of an inflow of one strength."""
    share = value(water.through_flow(litres_per_h, litres, hours))
    return litres * value(water.after_change(start_kg / litres, share, inflow_kg_per_l))


@pytest.mark.parametrize(
    ("worked", "expected", "relative", "published"),
    [
        (flushed(100, 4, 0.5, 120, 0.5), 24.7547, 1e-5, CALCULUS),
        (flushed(100, 4, 0.5, 120, 1e4), 50, 1e-9, CALCULUS),
        (flushed(75, 3, 0.4, 360, 1 / 6), 17.8681, 1e-5, CALCULUS),
        (flushed(100, 1, 0.1, 120, 50 / 60), 6.68909, 1e-5, CALCULUS),
        (value(water.after_change(5.00, 1 - 0.850 / 1.80)), 2.36, 2e-3, CHEMISTRY),
        (value(water.after_change(2.04, 1 - 25 / 500)), 0.102, 1e-3, CHEMISTRY),
        (0.011 / (1 - value(water.change_needed(0.45, 0.12))), 0.04125, 1e-9, CHEMISTRY),
        (0.250 / (1 - value(water.change_needed(1.88, 0.125))), 3.76, 1e-9, CHEMISTRY),
        (5.00 * (1 - value(water.change_needed(1.59, 0.100))), 0.314, 2e-3, CHEMISTRY),
        (1 - value(water.after_change(1, 0.5)), 0.5, 1e-12, EXCHANGE),
        (value(water.through_flow_time(0.75, 1, 1)), 1.38629, 1e-5, EXCHANGE),
        (value(water.through_flow_time(0.9, 1, 1)), 2.30259, 1e-5, EXCHANGE),
        (value(water.through_flow_time(0.95, 1, 1)), 2.99573, 1e-5, EXCHANGE),
        (value(water.through_flow_time(0.999, 1, 1)), 6.90776, 1e-5, GEIST),
        (value(water.through_flow(1, 1, 1)), 0.632121, 1e-5, EXCHANGE),
        (value(water.through_flow(1, 1, 0.5)), 0.393469, 1e-5, EXCHANGE),
        (value(water.after_change(1, 0.25, times=4)), 0.316406, 1e-5, DILUTION),
        (1 - value(water.after_change(1, 0.25, times=2)), 0.4375, 1e-12, DILUTION),
        (value(water.change_needed(80, 40, 10)), 0.571429, 1e-5, "mass balance"),
    ],
)
def test_exchanges_as_published(
    worked: float, expected: float, relative: float, published: str
) -> None:
    assert worked == pytest.approx(expected, rel=relative), published


def test_the_steady_peak() -> None:
    assert water.steady(10, 0.25, 5) == Steady(45.0, 35.0)  # peak = Cs + p/f
    found = water.steady(8, 0.30, 5)
    assert isinstance(found, Steady)
    assert found.before_mg_per_l == pytest.approx(31.7, abs=0.05), INVENTED
    assert found.after_mg_per_l == pytest.approx(23.7, abs=0.05), INVENTED


def test_the_invented_room() -> None:
    assert water.system_fraction(660, 2412) == pytest.approx(0.274, abs=5e-4), INVENTED
    assert water.per_tank_fraction(0.30, 2412, 2200) == pytest.approx(0.329, abs=5e-4), INVENTED
    assert water.system_fraction(73, 2412) == pytest.approx(0.030, abs=5e-4), INVENTED
    two_parts = 1 - value(water.after_change(value(water.after_change(1, 0.15)), 0.15))
    assert two_parts == pytest.approx(0.2775), INVENTED
    assert water.least_fraction(7.2, 35, 8) == pytest.approx(0.267, abs=5e-4), INVENTED
    assert water.topped_up_hardness(10, 0.03, 0.30) == pytest.approx(11.0), INVENTED
    assert water.topped_up_hardness(10, 0.03, 0.10) == pytest.approx(13.0), INVENTED
    assert water.rejoin_residue(2.0, 215, 2412) == pytest.approx(0.178, abs=5e-4), INVENTED
    assert value(water.through_flow_time(0.30, 1, 1)) == pytest.approx(0.357, abs=5e-4), INVENTED


def test_the_second_part_of_a_system_change() -> None:
    first, wanted = 430 / 2412, 660 / 2412
    owed = water.owed_after_part(first, wanted) * 2412
    assert owed == pytest.approx(280, abs=0.5), INVENTED
    apart = 1 - (1 - first) * (1 - 230 / 2412)
    assert apart == pytest.approx(0.257, abs=5e-4), INVENTED


@pytest.mark.parametrize(
    ("fraction", "missed", "percent"),
    [
        (0.20, 1, 33), (0.25, 1, 40), (0.30, 1, 46), (0.40, 1, 57),
        (0.20, 2, 43), (0.25, 2, 50), (0.30, 2, 56), (0.40, 2, 67),
        (0.20, 3, 50), (0.25, 3, 57), (0.30, 3, 63), (0.40, 3, 73),
    ],
)  # fmt: skip
def test_catching_up(fraction: float, missed: int, percent: int) -> None:
    found = water.catch_up(fraction, missed)
    assert isinstance(found, CatchUp)
    assert round(100 * found.fraction) == percent, INVENTED


def test_a_catch_up_over_the_limit_is_split() -> None:
    found = water.catch_up(0.30, 1)
    assert isinstance(found, CatchUp)
    assert found.changes == 2
    assert found.each_fraction == pytest.approx(0.266, abs=5e-4), INVENTED
    assert 52.5 * found.each_fraction == pytest.approx(14.0, abs=0.05), INVENTED
    assert 52.5 * found.fraction == pytest.approx(24.2, abs=0.05), INVENTED


def test_a_catch_up_at_the_limit_is_not_split() -> None:
    found = water.catch_up(0.25, 1, 0.40)
    assert isinstance(found, CatchUp)
    assert (found.changes, found.each_fraction) == (1, found.fraction)


def test_half_a_change_owes_more_than_half() -> None:
    assert water.owed_after_part(0.15, 0.30) == pytest.approx(0.176, abs=5e-4), INVENTED
    assert water.owed_after_part(0.30, 0.30) == 0.0
    assert water.owed_after_part(0.50, 0.30) == 0.0
    assert water.owed_after_part(1.0, 1.0) == 0.0


def test_an_early_change_needs_less() -> None:
    assert water.catch_up_for_gap(4 / 7, 0.30) == pytest.approx(0.197, abs=5e-4), INVENTED
    assert water.catch_up_for_gap(1.0, 0.30) == pytest.approx(0.30)
    assert water.catch_up_for_gap(0.0, 1.0) == 0.0


@pytest.mark.parametrize(
    ("ratio", "fraction"), [(-1.0, 0.3), (math.nan, 0.3), (1.0, 1.1), (1.0, -0.1)]
)
def test_unchecked_values_are_the_programmers_fault(ratio: float, fraction: float) -> None:
    with pytest.raises(ValueError, match="ratio"):
        water.catch_up_for_gap(ratio, fraction)


@pytest.mark.parametrize(("done", "wanted"), [(-0.1, 0.3), (1.1, 0.3), (0.1, 2.0), (0.1, math.nan)])
def test_unchecked_parts_are_the_programmers_fault(done: float, wanted: float) -> None:
    with pytest.raises(ValueError, match="done"):
        water.owed_after_part(done, wanted)


@given(source=MG_PER_L, above=GAP, further=GAP)
def test_the_change_asked_for_lands_on_the_target(
    source: float, above: float, further: float
) -> None:
    target, before = source + above, source + above + further
    change = value(water.change_needed(before, target, source))
    assert 0 < change < 1
    assert water.after_change(before, change, source) == pytest.approx(target, abs=1e-6)


@given(source=MG_PER_L, above=GAP, further=GAP, fraction=FRACTION)
def test_so_many_changes_and_no_fewer(
    source: float, above: float, further: float, fraction: float
) -> None:
    target, before = source + above, source + above + further
    times = water.changes_needed(before, target, fraction, source)
    assert isinstance(times, int)
    assert value(water.after_change(before, fraction, source, times)) <= target + 1e-6
    assert value(water.after_change(before, fraction, source, times - 1)) > target - 1e-6


@given(source=MG_PER_L, above=GAP, low=FRACTION, high=FRACTION)
def test_a_larger_change_leaves_less(source: float, above: float, low: float, high: float) -> None:
    low, high = sorted((low, high))
    less = value(water.after_change(source + above, high, source))
    assert less <= value(water.after_change(source + above, low, source)) + 1e-9


@given(production=MG_PER_L, fraction=FRACTION, source=MG_PER_L)
def test_a_steady_room_comes_back_to_where_it_was(
    production: float, fraction: float, source: float
) -> None:
    found = water.steady(production, fraction, source)
    assert isinstance(found, Steady)
    after = value(water.after_change(found.before_mg_per_l, fraction, source))
    assert after == pytest.approx(found.after_mg_per_l, rel=1e-6, abs=1e-6)
    assert after + production == pytest.approx(found.before_mg_per_l, rel=1e-6, abs=1e-6)


@given(production=st.floats(0.1, 50), fraction=FRACTION, missed=st.integers(0, 30))
def test_catching_up_ends_at_the_usual_level(
    production: float, fraction: float, missed: int
) -> None:
    usual = water.steady(production, fraction)
    caught = water.catch_up(fraction, missed)
    assert isinstance(usual, Steady)
    assert isinstance(caught, CatchUp)
    now = usual.before_mg_per_l + missed * production
    left = value(water.after_change(now, caught.fraction))
    assert left == pytest.approx(usual.after_mg_per_l, rel=1e-6)
    parts = value(water.after_change(now, caught.each_fraction, times=caught.changes))
    assert parts == pytest.approx(left, rel=1e-6)
    assert caught.each_fraction <= water.LARGEST_CHANGE + 1e-9


@given(fraction=FRACTION, missed=st.integers(0, 30), limit=st.floats(0.05, 0.95))
def test_no_fewer_parts_would_keep_the_limit(fraction: float, missed: int, limit: float) -> None:
    found = water.catch_up(fraction, missed, limit)
    assert isinstance(found, CatchUp)
    assert found.each_fraction <= limit * (1 + 1e-6)
    if found.changes > 1:
        fewer = 1 - (1 - found.fraction) ** (1 / (found.changes - 1))
        assert fewer > limit * (1 - 1e-6)


@given(done=FRACTION, wanted=FRACTION)
def test_the_part_done_and_the_part_owed_make_the_whole(done: float, wanted: float) -> None:
    owed = water.owed_after_part(done, wanted)
    assert 0 <= owed <= wanted
    assert (1 - done) * (1 - owed) == pytest.approx(1 - max(done, wanted))


@given(share=FRACTION, flow=st.floats(0.1, 1000), volume=st.floats(1, 5000))
def test_the_flow_and_its_time_are_each_others_inverse(
    share: float, flow: float, volume: float
) -> None:
    hours = value(water.through_flow_time(share, flow, volume))
    assert water.through_flow(flow, volume, hours) == pytest.approx(share, rel=1e-9)


@given(parts=st.integers(1, 200), total=st.floats(0.01, 0.99))
def test_many_small_changes_replace_less_and_tend_to_a_flow(parts: int, total: float) -> None:
    replaced = 1 - value(water.after_change(1, total / parts, times=parts))
    assert replaced <= total + 1e-12
    assert replaced >= value(water.through_flow(total, 1, 1)) - 1e-12


@given(fraction=FRACTION, volume=st.floats(1, 5000), share=st.floats(0.5, 1))
def test_draining_the_tanks_gives_the_fraction_of_the_whole(
    fraction: float, volume: float, share: float
) -> None:
    tanks = share * volume
    each = water.per_tank_fraction(fraction, volume, tanks)
    if fraction > share * (1 + 1e-9):
        assert isinstance(each, Problem)
    else:
        drained = value(each) * tanks
        assert water.system_fraction(drained, volume) == pytest.approx(fraction, rel=1e-6)


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("source", water.change_needed(40, 20, 25)),
        ("source", water.change_needed(40, 20, 20)),
        ("source", water.changes_needed(40, 20, 0.3, 25)),
        ("before", water.after_change(-1, 0.3)),
        ("before", water.after_change(math.nan, 0.3)),
        ("before", water.after_change(1e308, 0.3)),
        ("source", water.after_change(1, 0.3, math.inf)),
        ("fraction", water.after_change(1, 1.1)),
        ("fraction", water.after_change(1, -0.1)),
        ("times", water.after_change(1, 0.1, times=-1)),
        ("fraction", water.changes_needed(40, 20, 0.0)),
        ("fraction", water.steady(8, 0)),
        ("production", water.steady(-8, 0.3)),
        ("limit", water.least_fraction(8, 5, 5)),
        ("limit", water.least_fraction(50, 35, 5)),
        ("fraction", water.through_flow_time(1, 10, 100)),
        ("flow", water.through_flow_time(0.5, 0, 100)),
        ("volume", water.through_flow(10, 0, 1)),
        ("hours", water.through_flow(10, 100, -1)),
        ("fraction", water.catch_up(0, 1)),
        ("fraction", water.catch_up(1, 1)),
        ("missed", water.catch_up(0.3, -1)),
        ("limit", water.catch_up(0.3, 1, 0)),
        ("limit", water.catch_up(0.3, 1, 1.5)),
        ("drained", water.system_fraction(660, 600)),
        ("volume", water.system_fraction(660, 0)),
        ("wanted", water.per_tank_fraction(0.99, 2412, 2200)),
        ("tanks", water.per_tank_fraction(0.3, 2200, 2412)),
        ("tank", water.rejoin_residue(2, 3000, 2412)),
        ("fraction", water.topped_up_hardness(10, 0.03, 0)),
    ],
)
def test_changes_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE


def test_a_refusal_says_what_could_be() -> None:
    dirty = water.change_needed(40, 20, 25)
    assert isinstance(dirty, Problem)
    assert "come near 25" in dirty.remedy
    held = water.least_fraction(50, 35, 5)
    assert isinstance(held, Problem)
    assert "holds 55 mg/L" in held.remedy
    rough = water.least_fraction(24.42391, 30, 7)
    assert isinstance(rough, Problem)
    assert "holds 31.42 mg/L" in rough.remedy
    assert water.rejoin_residue(2.0, 215, 215) == 2.0
    much = water.per_tank_fraction(0.99, 2412, 2200)
    assert isinstance(much, Problem)
    assert "0.912" in much.remedy


def test_water_that_is_there_already_needs_no_change() -> None:
    assert water.change_needed(10, 20, 5) == 0.0
    assert water.changes_needed(20, 20, 0.3) == 0
    assert water.changes_needed(80, 10, 0.5) == 3  # exactly three halvings
    assert water.changes_needed(80, 10, 1.0) == 1


def test_a_full_change_may_catch_up_where_the_limit_allows() -> None:
    assert water.catch_up(1.0, 3, 1.0) == CatchUp(1.0, 1, 1.0)


def test_more_missed_changes_than_a_number_may_count_are_refused() -> None:
    """1e12 missed is the largest number itself; one more interval is beyond it."""
    found = water.catch_up(0.3, 10**12)
    assert isinstance(found, Problem)
    assert found.where == "missed"
    assert found.rule == IMPOSSIBLE
    assert isinstance(water.catch_up(0.3, 10**12 - 1), CatchUp)
