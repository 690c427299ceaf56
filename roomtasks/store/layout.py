"""The layouts of the store, one numbered step each, and how a store is brought up to date.

A step and its number commit together. A released step is never edited: a
change of the facts is a new step, and a test compares the newest layout with
the sheets of the room.
"""

import re
import sqlite3
from functools import cache
from importlib import resources

APPLICATION_ID = 0x52544B53
LAYOUT = 2


def steps() -> list[str]:
    """The SQL of every step, oldest first."""
    folder = resources.files("roomtasks.store") / "layouts"
    return [(folder / f"{number:04d}.sql").read_text("utf-8") for number in range(1, LAYOUT + 1)]


_ADDED = re.compile(r'^ALTER TABLE "(\w+)" ADD COLUMN "(\w+)"', re.MULTILINE)


@cache
def added() -> dict[str, frozenset[str]]:
    """The columns of each table that a later step added; the others are as old as their table."""
    found: dict[str, set[str]] = {}
    for sql in steps():
        for table, column in _ADDED.findall(sql):
            found.setdefault(table, set()).add(column)
    return {table: frozenset(columns) for table, columns in found.items()}


def bring_up_to_date(connection: sqlite3.Connection) -> int:
    """Run the steps a store lacks; gives the number it had. One transaction a step."""
    had: int = connection.execute("PRAGMA user_version").fetchone()[0]
    if had >= LAYOUT:
        return had
    for number, sql in enumerate(steps()[had:], start=had + 1):
        connection.execute("BEGIN IMMEDIATE")
        try:
            now: int = connection.execute("PRAGMA user_version").fetchone()[0]
            if now < number:
                for statement in sql.split(";\n"):
                    if statement.strip():
                        connection.execute(statement)
                connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        finally:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
    return had


def table_sql() -> list[str]:
    """The tables the sheets of the room ask for today, as CREATE statements."""
    from roomtasks.room.room import SHEETS

    sorts = {"int": "INTEGER", "yesno": "INTEGER", "number": "REAL"}
    made = []
    for sheet in SHEETS:
        lines = []
        for name, spec in sheet.columns.items():
            blank = spec.optional and sheet.defaults[name] is None
            null = "" if blank else " NOT NULL"
            lines.append(f'  "{name}" {sorts.get(spec.kind, "TEXT")}{null}')
        if not sheet.key:
            lines.append('  "one" INTEGER NOT NULL DEFAULT 1 PRIMARY KEY CHECK ("one" = 1)')
        else:
            keys = ", ".join(f'"{name}"' for name in sheet.key)
            lines.append(f"  PRIMARY KEY ({keys})")
        made.append(f'CREATE TABLE "{sheet.name}" (\n' + ",\n".join(lines) + "\n) STRICT")
    return made
