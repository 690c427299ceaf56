"""A few acts cut at every fourth place, and proof that a lost or half act would be seen."""

import random
from pathlib import Path

import pytest

from tests.reliability.powercut import (
    Counted,
    Image,
    State,
    carried_over,
    cut_often,
    images_between,
    look_at,
    session,
    written,
)


def test_every_image_of_a_session_opens_with_all_that_was_acknowledged(tmp_path: Path) -> None:
    counted = cut_often(tmp_path, acts=5, tears=2, seed=3, every=8)
    assert not counted.faults
    assert counted.acts == 5
    assert counted.images["of the log"] > 25
    assert 0 < counted.not_yet < sum(counted.images.values())


def test_pages_carried_over_in_part_lose_nothing(tmp_path: Path) -> None:
    """A checkpoint is cut: the log is whole, the store has some of its pages."""
    states = session(tmp_path / "room", 1)
    first, second = next(states), next(states)
    (tmp_path / "image").mkdir()
    path = written(tmp_path / "image", second.store, second.log)
    carried = State(carried_over(path), second.log, second.holds)
    counted = Counted()
    for image in images_between(second, carried, 2, random.Random(5), every=9):
        look_at(tmp_path / "image", image, second, carried, counted)
    assert first.holds != second.holds
    assert counted.images["of the store"] > 5
    assert not counted.faults


@pytest.mark.parametrize("lost", ["the log", "an earlier state"])
def test_a_lost_act_is_seen(tmp_path: Path, lost: str) -> None:
    first, second, third = session(tmp_path / "room", 2)
    (tmp_path / "image").mkdir()
    counted = Counted()
    log = b"" if lost == "the log" else first.log
    look_at(tmp_path / "image", Image(second.store, log, False, "x"), second, third, counted)
    assert len(counted.faults) == 1
