"""Folders, files, lines and cells that are wrong, each told with its place and a remedy."""

import os
import time
from pathlib import Path

import pytest

from roomtasks.files import write_folder
from roomtasks.files.faults import FaultsOfFile, together
from roomtasks.files.sheet_file import MOST_BYTES, MOST_BYTES_LONG
from roomtasks.room.reservoir import RESERVOIRS
from tests.files.folders import by_hand, faults_in, only_fault_at, read_well
from tests.rooms import small_room

RACKS = "code,name,path\nL,left wall,1\nW,window,2\n"
TANKS = "code,rack,shelf,place,role,length_cm,width_cm,height_cm,water_cm\n"
TANK = "L1,L,1,1,grow-out,99,39,40,36\n"


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path / "nowhere")
    assert "no such folder" in fault.found
    assert "nowhere" in fault.file


def test_a_file_instead_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "room").write_text("x")
    assert "a file, not a folder" in faults_in(tmp_path / "room")[0].found


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_a_name_no_folder_can_have(name: str) -> None:
    (fault,) = faults_in(Path(name))
    assert "cannot be read" in fault.found


def test_a_folder_that_is_a_link_to_itself(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert "cannot be read" in faults_in(tmp_path / "loop")[0].found


def test_an_empty_folder_needs_room_toml(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path)
    assert (fault.file, fault.line) == ("room.toml", 0)


def test_a_room_of_settings_alone_is_a_room(tmp_path: Path) -> None:
    (tmp_path / "room.toml").write_text('[room]\nname = "x"\nzone = "UTC"\n')
    assert read_well(tmp_path).sheets["tanks"] == []


def test_a_sheet_that_is_a_folder(tmp_path: Path) -> None:
    folder = by_hand(tmp_path)
    (folder / "racks.csv").unlink()
    (folder / "racks.csv").mkdir()
    only_fault_at(folder, "racks.csv", 0, "", "a folder, not a file")
    assert len(faults_in(folder)) == 1, "tanks must not be blamed for racks that were not read"


def test_a_sheet_that_is_a_link_to_itself(tmp_path: Path) -> None:
    folder = by_hand(tmp_path)
    (folder / "racks.csv").unlink()
    (folder / "racks.csv").symlink_to("racks.csv")
    only_fault_at(folder, "racks.csv", 0, "", "cannot be read")


def test_a_sheet_that_is_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    folder = by_hand(tmp_path)
    (folder / "away.csv").unlink()
    os.mkfifo(folder / "away.csv")
    only_fault_at(folder, "away.csv", 0, "", "no ordinary file")


@pytest.mark.parametrize("file", ["racks.csv", "room.toml"])
def test_a_file_nobody_may_read(tmp_path: Path, file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever runs the tests may be allowed to read everything, so the system's no is made up."""
    folder = by_hand(tmp_path)
    true_open = os.open

    def forbidding(path: Path, *others: int) -> int:
        if Path(path).name == file:
            raise PermissionError(13, "Permission denied", str(path))
        return true_open(path, *others)

    monkeypatch.setattr(os, "open", forbidding)
    only_fault_at(folder, file, 0, "", "Permission denied")


def test_a_disk_that_gives_an_error_in_the_middle(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = by_hand(tmp_path)

    class Broken:
        def __init__(self, *_: object) -> None:
            pass

        def __iter__(self) -> None:
            raise OSError(5, "Input/output error")

    monkeypatch.setattr("roomtasks.files.sheet_file.Lines", Broken)
    only_fault_at(folder, "racks.csv", 0, "", "Input/output error")


@pytest.mark.parametrize("name", ["rack.csv", "Racks.csv", "RACKS.CSV", "rooms.toml"])
def test_a_sheet_under_a_wrong_name_is_not_passed_over(tmp_path: Path, name: str) -> None:
    folder = by_hand(tmp_path)
    (folder / name).write_text(RACKS)
    found = [fault for fault in faults_in(folder) if fault.file == name]
    assert "did you mean" in found[0].would_do


def test_other_tables_in_the_folder_are_left_aside_and_named(tmp_path: Path) -> None:
    folder = by_hand(tmp_path)
    (folder / "growth-2026.csv").write_text("age,length\n1,2\n")
    (folder / "photo.jpg").write_bytes(b"\xff\xd8")
    (folder / ".~lock.racks.csv").write_text("x")
    assert read_well(folder).left_aside == ("growth-2026.csv",)


def test_utf_16_and_utf_32_are_told_by_name(tmp_path: Path) -> None:
    for encoding in ("utf-16", "utf-16-be", "utf-32"):
        mark = "\ufeff" if encoding == "utf-16-be" else ""
        folder = by_hand(tmp_path, racks=(mark + RACKS).encode(encoding))
        only_fault_at(folder, "racks.csv", 1, "", "UTF-16")
        folder = by_hand(tmp_path, racks=RACKS, room=(mark + "[room]").encode(encoding))
        only_fault_at(folder, "room.toml", 1, "", "UTF-16")
        by_hand(tmp_path)


def test_utf_16_without_a_mark_is_no_text(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks=RACKS.encode("utf-16-le"))
    only_fault_at(folder, "racks.csv", 1, "", "NUL")


def test_bytes_that_are_not_utf_8_are_told_with_line_and_byte(tmp_path: Path) -> None:
    raw = "code,name,path\nL,grüne Wand,1\nW,über,2\n".encode("latin-1")
    folder = by_hand(tmp_path, racks=raw)
    only_fault_at(folder, "racks.csv", 2, "", "byte 5 of the line", "0xFC")
    only_fault_at(folder, "racks.csv", 3, "", "byte 3 of the line", "0xFC")
    assert len(faults_in(folder)) == 2


def test_the_byte_is_counted_in_bytes(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="code,name,path\nL,€€".encode() + b"\xff,1\nW,x,2\n")
    only_fault_at(folder, "racks.csv", 2, "", "byte 9 of the line", "0xFF")
    folder = by_hand(tmp_path, racks=RACKS, room=b'[room]\n# \xe2\x82\xac\xff\nname = "x"\n')
    only_fault_at(folder, "room.toml", 2, "", "byte 6 of the line", "0xFF")


def test_an_empty_file_and_one_of_blank_lines(tmp_path: Path) -> None:
    for raw in (b"", b"\n\n  \n"):
        folder = by_hand(tmp_path, racks=raw)
        assert "code,name,path" in only_fault_at(folder, "racks.csv", 1, "", "empty").would_do


def test_columns_unknown_doubled_missing_and_without_a_name(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="code,nmae,code,,colour,x\nL,a,L,,,\n")
    only_fault_at(folder, "racks.csv", 1, "nmae", "did you mean name?")
    only_fault_at(folder, "racks.csv", 1, "code", "twice")
    only_fault_at(folder, "racks.csv", 1, "", "no name")
    assert "use code, name, path" in only_fault_at(folder, "racks.csv", 1, "colour").would_do
    only_fault_at(folder, "racks.csv", 1, "path", "missing")


def test_a_header_may_be_in_any_order_and_capitals_and_leave_columns_out(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="Path, CODE\n1,L\n2,W\n")
    assert [(rack.code, rack.path, rack.name) for rack in read_well(folder).sheets["racks"]] == [
        ("L", 1, ""), ("W", 2, ""),
    ]  # fmt: skip


def test_blank_columns_at_the_end_as_a_spreadsheet_leaves_them(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="code,name,path,,\nL,,1,,\n,,,,\nW,,2,,\n")
    assert len(read_well(folder).sheets["racks"]) == 2


def test_rows_of_another_length(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="code,name,path\nL,left, right,1\nW,2\n")
    only_fault_at(folder, "racks.csv", 2, "", "4 cells")
    only_fault_at(folder, "racks.csv", 3, "", "2 cells")


CELLS: dict[str, tuple[str, str]] = {
    "1e308": ("length_cm", "no number"),
    "NaN": ("length_cm", "no number"),
    "inf": ("length_cm", "no number"),
    "-0": ("length_cm", "too small"),
    "９９": ("length_cm", "no number"),
    '"60,5"': ("length_cm", "no number"),
    "1.000.0": ("length_cm", "no number"),
    "0x20": ("length_cm", "no number"),
    "": ("length_cm", "blank"),
    "9" * 500: ("length_cm", "no number"),
    "9" * 300: ("length_cm", "too large"),
    "4": ("length_cm", "at least 5"),
    "2000": ("length_cm", "at most 1000"),
    "1.5": ("shelf", "not a whole number"),
    "one": ("place", "no number"),
    "growing": ("role", "not one of the words"),
    "A 1": ("code", "no code"),
    "-A1": ("code", "no code"),
    "A" * 33: ("code", "no code"),
    "Ａ１": ("code", "no code"),
}


@pytest.mark.parametrize("cell", CELLS)
def test_a_wrong_cell_is_told_with_its_column(tmp_path: Path, cell: str) -> None:
    column, words = CELLS[cell]
    row = dict(zip(TANKS.strip().split(","), TANK.strip().split(","), strict=True))
    text = TANKS + ",".join({**row, column: cell}.values()) + "\n"
    only_fault_at(by_hand(tmp_path, tanks=text), "tanks.csv", 2, column, words)


@pytest.mark.parametrize(
    ("sheet", "column", "cell", "words"),
    [
        ("stays", "since", "2027-02-30", "does not exist"),
        ("stays", "since", "30.02.2027", "no date"),
        ("stays", "since", "0001-01-01", "out of reach"),
        ("stays", "since", "2027-3-1", "no date"),
        ("valves", "at", "2027-02-30T10:00", "no time that exists"),
        ("valves", "at", "2027-03-01", "no time that exists"),
        ("valves", "at", "0001-01-01T00:00+14:00", "out of reach"),
        ("valves", "at", "2027-03-01T25:00", "no time that exists"),
        ("jobs", "stand_in", "maybe", "yes nor no"),
    ],
)
def test_a_wrong_date_time_or_yes(
    tmp_path: Path, sheet: str, column: str, cell: str, words: str
) -> None:
    folder = by_hand(tmp_path)
    lines = (folder / f"{sheet}.csv").read_text().splitlines()
    names, cells = lines[0].split(","), lines[1].split(",")
    cells[names.index(column)] = cell
    (folder / f"{sheet}.csv").write_text("\n".join([lines[0], ",".join(cells), *lines[2:]]))
    only_fault_at(folder, f"{sheet}.csv", 2, column, words)


def test_a_text_too_long_and_a_nul(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks=f"code,name,path\nL,{'x' * 10_001},1\nW,a\0b,2\n")
    only_fault_at(folder, "racks.csv", 2, "name", "10,001")
    only_fault_at(folder, "racks.csv", 3, "name", "NUL")


def test_a_decimal_comma_is_read_only_where_no_comma_parts_cells(tmp_path: Path) -> None:
    text = (TANKS + TANK.replace("99", "99,5")).replace(",", ";").replace("99;5", "99,5")
    rest = (
        "L2;L;1;2;grow-out;99;39;40;36\nL3;L;2;1;breeding;79;39;40;35\nW1;W;1;1;stock;59;29;35;30\n"
    )
    assert read_well(by_hand(tmp_path, tanks=text + rest)).sheets["tanks"][0].length_cm == 99.5
    folder = by_hand(tmp_path, tanks=TANKS + TANK.replace("99", "99,5"))
    only_fault_at(folder, "tanks.csv", 2, "", "10 cells")


def test_lines_are_counted_as_an_editor_does(tmp_path: Path) -> None:
    text = 'code,name,path\n\nL,"left\nwall, ""by\r\nthe"" door",1\n\nW,window,far\n'
    folder = by_hand(tmp_path, racks=text)
    only_fault_at(folder, "racks.csv", 7, "path", "far")


def test_a_fault_between_rows_is_put_to_the_line_of_its_row(tmp_path: Path) -> None:
    text = 'code,name,path\nL,"a\nb",1\n\nW,,2\n\nL,,3\n'
    only_fault_at(by_hand(tmp_path, racks=text), "racks.csv", 7, "code", "second time")


def test_marks_of_a_cell_that_is_never_closed_cost_one_line(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks='code,name,path\nL,"left,1\nW,window,x\nV,v,3\n')
    only_fault_at(folder, "racks.csv", 2, "", "never closed")
    only_fault_at(folder, "racks.csv", 3, "path", "no number")
    assert len(faults_in(folder)) == 2


def test_text_after_a_closing_mark(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks='code,name,path\nL,"left" wall,1\nW,window,2\n')
    only_fault_at(folder, "racks.csv", 2, "", "after its closing")


def test_marks_inside_a_cell_are_text_and_blanks_round_marks_are_not(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks='code,name,path\nL,24" wall,1\nW, "a, b" , 2\n')
    assert [rack.name for rack in read_well(folder).sheets["racks"]] == ['24" wall', "a, b"]


def test_every_fault_of_every_file_is_told_at_once_by_file_and_line(tmp_path: Path) -> None:
    folder = by_hand(
        tmp_path, racks="code,name,path\nL,,x\nW,,y\n", people="code\nana\n",
        room='[room]\nname = "x"\nzone = "Nowhere"\n[minutes]\nmonday = -1\n',
    )  # fmt: skip
    found = [(fault.file, fault.line, fault.column) for fault in faults_in(folder)]
    assert found == [
        ("people.csv", 1, "name"), ("racks.csv", 2, "path"), ("racks.csv", 3, "path"),
        ("room.toml", 3, "room.zone"), ("room.toml", 5, "minutes.monday"),
    ]  # fmt: skip


def test_faults_are_shown_up_to_a_thousand_and_the_rest_is_counted(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, racks="code,name,path\n" + "L,,x\n" * 5321)
    found = faults_in(folder)
    assert len(found) == 1001
    assert found[-1].sentence().startswith("4,323 more faults")
    assert found[0].line == 2
    assert found[999].line == 1001


def test_a_bad_cell_of_one_tank_does_not_hide_faults_about_others(tmp_path: Path) -> None:
    folder = tmp_path / "room"
    assert isinstance(write_folder(small_room(), folder), list)
    tanks = (folder / "tanks.csv").read_text("utf-8").split("\n")
    names = tanks[0].split(",")
    for line, column, text in ((1, "measured_litres", "-5"), (3, "water_cm", "90")):
        cells = tanks[line].split(",")
        cells[names.index(column)] = text
        tanks[line] = ",".join(cells)
    (folder / "tanks.csv").write_text("\n".join(tanks), "utf-8")
    filters = (folder / "filters.csv").read_text("utf-8").replace("B1-1,B1", "B1-1,Z9")
    first_code = tanks[1].split(",")[0]
    filters = filters.replace("B1-2,B1", f"B1-2,{first_code}")
    (folder / "filters.csv").write_text(filters, "utf-8")
    told = [(fault.file, fault.column, fault.found) for fault in faults_in(folder)]
    assert [(file, column) for file, column, _ in told] == [
        ("filters.csv", "tank"), ("tanks.csv", "measured_litres"), ("tanks.csv", "water_cm"),
    ]  # fmt: skip
    assert "Z9" in told[0][2]


def test_the_first_files_come_first_where_there_are_too_many() -> None:
    late, early = FaultsOfFile("z.csv"), FaultsOfFile("a.csv")
    for line in range(1, 801):
        late.tell(line, "", "wrong", "")
        early.tell(line, "", "wrong", "")
    shown = together([late, early])
    assert [fault.file for fault in shown].count("z.csv") == 200
    assert shown[-1].found == "600 more faults are not shown"


def test_a_wrong_zone_is_told_once_and_local_times_are_not_blamed(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, room='[room]\nname = "x"\nzone = "Mars/Olympus"\n')
    only_fault_at(folder, "room.toml", 3, "room.zone", "Mars/Olympus")
    assert len(faults_in(folder)) == 1


@pytest.mark.parametrize(
    ("file", "size"),
    [("room.toml", 256_001), ("racks.csv", MOST_BYTES + 1), ("marks.csv", MOST_BYTES_LONG + 1)],
)
def test_a_file_too_large_is_refused_unread(tmp_path: Path, file: str, size: int) -> None:
    """The files are holes: they take no room on the disk, and reading them would take long."""
    folder = by_hand(tmp_path)
    with (folder / file).open("wb") as out:
        out.truncate(size)
    begun = time.perf_counter()
    only_fault_at(folder, file, 0, "", "can be read")
    assert time.perf_counter() - begun < 1.0


def test_a_sheet_of_which_rows_were_lost_makes_no_further_faults(tmp_path: Path) -> None:
    """L3 has a fault of its own; the filters that hang in it must not be blamed for it."""
    folder = by_hand(tmp_path)
    text = (folder / "tanks.csv").read_text().replace("L3,L,2,1,breeding,79", "L3,L,2,1,breeding,x")
    (folder / "tanks.csv").write_text(text)
    only_fault_at(folder, "tanks.csv", 4, "length_cm", "no number")
    assert len(faults_in(folder)) == 1


def test_every_column_of_a_sheet_says_what_to_give_when_blank(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, reservoirs="code,full_litres\nV1,\n")
    fault = only_fault_at(folder, "reservoirs.csv", 2, "full_litres", "blank")
    assert RESERVOIRS.columns["full_litres"].doc in fault.would_do
