"""One sheet of the room as a CSV file: its header and rows into values.

Every fault of the file is told; a row with a fault gives no value. Does not
live here: rules between rows (`check`), numbers left blank (`numbering`),
which files there are (`folder`).
"""

import math
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, BinaryIO
from zoneinfo import ZoneInfo

from roomtasks.files.cells import LONGEST_JSON, Manner, cell_reader, longest_text
from roomtasks.files.faults import FaultsOfFile
from roomtasks.files.opening import MEGABYTE, Lines
from roomtasks.files.rows import DELIMITERS, Row, parted, rows_of
from roomtasks.room.column import Column, Sheet, Value, shown
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem

NUMBERED = ("vessel_steps", "transfers", "contacts", "events", "readings", "marks", "acts")
CODED = {"holds": "H", "between": "P", "stays": "stay-"}
LONG_SHEETS = (*NUMBERED, "changes")
MOST_BYTES = 64 * MEGABYTE
MOST_BYTES_LONG = 2_000 * MEGABYTE
MOST_BLANK_ROWS = 100_000
MOST_ROWS = 200_000
LONGEST_ROW = 250_000  # eight texts of the longest sort, every sign a doubled quotation mark
LONGEST_ROW_OF_CHANGES = 4 * LONGEST_JSON + 100_000

Read = Callable[[str], Value | Problem]


@dataclass
class SheetRead:
    """The values of a file, the line each begins on, and whether no row was lost.

    `unnumbered` are the rows whose number or code is None, left to the program.
    `lost` are the codes of rows left out for a fault in another cell; where those
    are all that was lost, `lost_by_name` holds.
    """

    sheet: Sheet[Any]
    values: list[Any] = field(default_factory=list)
    lines: "array[int]" = field(default_factory=partial(array, "Q"))
    unnumbered: list[int] = field(default_factory=list)
    whole: bool = True
    lost: set[str] = field(default_factory=set)
    lost_by_name: bool = False
    named_faults: int = 0


@dataclass(frozen=True)
class _Header:
    """What the header line says: where each column is, and what stands in for those left out."""

    line: int
    delimiter: str
    names: tuple[str, ...]
    absent: dict[str, Value]


def most_bytes(sheet: Sheet[Any]) -> int:
    """How large a file of this sheet may be."""
    return MOST_BYTES_LONG if sheet.name in LONG_SHEETS else MOST_BYTES


def read_sheet(
    file: BinaryIO, sheet: Sheet[Any], zone: ZoneInfo, faults: FaultsOfFile
) -> SheetRead:
    """Every value of a file, told faults apart. Raises OSError where reading fails."""
    found = SheetRead(sheet)
    longest = LONGEST_ROW_OF_CHANGES if sheet.name == "changes" else LONGEST_ROW
    lines = iter(Lines(file, faults.tell, longest))
    header = _header(lines, sheet, faults)
    if header is None:
        return replace(found, whole=False)
    _read_rows(lines, header, zone, faults, longest, found)
    found.whole = found.whole and not faults.count
    found.lost_by_name = faults.count == found.named_faults
    return found


def most_rows(sheet: Sheet[Any]) -> float:
    """How many rows a file of this sheet may have; those that grow with the years any number."""
    return math.inf if sheet.name in LONG_SHEETS else MOST_ROWS


def _too_many(row: Row, found: SheetRead, faults: FaultsOfFile) -> None:
    """Tell it, and let go of the rows: rules between so many would take long."""
    faults.tell(
        row.line, "", f"there are more than {MOST_ROWS:,} rows of {found.sheet.name}",
        "look whether this is the right file",
    )  # fmt: skip
    del found.values[:], found.lines[:], found.unnumbered[:]


def left_to_the_program(sheet: Sheet[Any]) -> str:
    """The column that may be left out or blank and is then numbered, "" if there is none."""
    if sheet.name in NUMBERED:
        return "id"
    return "code" if sheet.name in CODED else ""


def _header(
    lines: Iterator[tuple[int, str, bool]], sheet: Sheet[Any], faults: FaultsOfFile
) -> _Header | None:
    """The header line, None where it has faults: then no row could be understood."""
    for number, text, spoiled in lines:
        if spoiled:
            return None
        if text.strip():
            return _names(number, text, sheet, faults)
    if not faults.count:
        faults.tell(1, "", "the file is empty", f"begin with the line {','.join(sheet.columns)}")
    return None


def _names(number: int, text: str, sheet: Sheet[Any], faults: FaultsOfFile) -> _Header | None:
    cells, delimiter = max(
        ((_header_cells(text, sign), sign) for sign in DELIMITERS),
        key=lambda tried: (len(sheet.columns.keys() & set(tried[0])), len(tried[0])),
    )
    if "\x00" in text:
        faults.tell(number, "", "the file holds NUL bytes and is no text", "save it as UTF-8 text")
        return None
    before = faults.count
    for name in dict.fromkeys(cells):
        if name not in sheet.columns:
            guess = near(name, sheet.columns)
            remedy = or_words(guess) if guess else f"use {', '.join(sheet.columns)}"
            found = f"there is no column “{shown(name)}”" if name else "a column has no name"
            faults.tell(number, shown(name), found, remedy)
        elif cells.count(name) > 1:
            faults.tell(number, name, "the column stands here twice", "keep one of them")
    own = left_to_the_program(sheet)
    for name, spec in sheet.columns.items():
        if name not in cells and not spec.optional and name != own:
            faults.tell(number, name, "the column is missing", f"add it: {spec.doc}")
    if faults.count > before:
        return None
    absent = {name: value for name, value in sheet.defaults.items() if name not in cells}
    return _Header(number, delimiter, tuple(cells), absent)


def _header_cells(text: str, delimiter: str) -> list[str]:
    cells = [cell.strip().lower() for cell in parted(text, delimiter) or [text]]
    while len(cells) > 1 and not cells[-1]:
        cells.pop()
    return cells


def _read_rows(
    lines: Iterator[tuple[int, str, bool]], header: _Header, zone: ZoneInfo,
    faults: FaultsOfFile, longest: int, found: SheetRead,
) -> None:  # fmt: skip
    sheet = found.sheet
    manner = Manner(header.delimiter != ",", zone, longest_text(sheet.name))
    own = left_to_the_program(sheet)
    reads = [
        cell_reader(_optional(sheet.columns[name], name == own), sheet.defaults[name], manner)
        for name in header.names
    ]
    blank = 0
    for row in rows_of(lines, header.delimiter, faults.tell, longest):
        if not any(row.cells):
            blank += 1
            if blank > MOST_BLANK_ROWS:
                faults.tell(row.line, "", "there are too many blank lines", "take them out")
                return
            continue
        before = faults.count
        value = None if row.spoiled else _value(row, header, reads, sheet, faults)
        if value is None and (code := _code_of(row, header, reads, sheet)):
            found.lost.add(code)
            found.named_faults += faults.count - before
        if value is not None:
            if own and getattr(value, own) is None:
                found.unnumbered.append(len(found.values))
            found.values.append(value)
            found.lines.append(row.line)
            if len(found.values) > most_rows(sheet):
                _too_many(row, found, faults)
                return
        elif faults.enough:
            return


def _code_of(row: Row, header: _Header, reads: list[Read], sheet: Sheet[Any]) -> str:
    """The code of a row that has a fault elsewhere, "" where it cannot be told."""
    if sheet.key != ("code",) or row.spoiled or len(row.cells) != len(reads):
        return ""
    at = header.names.index("code") if "code" in header.names else -1
    value = reads[at](row.cells[at]) if at >= 0 else None
    return value if isinstance(value, str) else ""


def _optional(spec: Column, own: bool) -> Column:
    return replace(spec, optional=True) if own else spec


def _value(
    row: Row, header: _Header, reads: list[Read], sheet: Sheet[Any], faults: FaultsOfFile
) -> Any | None:
    """The value of a row, None where a cell has a fault."""
    cells = _fitted(row, len(reads), faults)
    if cells is None:
        return None
    values = [read(cell) for read, cell in zip(reads, cells, strict=True)]
    good = True
    for name, value in zip(header.names, values, strict=True):
        if isinstance(value, Problem):
            faults.tell(row.line, name, value.what, value.remedy)
            good = False
    if not good:
        return None
    return sheet.cls(**header.absent, **dict(zip(header.names, values, strict=True)))


def _fitted(row: Row, wanted: int, faults: FaultsOfFile) -> list[str] | None:
    """A row with blank cells too many is cut; any other misfit is told."""
    if len(row.cells) == wanted:
        return row.cells
    if not any(row.cells[wanted:]) and len(row.cells) > wanted:
        return row.cells[:wanted]
    many = "1 cell" if len(row.cells) == 1 else f"{len(row.cells)} cells"
    faults.tell(
        row.line, "", f"it has {many}, and the header has {wanted}",
        "give every column a cell, blank ones too; put a text with commas in quotation marks",
    )  # fmt: skip
    return None
