"""A tank made over: gates stop what is behind them, and a half-done night is an alarm."""

from datetime import date

import pytest

from roomtasks.room.planned_move import Gate, Rededication
from roomtasks.room.rededicate import GATES, STEPS, make_over, refill_litres, step_fault
from tests.room.scene import at

DAY = date(2027, 3, 6)
FACTS = Rededication(code="r1", tank="A3", began=DAY, change_day=DAY)


def done(*steps: int) -> list[Gate]:
    return [Gate(rededication="r1", step=n, at=at("2027-03-06T10:00"), day=DAY) for n in steps]


def test_fourteen_steps_and_four_gates() -> None:
    assert list(STEPS) == list(range(1, 15))
    assert {1, 8, 12, 13} == GATES
    fresh = make_over(FACTS, (), DAY)
    assert (fresh.open, fresh.waits_at, fresh.alarms) == ((1,), 1, ())


@pytest.mark.parametrize("gate", sorted(GATES))
def test_a_gate_stops_all_behind_it(gate: int) -> None:
    before = done(*(n for n in STEPS if n < gate))
    for step in STEPS:
        fault = step_fault(FACTS, before, step)
        if step > gate:
            assert fault is not None
            assert fault.rule == "gate"
            assert STEPS[gate] in fault.what
        elif step == gate:
            assert fault is None
        else:
            assert fault is not None
            assert fault.rule == "no-change"


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ((1, 2, 3), ()),
        ((1, 2, 3, 4), ("pump and heater are off",)),
        (range(1, 7), ("pump and heater are off", "low water or in the tub", "the rock is out")),
        (range(1, 8), ("pump and heater are off",)),
        (range(1, 9), ("pump and heater are off", "helpers are in a tank")),
        (range(1, 12), ("step 11 is done and pump and heater are off",)),
        (range(1, 13), ()),
    ],
)
def test_what_must_not_stay_so_overnight(steps: range, told: tuple[str, ...]) -> None:
    alarms = make_over(FACTS, done(*steps), DAY).alarms
    assert len(alarms) == len(told)
    assert all(words in alarm for words, alarm in zip(told, alarms, strict=True))


def test_a_fast_that_goes_on_is_told_and_an_ended_one_is_quiet() -> None:
    late = date(2027, 3, 10)
    assert "fasted for 4 days" in make_over(FACTS, done(1, 2, 3), late).alarms[0]
    ended = Rededication(code="r1", tank="A3", began=DAY, change_day=DAY, ended=late)
    assert make_over(ended, done(*range(1, 7)), late).alarms == ()
    assert step_fault(ended, (), 1) is not None
    assert step_fault(FACTS, (), 15) is not None
    assert make_over(FACTS, done(*STEPS), late).finished


def test_the_litres_of_a_breeding_tank() -> None:
    assert refill_litres(91.0) == pytest.approx(73, abs=0.5), "common practice"
