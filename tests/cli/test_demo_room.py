"""The demo room: looked at in its own time, never written to."""

from pathlib import Path

import pytest

from roomtasks.work import demo
from roomtasks.work.transfer import export_folder
from tests.cli.conftest import Ask
from tests.rooms import small_room, store_with


def test_the_demo_opens_at_its_own_time(say: Ask) -> None:
    folder = demo.demo_folder()
    assert folder is not None
    opens_at = next(
        line.split('"')[1]
        for line in (folder / "room.toml").read_text("utf-8").splitlines()
        if line.startswith("demo_opens_at")
    )
    walk = say("walk", "--demo", "--json")
    assert walk.status == 0
    assert walk.json["at"].startswith(opens_at)
    assert walk.json["stops"]


def test_at_wins_over_the_demos_own_time(say: Ask) -> None:
    said = say("walk", "--demo", "--at", "2027-05-20T08:00", "--json")
    assert said.json["day"] == "2027-05-20"


def test_looking_twice_gives_the_same_bytes(say: Ask) -> None:
    assert say("--demo", "walk", "--json").out == say("--demo", "walk", "--json").out


def test_marking_in_the_demo_works_and_is_not_kept(say: Ask) -> None:
    before = say("walk", "--demo", "--json")
    name = before.json["stops"][0]["id"]
    marked = say("done", name, "--demo")
    assert marked.status == 0
    assert "nothing is kept" in marked.err
    assert say("walk", "--demo", "--json").out == before.out


def test_a_changed_demo_folder_is_read_anew_and_the_old_store_forgotten(
    say: Ask, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with store_with(tmp_path, small_room()) as made:
        export_folder(made, tmp_path / "demo")
    monkeypatch.setattr(demo, "demo_folder", lambda: tmp_path / "demo")
    assert say("walk", "--demo", "--on", "2027-03-06", "--json").json["room"] == "Small room"
    setup = tmp_path / "demo" / "room.toml"
    setup.write_text(setup.read_text("utf-8").replace("Small room", "Another room"), "utf-8")
    assert say("walk", "--demo", "--on", "2027-03-06", "--json").json["room"] == "Another room"
    assert len(list(home.rglob("demo-*.sqlite"))) == 1


def test_every_looking_command_has_a_demo(say: Ask) -> None:
    code = say("racks", "--demo", "--json").json["racks"][0]["tanks"][0]["tank"]
    for words in (
        ("tank", code),
        ("shared", code),
        ("racks",),
        ("jobs",),
        ("journal",),
        ("check",),
    ):
        said = say(*words, "--demo")
        assert said.status == 0
        assert max(len(line) for line in said.out.splitlines()) <= 60


def test_a_demo_that_is_not_there_is_said(say: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(demo, "demo_folder", lambda: None)
    said = say("walk", "--demo")
    assert (said.status, "not part of this installation" in said.err) == (2, True)


def test_a_faulty_demo_is_said(say: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "room.toml").write_text("[room]\n", "utf-8")
    monkeypatch.setattr(demo, "demo_folder", lambda: tmp_path / "demo")
    said = say("walk", "--demo")
    assert (said.status, "room.toml" in said.err) == (2, True)


def test_a_cache_that_cannot_be_written_is_said(
    say: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("x")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    said = say("walk", "--demo")
    assert (said.status, "could not be laid down" in said.err) == (3, True)
    assert "Traceback" not in said.err
