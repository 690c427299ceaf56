"""The stamp of a store: which file it is, and how often it was written.

A store gets a random name when it is made, a copy of it another; every
transaction counts on. So a log holds the stamp of the store it was written
for, and what lies in the file is never behind what lay there before: anything
else is another store, or an older copy, that came over this one. Does not live
here: who looks, and when (`first_look`, `base`).
"""

import re
import sqlite3
from dataclasses import dataclass

_WRITTEN = re.compile(rb"stamp-([0-9a-f]{32})-([0-9]{12})")


@dataclass(frozen=True, slots=True)
class Stamp:
    """The name of a store's file, and the number of transactions written to it."""

    name: str
    written: int


def stamp_of(connection: sqlite3.Connection) -> Stamp | None:
    """The stamp a connection shows, None where there is none. Raises sqlite3.Error."""
    if not connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'stamp'").fetchone():
        return None
    row = connection.execute('SELECT "stamp" FROM "stamp"').fetchone()
    found = _stamps(str(row[0]).encode()) if row is not None else []
    return found[0] if found else None


def count_on(connection: sqlite3.Connection) -> None:
    """One transaction more, inside it."""
    connection.execute(
        'UPDATE "stamp" SET "stamp" = substr("stamp", 1, 39) '
        "|| printf('%012d', substr(\"stamp\", 40) + 1)"
    )


def renew(connection: sqlite3.Connection) -> None:
    """Give the file of a copy a name of its own."""
    connection.execute(
        "UPDATE \"stamp\" SET \"stamp\" = 'stamp-' || lower(hex(randomblob(16))) || '-000000000000'"
    )


def fits(log: bytes, stamp: Stamp) -> bool:
    """Whether a log may be read into the file of this stamp; one without any stamp may.

    The log of another store names another. That of a newer file of the same
    name begins further on than this file was written.
    """
    found = _stamps(log)
    own = [one.written for one in found if one.name == stamp.name]
    return not found or (bool(own) and min(own) <= stamp.written + 1)


def holds(log: bytes, stamp: Stamp) -> bool:
    """Whether a log was written for the store of this name."""
    return any(one.name == stamp.name for one in _stamps(log))


def _stamps(content: bytes) -> list[Stamp]:
    return [
        Stamp(name.decode(), int(written)) for name, written in _WRITTEN.findall(content)
    ]  # fmt: skip
