"""What tanks hold and where to drain them to."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE, LITRES_PER_FT3
from roomtasks.room.volume import TankVolume, cylinder_volume, drain_mark, tank_volume

OPENSTAX = "OpenStax, Contemporary Mathematics (2023), Measuring Volume, fish-tank problem"
PURDUE = "extension sheet 'Use and Application of Salt in Aquaculture' (type AS-458), pi = 3.14"
SEGMENT = "segment-area formula (any mensuration handbook)"
INVENTED = "worked here, invented room"

CM = st.floats(1, 1000)
SHARE = st.floats(0, 1)


def net(length_cm: float, width_cm: float, water_cm: float, **more: Any) -> float:
    found = tank_volume(length_cm, width_cm, water_cm, **more)
    assert isinstance(found, TankVolume)
    return found.net_litres


def test_a_rectangular_tank() -> None:
    assert net(60, 15, 34) == pytest.approx(30.6, rel=1e-12), OPENSTAX


def test_the_litres_that_fill_a_part_full_tank() -> None:
    assert net(60, 15, 34) - net(60, 15, 34 * 0.25) == pytest.approx(22.95, rel=1e-12), OPENSTAX


def test_a_tank_in_feet() -> None:
    assert net(12 * 30.48, 3 * 30.48, 3 * 30.48) == pytest.approx(108 * LITRES_PER_FT3), PURDUE


def test_a_round_tank_is_a_full_cylinder() -> None:
    found = cylinder_volume(12 * 30.48, 4.5 * 30.48, 12 * 30.48)
    assert found == pytest.approx(508.7 * LITRES_PER_FT3, rel=1e-3), PURDUE


def test_a_lying_cylinder_part_full() -> None:
    assert cylinder_volume(60, 90, 20) == pytest.approx(74.25187, rel=1e-6), SEGMENT


def test_sand_and_rock_take_room() -> None:
    found = tank_volume(78.8, 38.8, 33.0, sand_cm=4, rock_kg=6)
    assert isinstance(found, TankVolume)
    assert found.gross_litres == pytest.approx(100.9, abs=0.05), INVENTED
    assert found.sand_litres == pytest.approx(7.3, abs=0.05), INVENTED
    assert found.rock_litres == pytest.approx(2.3, abs=0.05), INVENTED
    assert found.net_litres == pytest.approx(91.2, abs=0.06), INVENTED


@pytest.mark.parametrize(
    ("length", "width", "water", "litres"),
    [(118, 48, 38, 215), (58.8, 28.8, 31, 52.5), (58.8, 38.8, 30, 68.4), (148, 48, 30, 213)],
)
def test_the_tanks_of_the_invented_room(
    length: float, width: float, water: float, litres: float
) -> None:
    assert net(length, width, water) == pytest.approx(litres, abs=0.3), INVENTED


@pytest.mark.parametrize(
    ("fraction", "litres", "length", "width", "cm"),
    [(0.30, 91, 78.8, 38.8, 8.9), (0.30, 91.25, 78.8, 38.8, 8.95), (0.30, 215, 118, 48, 11.4)],
)
def test_the_drain_mark_is_litres_over_the_floor(
    fraction: float, litres: float, length: float, width: float, cm: float
) -> None:
    assert drain_mark(fraction, litres, length, width) == pytest.approx(cm, abs=0.05), INVENTED


@given(length=CM, width=CM, water=CM, sand=SHARE, porosity=SHARE)
def test_water_and_what_displaces_it_make_the_whole(
    length: float, width: float, water: float, sand: float, porosity: float
) -> None:
    found = tank_volume(length, width, water, sand_cm=sand * water * 0.99, porosity=porosity)
    assert isinstance(found, TankVolume)
    assert found.net_litres + found.sand_litres == pytest.approx(found.gross_litres)
    assert 0 < found.net_litres <= found.gross_litres


@given(fraction=SHARE, length=CM, width=CM, water=CM)
def test_draining_to_the_mark_takes_the_fraction(
    fraction: float, length: float, width: float, water: float
) -> None:
    litres = net(length, width, water)
    mark = drain_mark(fraction, litres, length, width)
    assert isinstance(mark, float)
    assert mark * length * width / 1000 == pytest.approx(fraction * litres)


@given(diameter=CM, length=CM, share=SHARE, more=SHARE)
def test_a_deeper_cylinder_holds_more(
    diameter: float, length: float, share: float, more: float
) -> None:
    low, high = sorted((share * diameter, more * diameter))
    less, most = cylinder_volume(diameter, length, low), cylinder_volume(diameter, length, high)
    assert isinstance(less, float)
    assert isinstance(most, float)
    assert less <= most * (1 + 1e-9) + 1e-9
    assert most <= math.pi * diameter**2 / 4 * length / 1000 * (1 + 1e-9)


@given(diameter=CM, length=CM, share=SHARE)
def test_what_is_above_and_below_fills_the_cylinder(
    diameter: float, length: float, share: float
) -> None:
    below = cylinder_volume(diameter, length, share * diameter)
    above = cylinder_volume(diameter, length, diameter - share * diameter)
    assert isinstance(below, float)
    assert isinstance(above, float)
    assert below + above == pytest.approx(math.pi * diameter**2 / 4 * length / 1000)


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("length", tank_volume(0, 30, 30)),
        ("length", tank_volume(-0.0, 30, 30)),
        ("width", tank_volume(60, -30, 30)),
        ("water", tank_volume(60, 30, math.nan)),
        ("water", tank_volume(60, 30, math.inf)),
        ("length", tank_volume(1e308, 30, 30)),
        ("sand", tank_volume(60, 30, 30, sand_cm=31)),
        ("sand", tank_volume(60, 30, 30, sand_cm=-1)),
        ("porosity", tank_volume(60, 30, 30, sand_cm=3, porosity=1.4)),
        ("rock", tank_volume(60, 30, 30, rock_kg=-1)),
        ("rock_density", tank_volume(60, 30, 30, rock_kg=1, rock_density_kg_per_l=0)),
        ("volume", tank_volume(60, 30, 30, gear_litres=60)),
        ("volume", tank_volume(60, 30, 30, rock_kg=500)),
        ("depth", cylinder_volume(60, 90, 61)),
        ("depth", cylinder_volume(60, 90, -1)),
        ("diameter", cylinder_volume(0, 90, 0)),
        ("length", cylinder_volume(60, -90, 10)),
        ("fraction", drain_mark(1.01, 91, 78.8, 38.8)),
        ("fraction", drain_mark(-0.3, 91, 78.8, 38.8)),
        ("net", drain_mark(0.3, 0, 78.8, 38.8)),
        ("width", drain_mark(0.3, 91, 78.8, 0)),
    ],
)
def test_tanks_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE


def test_what_leaves_no_water_says_what_takes_it() -> None:
    problem = tank_volume(60, 30, 30, gear_litres=60)
    assert isinstance(problem, Problem)
    assert "60 of 54 L" in problem.what
