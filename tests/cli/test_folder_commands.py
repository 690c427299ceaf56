"""`import` and `export`: both ways without loss, all or nothing, nothing written over unasked."""

import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.room import SHEETS
from roomtasks.store import care
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.store.read import rows
from roomtasks.work import transfer
from tests.cli.conftest import SATURDAY, Ask
from tests.rooms import small_room, store_with


@pytest.fixture
def folder(ask: Ask, tmp_path: Path) -> Path:
    """The small room as a folder, with a morning in its journal."""
    ask("done", "check", "look@A1", "--note", "=cmd() \u202e[red]")
    ask("move", "young-calvus", "3", "A3")
    ask("undo")
    made = tmp_path / "folder"
    assert ask("export", str(made)).status == 0
    return made


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def dump(store: Path) -> dict[str, list[Any]]:
    """Every fact of a store, by sheet."""
    with Store.open(store) as opened:
        return {sheet.name: rows(opened, sheet) for sheet in SHEETS}


def test_there_and_back_gives_the_same_room_and_files(
    say: Ask, store: Path, folder: Path, tmp_path: Path
) -> None:
    again = tmp_path / "again.db"
    taken = say("-r", str(again), "import", str(folder), "--json")
    assert (taken.status, taken.json["changed"], taken.json["room"]) == (0, True, "Small room")
    assert taken.json["rows"]["acts"] == 3
    assert dump(again) == dump(store)
    assert say("-r", str(again), "export", str(tmp_path / "second")).status == 0
    assert files(tmp_path / "second") == files(folder)


def test_an_import_says_what_it_took(say: Ask, folder: Path, tmp_path: Path) -> None:
    said = say("-r", str(tmp_path / "n.db"), "import", str(folder))
    assert "10 tanks" in said.flat
    assert "13 jobs" in said.flat


def test_a_room_is_not_replaced_unasked(say: Ask, store: Path, folder: Path) -> None:
    before = dump(store)
    said = say("-r", str(store), "import", str(folder), "--json")
    assert (said.status, said.json["problem"]["rule"]) == (1, "would-replace")
    assert dump(store) == before


def test_a_replaced_room_is_kept_beside_the_store(
    say: Ask, ask: Ask, store: Path, folder: Path
) -> None:
    ask("done", "look@B1")
    before = dump(store)
    said = say("-r", str(store), "import", str(folder), "--replace")
    assert said.status == 0
    kept = store.with_name("room.replaced-1.db")
    assert f"the room that was there is kept in {kept}" in said.err
    assert dump(kept) == before
    assert dump(store) != before
    assert say("-r", str(store), "import", str(folder), "--replace", "--json").json["kept"] == str(
        store.with_name("room.replaced-2.db")
    )


def test_an_empty_store_takes_a_room(say: Ask, folder: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.db"
    Store.create(bare).close()
    said = say("-r", str(bare), "import", str(folder), "--json")
    assert (said.status, said.json["kept"]) == (0, None)


def test_every_fault_is_told_with_file_and_line_and_nothing_is_made(
    say: Ask, folder: Path, tmp_path: Path
) -> None:
    jobs = folder / "jobs.csv"
    lines = jobs.read_text("utf-8").splitlines(keepends=True)
    lines[2] = lines[2].replace("every 7 days", "every now and then")
    lines[4] = lines[4].replace(",check,", ",chekc,")
    jobs.write_text("".join(lines), "utf-8")
    path = tmp_path / "never.db"
    said = say("-r", str(path), "import", str(folder))
    assert (said.status, said.out) == (2, "")
    told = said.err.splitlines()
    assert any(line.startswith("jobs.csv:3: column rule: ") for line in told)
    assert any(line.startswith("jobs.csv:5: column kind: ") for line in told)
    assert told[-1] == "roomtasks: nothing was taken over: 2 to settle first"
    assert not path.exists()
    document = say("-r", str(path), "import", str(folder), "--json").json
    assert (document["changed"], len(document["faults"])) == (False, 2)
    assert (document["faults"][0]["file"], document["faults"][0]["line"]) == ("jobs.csv", 3)


def test_a_faulty_folder_leaves_a_room_alone(say: Ask, store: Path, folder: Path) -> None:
    (folder / "tanks.csv").write_bytes(b"\xff\xfe\x00")
    before = dump(store)
    assert say("-r", str(store), "import", str(folder), "--replace").status == 2
    assert dump(store) == before
    assert not store.with_name("room.replaced-1.db").exists()


def test_hostile_faults_are_harmless(say: Ask, folder: Path, tmp_path: Path) -> None:
    (folder / "racks.csv").write_text("code,name,path\n\x1b[2J,x,1\n", "utf-8")
    said = say("-r", str(tmp_path / "n.db"), "import", str(folder))
    assert said.status == 2
    assert "\x1b" not in said.err


def test_a_folder_that_is_none(say: Ask, tmp_path: Path) -> None:
    said = say("-r", str(tmp_path / "n.db"), "import", str(tmp_path / "nowhere"))
    assert said.status == 2
    assert "nowhere" in said.err


def test_export_does_not_write_over_a_room_unasked(ask: Ask, folder: Path) -> None:
    before = files(folder)
    ask("done", "look@B2")
    said = ask("export", str(folder))
    assert (said.status, said.out) == (2, "")
    assert files(folder) == before
    assert ask("export", str(folder), "--overwrite").status == 0
    assert files(folder) != before


def test_an_import_that_breaks_off_makes_no_store(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise StoreFault("full", "x", "there is no room left", "make room")

    monkeypatch.setattr(transfer, "replace_all", full)
    with pytest.raises(StoreFault):
        transfer.import_folder(folder, tmp_path / "half" / "n.db")
    assert list((tmp_path / "half").iterdir()) == []


def test_an_act_between_look_and_replacement_is_in_the_copy(
    say: Ask, store: Path, folder: Path
) -> None:
    """The copy is made under the write lock, so nothing can be marked between the two."""

    def slow(path: Path, to: Path) -> object:
        other = sqlite3.connect(path, isolation_level=None, timeout=0.05)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
        other.close()
        return care.backup(path, to)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(transfer, "backup", slow)
        assert say("-r", str(store), "import", str(folder), "--replace").status == 0
    assert say("-r", str(store), "walk", "--at", SATURDAY).status == 0


def test_import_into_the_demo_is_refused(say: Ask, folder: Path) -> None:
    assert say("import", str(folder), "--demo").status == 2


def test_a_room_id_that_is_blank_stays_blank(say: Ask, tmp_path: Path) -> None:
    sheets = small_room()
    sheets["setup"] = [replace(sheets["setup"][0], room_id="")]
    with store_with(tmp_path, sheets, "blank.db") as made:
        path = made.path
    say("-r", str(path), "export", str(tmp_path / "blank"))
    say("-r", str(tmp_path / "two.db"), "import", str(tmp_path / "blank"))
    assert dump(tmp_path / "two.db") == dump(path)
