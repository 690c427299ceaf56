"""Layouts: today's is what the sheets ask for, and every released one is brought up to date."""

import sqlite3
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest

from roomtasks.store import layout
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from roomtasks.store.layout import APPLICATION_ID, LAYOUT, steps, table_sql
from tests.store.made import a_store, crash_copy, everything, mark_one

RELEASED = Path(__file__).parent / "layouts"
STEP_2 = "\n".join(
    [
        'CREATE TABLE "second" ("a" INTEGER NOT NULL) STRICT;',
        'INSERT INTO "second" SELECT "id" FROM "acts";',
        'ALTER TABLE "racks" ADD COLUMN "colour" TEXT NOT NULL DEFAULT \'\';',
    ]
)


def test_a_fresh_store_has_the_tables_the_sheets_ask_for(tmp_path: Path) -> None:
    Store.create(tmp_path / "room.db").close()
    connection = sqlite3.connect(tmp_path / "room.db")
    found = {row[0] for row in connection.execute("SELECT sql FROM sqlite_schema")}
    connection.close()
    assert set(table_sql()) <= found


def test_a_released_step_is_never_edited() -> None:
    """The frozen copies beside this test: today's steps, letter for letter."""
    frozen = sorted(RELEASED.glob("*.sql"))
    assert [file.name for file in frozen] == [f"{n:04d}.sql" for n in range(1, LAYOUT + 1)]
    assert [file.read_text("utf-8") for file in frozen] == steps()


@pytest.mark.parametrize("number", range(1, LAYOUT + 1))
def test_every_released_layout_is_brought_up_to_date(tmp_path: Path, number: int) -> None:
    path = tmp_path / "room.db"
    connection = sqlite3.connect(path, isolation_level=None)
    for step in range(1, number + 1):
        connection.executescript((RELEASED / f"{step:04d}.sql").read_text("utf-8"))
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {number}")
    connection.close()
    with Store.open(path) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone() == (LAYOUT,)
    assert check(path).damage == ()


def _with_step_2(monkeypatch: pytest.MonkeyPatch) -> None:
    first = steps()
    monkeypatch.setattr(layout, "LAYOUT", 2)
    monkeypatch.setattr("roomtasks.store.first_look.LAYOUT", 2)
    monkeypatch.setattr("roomtasks.store.sound.LAYOUT", 2)
    monkeypatch.setattr(layout, "steps", lambda: [*first, STEP_2])


def test_a_step_keeps_every_fact_and_is_taken_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path, acts=3)
    with Store.open(path) as store:
        before = everything(store)
    _with_step_2(monkeypatch)
    for _ in range(2):
        with Store.open(path) as store:
            assert store.connection.execute("PRAGMA user_version").fetchone() == (2,)
            assert store.connection.execute('SELECT count(*) FROM "second"').fetchone() == (3,)
            assert everything(store) == before


def test_an_older_copy_is_looked_through_and_copied_in_todays_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path / "room", acts=3)
    _with_step_2(monkeypatch)
    assert check(path).damage == ()
    assert path.read_bytes()[60:64] == bytes((0, 0, 0, 1))
    copy = backup(path, tmp_path / "copy.db")
    assert isinstance(copy, Path)
    assert copy.read_bytes()[60:64] == bytes((0, 0, 0, 2))


def test_a_program_of_yesterday_refuses_the_new_layout_in_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path / "room", acts=3)
    with monkeypatch.context() as newer:
        _with_step_2(newer)
        with Store.open(path) as store:
            mark_one(store)
            cut = crash_copy(path, tmp_path / "cut")
    assert cut.read_bytes()[60:64] == bytes((0, 0, 0, 1))
    with pytest.raises(layout_fault(), match="newer"):
        Store.open(cut)
    assert sorted(file.name for file in cut.parent.iterdir()) == ["room.db", "room.db-wal"]


def layout_fault() -> type[Exception]:
    from roomtasks.store.fault import StoreFault

    return StoreFault


KILLED = dedent(
    """
    import os, signal, sqlite3, sys
    from pathlib import Path
    from roomtasks.store import layout, first_look
    from roomtasks.store.base import Store
    first, many = layout.steps(), int(sys.argv[2])
    lines = sys.stdin.read().split(";\\n")
    layout.LAYOUT = first_look.LAYOUT = 2
    class Step(str):
        def split(self, *_):
            for number, line in enumerate(lines):
                if number == many:
                    os.kill(os.getpid(), signal.SIGKILL)
                yield line
            if many >= len(lines):
                os.kill(os.getpid(), signal.SIGKILL)
    layout.steps = lambda: [*first, Step()]
    Store.open(Path(sys.argv[1]))
    """
)


@pytest.mark.parametrize("many", range(4))
def test_a_step_killed_in_the_middle_is_whole_before(
    tmp_path: Path, many: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path, acts=3)
    with Store.open(path) as store:
        before = everything(store)
    ended = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), str(many)],
        input=STEP_2, text=True, timeout=30, check=False,
    )  # fmt: skip
    assert ended.returncode == -9
    with Store.open(path) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone() == (1,)
        assert everything(store) == before
    assert check(path).whole
    _with_step_2(monkeypatch)
    with Store.open(path) as store:
        assert everything(store) == before
        assert store.connection.execute("PRAGMA user_version").fetchone() == (2,)
