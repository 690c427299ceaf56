"""Water that would not stand in a reservoir on its day is told, with the fill that is planned."""

from datetime import date, timedelta

import pytest

from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from tests.room.scene import job, room
from tests.room.weeks_lived import MONDAY, planned


def made(holds: float, fill_on: int, *, fills: bool = True) -> Room:
    """100 L each Wednesday out of a reservoir of 200 L, filled once a week."""
    change = job("change", "every 7 days", kind="other", where="tank D3", reservoir="V1",
                 litres=100.0, starts=MONDAY + timedelta(days=2), window="-0/+0")  # fmt: skip
    fill = job("fill", "every 7 days", kind="fill", where="reservoir V1", window="-0/+0",
               starts=MONDAY + timedelta(days=fill_on), active=fills)  # fmt: skip
    vessel = Reservoir(code="V1", full_litres=200.0, holds_litres=holds)
    return room(change_day="none", jobs=(change, fill), reservoirs=(vessel,))


def told(seen: Room) -> list[str]:
    return [note.text for note in planned(seen).notes if note.rule == "fill-first"]


@pytest.mark.parametrize(("holds", "fill_on"), [(110.0, 3), (120.0, 2), (0.0, 1), (0.0, 0)])
def test_nothing_is_told_where_water_stands_in_time(holds: float, fill_on: int) -> None:
    assert told(made(holds, fill_on)) == []


def test_a_day_that_takes_more_than_stands_is_told_once() -> None:
    """Filled on Thursday evenings, 60 L there on Wednesday: one fill first, then all is well."""
    assert date(2027, 3, 3).weekday() == 2
    taken = planned(made(60.0, 3)).days[2].litres[0].litres
    assert told(made(60.0, 3)) == [
        f"Wed 3 Mar takes {taken:.0f} L out of V1 and 60 L would stand there: fill it before; its "
        "fill is planned for Thu 4 Mar"
    ]


def test_a_fill_on_the_day_itself_is_too_late() -> None:
    assert len(told(made(60.0, 2))) == 1


def test_a_reservoir_no_standing_job_fills_is_left_to_the_water_plan() -> None:
    assert told(made(0.0, 1, fills=False)) == []
