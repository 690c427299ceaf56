"""The large store in a small size: whole as it is made, copied while in use, put back."""

from pathlib import Path

from tests.reliability.large import care_for


def test_a_long_journal_is_found_whole_copied_and_put_back(tmp_path: Path) -> None:
    counted = care_for(tmp_path, tanks=30, lines=2_000)
    assert not counted.faults
    assert counted.lines == 2_000
    assert {"check", "backup", "backup in use", "restore"} <= counted.seconds.keys()
