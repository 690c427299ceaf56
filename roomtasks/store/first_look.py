"""Looking at a file without touching it: is it a store of ours, and what does it hold?

Nothing here writes, makes a log beside the file, or lets SQLite tidy it up.
A store's file is only ever opened through SQLite: POSIX drops all locks a
program has on a file as soon as it closes any handle of it, so a plain
open-and-close beside an open store would let another program take that store's
log away. Does not live here: the connection a store is used through (`base`).
"""

import os
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory
from typing import TypeVar
from urllib.parse import quote

from roomtasks.store.fault import StoreFault, fault_of
from roomtasks.store.layout import APPLICATION_ID, LAYOUT
from roomtasks.store.stamp import Stamp, fits, stamp_of

MAGIC = b"SQLite format 3\x00"
LARGEST_PAGE = 65_536
MOST_OF_A_LOG = 64 << 20
T = TypeVar("T")


def look_first(path: Path) -> None:
    """Refuse what is no store of ours before SQLite may touch it. Raises StoreFault."""
    _is_file(path)
    newest = _numbers_in_log(path)
    application, layout = newest if newest is not None else _numbers_in_head(path)
    if application != APPLICATION_ID:
        raise StoreFault(
            "foreign", path, "this database belongs to another program",
            "it was left as it is; name another with --room",
        )  # fmt: skip
    if layout > LAYOUT:
        raise StoreFault(
            "newer", path, f"its layout {layout} is newer than the {LAYOUT} this program knows",
            "it was left as it is; use the newer program",
        )  # fmt: skip
    if layout < 1:
        raise StoreFault(
            "damaged", path, "its layout has no number",
            "run 'roomtasks restore FILE' with your newest backup",
        )  # fmt: skip
    _log_is_its_own(path)


def stamp_in_file(path: Path) -> Stamp | None:
    """The stamp that lies in a store's file itself, its log left aside; None for none.

    While a log is carried over, the file's head is ahead of its length; that is
    borne. Raises sqlite3.Error where it is no database, or none that can be read.
    """

    def look(connection: sqlite3.Connection) -> Stamp | None:
        connection.execute("PRAGMA writable_schema = ON")  # nothing can be written: it bears more
        tables_read(connection)
        if not connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            raise sqlite3.DatabaseError("it holds nothing")
        return stamp_of(connection)

    return _look_at(path, "mode=ro&immutable=1", look, tables=False)


def log_of(path: Path) -> bytes:
    """The log beside a store, as far as its first transactions go. Raises OSError."""
    with beside(path)[0].open("rb") as file:
        return file.read(MOST_OF_A_LOG)


def peeked(path: Path, look: Callable[[sqlite3.Connection], T]) -> T:
    """What `look` finds through a connection that cannot write.

    A store nobody has open is read as it lies, so that no log is made beside
    it; if somebody opened it meanwhile, it is looked at again, shared. Raises
    sqlite3.Error.
    """
    before = _at_rest(path)
    if before is not None:
        try:
            found = _look_at(path, "immutable=1", look)
        except sqlite3.Error:
            if _at_rest(path) == before:
                raise
        else:
            if _at_rest(path) == before:
                return found
    return _look_at(path, "mode=ro", look)


def tables_read(connection: sqlite3.Connection) -> None:
    """Let SQLite read the table definitions. Raises sqlite3.Error where it cannot.

    Its word about a damaged one may hold bytes that are no text, of which
    Python makes a UnicodeDecodeError.
    """
    try:
        connection.execute("SELECT 1 FROM sqlite_schema").fetchone()
    except UnicodeDecodeError as error:
        raise sqlite3.DatabaseError("its tables cannot be read") from error


def is_database(path: Path) -> bool:
    """Whether a file says of itself that it is an SQLite database. Raises OSError."""
    with path.open("rb") as file:
        return file.read(len(MAGIC)) == MAGIC


def beside(path: Path) -> tuple[Path, Path]:
    """The log of a store, and the index of the log: beside the file itself, not a link to it."""
    real = path.resolve()
    return Path(f"{real}-wal"), Path(f"{real}-shm")


def left_over(path: Path) -> Path | None:
    """What SQLite left beside a store that is gone; it would be read into a new one there."""
    if path.exists():
        return None
    for file in (beside(path)[0], Path(f"{path.resolve()}-journal")):
        if file.exists() and file.stat().st_size:
            return file
    return None


def _is_file(path: Path) -> None:
    try:
        found = path.stat()
    except FileNotFoundError:
        left = left_over(path)
        if left is not None:
            raise StoreFault(
                "damaged", path, f"the store is gone, but its file {left.name} is still here",
                "it may hold the newest acts: put the store back beside it, or move it away first",
            ) from None  # fmt: skip
        raise StoreFault(
            "absent", path, "there is no room here yet",
            "run 'roomtasks open' to begin one, or 'roomtasks open --demo' to look round",
        ) from None  # fmt: skip
    except OSError as error:
        raise _cannot_read(path, error.strerror or "") from error
    if not stat.S_ISREG(found.st_mode):
        raise _cannot_read(path, "it is no plain file")
    if not os.access(path, os.R_OK):
        raise _cannot_read(path, "Permission denied")
    if not found.st_size:
        raise _empty(path)


def _empty(path: Path) -> StoreFault:
    """A file without a byte; a log beside it tells that it once was a store."""
    log = beside(path)[0]
    if log.exists() and log.stat().st_size:
        return StoreFault(
            "damaged", path, f"it is an empty file, though {log.name} beside it holds acts",
            "it was left as it is; run 'roomtasks restore FILE' with your newest backup",
        )  # fmt: skip
    return StoreFault(
        "foreign", path, "it is an empty file: no room was ever put into it, or all of it is lost",
        "it was left as it is; remove it to begin a room here, name another place with --room, or "
        "put a backup there with 'roomtasks restore FILE'",
    )  # fmt: skip


def _log_is_its_own(path: Path) -> None:
    """Refuse a log that another store left here, before its pages are read into this one."""
    wal = beside(path)[0]
    try:
        log = log_of(path) if wal.exists() else b""
        stamp = stamp_in_file(path) if log else None
    except (OSError, sqlite3.Error):
        return
    if stamp is not None and not fits(log, stamp):
        raise StoreFault(
            "unreadable", path, f"{wal.name} beside it is of another store that stood here before",
            "nothing was read from it; move it away (it may hold the newest acts of that store), "
            "then open again",
        )  # fmt: skip


def _cannot_read(path: Path, why: str) -> StoreFault:
    return StoreFault(
        "unreadable", path, f"it cannot be read ({why})",
        "look at the file, or name another with --room",
    )  # fmt: skip


def _numbers_in_head(path: Path) -> tuple[int, int]:
    try:
        numbers = _look_at(path, "immutable=1", _numbers, tables=False)
        short = numbers[0] == APPLICATION_ID and path.stat().st_size < _look_at(
            path, "immutable=1", _whole_bytes, tables=False
        )
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorname", "") or ""
        if code == "SQLITE_NOTADB":
            raise StoreFault(
                "foreign", path, "this file is no room's store",
                "it was left as it is; name another with --room, or put a backup there with "
                "'roomtasks restore FILE'",
            ) from error  # fmt: skip
        if not code.startswith("SQLITE_CORRUPT"):
            raise fault_of(error, path) from error
        short = True
    if short:
        raise StoreFault(
            "damaged", path, "its end is missing",
            "it was left as it is; run 'roomtasks restore FILE' with your newest backup",
        )  # fmt: skip
    return numbers


def _look_at(
    path: Path, how: str, look: Callable[[sqlite3.Connection], T], *, tables: bool = True
) -> T:
    address = f"file:{quote(str(path.resolve()))}?{how}"
    with closing(sqlite3.connect(address, uri=True, isolation_level=None)) as connection:
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        if tables:
            tables_read(connection)
        return look(connection)


def _at_rest(path: Path) -> tuple[int, int, int] | None:
    """What tells whether a file was written; None where somebody has it open, or had."""
    if any(file.exists() for file in beside(path)):
        return None
    found = path.stat()
    return found.st_ino, found.st_size, found.st_mtime_ns


def _numbers_in_log(path: Path) -> tuple[int, int] | None:
    """Application and layout as the log has them, which the file's head may lag behind."""
    wal, index = beside(path)
    try:
        if not wal.exists() or not wal.stat().st_size:
            return None
        if index.exists():
            return _look_at(path, "mode=ro", _numbers, tables=False)
        with TemporaryDirectory(prefix="roomtasks-") as folder:
            copy = Path(folder) / "head.db"
            with path.open("rb") as old, copy.open("wb") as new:
                new.write(old.read(LARGEST_PAGE))
                new.truncate(path.stat().st_size)
            copyfile(wal, beside(copy)[0])
            return _look_at(copy, "mode=ro", _numbers, tables=False)
    except (OSError, sqlite3.Error):
        return None


def _numbers(connection: sqlite3.Connection) -> tuple[int, int]:
    application: int = connection.execute("PRAGMA application_id").fetchone()[0]
    layout: int = connection.execute("PRAGMA user_version").fetchone()[0]
    return application & 0xFFFFFFFF, layout


def _whole_bytes(connection: sqlite3.Connection) -> int:
    """How long the file must be by its own head, 0 where its tables cannot be read at all."""
    try:
        tables_read(connection)
        pages: int = connection.execute("PRAGMA page_count").fetchone()[0]
        each: int = connection.execute("PRAGMA page_size").fetchone()[0]
    except sqlite3.DatabaseError:
        return 0
    return pages * each
