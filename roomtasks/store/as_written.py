"""Whether a store's rows and its journal are as the program wrote them.

A row that an act touched must stand as the newest change left it; a row that
no act touched is held to the seal of its sheet; the journal itself is held to
the seals of its acts. Read-only.
"""

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from roomtasks.room.column import Sheet, shown
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.store.seal import (
    NO_SEAL,
    SEALED_BY_ACT,
    act_seal,
    acts_with_changes,
    plain_rows,
    row_sum,
)

FROM_BACKUP = "run 'roomtasks restore FILE' with your newest backup"


def rows_as_written(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Rows that are not as the journal, or the room put in, left them. Raises sqlite3.Error."""
    bases = {
        sheet: (act, int.from_bytes(seal, "big"))
        for sheet, act, seal in connection.execute('SELECT "sheet", "act", "seal" FROM "bases"')
    }
    sums = {name: total for name, (_, total) in bases.items()}
    named: set[str] = set()
    for touched in _touched(connection, {name: act for name, (act, _) in bases.items()}):
        sheet = SHEET.get(touched.sheet)
        if sheet is None:
            continue
        told = _against(connection, sheet, touched)
        if told is not None:
            named.add(sheet.name)
            yield told
        for text in (touched.before, touched.after):
            plain = _row(sheet, text)
            if plain is not None and plain.keys() == sheet.columns.keys():
                sums[sheet.name] = sums.get(sheet.name, 0) ^ row_sum(sheet, plain)
    for sheet in SHEETS:
        if sheet.name in SEALED_BY_ACT or sheet.name in named:
            continue
        total = sums.get(sheet.name, 0)
        for plain in plain_rows(connection, sheet):
            total ^= row_sum(sheet, plain)
        if total:
            yield Problem(
                sheet.name, "a row that no act touched is not as it was put in", FROM_BACKUP
            )


def acts_as_written(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Acts whose line or changes do not fit their seal, or that have none. Raises sqlite3.Error."""
    seals = iter(connection.execute('SELECT "act", "seal" FROM "seals" ORDER BY "act"'))
    sealed = next(seals, None)
    before, last = NO_SEAL, 0
    for act, changes in acts_with_changes(connection):
        while sealed is not None and sealed[0] < act[0]:
            yield _gone(sealed[0])
            sealed = next(seals, None)
        if sealed is None or sealed[0] != act[0]:
            yield Problem(f"act {act[0]}", "it has no seal", FROM_BACKUP)
            before = NO_SEAL
            continue
        chained = before if act[0] == last + 1 else NO_SEAL
        if act_seal(chained, act, changes) != sealed[1]:
            yield Problem(
                f"act {act[0]}", "its line or its changes are not as they were written",
                FROM_BACKUP,
            )  # fmt: skip
        before, last = bytes(sealed[1]), act[0]
        sealed = next(seals, None)
    while sealed is not None:
        yield _gone(sealed[0])
        sealed = next(seals, None)


def _gone(act: int) -> Problem:
    return Problem(f"act {act}", "it is missing from the journal", FROM_BACKUP)


@dataclass(frozen=True, slots=True)
class _Touched:
    """A row that acts touched since the room was put in: as it was before, and after."""

    sheet: str
    key: str
    act: int
    before: str
    after: str


def _touched(connection: sqlite3.Connection, since: dict[str, int]) -> Iterator[_Touched]:
    last: _Touched | None = None
    for name, key, act, before, after in connection.execute(
        'SELECT "sheet", "key", "act", "before", "after" FROM "changes" '
        'ORDER BY "sheet", "key", "act", "n"'
    ):
        if act <= since.get(name, 0):
            continue
        if last is not None and (last.sheet, last.key) == (name, key):
            before = last.before
        elif last is not None:
            yield last
        last = _Touched(name, key, act, before, after)
    if last is not None:
        yield last


def _object(text: str) -> dict[str, Any] | None:
    if not text:
        return None
    try:
        found = json.loads(text)
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


def _row(sheet: Sheet[Any], text: str) -> dict[str, Any] | None:
    """A row as the journal keeps it, with the columns that were added since."""
    found = _object(text)
    return None if found is None else sheet.filled(found)


def _against(
    connection: sqlite3.Connection, sheet: Sheet[Any], touched: _Touched
) -> Problem | None:
    """What tells a row from what the newest act wrote there, None if nothing does."""
    try:
        parts = json.loads(touched.key)
    except ValueError:
        parts = None
    written = _row(sheet, touched.after)
    if not _is_key(parts, sheet) or (touched.after and written is None):
        return Problem("changes", f"what act {touched.act} wrote cannot be read", FROM_BACKUP)
    clause = " AND ".join(f'"{part}" = ?' for part in sheet.key) or '"one" = 1'
    wanted = ", ".join(f'"{name}"' for name in sheet.columns)
    row = connection.execute(f'SELECT {wanted} FROM "{sheet.name}" WHERE {clause}', parts)
    found = row.fetchone()
    stands = dict(zip(sheet.columns, found, strict=True)) if found is not None else None
    if stands == written:
        return None
    where = f"{sheet.name}, {' '.join(shown(str(part)) for part in parts)}".rstrip(", ")
    if stands is None or written is None:
        what = "is missing" if stands is None else "stands, though it was taken away"
        return Problem(where, f"the row {what}: act {touched.act} says otherwise", FROM_BACKUP)
    columns = [name for name in sheet.columns if stands[name] != written.get(name)]
    return Problem(where, f"{', '.join(columns)} is not as act {touched.act} wrote it", FROM_BACKUP)


def _is_key(parts: Any, sheet: Sheet[Any]) -> bool:
    return (
        isinstance(parts, list)
        and len(parts) == len(sheet.key)
        and all(isinstance(part, str | int | float) for part in parts)
    )
