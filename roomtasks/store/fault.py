"""What can be wrong with a store, in words for a person.

A store fault is an exception because it can come out of any read or write; the
front ends turn it into a sentence and exit status 3.
"""

import sqlite3
from pathlib import Path

PROGRAMMERS = (
    sqlite3.ProgrammingError, sqlite3.InterfaceError, sqlite3.IntegrityError,
    sqlite3.NotSupportedError,
)  # fmt: skip


class StoreFault(Exception):
    """The store could not be used: what happened, to which file, what to do next.

    `sort` is one of absent, exists, foreign, newer, locked, full, read-only,
    disk, damaged, vanished, unreadable.
    """

    def __init__(self, sort: str, path: Path | str, what: str, remedy: str) -> None:
        super().__init__(f"{path}: {what}; {remedy}")
        self.sort, self.path, self.what, self.remedy = sort, str(path), what, remedy

    @property
    def passing(self) -> bool:
        """Whether trying again later can help."""
        return self.sort in ("locked", "full", "read-only", "disk")


_SORTS = {
    "SQLITE_BUSY": (
        "locked", "another program is writing to the store and did not finish",
        "nothing was changed; wait a moment and try again",
    ),
    "SQLITE_FULL": (
        "full", "there is no room left on the disk", "nothing was changed; make room and try again",
    ),
    "SQLITE_READONLY": (
        "read-only", "the store or its folder may not be written",
        "nothing was changed; give yourself the right to write there, or use --room elsewhere",
    ),
    "SQLITE_CANTOPEN": (
        "unreadable", "the store could not be opened",
        "look whether the folder is there and may be written",
    ),
    "SQLITE_IOERR": (
        "disk", "the disk gave an error",
        "nothing was changed; look at the disk, then run 'roomtasks check'",
    ),
}  # fmt: skip
_SAME = {"SQLITE_LOCKED": "SQLITE_BUSY", "SQLITE_PERM": "SQLITE_READONLY"}


def fault_of(error: sqlite3.Error, path: Path | str) -> StoreFault:
    """The fault behind an SQLite error, told by its code and not by its words."""
    name = getattr(error, "sqlite_errorname", None) or ""
    primary = "_".join(name.split("_")[:2])
    primary = _SAME.get(primary, primary)
    if primary in _SORTS:
        sort, what, remedy = _SORTS[primary]
        return StoreFault(sort, path, what, remedy)
    return damaged(path, str(error))


def damaged(path: Path | str, what: str) -> StoreFault:
    """The fault of a store that cannot be read as it was written."""
    return StoreFault(
        "damaged", path, f"the store is damaged ({what})",
        "run 'roomtasks check', then 'roomtasks restore FILE' with your newest backup",
    )  # fmt: skip
