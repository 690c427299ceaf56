"""What a fill of each reservoir gives, what stands there ready, and which may serve a water."""

import math
from dataclasses import replace

import pytest

from roomtasks.room.amount import MEASURED, Amount
from roomtasks.room.pool import pool_of, vessels_of
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Contents, Vessel, WhatIf
from tests.room.example_room import at, example_room
from tests.room.made_draws import a_vessel

EVENING = at("2027-03-12T18:00")


def vessels(what_if: WhatIf | None = None, **held: Contents) -> tuple[Vessel, ...]:
    found = vessels_of(example_room(), held, what_if or WhatIf())
    assert not isinstance(found, Problem)
    return found


def refused(found: object) -> Problem:
    assert isinstance(found, Problem), found
    return found


def test_vessels_of_the_worked_room() -> None:
    first, second = vessels()
    assert (first.code, first.recipes) == ("R1", ("hard",))
    assert (first.most_litres, first.left_litres, first.holds_litres) == (560.0, 140.0, 140.0)
    assert (second.most_litres, second.left_litres, second.holds_recipe) == (200.0, 0.0, "soft")
    with_yes = vessels(WhatIf(keep_back=True))[0]
    assert (with_yes.most_litres, with_yes.left_litres) == (660.0, 40.0)
    assert vessels(WhatIf(keep_back=False)) == vessels()


@pytest.mark.parametrize(
    ("state", "treated", "ready"),
    [("ready", False, 260.0), ("mixed", True, 260.0), ("heating", True, 260.0),
     ("heating", False, 0.0), ("treated", True, 260.0), ("raw", False, 0.0),
     ("filling", True, 0.0), ("empty", False, 0.0)],
)  # fmt: skip
def test_only_treated_water_may_be_used_without_another_fill(
    state: str, treated: bool, ready: float
) -> None:
    held = Contents(
        reservoir="R1", litres=400.0, recipe="hard", state=state,
        treated_at=EVENING if treated else None, celsius=Amount(24.0, "C", MEASURED),
    )  # fmt: skip
    vessel = vessels(R1=held)[0]
    assert (vessel.ready_litres, vessel.holds_litres) == (ready, 400.0)
    assert vessel.celsius is not None


def test_a_pool_is_those_that_can_hold_the_recipe_largest_first() -> None:
    small = a_vessel("R3", 50.0, recipes=("soft", "hard"), water="soft", ready=20.0)
    any_water = a_vessel("R4", 80.0, ready=10.0)
    soft = a_vessel("R2", 200.0, recipes=("soft",))
    pool = pool_of((small, any_water, soft), "hard")
    assert [vessel.code for vessel in pool] == ["R4", "R3"]
    assert [vessel.ready_litres for vessel in pool] == [10.0, 0.0]  # what stands in R3 is soft
    assert [vessel.code for vessel in pool_of((small, any_water, soft), "hard", "R3")] == ["R3"]
    # a room that knows one water only
    assert [vessel.ready_litres for vessel in pool_of((small,), "")] == [20.0]


def with_reservoir(**facts: object) -> Room:
    room = example_room()
    first, *rest = room.reservoirs
    changed: Reservoir = replace(first, **facts)  # type: ignore[arg-type]
    return replace(room, reservoirs=(changed, *rest))


@pytest.mark.parametrize(
    ("facts", "where", "remedy"),
    [({"keep_back_litres": 700.0}, "R1 keep_back_litres", "give at most 660 L"),
     ({"keep_back_litres": -1.0}, "R1 keep_back_litres", ""),
     ({"keep_back_litres": math.nan}, "R1 keep_back_litres", "give a plain number"),
     ({"dead_litres": 1e308}, "R1 dead_litres", "check the number typed"),
     ({"dead_litres": 701.0}, "R1 dead_litres", "give at most 700 L"),
     ({"full_litres": 0.0}, "R1 full_litres", ""),
     ({"holds_litres": 701.0}, "R1 holds_litres", "give at most 700 L"),
     ({"recipes": "hard salt"}, "R1 recipes", "use hard, soft, or leave it blank for any")],
)  # fmt: skip
def test_reservoirs_that_cannot_be(facts: dict[str, object], where: str, remedy: str) -> None:
    problem = refused(vessels_of(with_reservoir(**facts), {}, WhatIf()))
    assert (problem.where, problem.remedy) == (where, remedy)


def test_a_reservoir_that_is_all_keep_back_gives_nothing() -> None:
    found = vessels_of(with_reservoir(keep_back_litres=660.0), {}, WhatIf())
    assert not isinstance(found, Problem)
    assert found[0].most_litres == 0.0
