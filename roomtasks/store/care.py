"""Care of a store: is it whole, a copy of it, and a copy put back.

A copy is written under a passing name in the folder where it will stand,
synced, looked through, and only then named, so that a power cut leaves the old
file or the new one. Does not live here: what a whole store is (`sound`), and
the words of the command line.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkstemp

from roomtasks.room.problem import Problem
from roomtasks.store.base import WAIT_SECONDS, connect, give_name, make_folder, set_durable, sync
from roomtasks.store.fault import StoreFault, fault_of
from roomtasks.store.first_look import beside, is_database, look_first, peeked
from roomtasks.store.layout import bring_up_to_date
from roomtasks.store.sound import Findings, look_through
from roomtasks.store.stamp import renew

__all__ = ["Findings", "Restored", "backup", "check", "restore"]

TRIES = 3


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore put in place: `acts` in its journal, the newest entered `newest_at`.

    `kept` is the file that was replaced, under its new name; None where there
    was none.
    """

    path: Path
    kept: Path | None
    acts: int
    newest_at: str

    def sentence(self) -> str:
        """One line for a person."""
        newest = f", the newest of {self.newest_at[:16].replace('T', ' ')}" if self.acts else ""
        kept = f"; what stood there is kept as {self.kept}" if self.kept else ""
        many = "1 act" if self.acts == 1 else f"{self.acts:,} acts"
        return f"{self.path}: put back, with {many}{newest}{kept}"


def check(path: Path) -> Findings:
    """Look a whole store through, page by page and row by row; nothing is written.

    Raises StoreFault where there is no store of ours to look at, or it cannot
    be read at all.
    """
    found: Findings | None = None
    damage: list[Problem] = []
    try:
        look_first(path)
    except StoreFault as fault:
        if fault.sort != "damaged":
            raise
        damage.append(Problem("the file", fault.what, fault.remedy))
    try:
        found = peeked(path, lambda connection: look_through(connection, path))
    except sqlite3.Error as error:
        told = fault_of(error, path)
        if told.sort != "damaged":
            raise told from error
        damage.append(Problem("the file", told.what, told.remedy))
    rows, acts = (found.rows, found.acts) if found is not None else (0, 0)
    if found is not None:
        damage += found.damage
    return Findings(path, tuple(damage), found.rules if found is not None else (), rows, acts)


def backup(store_path: Path, to: Path, overwrite: bool = False) -> Path | Problem:
    """Copy a store to a file of its own, also while it is in use; gives the file.

    A Problem where `to` stands already (unless `overwrite`), cannot be written,
    or the copy is not whole. Raises StoreFault where the store cannot be read.
    """
    look_first(store_path)
    target = to.expanduser().absolute()
    refusal = _target_refused(store_path, target, overwrite)
    if refusal is not None:
        return refusal
    try:
        with _made_beside(target) as made:
            copied = _copy(store_path, made)
            if isinstance(copied, Problem):
                return copied
            sync(made)
            if overwrite:
                made.replace(target)
                sync(target.parent)
            else:
                give_name(made, target)
    except FileExistsError:
        return _stands(target)
    except OSError as error:
        return _cannot_write(target, error)
    return target


def restore(backup: Path, path: Path) -> Restored | Problem:
    """Put a backup in the place of a store, and keep what it replaces beside it.

    The backup is looked through first. A Problem where it is not whole, or
    another program is writing to the store. Raises StoreFault where the backup
    is no store of ours.
    """
    look_first(backup)
    source, target = backup.absolute(), path.resolve()
    if target.exists() and os.path.samefile(source, target):
        return Problem(str(backup), "it is the store itself", "name a backup of it")
    if target.is_dir() or _anothers(target):
        return Problem(
            str(path), "this is a folder or belongs to another program",
            "it was left as it is; name another place with --room",
        )  # fmt: skip
    try:
        with _made_beside(target) as made:
            copied = _copy(source, made)
            if isinstance(copied, Problem):
                return copied
            with closing(sqlite3.connect(made, isolation_level=None)) as new:
                set_durable(new)
            told = _journal_of(made)
            sync(made)
            kept = _put_in_place(made, target)
            if isinstance(kept, Problem):
                return kept
    except OSError as error:
        return _cannot_write(target, error)
    return Restored(path, kept, *told)


def _target_refused(store_path: Path, target: Path, overwrite: bool) -> Problem | None:
    if target.is_dir():
        return Problem(str(target), "it is a folder", "name a file in it")
    store = store_path.absolute()
    own = {store, *beside(store), Path(f"{store}-journal")}
    same = target.exists() and any(one.exists() and os.path.samefile(one, target) for one in own)
    if same or target in own:
        return Problem(str(target), "it belongs to the store itself", "name another file")
    if target.exists() and not overwrite:
        return _stands(target)
    if any(Path(f"{target}{end}").exists() for end in ("-wal", "-journal")):
        return Problem(
            str(target), "another program has this file open, or was stopped while it had",
            "name another file",
        )  # fmt: skip
    return None


def _stands(target: Path) -> Problem:
    return Problem(
        str(target), "there is something here already", "name another file, or say --overwrite"
    )


def _cannot_write(target: Path, error: OSError) -> Problem:
    return Problem(
        str(target), f"it could not be written ({error.strerror or error})",
        "nothing was changed; make room, or name another place",
    )  # fmt: skip


@contextmanager
def _made_beside(target: Path) -> Iterator[Path]:
    """A passing file of its owner's in the folder of `target`, gone afterwards."""
    make_folder(target.parent)
    handle, name = mkstemp(prefix=".roomtasks-", suffix=".new", dir=target.parent)
    os.close(handle)
    made = Path(name)
    try:
        yield made
    finally:
        for end in ("", "-journal", "-wal", "-shm"):
            Path(f"{made}{end}").unlink(missing_ok=True)


def _copy(source: Path, made: Path) -> Problem | None:
    """Copy a store into one file in today's layout, and look the copy through."""
    try:
        found = peeked(source, lambda old: _copy_from(old, source, made))
    except sqlite3.Error as error:
        raise fault_of(error, source) from error
    if isinstance(found, Problem):
        return found
    if not found.damage:
        return None
    first = found.damage[0].sentence()
    more = f" ({len(found.damage) - 1} more)" if len(found.damage) > 1 else ""
    return Problem(
        str(source), f"it is not whole, so it was not copied: {first}{more}",
        f"'roomtasks check --room {source}' names every fault",
    )  # fmt: skip


def _copy_from(old: sqlite3.Connection, source: Path, made: Path) -> Findings | Problem:
    old.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    try:
        with closing(sqlite3.connect(made, isolation_level=None)) as new:
            old.backup(new)
            new.execute("PRAGMA journal_mode = DELETE")
            bring_up_to_date(new)
            new.execute("PRAGMA query_only = ON")
            found = look_through(new, source)
            new.execute("PRAGMA query_only = OFF")
            renew(new)
            return found
    except sqlite3.Error as error:
        fault = fault_of(error, source)
        apart = fault.sort in ("full", "read-only", "unreadable")
        return Problem(str(made.parent if apart else source), fault.what, fault.remedy)


def _journal_of(made: Path) -> tuple[int, str]:
    found = peeked(
        made, lambda copy: copy.execute('SELECT count(*), max("at") FROM "acts"').fetchone()
    )
    return int(found[0]), found[1] or ""


def _put_in_place(made: Path, target: Path) -> Path | Problem | None:
    """Name the new file; what stood there is kept whole under another name first."""
    if not target.exists():
        left = _left_over(target)
        if left is not None:
            return left
        give_name(made, target)
        return None
    with closing(_lock_for_swap(target)) as held:
        if held.problem is not None:
            return held.problem
        kept = _free_name(target)
        wal, index = beside(target)
        if wal.exists() and wal.stat().st_size:
            _keep(wal, beside(kept)[0])
        _keep(target, kept)
        sync(target.parent)
        wal.unlink(missing_ok=True)
        index.unlink(missing_ok=True)
        made.replace(target)
        sync(target.parent)
    return kept


def _anothers(target: Path) -> bool:
    """Whether another program's database stands there: never put away, whatever was asked."""
    try:
        look_first(target)
    except StoreFault as fault:
        return fault.sort == "foreign" and is_database(target)
    return False


def _keep(file: Path, name: Path) -> None:
    """A second name for what is about to be replaced; its only one where links are not known."""
    try:
        os.link(file, name)
    except OSError:
        file.rename(name)


def _left_over(target: Path) -> Problem | None:
    """A log without its store must never be read into another store."""
    wal = beside(target)[0]
    if wal.exists() and wal.stat().st_size:
        return Problem(
            str(wal), "it is left over from a store that is gone",
            "move it away (it may hold the newest acts), then restore again",
        )  # fmt: skip
    return None


class _Held:
    """The write lock of the store that is to be replaced, or why it is not held."""

    def __init__(self, connection: sqlite3.Connection | None, problem: Problem | None) -> None:
        self._connection, self.problem = connection, problem

    def close(self) -> None:
        if self._connection is not None:
            with suppress(sqlite3.Error):
                self._connection.close()


def _lock_for_swap(target: Path) -> _Held:
    """Hold the write lock with all of the log in the file; a damaged file is not locked."""
    busy = Problem(
        str(target), "another program is using the store and did not finish",
        "nothing was changed; close the other programs and try again", "locked",
    )  # fmt: skip
    try:
        look_first(target)
        connection = connect(target, WAIT_SECONDS)
    except (StoreFault, sqlite3.Error):
        return _Held(None, None)
    try:
        for _ in range(TRIES):
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            connection.execute("BEGIN IMMEDIATE")
            wal = beside(target)[0]
            if not wal.exists() or not wal.stat().st_size:
                return _Held(connection, None)
            connection.execute("ROLLBACK")
    except sqlite3.Error as error:
        if fault_of(error, target).sort == "locked":
            connection.close()
            return _Held(None, busy)
        return _Held(connection, None)
    connection.close()
    return _Held(None, busy)


def _free_name(target: Path) -> Path:
    """A name beside the store that nothing has."""
    number = 1
    while True:
        name = target.with_name(f"{target.stem}.replaced-{number}{target.suffix}")
        if not name.exists() and not beside(name)[0].exists():
            return name
        number += 1
