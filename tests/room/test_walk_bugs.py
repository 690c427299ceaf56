"""Jobs at a whole rack were walked by the rack's code, not along the path, and as clean ones."""

from dataclasses import replace

from roomtasks.room.health import Health
from roomtasks.room.rack import Rack
from roomtasks.room.room import Room
from roomtasks.room.stock import Condition
from roomtasks.room.targets import class_at
from roomtasks.room.walk import walk
from tests.room.scene import dues, group, job, morning, room, tank

NOW = morning("2027-03-13")


def test_a_rack_is_looked_over_when_the_walk_comes_to_it() -> None:
    there = room(
        tanks=(tank("A1"), tank("A2"), tank("B1")),
        jobs=(
            job("look", "every 1 days", kind="look", where="rack A B"),
            job("feed", "every 1 days", kind="feed", where="rack A B"),
            job("change", "every 1 days", kind="change", where="all tanks"),
        ),
    )
    there = replace(there, racks=(Rack(code="A", path=2), Rack(code="B", path=1)))
    stops = walk(there, list(dues(there, [], NOW).values()), {}, 60.0).stops
    assert [stop.due.id for stop in stops] == [
        "look@B", "feed@B", "change@B1", "look@A", "feed@A", "change@A1", "change@A2",
    ]  # fmt: skip


def a_rack_of_newcomers() -> tuple[Room, tuple[str, ...]]:
    """Rack Q stands at the door; all its tanks are in quarantine. Rack A has one tank of each."""
    tanks = (
        tank("A1"), tank("A2"), tank("Q1", role="quarantine"), tank("Q2", role="quarantine"),
    )  # fmt: skip
    there = room(
        tanks=tanks,
        jobs=(
            job("top", "every 1 days", kind="top-off", where="rack A Q"),
            job("look", "every 1 days", kind="look", where="all tanks"),
        ),
        conditions=(Condition(tank="A2", since=NOW.date(), state="watch"),),
    )
    there = replace(there, racks=(Rack(code="A", path=2), Rack(code="Q", path=1)))
    stops = walk(there, list(dues(there, [], NOW).values()), {}, 60.0).stops
    return there, tuple(stop.due.id for stop in stops)


def test_a_job_at_a_rack_of_newcomers_waits_for_the_clean_tanks() -> None:
    _, order = a_rack_of_newcomers()
    assert order[:3] == ("top@A", "look@A1", "look@A2")
    assert set(order[3:]) == {"top@Q", "look@Q1", "look@Q2"}


def test_a_rack_is_of_the_class_of_its_cleanest_tank_but_never_of_the_fry() -> None:
    there, _ = a_rack_of_newcomers()
    assert class_at(there, "A", NOW.date()) is Health.CLEAN
    assert class_at(there, "Q", NOW.date()) is Health.QUARANTINE
    assert class_at(there, "A2", NOW.date()) is Health.WATCH
    assert class_at(there, "room", NOW.date()) is None
    fry = replace(there, groups=(group("f", "A1", stage="fry"), group("g", "A2", stage="fry")))
    assert class_at(fry, "A", NOW.date()) is Health.CLEAN
