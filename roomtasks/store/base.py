"""The one connection to a store: how it is opened, set, and written.

Every connection is WAL with synchronous FULL; every write is one BEGIN
IMMEDIATE transaction, through `Store.writing` alone, and COMMIT has returned
(so the act is on the disk) before anybody is told. Nothing is created by
opening: a new store is made whole beside its place and then named.
"""

import errno
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from tempfile import mkstemp

from roomtasks.store.fault import PROGRAMMERS, StoreFault, fault_of
from roomtasks.store.first_look import beside, left_over, look_first, tables_read
from roomtasks.store.layout import LAYOUT, bring_up_to_date
from roomtasks.store.stamp import count_on
from roomtasks.store.watch import Watch

WAIT_SECONDS = 5.0


class Store:
    """An open store. Use from one thread. Reading and writing live in `read` and `write`."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.connection = connection
        self._files = {file: _file_number(file) for file in (path, *beside(path))}
        self._watch = Watch(path, connection)

    @classmethod
    def open(cls, path: Path, *, wait_seconds: float = WAIT_SECONDS) -> "Store":
        """Open an existing store and bring its layout up to date. Raises StoreFault."""
        look_first(path)
        try:
            with ExitStack() as unless_done:
                connection = connect(path, wait_seconds)
                unless_done.callback(connection.close)
                had = bring_up_to_date(connection)
                set_durable(connection)
                if had < LAYOUT:
                    connection.execute("PRAGMA wal_checkpoint").fetchone()
                unless_done.pop_all()
        except sqlite3.Error as error:
            raise fault_of(error, path) from error
        return cls(path, connection)

    @classmethod
    def create(
        cls, path: Path, *, wait_seconds: float = WAIT_SECONDS,
        fill: "Callable[[Store], None] | None" = None,
    ) -> "Store":  # fmt: skip
        """Make a new store, whole before it has its name. Raises StoreFault, if one is there too.

        `fill` writes its first facts before it is named, so that a room is
        whole or absent.
        """
        if left_over(path) is not None:
            look_first(path)
        try:
            make_folder(path.parent)
            handle, name = mkstemp(prefix=".roomtasks-", suffix=".new", dir=path.parent)
            os.close(handle)
        except OSError as error:
            raise _not_made(path, error) from error
        made = Path(name)
        try:
            with closing(sqlite3.connect(made, isolation_level=None)) as connection:
                bring_up_to_date(connection)
                if fill is not None:
                    fill(cls(made, connection))
                set_durable(connection)
            sync(made)
            give_name(made, path)
        except FileExistsError:
            raise StoreFault(
                "exists", path, "there is something here already",
                "it was left as it is; open it, or name another place with --room",
            ) from None  # fmt: skip
        except sqlite3.Error as error:
            raise fault_of(error, path) from error
        except OSError as error:
            raise _not_made(path, error) from error
        finally:
            for file in (made, *beside(made), Path(f"{made}-journal")):
                file.unlink(missing_ok=True)
        return cls.open(path, wait_seconds=wait_seconds)

    def close(self) -> None:
        """Close it, with what its log holds carried over, but never into another store."""
        with suppress(StoreFault):
            self.still_there()
        if self._watch.overwritten:
            self.connection.interrupt()
        self.connection.close()

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def version(self) -> int:
        """A number that changes when another connection has committed."""
        with self.guarded():
            number: int = self.connection.execute("PRAGMA data_version").fetchone()[0]
        return number

    def still_there(self) -> None:
        """Raise StoreFault if the file at the path, or what is in it, is not what was opened."""
        for file, number in self._files.items():
            if number is not None and _file_number(file) != number:
                whole = file == self.path
                kept = self._watch.log_put_aside() if whole else ""
                raise StoreFault(
                    "vanished", self.path,
                    f"{'the store' if whole else file.name} was moved, deleted or "
                    f"replaced while in use{kept}",
                    "nothing was changed; put the file back, or leave and open again",
                )  # fmt: skip
            if file == self.path:
                self._watch.look()

    @contextmanager
    def guarded(self) -> Iterator[None]:
        """SQLite errors inside become StoreFault, but for those that are the program's own."""
        try:
            yield
        except PROGRAMMERS:
            raise
        except sqlite3.Error as error:
            raise fault_of(error, self.path) from error

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One picture of the store for several reads."""
        with self.guarded():
            if self.connection.in_transaction:
                yield self.connection
                return
            self.connection.execute("BEGIN")
            try:
                yield self.connection
            finally:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """The one way of committing: BEGIN IMMEDIATE, then COMMIT or nothing.

        The place is looked at again under the lock, since a restore may have
        put another file there while this one waited, and once more before
        COMMIT. Raises RuntimeError inside another transaction.
        """
        if self.connection.in_transaction:
            raise RuntimeError("one act was begun inside another")
        self.still_there()
        with self.guarded():
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                self.still_there()
                yield self.connection
                count_on(self.connection)
                self.still_there()
                self.connection.execute("COMMIT")
            finally:
                with suppress(sqlite3.Error):
                    if self.connection.in_transaction:
                        self.connection.execute("ROLLBACK")


def connect(path: Path, wait_seconds: float) -> sqlite3.Connection:
    """A connection with every setting that is not kept in the file."""
    connection = sqlite3.connect(path.absolute(), timeout=wait_seconds, isolation_level=None)
    with ExitStack() as unless_done:
        unless_done.callback(connection.close)
        tables_read(connection)
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        unless_done.pop_all()
    return connection


def set_durable(connection: sqlite3.Connection) -> None:
    """WAL, and FULL again after it; where the disk bears no WAL, EXTRA, which it then needs."""
    mode: str = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    connection.execute(f"PRAGMA synchronous = {'FULL' if mode == 'wal' else 'EXTRA'}")


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, each known to the disk. Raises OSError."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for made in reversed(missing):
        sync(made.parent)


_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK)


def give_name(made: Path, path: Path) -> None:
    """Name a synced file that must not take another's name. Raises FileExistsError, OSError."""
    try:
        os.link(made, path)
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        made.replace(path)
    sync(path.parent)


def sync(path: Path) -> None:
    """Flush a file or a folder to the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _file_number(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _not_made(path: Path, error: OSError) -> StoreFault:
    return StoreFault(
        "unreadable", path, f"the store could not be made ({error.strerror})",
        "look at the folder, or name another with --room",
    )  # fmt: skip
