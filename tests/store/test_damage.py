"""A damaged store: told, or named by a look through it, and never made worse."""

import random
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from roomtasks.store.base import Store
from roomtasks.store.care import check, restore
from roomtasks.store.fault import StoreFault
from roomtasks.store.layout import LAYOUT, steps
from tests.store.made import a_store, everything, mark_one, sum_of

PAGE_BYTES = 4096
FLIPS_A_PAGE = 4


def _told(path: Path) -> bool:
    """Whether a look through the store finds anything wrong, one way or the other."""
    try:
        return bool(check(path).damage)
    except StoreFault:
        return True


def _same(path: Path, facts: dict[str, list[object]]) -> bool:
    """Whether every fact and every seal is as it was: the flipped byte meant nothing."""
    try:
        with Store.open(path) as store:
            return everything(store) == facts
    except (StoreFault, sqlite3.Error):
        return False


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, dict[str, list[object]]]:
    path = a_store(tmp_path_factory.mktemp("whole"), acts=40)
    with Store.open(path) as store:
        facts = everything(store)
    return path.read_bytes(), facts


def _flips(size: int) -> list[int]:
    """Offsets to flip: some of every page, all of the file's head."""
    chance = random.Random(1)
    return [
        *range(100),
        *(
            page + chance.randrange(PAGE_BYTES)
            for page in range(0, size, PAGE_BYTES)
            for _ in range(FLIPS_A_PAGE)
        ),
    ]


def test_one_flipped_byte_in_any_page_is_told_or_means_nothing(
    tmp_path: Path, whole: tuple[bytes, dict[str, list[object]]]
) -> None:
    data, facts = whole
    unseen, told = [], 0
    path = tmp_path / "room.db"
    for offset in _flips(len(data)):
        changed = bytearray(data)
        changed[offset] ^= 0x41
        path.write_bytes(changed)
        if _told(path):
            told += 1
            assert path.read_bytes() == changed, f"a look changed the file (byte {offset})"
        elif not _same(path, facts):
            unseen.append(offset)
        for end in ("-wal", "-shm", "-journal"):
            Path(f"{path}{end}").unlink(missing_ok=True)
    assert unseen == []
    assert told > len(data) // PAGE_BYTES // 2, "half the pages are of tables that stand empty"


def test_a_flipped_byte_in_any_row_of_text_is_named(
    tmp_path: Path, whole: tuple[bytes, dict[str, list[object]]]
) -> None:
    """Where SQLite itself sees nothing wrong: letters of names, words, acts and changes."""
    data, _ = whole
    path = tmp_path / "room.db"
    named = {}
    for what in (b"By the door", b"Heaters and air", b"note 17", b"Look over at A1: done"):
        found, places = data.find(what), []
        while found >= 0:
            changed = bytearray(data)
            changed[found + 3] ^= 0x04
            path.write_bytes(changed)
            places += [problem.where for problem in check(path).damage]
            assert places, f"{what!r} at byte {found} was not named"
            found = data.find(what, found + 1)
        named[what] = set(places)
    assert "racks" in named[b"By the door"]
    assert "jobs" in named[b"Heaters and air"]
    assert "marks, 18" in named[b"note 17"]
    assert "act 18" in named[b"note 17"]


@pytest.mark.parametrize("keep", [0.3, 0.6, 0.9, 0.999])
def test_a_truncated_store_is_told_at_once(tmp_path: Path, keep: float) -> None:
    path = a_store(tmp_path, acts=5)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * keep)])
    before = sum_of(path)
    with pytest.raises(StoreFault) as told:
        Store.open(path)
    assert told.value.sort == "damaged"
    assert "restore" in told.value.remedy
    assert not check(path).whole
    assert sum_of(path) == before


def _deleted(path: Path) -> None:
    path.unlink()


def _replaced(path: Path) -> None:
    a_store(path.parent / "other", acts=1).replace(path)


def _moved(path: Path) -> None:
    path.rename(path.with_name("moved.db"))


@pytest.mark.parametrize("change", [_deleted, _replaced, _moved])
def test_a_store_gone_while_open_is_told_and_nothing_written(
    tmp_path: Path, change: Callable[[Path], None]
) -> None:
    with Store.open(a_store(tmp_path, acts=1)) as store:
        change(store.path)
        stands = sum_of(store.path) if store.path.exists() else ""
        with pytest.raises(StoreFault) as told:
            mark_one(store)
        assert told.value.sort == "vanished"
        with pytest.raises(StoreFault):
            store.still_there()
    assert (sum_of(store.path) if store.path.exists() else "") == stands


def _sql(*statements: str) -> Callable[[sqlite3.Connection], None]:
    def run(connection: sqlite3.Connection) -> None:
        for statement in statements:
            connection.execute(statement)

    return run


HARM = [
    (_sql("DROP INDEX marks_day"), "marks_day"),
    (_sql("DROP TABLE away"), "away"),
    (_sql("CREATE TABLE extra (a)"), "extra"),
    (_sql("ALTER TABLE racks ADD COLUMN colour TEXT"), "racks"),
    (_sql("UPDATE racks SET name = 'other' WHERE code = 'B'"), "racks"),
    (_sql("DELETE FROM racks WHERE code = 'B'"), "racks"),
    (_sql("UPDATE marks SET outcome = 'left-out', reason = 'x' WHERE id = 3"), "marks, 3"),
    (_sql("DELETE FROM marks WHERE id = 3"), "marks, 3"),
    (_sql("UPDATE marks SET outcome = 'dome' WHERE id = 3"), "marks, 3"),
    (_sql("UPDATE marks SET day = '2027-13-45' WHERE id = 3"), "marks, 3"),
    (_sql("UPDATE marks SET at = '2027-03-06T08:00:00' WHERE id = 3"), "marks, 3"),
    (_sql("UPDATE tanks SET length_cm = -4 WHERE code = 'B1'"), "tanks, B1"),
    (_sql("UPDATE jobs SET note = CAST(x'ff41' AS TEXT) WHERE code = 'look'"), "jobs, look"),
    (_sql("UPDATE acts SET words = 'done' WHERE id = 2"), "act 2"),
    (_sql("DELETE FROM acts WHERE id = 2"), "act 2"),
    (_sql("DELETE FROM acts WHERE id = 5"), "act 5"),
    (_sql("UPDATE changes SET n = 1 WHERE act = 4"), "act 4"),
    (_sql("DELETE FROM changes WHERE act = 4"), "act 4"),
    (_sql("DELETE FROM seals WHERE act = 4"), "act 4"),
    (_sql("UPDATE seals SET seal = x'00' WHERE act = 4"), "act 4"),
    (_sql("DELETE FROM stamp"), "stamp"),
    (_sql("UPDATE stamp SET stamp = 'stamp-1'"), "stamp"),
    (_sql("UPDATE bases SET seal = x'00' WHERE sheet = 'jobs'"), "jobs"),
]


@pytest.mark.parametrize(("harm", "where"), HARM)
def test_harm_done_behind_the_programs_back_is_named(
    tmp_path: Path, harm: Callable[[sqlite3.Connection], None], where: str
) -> None:
    path = a_store(tmp_path, acts=5)
    assert check(path).whole
    connection = sqlite3.connect(path, isolation_level=None)
    harm(connection)
    connection.close()
    before = sum_of(path)
    assert where in [problem.where for problem in check(path).damage]
    assert sum_of(path) == before


def test_a_broken_rule_of_the_room_is_no_damage(tmp_path: Path) -> None:
    from roomtasks.room.tank import Tank
    from roomtasks.store.write import act
    from tests.store.made import MORNING, TODAY

    with Store.open(a_store(tmp_path)) as store:
        tank = next(tank for tank in everything(store)["tanks"] if tank.code == "B1")
        assert isinstance(tank, Tank)
        with act(store, MORNING, TODAY, "mk", "setup") as writer:
            writer.put("tanks", replace(tank, rack="Z"))
    findings = check(store.path)
    assert not findings.damage
    assert any("B1" in problem.where and "Z" in problem.what for problem in findings.rules)


def test_a_damaged_store_is_put_right_from_a_copy(tmp_path: Path) -> None:
    from roomtasks.store.care import Restored, backup

    path = a_store(tmp_path / "room", acts=7)
    copy = backup(path, tmp_path / "copy.db")
    assert isinstance(copy, Path)
    path.write_bytes(path.read_bytes()[:5000])
    put_back = restore(copy, path)
    assert isinstance(put_back, Restored)
    assert put_back.acts == 7
    assert put_back.kept is not None
    assert put_back.kept.stat().st_size == 5000
    assert check(path).whole


def test_the_steps_are_as_many_as_the_layout() -> None:
    assert len(steps()) == LAYOUT
