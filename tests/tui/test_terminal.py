"""The interface on a real terminal: killed, ended from outside, plain terminals, small ones."""

import argparse
import os
import signal
import sys
import tempfile
from pathlib import Path

import pytest

from roomtasks.room.room import SHEET
from roomtasks.store import read
from roomtasks.store.base import Store
from tests.tui.desk import new_store
from tests.tui.terminal import Terminal

NOW = ("--at", "2027-03-06T07:30", "--who", "Maeve")
RESTORED = b"\x1b[?1049l"


def marks(path: Path) -> list[str]:
    with Store.open(path) as store:
        return [f"{mark.job}@{mark.target}" for mark in read.rows(store, SHEET["marks"])]


def killed_after_done(folder: Path) -> bool:
    """Kill the interface the moment it shows a job as done; whether the job is in the store."""
    path = new_store(folder)
    terminal = Terminal(["-r", str(path), *NOW])
    assert terminal.until("Heaters and air")
    terminal.keys("5")
    assert terminal.until("next Sun")
    terminal.send(signal.SIGKILL)
    terminal.end()
    return marks(path) == ["check@room"]


def test_what_the_screen_showed_as_done_is_there_after_a_kill(tmp_path: Path) -> None:
    for n in range(3):
        folder = tmp_path / str(n)
        folder.mkdir()
        assert killed_after_done(folder)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_ended_from_outside_it_leaves_the_terminal_sane(tmp_path: Path, number: int) -> None:
    path = new_store(tmp_path)
    terminal = Terminal(["-r", str(path), *NOW])
    assert terminal.until("Heaters and air")
    terminal.keys("5")
    assert terminal.until("next Sun")
    terminal.send(number)
    assert terminal.end() == 128 + number
    assert RESTORED in terminal.seen
    assert marks(path) == ["check@room"]


def test_ctrl_c_does_not_lose_the_screen_and_q_leaves(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    terminal = Terminal(["-r", str(path), *NOW])
    assert terminal.until("Heaters and air")
    terminal.keys("q")
    assert terminal.end() == 0
    assert RESTORED in terminal.seen


@pytest.mark.parametrize(
    "env",
    [
        {"TERM": "dumb"},
        {"NO_COLOR": "1"},
        {"LANG": "C", "LC_ALL": "C", "PYTHONIOENCODING": "ascii"},
    ],
)
def test_plain_terminals_show_the_walk(tmp_path: Path, env: dict[str, str]) -> None:
    path = new_store(tmp_path)
    terminal = Terminal(["-r", str(path), *NOW], env=env)
    assert terminal.until("Heaters and air")
    terminal.keys("5")
    assert terminal.until("next Sun")
    terminal.keys("q")
    assert terminal.end() == 0
    assert marks(path) == ["check@room"]


def test_without_a_terminal_it_says_so(tmp_path: Path) -> None:
    import subprocess

    path = new_store(tmp_path)
    done = subprocess.run(
        [sys.executable, "-m", "roomtasks", "-r", str(path)], capture_output=True, text=True,
        check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 2
    assert "needs a terminal" in done.stderr


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=200)
    times = parser.parse_args().times
    os.environ.pop("PYTEST_CURRENT_TEST", None)
    kept = 0
    for _ in range(times):
        with tempfile.TemporaryDirectory() as folder:
            kept += killed_after_done(Path(folder))
    sys.stdout.write(f"{times} kills between key and repaint, {kept} kept, {times - kept} lost\n")
    sys.exit(kept != times)
