"""A tank's volume: measured beats computed, and how it is known goes with the number."""

from datetime import date

import pytest

from roomtasks.room.problem import Problem
from roomtasks.room.tank import drain_mark_cm, litres_of
from tests.room.scene import tank


def test_the_worked_tank_of_an_invented_room() -> None:
    # Outside 80 x 40, glass 0.6 cm: worked here, invented room.
    worked = tank(
        "A1", measured_litres=None, length_cm=78.8, width_cm=38.8, height_cm=40.0, water_cm=33.0,
        sand_cm=4.0, rock_kg=6.0,
    )  # fmt: skip
    found = litres_of(worked)
    assert not isinstance(found, Problem)
    assert found.litres == pytest.approx(91.25, abs=0.01)
    assert found.known == "computed"
    assert drain_mark_cm(worked, 0.30) == pytest.approx(9.0, abs=0.05)


def test_a_common_size_comes_out_as_keepers_know_it() -> None:
    # 61 x 61 x 35.5 cm of water holds about 132 L: common practice, no published source.
    found = litres_of(
        tank("A1", measured_litres=None, length_cm=61, width_cm=61, height_cm=40, water_cm=35.5)
    )
    assert not isinstance(found, Problem)
    assert found.litres == pytest.approx(132, abs=0.2)


def test_a_measured_volume_beats_a_computed_one_and_says_so() -> None:
    found = litres_of(tank("A1", measured_litres=50.0, measured_on=date(2027, 1, 2)))
    assert not isinstance(found, Problem)
    assert (found.litres, found.known) == (50.0, "measured")
    assert "Sat 2 Jan 2027" in found.source


def test_what_leaves_no_water_is_refused() -> None:
    found = litres_of(tank("A1", measured_litres=None, gear_litres=5000.0))
    assert isinstance(found, Problem)
    assert found.where == "tank A1"
