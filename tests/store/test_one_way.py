"""One way of committing: an act is whole or absent, and nothing is written beside it."""

import ast
import sqlite3
import stat
import threading
import time
from pathlib import Path

import pytest
from sqlite_utils import Database

import roomtasks
from roomtasks.room.rack import Rack
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.store.write import act
from tests.store.made import MORNING, TODAY, a_store, everything, mark_one

SOURCE = Path(roomtasks.__file__).parent


def test_the_librarys_batches_do_not_commit_inside_our_transaction(tmp_path: Path) -> None:
    rows = [{"sheet": f"s{n}", "last": n} for n in range(400)]
    rows[250] = {"sheet": "s250", "last": "no number"}
    with Store.open(a_store(tmp_path)) as store:
        before = store.connection.execute("SELECT count(*) FROM numbers").fetchone()
        with pytest.raises(sqlite3.IntegrityError), store.transaction() as connection:
            Database(connection).table("numbers").insert_all(rows)
        assert store.connection.execute("SELECT count(*) FROM numbers").fetchone() == before


def test_the_librarys_batches_do_commit_where_there_is_no_transaction(tmp_path: Path) -> None:
    """What the test above guards against is real."""
    rows: list[dict[str, object]] = [{"a": n} for n in range(400)]
    rows[250] = {"a": "no number"}
    connection = sqlite3.connect(tmp_path / "bare.db", isolation_level=None)
    connection.execute("CREATE TABLE t (a INTEGER) STRICT")
    with pytest.raises(sqlite3.IntegrityError):
        Database(connection).table("t").insert_all(rows)
    assert connection.execute("SELECT count(*) FROM t").fetchone() == (200,)


def _break_off(store: Store, rows: int) -> None:
    with act(store, MORNING, TODAY, "mk", "place") as writer:
        for n in range(rows):
            writer.put("racks", Rack(code=f"N{n}", name="new", path=n))
        raise KeyboardInterrupt


@pytest.mark.parametrize("rows", [1, 99, 100, 101, 250, 999])
def test_an_act_that_breaks_off_leaves_nothing(tmp_path: Path, rows: int) -> None:
    with Store.open(a_store(tmp_path, acts=2)) as store:
        before = everything(store)
        with pytest.raises(KeyboardInterrupt):
            _break_off(store, rows)
        assert everything(store) == before
        assert not store.connection.in_transaction


def test_nothing_is_written_outside_the_stores_transaction() -> None:
    """Outside the store nobody runs SQL; inside it, writing words stand in five places."""
    allowed = {f"store/{name}.py" for name in ("write", "seal", "layout", "base", "stamp")}
    care = {"store/care.py", "store/first_look.py", "store/sound.py"}
    words = ("INSERT", "UPDATE", "DELETE", "REPLACE", "CREATE", "DROP", "ALTER", "COMMIT", "BEGIN")
    found = set()
    for file in SOURCE.rglob("*.py"):
        name = file.relative_to(SOURCE).as_posix()
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            if node.func.attr not in ("execute", "executemany", "executescript", "commit"):
                continue
            if not name.startswith("store/"):
                found.add(f"{name}: {node.func.attr}")
            text = " ".join(
                part.value
                for part in ast.walk(node)
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
            )
            if any(text.lstrip().startswith(word) for word in words) and name not in allowed:
                found.add(f"{name}: {text[:40]}")
    assert found <= {f"{name}: BEGIN" for name in care} | {"store/care.py: BEGIN IMMEDIATE"}


def test_every_file_of_a_store_is_its_owners_only(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path)) as store:
        mark_one(store)
        for end in ("", "-wal", "-shm"):
            file = Path(f"{store.path}{end}")
            assert stat.S_IMODE(file.stat().st_mode) == 0o600, file.name


def test_every_connection_is_synced_in_full(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path)) as store:
        settings = {
            name: store.connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("synchronous", "journal_mode", "foreign_keys", "trusted_schema")
        }
    assert settings == {
        "synchronous": 2, "journal_mode": "wal", "foreign_keys": 1, "trusted_schema": 0,
    }  # fmt: skip


def test_a_short_lock_is_waited_for(tmp_path: Path) -> None:
    path = a_store(tmp_path)
    ready = threading.Event()

    def hold() -> None:
        with Store.open(path) as other, other.transaction():
            ready.set()
            time.sleep(0.5)

    holder = threading.Thread(target=hold)
    holder.start()
    ready.wait()
    with Store.open(path) as store:
        assert mark_one(store) == 1
    holder.join()


def test_a_long_lock_ends_in_a_clear_word_and_nothing_written(tmp_path: Path) -> None:
    path = a_store(tmp_path, acts=1)
    with Store.open(path) as other, Store.open(path, wait_seconds=0.3) as store:
        before = everything(store)
        with other.transaction():
            started = time.monotonic()
            with pytest.raises(StoreFault, match="another program is writing") as told:
                mark_one(store)
            assert 0.25 < time.monotonic() - started < 3
            assert (told.value.sort, told.value.passing) == ("locked", True)
            assert everything(store) == before
        assert mark_one(store) == 2


def test_a_new_store_is_whole_or_absent(tmp_path: Path) -> None:
    def broken(store: Store) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        Store.create(tmp_path / "deep" / "room.db", fill=broken)
    assert list((tmp_path / "deep").iterdir()) == []
    path = a_store(tmp_path / "deep")
    before = path.read_bytes()
    with pytest.raises(StoreFault, match="something here already"):
        Store.create(path)
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == ["room.db"]


def test_a_disk_without_links_gets_a_store_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As FAT, which has no second names for a file."""

    def no_links(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", no_links)
    path = a_store(tmp_path, acts=1)
    with pytest.raises(StoreFault, match="something here already"):
        Store.create(path)
    with Store.open(path) as store:
        assert mark_one(store) == 2
