"""What is run in for each fill: full ones, what stands there, and never more than is missing."""

import math
from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.batches import filled
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import Vessel
from tests.room.made_draws import a_vessel

CLOSE = 1e-5


def run_in(litres: list[float], vessel: Vessel, **more: object) -> tuple[float, ...]:
    found = filled(litres, vessel, **more)  # type: ignore[arg-type]
    assert not isinstance(found, Problem), found
    return found


def test_every_fill_but_the_last_is_a_full_one() -> None:
    vessel = a_vessel("R1", 560.0, left=140.0)
    assert run_in([455.0, 464.0], vessel) == (560.0, 359.0)
    assert run_in([559.0, 360.0], vessel) == (560.0, 359.0)
    assert run_in([300.0], vessel) == (300.0,)
    # never more than is still missing
    assert run_in([550.0, 300.0, 69.0], vessel) == (560.0, 359.0, 0.0)


def test_what_stands_there_counts() -> None:
    assert run_in([455.0, 464.0], a_vessel("R1", 560.0, 140.0, holds=240.0)) == (460.0, 359.0)
    # less than is to be left: that is run in too
    assert run_in([455.0, 464.0], a_vessel("R1", 560.0, 140.0, holds=0.0)) == (700.0, 359.0)
    # water of another sort is let go
    soft = a_vessel("R1", 560.0, 140.0, holds=300.0, water="soft")
    assert run_in([100.0], soft, recipe="hard") == (240.0,)
    assert run_in([100.0], soft, recipe="soft") == (0.0,)


def test_ready_water_may_be_used_as_it_stands() -> None:
    vessel = a_vessel("R1", 560.0, 140.0, holds=400.0)
    assert run_in([250.0, 369.0], vessel, as_it_stands=True) == (0.0, 359.0)
    assert run_in([250.0, 369.0], vessel) == (300.0, 59.0)
    assert run_in([300.0, 319.0], vessel, as_it_stands=True) == (300.0, 59.0)


@given(
    uses=st.lists(st.floats(1, 560), min_size=1, max_size=6),
    holds=st.floats(0, 700), as_it_stands=st.booleans(),
)  # fmt: skip
@settings(deadline=None)
def test_no_fill_uses_more_than_stands_there(
    uses: list[float], holds: float, as_it_stands: bool
) -> None:
    vessel = a_vessel("R1", 560.0, 140.0, holds=holds)
    added = run_in(uses, vessel, as_it_stands=as_it_stands)
    stands = holds
    for used, run in zip(uses, added, strict=True):
        assert run >= 0
        stands += run
        assert stands <= 700 + CLOSE
        stands -= used
        assert stands >= 140 - CLOSE
    missing = fsum(uses) + 140 - holds
    assert fsum(added) == pytest.approx(max(0.0, missing), abs=CLOSE)


@pytest.mark.parametrize(
    ("litres", "where", "remedy"),
    [([0.0], "fill 1", ""), ([5.0, -1.0], "fill 2", ""),
     ([math.nan], "fill 1", "give a plain number"), ([1e308], "fill 1", "check the number typed"),
     ([5.0, 600.0], "fill 2", "give at most 560 L")],
)  # fmt: skip
def test_fills_that_cannot_be(litres: list[float], where: str, remedy: str) -> None:
    found = filled(litres, a_vessel("R1", 560.0))
    assert isinstance(found, Problem)
    assert (found.where, found.remedy) == (where, remedy)
