"""Flow: how long a vessel takes to fill and to drain, and an RO unit's true rate.

Lives here: times from rates and openings. Litres and minutes for filling;
metres, square metres and seconds for a hole, as its formula is written in them.
Does not live here: clock times (`ready`), and how water mixes (`water`).
"""

import math

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, finished, first, refuse, share_above_zero, within

STANDARD_GRAVITY = 9.80665  # m/s2, CGPM 1901, exact
RO_RATED_CELSIUS = 25.0  # reference temperature of membrane ratings
_RO_KELVIN_BELOW, _RO_KELVIN_ABOVE = 3020.0, 2640.0  # fit a maker-neutral table within 0.3 %
_RO_KELVIN_SLOW = 3310.0  # through 1.47 at 15 C, the slower of two published tables


def fill_time(volume_litres: float, rate_litres_per_minute: float) -> float | Problem:
    """Minutes to run in so many litres."""
    fault = first(
        above_zero("volume", volume_litres, "L"),
        above_zero("rate", rate_litres_per_minute, "L/min"),
    )
    return fault or finished("fill-time", volume_litres / rate_litres_per_minute)


def drain_time(
    area_m2: float,
    hole_m2: float,
    depth_m: float,
    coefficient: float = 1.0,
    gravity_m_per_s2: float = STANDARD_GRAVITY,
) -> float | Problem:
    """Seconds for a straight-sided vessel to empty through a hole in its floor.

    t = (A/a) sqrt(2h/g) / coefficient, from Torricelli's law. The coefficient of
    a sharp edge is about 0.6 (from memory). Refuses a hole no smaller than the
    vessel.
    """
    fault = first(
        above_zero("area", area_m2, "m2"),
        above_zero("hole", hole_m2, "m2"),
        above_zero("depth", depth_m, "m"),
        share_above_zero("coefficient", coefficient),
        above_zero("g", gravity_m_per_s2, "m/s2"),
    )
    if fault is not None:
        return fault
    if hole_m2 >= area_m2:
        what = f"a hole of {hole_m2:g} m2 is as large as the vessel of {area_m2:g} m2"
        return refuse("hole", what, "it must be well under the vessel's area")
    seconds = area_m2 / hole_m2 * math.sqrt(2 * depth_m / gravity_m_per_s2) / coefficient
    return finished("drain-time", seconds)


def ro_factor(celsius: float, *, slow: bool = False) -> float | Problem:
    """What an RO unit's rating at 25 C is divided by at another temperature.

    exp(K (1/298.15 - 1/T)) turned round, K 3020 below and 2640 above 25 C: one
    common table's own form. Makers differ (1.42 or 1.47 at 15 C), so a maker's
    factor beats this one. `slow` goes below 25 C by the slower of the two, for
    water that must be ready in time.
    """
    if (fault := within("temp", celsius, 0.0, 45.0, "C")) is not None:
        return fault
    below = _RO_KELVIN_SLOW if slow else _RO_KELVIN_BELOW
    slope = below if celsius < RO_RATED_CELSIUS else _RO_KELVIN_ABOVE
    return math.exp(slope * (1 / (celsius + 273.15) - 1 / (RO_RATED_CELSIUS + 273.15)))


def ro_rate(rated_litres_per_hour: float, factor: float) -> float | Problem:
    """Litres an hour an RO unit really gives: its rating over the factor."""
    fault = first(above_zero("rated", rated_litres_per_hour, "L/h"), above_zero("factor", factor))
    return fault or finished("ro-rate", rated_litres_per_hour / factor)
