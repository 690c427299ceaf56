"""What is no store of ours, or a newer one, is refused and left byte for byte as it was."""

import sqlite3
from pathlib import Path

import pytest

from roomtasks.room.setup import SETUP
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.care import Restored, backup, check, restore
from roomtasks.store.fault import StoreFault
from roomtasks.store.layout import APPLICATION_ID, LAYOUT
from tests.store.made import a_store, as_nobody, crash_copy, for_anybody, mark_one, sums


def a_text(path: Path) -> str:
    path.write_text("tank,litres\nA1,200\n" * 40)
    return "foreign"


def an_empty_file(path: Path) -> str:
    path.touch()
    return "foreign"


def short_head(path: Path) -> str:
    path.write_bytes(b"SQLite format 3\x00" + bytes(40))
    return "foreign"


def anothers_database(path: Path) -> str:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE acts (id)")
    connection.commit()
    connection.close()
    return "foreign"


def anothers_database_in_use(path: Path) -> str:
    held = sqlite3.connect(path, isolation_level=None)
    held.execute("PRAGMA journal_mode = WAL")
    held.execute("CREATE TABLE acts (id)")
    made = crash_copy(path, path.parent / "copy")
    held.close()
    path.unlink()
    for file in made.parent.iterdir():
        file.rename(path.parent / file.name)
    made.parent.rmdir()
    return "foreign"


def a_newer_layout(path: Path) -> str:
    connection = sqlite3.connect(a_store(path.parent), isolation_level=None)
    connection.execute(f"PRAGMA user_version = {LAYOUT + 1}")
    connection.close()
    return "newer"


def a_newer_layout_in_the_log_only(path: Path) -> str:
    """The file's head still says today's layout; the log has the step to the next."""
    held = sqlite3.connect(a_store(path.parent / "old"), isolation_level=None)
    held.execute(f"PRAGMA user_version = {LAYOUT + 1}")
    crash_copy(path.parent / "old" / "room.db", path.parent)
    held.close()
    for file in (path.parent / "old").iterdir():
        file.unlink()
    (path.parent / "old").rmdir()
    assert path.read_bytes()[60:64] == LAYOUT.to_bytes(4, "big")
    return "newer"


def no_layout(path: Path) -> str:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("CREATE TABLE acts (id)")
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.close()
    return "damaged"


FILES = (
    a_text, an_empty_file, short_head, anothers_database, anothers_database_in_use,
    a_newer_layout, a_newer_layout_in_the_log_only, no_layout,
)  # fmt: skip


@pytest.mark.parametrize("make", FILES)
def test_refused_and_unchanged(tmp_path: Path, make: object) -> None:
    assert callable(make)
    folder = tmp_path / "room"
    folder.mkdir()
    path = folder / "room.db"
    sort = make(path)
    before = sums(folder)
    for look in (Store.open, lambda p: backup(p, tmp_path / "copy.db")):
        with pytest.raises(StoreFault) as told:
            look(path)
        assert told.value.sort == sort
        assert sums(folder) == before
    if sort != "damaged":
        with pytest.raises(StoreFault):
            check(path)
    else:
        assert not check(path).whole
    good = a_store(tmp_path / "good", acts=1)
    with pytest.raises(StoreFault):
        restore(path, good)
    assert sums(folder) == before
    assert not (tmp_path / "copy.db").exists()


def test_an_empty_file_is_said_to_be_empty_and_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "room.db"
    path.touch()
    for look in (Store.open, check):
        with pytest.raises(StoreFault, match="it is an empty file") as told:
            look(path)
        assert "remove it" in told.value.remedy
        assert "--room" in told.value.remedy
    with pytest.raises(StoreFault, match="something here already"):
        Store.create(path)
    assert path.stat().st_size == 0
    copy = backup(a_store(tmp_path / "good", acts=2), tmp_path / "copy.db")
    assert isinstance(copy, Path)
    put_back = restore(copy, path)
    assert isinstance(put_back, Restored)
    assert check(path).acts == 2
    path.unlink()
    with Store.create(path) as store:
        assert read.rows(store, SETUP) == []


def test_an_emptied_store_with_its_log_is_damaged(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room", acts=1)) as store:
        mark_one(store)
        cut = crash_copy(store.path, tmp_path / "cut")
    cut.write_bytes(b"")
    before = sums(cut.parent)
    with pytest.raises(StoreFault, match="-wal beside it holds acts") as told:
        Store.open(cut)
    assert told.value.sort == "damaged"
    assert sums(cut.parent) == before


def test_a_log_older_than_the_head_is_no_reason_to_refuse(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path)) as store:
        mark_one(store)
        copy = crash_copy(store.path, tmp_path / "cut")
    with Store.open(copy) as again:
        assert again.connection.execute("SELECT count(*) FROM acts").fetchone() == (1,)


def test_an_absent_store_is_told_and_not_made(tmp_path: Path) -> None:
    with pytest.raises(StoreFault, match="no room here yet"):
        Store.open(tmp_path / "room.db")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_may_not_be_written_is_told_at_once(tmp_path: Path) -> None:
    path = a_store(tmp_path / "open", acts=1)
    for_anybody(path.parent)
    path.chmod(0o444)
    path.parent.chmod(0o555)

    def tries() -> str:
        try:
            with Store.open(path) as store:
                mark_one(store)
        except StoreFault as fault:
            return f"{fault.sort}: {fault.what}; {fault.remedy}"
        return "written"

    said = as_nobody(tries)
    path.parent.chmod(0o755)
    assert said.split(":")[0] in ("read-only", "unreadable"), said
    assert "written" in said
    assert said != "written"
    assert check(path).acts == 1
    assert sorted(file.name for file in path.parent.iterdir()) == ["room.db"]


def test_a_file_in_a_writable_folder_that_may_not_be_written(tmp_path: Path) -> None:
    path = a_store(tmp_path / "open", acts=1)
    for_anybody(tmp_path)
    path.parent.chmod(0o777)
    path.chmod(0o444)
    before = path.read_bytes()

    def tries() -> str:
        try:
            with Store.open(path) as store:
                mark_one(store)
        except StoreFault as fault:
            return fault.sort
        return "written"

    assert as_nobody(tries) == "read-only"
    assert path.read_bytes() == before
