"""From samples to the day of a size, with its spread; and which samples are refused or asked."""

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from roomtasks.room.brood import Brood, Sample
from roomtasks.room.brood_growth import (
    CURVE,
    OF_LINE,
    STRAIGHT,
    Growth,
    SizeDay,
    growth_of,
    middle_of,
    sample_fault,
    size_day,
)
from roomtasks.room.line import LineFacts
from roomtasks.room.move_day import MoveDay, move_day, stop_gaps
from roomtasks.room.problem import Problem

COMMON = "common practice, no published source"
SPAWNED = date(2027, 1, 1)
LINE = LineFacts(name="line")
BROOD = Brood(code="b1", line="line", tank="D4", spawned=SPAWNED)


def on(age: int) -> date:
    return SPAWNED + timedelta(days=age)


def sample(age: int, middle: float, **facts: Any) -> Sample:
    base: dict[str, Any] = {
        "brood": "b1", "day": on(age), "n": 12, "smallest_cm": middle, "middle_cm": middle,
        "largest_cm": middle,
    }  # fmt: skip
    return Sample(**{**base, **facts})


THREE = (sample(30, 1.4), sample(44, 1.9), sample(58, 2.5))


def grown(*samples: Sample, line: LineFacts = LINE) -> Growth:
    found = growth_of(BROOD, line, samples)
    assert isinstance(found, Growth), found
    return found


def day_of(growth: Growth, cm: float, today: date) -> SizeDay:
    found = size_day(growth, cm, today)
    assert isinstance(found, SizeDay), found
    return found


def test_a_straight_line_over_the_last_three() -> None:
    growth = grown(sample(10, 0.1), *THREE)
    assert growth.method == STRAIGHT
    assert growth.rate_mm_per_day(on(58)) == pytest.approx(0.393, abs=0.0005), COMMON
    found = day_of(growth, 3.0, on(58))
    assert found.age_days == pytest.approx(71.15, abs=0.01), COMMON
    assert found.day == on(72)
    assert (found.earliest, found.latest) == (on(69), on(74))
    assert not found.stale
    assert day_of(growth, 3.0, on(86)).stale is False
    assert day_of(growth, 3.0, on(87)).stale
    assert growth.size_cm(on(72)) == pytest.approx(3.033, abs=0.001)


def test_a_size_already_reached_has_no_spread() -> None:
    found = day_of(grown(*THREE), 2.0, on(60))
    assert found.day == found.earliest == found.latest < on(60)


@pytest.mark.parametrize(
    "samples", [(), (sample(30, 1.4),), (sample(30, 1.4), sample(36, 1.6))]
)  # fmt: skip
def test_too_few_or_too_close_is_refused(samples: tuple[Sample, ...]) -> None:
    found = growth_of(BROOD, LINE, samples)
    assert isinstance(found, Problem)
    assert found.rule == "too-few-samples"


def test_lengths_of_another_sort_are_not_mixed_in() -> None:
    found = growth_of(BROOD, LINE, (*THREE[:1], sample(44, 1.9, length="standard")))
    assert isinstance(found, Problem)


def test_a_brood_that_does_not_grow_reaches_no_size() -> None:
    growth = grown(sample(30, 1.9), sample(44, 1.9), sample(58, 1.8))
    assert isinstance(size_day(growth, 3.0, on(58)), Problem)


def test_the_curve_of_the_line_stands_in_and_goes_through_the_newest_sample() -> None:
    line = LineFacts(name="line", linf_cm=8.0, k_per_day=0.006, t0_days=1.0)
    growth = grown(sample(40, 1.5), line=line)
    assert (growth.method, growth.known) == (OF_LINE, "assumed")
    assert growth.size_cm(on(40)) == pytest.approx(1.5)
    assert grown(line=line).size_cm(on(1)) == 0.0
    assert isinstance(size_day(growth, 8.0, on(40)), Problem)


def test_enough_samples_are_fitted_as_the_reference_fits_them() -> None:
    """Against scipy's least squares; ages and lengths worked here, invented brood."""
    ages = [28, 42, 56, 70, 84, 98, 112]
    sizes = [1.35, 1.92, 2.43, 2.81, 3.22, 3.49, 3.77]
    growth = grown(*(sample(age, size) for age, size in zip(ages, sizes, strict=True)))
    assert growth.method == CURVE

    def curve(t: Any, linf: float, k: float, t0: float) -> Any:
        return linf * (1 - np.exp(-k * (t - t0)))

    best, _ = curve_fit(curve, ages, sizes, p0=(6.0, 0.01, 0.0))
    assert growth.linf_cm == pytest.approx(best[0], rel=1e-4)
    assert growth.k_per_day == pytest.approx(best[1], rel=1e-4)
    assert growth.t0_days == pytest.approx(best[2], abs=1e-2)
    rate = growth.rate_mm_per_day(on(100))
    assert isinstance(rate, float)
    assert 0 < rate < 0.4
    assert day_of(growth, 4.0, on(112)).day > on(112)


@given(
    st.floats(0.005, 0.2), st.floats(0.1, 2.0), st.floats(0.5, 20.0), st.integers(0, 200)
)  # fmt: skip
def test_the_day_is_the_first_on_which_the_size_is_there(
    rate: float, start: float, cm: float, now: int
) -> None:
    samples = [sample(age, start + rate * age) for age in (20, 34, 48)]
    growth = grown(*samples)
    found = size_day(growth, cm, on(now))
    if isinstance(found, Problem):
        assert found.rule == "impossible"
        return
    there = growth.size_cm(found.day)
    before = growth.size_cm(found.day - timedelta(days=1))
    assert isinstance(there, float)
    assert isinstance(before, float)
    assert there >= cm - 1e-6
    if found.day > SPAWNED:
        assert before < cm + 1e-6
    assert found.earliest <= found.day <= found.latest


def test_middle_of_lengths() -> None:
    assert middle_of([2.0, 1.0, 1.6]) == (1.0, 1.6, 2.0)
    assert middle_of([2.0, 1.0, 1.5, 2.0]) == (1.0, 1.75, 2.0)
    for wrong in ([], [1.0, -0.5], [0.0], [float("nan")], [float("inf")]):
        assert isinstance(middle_of(wrong), Problem)


def test_ten_times_the_last_is_asked_and_what_cannot_be_is_refused() -> None:
    asked = sample_fault(BROOD, sample(44, 14.0), THREE[:1])
    assert asked is not None
    assert asked.rule == "ask"
    assert sample_fault(BROOD, sample(44, 13.9), THREE[:1]) is None
    shrunk = sample_fault(BROOD, sample(44, 0.6), THREE[:1])
    assert shrunk is not None
    assert shrunk.rule == "ask"
    cases = (
        sample(-1, 1.4), sample(44, -1.0), sample(44, 1.9, n=0), sample(44, float("nan")),
        sample(44, 1.9, smallest_cm=2.0), sample(44, 1.9, largest_cm=1.0),
    )  # fmt: skip
    for refused in (sample_fault(BROOD, case, THREE[:1]) for case in cases):
        assert refused is not None
        assert refused.rule == ""


def test_the_earliest_of_four_sets_the_day_and_says_why() -> None:
    found = move_day(size=on(72), size_cm=3.0, density=on(61), density_cm=2.6, limit="0.4 g/L",
                     needed=on(80), spawn=None)  # fmt: skip
    assert isinstance(found, MoveDay)
    assert (found.cause, found.day) == ("density", on(61))
    assert found.why.endswith("11 days before it is large enough"), COMMON
    assert [cause.name for cause in found.causes] == ["density", "size", "tank needed"]
    spawn = move_day(size=on(72), size_cm=3.0, density=None, density_cm=0, limit="",
                     needed=None, spawn=on(40))  # fmt: skip
    assert isinstance(spawn, MoveDay)
    assert spawn.cause == "next spawn"
    none = move_day(size=None, size_cm=3.0, density=None, density_cm=0, limit="", needed=None,
                    spawn=None)  # fmt: skip
    assert isinstance(none, Problem)


def test_a_late_destination_moves_nothing_and_adds_stop_gaps() -> None:
    wanted = move_day(size=on(72), size_cm=3.0, density=on(61), density_cm=2.6, limit="0.4 g/L",
                      needed=None, spawn=None)  # fmt: skip
    assert isinstance(wanted, MoveDay)
    assert stop_gaps(wanted, on(61), 120, 77) == ()
    late = stop_gaps(wanted, on(68), 120, 77)
    assert "7 days late" in late[0]
    assert "split off 43 of 120" in late[2]
    assert "not found yet" in stop_gaps(wanted, None, 120, None)[0]
