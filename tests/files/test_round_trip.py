"""What is written and read again is the same room, and written once more the same bytes.

The number of rooms made up is 60, or what ROOMTASKS_ROOMS says.
"""

import os
import re
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from roomtasks.files.cells import Manner, cell_reader, cell_text, guarded
from roomtasks.files.rows import DELIMITERS, line_of, rows_of
from roomtasks.room.check import faults
from roomtasks.room.column import Column, from_text, number_text, to_text
from roomtasks.room.rack import Rack
from roomtasks.room.room import SHEETS
from roomtasks.room.stock import Group
from tests.files.any_room import HOSTILE, Sheets, any_room, texts
from tests.files.folders import bytes_of, in_order, read_well, room_with_a_past, written
from tests.rooms import ZONE, small_room

ROOMS = int(os.environ.get("ROOMTASKS_ROOMS", "60"))
TEXT = Column("text", "a text", optional=True)
NUMBER = Column("number", "a number")
MANNER = Manner(decimal_comma=False, zone=ZONE)


def read_cell(text: str) -> Any:
    return cell_reader(TEXT, "", MANNER)(text)


@settings(max_examples=ROOMS, deadline=None, suppress_health_check=list(HealthCheck))
@given(any_room())
def test_any_room_comes_back_the_same_in_values_and_bytes(sheets: Sheets) -> None:
    assert faults(sheets) == []
    with tempfile.TemporaryDirectory() as name:
        first, second = Path(name, "first"), Path(name, "second")
        read = read_well(written(first, sheets))
        assert in_order(read.sheets) == in_order(sheets)
        written(second, read.sheets)
        assert bytes_of(first) == bytes_of(second)
        assert in_order(read_well(second).sheets) == in_order(sheets)


@given(texts)
@example("'")
@example("''=")
@example("'\u3000'")
def test_any_text_comes_back_through_a_line_of_a_file(text: str) -> None:
    line = line_of([cell_text(TEXT, text), "next"])
    parts = re.findall("[^\r\n]*(?:\r\n|\r|\n)", line)
    lines = [(number, part, False) for number, part in enumerate(parts, start=1)]
    told: list[object] = []
    found = list(rows_of(lines, ",", lambda *fault: told.append(fault), 100_000))
    assert not told
    assert [read_cell(cell) for row in found for cell in row.cells] == [text, "next"]


@given(texts)
def test_a_text_behind_an_apostrophe_stays_guarded(text: str) -> None:
    """What makes taking the apostrophe off safe."""
    assert guarded("'" + text) or not guarded(text)


@pytest.mark.parametrize("text", [t for t in HOSTILE if t[0] in "=+-@\t\r＝"])
def test_no_written_cell_begins_as_a_sum(text: str) -> None:
    assert cell_text(TEXT, text)[0] == "'"


@pytest.mark.parametrize("text", ["'tis", "it's", "''", "5 o'clock", "'quoted'"])
def test_an_apostrophe_written_by_hand_is_kept(text: str) -> None:
    assert read_cell(text) == text


@pytest.mark.parametrize("text", ["-2/+3", "'-2/+3"])
def test_a_window_may_be_written_with_or_without_the_apostrophe(text: str) -> None:
    assert read_cell(text) == "-2/+3"


@given(st.floats(-1e9, 1e9))
@example(5e-324)
@example(0.1 + 0.2)
@example(-0.0)
@example(1e9)
@example(1e-5)
def test_any_number_comes_back_to_the_last_digit(number: float) -> None:
    text = to_text(NUMBER, number)
    assert "e" not in text
    assert from_text(NUMBER, text) == number


def test_numbers_are_written_short() -> None:
    assert [number_text(n) for n in (45.0, 0.4, 1e-5, 123456789.5, -0.0, 12)] == [
        "45", "0.4", "0.00001", "123456789.5", "0", "12",
    ]  # fmt: skip


def test_rows_are_written_in_key_order_whatever_order_they_come_in(tmp_path: Path) -> None:
    there = written(tmp_path / "a")
    back = {name: list(reversed(rows)) for name, rows in room_with_a_past().items()}
    assert bytes_of(there) == bytes_of(written(tmp_path / "b", back))


def test_files_are_utf_8_with_line_feeds_and_every_column(tmp_path: Path) -> None:
    folder = written(tmp_path / "room")
    for sheet in SHEETS:
        file = folder / f"{sheet.name}.csv"
        if sheet.key and file.exists():
            raw = file.read_bytes()
            assert raw.startswith(",".join(sheet.columns).encode() + b"\n")
            assert b"\r" not in raw
            assert raw.endswith(b"\n")


@pytest.mark.parametrize("delimiter", DELIMITERS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_other_delimiters_and_line_ends_say_the_same(
    tmp_path: Path, delimiter: str, line_end: str
) -> None:
    """With a semicolon or tab, decimal commas and blanks round cells are read too."""
    folder = written(tmp_path / "room", small_room())
    for file in folder.glob("*.csv"):
        lines = file.read_text("utf-8").splitlines()
        if any('"' in line for line in lines):
            continue
        cells = [line.split(",") for line in lines]
        if delimiter != ",":
            cells = [[_comma(cell) for cell in row] for row in cells]
        text = ("﻿" if file.stem == "tanks" else "") + line_end.join(
            f" {delimiter} ".join(row) if delimiter != "\t" else delimiter.join(row)
            for row in [*cells[:1], [""], *cells[1:]]
        )
        file.write_bytes(text.encode())
    assert in_order(read_well(folder).sheets) == in_order(small_room())


def _comma(cell: str) -> str:
    whole, point, digits = cell.partition(".")
    return f"{whole},{digits}" if point and (whole + digits).isdigit() else cell


def test_hostile_names_come_back_exactly(tmp_path: Path) -> None:
    room = small_room()
    room["racks"] = [
        *room["racks"],
        *(Rack(code=f"H{n}", name=text, path=9) for n, text in enumerate(HOSTILE)),
    ]
    day = room["groups"][0].since
    room["groups"] += [
        Group(code=f"H{n}", line=f"x{text[:99]}", tank="B1", count=0, since=day, note=text)
        for n, text in enumerate(HOSTILE)
    ]
    assert in_order(read_well(written(tmp_path / "room", room)).sheets) == in_order(room)
