"""Due dates of 10,000 tasks over a journal of 1,000,000 lines, against a floor in the same run.

    python -m tests.bench.due_dates [--tanks 2000] [--lines 1000000] [--times 5] [--profile]

The floor is the bare point queries: the newest closing mark of each task, one
prepared statement, nothing made of the rows. Medians in milliseconds; nothing
here is a test.
"""

import argparse
import cProfile
import pstats
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from roomtasks.room.due import all_due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.scope import pasts_wanted
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.picture import picture
from tests.reliability.long_journal import LOOKED_AT, long_store

POINT = """
SELECT "id", "day", "slot", "outcome" FROM "marks" WHERE "job" = ? AND "target" = ?
AND "outcome" IN ('done', 'left-out') ORDER BY "day" DESC, "id" DESC LIMIT 1
"""


def median_ms(do: Callable[[], Any], times: int) -> float:
    """The median of so many runs, after one that warms up."""
    do()
    found = []
    for _ in range(times):
        began = time.perf_counter()
        do()
        found.append((time.perf_counter() - began) * 1000)
    return statistics.median(found)


def say(name: str, milliseconds: float, floor: float) -> None:
    sys.stdout.write(f"{name:<56} {milliseconds:9.1f} ms   ratio {milliseconds / floor:6.1f}\n")


def due_dates(store: Store) -> int:
    """What a picture of the room works out: the facts, the pasts, what is due."""
    room = _room(store)
    return len(all_due(room, read.pasts(store, _wanted(room)), LOOKED_AT))


def _room(store: Store) -> Room:
    room = read.room(store)
    if isinstance(room, Problem):
        raise SystemExit(room.sentence())
    return room


def _wanted(room: Room) -> list[tuple[str, str]]:
    return list(pasts_wanted(room, LOOKED_AT, None))


def _point_queries(connection: sqlite3.Connection, tasks: list[tuple[str, str]]) -> None:
    for task in tasks:
        connection.execute(POINT, task).fetchone()


def measured(store: Store, times: int) -> None:
    """Print every figure of one store."""
    room = _room(store)
    tasks = _wanted(room)
    pasts = read.pasts(store, tasks)
    lines: int = store.connection.execute('SELECT count(*) FROM "acts"').fetchone()[0]
    dues = len(all_due(room, pasts, LOOKED_AT))
    sys.stdout.write(f"{len(tasks):,} tasks, {lines:,} lines, {dues:,} with a due date\n")
    floor = median_ms(lambda: _point_queries(store.connection, tasks), times)
    say("floor: newest closing mark of each task, bare SQL", floor, floor)
    count = 'SELECT count(*) FROM "marks" NOT INDEXED'
    counting = median_ms(lambda: store.connection.execute(count).fetchone(), times)
    say("for size: counting the marks, bare SQL", counting, floor)
    say("the room's facts", median_ms(lambda: _room(store), times), floor)
    say("the pasts", median_ms(lambda: read.pasts(store, tasks), times), floor)
    say("due dates from them", median_ms(lambda: all_due(_room(store), pasts, LOOKED_AT), times),
        floor)  # fmt: skip
    say("whole: facts, pasts and due dates", median_ms(lambda: due_dates(store), times), floor)
    say("whole picture, with the walk", median_ms(lambda: picture(store, LOOKED_AT), times), floor)
    near = ["T0100"]
    say("picture near one tank, as for a mark",
        median_ms(lambda: picture(store, LOOKED_AT, near=near), times), floor)  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--tanks", type=int, default=2000)
    parser.add_argument("--lines", type=int, default=1_000_000)
    parser.add_argument("--times", type=int, default=5)
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        path, _ = long_store(Path(folder), asked.tanks, asked.lines)
        sys.stdout.write(f"store made in {time.perf_counter() - began:.0f} s\n")
        with Store.open(path) as store:
            measured(store, asked.times)
            if asked.profile:
                profile = cProfile.Profile()
                profile.runcall(due_dates, store)
                pstats.Stats(profile, stream=sys.stdout).sort_stats("cumulative").print_stats(30)


if __name__ == "__main__":
    main()
