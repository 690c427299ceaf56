"""Writing a store: one act of the keeper, whole or absent.

`act` opens the one write transaction, hands out a `Writer`, and at the end
writes the act's line and every row it changed, before and after. Rows are
written through sqlite-utils inside that transaction, never outside it.
"""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from roomtasks.room.column import Sheet, to_plain
from roomtasks.room.journal import ACTS, CHANGES, Act, Change
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.store.base import Store
from roomtasks.store.read import one_row
from roomtasks.store.seal import add_seal, seal_all

if TYPE_CHECKING:
    from sqlite_utils import Database
    from sqlite_utils.db import Table

NUMBERED = tuple(sheet.name for sheet in SHEETS if sheet.key == ("id",) and sheet is not ACTS)


class Abandon(Exception):
    """Raised inside an act to leave the store as it was."""


@dataclass
class Writer:
    """Rows of one act. `words` is the sentence of the journal, set before the end."""

    store: Store
    id: int
    database: "Database"
    words: str = ""
    verb: str = ""
    undoes: int | None = None
    changes: list[Change] = field(default_factory=list)

    def put(self, sheet: str, value: Any) -> None:
        """Write one row, new or changed, and note what was there."""
        spec = SHEET[sheet]
        key = [to_plain(part) for part in spec.key_of(value)]
        before, after = self._plain(spec, key), spec.plain(value)
        if before == after:
            return
        if before is None:
            self._table(sheet).insert(after)
        else:
            self._where(spec, key, after)
        self._note(sheet, key, before, after)

    def remove(self, sheet: str, key: Sequence[Any]) -> None:
        """Take one row away, and note what was there."""
        spec = SHEET[sheet]
        plain = [to_plain(part) for part in key]
        before = self._plain(spec, plain)
        if before is None:
            return
        clause = " AND ".join(f'"{name}" = ?' for name in spec.key) or '"one" = 1'
        self._table(sheet).delete_where(clause, plain)
        self._note(sheet, plain, before, None)

    def next_id(self, sheet: str) -> int:
        """The next free number of a numbered sheet, never one used before."""
        found = self.store.connection.execute(
            'INSERT INTO "numbers" ("sheet", "last") VALUES (?, 1) '
            'ON CONFLICT ("sheet") DO UPDATE SET "last" = "last" + 1 RETURNING "last"',
            (sheet,),
        ).fetchall()
        number: int = found[0][0]
        return number

    def _table(self, sheet: str) -> "Table":
        return self.database.table(sheet)

    def _plain(self, spec: Sheet[Any], key: Sequence[Any]) -> dict[str, Any] | None:
        value = one_row(self.store, spec, key)
        return None if value is None else spec.plain(value)

    def _where(self, spec: Sheet[Any], key: Sequence[Any], after: dict[str, Any]) -> None:
        if spec.key:
            changed = {name: value for name, value in after.items() if name not in spec.key}
            self._table(spec.name).update(list(key), changed)
        else:
            self._table(spec.name).update(1, after)

    def _note(
        self, sheet: str, key: Sequence[Any], before: dict[str, Any] | None,
        after: dict[str, Any] | None,
    ) -> None:  # fmt: skip
        self.changes.append(
            Change(
                act=self.id, n=len(self.changes), sheet=sheet, key=as_json(list(key)),
                before=as_json(before) if before is not None else "",
                after=as_json(after) if after is not None else "",
            )
        )  # fmt: skip


def as_json(value: Any) -> str:
    """JSON with one way of writing, so that rows can be compared as text."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


@contextmanager
def act(store: Store, at: datetime, day: date, who: str, verb: str) -> Iterator[Writer]:
    """One act. Nothing is written if it changed no row or `Abandon` was raised."""
    from sqlite_utils import Database

    try:
        with store.transaction() as connection:
            newest: int = connection.execute(
                'SELECT coalesce(max("id"), 0) FROM "acts"'
            ).fetchone()[0]
            writer = Writer(store, newest + 1, Database(connection), verb=verb)
            yield writer
            if not writer.changes:
                raise Abandon
            line = Act(
                id=writer.id, at=at, day=day, who=who, verb=writer.verb, words=writer.words,
                undoes=writer.undoes,
            )  # fmt: skip
            written = ACTS.plain(line)
            changes = [CHANGES.plain(row) for row in writer.changes]
            writer.database.table("acts").insert(written)
            writer.database.table("changes").insert_all(changes)
            add_seal(connection, list(written.values()), [list(row.values()) for row in changes])
    except Abandon:
        return


def replace_all(
    store: Store, sheets: dict[str, list[Any]], first: Callable[[], None] | None = None
) -> None:
    """Put a whole room in place of what the store holds, in one transaction.

    `first` is called with nobody else able to write; what it raises leaves the
    store as it was.
    """
    with store.transaction() as connection:
        if first is not None:
            first()
        for sheet in SHEETS:
            connection.execute(f'DELETE FROM "{sheet.name}"')
        for sheet in SHEETS:
            values = sheets.get(sheet.name, [])
            names = ", ".join(f'"{name}"' for name in sheet.columns)
            marks = ", ".join("?" for _ in sheet.columns)
            connection.executemany(
                f'INSERT INTO "{sheet.name}" ({names}) VALUES ({marks})',
                (tuple(sheet.plain(value).values()) for value in values),
            )
        connection.execute('DELETE FROM "numbers"')
        for name in NUMBERED:
            connection.execute(
                'INSERT INTO "numbers" SELECT ?1, max(coalesce((SELECT max("id") FROM '
                f'"{name}"), 0), coalesce((SELECT max("key" ->> 0) FROM "changes" '
                'WHERE "sheet" = ?1), 0))',
                (name,),
            )
        seal_all(connection)
