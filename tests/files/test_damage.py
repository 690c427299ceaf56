"""Rooms spoilt at random: bytes, lines and cells. Never a traceback, always file and line.

The number of folders is 300, or what ROOMTASKS_DAMAGED_FOLDERS says (10,000
before a release). The same number always spoils the same way.
"""

import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from roomtasks.files import FileFault, Folder, read_folder
from roomtasks.room.check import faults
from roomtasks.room.column import harmless
from tests.files.any_room import HOSTILE
from tests.files.folders import bytes_of, read_well, written

FOLDERS = int(os.environ.get("ROOMTASKS_DAMAGED_FOLDERS", "300"))
SEED = 20_270_301
CELLS = (
    *HOSTILE[:40], "", "0", "-1", "1e308", "NaN", "inf", "1,5", "１２", "room", "A1", "B1", "S",
    "9" * 400, "2027-02-30", "0001-01-01", "9999-12-31", "2027-03-28T01:30", "yes", "open",
    "every 0 days", "calendar FREQ=SECONDLY", "calendar FREQ=DAILY;INTERVAL=999999", "follows feed",
    "tank Z9", "[1]", "{}", "[" * 2000, '{"code":', "null", "once 9999-12-31", "-999/+999",
)  # fmt: skip
Spoil = Callable[[random.Random, bytes], bytes]


def _flip(chance: random.Random, raw: bytes) -> bytes:
    at = chance.randrange(len(raw))
    return raw[:at] + bytes([raw[at] ^ (1 << chance.randrange(8))]) + raw[at + 1 :]


def _cut_out(chance: random.Random, raw: bytes) -> bytes:
    at = chance.randrange(len(raw))
    return raw[:at] + raw[at + chance.randrange(1, 60) :]


def _cut_off(chance: random.Random, raw: bytes) -> bytes:
    return raw[: chance.randrange(len(raw))]


def _put_in(chance: random.Random, raw: bytes) -> bytes:
    at = chance.randrange(len(raw) + 1)
    return raw[:at] + chance.randbytes(chance.randrange(1, 40)) + raw[at:]


def _sign(chance: random.Random, raw: bytes) -> bytes:
    at = chance.randrange(len(raw) + 1)
    sign = chance.choice(
        [b'"', b",", b";", b"\t", b"\r", b"\n", b"\0", b"'", b"\xef\xbb\xbf", b"="]
    )
    return raw[:at] + sign + raw[at:]


def _line_twice(chance: random.Random, raw: bytes) -> bytes:
    lines = raw.splitlines(keepends=True)
    return b"".join([*lines, chance.choice(lines)])


def _line_out(chance: random.Random, raw: bytes) -> bytes:
    lines = raw.splitlines(keepends=True)
    lines.pop(chance.randrange(len(lines)))
    return b"".join(lines)


def _lines_mixed(chance: random.Random, raw: bytes) -> bytes:
    lines = raw.splitlines(keepends=True)
    chance.shuffle(lines)
    return b"".join(lines)


def _cell(chance: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    at = chance.randrange(len(lines))
    cells = lines[at].split(b",")
    cells[chance.randrange(len(cells))] = chance.choice(CELLS).encode()
    lines[at] = b",".join(cells)
    return b"\n".join(lines)


def _cell_more_or_less(chance: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    at = chance.randrange(len(lines))
    cells = lines[at].split(b",")
    if chance.random() < 0.5:
        cells.pop(chance.randrange(len(cells)))
    else:
        cells.insert(chance.randrange(len(cells) + 1), b"x")
    lines[at] = b",".join(cells)
    return b"\n".join(lines)


def _written_anew(chance: random.Random, raw: bytes) -> bytes:
    how = chance.choice(["utf-16", "latin-1", "utf-8-sig", "utf-7", "cp500"])
    return raw.decode("utf-8", "replace").encode(how, "replace")


SPOILS: tuple[Spoil, ...] = (
    _flip, _cut_out, _cut_off, _put_in, _sign, _line_twice, _line_out, _lines_mixed, _cell, _cell,
    _cell, _cell_more_or_less, _written_anew,
)  # fmt: skip


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return bytes_of(written(tmp_path_factory.mktemp("whole") / "room"))


def spoilt(number: int, whole: dict[str, bytes]) -> dict[str, bytes]:
    """The files of the room with one to three of them spoilt."""
    chance = random.Random(SEED + number)
    files = dict(whole)
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        name = chance.choice(sorted(files))
        spoil = chance.choice(SPOILS)
        files[name] = spoil(chance, files[name]) if files[name] else b"x"
    return files


def test_spoilt_folders_are_read_or_told_with_file_and_line(
    whole: dict[str, bytes], tmp_path: Path
) -> None:
    refused = 0
    for number in range(FOLDERS):
        files = spoilt(number, whole)
        folder = tmp_path / "room"
        folder.mkdir()
        for name, raw in files.items():
            (folder / name).write_bytes(raw)
        found = read_folder(folder)
        if isinstance(found, Folder):
            _still_a_room(found, tmp_path / "again")
        else:
            refused += 1
            _told_well(found, files, number)
        assert bytes_of(folder) == files, "reading changes nothing"
        shutil.rmtree(folder)
    assert refused > FOLDERS // 2, "the damage must be damage"


def _still_a_room(found: Folder, again: Path) -> None:
    """What was taken for a room keeps the rules between rows, and comes back the same."""
    assert faults(found.sheets) == []
    assert read_well(written(again, found.sheets)).sheets == found.sheets
    shutil.rmtree(again)


def _told_well(found: list[FileFault], files: dict[str, bytes], number: int) -> None:
    assert found, number
    assert found == sorted(found, key=lambda fault: (not fault.file, fault))
    for fault in found:
        sentence = fault.sentence()
        assert fault.file in files, (number, sentence)
        lines = len(files[fault.file].replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n"))
        assert 1 <= fault.line <= lines, (number, sentence)
        assert fault.found, number
        assert fault.would_do, number
        assert len(sentence) < 2000, number
        assert sentence == harmless(sentence), (number, sentence)


def test_the_spoils_leave_no_kind_of_file_out(whole: dict[str, bytes]) -> None:
    """So that the count above means something: most files are spoilt in some folder."""
    changed = {
        name
        for number in range(300)
        for name, raw in spoilt(number, whole).items()
        if raw != whole[name]
    }
    assert changed == whole.keys()
