"""The rules between rows, asked of a whole store without holding its long journal at once.

The facts of the room are few and looked at together; marks, events, readings
and changes are looked at in portions beside them. Does not live here: the
rules themselves (`room.check`).
"""

import sqlite3
from collections.abc import Iterator
from typing import Any

from roomtasks.room.check import faults
from roomtasks.room.column import Sheet
from roomtasks.room.fault import NAMED_SHEETS, Fault
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS

PORTION = 50_000
_TAKEN_AWAY = (*NAMED_SHEETS, "jobs")


def rule_faults(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Every fault between rows, in a keeper's words. Raises sqlite3.Error."""
    facts = {
        sheet.name: list(_values(connection, sheet, "")) for sheet in SHEETS if not sheet.history
    }
    if not facts["setup"]:
        return
    marks = ", ".join(f"'{name}'" for name in _TAKEN_AWAY)
    gone = list(
        _values(connection, SHEET["changes"], f'WHERE "after" = \'\' AND "sheet" IN ({marks})')
    )
    yield from _told(faults(facts), facts)
    for name in ("events", "readings", "marks"):
        for portion in _portions(connection, SHEET[name]):
            sheets = {**_places(facts), "changes": gone, name: portion}
            yield from _told([f for f in faults(sheets) if f.sheet == name], sheets)
        yield from _without_act(connection, name)
    takers = list(_values(connection, SHEET["acts"], _TAKERS))
    found = [f for f in faults({"acts": takers}) if f.sheet == "acts"]
    yield from _told(found, {"acts": takers})
    for portion in _portions(connection, SHEET["changes"]):
        acts = _acts_between(connection, portion)
        sheets = {"acts": acts, "changes": portion}
        yield from _told([f for f in faults(sheets) if f.sheet == "changes"], sheets)


def _places(facts: dict[str, list[Any]]) -> dict[str, list[Any]]:
    """The facts that a line of the journal can name."""
    return {name: facts[name] for name in _TAKEN_AWAY}


_TAKERS = """
WHERE "undoes" IS NOT NULL OR "id" IN (SELECT "undoes" FROM "acts" WHERE "undoes" IS NOT NULL)
"""


def _values(connection: sqlite3.Connection, sheet: Sheet[Any], clause: str) -> Iterator[Any]:
    names = list(sheet.columns)
    wanted = ", ".join(f'"{name}"' for name in names)
    order = ", ".join(f'"{name}"' for name in sheet.key) or '"one"'
    sql = f'SELECT {wanted} FROM "{sheet.name}" {clause} ORDER BY {order}'
    for row in connection.execute(sql):
        yield sheet.value(dict(zip(names, row, strict=True)))


def _portions(connection: sqlite3.Connection, sheet: Sheet[Any]) -> Iterator[list[Any]]:
    portion: list[Any] = []
    for value in _values(connection, sheet, ""):
        portion.append(value)
        if len(portion) == PORTION:
            yield portion
            portion = []
    if portion:
        yield portion


def _acts_between(connection: sqlite3.Connection, changes: list[Any]) -> list[Any]:
    first, last = changes[0].act, changes[-1].act
    return list(
        _values(connection, SHEET["acts"], f'WHERE "id" BETWEEN {int(first)} AND {int(last)}')
    )


def _without_act(connection: sqlite3.Connection, name: str) -> Iterator[Problem]:
    """Lines made by an act that the journal lacks, where it has any act."""
    for number, act in connection.execute(
        f'SELECT "id", "act" FROM "{name}" WHERE "act" IS NOT NULL '
        'AND "act" NOT IN (SELECT "id" FROM "acts") AND EXISTS (SELECT 1 FROM "acts")'
    ):
        yield Problem(f"{name}, {number}", f"there is no act {act} in the journal", "")


def _told(found: list[Fault], sheets: dict[str, list[Any]]) -> Iterator[Problem]:
    for fault in found:
        where = fault.sheet
        if fault.row is not None:
            spec = SHEET[fault.sheet]
            key = " ".join(str(part) for part in spec.key_of(sheets[fault.sheet][fault.row]))
            where = f"{fault.sheet}, {key}" if key else fault.sheet
        column = f"{fault.column}: " if fault.column else ""
        yield Problem(where, f"{column}{fault.found}", fault.remedy)
