"""Which tanks are one water, and what a change does to it."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED
from roomtasks.room.body import (
    ALONE,
    CUT_OFF,
    SYSTEM,
    Body,
    PerTank,
    bodies,
    body_change,
    body_of,
    litres_by_through_flow,
    per_tank_for,
    recipe_of,
)
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.system import System, ValveTurn
from roomtasks.room.tank import Litres, drain_mark_cm, litres_of
from roomtasks.room.volume import TankVolume, tank_volume
from roomtasks.room.water_plan import BodyChange
from tests.room.example_room import ON_SYSTEM, at, example_room, shut, with_system, with_tank

NOW = at("2027-03-13T08:00")
INVENTED = "worked here, invented room"
EXCHANGE = "Practical Formulas for Computing Water Exchange Rates, Prog. Fish-Cult. 47(1):69-70"
GEIST = "B. Geist, Calculating Turn-over Time (web note)"


def changed(body: Body, fraction: float, *tanks: str) -> BodyChange:
    found = body_change(
        body, {tank: fraction * litres for tank, litres in body.each if tank in (tanks or (tank,))}
    )
    assert isinstance(found, BodyChange), found
    return found


def system(room: Room) -> Body:
    return body_of(room, "A1", NOW)


# --- volumes and drain marks ------------------------------------------------------------


def test_the_volume_of_a_sandy_tank() -> None:
    room = with_tank(example_room(), "A1", measured_litres=None)  # 80 x 40 outside, glass 0.6
    litres = litres_of(room.tank["A1"])
    assert isinstance(litres, Litres)
    assert litres.litres == pytest.approx(91.2, abs=0.05), INVENTED
    assert litres.known == "computed"
    parts = tank_volume(78.8, 38.8, 33.0, sand_cm=4.0, porosity=0.40, rock_kg=6.0)
    assert isinstance(parts, TankVolume)
    assert parts.gross_litres == pytest.approx(100.9, abs=0.05), INVENTED
    assert parts.sand_litres == pytest.approx(7.3, abs=0.05), INVENTED
    assert parts.rock_litres == pytest.approx(2.3, abs=0.05), INVENTED


@pytest.mark.parametrize(
    ("code", "measured", "cm", "litres"),
    [("A1", None, 9.0, 27.4), ("A1", 91.0, 8.9, 27.3), ("G1", 215.0, 11.4, 64.5)],
)
def test_the_mark_to_drain_to_is_above_sand_and_rock(
    code: str, measured: float | None, cm: float, litres: float
) -> None:
    room = with_tank(example_room(), code, measured_litres=measured)
    mark = drain_mark_cm(room.tank[code], 0.30)
    assert mark == pytest.approx(cm, abs=0.05), INVENTED  # 30 % of the height would be 9.9 at A1
    assert 0.30 * room.tank_litres(code) == pytest.approx(litres, abs=0.05), INVENTED


# --- bodies ------------------------------------------------------------------------------


def test_the_bodies_of_the_example_room() -> None:
    found = {body.code: body for body in bodies(example_room(), NOW)}
    assert found["S"].sort == SYSTEM
    assert found["S"].tanks == ON_SYSTEM
    assert found["S"].litres.value == 2412.0, INVENTED
    assert found["S"].tanks_litres == 2200.0, INVENTED
    assert found["S"].litres.known == MEASURED
    assert [part.name for part in found["S"].litres.inputs][-3:] == ["G6", "S sump", "S pipes"]
    assert {code for code, body in found.items() if body.sort == ALONE} == {
        *(f"D{n}" for n in range(1, 9)), "N1", "N2", "Q1", "Q2", "Q3", "H1",
    }  # fmt: skip


def test_a_shut_valve_makes_a_body_of_its_own() -> None:
    room = shut(example_room(), "G3")
    rest, apart = system(room), body_of(room, "G3", NOW)
    assert (rest.litres.value, rest.tanks_litres) == (2197.0, 1985.0), INVENTED
    change = changed(rest, 0.30)
    assert change.drained_litres == pytest.approx(595.5), INVENTED
    assert change.fraction.value == pytest.approx(0.271, abs=5e-4), INVENTED
    assert (apart.code, apart.sort, apart.system) == ("G3", CUT_OFF, "S")
    assert changed(apart, 0.30).drained_litres == pytest.approx(64.5), INVENTED
    assert apart.nitrate_limit == rest.nitrate_limit == 35.0


def test_the_valve_counts_as_it_stood_at_that_instant() -> None:
    room = shut(example_room(), "G3", when=at("2027-03-13T12:00"))
    assert body_of(room, "G3", NOW).sort == SYSTEM
    assert body_of(room, "G3", at("2027-03-13T12:00")).sort == CUT_OFF


def test_two_systems_are_two_waters() -> None:
    room = example_room()
    other = System(code="T", sump_litres=50.0, recipe="soft")
    turn = ValveTurn(tank="D1", at=at("2027-03-01T10:00"), system="T", state="open")
    room = replace(room, systems=(*room.systems, other), valves=(*room.valves, turn))
    found = {body.code: body for body in bodies(room, NOW)}
    assert found["S"].litres.value == 2412.0
    assert (found["T"].tanks, found["T"].litres.value) == (("D1",), 102.5)
    assert found["T"].recipe == recipe_of(room, "D1", NOW) == "soft"
    assert recipe_of(room, "D2", NOW) == "hard"


def test_a_tanks_own_recipe_and_limit_come_first() -> None:
    room = with_tank(example_room(), "D1", recipe="soft", nitrate_limit_mg_per_l=20.0)
    body = body_of(room, "D1", NOW)
    assert (body.recipe, body.nitrate_limit) == ("soft", 20.0)
    strict = system(with_tank(room, "A4", nitrate_limit_mg_per_l=15.0))
    assert strict.nitrate_limit == 15.0  # the most delicate tank decides for the water it shares
    assert recipe_of(replace(room, recipes=()), "D2", NOW) == ""


@pytest.mark.parametrize(
    ("room", "known"),
    [
        (example_room(), MEASURED),
        (with_tank(example_room(), "B2", measured_litres=None), COMPUTED),
        (with_system(example_room(), sump_known="assumed"), ASSUMED),
    ],
)
def test_a_volume_is_measured_only_if_all_its_parts_are(room: Room, known: str) -> None:
    assert system(room).litres.known == known


def test_a_tank_without_a_volume_is_told_and_never_quietly_nothing() -> None:
    room = with_tank(example_room(), "A2", water_cm=50.0)
    body = system(room)
    assert [fault.where for fault in body.faults] == ["tank A2"]
    assert "at most 40" in body.faults[0].remedy
    assert body_change(body, {"A1": 10.0}) == body.faults[0]
    assert per_tank_for(body, 0.2) == body.faults[0]


def test_asking_for_a_tank_that_is_not_there_is_the_programmers_fault() -> None:
    with pytest.raises(KeyError):
        body_of(example_room(), "Z9", NOW)


@given(off=st.sets(st.sampled_from(ON_SYSTEM)), fraction=st.floats(0, 1))
def test_no_water_is_lost_or_made_by_turning_valves(off: set[str], fraction: float) -> None:
    room = shut(example_room(), *sorted(off))
    found = bodies(room, NOW)
    tanks = sum(room.tank_litres(tank.code) for tank in room.tanks)
    assert sum(body.litres.value for body in found) == pytest.approx(tanks + 200 + 12)
    assert sorted(tank for body in found for tank in body.tanks) == sorted(room.tank)
    for body in found:
        change = changed(body, fraction)
        assert 0 <= change.fraction.value <= change.tanks_fraction + 1e-12
        assert change.tanks_fraction == pytest.approx(fraction if body.tanks else 0.0)


# --- two fractions --------------------------------------------------------------------------


def test_the_tanks_fraction_is_not_the_systems() -> None:
    change = changed(system(example_room()), 0.30)
    assert change.drained_litres == pytest.approx(660.0), INVENTED
    assert change.tanks_fraction == pytest.approx(0.300), INVENTED
    assert change.fraction.value == pytest.approx(0.274, abs=5e-4), INVENTED
    assert [part.name for part in change.fraction.inputs] == ["drained", "S"]


def test_a_wanted_fraction_of_the_system_takes_more_of_each_tank() -> None:
    found = per_tank_for(system(example_room()), 0.30)
    assert isinstance(found, PerTank)
    assert found.litres.value == pytest.approx(723.6), INVENTED
    assert found.fraction.value == pytest.approx(0.329, abs=5e-4), INVENTED
    assert found.fraction.known == COMPUTED


def test_draining_one_tank_hard_is_a_change_of_the_system() -> None:
    change = changed(system(example_room()), 0.80, "A3")
    assert change.drained_litres == pytest.approx(73, abs=0.5), INVENTED
    assert change.fraction.value == pytest.approx(0.030, abs=5e-4), INVENTED


def test_a_tank_alone_has_one_fraction() -> None:
    change = changed(body_of(example_room(), "D3", NOW), 0.30)
    assert change.fraction.value == pytest.approx(0.30)
    assert change.drained_litres == pytest.approx(15.75)


@given(low=st.floats(0, 91), more=st.floats(0, 91))
def test_draining_more_never_lowers_the_fraction(low: float, more: float) -> None:
    body = system(example_room())
    high = min(91.0, low + more)
    little, much = body_change(body, {"A1": low}), body_change(body, {"A1": high})
    assert isinstance(little, BodyChange)
    assert isinstance(much, BodyChange)
    assert little.fraction.value <= much.fraction.value


@given(wanted=st.floats(0, 2200 / 2412))
def test_what_is_drained_of_each_tank_gives_the_fraction_asked_for(wanted: float) -> None:
    body = system(example_room())
    found = per_tank_for(body, wanted)
    assert isinstance(found, PerTank)
    assert changed(body, found.fraction.value).fraction.value == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("drained", "where", "possible"),
    [
        ({"A1": 91.5}, "A1 drained", "at most 91 L"),
        ({"A1": -1.0}, "A1 drained", "below 0"),
        ({"A1": math.nan}, "A1 drained", "plain number"),
        ({"A1": 1e308}, "A1 drained", "check the number"),
        ({"A1": 2500.0}, "A1 drained", "at most 91 L"),  # larger than the system
        ({"D3": 10.0}, "D3", "give litres of A1"),
    ],
)
def test_litres_that_cannot_leave(drained: dict[str, float], where: str, possible: str) -> None:
    found = body_change(system(example_room()), drained)
    assert isinstance(found, Problem)
    assert found.where == where
    assert possible in found.sentence()


@pytest.mark.parametrize(
    ("wanted", "possible"),
    [(0.95, "at most 0.912"), (-0.1, "from 0 to 1"), (math.nan, "plain number"),
     (30, "30 % is written 0.3")],
)  # fmt: skip
def test_fractions_that_cannot_be_drained(wanted: float, possible: str) -> None:
    found = per_tank_for(system(example_room()), wanted)
    assert isinstance(found, Problem)
    assert found.where == "wanted"
    assert possible in found.sentence()


# --- refilling with the pumps on --------------------------------------------------------------


@pytest.mark.parametrize(
    ("fraction", "volumes", "published"),
    [
        (0.75, 1.38629, EXCHANGE),
        (0.90, 2.30259, EXCHANGE),
        (0.95, 2.99573, EXCHANGE),
        (0.999, 6.90776, GEIST),
        (0.632121, 1.0, EXCHANGE),
        (0.393469, 0.5, EXCHANGE),
    ],
)
def test_a_flow_takes_so_many_volumes(fraction: float, volumes: float, published: str) -> None:
    assert litres_by_through_flow(91.0, fraction) == pytest.approx(91 * volumes, rel=1e-5), (
        published
    )


def test_refilling_with_the_pumps_on_takes_a_fifth_more() -> None:
    litres = litres_by_through_flow(2412.0, 0.30)
    assert isinstance(litres, float)
    assert litres / 2412 == pytest.approx(0.357, abs=5e-4), INVENTED
    assert litres / (0.30 * 2412) == pytest.approx(1.19, abs=5e-3), INVENTED


@given(litres=st.floats(1, 1e5), fraction=st.floats(0, 0.999))
def test_a_flow_never_takes_less_than_draining_first(litres: float, fraction: float) -> None:
    found = litres_by_through_flow(litres, fraction)
    assert isinstance(found, float)
    assert found >= fraction * litres * (1 - 1e-12)


@pytest.mark.parametrize(
    ("litres", "fraction", "where"),
    [(0, 0.3, "volume"), (-5, 0.3, "volume"), (1e308, 0.3, "volume"), (100, 1.0, "fraction"),
     (100, math.nan, "fraction"), (100, -0.1, "fraction")],
)  # fmt: skip
def test_flows_that_cannot_be(litres: float, fraction: float, where: str) -> None:
    found = litres_by_through_flow(litres, fraction)
    assert isinstance(found, Problem)
    assert found.where == where
