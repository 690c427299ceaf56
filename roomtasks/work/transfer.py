"""A whole room from a folder of text into a store, and from a store to a folder.

A new store is whole or absent; a room that is there already is replaced only
when that was asked for, and after a copy of it was made. Reading and writing
the files is in `files`, the rules between rows in `room.check`.
"""

import dataclasses
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from roomtasks.files import FileFault, read_folder, write_folder
from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEETS
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.care import backup
from roomtasks.store.write import Abandon, replace_all


@dataclass(frozen=True, slots=True)
class FolderFaults:
    """What is wrong in a folder, every fault with its file and line."""

    faults: tuple[FileFault, ...]


@dataclass(frozen=True, slots=True)
class Imported:
    """A room taken over: its name, and the rows of each sheet.

    `left_aside` are files of the folder that are no sheet, `kept` the copy of
    the room that was there before.
    """

    name: str
    store: Path
    rows: dict[str, int]
    left_aside: tuple[str, ...] = ()
    kept: Path | None = None


@dataclass(frozen=True, slots=True)
class Exported:
    """A room written out: its name, the files, and the rows of each sheet."""

    name: str
    folder: Path
    files: tuple[Path, ...]
    rows: dict[str, int]


def import_folder(
    folder: Path, store_path: Path, *, replace: bool = False
) -> Imported | FolderFaults | Problem:
    """Take over the room in a folder, whole or not at all. Raises StoreFault.

    With any fault in the folder, or a room in the store and `replace` not
    said, nothing is changed and no store is made.
    """
    found = read_folder(folder)
    if isinstance(found, list):
        return FolderFaults(tuple(found))
    sheets = found.sheets
    rows = {sheet.name: len(sheets.get(sheet.name, ())) for sheet in SHEETS}
    name: str = sheets["setup"][0].name
    done = Imported(name, store_path, rows, found.left_aside)
    if not store_path.exists():
        Store.create(store_path, fill=lambda store: replace_all(store, sheets)).close()
        return done
    with Store.open(store_path) as store:
        kept = _replaced(store, sheets, replace)
    if isinstance(kept, Problem):
        return kept
    return done if kept is None else dataclasses.replace(done, kept=kept)


def _replaced(
    store: Store, sheets: dict[str, list[Any]], replace: bool
) -> Path | Problem | None:  # fmt: skip
    """Put the room in place of what a store holds; gives the copy of the room that was there."""
    answer: Path | Problem | None = None

    def look_and_keep() -> None:
        nonlocal answer
        present = read.rows(store, SHEETS[0])
        if present and not replace:
            answer = Problem(
                str(store.path), f"there is a room here already ({shown(present[0].name)})",
                "name another store with --room, or say --replace (a copy is kept)",
                "would-replace",
            )  # fmt: skip
        elif present:
            answer = backup(store.path, _free_name(store.path))
        if isinstance(answer, Problem):
            raise Abandon

    try:
        replace_all(store, sheets, look_and_keep)
    except Abandon:
        return answer
    return answer


def _free_name(path: Path) -> Path:
    """A name beside the store that nothing has."""
    number = 1
    while (name := path.with_name(f"{path.stem}.replaced-{number}{path.suffix}")).exists():
        number += 1
    return name


def export_folder(store: Store, folder: Path, *, overwrite: bool = False) -> Exported | Problem:
    """Write the whole room, journal and all, as a folder of text. Raises StoreFault."""
    with store.reading():
        sheets: dict[str, list[Any]] = {sheet.name: read.rows(store, sheet) for sheet in SHEETS}
    if not sheets["setup"]:
        return Problem(
            str(store.path), "there is no room in this store yet",
            "run 'roomtasks open' to begin one, or 'roomtasks import FOLDER'", "no-room",
        )  # fmt: skip
    written = write_folder(sheets, folder, overwrite=overwrite)
    if isinstance(written, Problem):
        return written
    rows = {name: len(values) for name, values in sheets.items()}
    return Exported(sheets["setup"][0].name, folder, tuple(written), rows)
