"""A few bytes changed, one after the other, on every page there is."""

from pathlib import Path

from tests.reliability.flips import flip_often


def test_a_changed_byte_is_named_or_means_nothing(tmp_path: Path) -> None:
    said, faults = flip_often(tmp_path, 45, 11)
    assert faults == []
    assert " named, " in said
