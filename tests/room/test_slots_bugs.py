"""Slots that were lost: a state entered again or an event seen again after that day's mark."""

from dataclasses import replace
from datetime import date
from itertools import pairwise

from roomtasks.room.occurrence import Due
from roomtasks.room.slots import Slot
from roomtasks.room.stock import Stocked
from roomtasks.room.system import PumpTurn, System, ValveTurn
from tests.room.scene import at, dues, event, job, mark, room
from tests.room.weeks_lived import planned

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


def test_what_follows_over_the_night_the_clocks_change_opens_by_real_minutes() -> None:
    refill = job("refill", "once 2027-03-27", window="0/1")
    pump = job("pump", "follows refill 45 min", kind="pump")
    done = replace(mark("refill", "D3", "2027-03-27", "2027-03-27"), at=at("2027-03-28T00:40"))
    found = dues(room(jobs=(refill, pump)), [done], at("2027-03-28T00:45"))["pump@D3"]
    assert found.later_today is not None
    assert found.later_today.isoformat() == "2027-03-28T02:25:00+01:00"


def test_a_monthly_job_of_the_31st_that_keeps_its_slot_is_of_the_31st_again_after_february() -> (
    None
):
    seal = job(
        "seal", "every 1 months keeps-slot", window="3/3", starts=date(2027, 1, 31)
    )  # fmt: skip
    days = ["2027-01-31", "2027-02-28", "2027-03-31", "2027-04-30"]
    for slot, following in pairwise(days):
        done = mark("seal", "D3", slot, slot)
        found = dues(room(jobs=(seal,)), [done], at(f"{slot}T09:00"))["seal@D3"]
        assert found.slot.first.isoformat() == following
    left = mark("seal", "D3", "2027-02-28", "2027-03-01", "left-out", reason="no time")
    found = dues(room(jobs=(seal,)), [left], at("2027-03-02T09:00"))["seal@D3"]
    assert found.slot.first.isoformat() == "2027-03-31"
    late = dues(room(jobs=(seal,)), [mark("seal", "D3", "2027-01-31", "2027-01-31")],
                at("2027-04-01T09:00"))["seal@D3"]  # fmt: skip
    assert (late.slot.first.isoformat(), late.slot.day.isoformat()) == ("2027-02-28", "2027-03-31")
    anew = mark("seal", "D3", "2027-02-28", "2027-03-08")
    found = dues(room(jobs=(seal,)), [anew], at("2027-03-09T09:00"))["seal@D3"]
    assert found.slot.first.isoformat() == "2027-04-08"


def test_a_monthly_job_of_the_31st_is_planned_on_the_31st_after_february() -> None:
    seal = job(
        "seal", "every 1 months keeps-slot", window="0/0", starts=date(2027, 1, 31)
    )  # fmt: skip
    plan = planned(room(jobs=(seal,)), [mark("seal", "D3", "2027-01-31", "2027-01-31")],
                   "2027-02-20T08:00", days=56)  # fmt: skip
    assert [job.day.isoformat() for job in plan.jobs] == ["2027-02-28", "2027-03-31"]


def test_a_tank_that_gets_its_first_fish_has_missed_nothing_before_them() -> None:
    starts = date(2027, 3, 1)
    jobs = (
        job("look", "every 1 day", kind="look", where="tank D3", starts=starts),
        job("change", "every 7 days", kind="change", where="tank D3", starts=starts),
        job("squeeze", "every 28 days", kind="filter", where="tank D3", starts=starts),
    )
    came = (Stocked(tank="D3", since=date(2027, 3, 9), state="fish"),)
    found = dues(room(jobs=jobs, stocked=came), [], at("2027-03-10T09:00"))
    assert found["look@D3"].slot == Slot(date(2027, 3, 10), date(2027, 3, 10), 1)
    assert found["change@D3"].slot == Slot(date(2027, 3, 16), date(2027, 3, 16), 0)
    assert found["squeeze@D3"].slot.day == starts
    before = (Stocked(tank="D3", since=date(2027, 2, 1), state="fish"),)
    found = dues(room(jobs=jobs, stocked=before), [], at("2027-03-10T09:00"))
    assert found["look@D3"].slot.missed == 9
    assert found["change@D3"].slot.missed == 1
