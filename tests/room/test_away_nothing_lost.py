"""Days away: no job that falls in them is lost from the lists, and none is hurried to hide it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from roomtasks.room.away_plan import AwayPlan, away_plan
from roomtasks.room.due import all_due
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.system import PumpTurn, System, ValveTurn
from tests.room.scene import at, job, room
from tests.room.weeks_lived import MONDAY, a_room, pasts_of, planned

NOW = at("2027-03-01T08:00")
FIRST, LAST = MONDAY + timedelta(days=8), MONDAY + timedelta(days=22)


def away(made: Room) -> AwayPlan:
    dues = list(all_due(made, pasts_of(()), NOW))
    found = away_plan(made, dues, pasts_of(()), NOW, FIRST, LAST)
    assert not isinstance(found, Problem)
    return found


@pytest.mark.parametrize("seed", range(8))
def test_every_job_that_falls_in_them_is_in_some_list(seed: int) -> None:
    made = replace(a_room(seed, jobs=20), away=())
    plan = away(made)
    dues = list(all_due(made, pasts_of(()), NOW))
    home = plan_ahead(made, dues, pasts_of(()), NOW, 30)
    assert not isinstance(home, Problem)
    inside = {one.id for one in home.jobs if FIRST <= one.day <= LAST}
    moved = (*plan.before, *plan.wait, *plan.no_place)
    named = {each.job.id for each in moved} | {one.id for one in plan.stand_in_jobs}
    named |= {note.about for note in plan.nobody}
    assert inside - named == set()


def frequent() -> Room:
    """Every third day, a day early or late, and nobody may stand in for it."""
    change = job("sick", "every 3 days", kind="change", window="-1/+1", starts=MONDAY, fraction=0.2)
    brine = job("brine", "every 1 days", kind="start", where="room", starts=MONDAY)
    return room(change_day="none", jobs=(change, brine))


def test_a_frequent_job_is_named_late_not_hurried_before() -> None:
    plan = away(frequent())
    days = [one.day for one in plan.ahead.jobs if one.id == "sick@D3"]
    before = [day for day in days if day < FIRST]
    assert len(before) <= 4  # every second day would be the most that eight days ask for
    (late,) = (each for each in plan.no_place if each.job.id == "sick@D3")
    assert late.job.day == LAST + timedelta(days=1)
    assert late.why == f"at the soonest {late.job.late_days} days late, on Wed 24 Mar"
    assert late.job.late_days >= 10


def test_what_nobody_may_do_is_named() -> None:
    plan = away(frequent())
    assert [note.about for note in plan.nobody] == ["brine@room"]
    assert "on 15 days" in plan.nobody[0].text
    assert "nobody who may do it is there" in plan.nobody[0].text


def with_pump(turned_on: str = "") -> Room:
    """A change that stops the pump each Monday, and the pump to be turned on after it."""
    members = ("D1", "D2")
    opened = at("2026-09-01T10:00")
    turns = [PumpTurn(system="S", at=at(turned_on), state="on")] if turned_on else []
    change = job("loop", "every 7 days", kind="change", where="system S", starts=MONDAY,
                 fraction=0.2, effects="pump off", minutes=20.0)  # fmt: skip
    on = job("pump-on", "state pump-off +0", kind="pump", where="system S", effects="pump on",
             minutes=3.0)  # fmt: skip
    return room(
        change_day="none", jobs=(change, on), pumps=tuple(turns),
        systems=(System(code="S", name="loop", sump_litres=100.0, pipes_litres=5.0),),
        valves=tuple(ValveTurn(tank=t, at=opened, system="S", state="open") for t in members),
    )  # fmt: skip


@pytest.mark.parametrize("turned_on", ["", "2027-03-01T07:01", "2027-02-20T09:00"])
def test_the_pump_comes_on_after_every_change_though_it_was_turned_on_today(turned_on: str) -> None:
    plan = planned(with_pump(turned_on))
    changes = [day.day for day in plan.days if any(one.job == "loop" for one in day.jobs)]
    pumps = [day.day for day in plan.days if any(one.job == "pump-on" for one in day.jobs)]
    assert len(changes) == 4
    assert pumps == changes


def test_at_the_soonest_is_the_first_day_back_also_where_the_plan_takes_a_later_one() -> None:
    back = LAST + timedelta(days=1)
    long_ones = [
        job(f"long-{n}", f"once {back}", window="0/0", minutes=40.0) for n in range(4)
    ]  # fmt: skip
    missed = job("test", f"once {LAST}", kind="filter", window="0/0", minutes=30.0)
    plan = away(room(change_day="none", jobs=(missed, *long_ones)))
    (late,) = (each for each in plan.no_place if each.job.id == "test@D3")
    assert late.job.day == back + timedelta(days=1)
    assert late.why == "at the soonest 1 day late, on Wed 24 Mar; planned for Thu 25 Mar"
