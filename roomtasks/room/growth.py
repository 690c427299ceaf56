"""Growth: length at an age, weight from length, growth rates, density.

Lives here: the growth formulas of a brood and the sums on weight. Any one unit
of length, weight and age throughout a call, as the keeper measures; days where
a name says so.
Does not live here: fitting a curve to many fish (`growth_fit`), and when a brood
must move (`brood`).

Sources: von Bertalanffy L(t) = Linf (1 - exp(-K (t - t0))); length-weight
W = a L^b; specific growth rate 100 ln(Wf/Wi)/t (general fisheries use).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    above_zero,
    finished,
    first,
    number,
    refuse,
    within,
    zero_or_more,
)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line through samples: size = start + rate x day."""

    rate_per_day: float
    start: float


def length_at_age(linf: float, k: float, t0: float, age: float) -> float | Problem:
    """Length at an age: Linf (1 - exp(-K (t - t0))), in the unit of Linf.

    Refuses an age before t0, where the curve has no length.
    """
    fault = first(_curve_fault(linf, k, t0), number("age", age))
    if fault is not None:
        return fault
    if age < t0:
        return refuse("age", f"{age:g} lies before t0 = {t0:g}", "the curve starts at t0")
    return finished("length-at-age", -linf * math.expm1(-k * (age - t0)))


def age_at_length(linf: float, k: float, t0: float, length: float) -> float | Problem:
    """Age at a length: t0 - ln(1 - L/Linf)/K. Refuses a length at or above Linf."""
    fault = first(_curve_fault(linf, k, t0), zero_or_more("length", length))
    if fault is not None:
        return fault
    if length >= linf:
        what = f"{length:g} is never reached, the curve levels off at {linf:g}"
        return refuse("length", what, f"give a length below {linf:g}")
    return finished("age-at-length", t0 - math.log1p(-length / linf) / k)


def _curve_fault(linf: float, k: float, t0: float) -> Problem | None:
    return first(above_zero("linf", linf), above_zero("k", k), number("t0", t0))


def weight(a: float, b: float, length: float) -> float | Problem:
    """Weight from length: a L^b, in the unit a is for."""
    fault = first(above_zero("a", a), within("b", b, 0.1, 10.0), zero_or_more("length", length))
    return fault or finished("weight", a * length**b)


def length_for_weight(a: float, b: float, weight_reached: float) -> float | Problem:
    """The length at which a fish has a weight: (W/a)^(1/b)."""
    fault = first(
        above_zero("a", a), within("b", b, 0.1, 10.0), zero_or_more("weight", weight_reached)
    )
    if fault is not None:
        return fault
    if weight_reached == 0:
        return 0.0
    exponent = (math.log(weight_reached) - math.log(a)) / b
    return math.exp(exponent) if exponent < 700 else finished("length", math.inf)


def growth_rate(from_weight: float, to_weight: float, days: float) -> float | Problem:
    """Specific growth rate in %/day: 100 ln(Wf/Wi)/t. Below 0 where weight was lost."""
    fault = first(
        above_zero("from", from_weight), above_zero("to", to_weight), above_zero("days", days, "d")
    )
    if fault is not None:
        return fault
    return finished("growth-rate", 100 * (math.log(to_weight) - math.log(from_weight)) / days)


def weight_after(from_weight: float, rate_percent_per_day: float, days: float) -> float | Problem:
    """Weight after so many days at a steady specific growth rate."""
    fault = first(
        above_zero("from", from_weight),
        within("rate", rate_percent_per_day, -100.0, 100.0, "%/day"),
        within("days", days, 0.0, 36525.0, "d"),
    )
    if fault is not None:
        return fault
    exponent = math.log(from_weight) + rate_percent_per_day * days / 100
    return math.exp(exponent) if exponent < 700 else finished("weight", math.inf)


def straight_growth(days: Sequence[float], sizes: Sequence[float]) -> Line | Problem:
    """The least-squares line through samples of one brood, size by day.

    Good enough for some weeks. Refuses fewer than two days apart, and samples
    of unlike number.
    """
    fault = samples_fault("day", days, "size", sizes, 2)
    if fault is not None:
        return fault
    mean_day, mean_size = math.fsum(days) / len(days), math.fsum(sizes) / len(sizes)
    spread = math.fsum((day - mean_day) ** 2 for day in days)
    both = math.fsum(
        (day - mean_day) * (size - mean_size) for day, size in zip(days, sizes, strict=True)
    )
    rate = both / spread
    return Line(rate, mean_size - rate * mean_day)


def day_at_size(line: Line, size: float) -> float | Problem:
    """The day, with its part, on which a straight line reaches a size.

    Refuses a brood that is not growing.
    """
    if (fault := zero_or_more("size", size)) is not None:
        return fault
    if line.rate_per_day <= 0:
        return refuse("size", "the samples show no growth", "measure again")
    return finished("day", (size - line.start) / line.rate_per_day)


def density_g_per_l(heads: int, weight_g: float, litres: float) -> float | Problem:
    """Grams of fish to the litre."""
    fault = first(
        zero_or_more("heads", heads),
        zero_or_more("weight", weight_g, "g"),
        above_zero("volume", litres, "L"),
    )
    return fault or finished("density", heads * weight_g / litres)


def heads_that_fit(limit_g_per_l: float, litres: float, weight_g: float) -> int | Problem:
    """How many fish of a weight stay within a density limit."""
    fault = first(
        zero_or_more("limit", limit_g_per_l, "g/L"),
        above_zero("volume", litres, "L"),
        above_zero("weight", weight_g, "g"),
    )
    return fault or math.floor(limit_g_per_l * litres / weight_g * (1 + 1e-12))


def samples_fault(
    across: str, xs: Sequence[float], up: str, ys: Sequence[float], distinct: int
) -> Problem | None:
    """What keeps paired samples from being fitted, if anything.

    They must be finite, as many of one as of the other, and hold at least
    `distinct` different values across.
    """
    if len(xs) != len(ys):
        return refuse(across, f"{len(xs)} of them for {len(ys)} of {up}", "give them in pairs")
    for place, (x, y) in enumerate(zip(xs, ys, strict=True), 1):
        fault = first(number(f"{across} {place}", x), number(f"{up} {place}", y))
        if fault is not None:
            return fault
    if len(set(xs)) < distinct:
        what = f"{len(set(xs))} different values are too few"
        return refuse(across, what, f"{distinct} or more are needed")
    return None
