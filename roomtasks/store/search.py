"""Looking things up in the journal: acts, marks, events and readings of one place."""

from datetime import date
from typing import Any

from roomtasks.room.journal import (
    ACTS,
    CHANGES,
    EVENTS,
    MARKS,
    READINGS,
    Act,
    Change,
    Event,
    Mark,
    Reading,
)
from roomtasks.room.vessel import VESSEL_STEPS, VesselStep
from roomtasks.store.base import Store
from roomtasks.store.read import rows


def acts(
    store: Store, *, text: str = "", before: int | None = None, most: int = 200,
    day: date | None = None,
) -> list[Act]:  # fmt: skip
    """Acts, newest first, whose words or doer hold the text."""
    clauses, args = ["1"], list[Any]()
    if text:
        pattern = "%" + text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_") + "%"
        clauses.append("(\"words\" LIKE ? ESCAPE '\\' OR \"who\" LIKE ? ESCAPE '\\')")
        args += [pattern, pattern]
    if before is not None:
        clauses.append('"id" < ?')
        args.append(before)
    if day is not None:
        clauses.append('"day" = ?')
        args.append(str(day))
    where = f'WHERE {" AND ".join(clauses)} ORDER BY "id" DESC LIMIT ?'
    return rows(store, ACTS, where, [*args, most])


def act(store: Store, number: int) -> Act | None:
    """One act by its number."""
    found = rows(store, ACTS, 'WHERE "id" = ?', (number,))
    return found[0] if found else None


def undone(store: Store, numbers: list[int]) -> dict[int, int]:
    """Of these acts, those taken back, with the act that did it."""
    marks = ",".join("?" for _ in numbers)
    with store.guarded():
        found = store.connection.execute(
            f'SELECT "undoes", "id" FROM "acts" WHERE "undoes" IN ({marks})', numbers
        )
        return dict(found.fetchall())


_DEPTH = """
(WITH RECURSIVE up("id", "depth") AS (
  SELECT a."id", 0 UNION ALL
  SELECT x."undoes", "depth" + 1 FROM up JOIN "acts" AS x ON x."id" = up."id"
  WHERE x."undoes" IS NOT NULL) SELECT max("depth") FROM up)
"""


def last_standing(store: Store, who: str | None = None) -> Act | None:
    """The newest act in force: not taken back, and no taking back, but for one of those."""
    by = 'AND a."who" = ?' if who is not None else ""
    found = rows(
        store, ACTS,
        'WHERE "id" = (SELECT a."id" FROM "acts" AS a WHERE NOT EXISTS '
        '(SELECT 1 FROM "acts" AS u WHERE u."undoes" = a."id") '
        f'AND {_DEPTH} % 2 = 0 {by} ORDER BY a."id" DESC LIMIT 1)',
        () if who is None else (who,),
    )  # fmt: skip
    return found[0] if found else None


def changes_of(store: Store, act_number: int) -> list[Change]:
    """The rows an act changed, in order."""
    return rows(store, CHANGES, 'WHERE "act" = ? ORDER BY "n"', (act_number,))


def changes_after(store: Store, sheet: str, key: str, act_number: int) -> list[Change]:
    """What acts after this one did to a row, in order."""
    return rows(
        store, CHANGES, 'WHERE "sheet" = ? AND "key" = ? AND "act" > ? ORDER BY "act", "n"',
        (sheet, key, act_number),
    )  # fmt: skip


_CHAIN = """
WITH RECURSIVE up("id", "undoes") AS (
  SELECT "id", "undoes" FROM "acts" WHERE "id" = ?
  UNION ALL SELECT a."id", a."undoes" FROM up JOIN "acts" AS a ON a."id" = up."undoes"),
down("id") AS (
  SELECT min("id") FROM up
  UNION ALL SELECT a."id" FROM down JOIN "acts" AS a ON a."undoes" = down."id")
SELECT "id" FROM down ORDER BY "id"
"""


def chain(store: Store, number: int) -> list[int]:
    """An act with what took it back, what put it in force again and so on, oldest first."""
    with store.guarded():
        return [row[0] for row in store.connection.execute(_CHAIN, (number,))]


def taken_back(store: Store) -> dict[int, int]:
    """Every act that was taken back, with the act that did it."""
    with store.guarded():
        return dict(
            store.connection.execute(
                'SELECT "undoes", "id" FROM "acts" WHERE "undoes" IS NOT NULL'
            ).fetchall()
        )


def changes_of_sheet(store: Store, sheet: str) -> list[tuple[Act, Change]]:
    """Every change to a sheet, in order, each with its act."""
    changes = rows(store, CHANGES, 'WHERE "sheet" = ? ORDER BY "act", "n"', (sheet,))
    found = rows(
        store, ACTS, 'WHERE "id" IN (SELECT "act" FROM "changes" WHERE "sheet" = ?)', (sheet,)
    )
    by_number = {act.id: act for act in found}
    return [(by_number[row.act], row) for row in changes if row.act in by_number]


def later_mark(store: Store, mark: Mark) -> Mark | None:
    """A newer mark of the same job at the same target."""
    found = rows(
        store, MARKS,
        'WHERE "job" = ? AND "target" = ? AND "id" > ? ORDER BY "id" DESC LIMIT 1',
        (mark.job, mark.target, mark.id),
    )  # fmt: skip
    return found[0] if found else None


def later_step(store: Store, step: VesselStep) -> VesselStep | None:
    """A newer step at the same reservoir."""
    found = rows(
        store, VESSEL_STEPS, 'WHERE "reservoir" = ? AND "id" > ? ORDER BY "id" DESC LIMIT 1',
        (step.reservoir, step.id),
    )  # fmt: skip
    return found[0] if found else None


def marks_at(store: Store, targets: list[str], most: int = 20) -> list[Mark]:
    """The newest marks at these targets."""
    marks = ",".join("?" for _ in targets)
    return rows(
        store, MARKS, f'WHERE "target" IN ({marks}) ORDER BY "id" DESC LIMIT ?', [*targets, most]
    )


def events_at(store: Store, targets: list[str], most: int = 20) -> list[Event]:
    """The newest events at these targets."""
    marks = ",".join("?" for _ in targets)
    return rows(
        store, EVENTS, f'WHERE "target" IN ({marks}) ORDER BY "day" DESC, "id" DESC LIMIT ?',
        [*targets, most],
    )  # fmt: skip


def readings_at(store: Store, targets: list[str]) -> list[Reading]:
    """The newest reading of each sort at these targets."""
    marks = ",".join("?" for _ in targets)
    return rows(
        store, READINGS,
        f'AS r WHERE "target" IN ({marks}) AND "id" = (SELECT "id" FROM "readings" AS n WHERE '
        'n."target" = r."target" AND n."what" = r."what" '
        'ORDER BY n."day" DESC, n."id" DESC LIMIT 1) ORDER BY "what"',
        targets,
    )  # fmt: skip
