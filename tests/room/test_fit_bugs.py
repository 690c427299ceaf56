"""A short walk kept many small jobs and left the change of a whole system."""

from roomtasks.room.fit import fit
from roomtasks.room.system import System, ValveTurn
from roomtasks.room.walk import walk
from tests.room.scene import at, dues, job, morning, room

CODES = tuple(f"D{n}" for n in range(1, 9))


def test_a_change_of_eight_tanks_outweighs_eight_wiped_fronts() -> None:
    """33 minutes: the change takes 30, the fronts 2 each; the change serves eight tanks too."""
    there = room(
        systems=(System(code="S", sump_litres=100.0),),
        valves=tuple(
            ValveTurn(tank=code, at=at("2027-01-01T09:00"), system="S", state="open")
            for code in CODES
        ),
        jobs=(
            job("change", "every 7 days", kind="change", where="system S", window="-1/+2",
                starts=morning("2027-03-13").date(), minutes=30.0, fraction=0.25),
            job("wipe", "every 14 days", kind="wipe", where="tanks in rack D", window="-4/+7",
                starts=morning("2027-03-13").date(), minutes=2.0),
            job("count", "every 30 days", kind="count", where="rack D", window="-7/+7",
                starts=morning("2027-03-13").date(), minutes=3.0),
            job("test", "every 14 days", kind="test", where="tanks in rack D", window="-4/+7",
                starts=morning("2027-03-13").date(), minutes=4.0),
        ),
    )  # fmt: skip
    now = morning("2027-03-13")
    planned = walk(there, list(dues(there, [], now).values()), {}, 35.0)
    kept = {stop.due.id for stop in fit(there, planned, 35.0).walk.stops}
    assert "change@S" in kept
    assert "count@D" in kept
