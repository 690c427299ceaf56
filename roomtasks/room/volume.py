"""Volumes: what a tank holds, and how far to lower it.

Lives here: geometry of tanks, in cm and litres. Inside sizes, and the height of
the water up to the running level, never of the glass.
Does not live here: which volume of a tank is in use, measured or worked out
(`tank`), and what a change does to the water (`water`).
"""

import math
from dataclasses import dataclass

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    above_zero,
    finished,
    first,
    refuse,
    share,
    within,
    zero_or_more,
)

POROSITY = 0.40  # share of a sand bed that is water; common practice, no published source
ROCK_DENSITY_KG_PER_L = 2.6  # ordinary stone; common practice, no published source


@dataclass(frozen=True, slots=True)
class TankVolume:
    """What a tank holds, in litres: the water, the whole, and what takes room in it."""

    net_litres: float
    gross_litres: float
    sand_litres: float
    rock_litres: float
    gear_litres: float


def tank_volume(
    length_cm: float,
    width_cm: float,
    water_cm: float,
    *,
    sand_cm: float = 0.0,
    porosity: float = POROSITY,
    rock_kg: float = 0.0,
    rock_density_kg_per_l: float = ROCK_DENSITY_KG_PER_L,
    gear_litres: float = 0.0,
) -> TankVolume | Problem:
    """Litres of water in a rectangular tank.

    Inside length and width, and the water height, in cm. The grains of a sand
    bed, rock and gear are taken off. Refuses sizes that are not above zero, and
    contents that leave no water.
    """
    fault = first(
        above_zero("length", length_cm, "cm"),
        above_zero("width", width_cm, "cm"),
        above_zero("water", water_cm, "cm"),
        within("sand", sand_cm, 0.0, water_cm, "cm, the water height"),
        share("porosity", porosity),
        zero_or_more("rock", rock_kg, "kg"),
        above_zero("rock_density", rock_density_kg_per_l, "kg/L"),
        zero_or_more("gear", gear_litres, "L"),
    )
    if fault is not None:
        return fault
    gross = length_cm * width_cm * water_cm / 1000
    sand = length_cm * width_cm * sand_cm * (1 - porosity) / 1000
    rock = rock_kg / rock_density_kg_per_l
    net = gross - sand - rock - gear_litres
    if net <= 0:
        what = f"sand, rock and gear take {sand + rock + gear_litres:.4g} of {gross:.4g} L"
        return refuse("volume", what, "no water would be left; check the sizes")
    return TankVolume(net, gross, sand, rock, gear_litres)


def cylinder_volume(diameter_cm: float, length_cm: float, depth_cm: float) -> float | Problem:
    """Litres in a cylinder lying flat, with flat ends, filled to a depth, in cm.

    V = L (R^2 acos((R-h)/R) - (R-h) sqrt(2Rh - h^2)), the area of a circle's
    segment (any mensuration handbook). Refuses a depth above the diameter.
    """
    fault = first(
        above_zero("diameter", diameter_cm, "cm"),
        above_zero("length", length_cm, "cm"),
        within("depth", depth_cm, 0.0, diameter_cm, "cm, the diameter"),
    )
    if fault is not None:
        return fault
    radius = diameter_cm / 2
    above = radius - depth_cm
    chord = math.sqrt(max(0.0, depth_cm * (diameter_cm - depth_cm)))
    segment = radius * radius * math.acos(max(-1.0, min(1.0, above / radius))) - above * chord
    return finished("cylinder-volume", max(0.0, segment) * length_cm / 1000)


def drain_mark(
    fraction: float, net_litres: float, length_cm: float, width_cm: float
) -> float | Problem:
    """How many cm below the running level to drain, for a fraction of the net litres.

    Sand and rock hold no level, so the mark is the litres to drain over the
    tank's floor, above sand and rock. Inside length and width in cm.
    """
    fault = first(
        share("fraction", fraction),
        above_zero("net", net_litres, "L"),
        above_zero("length", length_cm, "cm"),
        above_zero("width", width_cm, "cm"),
    )
    if fault is not None:
        return fault
    return finished("drain-mark", fraction * net_litres * 1000 / (length_cm * width_cm))
