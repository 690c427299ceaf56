"""Check, backup and restore of 2,000 tanks and 1,000,000 journal lines, also while in use.

    python -m tests.reliability.large [--tanks 2000] [--lines 1000000]

Full size only; a small size of the same store is under pytest. The backup is
made while another program goes on marking, is found whole, and holds every act
acknowledged before it began. Beside each time stands that of reading the file
once, in the same run.
"""

import argparse
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import TypeVar

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check, restore
from roomtasks.work.marking import How, mark
from tests.reliability.long_journal import LOOKED_AT, long_store
from tests.reliability.session import acts_in, ended

T = TypeVar("T")


@dataclass
class Counted:
    """Seconds by what was done, and what was wrong."""

    bytes: int = 0
    lines: int = 0
    seconds: dict[str, float] = field(default_factory=dict)
    marked_meanwhile: int = 0
    faults: list[str] = field(default_factory=list)

    def timed(self, name: str, do: Callable[[], T]) -> T:
        began = time.perf_counter()
        found = do()
        self.seconds[name] = time.perf_counter() - began
        return found

    def words(self) -> str:
        times = ", ".join(f"{name} {seconds:.1f} s" for name, seconds in self.seconds.items())
        return (
            f"{self.lines:,} lines, {self.bytes / 1e6:.0f} MB; {times}; "
            f"{self.marked_meanwhile} acts marked during the backup in use"
        )


def care_for(folder: Path, tanks: int, lines: int) -> Counted:
    """Make the store and take each care of it once."""
    counted = Counted(lines=lines)
    path, _ = counted.timed("made", lambda: long_store(folder, tanks, lines))
    counted.bytes = path.stat().st_size
    counted.timed("read once", path.read_bytes)
    found = counted.timed("check", lambda: check(path))
    counted.faults += [problem.sentence() for problem in found.damage]
    if found.acts != lines:
        counted.faults.append(f"check looked at {found.acts:,} acts")
    quiet = folder / "quiet.backup"
    _good(counted, counted.timed("backup", lambda: backup(path, quiet)))
    _backup_in_use(path, folder / "used.backup", counted)
    target = folder / "back" / "room.db"
    _good(counted, counted.timed("restore", lambda: restore(quiet, target)))
    if len(acts_in(target)) != lines:
        counted.faults.append("what was put back has not all acts")
    return counted


def _good(counted: Counted, answer: object) -> None:
    if isinstance(answer, Problem):
        counted.faults.append(answer.sentence())


def _backup_in_use(path: Path, to: Path, counted: Counted) -> None:
    """A copy made while another program marks on: whole, with all that was said before it."""
    with marking(path) as said:
        while len(said()) < 3:
            time.sleep(0.05)
        before = set(said())
        _good(counted, counted.timed("backup in use", lambda: backup(path, to)))
        counted.marked_meanwhile = len(set(said()) - before)
    if not before <= acts_in(to).keys():
        counted.faults.append("an act acknowledged before the copy began is not in it")
    if not set(said()) <= acts_in(path).keys():
        counted.faults.append("an act acknowledged during the copy is not in the store")
    counted.faults += [problem.sentence() for problem in check(to).damage]


@contextmanager
def marking(path: Path) -> Iterator[Callable[[], list[int]]]:
    """Another program marks on and on; what it has acknowledged so far can be asked."""
    report = path.with_name("said.txt")
    report.touch()
    child = os.fork()
    if not child:
        try:
            _mark_on(path, report)
        finally:
            os._exit(9)
    try:
        yield lambda: [int(line) for line in report.read_text("ascii").split("\n")[:-1]]
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def _mark_on(path: Path, report: Path) -> None:
    with Store.open(path) as store, report.open("a", encoding="ascii") as file:
        for day in range(10_000):
            now = LOOKED_AT + timedelta(days=day)
            answer = mark(store, now, ["look@B1"], "done", How(anyway=True, hands_clean=True))
            if not isinstance(answer, Problem) and answer.act is not None:
                file.write(f"{answer.act}\n")
                file.flush()
            time.sleep(0.02)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--tanks", type=int, default=2000)
    parser.add_argument("--lines", type=int, default=1_000_000)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counted = care_for(Path(folder), asked.tanks, asked.lines)
    sys.stdout.write(f"{asked.tanks:,} tanks\n")
    ended("large", counted.words(), counted.faults)


if __name__ == "__main__":
    main()
