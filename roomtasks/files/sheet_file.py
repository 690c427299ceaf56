"""One CSV file to the rows of a sheet, with every fault and its line.

The delimiter is told by the header. Rules between rows are in `check`.
"""

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from itertools import chain
from pathlib import Path
from typing import Any

from roomtasks.files.cells import LONGEST_RECORD_TEXT, Manner, read_cell
from roomtasks.files.fault import FaultList
from roomtasks.files.lines import LARGEST_FILE, opened, text_lines
from roomtasks.room.column import LONGEST_TEXT, Column, Sheet, shown
from roomtasks.room.problem import Problem

STREAMED = ("marks", "acts", "changes", "events", "readings")
NUMBERED = ("events", "readings", "marks", "acts", "holds", "between", "stays")
LONG_TEXTS = ("acts", "changes")
DELIMITERS = (",", ";", "\t")
_LARGEST_FIELD = 2 * LONGEST_RECORD_TEXT


@dataclass
class SheetRows:
    """Rows read from one file, the line of each, and rows whose code was left blank.

    `whole` is False where a fault kept some row out.
    """

    values: list[Any] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    unnumbered: list[int] = field(default_factory=list)
    whole: bool = True


Note = Callable[[int, str, str, str], None]


def read_sheet(path: Path, sheet: Sheet[Any], manner: Manner, faults: FaultList) -> SheetRows:
    """The rows of a file; what is wrong with it goes into `faults`."""
    rows = SheetRows()

    def note(line: int, column: str, found: str, would_do: str) -> None:
        rows.whole = False
        faults.add(path.name, line, column, found, would_do)

    largest = None if sheet.name in STREAMED else LARGEST_FILE
    with opened(path, largest, note) as file:
        if file is not None:
            lines = text_lines(file, note)
            _read(lines, sheet, manner, rows, note)
    return rows


def _read(
    lines: Iterator[str], sheet: Sheet[Any], manner: Manner, rows: SheetRows, note: Note
) -> None:  # fmt: skip
    skipped, first = _first_line(lines)
    if first is None:
        if rows.whole:
            note(1, "", "it is empty", "give a first line with the names of the columns")
        return
    delimiter = _delimiter(first, sheet)
    csv.field_size_limit(_LARGEST_FIELD)
    records = _records(chain((first,), lines), delimiter, skipped, note)
    start, header = next(records, (1, []))
    at = _header(header, sheet, start, note)
    if at is None:
        return
    manner = replace(
        manner,
        decimal_comma=delimiter != ",",
        crlf=first.endswith("\r\n"),
        longest=LONGEST_RECORD_TEXT if sheet.name in LONG_TEXTS else LONGEST_TEXT,
    )
    buildable = rows.whole or not _missing(at, sheet)
    for line, cells in records:
        if len(cells) != len(header) and not _length_fits(cells, len(header), line, note):
            continue
        values = _values(cells, at, sheet, manner, line, note)
        if values is not None and buildable:
            if sheet.name in NUMBERED and values[sheet.key[0]] is None:
                rows.unnumbered.append(len(rows.values))
            rows.values.append(sheet.cls(**values))
            rows.lines.append(line)


def _first_line(lines: Iterator[str]) -> tuple[int, str | None]:
    """How many blank lines come first, and the first that is not blank."""
    skipped = 0
    for line in lines:
        if line.strip():
            return skipped, line
        skipped += 1
    return skipped, None


def _delimiter(first: str, sheet: Sheet[Any]) -> str:
    """The sign that parts the first line into most names of columns."""

    def known(delimiter: str) -> int:
        return sum(name.strip(' "\r\n').lower() in sheet.columns for name in first.split(delimiter))

    return max(DELIMITERS, key=known)


def _records(
    lines: Iterator[str], delimiter: str, skipped: int, note: Note
) -> Iterator[tuple[int, list[str]]]:
    """Records with the physical line each begins on; those of blanks only are left out."""
    reader = csv.reader(lines, delimiter=delimiter, strict=True, skipinitialspace=True)
    while True:
        start = skipped + reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            found, would_do = _csv_words(str(error))
            note(start, "", found, would_do)
            continue
        if any(cells) and any(cell.strip() for cell in cells):
            yield start, cells


def _csv_words(error: str) -> tuple[str, str]:
    if "unexpected end" in error or "field larger" in error:
        return "a quotation mark is opened here and never closed", "close it, or take it out"
    if "expected after" in error:
        return (
            "a quotation mark stands in the middle of a quoted cell",
            "write it twice, or take the quotation marks away",
        )
    return "the line does not end as a line of text should", "save the file with ordinary line ends"


def _header(
    header: list[str], sheet: Sheet[Any], line: int, note: Note
) -> list[tuple[int, str, Column]] | None:
    """Where each known column stands; None where the first line names none at all."""
    names = [cell.strip().lower() for cell in header]
    while names and not names[-1]:
        names.pop()
    if not any(name in sheet.columns for name in names):
        told = "the first line names none of its columns"
        note(line, "", told, "begin with " + ",".join(sheet.columns))
        return None
    at: list[tuple[int, str, Column]] = []
    for index, name in enumerate(names):
        if name not in sheet.columns:
            note(line, shown(header[index].strip()), f"there is no such column in {sheet.name}",
                 _near(name, sheet))  # fmt: skip
        elif any(other == name for _, other, _ in at):
            note(line, name, "the column stands there twice", "take one of the two out")
        else:
            at.append((index, name, sheet.columns[name]))
    for name in _missing(at, sheet):
        note(line, name, "the column is missing", f"add {name}: {sheet.columns[name].doc}")
    return at


def _near(name: str, sheet: Sheet[Any]) -> str:
    near = get_close_matches(name[:64], list(sheet.columns), 3, 0.5)
    return f"did you mean {' or '.join(near)}?" if near else "use " + ", ".join(sheet.columns)


def _missing(at: list[tuple[int, str, Column]], sheet: Sheet[Any]) -> list[str]:
    there = {name for _, name, _ in at}
    return [
        name
        for name, spec in sheet.columns.items()
        if name not in there and not spec.optional and not may_be_numbered(sheet, name)
    ]


def may_be_numbered(sheet: Sheet[Any], name: str) -> bool:
    """Whether this column may be left blank and is numbered by the order of rows."""
    return sheet.name in NUMBERED and name == sheet.key[0]


def _length_fits(cells: list[str], wanted: int, line: int, note: Note) -> bool:
    if len(cells) > wanted and not any(cell.strip() for cell in cells[wanted:]):
        return True
    found = f"the line has {len(cells)} cells and the first line {wanted}"
    note(line, "", found, "give each column one cell; quote a text that holds the delimiter")
    return False


def _values(
    cells: list[str], at: list[tuple[int, str, Column]], sheet: Sheet[Any], manner: Manner,
    line: int, note: Note,
) -> dict[str, Any] | None:  # fmt: skip
    values: dict[str, Any] = dict(sheet.defaults)
    fit = True
    for index, name, spec in at:
        text = cells[index]
        if may_be_numbered(sheet, name) and not text.strip():
            continue
        if not text and spec.optional:
            continue
        value = read_cell(spec, text, manner)
        if isinstance(value, Problem):
            note(line, name, value.what, value.remedy)
            fit = False
        elif value is not None:
            values[name] = value
    return values if fit else None
