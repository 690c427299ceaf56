"""Reading a store: rows into the room's values, and the pasts picked out of a long journal.

All SQL for reading stands here and in `search`. No rules: what a mark means is
the room's business.
"""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfoNotFoundError

from roomtasks.room.column import Sheet
from roomtasks.room.journal import MARKS, READINGS, Mark, Reading
from roomtasks.room.past import Past
from roomtasks.room.problem import Problem
from roomtasks.room.room import ROOM_SHEETS, SHEET, Room
from roomtasks.room.walk import RECORDED_TIMES
from roomtasks.store.base import Store
from roomtasks.store.fault import damaged

EVENT_DAYS = 400
MOST_STEPS = 500


def rows(store: Store, sheet: Sheet[Any], where: str = "", args: Sequence[Any] = ()) -> list[Any]:
    """All values of a sheet that match, in key order unless the clause orders them."""
    names = list(sheet.columns)
    order = ", ".join(f'"{name}"' for name in sheet.key) or '"one"'
    clause = where if "ORDER BY" in where else f"{where} ORDER BY {order}"
    wanted = ", ".join(f'"{name}"' for name in names)
    with store.guarded():
        found = store.connection.execute(f'SELECT {wanted} FROM "{sheet.name}" {clause}', args)
        try:
            return [sheet.value(dict(zip(names, row, strict=True))) for row in found]
        except (ValueError, TypeError) as error:
            raise damaged(store.path, f"{sheet.name}: {error}") from error


def one_row(store: Store, sheet: Sheet[Any], key: Sequence[Any]) -> Any | None:
    """The value with this key, None if there is none. Keys are plain scalars."""
    clause = " AND ".join(f'"{name}" = ?' for name in sheet.key) or '"one" = 1'
    found = rows(store, sheet, f"WHERE {clause}", key)
    return found[0] if found else None


def room(store: Store) -> Room | Problem:
    """The room as it stands; a Problem where the store holds no room yet."""
    with store.reading():
        setup = rows(store, SHEET["setup"])
        if not setup:
            return Problem(
                str(store.path), "there is no room in this store yet",
                "run 'roomtasks open' to begin one, or 'roomtasks import FOLDER'", "no-room",
            )  # fmt: skip
        facts = {name: tuple(_facts(store, name)) for name in ROOM_SHEETS}
    found = Room(setup[0], **facts)
    try:
        _ = found.zone
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise damaged(store.path, f"setup: {error}") from error
    return found


def _facts(store: Store, name: str) -> list[Any]:
    if name == "events":
        newest = store.connection.execute('SELECT max("day") FROM "events"').fetchone()[0]
        if newest is None:
            return []
        since = date.fromisoformat(newest) - timedelta(days=EVENT_DAYS)
        return rows(store, SHEET[name], 'WHERE "day" >= ? ORDER BY "day", "id"', (str(since),))
    if name == "vessel_steps":
        return rows(store, SHEET[name], f'ORDER BY "id" DESC LIMIT {MOST_STEPS}')[::-1]
    return rows(store, SHEET[name])


_CLOSING = """
SELECT t.key, m.* FROM json_each(?1) AS t JOIN "marks" AS m ON m."id" = (
  SELECT "id" FROM "marks" WHERE "job" = t.value ->> 0 AND "target" = t.value ->> 1
  AND "outcome" IN ('done', 'left-out') AND "day" < ?2 ORDER BY "day" DESC, "id" DESC LIMIT 1)
"""
_DONE = """
SELECT t.key, m.* FROM json_each(?1) AS t JOIN "marks" AS m ON m."id" = (
  SELECT "id" FROM "marks" WHERE "job" = t.value ->> 0 AND "target" = t.value ->> 1
  AND "outcome" = 'done' AND "day" < ?2 ORDER BY "day" DESC, "id" DESC LIMIT 1)
"""
_OPEN = """
SELECT t.key, m.* FROM json_each(?1) AS t JOIN "marks" AS m
  ON m."job" = t.value ->> 0 AND m."target" = t.value ->> 1
  AND m."outcome" NOT IN ('done', 'left-out') AND m."slot" > coalesce(t.value ->> 2, '')
  AND m."day" < ?2
ORDER BY m."id"
"""
_LEFT = """
SELECT t.key, count(*) FROM json_each(?1) AS t JOIN "marks" AS m
  ON m."job" = t.value ->> 0 AND m."target" = t.value ->> 1 AND m."outcome" = 'left-out'
  AND (m."day", m."id") > (coalesce(t.value ->> 2, ''), coalesce(t.value ->> 3, 0))
  AND m."day" < ?2
GROUP BY t.key
"""


def pasts(
    store: Store, tasks: Iterable[tuple[str, str]], before: date = date.max
) -> dict[tuple[str, str], Past]:  # fmt: skip
    """The pasts of these jobs at these targets, only where the journal has any mark.

    With `before`, as they were by the marks of the days before that one.
    """
    wanted = list(tasks)
    until = str(before)
    with store.reading() as connection, _readable(store):
        asked = json.dumps(wanted)
        closing = _marks(connection, _CLOSING, asked, until)
        done = {
            index: mark if mark.outcome == "done" else None for index, mark in closing.items()
        }  # fmt: skip
        again = [index for index, mark in done.items() if mark is None]
        if again:
            unclosed = json.dumps([wanted[index] for index in again])
            found = _marks(connection, _DONE, unclosed, until)
            done.update({again[index]: mark for index, mark in found.items()})
        open_marks: dict[int, list[Mark]] = {}
        slots = [
            [*task, str(closing[i].slot) if i in closing else None] for i, task in enumerate(wanted)
        ]
        for row in connection.execute(_OPEN, (json.dumps(slots), until)):
            open_marks.setdefault(row[0], []).append(_mark(row[1:]))
        left: dict[int, int] = {}
        if again:
            bounds = [_bound(wanted[index], done[index]) for index in again]
            for index, count in connection.execute(_LEFT, (json.dumps(bounds), until)):
                left[again[index]] = count
    return {
        wanted[index]: Past(
            closing.get(index), done.get(index), tuple(open_marks.get(index, ())),
            left.get(index, 0),
        )
        for index in sorted(closing.keys() | open_marks.keys())
    }  # fmt: skip


@contextmanager
def _readable(store: Store) -> Iterator[None]:
    """Marks that cannot be read are damage."""
    try:
        yield
    except (ValueError, TypeError) as error:
        raise damaged(store.path, f"marks: {error}") from error


def _bound(task: tuple[str, str], done: Mark | None) -> list[Any]:
    return [*task, str(done.day) if done else None, done.id if done else None]


_MARK_NAMES = list(MARKS.columns)


def _mark(row: Sequence[Any]) -> Mark:
    return MARKS.value(dict(zip(_MARK_NAMES, row, strict=True)))


def _marks(
    connection: sqlite3.Connection, sql: str, asked: str, until: str
) -> dict[int, Mark]:  # fmt: skip
    return {row[0]: _mark(row[1:]) for row in connection.execute(sql, (asked, until))}


_TIMES = """
SELECT t.key, (SELECT json_group_array("minutes") FROM (
  SELECT "minutes" FROM "marks" WHERE "job" = t.value ->> 0 AND "target" = t.value ->> 1
  AND "minutes" IS NOT NULL ORDER BY "id" DESC LIMIT ?2)) FROM json_each(?1) AS t
"""


def times(store: Store, tasks: Iterable[tuple[str, str]]) -> dict[tuple[str, str], list[float]]:
    """The last recorded minutes of these jobs at these targets, newest first."""
    wanted = list(tasks)
    with store.guarded():
        found = store.connection.execute(_TIMES, (json.dumps(wanted), RECORDED_TIMES))
        return {wanted[index]: json.loads(values) for index, values in found if values != "[]"}


def marks_on(store: Store, day: date) -> list[Mark]:
    """All marks of one room day, in the order they were entered."""
    return rows(store, MARKS, 'WHERE "day" = ? ORDER BY "id"', (str(day),))


_NEWEST_READINGS = """
AS r WHERE "id" IN (
  WITH RECURSIVE "sorts" ("id") AS (
    SELECT (SELECT "id" FROM "readings" ORDER BY "target", "what" LIMIT 1)
    UNION ALL
    SELECT (SELECT n."id" FROM "readings" AS n, "readings" AS s WHERE s."id" = "sorts"."id"
            AND (n."target", n."what") > (s."target", s."what")
            ORDER BY n."target", n."what" LIMIT 1)
    FROM "sorts" WHERE "sorts"."id" IS NOT NULL)
  SELECT n."id" FROM "sorts" JOIN "readings" AS s ON s."id" = "sorts"."id"
  JOIN "readings" AS n ON n."id" IN (
    SELECT "id" FROM "readings" WHERE "target" = s."target" AND "what" = s."what"
    AND "day" BETWEEN ?1 AND ?2 ORDER BY "day" DESC, "id" DESC LIMIT ?3))
ORDER BY "id"
"""


def newest_readings(
    store: Store, days: int = 400, each: int = 6, until: date | None = None
) -> list[Reading]:
    """The newest readings of each sort at each place, none older than so many days.

    The days are counted back from `until` (included), else from the newest reading.
    """
    if until is None:
        with store.guarded():
            newest = store.connection.execute('SELECT max("day") FROM "readings"').fetchone()[0]
        if newest is None:
            return []
        until = date.fromisoformat(newest)
    since = until - timedelta(days=days)
    return rows(store, READINGS, _NEWEST_READINGS, (str(since), str(until), each))


def water_marks(store: Store, since: date) -> list[Mark]:
    """Marks from this room day on that say how much water was changed or used, in order."""
    return rows(
        store, MARKS,
        "WHERE \"day\" >= ? AND \"outcome\" IN ('done', 'partly') "
        'AND ("litres" IS NOT NULL OR "fraction" IS NOT NULL) ORDER BY "day", "id"',
        (str(since),),
    )  # fmt: skip


def closing_counts(store: Store) -> dict[tuple[str, str], int]:
    """How many occurrences of each job at each target the journal has closed."""
    sql = (
        'SELECT "job", "target", count(*) FROM "marks" '
        'WHERE "outcome" IN (\'done\', \'left-out\') GROUP BY "job", "target"'
    )
    with store.guarded():
        return {(job, target): many for job, target, many in store.connection.execute(sql)}
