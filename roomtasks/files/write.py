"""The facts of a room to a folder of text: the same room, the same bytes.

Every file is written under another name first, brought to the disk, and put
in place at the end, so that a full disk leaves the folder as it was. Nothing
is written outside the folder, and over a file only when that was asked for.
"""

import math
import os
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from roomtasks.files.cells import write_cell
from roomtasks.files.read import CSV_SHEETS, FILES
from roomtasks.files.setup_file import FILE, write_setup
from roomtasks.room.column import Sheet, shown, to_plain
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET

_UNWRITABLE = re.compile("[\x00\ud800-\udfff]")


def write_folder(
    sheets: Mapping[str, Sequence[Any]], path: Path, *, overwrite: bool = False
) -> list[Path] | Problem:
    """Write a room and say which files now hold it.

    `sheets` holds the values of each sheet by name. Refuses a folder that
    holds any file of a room, unless `overwrite`; then the files of sheets that
    have no rows now are removed, and no other. Raises KeyError for a name that
    is no sheet.
    """
    refusal = _unwritable(sheets)
    if refusal is not None:
        return refusal
    try:
        taken = _prepared(path, overwrite)
        if isinstance(taken, Problem):
            return taken
        return _written(sheets, path, overwrite, taken)
    except (OSError, ValueError) as error:
        words = getattr(error, "strerror", None) or str(error)
        return Problem(
            shown(str(path), 200), f"the folder could not be written: {words}",
            "look at its rights and at the room on the disk",
        )  # fmt: skip


def sheet_lines(sheet: Sheet[Any], values: Iterable[Any]) -> Iterator[str]:
    """The lines of a sheet's file, rows in the order of their keys."""
    columns = list(sheet.columns.items())
    yield ",".join(name for name, _ in columns) + "\n"
    for value in sorted(values, key=lambda value: _order(sheet, value)):
        yield ",".join(write_cell(spec, getattr(value, name)) for name, spec in columns) + "\n"


def _order(sheet: Sheet[Any], value: Any) -> tuple[Any, ...]:
    """Keys in order; two instants that are one are told apart by their offsets."""
    key = sheet.key_of(value)
    return (*key, *(to_plain(part) for part in key if isinstance(part, datetime)))


def _unwritable(sheets: Mapping[str, Sequence[Any]]) -> Problem | None:
    """The first fact that no file of text can hold."""
    if len(sheets.get("setup", ())) != 1:
        return Problem("setup", "there is no room to write", "give it a name and a zone first")
    for name, values in sheets.items():
        sheet = SHEET[name]
        for value in values:
            for column in sheet.columns:
                fact = getattr(value, column)
                if isinstance(fact, str):
                    bad = _UNWRITABLE.search(fact) is not None
                else:
                    bad = isinstance(fact, float) and not math.isfinite(fact)
                if bad:
                    key = " ".join(str(to_plain(part)) for part in sheet.key_of(value))
                    return Problem(
                        f"{name} {shown(key)}".strip(),
                        f"{column} holds {shown(str(fact))}, which no text file can",
                        "correct it first",
                    )
    return None


def _prepared(path: Path, overwrite: bool) -> frozenset[str] | Problem:
    """The files of a room that stand in the folder, which is made where it is not there."""
    told = shown(str(path), 200)
    if not os.path.lexists(path):
        if not path.parent.is_dir():
            return Problem(told, "the folder above it is not there", "make that one first")
        path.mkdir(mode=0o700)
    if not path.is_dir():
        return Problem(told, "it is no folder", "name another")
    taken = frozenset(name for name in FILES if os.path.lexists(path / name))
    folders = [name for name in taken if (path / name).is_dir() and not (path / name).is_symlink()]
    if folders:
        return Problem(told, f"{min(folders)} is a folder there", "take it away first")
    if taken and not overwrite:
        return Problem(
            told, f"there is a room in this folder already ({min(taken)})",
            "name another folder, or ask for it to be written over",
        )  # fmt: skip
    return taken


@dataclass
class _Parts:
    """Files written under another name, to be put in place together."""

    folder: Path
    made: list[tuple[Path, Path]] = field(default_factory=list)

    def add(self, name: str, lines: Iterable[str]) -> None:
        handle, part = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=self.folder)
        self.made.append((Path(part), self.folder / name))
        with open(handle, "w", encoding="utf-8", newline="") as file:
            file.writelines(lines)
            file.flush()
            os.fsync(file.fileno())

    def place(self) -> list[Path]:
        for part, final in self.made:
            os.replace(part, final)
        return [final for _, final in self.made]

    def drop(self) -> None:
        for part, _ in self.made:
            part.unlink(missing_ok=True)


def _written(
    sheets: Mapping[str, Sequence[Any]], path: Path, overwrite: bool, taken: frozenset[str]
) -> list[Path] | Problem:
    parts = _Parts(path)
    try:
        parts.add(FILE, write_setup(sheets["setup"][0]))
        for sheet in CSV_SHEETS:
            if sheets.get(sheet.name):
                parts.add(f"{sheet.name}.csv", sheet_lines(sheet, sheets[sheet.name]))
        newly = [final.name for _, final in parts.made if os.path.lexists(final)]
        if newly and not overwrite:
            return Problem(
                shown(str(path), 200),
                f"{min(newly)} was put there meanwhile",
                "name another folder",
            )
        made = parts.place()
    finally:
        parts.drop()
    for name in taken - {final.name for final in made}:
        (path / name).unlink(missing_ok=True)
    _sync(path)
    return made


def _sync(folder: Path) -> None:
    """Bring the names in a folder to the disk, where the system can."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
