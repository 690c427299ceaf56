"""Eggs and young that nobody has counted are in a tank all the same."""

from dataclasses import replace
from datetime import date
from typing import Any

from roomtasks.room.arrival import Readiness, arrival_refusals
from roomtasks.room.brood import Brood
from roomtasks.room.brood_now import tanks_there
from roomtasks.room.health import Health
from roomtasks.room.room import Room
from roomtasks.room.tank import Filter
from tests.room.scene import at, dues, group, job, morning, room, tank
from tests.room.test_destination import asked, here, rules

DAY = date(2027, 3, 10)
EGGS = Brood(code="b-1", line="line", tank="N1", spawned=date(2027, 3, 8))
JOBS = (
    job("feed", "every 1 days", kind="feed", where="tank N1"),
    job("hatch", "every 1 days", kind="look", where="tank N1"),
)


def with_brood(brood: Brood | None = EGGS, **facts: Any) -> Room:
    nursery = tank("N1", 20.0, role="nursery")
    made = room(tanks=(nursery, tank("T1", 60.0)), jobs=JOBS, **{"groups": (), **facts})
    return replace(made, broods=(brood,) if brood else ())


def test_feeding_and_looks_go_on_for_young_that_are_not_counted() -> None:
    now = morning(str(DAY))
    assert set(dues(with_brood(), (), now)) >= {"feed@N1", "hatch@N1"}
    assert not set(dues(with_brood(None), (), now)) & {"feed@N1", "hatch@N1"}
    closed = replace(EGGS, closed=DAY, reason="fungus")
    assert not set(dues(with_brood(closed), (), now)) & {"feed@N1", "hatch@N1"}


def test_their_tank_is_walked_as_that_of_fry_and_is_not_free() -> None:
    made = with_brood()
    assert made.health_of("N1", DAY) is Health.FRY
    assert made.health_of("T1", DAY) is Health.CLEAN
    assert made.lived_in("N1")
    assert tanks_there(made, ())["nursery"] == 0
    assert tanks_there(with_brood(None), ())["nursery"] == 1


def test_a_counted_brood_lives_where_its_group_lives() -> None:
    counted = replace(EGGS, group="g", counted=20)
    made = with_brood(counted, groups=(group("g", "T1", 20, stage="fry"),))
    assert not made.lived_in("N1")
    assert made.lived_in("T1")


def test_no_other_fish_are_sent_to_them() -> None:
    made = here(tank("G1", 100.0))
    eggs = replace(EGGS, tank="G1")
    assert "young-there" in rules(asked(replace(made, broods=(eggs,))), "G1")
    assert "young-there" not in rules(asked(made), "G1")


def test_no_newcomers_arrive_among_them() -> None:
    made = replace(with_brood(), filters=(Filter(code="N1-1", tank="N1", since=date(2026, 9, 1)),))
    found = [p.rule for p in arrival_refusals(made, "N1", at("2027-03-10T08:00"), Readiness())]
    assert "young-there" in found
