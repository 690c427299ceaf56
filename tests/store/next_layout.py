"""Writes the newest, not yet released step of the store's layout from the sheets of the room.

    python -m tests.store.next_layout

The frozen steps before it are run, what the sheets ask for beyond that is
written as the step LAYOUT, and its frozen copy beside the tests with it; what
the store needs for itself in that step is in `OWN`. A
step that has been released is never written again: raise LAYOUT first.
"""

import sqlite3
from pathlib import Path

import roomtasks.store.layout as layout
from roomtasks.room.column import to_plain
from roomtasks.room.room import SHEETS

FROZEN = Path(__file__).parent / "layouts"
OURS = Path(layout.__file__).parent / "layouts"
OWN = {
    2: """\
CREATE TABLE "stamp" (
  "one" INTEGER NOT NULL DEFAULT 1 PRIMARY KEY CHECK ("one" = 1),
  "stamp" TEXT NOT NULL
) STRICT;

INSERT INTO "stamp" ("stamp")
VALUES ('stamp-' || lower(hex(randomblob(16))) || '-000000000000');
"""
}


def step_from(number: int) -> str:
    """The SQL that brings layout `number` to what the sheets ask for."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    for step in range(1, number + 1):
        connection.executescript((FROZEN / f"{step:04d}.sql").read_text("utf-8"))
    parts = []
    for sheet, table in zip(SHEETS, layout.table_sql(), strict=True):
        had = {row[1] for row in connection.execute(f'PRAGMA table_info("{sheet.name}")')}
        if not had:
            parts.append(table)
            continue
        lines = dict(line.strip().rstrip(",").split(" ", 1) for line in table.splitlines()[1:-1])
        for name in sheet.columns:
            if name not in had:
                sort = lines[f'"{name}"']
                tail = f" DEFAULT {_sql(to_plain(sheet.defaults[name]))}" * ("NOT NULL" in sort)
                parts.append(f'ALTER TABLE "{sheet.name}" ADD COLUMN "{name}" {sort}{tail}')
    connection.close()
    return ";\n\n".join(parts) + ";\n"


def _sql(value: str | int | float | None) -> str:
    if isinstance(value, str):
        return "'" + value.replace("'", "''") + "'"
    return repr(value)


if __name__ == "__main__":
    text = step_from(layout.LAYOUT - 1)
    if layout.LAYOUT in OWN:
        text += "\n" + OWN[layout.LAYOUT]
    for folder in (FROZEN, OURS):
        (folder / f"{layout.LAYOUT:04d}.sql").write_text(text, "utf-8")
