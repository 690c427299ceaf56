"""A room as a folder of text, read: room.toml and one CSV file a sheet.

`read_folder` gives the whole room or every fault of it at once, never half a
room. Lives here: which files there are, and the faults between rows put to
their file and line. Does not live here: writing (`write`), one sheet
(`sheet_file`), the settings (`setup_file`).
"""

import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.files import setup_file
from roomtasks.files.faults import FaultsOfFile, FileFault, together
from roomtasks.files.numbering import number_blanks
from roomtasks.files.opening import open_plain
from roomtasks.files.sheet_file import SheetRead, most_bytes, read_sheet
from roomtasks.room.check import faults
from roomtasks.room.column import shown
from roomtasks.room.day import zone_named
from roomtasks.room.fault import Fault
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.room.setup import Setup

CSV = ".csv"
TOML = ".toml"
UTC_ZONE = ZoneInfo("UTC")


@dataclass(frozen=True)
class Folder:
    """A room as read: the values of every sheet in the order of their keys.

    `left_aside` names text tables in the folder that are no sheet of a room.
    """

    path: Path
    sheets: dict[str, list[Any]]
    left_aside: tuple[str, ...] = ()


@dataclass
class _Reading:
    """What has been read and found so far."""

    path: Path
    faults: dict[str, FaultsOfFile] = field(default_factory=dict)
    sheets: dict[str, SheetRead] = field(default_factory=dict)
    setup: Setup | None = None
    setup_lines: dict[str, int] = field(default_factory=dict)

    def of(self, file: str) -> FaultsOfFile:
        return self.faults.setdefault(file, FaultsOfFile(file))


def file_of(sheet: str) -> str:
    """The name of a sheet's file."""
    return setup_file.NAME if sheet == "setup" else sheet + CSV


def read_folder(path: Path) -> Folder | list[FileFault]:
    """The room in a folder, or everything that is wrong with it, by file and line."""
    try:
        names = sorted(os.listdir(path))
    except (OSError, ValueError) as error:
        return [_no_folder(path, error)]
    reading = _Reading(path)
    aside = _strays(names, reading)
    _read_setup(reading)
    zone = zone_named(reading.setup.zone) if reading.setup else UTC_ZONE
    for sheet in SHEETS:
        if sheet.key and file_of(sheet.name) in names:
            _read_one(reading, sheet.name, UTC_ZONE if isinstance(zone, Problem) else zone)
    number_blanks(reading.sheets)
    _between_rows(reading)
    if any(each.count for each in reading.faults.values()):
        return together(reading.faults.values())
    return Folder(path, _in_key_order(reading), aside)


def _no_folder(path: Path, error: OSError | ValueError) -> FileFault:
    if isinstance(error, FileNotFoundError):
        found = "there is no such folder"
    elif isinstance(error, NotADirectoryError):
        found = "it is a file, not a folder"
    else:
        said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        found = f"the folder cannot be read ({said})"
    return FileFault(
        shown(str(path), 200), 0, "", found, f"name the folder that holds {setup_file.NAME}"
    )


def strays(names: Iterable[str]) -> dict[str, list[str]]:
    """Tables that are no file of a room, each with the files its name is near to."""
    known = [file_of(sheet.name) for sheet in SHEETS]
    return {
        name: near(name, known)
        for name in names
        if name.lower().endswith((CSV, TOML)) and not name.startswith(".") and name not in known
    }


def _strays(names: list[str], reading: _Reading) -> tuple[str, ...]:
    """Tell files that are a sheet under a wrong name; give the names of the others."""
    aside = []
    for name, guess in strays(names).items():
        if guess:
            told = shown(name, 100)
            reading.of(told).tell(
                0, "", "no sheet of a room has this name", f"{or_words(guess)} Else take it away"
            )
        else:
            aside.append(name)
    return tuple(aside)


def _read_setup(reading: _Reading) -> None:
    file = open_plain(reading.path / setup_file.NAME, setup_file.MOST_BYTES)
    told = reading.of(setup_file.NAME)
    if isinstance(file, Problem):
        told.tell(0, "", file.what, "every room needs it: at least a [room] with name and zone")
        return
    with file:
        try:
            reading.setup, reading.setup_lines = setup_file.read_setup(file, told)
        except OSError as error:
            told.tell(0, "", f"it cannot be read ({error.strerror})", "look at the disk")


def _read_one(reading: _Reading, sheet: str, zone: ZoneInfo) -> None:
    told = reading.of(file_of(sheet))
    reading.sheets[sheet] = SheetRead(SHEET[sheet], whole=False)
    file = open_plain(reading.path / file_of(sheet), most_bytes(SHEET[sheet]))
    if isinstance(file, Problem):
        told.tell(0, "", file.what, file.remedy)
        return
    with file:
        try:
            reading.sheets[sheet] = read_sheet(file, SHEET[sheet], zone, told)
        except OSError as error:
            told.tell(0, "", f"it cannot be read ({error.strerror})", "look at the disk")


def _between_rows(reading: _Reading) -> None:
    """The rules between rows, on what could be read.

    A fault found in rows that may have been lost with a file's own faults is
    not told: it may be no fault. Where the codes of all lost rows are known,
    only the faults that name one of them are kept back.
    """
    values: dict[str, list[Any]] = {name: read.values for name, read in reading.sheets.items()}
    partly = {name for name, read in reading.sheets.items() if not read.whole}
    if reading.setup is None:
        partly.add("setup")
    else:
        values["setup"] = [reading.setup]
    for fault in faults(values):
        leans = partly.intersection(fault.leans_on)
        known = all(_known_loss(reading, name, fault) for name in leans)
        if known and not (fault.sheet in partly and fault.row is None):
            _tell(reading, fault)


def _known_loss(reading: _Reading, sheet: str, fault: Fault) -> bool:
    """Whether what a sheet lost cannot be what this fault misses."""
    read = reading.sheets.get(sheet)
    if read is None or not read.lost_by_name:
        return False
    return not any(f"“{code}”" in fault.found for code in read.lost)


def _tell(reading: _Reading, fault: Fault) -> None:
    told = reading.of(file_of(fault.sheet))
    if fault.sheet == "setup":
        line, column = reading.setup_lines.get(fault.column, 1), setup_file.dotted(fault.column)
    else:
        line = reading.sheets[fault.sheet].lines[fault.row] if fault.row is not None else 1
        column = fault.column
    told.tell(line, column, fault.found, fault.remedy)


def _in_key_order(reading: _Reading) -> dict[str, list[Any]]:
    sheets: dict[str, list[Any]] = {sheet.name: [] for sheet in SHEETS}
    sheets["setup"] = [reading.setup]
    for name, read in reading.sheets.items():
        sheets[name] = sorted(read.values, key=SHEET[name].key_of)
    return sheets
