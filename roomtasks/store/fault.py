"""What can be wrong with a store, in words for a person.

A store fault is an exception because it can come out of any read or write; the
front ends turn it into a sentence and exit status 3.
"""

import sqlite3
from pathlib import Path


class StoreFault(Exception):
    """The store could not be used: what happened, to which file, what to do next.

    `sort` is one of absent, foreign, newer, locked, full, read-only, damaged,
    vanished, unreadable.
    """

    def __init__(self, sort: str, path: Path | str, what: str, remedy: str) -> None:
        super().__init__(f"{path}: {what}; {remedy}")
        self.sort, self.path, self.what, self.remedy = sort, str(path), what, remedy

    @property
    def passing(self) -> bool:
        """Whether trying again later can help."""
        return self.sort in ("locked", "full", "read-only")


def fault_of(error: sqlite3.Error, path: Path | str) -> StoreFault:
    """The fault behind an SQLite error."""
    text = str(error).lower()
    code = getattr(error, "sqlite_errorname", "") or ""
    if "locked" in text or "busy" in text or code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return StoreFault(
            "locked", path, "another program is writing to the store and did not finish",
            "nothing was changed; wait a moment and try again",
        )  # fmt: skip
    if "full" in text or code.startswith("SQLITE_FULL"):
        return StoreFault(
            "full", path, "there is no room left on the disk",
            "nothing was changed; make room and try again",
        )  # fmt: skip
    if "readonly" in text or "read-only" in text or code.startswith("SQLITE_READONLY"):
        return StoreFault(
            "read-only", path, "the store or its folder may not be written",
            "nothing was changed; give yourself the right to write there, or use --room elsewhere",
        )  # fmt: skip
    if "unable to open" in text or code.startswith("SQLITE_CANTOPEN"):
        return StoreFault(
            "unreadable", path, "the store could not be opened",
            "look whether the folder is there and may be written",
        )  # fmt: skip
    if "disk i/o" in text or code.startswith("SQLITE_IOERR"):
        return StoreFault(
            "damaged", path, "the disk gave an error",
            "nothing was changed; look at the disk, then run 'roomtasks check'",
        )  # fmt: skip
    return StoreFault(
        "damaged", path, f"the store is damaged ({error})",
        "run 'roomtasks check', then 'roomtasks restore FILE' with your newest backup",
    )  # fmt: skip
