"""A store that another program holds: for a while, and for good.

    python -m tests.reliability.locked [--times 5]

Another program holds the store's write lock for 1 s: marking waits and is
done. It holds it for good: marking says so within the time a program waits,
nothing is changed, and the same entry is done once the lock is gone.
"""

import argparse
import os
import signal
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from roomtasks.store.base import WAIT_SECONDS, Store
from roomtasks.store.fault import StoreFault
from tests.reliability.session import ended, half_acts, mark_step, whole_sum
from tests.rooms import small_room, store_with

SLACK_SECONDS = 1.0


@dataclass
class Counted:
    """How often a lock was waited out, how often told, and the longest of both."""

    waited: int = 0
    told: int = 0
    longest_wait_seconds: float = 0.0
    longest_told_seconds: float = 0.0
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        return (
            f"{self.waited} locks waited out (longest {self.longest_wait_seconds:.2f} s), "
            f"{self.told} told as locked (longest {self.longest_told_seconds:.2f} s)"
        )


@contextmanager
def held(path: Path, seconds: float | None) -> Iterator[None]:
    """Another program holds the write lock: for so long, or until the end where None."""
    out, into = os.pipe()
    child = os.fork()
    if not child:
        try:
            connection = sqlite3.connect(path, isolation_level=None)
            connection.execute("BEGIN IMMEDIATE")
            os.write(into, b"h")
            time.sleep(600.0 if seconds is None else seconds)
            connection.execute("ROLLBACK")
        finally:
            os._exit(0)
    os.read(out, 1)
    try:
        yield
    finally:
        if seconds is None:
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(out)
        os.close(into)


def waited_out(store: Store, number: int, seconds: float, counted: Counted) -> None:
    """A lock that ends is waited for, and the act is done."""
    began = time.perf_counter()
    with held(store.path, seconds):
        mark_step(store, number)
        took = time.perf_counter() - began
    counted.waited += 1
    counted.longest_wait_seconds = max(counted.longest_wait_seconds, took)
    if took < seconds * 0.9:
        counted.faults.append(f"an act was done after {took:.2f} s of a lock of {seconds:g} s")


def told(store: Store, number: int, wait_seconds: float, counted: Counted) -> None:
    """A lock that does not end is told in time; the same entry is done once it is gone."""
    before = whole_sum(store.connection)
    with held(store.path, None):
        began = time.perf_counter()
        try:
            mark_step(store, number)
            counted.faults.append("an act was done while another program held the store")
        except StoreFault as fault:
            if fault.sort != "locked" or not fault.passing or not fault.remedy:
                counted.faults.append(f"told as {fault.sort}: {fault}")
        took = time.perf_counter() - began
    counted.told += 1
    counted.longest_told_seconds = max(counted.longest_told_seconds, took)
    if not wait_seconds * 0.9 <= took <= wait_seconds + SLACK_SECONDS:
        counted.faults.append(f"told after {took:.2f} s, not {wait_seconds:g} s")
    if whole_sum(store.connection) != before:
        counted.faults.append("something was changed")
    mark_step(store, number)
    counted.faults += half_acts(store.connection)


def run(folder: Path, times: int, seconds: float, wait_seconds: float) -> Counted:
    """Locks of so many seconds, and locks for good, on a store that waits so long."""
    counted = Counted()
    store_with(folder, small_room()).close()
    with Store.open(folder / "room.db", wait_seconds=wait_seconds) as store:
        for n in range(times):
            waited_out(store, 2 * n, seconds, counted)
            told(store, 2 * n + 1, wait_seconds, counted)
    return counted


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=5)
    times = parser.parse_args().times
    with tempfile.TemporaryDirectory() as folder:
        counted = run(Path(folder), times, 1.0, WAIT_SECONDS)
    ended("locked", counted.words(), counted.faults)


if __name__ == "__main__":
    main()
