"""`check`, `backup` and `restore` from the command line."""

import sqlite3
from pathlib import Path

import pytest

from tests.cli.conftest import Ask


def test_a_whole_store_is_said_to_be(ask: Ask) -> None:
    ask("done", "check")
    said = ask("check")
    assert (said.status, ": whole, " in said.flat) == (0, True)
    document = ask("check", "--json").json
    assert (document["whole"], document["acts"], document["problems"]) == (True, 1, [])


def test_a_damaged_store_ends_with_3(ask: Ask, store: Path) -> None:
    data = bytearray(store.read_bytes())
    page = int.from_bytes(data[16:18], "big")
    for number in range(3, 30):
        data[number * page : number * page + 64] = b"\xa5" * 64
    store.write_bytes(bytes(data))
    said = ask("check")
    assert said.status == 3
    assert "Traceback" not in said.err
    assert "restore" in said.out + said.err


def test_a_backup_is_a_room_of_its_own(ask: Ask, say: Ask, tmp_path: Path) -> None:
    ask("done", "check")
    copy = tmp_path / "copy.db"
    said = ask("backup", str(copy), "--json")
    assert (said.status, said.json["backup"]) == (0, str(copy))
    assert say("-r", str(copy), "journal", "--json").json["acts"][0]["act"] == 1


def test_a_backup_writes_over_nothing_unasked(ask: Ask, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    copy.write_text("mine")
    said = ask("backup", str(copy))
    assert (said.status, said.out) == (2, "")
    assert copy.read_text() == "mine"
    assert ask("backup", str(copy), "--overwrite").status == 0


@pytest.mark.parametrize("name", ["room.db", "room.db-wal"])
def test_a_backup_onto_the_store_itself_is_refused(ask: Ask, store: Path, name: str) -> None:
    said = ask("backup", str(store.with_name(name)), "--overwrite")
    assert said.status == 2
    assert ask("walk").status == 0


def test_a_restore_puts_back_and_keeps_what_was_there(ask: Ask, say: Ask, tmp_path: Path) -> None:
    ask("done", "check")
    ask("backup", str(tmp_path / "copy.db"))
    ask("done", "look@A1")
    said = ask("restore", str(tmp_path / "copy.db"), "--json")
    assert (said.status, said.json["acts"]) == (0, 1)
    kept = Path(said.json["kept"])
    assert len(say("-r", str(kept), "journal", "--json").json["acts"]) == 2
    assert len(ask("journal", "--json").json["acts"]) == 1


def test_what_is_no_backup_is_not_put_back(ask: Ask, store: Path, tmp_path: Path) -> None:
    diary = tmp_path / "diary.txt"
    diary.write_text("dear diary")
    before = store.read_bytes()
    assert ask("restore", str(diary)).status == 3
    assert store.read_bytes() == before


def test_a_restore_where_there_was_no_store(ask: Ask, say: Ask, tmp_path: Path) -> None:
    ask("backup", str(tmp_path / "copy.db"))
    fresh = tmp_path / "fresh.db"
    said = say("-r", str(fresh), "restore", str(tmp_path / "copy.db"), "--json")
    assert (said.status, said.json["kept"]) == (0, None)
    assert say("-r", str(fresh), "walk").status == 0


def test_a_held_store_is_a_fault_of_the_store(
    ask: Ask, store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("roomtasks.store.care.WAIT_SECONDS", 0.05)
    ask("backup", str(tmp_path / "copy.db"))
    other = sqlite3.connect(store, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    said = ask("restore", str(tmp_path / "copy.db"), "--json")
    assert (said.status, said.json["problem"]["store_fault"]) == (3, "locked")
    other.execute("ROLLBACK")
    other.close()


def test_an_absent_store_cannot_be_checked(say: Ask, tmp_path: Path) -> None:
    for words in (("check",), ("backup", str(tmp_path / "b.db"))):
        assert say("-r", str(tmp_path / "none.db"), *words).status == 3
