"""Where a sump stands when its pump stops, and which levels are refused."""

import math
from dataclasses import replace
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.body import refused_level, refused_top_off, sump_levels
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.system import PumpTurn
from roomtasks.room.water_plan import SumpLevels
from tests.room.example_room import ON_SYSTEM, at, example_room, shut, with_system

NOW = at("2027-03-13T08:00")
INVENTED = "worked here, invented room"


def levels(room: Room, when: datetime = NOW) -> SumpLevels:
    found = sump_levels(room, "S", when)
    assert isinstance(found, SumpLevels), found
    return found


def test_what_runs_back_when_the_pump_stops() -> None:
    found = levels(example_room())
    assert found.back_litres.value == pytest.approx(63.6, abs=0.05), INVENTED
    assert found.rise_cm == pytest.approx(9.0, abs=0.05), INVENTED
    assert found.resting_cm == pytest.approx(39.0, abs=0.05), INVENTED
    assert found.highest_running_cm == pytest.approx(34.0, abs=0.05), INVENTED  # 45 - 2 - 9.0
    assert not found.overflows
    area = found.back_litres.inputs[0]
    assert area.value == pytest.approx(64.56, abs=0.005), INVENTED
    assert area.unit == "L/cm"


def test_shut_tanks_run_nothing_back() -> None:
    all_shut = levels(shut(example_room(), *ON_SYSTEM))
    assert all_shut.back_litres.value == 12.0
    assert all_shut.rise_cm < levels(example_room()).rise_cm


def test_a_sump_too_small_for_what_runs_back_is_said() -> None:
    small = levels(with_system(example_room(), sump_height_cm=35.0))
    assert small.overflows
    tiny = levels(with_system(example_room(), sump_height_cm=10.5, sump_running_cm=5.0))
    assert (tiny.overflows, tiny.highest_running_cm) == (True, 0.0)
    refused = refused_level(tiny, 5.0)
    assert refused is not None
    assert "no running level is safe" in refused.remedy


def test_a_level_that_would_flood_is_refused_and_what_it_names_is_not() -> None:
    found = levels(example_room())
    refused = refused_level(found, 35.0)
    assert refused is not None
    assert (refused.where, refused.rule) == ("sump of S", "sump-level")
    assert "at most 34 cm" in refused.remedy
    assert refused_level(found, 34.0) is None


@given(height=st.floats(20, 100), head=st.floats(0, 5), margin_off=st.floats(0, 0.1))
def test_the_highest_level_keeps_the_floor_dry(
    height: float, head: float, margin_off: float
) -> None:
    room = with_system(example_room(), sump_height_cm=height, sump_running_cm=10.0, head_cm=head)
    found = levels(room)
    if found.highest_running_cm > 0:
        assert found.highest_running_cm + found.rise_cm <= height - 2.0 + 1e-9
        assert refused_level(found, found.highest_running_cm) is None
    assert refused_level(found, found.highest_running_cm + 0.01 + margin_off) is not None


@pytest.mark.parametrize(
    ("state", "read_cm", "litres", "refused"),
    [
        ("running", 30.0, 24.0, False),  # 30 + 24 / 7.1 = 33.4, and 34.0 is safe
        ("running", 31.0, 24.0, True),
        ("off", 39.0, 24.0, False),  # at rest 39.0 is 30.0 running
        ("off", 42.0, 24.0, True),
    ],
)
def test_a_top_off_is_judged_by_the_pump(
    state: str, read_cm: float, litres: float, refused: bool
) -> None:
    turn = PumpTurn(system="S", at=at("2027-03-13T07:00"), state=state)
    room = replace(example_room(), pumps=(turn,))
    found = refused_top_off(room, "S", NOW, read_cm, litres)
    assert (found is not None) is refused, INVENTED


def test_a_level_without_the_pumps_state_says_nothing() -> None:
    found = refused_top_off(replace(example_room(), pumps=()), "S", NOW, 30.0, 5.0)
    assert found is not None
    assert "say whether the pump runs" in found.remedy


def test_a_sump_without_sizes_is_not_judged() -> None:
    room = with_system(example_room(), sump_height_cm=None)
    assert sump_levels(room, "S", NOW) is None
    assert refused_top_off(room, "S", NOW, 60.0, 100.0) is None


@pytest.mark.parametrize(
    ("facts", "where"),
    [
        ({"sump_running_cm": 50.0}, "system S"),
        ({"sump_length_cm": 0.0}, "sump_length_cm"),
        ({"sump_width_cm": math.nan}, "sump_width_cm"),
        ({"sump_height_cm": -1.0}, "sump_height_cm"),
        ({"head_cm": 1e308}, "head_cm"),
    ],
)
def test_sumps_that_cannot_be(facts: dict[str, float], where: str) -> None:
    found = sump_levels(with_system(example_room(), **facts), "S", NOW)
    assert isinstance(found, Problem)
    assert found.where == where


@pytest.mark.parametrize("bad", [-1.0, math.nan, 1e308])
def test_readings_that_cannot_be(bad: float) -> None:
    room = example_room()
    assert isinstance(refused_level(levels(room), bad), Problem)
    assert isinstance(refused_top_off(room, "S", NOW, 30.0, bad), Problem)
