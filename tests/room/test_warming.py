"""Heating against a numerical solver and against the properties of water."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from iapws import IAPWS95, IAPWS97
from scipy.integrate import solve_ivp

from roomtasks.room.heat import (
    WH_PER_LITRE_KELVIN,
    heat_energy,
    heat_time,
    mix_temp,
    temp_after,
)
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE
from roomtasks.room.warming import Warming, heating_after, warm
from tests.bench.heating import energy_by_properties, mixed_by_properties, volume_heat
from tests.room.test_ready import celsius, need

IAPWS = "IAPWS R6-95(2018) formulation for ordinary water, 101.325 kPa"
TABLE_7 = "IAPWS R6-95(2018), Table 7"
TABLE_5 = "IAPWS R7-97(2012), Table 5"
PHYSICS = "OpenStax, College Physics 2e, section 14.2, aluminium-pan example"
ATMOSPHERE = 0.101325  # MPa
KELVIN = 273.15


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


# --- the properties of water --------------------------------------------------------------


def test_the_second_opinion_gives_the_published_check_points() -> None:
    for at, density in ((20, 998.2072), (25, 997.0476), (28, 996.236)):
        water = IAPWS95(T=at + KELVIN, P=ATMOSPHERE)
        assert water.rho == pytest.approx(density, rel=1e-5), IAPWS
    assert 1000 * IAPWS95(T=20 + KELVIN, P=ATMOSPHERE).cp == pytest.approx(4184.05, rel=1e-4), IAPWS
    point = IAPWS95(T=300, rho=996.5560)
    assert pytest.approx(0.0992418352, rel=1e-6) == point.P, TABLE_7
    assert point.cv == pytest.approx(4.13018112, rel=1e-6), TABLE_7
    assert IAPWS97(T=300, P=3).h == pytest.approx(115.331273, rel=1e-8), TABLE_5


@pytest.mark.parametrize("at", range(4, 41, 4))
def test_the_constant_is_near_density_by_heat_capacity(at: int) -> None:
    # 0.5 % under at 4 C, right at 14 C, 0.3 % over at 20 C and 0.6 % at 30 C
    off = WH_PER_LITRE_KELVIN / volume_heat(at) - 1
    assert -0.006 < off < (0.0065 if at <= 30 else 0.01), IAPWS


@given(litres=st.floats(20, 2000), low=st.floats(5, 25), rise=st.floats(0.5, 15))
@settings(deadline=None, max_examples=25)
def test_energy_agrees_with_the_enthalpy_of_water(litres: float, low: float, rise: float) -> None:
    worked = value(heat_energy(litres, low, low + rise))
    assert worked == pytest.approx(energy_by_properties(litres, low, low + rise), rel=5e-3), IAPWS


@given(one=st.floats(20, 700), at_one=st.floats(5, 28), two=st.floats(20, 700),
       at_two=st.floats(5, 28))  # fmt: skip
@settings(deadline=None, max_examples=15)
def test_a_mixture_agrees_with_the_enthalpy_of_water(
    one: float, at_one: float, two: float, at_two: float
) -> None:
    worked = value(mix_temp(one, at_one, two, at_two))
    assert worked == pytest.approx(mixed_by_properties(one, at_one, two, at_two), abs=0.06), IAPWS


def test_the_share_of_heat_that_water_takes_from_a_pan() -> None:
    pan_as_water = 0.500 * 900 / 4186  # kg of aluminium by its heat capacity
    water, pan = (value(heat_energy(each, 20, 80)) for each in (0.250, pan_as_water))
    assert 100 * water / (water + pan) == pytest.approx(69.9, abs=0.1), PHYSICS


# --- a solver ---------------------------------------------------------------------------


def solved(litres: float, start: float, watts: float, loss: float, room: float, hours: float,
           off_hours: float = 0.0) -> float:  # fmt: skip
    """The temperature by stepwise integration: off for some hours, then heated."""
    capacity = litres * WH_PER_LITRE_KELVIN

    def run(power: float, begin: float, span: float) -> float:
        if span <= 0:
            return begin
        found = solve_ivp(
            lambda _, warmth: [(power - loss * (warmth[0] - room)) / capacity], (0.0, span),
            [begin], rtol=1e-10, atol=1e-10, method="DOP853",
        )  # fmt: skip
        return float(found.y[0, -1])

    return run(watts, run(0.0, start, off_hours), hours)


CASES: dict[str, Any] = {
    "litres": st.floats(20, 2000), "start": st.floats(4, 22), "rise": st.floats(0.2, 14),
    "room": st.floats(4, 28), "spare": st.floats(1.05, 20), "loss": st.floats(0.5, 60),
}  # fmt: skip


@given(**CASES)
@settings(deadline=None)
def test_the_heating_time_brings_a_solver_to_the_temperature(
    litres: float, start: float, rise: float, room: float, spare: float, loss: float
) -> None:
    end = start + rise
    watts = max(10.0, spare * loss * max(end - room, 1.0))
    hours = value(
        heat_time(litres, start, end, watts, loss_watts_per_kelvin=loss, room_celsius=room)
    )
    assert solved(litres, start, watts, loss, room, hours) == pytest.approx(end, abs=1e-6)
    after = temp_after(litres, start, hours, watts, loss_watts_per_kelvin=loss, room_celsius=room)
    assert after == pytest.approx(end, abs=1e-9)


@given(**CASES, wait=st.floats(0, 60))
@settings(deadline=None)
def test_heating_late_makes_up_for_the_drift_before_it(
    litres: float, start: float, rise: float, room: float, spare: float, loss: float, wait: float
) -> None:
    end = start + rise
    watts = min(100_000.0, max(10.0, spare * loss * max(end - room, 1.0)))
    fill = need(
        1.0, left_litres=litres - 1, left_at=start, source_celsius=celsius(start),
        target_celsius=min(end, 40.0), room_celsius=celsius(room), full_litres=litres,
        heater_watts=watts, loss_watts_per_kelvin=loss,
    )  # fmt: skip
    warming = warm(fill)
    if isinstance(warming, Problem):
        assert "days to warm it" in warming.what
        return
    assert warming.minutes is not None
    whole = max(wait, warming.minutes.value / 60)
    minutes = heating_after(fill, warming, whole)
    assert -1e-9 <= minutes <= 60 * whole + 1e-6
    if minutes > 0:
        reached = solved(litres, start, watts, loss, room, minutes / 60, whole - minutes / 60)
        assert reached == pytest.approx(fill.target_celsius, abs=1e-6)


@given(start=st.floats(5, 30), room=st.floats(5, 30), hours=st.floats(0, 500),
       loss=st.floats(0.5, 60))  # fmt: skip
@settings(deadline=None)
def test_drifting_agrees_with_a_solver(
    start: float, room: float, hours: float, loss: float
) -> None:
    after = temp_after(300, start, hours, loss_watts_per_kelvin=loss, room_celsius=room)
    assert after == pytest.approx(solved(300, start, 0.0, loss, room, hours), abs=1e-6)


# --- the words of it ----------------------------------------------------------------------


def test_what_went_in_stands_beside_the_minutes() -> None:
    found = warm(need(loss_watts_per_kelvin=10.0))
    assert isinstance(found, Warming)
    assert found.minutes is not None
    assert [each.name for each in found.minutes.inputs] == [
        "litres", "mixes to", "wanted", "heater", "loss", "room",
    ]  # fmt: skip
    assert found.mix is not None
    assert [each.value for each in found.mix.inputs] == [140.0, 18.0, 560.0, 12.0]


def test_a_room_colder_than_the_water_wants_longer_late_than_at_once() -> None:
    fill = need(loss_watts_per_kelvin=20.0, room_celsius=celsius(8))
    found = warm(fill)
    assert isinstance(found, Warming)
    assert found.minutes is not None
    assert heating_after(fill, found, 12.0) > found.minutes.value
    warm_room = need(loss_watts_per_kelvin=20.0, room_celsius=celsius(24))
    warmer = warm(warm_room)
    assert isinstance(warmer, Warming)
    assert warmer.minutes is not None
    assert heating_after(warm_room, warmer, 12.0) < warmer.minutes.value


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("volume", temp_after(0, 20, 1)),
        ("from", temp_after(100, 101, 1)),
        ("hours", temp_after(100, 20, -1)),
        ("hours", temp_after(100, 20, math.nan)),
        ("power", temp_after(100, 20, 1, -5)),
        ("loss", temp_after(100, 20, 1, 5, loss_watts_per_kelvin=-1)),
        ("room", temp_after(100, 20, 1, 5, loss_watts_per_kelvin=1, room_celsius=-80)),
    ],
)
def test_a_temperature_after_hours_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE
    assert isinstance(temp_after(100, 20, 1, 5, loss_watts_per_kelvin=1), Problem)
