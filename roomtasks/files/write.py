"""A room as a folder of text, written: room.toml and one CSV file a sheet.

Every file is whole and on the disk under a name of its own before any file of
the room gets its name; room.toml comes last, and is away while others change,
so that a folder left half written is no room. Nothing is written outside the
folder, no link is followed, and files that are no sheet are left alone.
"""

import os
import stat
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from tempfile import mkstemp
from typing import Any

from roomtasks.files import setup_file
from roomtasks.files.cells import cell_text, longest_text, unwritable
from roomtasks.files.folder import file_of, strays
from roomtasks.files.rows import line_of
from roomtasks.room.column import Sheet, shown
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS

_OURS = ".roomtasks-"


class _Unwritable(Exception):
    """A value that no file can hold; carries the problem out of the writing."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence())
        self.problem = problem


def write_folder(
    room_sheets: Mapping[str, Iterable[Any]], path: Path, *, overwrite: bool = False
) -> list[Path] | Problem:
    """Write a room; gives the files written, in the order of sheets.

    The folder is made if it is not there. Without `overwrite` nothing is
    written where any file of a room lies already; with it, files of sheets
    that have no rows any more are taken away. Raises KeyError for a name that
    is no sheet.
    """
    for name in room_sheets:
        SHEET[name]
    setup = list(room_sheets.get("setup", ()))
    if len(setup) != 1:
        return Problem("setup", f"a room has one setup, not {len(setup)}", "give it a name first")
    try:
        new_folder = _make(path)
        problem = _in_the_way(path, overwrite)
        if problem is not None:
            return problem
        return _put({**room_sheets, "setup": setup}, path, overwrite, new_folder)
    except _Unwritable as found:
        return found.problem
    except FileExistsError as error:
        return _taken(path, [Path(str(error.filename2 or error.filename)).name])
    except (OSError, ValueError) as error:
        said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return Problem(
            _shown(path), f"the room could not be written ({said})",
            "look at the disk and write it again: until then this folder may be no whole room"
            if overwrite
            else "nothing of it was left there; look at the folder and the disk",
        )  # fmt: skip


def _make(path: Path) -> bool:
    """Make the folder where there is none; whether it was made."""
    if path.is_dir():
        return False
    path.mkdir(parents=True)
    return True


def _in_the_way(path: Path, overwrite: bool) -> Problem | None:
    """What in the folder forbids writing: files of a room, links in their place, lookalikes."""
    names = sorted(os.listdir(path))
    for name, guess in strays(names).items():
        if guess:
            return Problem(
                f"{_shown(path)}/{shown(name)}", f"it would be taken for {guess[0]} when read back",
                "take it away, or name another folder",
            )  # fmt: skip
    ours = [file_of(sheet.name) for sheet in SHEETS if file_of(sheet.name) in names]
    if ours and not overwrite:
        return _taken(path, ours)
    for name in ours:
        if not stat.S_ISREG((path / name).lstat().st_mode):
            return Problem(
                f"{_shown(path)}/{name}", "it is a link, a folder or no ordinary file",
                "take it away first; only ordinary files are written over",
            )  # fmt: skip
    return None


def _taken(path: Path, names: list[str]) -> Problem:
    listed = ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
    return Problem(
        _shown(path), f"a room lies here already ({listed})",
        "nothing was written; name another folder, or say --overwrite",
    )  # fmt: skip


def _put(
    room_sheets: Mapping[str, Iterable[Any]], path: Path, overwrite: bool, new_folder: bool
) -> list[Path]:
    """Write every file under a name of its own, then give all of them theirs."""
    waiting: dict[str, Path] = {}
    named = False
    try:
        for sheet in SHEETS:
            values = sorted(room_sheets.get(sheet.name, ()), key=sheet.key_of)
            if values:
                waiting[file_of(sheet.name)] = _begun(path)
                _write(waiting[file_of(sheet.name)], _chunks(sheet, values))
        _name_all(path, waiting, overwrite)
        named = True
    finally:
        for file in waiting.values():
            file.unlink(missing_ok=True)
        if new_folder and not named and not os.listdir(path):
            path.rmdir()
    return [path / name for name in waiting]


def _begun(path: Path) -> Path:
    handle, name = mkstemp(prefix=_OURS, suffix=".part", dir=path)
    os.close(handle)
    return Path(name)


def _write(file: Path, chunks: Iterable[str]) -> None:
    with file.open("w", encoding="utf-8", newline="") as out:
        out.writelines(chunks)
        out.flush()
        os.fsync(out.fileno())


def _chunks(sheet: Sheet[Any], values: list[Any]) -> Iterator[str]:
    """The text of a file, line by line."""
    longest = longest_text(sheet.name)
    if not sheet.key:
        _refuse_unwritable(sheet, values[0], longest)
        yield setup_file.setup_text(values[0])
        return
    columns = list(sheet.columns.items())
    yield line_of(sheet.columns)
    for value in values:
        _refuse_unwritable(sheet, value, longest)
        yield line_of([cell_text(spec, getattr(value, name)) for name, spec in columns])


def _refuse_unwritable(sheet: Sheet[Any], value: Any, longest: int) -> None:
    for name, spec in sheet.columns.items():
        problem = unwritable(spec, getattr(value, name), longest)
        if problem is not None:
            key = " ".join(str(part) for part in sheet.key_of(value))
            where = " ".join(part for part in (sheet.name, key) if part) + f", {name}"
            raise _Unwritable(Problem(where, problem.what, problem.remedy))


def _name_all(path: Path, waiting: Mapping[str, Path], overwrite: bool) -> None:
    """Give every file its name, room.toml last, and take away files of sheets without rows."""
    order = sorted(waiting, key=lambda name: name == setup_file.NAME)
    if overwrite:
        (path / setup_file.NAME).unlink(missing_ok=True)
        _sync_folder(path)
        for sheet in SHEETS:
            if file_of(sheet.name) not in waiting:
                (path / file_of(sheet.name)).unlink(missing_ok=True)
        for name in order:
            os.replace(waiting[name], path / name)
        _sync_folder(path)
    else:
        _name_new(path, waiting, order)


def _name_new(path: Path, waiting: Mapping[str, Path], order: list[str]) -> None:
    """Give names that nobody else has; take them back if one was taken meanwhile."""
    given: list[Path] = []
    try:
        for name in order:
            _link(waiting[name], path / name)
            given.append(path / name)
        _sync_folder(path)
    except OSError:
        for file in given:
            file.unlink()
        raise


def _link(source: Path, target: Path) -> None:
    try:
        os.link(source, target)
    except FileExistsError:
        raise
    except OSError as error:
        # Some file systems (those of memory sticks) have one name a file.
        if os.path.lexists(target):
            raise FileExistsError(error.errno, "it is there already", str(target)) from None
        os.rename(source, target)


def _sync_folder(path: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _shown(path: Path) -> str:
    return shown(str(path), 200)
