"""Turning a valve: jobs change owner, and what is in the tank is asked about."""

from dataclasses import replace
from datetime import date

from roomtasks.room.isolation import opening_refusals, owners_changed
from roomtasks.room.job import Job
from roomtasks.room.stock import Condition, Stay
from roomtasks.room.treatment import Level
from tests.room.example_room import at, example_room, shut, with_jobs

NOW = at("2027-03-13T10:00")


def test_jobs_of_the_system_end_and_those_of_a_tank_cut_off_begin() -> None:
    own = Job(code="cut", name="Change, cut off", kind="change", where="tanks cut off from S",
              rule="every 7 days", fraction=0.3)  # fmt: skip
    every = Job(code="outlet", name="Outlet", kind="air", where="tanks on system S",
                rule="every 14 days")  # fmt: skip
    room = with_jobs(example_room(), own, every)
    found = owners_changed(room, shut(room, "G3"), "G3", NOW)
    assert (found.ends, found.begins) == (("Outlet",), ("Change, cut off",))


def test_salt_left_in_the_tank_is_refused_with_the_changes_it_takes() -> None:
    """2 g/L in 215 L of 2 412 L: 0.178, two changes of half to 0.045. Worked here."""
    level = Level(tank="G3", product="salt", since=date(2027, 3, 1), per_litre=2.0)
    room = replace(shut(example_room(), "G3"), levels=(level,))
    found = list(opening_refusals(room, "G3", "S", NOW))
    assert [problem.rule for problem in found] == ["residue"]
    assert "0.178 g/L" in found[0].what
    assert "2 changes of 108 L" in found[0].remedy
    thin = replace(level, per_litre=0.5)
    assert not list(opening_refusals(replace(room, levels=(thin,)), "G3", "S", NOW))


def test_a_lot_not_released_and_a_tank_under_watch_stay_shut() -> None:
    room = shut(example_room(), "G3")
    stay = Stay(code="stay-1", tank="G3", since=date(2027, 3, 6))
    found = next(iter(opening_refusals(replace(room, stays=(stay,)), "G3", "S", NOW)))
    assert (found.rule, "day 7 of 42" in found.what) == ("not-released", True)
    watch = Condition(tank="G3", since=date(2027, 3, 6), state="watch", reason="spots")
    found = next(iter(opening_refusals(replace(room, conditions=(watch,)), "G3", "S", NOW)))
    assert found.rule == "not-clear"
    assert not list(opening_refusals(room, "G3", "S", NOW))
