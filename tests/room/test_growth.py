"""Growth, weight, density, and curves through measured fish."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room import growth
from roomtasks.room.growth import Line
from roomtasks.room.growth_fit import GrowthFit, WeightFit, fit_growth, fit_weight
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE
from tests.room.measured_fish import CHINOOK, HAKE_FEMALES, HAKE_MALES, SPOT

KIMURA = "D. K. Kimura 1980, US Fishery Bulletin 77:765-776 (unweighted least squares)"
FSA_1 = "FSA R package (Ogle et al.), simulated set GrowthData1"
FSA_2 = "FSA R package, growthModels example"
VMRC = "CQFE, Old Dominion University, VMRC Finfish Ageing 2002, ch. 8 (data set SpotVA1)"
CHINOOK_ARG = "FSA R package, data set ChinookArg, least squares of ln W on ln L"
SGR = "SGR = 100 ln(Wf/Wi)/t, evaluated"
DHAKA = "University of Dhaka thesis on stocking density of zebrafish (repository item 1020)"
INVENTED = "worked here, invented room"


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


def fitted(fish: list[tuple[float, float]], linf: float | None = None) -> GrowthFit:
    found = fit_growth([age for age, _ in fish], [length for _, length in fish], linf)
    assert isinstance(found, GrowthFit)
    return found


@pytest.mark.parametrize(
    ("fish", "linf", "k", "t0", "residual"),
    [
        (HAKE_FEMALES, 61.233, 0.296255, -0.05726, 28.80),
        (HAKE_MALES, 55.978, 0.385584, 0.171, 19.42),
    ],
)
def test_the_curves_of_kimura(
    fish: list[tuple[float, float]], linf: float, k: float, t0: float, residual: float
) -> None:
    found = fitted(fish)
    assert found.linf == pytest.approx(linf, rel=1e-4), KIMURA
    assert found.k == pytest.approx(k, rel=1e-4), KIMURA
    assert found.t0 == pytest.approx(t0, abs=1e-3), KIMURA
    assert found.residual == pytest.approx(residual, abs=0.005), KIMURA
    assert found.points == len(fish)


def test_the_curve_of_four_hundred_spot() -> None:
    fish = [
        (float(age), length)
        for age, lengths in SPOT.items()
        for length, heads in lengths.items()
        for _ in range(heads)
    ]
    found = fitted(fish)
    assert found.points == 403
    assert found.k == pytest.approx(0.224914, rel=2e-3), VMRC
    assert found.t0 == pytest.approx(-2.557512, rel=2e-3), VMRC


@pytest.mark.parametrize("fish", [HAKE_FEMALES, HAKE_MALES])
def test_no_curve_near_the_fitted_one_is_better(fish: list[tuple[float, float]]) -> None:
    found = fitted(fish)

    def misfit(linf: float, k: float, t0: float) -> float:
        return math.fsum((length - linf * (1 - math.exp(-k * (age - t0)))) ** 2
                         for age, length in fish)  # fmt: skip

    least = misfit(found.linf, found.k, found.t0)
    assert least == pytest.approx(found.residual)
    for step in (0.999, 0.99999, 1.00001, 1.001):
        assert misfit(found.linf * step, found.k, found.t0) > least
        assert misfit(found.linf, found.k * step, found.t0) > least
        assert misfit(found.linf, found.k, found.t0 + step - 1) > least


def test_a_held_largest_length_stays() -> None:
    free, held = fitted(HAKE_FEMALES), fitted(HAKE_FEMALES, linf=60.0)
    assert held.linf == 60.0
    assert held.residual > free.residual
    again = fitted(HAKE_FEMALES, linf=free.linf)
    assert again.k == pytest.approx(free.k, rel=1e-6)
    assert again.t0 == pytest.approx(free.t0, abs=1e-6)


@given(
    linf=st.floats(2, 500),
    bend=st.floats(0.5, 6),
    t0=st.floats(-1, 0.4),
    span=st.floats(1, 20),
)
@settings(deadline=None)
def test_a_curve_is_found_again_from_its_own_lengths(
    linf: float, bend: float, t0: float, span: float
) -> None:
    k = bend / span
    ages = [0.5 + span * share for share in (0, 0.1, 0.2, 0.35, 0.5, 0.7, 0.85, 1)]
    lengths = [value(growth.length_at_age(linf, k, t0, age)) for age in ages]
    found = fit_growth(ages, lengths)
    assert isinstance(found, GrowthFit)
    assert found.linf == pytest.approx(linf, rel=1e-5)
    assert found.k == pytest.approx(k, rel=1e-5)
    assert found.t0 == pytest.approx(t0, abs=1e-5 * span)


@given(scale=st.floats(0.01, 100), days=st.floats(1, 400))
@settings(deadline=None)
def test_the_fit_does_not_hang_on_the_units(scale: float, days: float) -> None:
    plain = fitted(HAKE_MALES)
    other = fitted([(age * days, length * scale) for age, length in HAKE_MALES])
    assert other.linf == pytest.approx(plain.linf * scale, rel=1e-6)
    assert other.k == pytest.approx(plain.k / days, rel=1e-6)


@pytest.mark.parametrize(
    ("worked", "expected", "relative", "published"),
    [
        (value(growth.length_at_age(61.233, 0.29626, -0.05726, 5.3)), 48.71, 1e-4, KIMURA),
        (value(growth.length_at_age(450, 0.3, -0.5, 3)), 292.528, 1e-5, FSA_1),
        (value(growth.length_at_age(20, 0.3, -0.2, 1)), 6.04647, 1e-5, FSA_2),
        (value(growth.age_at_length(450, 0.3, -0.5, 300)), 3.16204, 1e-5, FSA_1),
        (value(growth.growth_rate(30, 60, 15)), 4.621, 1e-4, SGR),
        (value(growth.weight_after(0.5, 3, 30)), 1.2298, 1e-4, SGR),
        (value(growth.weight_after(1, 1.71, 84)), 4.206, 1e-3, DHAKA),
        (value(growth.weight(0.01, 3, 10)), 10.0, 1e-12, INVENTED),
        (value(growth.density_g_per_l(5, 1, 2)), 2.5, 1e-12, DHAKA),
    ],
)
def test_growth_as_published(
    worked: float, expected: float, relative: float, published: str
) -> None:
    assert worked == pytest.approx(expected, rel=relative), published


def test_the_length_weight_line_of_chinook() -> None:
    found = fit_weight([length for length, _ in CHINOOK], [mass for _, mass in CHINOOK])
    assert isinstance(found, WeightFit)
    assert found.a == pytest.approx(5.19236e-05, rel=1e-4), CHINOOK_ARG
    assert found.points == 112


def test_a_brood_of_the_invented_room() -> None:
    line = growth.straight_growth([30, 44, 58], [14, 19, 25])
    assert isinstance(line, Line)
    assert line.rate_per_day == pytest.approx(0.393, abs=5e-4), INVENTED
    assert growth.day_at_size(line, 30) == pytest.approx(71.15, abs=0.005), INVENTED
    full_mm = 10 * value(growth.length_for_weight(0.01, 3, 0.4 * 52.5 / 120))
    assert full_mm == pytest.approx(26.0, abs=0.05), INVENTED
    assert math.ceil(value(growth.day_at_size(line, full_mm))) == 61, INVENTED
    heavy = value(growth.weight(0.01, 3, 3.0))
    assert growth.density_g_per_l(120, heavy, 52.5) == pytest.approx(0.62, abs=5e-3), INVENTED
    assert growth.heads_that_fit(0.4, 52.5, heavy) == 77, INVENTED


@given(linf=st.floats(1, 500), k=st.floats(0.01, 3), t0=st.floats(-2, 2), after=st.floats(0.001, 5))
def test_age_and_length_are_inverse(linf: float, k: float, t0: float, after: float) -> None:
    length = value(growth.length_at_age(linf, k, t0, t0 + after / k))
    assert 0 <= length < linf
    assert growth.age_at_length(linf, k, t0, length) == pytest.approx(t0 + after / k, abs=1e-6 / k)


@given(a=st.floats(1e-4, 1), b=st.floats(2, 4), length=st.floats(0.1, 100))
def test_weight_and_length_are_inverse(a: float, b: float, length: float) -> None:
    assert growth.length_for_weight(a, b, value(growth.weight(a, b, length))) == pytest.approx(
        length
    )


@given(start=st.floats(0.01, 100), rate=st.floats(-5, 10), days=st.floats(1, 200))
def test_rate_and_weight_are_inverse(start: float, rate: float, days: float) -> None:
    end = value(growth.weight_after(start, rate, days))
    assert growth.growth_rate(start, end, days) == pytest.approx(rate, abs=1e-9)


@given(a=st.floats(1e-4, 1), b=st.floats(2, 4))
def test_an_exact_length_weight_line_is_found_again(a: float, b: float) -> None:
    lengths = [1.0, 2.0, 3.5, 5.0, 8.0]
    found = fit_weight(lengths, [value(growth.weight(a, b, length)) for length in lengths])
    assert isinstance(found, WeightFit)
    assert found.a == pytest.approx(a, rel=1e-9)
    assert found.b == pytest.approx(b, rel=1e-9)


@given(limit=st.floats(0.1, 5), litres=st.floats(5, 500), weight=st.floats(0.01, 50))
def test_one_more_fish_would_be_too_many(limit: float, litres: float, weight: float) -> None:
    heads = growth.heads_that_fit(limit, litres, weight)
    assert isinstance(heads, int)
    assert heads * weight <= limit * litres * (1 + 1e-9)
    assert (heads + 1) * weight > limit * litres * (1 - 1e-9)


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("linf", growth.length_at_age(0, 0.3, 0, 1)),
        ("k", growth.length_at_age(50, -0.3, 0, 1)),
        ("age", growth.length_at_age(50, 0.3, 0, -1)),
        ("age", growth.length_at_age(50, 0.3, 0, math.inf)),
        ("t0", growth.length_at_age(50, 0.3, math.nan, 1)),
        ("length", growth.age_at_length(50, 0.3, 0, 50)),
        ("length", growth.age_at_length(50, 0.3, 0, 60)),
        ("length", growth.age_at_length(50, 0.3, 0, -1)),
        ("a", growth.weight(0, 3, 10)),
        ("b", growth.weight(0.01, 30, 10)),
        ("length", growth.weight(0.01, 3, -10)),
        ("weight", growth.weight(1e12, 10, 1e12)),  # no such fish: 1e132
        ("weight", growth.length_for_weight(0.01, 3, -1)),
        ("from", growth.growth_rate(0, 60, 15)),
        ("to", growth.growth_rate(30, 0, 15)),
        ("days", growth.growth_rate(30, 60, 0)),
        ("rate", growth.weight_after(1, 500, 10)),
        ("day", growth.straight_growth([30], [14])),
        ("day", growth.straight_growth([30, 30], [14, 15])),
        ("day", growth.straight_growth([30, 44], [14])),
        ("size 2", growth.straight_growth([30, 44], [14, math.nan])),
        ("size", growth.day_at_size(Line(0.0, 14.0), 30)),
        ("volume", growth.density_g_per_l(5, 1, 0)),
        ("weight", growth.heads_that_fit(0.4, 52.5, 0)),
        ("age", fit_growth([1, 2], [5, 9])),
        ("age", fit_growth([1, 1, 1], [5, 6, 7])),
        ("age", fit_growth([1, 2, 3], [5, 6])),
        ("length", fit_growth([1, 2, 3, 4], [1, 2, 3, 4])),  # a straight line levels off nowhere
        ("length", fit_growth([1, 2, 3, 4], [1, 2, 4, 8])),
        ("length", fit_growth([1, 2, 3, 4], [5, 5, 5, 5])),
        ("length", fit_growth([1, 2, 3, 4], [8, 6, 5, 4])),
        ("length", fit_growth([1, 2, 3, 4], [5, 9, 9, 9])),
        ("length", fit_growth([1, 2, 3, 4], [0, 6, 8, 9])),
        ("length 3", fit_growth([1, 2, 3, 4], [5, 6, math.inf, 9])),
        ("linf", fit_growth([1, 2, 3, 4], [5, 7, 8, 9], -1)),
        ("linf", fit_growth([1, 2, 3, 4], [5, 7, 8, 9], 1e9)),
        ("linf", fit_growth([1, 2, 3, 4], [5, 7, 8, 9], 2)),
        ("length", fit_weight([10, 10], [9, 11])),
        ("length", fit_weight([10, 12], [9])),
        ("weight", fit_weight([10, 12], [9, 0])),
        ("length", fit_weight([10, -12], [9, 11])),
    ],
)
def test_growth_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE


@given(
    pairs=st.lists(
        st.tuples(
            st.one_of(st.floats(-1e13, 1e13), st.integers(0, 5).map(float)),
            st.one_of(st.floats(-1e13, 1e13), st.integers(0, 5).map(float)),
        ),
        max_size=12,
    ),
    linf=st.one_of(st.none(), st.floats()),
)
@settings(deadline=None)
def test_whatever_was_measured_gives_a_curve_or_a_problem(
    pairs: list[tuple[float, float]], linf: float | None
) -> None:
    xs, ys = [x for x, _ in pairs], [y for _, y in pairs]
    curve, line = fit_growth(xs, ys, linf), fit_weight(xs, ys)
    if isinstance(curve, GrowthFit):
        assert all(map(math.isfinite, (curve.linf, curve.k, curve.t0, curve.residual)))
        assert curve.k > 0
    if isinstance(line, WeightFit):
        assert math.isfinite(line.a)
        assert math.isfinite(line.b)
