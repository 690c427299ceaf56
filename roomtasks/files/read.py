"""A folder of text to the facts of a room, or every fault in it at once.

Nothing is taken over from a folder with any fault. Cells and lines are read in
`sheet_file` and `setup_file`, the rules between rows are in `check`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.files.cells import Manner
from roomtasks.files.fault import FaultList, FileFault
from roomtasks.files.numbering import number_blanks
from roomtasks.files.setup_file import FILE, groups, read_setup
from roomtasks.files.sheet_file import SheetRows, read_sheet
from roomtasks.room.check import Fault, faults
from roomtasks.room.column import shown
from roomtasks.room.day import zone_named
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEETS

CSV_SHEETS = tuple(sheet for sheet in SHEETS if sheet.key)
FILES = (FILE, *(f"{sheet.name}.csv" for sheet in CSV_SHEETS))


@dataclass(frozen=True)
class Folder:
    """A room read whole from a folder: the rows of every sheet, by its name."""

    path: Path
    sheets: dict[str, list[Any]]


def read_folder(path: Path) -> Folder | list[FileFault]:
    """The room in a folder, or what is wrong with it, sorted by file and line.

    A list holds at least one fault and at most 1,001: the last then counts
    those left out.
    """
    told = shown(str(path), 200)
    names = _names(path, told)
    if isinstance(names, FileFault):
        return [names]
    found = FaultList()
    found.add_all(_strangers(names))
    read: dict[str, SheetRows] = {"setup": _setup(path, names, found)}
    manner = Manner(zone=_zone(read["setup"]))
    for sheet in CSV_SHEETS:
        rows = SheetRows()
        if f"{sheet.name}.csv" in names:
            rows = read_sheet(path / f"{sheet.name}.csv", sheet, manner, found)
        read[sheet.name] = rows
    sheets = {name: rows.values for name, rows in read.items()}
    number_blanks(sheets, {name: rows.unnumbered for name, rows in read.items()})
    found.add_all(_between(sheets, read))
    return found.told(told) if found.counts else Folder(path, sheets)


def _names(path: Path, told: str) -> frozenset[str] | FileFault:
    try:
        if not path.is_dir():
            what = "it is a file" if path.is_file() else "there is no such folder"
            return FileFault(told, 0, "", what, f"give a folder that holds {FILE}")
        return frozenset(entry.name for entry in path.iterdir())
    except (OSError, ValueError) as error:
        words = getattr(error, "strerror", None) or str(error)
        return FileFault(told, 0, "", f"it cannot be read: {words}", "look at its rights and links")


def _strangers(names: frozenset[str]) -> Iterator[FileFault]:
    """Files that look like part of a room and are none, so that no misspelt one is passed over."""
    for name in names:
        if name.startswith(".") or name in FILES or not name.lower().endswith((".csv", ".toml")):
            continue
        near = get_close_matches(name.lower(), FILES, 2, 0.7)
        remedy = f"did you mean {' or '.join(near)}?" if near else "put it into another folder"
        yield FileFault(shown(name, 80), 0, "", "no sheet of a room has this name", remedy)


def _setup(path: Path, names: frozenset[str], found: FaultList) -> SheetRows:
    if FILE not in names:
        remedy = 'a room needs it, with [room] name = "..." and zone = "Europe/Dublin"'
        found.add(FILE, 0, "", "the file is missing", remedy)
        return SheetRows(whole=False)
    read = read_setup(path / FILE, found)
    return SheetRows(whole=False) if read is None else SheetRows([read[0]], [read[1]])


def _zone(rows: SheetRows) -> ZoneInfo:
    """The room's zone; UTC where it is not known, since that is a fault already."""
    zone = zone_named(rows.values[0].zone) if rows.values else ZoneInfo("UTC")
    return ZoneInfo("UTC") if isinstance(zone, Problem) else zone


def _between(sheets: dict[str, list[Any]], read: dict[str, SheetRows]) -> Iterator[FileFault]:
    """Faults between rows, save those that a row lost to another fault may have made."""
    torn = {name for name, rows in read.items() if not rows.whole}
    for fault in faults(sheets):
        if torn.isdisjoint(fault.leans_on) and (fault.row is not None or fault.sheet not in torn):
            yield _told(fault, read[fault.sheet])


def _told(fault: Fault, rows: SheetRows) -> FileFault:
    line = 0 if fault.row is None else rows.lines[fault.row]
    if fault.sheet != "setup":
        return FileFault(f"{fault.sheet}.csv", line, fault.column, fault.found, fault.remedy)
    key = next(
        (key for keys in groups().values() for key, name in keys.items() if name == fault.column),
        fault.column,
    )
    return FileFault(FILE, line, key, fault.found, fault.remedy)
