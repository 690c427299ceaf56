"""Damage that Python's sqlite3 tells in other words than its own errors, named all the same."""

from collections.abc import Callable
from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from roomtasks.store.fault import StoreFault
from tests.store.made import a_store

BLOB_OF_16, TEXT_OF_16 = 44, 45


def _definition(content: bytearray) -> None:
    """A byte that is no text, in a definition that SQLite then quotes in its word."""
    content[content.index(b'CREATE TABLE "tanks"') + 3] = 0x8D


def _seal(content: bytearray) -> None:
    """The type of a seal: text of 16 bytes. The record format gives 12 + 2n and 13 + 2n."""
    kind = content.index(bytes([BLOB_OF_16]) + b"jobs")
    content[kind] = TEXT_OF_16


@pytest.mark.parametrize("flip", [_definition, _seal])
def test_it_is_a_finding_and_no_crash(tmp_path: Path, flip: Callable[[bytearray], None]) -> None:
    path = a_store(tmp_path / "room", acts=2)
    content = bytearray(path.read_bytes())
    flip(content)
    path.write_bytes(content)
    assert check(path).damage
    assert path.read_bytes() == content
    try:
        copied: Path | Problem = backup(path, tmp_path / "copy.db")
    except StoreFault as fault:
        copied = Problem("", fault.what, fault.remedy)
    assert isinstance(copied, Problem)


def test_a_store_with_a_broken_definition_is_not_opened(tmp_path: Path) -> None:
    path = a_store(tmp_path, acts=2)
    content = bytearray(path.read_bytes())
    _definition(content)
    path.write_bytes(content)
    with pytest.raises(StoreFault) as told:
        Store.open(path)
    assert told.value.sort == "damaged"
