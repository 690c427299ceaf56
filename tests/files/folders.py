"""Room folders for the tests of files: one whole one, and ways to spoil it."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from roomtasks.files import FileFault, Folder, read_folder, write_folder
from roomtasks.files.example import EXAMPLE
from roomtasks.room.journal import Act, Change, Mark, Reading
from roomtasks.room.room import SHEET
from tests.rooms import Sheets, small_room

HOURS = datetime(2027, 3, 1, 7, 0, tzinfo=UTC)
ROW = '{"code":"A","name":"By the door","path":1}'


def room_with_a_past() -> Sheets:
    """The small room with some acts, changes, marks and readings."""
    room = small_room()
    room["acts"], room["changes"], room["marks"], room["readings"] = [], [], [], []
    for number in range(1, 13):
        at, day = HOURS + timedelta(hours=number), date(2027, 3, 1)
        room["acts"].append(
            Act(id=number, at=at, day=day, who="mk", verb="done", words=f"looked over, {number}")
        )
        room["changes"].append(
            Change(act=number, n=0, sheet="racks", key='["A"]', before=ROW, after=ROW)
        )
        room["marks"].append(
            Mark(id=number, act=number, job="look", target="B1", slot=day, outcome="done", day=day,
                 at=at, note='a "note", with\nlines' if number % 3 else "")
        )  # fmt: skip
        room["readings"].append(
            Reading(id=number, act=number, target="B1", what="ph", value=7.1, day=day, at=at)
        )
    return room


def written(folder: Path, sheets: Sheets | None = None) -> Path:
    """A folder with this room, the room with a past if none is given."""
    made = write_folder(room_with_a_past() if sheets is None else sheets, folder)
    assert isinstance(made, list), made
    return folder


def by_hand(folder: Path, **files: str | bytes) -> Path:
    """The example room of the reference, with some files instead: racks="code,..."."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in EXAMPLE.items():
        (folder / name).write_text(text, encoding="utf-8")
    for sheet, content in files.items():
        name = "room.toml" if sheet == "room" else f"{sheet}.csv"
        raw = content if isinstance(content, bytes) else content.encode()
        (folder / name).write_bytes(raw)
    return folder


def read_well(folder: Path) -> Folder:
    """The room in a folder that has no fault."""
    found = read_folder(folder)
    assert isinstance(found, Folder), [fault.sentence() for fault in found]
    return found


def faults_in(folder: Path) -> list[FileFault]:
    """The faults of a folder that has some."""
    found = read_folder(folder)
    assert isinstance(found, list)
    assert found
    return found


def only_fault_at(folder: Path, file: str, line: int, column: str, *words: str) -> FileFault:
    """The one fault there is at this place, with these words in it."""
    at = [f for f in faults_in(folder) if (f.file, f.line, f.column) == (file, line, column)]
    assert len(at) == 1, [fault.sentence() for fault in faults_in(folder)]
    for word in words:
        assert word in at[0].sentence()
    assert at[0].would_do
    return at[0]


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def in_order(sheets: dict[str, list[Any]]) -> dict[str, list[Any]]:
    """The rows of every sheet that has any, in the order of their keys."""
    return {n: sorted(v, key=SHEET[n].key_of) for n, v in sheets.items() if v}
