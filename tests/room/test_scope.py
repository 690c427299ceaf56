"""Working out only some places gives the same answers there as working out all."""

from datetime import date
from pathlib import Path

import pytest

from roomtasks.work.picture import Picture, picture
from tests.rooms import at, small_room, store_with


@pytest.mark.parametrize("day", ["2027-03-06", "2027-03-08", "2027-03-15", "2027-03-20"])
def test_near_and_all_agree(tmp_path: Path, day: str) -> None:
    store = store_with(tmp_path, small_room())
    whole = picture(store, at(f"{day} 08:00"))
    assert isinstance(whole, Picture)
    for target in ("B1", "B2-1", "S", "R1", "room", "Q1"):
        near = picture(store, at(f"{day} 08:00"), near=[target])
        assert isinstance(near, Picture)
        place = whole.room.tank_of(target) or target
        assert near.at_tank.get(place) == whole.at_tank.get(place)
        assert len(near.dues) <= len(whole.dues)
    assert whole.today == date.fromisoformat(day)
