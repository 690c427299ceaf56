"""A room as the program of layout 1 left it, and an upgrade that is killed on its way.

`layouts/room_1.sql` is its store, with acts of every sort in the journal, and
`layouts/folder_1` a smaller room of the same program, exported. Both were
written by that program and are never made anew.
"""

import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from textwrap import dedent

FIXTURES = Path(__file__).parent / "layouts"
FOLDER_1 = FIXTURES / "folder_1"
ROOM_1 = FIXTURES / "room_1.sql"
Rows = dict[str, list[dict[str, object]]]


def a_room_1(folder: Path) -> Path:
    """The store of layout 1, closed, in the mode that program left it in."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "room.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.executescript(ROOM_1.read_text("utf-8"))
        connection.execute("PRAGMA journal_mode = WAL")
    path.chmod(0o600)
    return path


def rows_at(path: Path) -> Rows:
    """Every row of every table as it lies, by a bare connection."""
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        tables = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        return {
            name: [dict(row) for row in connection.execute(f'SELECT * FROM "{name}" ORDER BY 1, 2')]
            for (name,) in tables.fetchall()
        }


def layout_of(path: Path) -> int:
    """The number of its layout, by a bare connection."""
    with closing(sqlite3.connect(path)) as connection:
        number: int = connection.execute("PRAGMA user_version").fetchone()[0]
    return number


_KILLED = dedent(
    """
    import os, signal, sys
    from pathlib import Path
    from roomtasks.store import first_look, layout
    from roomtasks.store.base import Store
    path, kept, many = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    steps, sql = layout.steps()[:kept], sys.stdin.read()
    layout.LAYOUT = first_look.LAYOUT = kept + 1
    class Step(str):
        def split(self, *told):
            parts = sql.split(*told)
            for number, part in enumerate(parts):
                if number == many:
                    os.kill(os.getpid(), signal.SIGKILL)
                yield part
            os.kill(os.getpid(), signal.SIGKILL)
    layout.steps = lambda: [*steps, Step()]
    Store.open(path)
    """
)


def killed_upgrade(path: Path, kept: int, step: str, many: int) -> None:
    """Open a store of layout `kept`; the program is killed after so many statements of a step."""
    ended = subprocess.run(
        [sys.executable, "-c", _KILLED, str(path), str(kept), str(many)],
        input=step, text=True, timeout=30, check=False,
    )  # fmt: skip
    if ended.returncode != -signal.SIGKILL:
        raise AssertionError(f"it ended by itself, with {ended.returncode}")
