"""Layouts: today's is what the sheets ask for, and every released one is brought up to date."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from roomtasks.room.column import to_plain
from roomtasks.room.journal import ACTS, CHANGES
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.store import layout
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from roomtasks.store.fault import StoreFault
from roomtasks.store.layout import APPLICATION_ID, LAYOUT, added, steps, table_sql
from tests.store.made import a_store, crash_copy, everything
from tests.store.room_1 import killed_upgrade, layout_of

RELEASED = Path(__file__).parent / "layouts"
NEXT = LAYOUT + 1
STEP = "\n".join(
    [
        'CREATE TABLE "second" ("a" INTEGER NOT NULL) STRICT;',
        'INSERT INTO "second" SELECT "id" FROM "acts";',
        'ALTER TABLE "racks" ADD COLUMN "colour" TEXT NOT NULL DEFAULT \'\';',
    ]
)


def _columns(connection: sqlite3.Connection, table: str) -> set[tuple[str, str, int, int]]:
    """Name, type, whether never blank, and place in the key, of each column."""
    found = connection.execute(f'PRAGMA table_info("{table}")')
    return {(name, sort, never, key) for _, name, sort, never, _, key in found}


def test_a_fresh_store_has_the_tables_the_sheets_ask_for(tmp_path: Path) -> None:
    """A column that a step added stands at the end of its table: their order is not compared."""
    Store.create(tmp_path / "room.db").close()
    with (
        closing(sqlite3.connect(tmp_path / "room.db")) as found,
        closing(sqlite3.connect(":memory:")) as wanted,
    ):
        for sql in table_sql():
            wanted.execute(sql)
        strict = {row[1] for row in found.execute("PRAGMA table_list") if row[5]}
        for sheet in SHEETS:
            assert _columns(found, sheet.name) == _columns(wanted, sheet.name), sheet.name
            assert sheet.name in strict


def test_a_column_that_was_added_holds_in_old_rows_what_it_holds_where_left_blank() -> None:
    """The seals lean on it: what holds the default is as if the column were not there."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        layout.bring_up_to_date(fresh)
        for table in sorted(added().keys() & SHEET.keys()):
            sheet = SHEET[table]
            for _, name, _, _, default, _ in fresh.execute(f'PRAGMA table_info("{table}")'):
                if name in added()[table]:
                    held = fresh.execute(f"SELECT {default or 'NULL'}").fetchone()[0]
                    assert sheet.columns[name].optional, (table, name)
                    assert held == to_plain(sheet.defaults[name]), (table, name)


def test_the_columns_a_table_began_with_stand_in_the_order_of_its_sheet() -> None:
    """Sums of rows go by that order, so a sheet whose columns change places loses its seal."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        layout.bring_up_to_date(fresh)
        for sheet in SHEETS:
            since = added().get(sheet.name, frozenset())
            stand = [row[1] for row in fresh.execute(f'PRAGMA table_info("{sheet.name}")')]
            first = [name for name in stand if name not in since and name != "one"]
            assert first == [name for name in sheet.columns if name not in since], sheet.name


def test_no_column_was_ever_added_to_what_the_seals_of_acts_are_over() -> None:
    assert not added().keys() & {ACTS.name, CHANGES.name}


def test_a_released_step_is_never_edited() -> None:
    """The frozen copies beside this test: today's steps, letter for letter."""
    frozen = sorted(RELEASED.glob("[0-9]*.sql"))
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


def _with_a_step_more(monkeypatch: pytest.MonkeyPatch) -> None:
    today = steps()
    monkeypatch.setattr(layout, "LAYOUT", NEXT)
    monkeypatch.setattr("roomtasks.store.first_look.LAYOUT", NEXT)
    monkeypatch.setattr("roomtasks.store.sound.LAYOUT", NEXT)
    monkeypatch.setattr(layout, "steps", lambda: [*today, STEP])


def test_a_step_keeps_every_fact_and_is_taken_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path, acts=3)
    with Store.open(path) as store:
        before = everything(store)
    _with_a_step_more(monkeypatch)
    for _ in range(2):
        with Store.open(path) as store:
            assert store.connection.execute("PRAGMA user_version").fetchone() == (NEXT,)
            assert store.connection.execute('SELECT count(*) FROM "second"').fetchone() == (3,)
            assert everything(store) == before


def test_an_older_copy_is_looked_through_and_copied_in_todays_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path / "room", acts=3)
    _with_a_step_more(monkeypatch)
    assert check(path).damage == ()
    assert layout_of(path) == LAYOUT
    copy = backup(path, tmp_path / "copy.db")
    assert isinstance(copy, Path)
    assert layout_of(copy) == NEXT


def test_a_program_of_yesterday_refuses_the_new_layout_in_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path / "room", acts=3)
    with (
        monkeypatch.context() as newer,
        closing(sqlite3.connect(path, isolation_level=None)) as held,
    ):
        _with_a_step_more(newer)
        layout.bring_up_to_date(held)
        cut = crash_copy(path, tmp_path / "cut")
    assert cut.read_bytes()[60:64] == LAYOUT.to_bytes(4, "big")
    with pytest.raises(StoreFault, match="newer"):
        Store.open(cut)
    assert sorted(file.name for file in cut.parent.iterdir()) == ["room.db", "room.db-wal"]


@pytest.mark.parametrize("many", range(4))
def test_a_step_killed_in_the_middle_is_whole_before(
    tmp_path: Path, many: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path, acts=3)
    with Store.open(path) as store:
        before = everything(store)
    killed_upgrade(path, LAYOUT, STEP, many)
    with Store.open(path) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone() == (LAYOUT,)
        assert everything(store) == before
    assert check(path).whole
    _with_a_step_more(monkeypatch)
    with Store.open(path) as store:
        assert everything(store) == before
        assert store.connection.execute("PRAGMA user_version").fetchone() == (NEXT,)
