"""Some writes of an act on a disk that fails or is full."""

from pathlib import Path

from tests.reliability.disk import Counted, failing_writes, full_store


def test_a_write_that_fails_is_told_and_leaves_nothing(tmp_path: Path) -> None:
    counted = Counted()
    failing_writes(tmp_path, counted, most=6)
    assert not counted.faults
    assert counted.places >= 10
    assert counted.refused["disk"] >= 20


def test_a_full_store_is_told_and_leaves_nothing(tmp_path: Path) -> None:
    counted = Counted()
    full_store(tmp_path, counted, most=2)
    assert not counted.faults
    assert counted.refused["full"] >= 2
