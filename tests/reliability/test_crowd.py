"""Eight programs at once, and two at the same second, in a small size."""

from pathlib import Path

from tests.reliability.crowd import crowd, same_second


def test_what_eight_programs_marked_is_all_there_once(tmp_path: Path) -> None:
    counted = crowd(tmp_path, programs=8, times=25)
    assert not counted.faults
    assert counted.acts == 200


def test_two_at_the_same_second_make_one_act(tmp_path: Path) -> None:
    acts, faults = same_second(tmp_path, rounds=10)
    assert not faults
    assert acts == 10
