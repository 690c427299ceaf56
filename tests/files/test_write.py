"""Writing a folder: never over a file without a yes, never outside it, whole or not at all."""

import errno
import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from roomtasks.files import write_folder
from roomtasks.room.problem import Problem
from roomtasks.room.rack import Rack
from tests.files.folders import (
    bytes_of,
    faults_in,
    read_well,
    room_with_a_past,
    written,
)
from tests.rooms import small_room


def refused(sheets: dict[str, list[Any]], folder: Path, *, overwrite: bool = False) -> Problem:
    """Why the room was not written."""
    found = write_folder(sheets, folder, overwrite=overwrite)
    assert isinstance(found, Problem), found
    assert found.what
    assert found.remedy
    return found


def test_files_written_are_named_in_the_order_of_sheets(tmp_path: Path) -> None:
    found = write_folder(small_room(), tmp_path / "room")
    assert isinstance(found, list)
    assert [file.name for file in found[:3]] == ["room.toml", "racks.csv", "shelves.csv"]
    assert {file.name for file in found} == set(bytes_of(tmp_path / "room"))
    assert "marks.csv" not in bytes_of(tmp_path / "room")


def test_a_folder_is_made_with_those_above_it(tmp_path: Path) -> None:
    assert read_well(written(tmp_path / "a" / "b", small_room())).sheets["racks"]


def test_files_are_for_their_owner_only(tmp_path: Path) -> None:
    for file in written(tmp_path / "room").iterdir():
        assert file.stat().st_mode & 0o077 == 0


def test_nothing_is_written_over_without_a_yes(tmp_path: Path) -> None:
    folder = written(tmp_path / "room")
    before = bytes_of(folder)
    assert "a room lies here already" in refused(small_room(), folder).what
    assert bytes_of(folder) == before


def test_one_file_of_a_room_is_enough_to_refuse_even_one_that_would_not_be_written(
    tmp_path: Path,
) -> None:
    (tmp_path / "marks.csv").write_text("mine")
    assert "marks.csv" in refused(small_room(), tmp_path).what
    assert bytes_of(tmp_path) == {"marks.csv": b"mine"}


def test_with_a_yes_files_without_rows_go_and_others_stay(tmp_path: Path) -> None:
    folder = written(tmp_path / "room")
    (folder / "notes.txt").write_text("mine")
    (folder / "growth-2026.csv").write_text("age,length\n")
    found = write_folder(small_room(), folder, overwrite=True)
    assert isinstance(found, list)
    assert not (folder / "marks.csv").exists()
    assert (folder / "notes.txt").read_text() == "mine"
    assert (folder / "growth-2026.csv").read_text() == "age,length\n"
    assert read_well(folder).left_aside == ("growth-2026.csv",)


def test_a_file_that_import_would_take_for_a_sheet_is_told_before(tmp_path: Path) -> None:
    (tmp_path / "rack.csv").write_text("mine")
    problem = refused(small_room(), tmp_path)
    assert "rack.csv" in problem.where
    assert list(tmp_path.iterdir()) == [tmp_path / "rack.csv"]


@pytest.mark.parametrize("overwrite", [False, True])
def test_a_link_in_the_place_of_a_file_is_never_followed(tmp_path: Path, overwrite: bool) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    folder = tmp_path / "room"
    folder.mkdir()
    for target in ("racks.csv", "room.toml"):
        link = folder / target
        link.symlink_to(outside)
        refused(small_room(), folder, overwrite=overwrite)
        link.unlink()
        link.symlink_to(tmp_path / "not-there-yet")
        refused(small_room(), folder, overwrite=overwrite)
        link.unlink()
    assert outside.read_text() == "mine"
    assert not (tmp_path / "not-there-yet").exists()


def test_a_folder_in_the_place_of_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "racks.csv").mkdir()
    assert "racks.csv" in refused(small_room(), tmp_path, overwrite=True).where


def test_a_link_put_there_meanwhile_is_not_followed_either(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    folder = tmp_path / "room"

    def late(path: Path, overwrite: bool) -> None:
        (path / "tanks.csv").symlink_to(outside)

    monkeypatch.setattr("roomtasks.files.write._in_the_way", late)
    assert "tanks.csv" in refused(small_room(), folder).what
    assert outside.read_text() == "mine"
    assert [file.name for file in folder.iterdir()] == ["tanks.csv"], "the rest was taken back"


def test_a_file_system_without_second_names_is_written_to_as_well(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unable(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", unable)
    folder = written(tmp_path / "room", small_room())
    assert read_well(folder).sheets["racks"] == small_room()["racks"]
    assert not [file for file in folder.iterdir() if file.name.startswith(".")]


def test_a_file_or_a_loop_instead_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    refused(small_room(), tmp_path / "file")
    refused(small_room(), tmp_path / "file" / "below")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    refused(small_room(), tmp_path / "loop")
    refused(small_room(), tmp_path / "a\0b")
    assert (tmp_path / "file").read_text() == "x"


def test_dots_lead_where_they_say_and_files_stay_in_that_folder(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    written(tmp_path / "a" / ".." / "room", small_room())
    assert read_well(tmp_path / "room").sheets["racks"]
    assert list((tmp_path / "a").iterdir()) == []


@pytest.mark.parametrize(
    "name", ["a\0b", "a\ud800b", "x" * 10_001], ids=["NUL", "half a sign", "too long"]
)
def test_a_text_that_could_not_be_read_back_is_named_and_nothing_written(
    tmp_path: Path, name: str
) -> None:
    room = small_room()
    room["racks"] = [*room["racks"], Rack(code="C", name=name, path=3)]
    assert refused(room, tmp_path / "room").where == "racks C, name"
    assert not (tmp_path / "room").exists()


def test_a_blank_where_none_may_be_and_a_number_that_is_none_are_named(tmp_path: Path) -> None:
    room = small_room()
    room["groups"] = [replace(room["groups"][0], line=" ")]
    assert refused(room, tmp_path / "room").where == "groups calvus, line"
    room = small_room()
    room["reservoirs"] = [replace(room["reservoirs"][0], holds_litres=float("nan"))]
    assert refused(room, tmp_path / "room").where == "reservoirs R1, holds_litres"


def test_a_room_has_one_setup(tmp_path: Path) -> None:
    refused({}, tmp_path / "room")
    refused({"setup": small_room()["setup"] * 2}, tmp_path / "room")


def test_a_name_that_is_no_sheet_is_a_fault_of_the_programmer(tmp_path: Path) -> None:
    with pytest.raises(KeyError):
        write_folder({**small_room(), "fishes": []}, tmp_path / "room")


def test_rows_may_come_one_by_one(tmp_path: Path) -> None:
    sheets: dict[str, Iterator[Any]] = {n: iter(rows) for n, rows in room_with_a_past().items()}
    assert isinstance(write_folder(sheets, tmp_path / "one"), list)
    assert bytes_of(tmp_path / "one") == bytes_of(written(tmp_path / "two"))


STEPS = ("fsync", "replace", "link")


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("overwrite", [False, True])
def test_a_full_disk_at_every_step_leaves_no_room_that_is_half_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, overwrite: bool
) -> None:
    """After a failure the folder is as it was, or it is no room until it is written again.

    The system's own step fails the n-th time, for every n until none fails any
    more.
    """
    true_step = getattr(os, step)
    whole = bytes_of(written(tmp_path / "whole", small_room()))
    failed = 0
    for fails_at in range(1, 60):
        folder = tmp_path / f"{overwrite}-{fails_at}"
        before = bytes_of(written(folder, another_room())) if overwrite else {}
        count = 0

        def failing(*args: Any, at: int = fails_at) -> Any:
            nonlocal count
            count += 1
            if count == at:
                raise OSError(errno.ENOSPC, "No space left on device")
            return true_step(*args)

        with monkeypatch.context() as patch:
            patch.setattr(os, step, failing)
            found = write_folder(small_room(), folder, overwrite=overwrite)
        if count < fails_at:
            assert isinstance(found, list)
            break
        failed += 1
        _look_at(folder, found, before, whole)
    assert failed or step == ("link" if overwrite else "replace")


def another_room() -> dict[str, list[Any]]:
    """A room with a past of which every file differs from the small room's."""
    room = room_with_a_past()
    room["setup"] = [replace(room["setup"][0], name="Another room")]
    room["racks"] = [replace(rack, name=f"old {rack.name}") for rack in room["racks"]]
    room["shelves"] = [replace(shelf, places=9) for shelf in room["shelves"]]
    room["tanks"] = [replace(tank, note="old") for tank in room["tanks"]]
    return room


def _look_at(
    folder: Path, found: list[Path] | Problem, before: dict[str, bytes], whole: dict[str, bytes]
) -> None:
    left = bytes_of(folder) if folder.exists() else {}
    assert not [name for name in left if name.startswith(".")]
    if isinstance(found, list):
        assert left == whole, "one name a file did instead of a link"
        return
    assert "No space left on device" in found.what
    if not before:
        assert left == {}
    elif "room.toml" in left:
        assert left in (before, whole)
    else:
        assert any(fault.file == "room.toml" for fault in faults_in(folder))
        assert isinstance(write_folder(small_room(), folder, overwrite=True), list)
        assert bytes_of(folder) == whole


def test_a_folder_that_may_not_be_written_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever runs the tests may be allowed to write anywhere, so the no is made up."""

    def forbidden(**_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("roomtasks.files.write.mkstemp", forbidden)
    assert "Permission denied" in refused(small_room(), tmp_path / "room").what
    assert not (tmp_path / "room").exists()


def test_only_tables_that_grow_with_the_years_may_have_any_number_of_rows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("roomtasks.files.sheet_file.MOST_ROWS", 20)
    room = room_with_a_past()
    room["marks"] = [replace(room["marks"][0], id=number) for number in range(1, 100)]
    folder = written(tmp_path / "room", room)
    assert read_well(folder).sheets["marks"] == room["marks"]
    with (folder / "racks.csv").open("a") as file:
        file.writelines(f"x{n},,1\n" for n in range(30))
    (fault,) = faults_in(folder)
    assert (fault.file, fault.line) == ("racks.csv", 22)
    assert "more than 20 rows of racks" in fault.found
