"""Warming, mixing, cooling, and steps of temperature."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room import heat
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import IMPOSSIBLE

PHYSICS = "OpenStax, College Physics 2e, section 14.2 Temperature Change and Heat Capacity"
PHYSICS_20 = "OpenStax, College Physics 2e, section 20.4, c = 4186 J/(kg K)"
CALCULUS = "OpenStax, Calculus Volume 2, section 4.5 exercise"
IAPWS = "IAPWS R6-95(2018) formulation for ordinary water"
LEKANG = "O. I. Lekang, Aquaculture Engineering, Heating and Cooling, c = 4.18 kJ/(kg K)"
INVENTED = "worked here, invented room"

CELSIUS = st.floats(0, 100)
LITRES = st.floats(1, 5000)


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


@pytest.mark.parametrize(
    ("worked", "expected", "tolerance", "published"),
    [
        (3600 * value(heat.heat_energy(0.250, 20, 80)), 62.8, 0.07, PHYSICS),  # kJ
        (3.6e6 * value(heat.heat_energy(80_000, 20, 21.5)), 5.02e8, 5.1e5, PHYSICS),  # J
        (value(heat.heat_energy(1500, 10, 40)) / 0.75, 69.77, 0.07, PHYSICS_20),
        (value(heat.heat_energy(1500, 10, 40)) / 0.75 * 0.09, 6.28, 0.007, PHYSICS_20),
        (value(heat.heat_energy(1500, 10, 40)) / 0.75 / 4 / 0.220, 79.28, 0.16, PHYSICS_20),  # A
        (value(heat.heat_energy(3 * 3600, 4, 8)), 50.2, 0.06, LEKANG),  # kW for 3 L/s
        (24 * 0.1 * value(heat.heat_energy(3 * 3600, 4, 8)), 120.5, 0.13, LEKANG),
        (value(heat.heat_energy(1000, 10, 26)), 18.601, 0.09, IAPWS),
        (value(heat.heat_time(100, 15, 25, 300)), 3.871, 0.019, IAPWS),
        (value(heat.heat_energy(1000, 10, 20)), 11.61, 0.03, "science page, 4.18 kJ/(kg K)"),
        (value(heat.mix_temp(80, 26, 20, 10)), 22.8, 0.02, IAPWS),
        (value(heat.mix_temp(30, 55, 70, 12)), 24.9, 0.2, IAPWS),
        (value(heat.cool_time(100, 72, 15, 5 / math.log(85 / 70))), 10.29, 0.01, CALCULUS),
    ],
)
def test_heat_as_published(
    worked: float, expected: float, tolerance: float, published: str
) -> None:
    assert worked == pytest.approx(expected, abs=tolerance), published


def test_a_batch_of_the_invented_room() -> None:
    mixed = value(heat.mix_temp(560, 12, 140, 18))
    assert mixed == pytest.approx(13.2), INVENTED
    assert heat.heat_energy(700, mixed, 25) == pytest.approx(9.61, abs=0.005), INVENTED
    hours = value(heat.heat_time(700, mixed, 25, 2850))
    assert hours * 60 == pytest.approx(3 * 60 + 22, abs=0.5), INVENTED
    too_short = value(heat.heat_time(560, 12, 25, 2850))
    assert too_short * 60 == pytest.approx(2 * 60 + 58, abs=0.5), INVENTED
    second = value(heat.mix_temp(359, 12, 140, 24.5))
    assert second == pytest.approx(15.5, abs=0.05), INVENTED
    assert 60 * value(heat.heat_time(499, second, 25, 2850)) == pytest.approx(116, abs=1), INVENTED


def test_steps_in_the_invented_room() -> None:
    assert heat.temp_after_change(25.0, 21.0, 0.30) == pytest.approx(23.8), INVENTED
    span = heat.new_water_span(25.0, 0.30, 1.0)
    assert not isinstance(span, Problem)
    assert span[0] == pytest.approx(21.7, abs=0.05), INVENTED
    assert span[1] == pytest.approx(28.3, abs=0.05), INVENTED
    assert heat.largest_fraction_for_step(25.0, 21.0, 1.0) == pytest.approx(0.25), INVENTED
    assert heat.largest_fraction_for_step(25.0, 24.5, 1.0) == 1.0


def test_a_tank_left_without_heat() -> None:
    tau = value(heat.tau_from_drop(25.5, 24.6, 17, 2))
    assert tau == pytest.approx(17.9, abs=0.05), INVENTED
    assert heat.cool_time(25.5, 21, 17, tau) == pytest.approx(13.5, abs=0.05), INVENTED


@given(one=LITRES, temp1=CELSIUS, two=LITRES, temp2=CELSIUS)
def test_a_mixture_lies_between_and_keeps_the_heat(
    one: float, temp1: float, two: float, temp2: float
) -> None:
    mixed = value(heat.mix_temp(one, temp1, two, temp2))
    assert min(temp1, temp2) - 1e-9 <= mixed <= max(temp1, temp2) + 1e-9
    gained, lost = one * (mixed - temp1), two * (temp2 - mixed)
    assert gained == pytest.approx(lost, rel=1e-6, abs=1e-6)


@given(volume=LITRES, low=CELSIUS, high=CELSIUS, power=st.floats(1, 5000))
def test_time_is_energy_over_power(volume: float, low: float, high: float, power: float) -> None:
    low, high = sorted((low, high))
    energy = value(heat.heat_energy(volume, low, high))
    hours = value(heat.heat_time(volume, low, high, power))
    assert hours * power / 1000 == pytest.approx(energy, rel=1e-9, abs=1e-12)


@given(
    volume=LITRES,
    start=st.floats(5, 20),
    rise=st.floats(0.1, 15),
    power=st.floats(50, 3000),
    share=st.floats(0.01, 0.99),
    room=st.floats(0, 20),
)
@settings(deadline=None)
def test_a_loss_makes_it_slower_as_a_small_step_sum_does(
    volume: float, start: float, rise: float, power: float, share: float, room: float
) -> None:
    end = start + rise
    loss = share * power / max(end - room, 1.0)
    hours = value(
        heat.heat_time(volume, start, end, power, loss_watts_per_kelvin=loss, room_celsius=room)
    )
    if room <= start:
        assert hours >= value(heat.heat_time(volume, start, end, power)) * (1 - 1e-9)
    temp, steps = start, 4000
    for _ in range(steps):
        middle = temp + (power - loss * (temp - room)) / (volume * 1.163) * hours / steps / 2
        temp += (power - loss * (middle - room)) / (volume * 1.163) * hours / steps
    assert temp == pytest.approx(end, abs=2e-3)


@given(start=st.floats(15, 40), share=st.floats(0.01, 0.99), tau=st.floats(0.5, 100))
def test_cooling_and_its_time_constant_are_inverse(start: float, share: float, tau: float) -> None:
    room = 5.0
    end = room + share * (start - room)
    hours = value(heat.cool_time(start, end, room, tau))
    assert end == pytest.approx(room + (start - room) * math.exp(-hours / tau))
    if hours > 1e-6 * tau:
        assert heat.tau_from_drop(start, end, room, hours) == pytest.approx(tau, rel=1e-6)


def test_water_warms_toward_a_warmer_room() -> None:
    up = value(heat.cool_time(15, 20, 25, 10))
    assert up == pytest.approx(10 * math.log(2))


@given(
    tank=st.floats(20, 30),
    fraction=st.floats(0.05, 1),
    limit=st.floats(0.1, 3),
    new=st.floats(5, 40),
)
def test_new_water_inside_its_span_keeps_the_step(
    tank: float, fraction: float, limit: float, new: float
) -> None:
    span = heat.new_water_span(tank, fraction, limit)
    assert not isinstance(span, Problem)
    step = abs(value(heat.temp_after_change(tank, new, fraction)) - tank)
    assert (span[0] - 1e-9 <= new <= span[1] + 1e-9) == (step <= limit + 1e-9 * fraction)
    largest = value(heat.largest_fraction_for_step(tank, new, limit))
    assert abs(value(heat.temp_after_change(tank, new, largest)) - tank) <= limit + 1e-9


def test_a_heater_that_cannot_reach_it_says_what_it_can() -> None:
    problem = heat.heat_time(100, 15, 25, 300, loss_watts_per_kelvin=40, room_celsius=15)
    assert isinstance(problem, Problem)
    assert problem.rule == IMPOSSIBLE
    assert "come near 22.5 C" in problem.remedy
    assert "400 W" in problem.remedy


def test_a_heater_that_cannot_even_hold_it() -> None:
    problem = heat.heat_time(100, 22, 25, 100, loss_watts_per_kelvin=40, room_celsius=15)
    assert isinstance(problem, Problem)
    assert "cannot even hold 22 C" in problem.remedy


def test_exactly_the_temperature_it_comes_near_is_never_reached() -> None:
    assert isinstance(
        heat.heat_time(100, 15, 25, 400, loss_watts_per_kelvin=40, room_celsius=15), Problem
    )
    assert heat.heat_time(100, 25, 25, 400, loss_watts_per_kelvin=40, room_celsius=15) == 0.0


def test_a_loss_wants_the_rooms_temperature() -> None:
    problem = heat.heat_time(100, 15, 25, 300, loss_watts_per_kelvin=4)
    assert isinstance(problem, Problem)
    assert problem.where == "room"
    assert problem.rule == ""


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("to", heat.heat_energy(100, 25, 20)),
        ("volume", heat.heat_energy(0, 20, 25)),
        ("volume", heat.heat_energy(-5, 20, 25)),
        ("from", heat.heat_energy(100, -1, 25)),
        ("to", heat.heat_energy(100, 20, 101)),
        ("to", heat.heat_energy(100, 20, math.nan)),
        ("volume", heat.heat_energy(1e308, 20, 25)),
        ("power", heat.heat_time(100, 20, 25, 0)),
        ("power", heat.heat_time(100, 20, 25, -300)),
        ("loss", heat.heat_time(100, 20, 25, 300, loss_watts_per_kelvin=-1)),
        (
            "room",
            heat.heat_time(100, 20, 25, 300, loss_watts_per_kelvin=1, room_celsius=-274),
        ),
        ("to", heat.cool_time(25, 17, 17, 18)),
        ("to", heat.cool_time(25, 16, 17, 18)),
        ("to", heat.cool_time(25, 26, 17, 18)),
        ("to", heat.cool_time(17, 16, 17, 18)),
        ("tau", heat.cool_time(25, 20, 17, 0)),
        ("to", heat.tau_from_drop(25, 25, 17, 2)),
        ("hours", heat.tau_from_drop(25, 24, 17, 0)),
        ("volume1 and volume2 together", heat.mix_temp(0, 20, 0, 25)),
        ("temp2", heat.mix_temp(10, 20, 10, 200)),
        ("fraction", heat.new_water_span(25, 0, 1)),
        ("limit", heat.new_water_span(25, 0.3, -1)),
        ("fraction", heat.temp_after_change(25, 20, 1.5)),
        ("new", heat.largest_fraction_for_step(25, 150, 1)),
    ],
)
def test_heat_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE


def test_where_water_drifts_is_said() -> None:
    problem = heat.cool_time(25, 16, 17, 18)
    assert isinstance(problem, Problem)
    assert "cools toward 17 C" in problem.remedy
