"""kill -9 while acts are marked: every acknowledged act is in the store, whole.

    python -m tests.reliability.kill [--times 1000] [--seed 1]

A child process marks acts one after the other and says each one's number only
after the call returned; the parent kills it at a random moment, then opens the
store, as the program would the next morning.
"""

import argparse
import os
import random
import shutil
import signal
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from roomtasks.store.base import Store
from roomtasks.store.care import check
from roomtasks.store.first_look import beside
from tests.reliability.session import ended, half_acts, mark_step
from tests.rooms import small_room, store_with

LONGEST_LIFE_SECONDS = 0.25
KILLS_A_STORE = 20


@dataclass
class Counted:
    """What the kills came to."""

    kills: int = 0
    acknowledged: int = 0
    unacknowledged: int = 0
    with_log: int = 0
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        return (
            f"{self.kills} kills, {self.acknowledged} acts acknowledged, "
            f"{self.unacknowledged} whole though the kill came before the word, "
            f"{self.with_log} stores left with a log to be read back"
        )


def kill_often(folder: Path, times: int, seed: int) -> Counted:
    """So many kills, a new store every so often; what was wrong is in `faults`."""
    chance, counted = random.Random(seed), Counted()
    with store_with(folder, small_room(), "new.db") as store:
        fresh = store.path
    with store_with(folder, small_room(), "before.db") as store:
        mark_step(store, 0)  # what an act loads late is loaded here, before the children's time
    path = folder / "room.db"
    while counted.kills < times:
        for file in (path, *beside(path)):
            file.unlink(missing_ok=True)
        shutil.copyfile(fresh, path)
        known: dict[int, str] = {}
        for _ in range(min(KILLS_A_STORE, times - counted.kills)):
            _one_kill(path, chance.uniform(0.0, LONGEST_LIFE_SECONDS), known, counted)
        counted.faults += [problem.sentence() for problem in check(path).damage]
    return counted


def _one_kill(path: Path, life_seconds: float, known: dict[int, str], counted: Counted) -> None:
    """Start a child, kill it, and look for what it said is done. `known`: note by act."""
    before = max(known, default=0)
    said = _killed_after(path, before, life_seconds)
    counted.kills += 1
    counted.acknowledged += len(said)
    log = beside(path)[0]
    counted.with_log += log.exists() and log.stat().st_size > 0
    with Store.open(path) as store:
        notes = dict(store.connection.execute(_NOTES).fetchall())
        counted.faults += half_acts(store.connection)
    known.update(said)
    counted.faults += [
        f"kill {counted.kills}: act {act} was acknowledged and is not there"
        for act, note in known.items()
        if notes.get(act) != note
    ]
    unsaid = notes.keys() - known.keys()
    counted.unacknowledged += len(unsaid)
    if len(unsaid) > 1:
        counted.faults.append(f"kill {counted.kills}: {len(unsaid)} acts were never acknowledged")
    known.update({act: notes[act] for act in unsaid})


_NOTES = """
SELECT "acts"."id", "acts"."who" FROM "acts"
WHERE EXISTS (SELECT 1 FROM "changes" WHERE "changes"."act" = "acts"."id")
"""


def _killed_after(path: Path, acts_before: int, life_seconds: float) -> dict[int, str]:
    """Acknowledged notes by act, from a child that lived so long."""
    out, into = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.close(out)
            _mark_on(path, acts_before, into)
        finally:
            os._exit(9)
    os.close(into)
    time.sleep(life_seconds)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(out, encoding="utf-8") as pipe:
        lines = [line.split() for line in pipe.read().splitlines()]
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status):
        raise AssertionError(f"the child ended by itself, with {status}")
    return {int(act): note for act, note in lines}


def _mark_on(path: Path, number: int, into: int) -> None:
    """Mark acts until killed; one short write a line, so that no word is half."""
    with Store.open(path) as store:
        while True:
            note = f"step-{number}"
            act = mark_step(store, number, note, who=note)
            os.write(into, f"{act} {note}\n".encode())
            number += 1


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counted = kill_often(Path(folder), asked.times, asked.seed)
    ended("kill -9", counted.words(), counted.faults)


if __name__ == "__main__":
    main()
