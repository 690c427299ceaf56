"""Watching an open store's file for what is copied over it in place.

SQLite does not see that: it would go on with the pages it knows, and carry its
log over into the other store. So whenever the file was written, its stamp is
looked at beside the connection. Where it is another's, the log is put aside
under a name of its own, and the connection is never written or carried over
again. Does not live here: files that were moved or replaced by name (`base`).
"""

import os
import sqlite3
from contextlib import suppress
from pathlib import Path
from time import sleep

from roomtasks.store.fault import StoreFault
from roomtasks.store.first_look import beside, log_of, stamp_in_file
from roomtasks.store.stamp import Stamp, holds, stamp_of

TRIES = 5
PAUSE_SECONDS = 0.02
_OWN, _OTHER, _UNREADABLE = "own", "other", "unreadable"


class Watch:
    """What lies in the file of an open store, and whether it is still that store's."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self._path, self._connection = path, connection
        self._lies = _lies(path)
        self._own = stamp_of(connection)
        self._in_file: Stamp | None = None
        with suppress(sqlite3.Error):
            self._in_file = stamp_in_file(path)
        self._told: StoreFault | None = None

    @property
    def overwritten(self) -> bool:
        """Whether another store was found in the file."""
        return self._told is not None

    def look(self) -> None:
        """Look again if the file was written since. Raises StoreFault."""
        if self._told is not None:
            raise self._told
        lies = _lies(self._path)
        if lies == self._lies or self._own is None:
            return
        shorter = lies[0] < self._lies[0]
        found = self._found_there()
        if found == _OTHER:
            self._told = self._another()
            raise self._told
        if shorter:
            raise self._cut_short()
        if found == _UNREADABLE:
            raise self._spoiled()
        self._lies = lies

    def _found_there(self) -> str:
        """Whose the file is, looked at often enough that nobody is just writing a part of it."""
        found = _UNREADABLE
        for again in range(TRIES):
            if again:
                sleep(PAUSE_SECONDS)
            try:
                stamp = stamp_in_file(self._path)
            except sqlite3.Error:
                found = _UNREADABLE
                continue
            if self._is_own(stamp):
                self._in_file = stamp
                return _OWN
            found = _OTHER
        return found

    def _is_own(self, found: Stamp | None) -> bool:
        """Of the same name, written no less often than before, nor oftener than is known here."""
        if found is None or self._own is None:
            return found is self._in_file
        if found.name != self._own.name:
            return False
        try:
            known = stamp_of(self._connection)
        except sqlite3.Error:
            return False
        least = self._in_file.written if self._in_file is not None else 0
        return known is not None and least <= found.written <= known.written

    def log_put_aside(self) -> str:
        """Rename the log where another store has the name of this one; gives the words for it.

        So that nothing reads it into the other. "" where there is none of this
        store, or what has the name now may be this store all the same.
        """
        log, index = beside(self._path)
        try:
            if self._own is None or self._is_own(stamp_in_file(self._path)):
                return ""
            if not holds(log_of(self._path), self._own):
                return ""
            kept = _free_name(self._path)
            log.rename(kept)
            index.unlink(missing_ok=True)
        except (OSError, sqlite3.Error):
            return ""
        return f" (the log of the one before is kept as {kept.name})"

    def _another(self) -> StoreFault:
        return StoreFault(
            "vanished", self._path,
            "another store, or an older copy, was copied over this one while it was open"
            + self.log_put_aside(),
            "nothing was written into it; leave and open again to work with it, or put yours "
            "back with 'roomtasks restore FILE'",
        )  # fmt: skip

    def _cut_short(self) -> StoreFault:
        return StoreFault(
            "vanished", self._path, "the store was cut short while in use",
            "nothing was changed; leave, then run 'roomtasks restore FILE' with your newest backup",
        )  # fmt: skip

    def _spoiled(self) -> StoreFault:
        return StoreFault(
            "vanished", self._path, "the store was overwritten with something else while in use",
            "nothing was changed; leave, then run 'roomtasks restore FILE' with your newest backup",
        )  # fmt: skip


def _lies(path: Path) -> tuple[int, int, int]:
    """Size and times of a file, which tell that it was written; -1 where it is gone."""
    try:
        found = os.stat(path)
    except OSError:
        return -1, 0, 0
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns


def _free_name(path: Path) -> Path:
    """A name for the log, beside the store, that nothing has."""
    number = 1
    while (name := path.with_name(f"{path.stem}.overwritten-{number}{path.suffix}-wal")).exists():
        number += 1
    return name
