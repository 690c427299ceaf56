"""Copies of a store: made while it is in use, put back without losing what stood there."""

import sqlite3
import stat
from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.store import care
from roomtasks.store.base import Store
from roomtasks.store.care import Restored, backup, check, restore
from roomtasks.store.fault import StoreFault
from tests.store.made import a_store, crash_copy, everything, mark_one, sum_of, sums


def test_a_copy_made_while_in_use_holds_what_was_acknowledged(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room")) as store:
        mark_one(store)
        with Store.open(store.path) as other, other.transaction() as connection:
            connection.execute("DELETE FROM racks")
            copy = backup(store.path, tmp_path / "copy.db")
            connection.execute("ROLLBACK")
            connection.execute("BEGIN")
        assert isinstance(copy, Path)
        mark_one(store)
        with Store.open(copy) as copied:
            facts = everything(copied)
        assert len(facts["acts"]) == 1
        assert len(facts["racks"]) == 2


def test_a_copy_is_one_file_of_its_owners(tmp_path: Path) -> None:
    path = a_store(tmp_path / "room", acts=3)
    before = sums(path.parent)
    copy = backup(path, tmp_path / "copies" / "copy.db")
    assert isinstance(copy, Path)
    assert [file.name for file in copy.parent.iterdir()] == ["copy.db"]
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert check(copy).whole
    assert [file.name for file in copy.parent.iterdir()] == ["copy.db"]
    assert sums(path.parent) == before


def test_nothing_is_written_over_without_a_yes(tmp_path: Path) -> None:
    path = a_store(tmp_path / "room", acts=1)
    other = tmp_path / "copy.db"
    other.write_text("not a store")
    refused = backup(path, other)
    assert isinstance(refused, Problem)
    assert other.read_text() == "not a store"
    assert backup(path, other, overwrite=True) == other
    assert check(other).acts == 1


@pytest.mark.parametrize("end", ["", "-wal", "-shm", "-journal"])
def test_a_copy_never_goes_over_the_store_itself(tmp_path: Path, end: str) -> None:
    with Store.open(a_store(tmp_path, acts=1)) as store:
        mark_one(store)
        refused = backup(store.path, Path(f"{store.path}{end}"), overwrite=True)
        assert isinstance(refused, Problem)
        link = tmp_path / "link.db"
        link.symlink_to(store.path)
        assert isinstance(backup(store.path, link, overwrite=True), Problem)
        assert isinstance(backup(link, store.path, overwrite=True), Problem)
        assert mark_one(store) == 3


@pytest.mark.parametrize(
    "name", ["../up.db", "a folder/with blanks.db", "sub/../beside.db", "'; DROP.db", "%41?x=1.db"]
)
def test_a_copy_goes_where_it_was_named(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = a_store(tmp_path / "here" / "room", acts=1)
    (tmp_path / "here" / "sub").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    copy = backup(room, Path(name))
    assert isinstance(copy, Path)
    assert copy.samefile(tmp_path / "here" / name)
    assert check(copy).acts == 1
    restored = restore(copy, room)
    assert isinstance(restored, Restored)


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    path = a_store(tmp_path / "room")
    assert isinstance(backup(path, tmp_path, overwrite=True), Problem)
    assert isinstance(restore(path, tmp_path), Problem)


def test_no_room_for_a_copy_leaves_no_half_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_store(tmp_path / "room", acts=1)

    def full(_: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(care, "sync", full)
    refused = backup(path, tmp_path / "copies" / "copy.db")
    assert isinstance(refused, Problem)
    assert "No space left" in refused.what
    assert list((tmp_path / "copies").iterdir()) == []


def test_a_damaged_store_is_not_copied_over_a_good_copy(tmp_path: Path) -> None:
    path = a_store(tmp_path / "room", acts=2)
    copy = tmp_path / "copy.db"
    assert backup(path, copy) == copy
    before = sum_of(copy)
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("UPDATE acts SET words = '' WHERE id = 1")
    connection.close()
    refused = backup(path, copy, overwrite=True)
    assert isinstance(refused, Problem)
    assert "act 1" in refused.what
    assert sum_of(copy) == before


def test_a_restore_keeps_what_it_replaces_with_its_log(tmp_path: Path) -> None:
    old = a_store(tmp_path / "old", acts=2)
    path = a_store(tmp_path / "room", acts=4)
    with Store.open(path) as store:
        mark_one(store)
        cut = crash_copy(path, tmp_path / "cut")
    put_back = restore(old, cut)
    assert isinstance(put_back, Restored)
    assert put_back.kept is not None
    assert str(put_back.kept) in put_back.sentence()
    assert put_back.acts == check(cut).acts == 2
    assert check(put_back.kept).acts == 5
    again = restore(put_back.kept, cut)
    assert isinstance(again, Restored)
    assert again.kept not in (None, put_back.kept)
    assert check(cut).acts == 5


def test_a_restore_of_a_damaged_store_keeps_its_log_too(tmp_path: Path) -> None:
    old = a_store(tmp_path / "old", acts=2)
    with Store.open(a_store(tmp_path / "room", acts=4)) as store:
        mark_one(store)
        cut = crash_copy(store.path, tmp_path / "cut")
    log = Path(f"{cut}-wal").read_bytes()
    cut.write_bytes(b"\x00" * 200 + cut.read_bytes()[200:])
    put_back = restore(old, cut)
    assert isinstance(put_back, Restored)
    assert put_back.kept is not None
    assert Path(f"{put_back.kept}-wal").read_bytes() == log
    assert not Path(f"{cut}-wal").exists()
    assert check(cut).acts == 2


def test_a_restore_waits_for_nobody_who_is_writing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(care, "WAIT_SECONDS", 0.2)
    old = a_store(tmp_path / "old", acts=2)
    with Store.open(a_store(tmp_path / "room", acts=4)) as store:
        mark_one(store)
        with store.transaction():
            refused = restore(old, store.path)
        assert isinstance(refused, Problem)
        assert refused.rule == "locked"
        assert check(store.path).acts == 5
        assert sorted(file.name for file in store.path.parent.glob("*.db")) == ["room.db"]


def test_a_screen_left_open_over_a_restore_is_told_and_writes_nothing(tmp_path: Path) -> None:
    old = a_store(tmp_path / "old", acts=2)
    with Store.open(a_store(tmp_path / "room", acts=4)) as screen:
        mark_one(screen)
        put_back = restore(old, screen.path)
        assert isinstance(put_back, Restored)
        with Store.open(screen.path) as new:
            mark_one(new)
            with pytest.raises(StoreFault, match="replaced while in use"):
                mark_one(screen)
            screen.close()
            mark_one(new)
        assert check(screen.path).acts == 4
        assert put_back.kept is not None
        assert check(put_back.kept).acts == 5


def test_a_writer_that_waited_through_a_restore_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It looked, then waited for the lock; when it has it, another file has the name."""
    with Store.open(a_store(tmp_path / "room", acts=1)) as store:
        looks = iter([None, StoreFault("vanished", store.path, "it was replaced", "")])

        def look(_: Store) -> None:
            fault = next(looks)
            if fault is not None:
                raise fault

        with monkeypatch.context() as waited:
            waited.setattr(Store, "still_there", look)
            with pytest.raises(StoreFault, match="it was replaced"):
                mark_one(store)
        assert not store.connection.in_transaction
    assert check(store.path).acts == 1


def test_a_copy_that_is_not_whole_is_not_put_back(tmp_path: Path) -> None:
    old = a_store(tmp_path / "old", acts=2)
    old.write_bytes(old.read_bytes()[:-4096])
    path = a_store(tmp_path / "room", acts=4)
    before = sums(path.parent)
    with pytest.raises(StoreFault, match="its end is missing"):
        restore(old, path)
    connection = sqlite3.connect(a_store(tmp_path / "older", acts=2), isolation_level=None)
    connection.execute("DELETE FROM marks WHERE id = 1")
    connection.close()
    refused = restore(tmp_path / "older" / "room.db", path)
    assert isinstance(refused, Problem)
    assert "marks, 1" in refused.what
    assert sums(path.parent) == before


def test_a_restore_where_there_is_no_store_makes_one(tmp_path: Path) -> None:
    old = a_store(tmp_path / "old", acts=2)
    put_back = restore(old, tmp_path / "new" / "room.db")
    assert isinstance(put_back, Restored)
    assert put_back.kept is None
    with Store.open(put_back.path) as store:
        assert mark_one(store) == 3


def test_a_log_without_its_store_is_not_read_into_another(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room", acts=1)) as store:
        mark_one(store)
        cut = crash_copy(store.path, tmp_path / "cut")
    cut.unlink()
    refused = restore(a_store(tmp_path / "old", acts=2), cut)
    assert isinstance(refused, Problem)
    assert "left over" in refused.what
    assert not cut.exists()


def test_anothers_database_is_not_put_away(tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    connection = sqlite3.connect(other, isolation_level=None)
    connection.execute("CREATE TABLE t (a)")
    connection.close()
    before = sum_of(other)
    assert isinstance(restore(a_store(tmp_path / "old"), other), Problem)
    assert sum_of(other) == before


def test_a_disk_without_links_keeps_the_old_one_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    old, path = a_store(tmp_path / "old", acts=2), a_store(tmp_path / "room", acts=4)
    monkeypatch.setattr("os.link", no_links)
    put_back = restore(old, path)
    assert isinstance(put_back, Restored)
    assert put_back.kept is not None
    assert (check(path).acts, check(put_back.kept).acts) == (2, 4)
    assert isinstance(backup(path, tmp_path / "copy.db"), Path)
