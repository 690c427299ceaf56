"""Water changes: what a change does to the water, and how big a change is needed.

Lives here: dilution on a well-mixed body of water (one tank, or a system with
its open tanks). Concentrations are per litre and all of one substance, written
mg/L; a change is a fraction of the water, 0 to 1, not of the tank's outside.
Does not live here: when the next change is due, what was done, temperature
(`heat`), doses and blends (`chemistry`).

All are mass balances: one change leaves Cs + (C0 - Cs)(1 - f), so n of them
leave Cs + (C0 - Cs)(1 - f)^n.
"""

import math
from dataclasses import dataclass

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    above_zero,
    finished,
    first,
    number,
    refuse,
    share,
    share_above_zero,
    whole,
    zero_or_more,
)

LARGEST_CHANGE = 0.40  # of one tank in one day; common practice, no published source
_ROUNDING = 1e-9  # a count this near a whole number is that number


@dataclass(frozen=True, slots=True)
class Steady:
    """Where the water settles: mg/L just before and just after each change."""

    before_mg_per_l: float
    after_mg_per_l: float


@dataclass(frozen=True, slots=True)
class CatchUp:
    """The change that makes up for missed ones.

    `fraction` in one go; within the largest allowed change it takes `changes`
    equal ones of `each_fraction`, a day apart.
    """

    fraction: float
    changes: int
    each_fraction: float


def after_change(
    before_mg_per_l: float, fraction: float, source_mg_per_l: float = 0.0, times: int = 1
) -> float | Problem:
    """mg/L after so many equal changes: Cs + (C0 - Cs)(1 - f)^n."""
    fault = first(
        zero_or_more("before", before_mg_per_l, "mg/L"),
        share("fraction", fraction),
        zero_or_more("source", source_mg_per_l, "mg/L"),
        whole("times", times),
    )
    if fault is not None:
        return fault
    above = before_mg_per_l - source_mg_per_l
    return finished("after-change", source_mg_per_l + above * (1 - fraction) ** times)


def change_needed(
    before_mg_per_l: float, target_mg_per_l: float, source_mg_per_l: float = 0.0
) -> float | Problem:
    """The smallest single change that reaches the target: (C0 - Ct)/(C0 - Cs).

    0.0 where the water is there already. Refuses when the source is not below
    the target, since no change can then get there.
    """
    fault = _dilution_fault(before_mg_per_l, target_mg_per_l, source_mg_per_l)
    if fault is not None:
        return fault
    if before_mg_per_l <= target_mg_per_l:
        return 0.0
    return (before_mg_per_l - target_mg_per_l) / (before_mg_per_l - source_mg_per_l)


def changes_needed(
    before_mg_per_l: float, target_mg_per_l: float, fraction: float, source_mg_per_l: float = 0.0
) -> int | Problem:
    """How many equal changes bring the water to the target or below.

    0 where the water is there already. Refuses when the source is not below the
    target, and a fraction of nothing.
    """
    fault = first(
        _dilution_fault(before_mg_per_l, target_mg_per_l, source_mg_per_l),
        share_above_zero("fraction", fraction),
    )
    if fault is not None:
        return fault
    if before_mg_per_l <= target_mg_per_l:
        return 0
    if fraction >= 1:
        return 1
    now, then = before_mg_per_l - source_mg_per_l, target_mg_per_l - source_mg_per_l
    return _round_up((math.log(then) - math.log(now)) / math.log1p(-fraction))


def _dilution_fault(before: float, target: float, source: float) -> Problem | None:
    fault = first(
        zero_or_more("before", before, "mg/L"),
        zero_or_more("target", target, "mg/L"),
        zero_or_more("source", source, "mg/L"),
    )
    if fault is None and source >= target:
        what = f"at {source:g} mg/L it is not below the target of {target:g} mg/L"
        remedy = f"changes can come near {source:g} mg/L, never under it"
        fault = refuse("source", what, remedy)
    return fault


def steady(
    production_mg_per_l: float, fraction: float, source_mg_per_l: float = 0.0
) -> Steady | Problem:
    """Where a regular change settles: before Cs + p/f, after Cs + p(1 - f)/f.

    Production is what builds up between two changes, in mg/L.
    """
    fault = first(
        zero_or_more("production", production_mg_per_l, "mg/L"),
        share_above_zero("fraction", fraction),
        zero_or_more("source", source_mg_per_l, "mg/L"),
    )
    if fault is not None:
        return fault
    before = finished("steady", source_mg_per_l + production_mg_per_l / fraction)
    if isinstance(before, Problem):
        return before
    after = source_mg_per_l + production_mg_per_l * (1 - fraction) / fraction
    return Steady(before, after)


def least_fraction(
    production_mg_per_l: float, limit_mg_per_l: float, source_mg_per_l: float = 0.0
) -> float | Problem:
    """The least regular change that keeps the water at or under a limit: p/(Cmax - Cs).

    Refuses a source at or above the limit, and a limit no full change could hold.
    """
    fault = first(
        zero_or_more("production", production_mg_per_l, "mg/L"),
        zero_or_more("limit", limit_mg_per_l, "mg/L"),
        zero_or_more("source", source_mg_per_l, "mg/L"),
    )
    if fault is not None:
        return fault
    room = limit_mg_per_l - source_mg_per_l
    if room <= 0 or production_mg_per_l > room:
        lowest = source_mg_per_l + production_mg_per_l
        what = f"{limit_mg_per_l:g} mg/L cannot be held by changes of this source"
        return refuse("limit", what, f"a full change each time holds {lowest:.4g} mg/L")
    return production_mg_per_l / room


def through_flow(
    flow_litres_per_hour: float, volume_litres: float, hours: float
) -> float | Problem:
    """The fraction replaced by a steady flow through mixed water: 1 - exp(-QT/V).

    Source: Practical formulas for computing water exchange rates, Progressive
    Fish-Culturist 47(1), 1985, 69-70.
    """
    fault = first(
        zero_or_more("flow", flow_litres_per_hour, "L/h"),
        above_zero("volume", volume_litres, "L"),
        zero_or_more("hours", hours, "h"),
    )
    if fault is not None:
        return fault
    return -math.expm1(-(flow_litres_per_hour * hours / volume_litres)) + 0.0


def through_flow_time(
    fraction: float, flow_litres_per_hour: float, volume_litres: float
) -> float | Problem:
    """Hours of a steady flow that replace a fraction: -ln(1 - F) V/Q.

    Refuses the whole (a flow never gets quite there). Source: Progressive
    Fish-Culturist 47(1), 1985, 69-70.
    """
    fault = first(
        share("fraction", fraction),
        above_zero("flow", flow_litres_per_hour, "L/h"),
        above_zero("volume", volume_litres, "L"),
    )
    if fault is not None:
        return fault
    if fraction >= 1:
        what = "a flow through mixed water never replaces all of it"
        return refuse("fraction", what, "0.99 takes 4.6 volumes, 0.999 takes 6.9")
    time = -math.log1p(-fraction) * volume_litres / flow_litres_per_hour
    return finished("through-flow-time", time)


def catch_up(fraction: float, missed: int, limit: float = LARGEST_CHANGE) -> CatchUp | Problem:
    """The change that makes up for missed ones: (m + 1) f / (1 + m f).

    It brings the water back to its usual level after a change, for a room that
    had settled. Above `limit` it is split into the fewest equal changes, each
    1 - (1 - f)^(1/k). Refuses a full change that a limit below 1 cannot make.
    """
    fault = first(
        share_above_zero("fraction", fraction),
        whole("missed", missed),
        number("missed", missed + 1),
        share_above_zero("limit", limit),
    )
    if fault is not None:
        return fault
    wanted = catch_up_for_gap(missed + 1, fraction)
    if wanted <= limit * (1 + _ROUNDING):
        return CatchUp(wanted, 1, wanted)
    if wanted >= 1:
        what = f"a full change cannot be made of parts of at most {limit:g}"
        return refuse("fraction", what, "give a fraction below 1, or limit=1")
    changes = _round_up(math.log1p(-wanted) / math.log1p(-limit))
    return CatchUp(wanted, changes, -math.expm1(math.log1p(-wanted) / changes))


def catch_up_for_gap(ratio: float, fraction: float) -> float:
    """The change after `ratio` times the usual interval: r f / (1 + (r - 1) f).

    1.0 is the usual interval, 2.0 one missed change, 0.5 half the time. A ratio
    below 0 or a fraction outside 0 to 1 is a ValueError: callers hold checked
    values.
    """
    if first(zero_or_more("ratio", ratio), share("fraction", fraction)) is not None:
        raise ValueError(f"ratio {ratio}, fraction {fraction}")
    if ratio == 0 or fraction == 0:
        return 0.0
    return min(1.0, ratio * fraction / (1 + (ratio - 1) * fraction))


def owed_after_part(done: float, wanted: float) -> float:
    """The change still owed after a part of it: 1 - (1 - F)/(1 - done).

    Half of a 0.30 change leaves 0.176 owed, not 0.15. Never below 0. Fractions
    outside 0 to 1 are a ValueError: callers hold checked values.
    """
    if first(share("done", done), share("wanted", wanted)) is not None:
        raise ValueError(f"done {done}, wanted {wanted}")
    if done >= wanted:
        return 0.0
    return (wanted - done) / (1 - done)


def system_fraction(drained_litres: float, volume_litres: float) -> float | Problem:
    """The fraction of the shared water that was drained from its tanks."""
    fault = first(
        zero_or_more("drained", drained_litres, "L"),
        above_zero("volume", volume_litres, "L"),
    )
    if fault is None and drained_litres > volume_litres:
        what = f"{drained_litres:g} L cannot leave a system of {volume_litres:g} L"
        fault = refuse("drained", what, f"at most {volume_litres:g} L")
    return fault if fault is not None else drained_litres / volume_litres


def per_tank_fraction(
    wanted_fraction: float, volume_litres: float, tanks_litres: float
) -> float | Problem:
    """What to drain of each tank for a wanted fraction of the whole system.

    The sump and pipes are not drained, so the tanks give more: f V / V_tanks.
    """
    fault = first(
        share("wanted", wanted_fraction),
        above_zero("volume", volume_litres, "L"),
        above_zero("tanks", tanks_litres, "L"),
    )
    if fault is not None:
        return fault
    if tanks_litres > volume_litres:
        what = f"tanks of {tanks_litres:g} L cannot be in a system of {volume_litres:g} L"
        return refuse("tanks", what, "the volume is that of tanks, sump and pipes together")
    most = tanks_litres / volume_litres
    if wanted_fraction > most * (1 + _ROUNDING):
        what = f"{wanted_fraction:g} of the system is more than its tanks hold"
        return refuse("wanted", what, f"at most {most:.3g}")
    return min(1.0, wanted_fraction / most)


def rejoin_residue(tank_per_l: float, tank_litres: float, system_litres: float) -> float | Problem:
    """What a tank's dissolved dose becomes once it shares the system's water, per L.

    The system's litres count the tank in.
    """
    fault = first(
        zero_or_more("concentration", tank_per_l),
        above_zero("tank", tank_litres, "L"),
        above_zero("system", system_litres, "L"),
    )
    if fault is None and tank_litres > system_litres:
        fault = refuse("tank", f"{tank_litres:g} L is more than the whole system holds")
    return fault if fault is not None else tank_per_l * tank_litres / system_litres


def topped_up_hardness(tap: float, topped_share: float, fraction: float) -> float | Problem:
    """Where hardness settles when tap water makes up for evaporation: tap (1 + e/f).

    `topped_share` is the share of the water that evaporates between two changes
    of `fraction`. The answer is in the tap's own hardness unit.
    """
    fault = first(
        zero_or_more("tap", tap),
        share("topped_share", topped_share),
        share_above_zero("fraction", fraction),
    )
    if fault is not None:
        return fault
    return finished("hardness", tap * (1 + topped_share / fraction))


def _round_up(count: float) -> int:
    """The next whole number, forgiving the last digits of a logarithm; at least 1."""
    return max(1, math.ceil(count * (1 - _ROUNDING)))
