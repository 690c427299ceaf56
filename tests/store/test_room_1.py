"""A room of layout 1 in today's program: all of it there, and any damage to it still found."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from roomtasks.room.check_past import change_faults
from roomtasks.room.column import to_plain
from roomtasks.room.fault import Facts
from roomtasks.room.flat_json import flat_object
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.store.base import Store
from roomtasks.store.care import Restored, backup, check, restore
from roomtasks.store.layout import LAYOUT, added, steps
from roomtasks.store.seal import row_sum
from roomtasks.store.write import as_json
from roomtasks.work.editing import put_fact
from roomtasks.work.marking import How, mark
from roomtasks.work.transfer import Exported, Imported, export_folder, import_folder
from roomtasks.work.undoing import Undone, undo
from tests.reliability.session import half_acts
from tests.rooms import at
from tests.store.made import everything, sums
from tests.store.room_1 import FOLDER_1, Rows, a_room_1, killed_upgrade, layout_of, rows_at

LATER = at("2027-03-08 19:00")
SORTS = {
    "done", "partly", "put-off", "left-out", "blocked", "move", "sold", "died", "put-in", "count",
    "valve", "pump", "hold", "lift", "reading", "seen", "class", "facts", "undo",
}  # fmt: skip
# a fill, moves, a valve, an edit of each sheet with new columns, a tank taken away, undos, a mark
TAKEN_BACK = (3, 8, 10, 14, 22, 23, 24, 25, 27, 29, 30, 34)
STATEMENTS = steps()[1].count(";\n")


def test_the_room_has_acts_of_every_sort(tmp_path: Path) -> None:
    rows = rows_at(a_room_1(tmp_path))
    assert {act["verb"] for act in rows["acts"]} == SORTS
    assert len(rows["acts"]) == 34


def test_every_fact_and_act_is_there_and_what_is_new_holds_its_default(tmp_path: Path) -> None:
    path = a_room_1(tmp_path)
    before = rows_at(path)
    with Store.open(path) as store:
        facts = everything(store)
    assert layout_of(path) == LAYOUT
    _as_it_was(before, rows_at(path))
    for sheet in SHEETS:
        assert len(facts[sheet.name]) == len(before.get(sheet.name, ())), sheet.name
    found = check(path)
    assert found.whole, [problem.sentence() for problem in found.problems]
    assert found.acts == 34


def _as_it_was(before: Rows, after: Rows) -> None:
    """Every cell there was is there, and every cell there was not holds its default."""
    for table, rows in before.items():
        for old, new in zip(rows, after[table], strict=True):
            assert {name: new[name] for name in old} == old, table
            if table in SHEET:
                defaults = SHEET[table].defaults
                since = {name: cell for name, cell in new.items() if name not in old}
                assert since == {name: to_plain(defaults[name]) for name in since}, table


def test_acts_go_on_in_it_and_those_of_layout_1_can_be_taken_back(tmp_path: Path) -> None:
    with Store.open(a_room_1(tmp_path)) as store:
        before = everything(store)
        marked = mark(store, LATER, ["look@A1"], "done", How(who="mk", hands_clean=True))
        assert not isinstance(marked, Problem)
        assert marked.act == 35
        for number in TAKEN_BACK:
            taken = undo(store, LATER, "mk", number)
            assert isinstance(taken, Undone), (number, taken)
            again = undo(store, LATER, "mk", taken.act)
            assert isinstance(again, Undone), (number, again)
        assert isinstance(undo(store, LATER, "mk", 35), Undone)
        assert half_acts(store.connection) == []
        after = everything(store)
    for sheet in SHEETS:
        if sheet.name not in ("acts", "changes"):
            assert after[sheet.name] == before[sheet.name], sheet.name
    assert check(store.path).whole


def test_a_tank_taken_away_in_layout_1_comes_back_with_todays_columns(tmp_path: Path) -> None:
    with Store.open(a_room_1(tmp_path)) as store:
        assert isinstance(undo(store, LATER, "mk", 27), Undone)
        tank = next(tank for tank in everything(store)["tanks"] if tank.code == "B4")
    assert (tank.note, tank.recipe, tank.largest_change) == ("on trial", "", None)


def test_a_fact_entered_since_stays_where_an_act_of_layout_1_is_taken_back(tmp_path: Path) -> None:
    with Store.open(a_room_1(tmp_path)) as store:
        tank = next(tank for tank in everything(store)["tanks"] if tank.code == "A2")
        told = put_fact(store, LATER, "mk", "tanks", replace(tank, feed_g_per_day=2.5))
        assert not isinstance(told, Problem)
        assert isinstance(undo(store, LATER, "mk", 23), Undone)
        tank = next(tank for tank in everything(store)["tanks"] if tank.code == "A2")
    assert (tank.note, tank.feed_g_per_day) == ("", 2.5)
    assert check(store.path).whole


HARM = [
    ("UPDATE racks SET name = 'Front' WHERE code = 'B'", "racks"),
    ("UPDATE tanks SET width_cm = 41 WHERE code = 'A5'", "tanks"),
    ("UPDATE tanks SET note = 'quick drain' WHERE code = 'A2'", "tanks, A2"),
    ("DELETE FROM tanks WHERE code = 'A6'", "tanks"),
    ("UPDATE reservoirs SET holds_litres = 10 WHERE code = 'R1'", "reservoirs, R1"),
    ("UPDATE systems SET pipes_litres = 15 WHERE code = 'S'", "systems, S"),
    ("UPDATE setup SET sunday_minutes = 1", "setup"),
    ("DELETE FROM marks WHERE id = 3", "marks, 3"),
    ("UPDATE acts SET words = 'done' WHERE id = 2", "act 2"),
    ("DELETE FROM changes WHERE act = 27", "act 27"),
    ("UPDATE bases SET seal = x'00' WHERE sheet = 'tanks'", "tanks"),
    ("INSERT INTO tanks SELECT 'Z1', rack, shelf, 9, role, length_cm, width_cm, height_cm, "
     "water_cm, sand_cm, rock_kg, gear_litres, measured_litres, measured_on, bottom, heater, lid, "
     "note FROM tanks WHERE code = 'A1'", "tanks"),
]  # fmt: skip


@pytest.mark.parametrize(("sql", "where"), HARM)
def test_damage_done_in_layout_1_is_found_before_and_after_it_comes_up(
    tmp_path: Path, sql: str, where: str
) -> None:
    path = a_room_1(tmp_path)
    _harm(path, sql)
    assert where in [problem.where for problem in check(path).damage]
    with Store.open(path):
        pass
    assert layout_of(path) == LAYOUT
    assert where in [problem.where for problem in check(path).damage]
    assert isinstance(backup(path, tmp_path / "copy.db"), Problem)


@pytest.mark.parametrize("column", sorted(added()["reservoirs"]))
def test_damage_to_what_layout_2_added_is_found_too(tmp_path: Path, column: str) -> None:
    """R2 was changed by an act of layout 1 and R1 by a mark; B1 of the tanks by none."""
    path = a_room_1(tmp_path)
    with Store.open(path):
        pass
    as_number = SHEET["reservoirs"].columns[column].kind in ("number", "int", "yesno")
    _harm(path, f'UPDATE reservoirs SET "{column}" = {"7" if as_number else repr("RO")}')
    assert {problem.where for problem in check(path).damage} == {"reservoirs, R1", "reservoirs, R2"}
    _harm(path, "UPDATE tanks SET largest_change = 0.5 WHERE code = 'B1'")
    assert "tanks" in {problem.where for problem in check(path).damage}


def _harm(path: Path, sql: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(sql)


def test_a_page_that_cannot_be_read_is_told_and_the_layout_stays(tmp_path: Path) -> None:
    path = a_room_1(tmp_path)
    data = bytearray(path.read_bytes())
    place = data.index(b'CREATE TABLE "tanks"')
    data[place : place + 12] = b"CREATE TAXLE"
    path.write_bytes(data)
    before = sums(tmp_path)
    assert check(path).damage
    assert sums(tmp_path) == before


@pytest.mark.parametrize("many", [0, 1, 2, 9, STATEMENTS // 2, STATEMENTS - 1, STATEMENTS])
def test_an_upgrade_that_is_killed_leaves_layout_1_whole(tmp_path: Path, many: int) -> None:
    path = a_room_1(tmp_path)
    before = rows_at(path)
    killed_upgrade(path, 1, steps()[1], many)
    assert layout_of(path) == 1
    assert rows_at(path) == before
    assert check(path).whole
    with Store.open(path):
        pass
    _as_it_was(before, rows_at(path))
    assert check(path).whole


def test_a_copy_of_layout_1_is_put_back_in_todays_layout(tmp_path: Path) -> None:
    path = a_room_1(tmp_path / "old")
    before = rows_at(path)
    put_back = restore(path, tmp_path / "new" / "room.db")
    assert isinstance(put_back, Restored)
    assert put_back.acts == 34
    _as_it_was(before, rows_at(put_back.path))
    assert layout_of(path) == 1


def _exported(store_path: Path, folder: Path) -> dict[str, str]:
    with Store.open(store_path) as store:
        assert isinstance(export_folder(store, folder), Exported)
    return sums(folder)


def test_a_folder_of_layout_1_comes_in_and_goes_out_the_same_again(tmp_path: Path) -> None:
    taken = import_folder(FOLDER_1, tmp_path / "first.db")
    assert isinstance(taken, Imported)
    assert (taken.rows["acts"], taken.rows["changes"]) == (5, 14)
    assert check(taken.store).whole
    once = _exported(taken.store, tmp_path / "once")
    assert once.keys() == sums(FOLDER_1).keys()
    for name in ("acts.csv", "changes.csv", "marks.csv", "groups.csv", "jobs.csv"):
        assert once[name] == sums(FOLDER_1)[name]
    again = import_folder(tmp_path / "once", tmp_path / "again.db")
    assert isinstance(again, Imported)
    assert again.rows == taken.rows
    assert _exported(again.store, tmp_path / "twice") == once
    assert check(again.store).whole
    with Store.open(again.store) as store:
        for number in (3, 2, 1):
            assert isinstance(undo(store, LATER, "mk", number), Undone)
    assert check(again.store).whole


def test_a_row_of_the_journal_may_lack_what_has_a_default_and_nothing_else(tmp_path: Path) -> None:
    """By the rules of the folder: an old row is taken, a row cut short is not."""
    with Store.open(a_room_1(tmp_path)) as store:
        facts = everything(store)
    assert not list(change_faults(Facts(facts)))
    lacks = [
        change
        for change in facts["changes"]
        if change.sheet in added() and change.after
        and not added()[change.sheet] <= (flat_object(change.after) or {}).keys()
    ]  # fmt: skip
    assert {change.sheet for change in lacks} >= {"setup", "tanks", "systems", "reservoirs"}
    for change in lacks:
        sheet, plain = SHEET[change.sheet], flat_object(change.after) or {}
        for name, spec in sheet.columns.items():
            if name not in plain or spec.optional:
                continue
            cut = replace(change, after=as_json({k: v for k, v in plain.items() if k != name}))
            found = list(change_faults(Facts({**facts, "changes": [cut]})))
            assert [fault.found for fault in found] == [f"{name} of {sheet.name} does not fit"]


def test_a_sum_is_the_same_for_a_whole_number_written_either_way() -> None:
    """A journal written by hand may say 2 where the store holds 2.0."""
    sheet = SHEET["tanks"]
    plain: dict[str, object] = dict.fromkeys(sheet.columns) | {"length_cm": 60, "feed_g_per_day": 2}
    assert row_sum(sheet, {**plain, "length_cm": 60.0, "feed_g_per_day": 2.0}) == row_sum(
        sheet, plain
    )
    assert row_sum(sheet, {**plain, "feed_g_per_day": 3}) != row_sum(sheet, plain)
