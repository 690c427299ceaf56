"""Another store put over an open one: noticed before anything is shown, and never written into."""

import asyncio
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from roomtasks.room.setup import SETUP
from roomtasks.store import read, watch
from roomtasks.store.base import Store
from roomtasks.store.care import Restored, backup, check, restore
from roomtasks.store.fault import StoreFault
from roomtasks.store.first_look import beside, stamp_in_file
from roomtasks.store.stamp import Stamp
from roomtasks.store.write import replace_all
from roomtasks.tui.desk import Desk
from tests.rooms import small_room, store_with
from tests.store.made import a_store, crash_copy, everything, mark_one, sum_of, sums
from tests.store.room_1 import a_room_1

Put = Callable[[Path, Path], None]


def _cp(source: Path, path: Path) -> None:
    """As the command: the file is emptied and written anew under the same number."""
    subprocess.run(["cp", str(source), str(path)], check=True)


def _cp_with_times(source: Path, path: Path) -> None:
    subprocess.run(["cp", "-p", str(source), str(path)], check=True)


def _renamed(source: Path, path: Path) -> None:
    copy = path.with_name("passing.db")
    shutil.copyfile(source, copy)
    os.replace(copy, path)


def _other(folder: Path, acts: int) -> Path:
    """A store of another room, of the same layout and about as large."""
    sheets = small_room()
    sheets["setup"] = [replace(sheets["setup"][0], name="Cellar", room_id="cellar-1")]
    folder.mkdir()
    with store_with(folder, sheets, "other.db") as store:
        for _ in range(acts):
            mark_one(store)
        return store.path


def _name(store: Store) -> str:
    found: str = read.rows(store, SETUP)[0].name
    return found


@pytest.mark.parametrize("acts", [0, 3, 300])
@pytest.mark.parametrize("put", [_cp, _cp_with_times, _renamed])
def test_another_rooms_store_put_over_an_open_one_is_told_and_left_as_it_is(
    tmp_path: Path, put: Put, acts: int
) -> None:
    """Fewer acts than here, about as many, and many more."""
    other = _other(tmp_path / "cellar", acts)
    store = Store.open(a_store(tmp_path / "room", acts=5))
    mark_one(store)
    store.still_there()
    put(other, store.path)
    for _ in range(2):
        with pytest.raises(StoreFault) as told:
            store.still_there()
        with pytest.raises(StoreFault):
            mark_one(store)
    assert told.value.sort == "vanished"
    assert not told.value.passing
    assert "open again" in told.value.remedy
    store.close()
    assert sum_of(store.path) == sum_of(other)
    assert (store.path.parent / "room.overwritten-1.db-wal").stat().st_size
    with Store.open(store.path) as now:
        assert _name(now) == "Cellar"
        mark_one(now)
        assert len(everything(now)["acts"]) == acts + 1
    assert check(store.path).whole


def test_it_says_what_happened_and_keeps_the_log_that_was_there(tmp_path: Path) -> None:
    other = _other(tmp_path / "cellar", 2)
    with Store.open(a_store(tmp_path / "room")) as store:
        mark_one(store)
        log = beside(store.path)[0].read_bytes()
        _cp(other, store.path)
        with pytest.raises(StoreFault) as told:
            store.still_there()
        assert "copied over this one while it was open" in told.value.what
        assert "room.overwritten-1.db-wal" in told.value.what
        assert "roomtasks restore FILE" in told.value.remedy
        assert (store.path.parent / "room.overwritten-1.db-wal").read_bytes() == log
    assert sorted(file.name for file in store.path.parent.iterdir()) == [
        "room.db", "room.overwritten-1.db-wal",
    ]  # fmt: skip


def test_a_program_that_never_looks_again_closes_without_a_word_and_writes_nothing(
    tmp_path: Path,
) -> None:
    other = _other(tmp_path / "cellar", 2)
    with Store.open(a_store(tmp_path / "room")) as store:
        mark_one(store)
        _cp(other, store.path)
    assert sum_of(store.path) == sum_of(other)
    assert check(store.path).whole


def test_two_programs_that_have_it_open_are_both_told(tmp_path: Path) -> None:
    other = _other(tmp_path / "cellar", 2)
    first = Store.open(a_store(tmp_path / "room"))
    second = Store.open(first.path)
    mark_one(first)
    mark_one(second)
    _cp(other, first.path)
    for store in (first, second):
        with pytest.raises(StoreFault, match="copied over"):
            mark_one(store)
    _marked_elsewhere(first.path)
    first.close()
    second.close()
    _marked_elsewhere(first.path)
    with Store.open(first.path) as now:
        assert (_name(now), len(everything(now)["acts"])) == ("Cellar", 4)
    assert check(first.path).whole


def _marked_elsewhere(path: Path) -> None:
    """An act of a program that opens what lies there now."""
    do = (
        "import sys; from pathlib import Path; from roomtasks.store.base import Store; "
        "from tests.store.made import mark_one; "
        "store = Store.open(Path(sys.argv[1])); mark_one(store); store.close()"
    )
    subprocess.run([sys.executable, "-c", do, str(path)], check=True, timeout=30)


_BESIDE = """
import sys
from pathlib import Path
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from tests.store.made import mark_one
store = Store.open(Path(sys.argv[1]))
mark_one(store)
print("open", flush=True)
sys.stdin.readline()
try:
    mark_one(store)
except StoreFault as fault:
    print(fault.what)
store.close()
"""


def test_a_program_of_its_own_is_told_and_leaves_the_other_store_as_it_is(tmp_path: Path) -> None:
    other, path = _other(tmp_path / "cellar", 2), a_store(tmp_path / "room", acts=2)
    with subprocess.Popen(
        [sys.executable, "-c", _BESIDE, str(path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as beside_it:  # fmt: skip
        assert beside_it.stdout is not None
        assert beside_it.stdout.readline() == "open\n"
        _cp(other, path)
        said, _ = beside_it.communicate("\n", timeout=30)
    assert "copied over" in said
    assert sum_of(path) == sum_of(other)


@pytest.mark.parametrize("put", [_cp, _renamed])
def test_a_desk_shows_and_writes_nothing_of_it(tmp_path: Path, put: Put) -> None:
    other = _other(tmp_path / "cellar", 2)
    desk = Desk(a_store(tmp_path / "room", acts=1))

    async def evening() -> None:
        assert await desk.ask(mark_one) == 2
        assert await desk.ask(_name) == "Small room"
        put(other, desk.path)
        for question in (_name, Store.version, mark_one):
            with pytest.raises(StoreFault) as told:
                await desk.ask(question)
            assert told.value.sort == "vanished"
        await desk.close()

    asyncio.run(evening())
    assert sum_of(desk.path) == sum_of(other)


def test_an_older_copy_of_the_same_room_is_told_too(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room", acts=3)) as store:
        copy = shutil.copyfile(store.path, tmp_path / "copy.db")
        mark_one(store)
        store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        store.still_there()
        mark_one(store)
        _cp(copy, store.path)
        with pytest.raises(StoreFault, match="an older copy"):
            mark_one(store)
    assert sum_of(store.path) == sum_of(copy)
    assert check(store.path).acts == 3


def test_a_copy_made_by_the_program_put_over_by_hand_is_told_too(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room", acts=3)) as store:
        copy = backup(store.path, tmp_path / "copy.db")
        assert isinstance(copy, Path)
        _cp(copy, store.path)
        with pytest.raises(StoreFault, match="copied over"):
            mark_one(store)
    assert check(store.path).acts == 3
    assert stamp_in_file(store.path) == stamp_in_file(copy)


def _of_layout_1(folder: Path) -> Path:
    return a_room_1(folder)


def _anothers(folder: Path) -> Path:
    folder.mkdir()
    with closing(sqlite3.connect(folder / "other.db")) as connection:
        connection.execute("CREATE TABLE stamp (a)")
        connection.execute("CREATE TABLE acts (id)")
    return folder / "other.db"


def _text(folder: Path) -> Path:
    folder.mkdir()
    (folder / "other.db").write_text("tank,litres\nA1,200\n" * 40_000)
    return folder / "other.db"


@pytest.mark.parametrize("make", [_of_layout_1, _anothers, _text])
def test_what_is_no_store_of_today_put_over_it_is_told_too(
    tmp_path: Path, make: Callable[[Path], Path]
) -> None:
    other = make(tmp_path / "other")
    with Store.open(a_store(tmp_path / "room")) as store:
        mark_one(store)
        _cp(other, store.path)
        for _ in range(2):
            with pytest.raises(StoreFault) as told:
                mark_one(store)
            assert told.value.sort == "vanished"


def test_a_room_taken_in_by_another_program_is_no_other_store(tmp_path: Path) -> None:
    """In the way of the store, through SQLite, it may change as it likes."""
    with Store.open(a_store(tmp_path / "room", acts=3)) as store:
        with Store.open(store.path) as other:
            replace_all(other, dict(small_room()))
            other.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        store.still_there()
        assert mark_one(store) == 1
        for _ in range(3):
            mark_one(store)
            store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            store.still_there()
    assert check(store.path).acts == 4


def test_each_file_has_a_stamp_of_its_own(tmp_path: Path) -> None:
    paths = [a_store(tmp_path / name) for name in ("one", "two")]
    copy = backup(paths[0], tmp_path / "copy.db")
    assert isinstance(copy, Path)
    found = [stamp_in_file(path) for path in (*paths, copy)]
    assert len({stamp.name for stamp in found if stamp is not None}) == 3
    with Store.open(a_room_1(tmp_path / "old")) as store:
        stamp = stamp_in_file(store.path)
        assert stamp is not None
        assert stamp.name not in {one.name for one in found if one is not None}


def _left_with_a_log(folder: Path) -> Path:
    """A store whose program was stopped with the newest act in the log alone."""
    with Store.open(a_store(folder / "live", acts=3)) as store:
        mark_one(store)
        return crash_copy(store.path, folder / "room")


def _of_another_room(folder: Path, _: Path) -> Path:
    return _other(folder / "cellar", 3)


def _an_older_copy(folder: Path, path: Path) -> Path:
    """By hand, without the log: two acts are carried over into the store after it."""
    copy = Path(shutil.copyfile(path, folder / "copy.db"))
    with Store.open(path) as store:
        mark_one(store)
        store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        mark_one(store)
        newer = crash_copy(path, folder / "newer")
    for end in ("", "-wal"):
        shutil.copyfile(f"{newer}{end}", f"{path}{end}")
    return copy


@pytest.mark.parametrize("make", [_of_another_room, _an_older_copy])
def test_a_log_is_not_read_into_another_store_put_before_it(
    tmp_path: Path, make: Callable[[Path, Path], Path]
) -> None:
    path = _left_with_a_log(tmp_path)
    other = make(tmp_path, path)
    _cp(other, path)
    before = sums(path.parent)
    for look in (Store.open, check, lambda at: backup(at, tmp_path / "copied.db")):
        with pytest.raises(StoreFault, match="-wal beside it is of another store") as told:
            look(path)
        assert (told.value.sort, "move it away" in told.value.remedy) == ("unreadable", True)
        assert sums(path.parent) == before
    Path(f"{path}-wal").rename(tmp_path / "away")
    assert check(path).whole
    assert sum_of(path) == sum_of(other)


def test_a_copy_put_back_by_the_program_keeps_such_a_log(tmp_path: Path) -> None:
    path = _left_with_a_log(tmp_path)
    copy = backup(path, tmp_path / "copy.db")
    assert isinstance(copy, Path)
    _cp(_other(tmp_path / "cellar", 3), path)
    log = Path(f"{path}-wal").read_bytes()
    put_back = restore(copy, path)
    assert isinstance(put_back, Restored)
    assert put_back.kept is not None
    assert Path(f"{put_back.kept}-wal").read_bytes() == log
    assert check(path).whole
    assert check(path).acts == 4


def test_a_log_that_is_just_being_carried_over_is_no_other_store(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its first page is written before the file has the length that page tells."""
    with Store.open(a_store(tmp_path / "room")) as store:
        shorter = store.path.read_bytes()
        first = stamp_in_file(store.path)
        for _ in range(40):
            mark_one(store, note="n" * 500)
        store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        longer = store.path.read_bytes()
    assert len(longer) > len(shorter)
    half = tmp_path / "half.db"
    half.write_bytes(longer[:4096] + shorter[4096:])
    assert stamp_in_file(half) == first

    path = a_store(tmp_path / "again")
    with Store.open(path) as store, Store.open(path) as other:
        looks = [sqlite3.DatabaseError("torn"), None, sqlite3.DatabaseError("torn")]

        def torn(at: Path) -> Stamp | None:
            if not looks:
                return stamp_in_file(at)
            broken = looks.pop()
            if broken is not None:
                raise broken
            return Stamp("0" * 32, 1)

        mark_one(other)
        other.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        monkeypatch.setattr(watch, "stamp_in_file", torn)
        assert mark_one(store) == 2
        assert looks == []
