"""What other programs, and this one, may do beside an open store without an act being lost."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from roomtasks.store.fault import StoreFault
from roomtasks.store.first_look import beside
from roomtasks.store.write import replace_all
from tests.rooms import small_room
from tests.store.made import a_store, everything, mark_one

ANOTHER = """
import sys
from pathlib import Path
from roomtasks.store.base import Store
from tests.store.made import mark_one
with Store.open(Path(sys.argv[1])) as store:
    mark_one(store)
"""
KILLED = """
import os, signal, subprocess, sys
from pathlib import Path
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from tests.store.made import mark_one
path = Path(sys.argv[1])
store = Store.open(path)
mark_one(store)
{beside}
subprocess.run([sys.executable, "-c", {another!r}, str(path)], check=True)
for _ in range(3):
    print("acknowledged", mark_one(store), flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize(
    "beside_it",
    ["", "check(path)", "backup(path, path.with_name('b.db'))", "Store.open(path).close()"],
)
def test_looking_at_a_store_that_is_open_here_gives_no_lock_away(
    tmp_path: Path, beside_it: str
) -> None:
    """POSIX drops a program's locks when it closes any handle of the file."""
    path = a_store(tmp_path)
    ended = subprocess.run(
        [sys.executable, "-c", KILLED.format(beside=beside_it, another=ANOTHER), str(path)],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert (ended.returncode, ended.stderr) == (-9, "")
    assert ended.stdout.split() == ["acknowledged", "3", "acknowledged", "4", "acknowledged", "5"]
    with Store.open(path) as store:
        assert [act.id for act in everything(store)["acts"]] == [1, 2, 3, 4, 5]
    assert check(path).whole


def _cut(path: Path) -> None:
    os.truncate(path, 8192)


def _no_log(path: Path) -> None:
    beside(path)[0].unlink()


def _no_index(path: Path) -> None:
    beside(path)[1].unlink()


@pytest.mark.parametrize("harm", [_cut, _no_log, _no_index, Path.unlink])
def test_harm_to_the_files_of_an_open_store_is_told_before_an_act(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    with Store.open(a_store(tmp_path, acts=1)) as store:
        mark_one(store)
        harm(store.path)
        with pytest.raises(StoreFault) as told:
            mark_one(store)
    assert told.value.sort == "vanished"


def test_a_log_without_its_store_is_not_read_into_a_new_one(tmp_path: Path) -> None:
    store = Store.open(a_store(tmp_path))
    mark_one(store)
    wal = beside(store.path)[0]
    log = wal.read_bytes()
    store.close()
    store.path.unlink()
    wal.write_bytes(log)
    for make in (Store.create, Store.open):
        with pytest.raises(StoreFault, match="-wal is still here"):
            make(store.path)
    assert wal.read_bytes() == log
    wal.unlink()
    with Store.create(store.path) as new:
        assert everything(new)["acts"] == []


def test_a_store_behind_a_link_is_copied_with_its_log(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path / "room")) as store:
        mark_one(store)
        link = tmp_path / "link.db"
        link.symlink_to(store.path)
        assert check(link).acts == 1
        copy = backup(link, tmp_path / "copy.db")
        assert isinstance(copy, Path)
        assert check(copy).acts == 1


def test_a_pipe_is_no_store(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "room.db")
    with pytest.raises(StoreFault, match="no plain file"):
        Store.open(tmp_path / "room.db")


def test_a_name_like_an_address_is_a_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with Store.create(Path("file:room.db?mode=memory")) as store:
        replace_all(store, dict(small_room()))
        mark_one(store)
    with Store.open(Path("file:room.db?mode=memory")) as store:
        assert len(everything(store)["acts"]) == 1


def test_an_act_inside_an_act_is_a_fault_of_the_program(tmp_path: Path) -> None:
    with (
        Store.open(a_store(tmp_path)) as store,
        store.transaction(),
        pytest.raises(RuntimeError),
        store.transaction(),
    ):
        pass
