"""Seals: short sums over what the program wrote, so that a changed byte is found.

Every act has a seal over its line, its changes and the seal before it; every
sheet has one over its rows as a whole room was last put in. They guard against
a worn card and a stray write, not against a person with a purpose. Does not
live here: what is told when one does not fit (`as_written`).
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import blake2b
from typing import Any

from roomtasks.room.column import Sheet, to_plain
from roomtasks.room.journal import ACTS, CHANGES
from roomtasks.room.room import SHEETS
from roomtasks.store import layout

SEAL_BYTES = 16
NO_SEAL = bytes(SEAL_BYTES)
SEALED_BY_ACT = (ACTS.name, CHANGES.name)
Row = Sequence[Any]
_NONE: frozenset[str] = frozenset()


def act_seal(before: bytes, act: Row, changes: Iterable[Row]) -> bytes:
    """The seal of an act: over the seal before it, its line and its changes in order.

    Rows are plain scalars in the order of the sheets' columns.
    """
    text = json.dumps([list(act), *map(list, changes)], ensure_ascii=True, separators=(",", ":"))
    return blake2b(before + text.encode("ascii"), digest_size=SEAL_BYTES).digest()


def row_sum(sheet: Sheet[Any], plain: Mapping[str, Any]) -> int:
    """The sum of one row; the sums of a sheet's rows are joined by exclusive or.

    A column that was added to its table counts only where it holds anything but
    its default, so that a sum is the same in every layout.
    """
    added = layout.added().get(sheet.name, _NONE)
    cells: list[Any] = [
        float(plain[name]) if spec.kind == "number" and plain[name] is not None else plain[name]
        for name, spec in sheet.columns.items()
        if name not in added
    ]
    for name in sorted(added & sheet.columns.keys()) if added else ():
        cell = plain[name]
        if cell != to_plain(sheet.defaults[name]):
            number = sheet.columns[name].kind == "number" and cell is not None
            cells.append([name, float(cell) if number else cell])
    text = json.dumps([sheet.name, *cells], ensure_ascii=True, separators=(",", ":"))
    return int.from_bytes(blake2b(text.encode("ascii"), digest_size=SEAL_BYTES).digest(), "big")


def newest_seal(connection: sqlite3.Connection, act: int) -> bytes:
    """The seal of an act, NO_SEAL where there is none."""
    found = connection.execute('SELECT "seal" FROM "seals" WHERE "act" = ?', (act,)).fetchone()
    return bytes(found[0]) if found is not None else NO_SEAL


def add_seal(connection: sqlite3.Connection, act: Row, changes: Iterable[Row]) -> None:
    """Seal an act that was just written, inside its transaction."""
    seal = act_seal(newest_seal(connection, act[0] - 1), act, changes)
    connection.execute('INSERT INTO "seals" ("act", "seal") VALUES (?, ?)', (act[0], seal))


def seal_all(connection: sqlite3.Connection) -> None:
    """Seal a whole room that was just put in, inside its transaction."""
    connection.execute('DELETE FROM "seals"')
    connection.execute('DELETE FROM "bases"')
    connection.executemany('INSERT INTO "seals" ("act", "seal") VALUES (?, ?)', _chain(connection))
    last: int = connection.execute('SELECT coalesce(max("id"), 0) FROM "acts"').fetchone()[0]
    for sheet in SHEETS:
        if sheet.name not in SEALED_BY_ACT:
            total = 0
            for plain in plain_rows(connection, sheet):
                total ^= row_sum(sheet, plain)
            connection.execute(
                'INSERT INTO "bases" ("sheet", "act", "seal") VALUES (?, ?, ?)',
                (sheet.name, last, total.to_bytes(SEAL_BYTES, "big")),
            )


def plain_rows(connection: sqlite3.Connection, sheet: Sheet[Any]) -> Iterator[dict[str, Any]]:
    """The rows of a sheet as they lie, in no order."""
    names = list(sheet.columns)
    wanted = ", ".join(f'"{name}"' for name in names)
    for row in connection.execute(f'SELECT {wanted} FROM "{sheet.name}"'):
        yield dict(zip(names, row, strict=True))


def acts_with_changes(connection: sqlite3.Connection) -> Iterator[tuple[Row, list[Row]]]:
    """Every act with its changes, oldest first, read side by side. Changes of no act are left."""
    changes = iter(connection.execute(_CHANGES))
    change = next(changes, None)
    for act in connection.execute(_ACTS):
        own = []
        while change is not None and change[0] <= act[0]:
            if change[0] == act[0]:
                own.append(change)
            change = next(changes, None)
        yield act, own


def _chain(connection: sqlite3.Connection) -> Iterator[tuple[int, bytes]]:
    seal, last = NO_SEAL, 0
    for act, changes in acts_with_changes(connection):
        seal = act_seal(seal if act[0] == last + 1 else NO_SEAL, act, changes)
        last = act[0]
        yield act[0], seal


def _select(sheet: Sheet[Any]) -> str:
    names = ", ".join(f'"{name}"' for name in sheet.columns)
    order = ", ".join(f'"{name}"' for name in sheet.key)
    return f'SELECT {names} FROM "{sheet.name}" ORDER BY {order}'


_ACTS, _CHANGES = _select(ACTS), _select(CHANGES)
