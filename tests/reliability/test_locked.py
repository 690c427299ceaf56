"""Locks that end and do not end, in a small size."""

from pathlib import Path

from tests.reliability.locked import run


def test_a_lock_is_waited_for_and_then_told(tmp_path: Path) -> None:
    counted = run(tmp_path, 2, seconds=0.3, wait_seconds=0.8)
    assert not counted.faults
    assert (counted.waited, counted.told) == (2, 2)
    assert counted.longest_wait_seconds >= 0.3
