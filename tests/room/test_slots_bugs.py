"""Slots that were lost: a state entered again or an event seen again after that day's mark."""

from dataclasses import replace

from roomtasks.room.occurrence import Due
from roomtasks.room.system import PumpTurn, System, ValveTurn
from tests.room.scene import at, dues, event, job, mark, room

OPENED = ValveTurn(tank="D1", at=at("2027-03-01T09:00"), system="S", state="open")
SYSTEM = System(code="S", sump_litres=100.0)
PUMP_ON = job("pump-on", "state pump-off", kind="pump", where="system S", window="0/0")


def pump(*turns: tuple[str, str]) -> tuple[PumpTurn, ...]:
    return tuple(PumpTurn(system="S", at=at(when), state=state) for when, state in turns)


def pump_job(*turns: tuple[str, str], done: str = "", now: str) -> Due | None:
    there = room(systems=(SYSTEM,), valves=(OPENED,), pumps=pump(*turns), jobs=(PUMP_ON,))
    day = done[:10]
    marks = [replace(mark("pump-on", "S", day, day), at=at(done))] if done else []
    return dues(there, marks, at(now)).get("pump-on@S")


def test_a_pump_that_is_stopped_twice_on_one_day_must_be_started_twice() -> None:
    first = ("2027-03-13T07:00", "off"), ("2027-03-13T07:10", "running")
    assert pump_job(first[0], now="2027-03-13T07:05") is not None
    assert pump_job(*first, done="2027-03-13T07:10", now="2027-03-13T08:00") is None
    again = pump_job(
        *first, ("2027-03-13T10:00", "off"), done="2027-03-13T07:10", now="2027-03-13T10:01"
    )
    assert again is not None
    assert again.on_walk


def test_a_pump_off_since_yesterday_is_off_since_yesterday_however_often_it_was_said() -> None:
    found = pump_job(
        ("2027-03-12T18:00", "off"), ("2027-03-13T09:00", "off"), now="2027-03-13T09:30"
    )
    assert found is not None
    assert str(found.slot.day) == "2027-03-12"


def test_a_second_death_on_a_day_asks_for_a_second_test() -> None:
    after_death = job("test", "event died +0 +2", kind="test")
    one = event("died", "D3", "2027-03-13")
    done = mark("test", "D3", "2027-03-13", "2027-03-13")
    tested = replace(done, at=at("2027-03-13T09:00"))
    there = room(jobs=(after_death,), events=(one,))
    found = dues(there, [tested], at("2027-03-13T12:00"))["test@D3"]
    assert str(found.slot.day) == "2027-03-15"
    two = replace(event("died", "D3", "2027-03-13"), at=at("2027-03-13T11:00"))
    there = room(jobs=(after_death,), events=(one, two))
    found = dues(there, [tested], at("2027-03-13T12:00"))["test@D3"]
    assert str(found.slot.day) == "2027-03-13"
    assert found.on_walk
