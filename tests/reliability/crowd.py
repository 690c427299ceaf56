"""Many programs on one store at once: every act is there, none twice.

    python -m tests.reliability.crowd [--times 1000] [--programs 8] [--rounds 200]

Each program marks one job of its own on one day after the other, so many
times, and every fourth time does an act on water instead. What waited longer
than a program waits is told as locked, tried again and counted. Then two
programs mark the same job at the same second, round after round: one act, and
the other is told who and when.
"""

import argparse
import json
import os
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.store.care import check
from roomtasks.store.fault import StoreFault
from roomtasks.work.fish import Told
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.met import contact
from roomtasks.work.water import set_level, step
from tests.reliability.session import FIRST_EVENING, STOCKED_TANKS, ended, half_acts
from tests.rooms import small_room, store_with

WATER_EACH = 4
JOBS = tuple(f"{job}@{tank}" for job in ("look", "feed") for tank in STOCKED_TANKS)
MOST_PROGRAMS = len(JOBS)


@dataclass
class Counted:
    """What the programs came to."""

    programs: int = 0
    acts: int = 0
    seconds: float = 0.0
    longest_wait_seconds: float = 0.0
    p99_wait_seconds: float = 0.0
    told_locked: int = 0
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        return (
            f"{self.programs} programs, {self.acts:,} acts in {self.seconds:.1f} s, longest wait "
            f"{self.longest_wait_seconds:.2f} s, 99 of 100 within {self.p99_wait_seconds:.2f} s, "
            f"told locked and tried again {self.told_locked} times"
        )


def at_once(*children: Callable[[Callable[[], None]], Any]) -> list[Any]:
    """What each child says, all started together. Each calls what it is given when it is ready."""
    started = [_start(child) for child in children]
    for _, _, out in started:
        os.read(out, 1)
    for _, go, _ in started:
        os.write(go, b"g")
    said = []
    for child, go, out in started:
        with os.fdopen(out, encoding="utf-8") as pipe:
            said.append(json.loads(pipe.read() or '["the child ended"]'))
        os.close(go)
        os.waitpid(child, 0)
    return said


def _start(do: Callable[[Callable[[], None]], Any]) -> tuple[int, int, int]:
    wait, go = os.pipe()
    out, into = os.pipe()
    child = os.fork()
    if not child:

        def ready() -> None:
            os.write(into, b"r")
            os.read(wait, 1)

        try:
            os.write(into, json.dumps(do(ready)).encode())
        finally:
            os._exit(0)
    os.close(wait)
    os.close(into)
    return child, go, out


def crowd(folder: Path, programs: int, times: int) -> Counted:
    """So many programs, so many acts each, on one new store."""
    counted = Counted(programs)
    with store_with(folder, small_room()) as store:
        path = store.path
    began = time.perf_counter()
    said = at_once(*(partial(_mark_own, path, number, times) for number in range(programs)))
    counted.seconds = time.perf_counter() - began
    waits = sorted(wait for one in said for wait in one["waits"])
    counted.longest_wait_seconds = waits[-1]
    counted.p99_wait_seconds = waits[int(len(waits) * 0.99)]
    counted.told_locked = sum(one["locked"] for one in said)
    counted.faults += [fault for one in said for fault in one["faults"]]
    known = {act: who for one in said for act, who in one["acts"]}
    _all_there(path, known, programs * times, counted)
    return counted


def _all_there(path: Path, known: dict[int, str], wanted: int, counted: Counted) -> None:
    with Store.open(path) as store:
        doers = store.connection.execute('SELECT "id", "who" FROM "acts"').fetchall()
        marks, served = store.connection.execute(
            'SELECT (SELECT count(*) FROM "marks"), (SELECT count(*) FROM '
            '(SELECT DISTINCT "job", "target", "slot" FROM "marks"))'
        ).fetchone()
        on_water = store.connection.execute(_ON_WATER).fetchone()[0]
        counted.acts = len(doers)
        counted.faults += half_acts(store.connection)
    if dict(doers) != known:
        counted.faults.append("the acts there are not those that were acknowledged")
    if not (counted.acts == len(known) == len(set(known.values())) == wanted):
        counted.faults.append(
            f"{wanted} acts were wanted: {counted.acts} acts, {len(known)} acknowledged"
        )
    if not (marks == served == wanted - on_water):
        counted.faults.append(
            f"{wanted} acts, {on_water} of them on water: {marks} marks of {served} days"
        )
    counted.faults += [problem.sentence() for problem in check(path).damage]


def _mark_own(path: Path, number: int, times: int, ready: Callable[[], None]) -> dict[str, Any]:
    """Mark one job on one day after the other; gives each act, each wait, and what was wrong."""
    acts: list[tuple[int, str]] = []
    waits: list[float] = []
    faults: list[str] = []
    locked = 0
    with Store.open(path) as store:
        ready()
        for n in range(times):
            who = f"{number}-{n}"
            began = time.perf_counter()
            while True:
                try:
                    answer = _own_act(store, number, n, who)
                    break
                except StoreFault as fault:
                    locked += 1
                    if fault.sort != "locked":
                        faults.append(str(fault))
                        break
            waits.append(time.perf_counter() - began)
            if isinstance(answer, Problem) or answer.act is None:
                faults.append(f"{who}: {answer}")
            else:
                acts.append((answer.act, who))
    return {"acts": acts, "waits": waits, "faults": faults, "locked": locked}


def _own_act(store: Store, number: int, n: int, who: str) -> Marked | Told | Problem:
    """The n-th act of a program: a mark of its own job, or each fourth time one on water."""
    now = FIRST_EVENING + timedelta(days=n, minutes=number)
    if n % WATER_EACH != WATER_EACH - 1:
        how = How(who=who, note=who, anyway=True, hands_clean=True)
        return mark(store, now, [JOBS[number]], "done", how)
    match n // WATER_EACH % 3:
        case 0:
            return step(store, now, who, "R2", "hose-out", anyway=True)
        case 1:
            return set_level(store, now, who, "B1", f"salt {number}", 1.0 + n)
        case _:
            return contact(store, now, who, "Q1", "B1", "net")


_ON_WATER = """
SELECT count(*) FROM (SELECT "act" FROM "vessel_steps" UNION ALL SELECT "act" FROM "contacts"
UNION ALL SELECT DISTINCT "act" FROM "changes" WHERE "sheet" = 'levels')
"""


def same_second(folder: Path, rounds: int) -> tuple[int, list[str]]:
    """Two programs mark one job at one second, on so many days; gives acts and what was wrong."""
    with store_with(folder, small_room()) as store:
        path = store.path
    faults: list[str] = []
    for n in range(rounds):
        said = at_once(*(partial(_mark_same, path, who, n) for who in ("mk", "tb")))
        winners = [one for one in said if one["act"] is not None]
        others = [one for one in said if one["act"] is None]
        if len(winners) != 1 or len(others) != 1:
            faults.append(f"round {n}: {len(winners)} acts of two programs")
            continue
        told = f"{FIRST_EVENING:%H:%M} by {winners[0]['who']} already"
        if told not in others[0]["words"]:
            faults.append(f"round {n}: the other was told “{others[0]['words']}”")
    with Store.open(path) as store:
        acts: int = store.connection.execute('SELECT count(*) FROM "acts"').fetchone()[0]
        faults += half_acts(store.connection)
    if acts != rounds:
        faults.append(f"{acts} acts in {rounds} rounds")
    return acts, faults


def _mark_same(path: Path, who: str, n: int, ready: Callable[[], None]) -> dict[str, Any]:
    with Store.open(path) as store:
        ready()
        how = How(who=who, anyway=True, hands_clean=True)
        answer = mark(store, FIRST_EVENING + timedelta(days=n), ["look@A1"], "done", how)
    if isinstance(answer, Problem):
        return {"who": who, "act": None, "words": answer.sentence()}
    return {"who": who, "act": answer.act, "words": answer.words}


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--programs", type=int, default=8, choices=range(2, MOST_PROGRAMS + 1))
    parser.add_argument("--rounds", type=int, default=200)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        many, two = Path(folder) / "many", Path(folder) / "two"
        many.mkdir()
        two.mkdir()
        counted = crowd(many, asked.programs, asked.times)
        acts, faults = same_second(two, asked.rounds)
    same = f"same second: {asked.rounds} rounds of two programs, {acts} acts"
    ended("crowd", f"{counted.words()}; {same}", counted.faults + faults)


if __name__ == "__main__":
    main()
