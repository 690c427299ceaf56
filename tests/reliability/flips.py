"""One byte changed behind the program's back: told, or without any meaning.

    python -m tests.reliability.flips [--times 5000] [--seed 1]

Every page of a store is tried in turn, at a random byte and with a random bit
pattern. Opening or looking through must name the damage; where neither does,
every fact must read exactly as before. Neither may change the file, and a copy
of it must be refused where damage was named.
"""

import argparse
import tempfile
from pathlib import Path
from random import Random
from typing import Any

from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEETS
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.care import backup, check
from roomtasks.store.fault import StoreFault
from tests.reliability.session import ended, mark_step
from tests.rooms import small_room, store_with

PAGE_BYTES = 4096
ACTS = 20


def flip_often(folder: Path, times: int, seed: int) -> tuple[str, list[str]]:
    """Change so many bytes, page after page; gives the counts in words, and the faults."""
    chance, bad = Random(seed), list[str]()
    with store_with(folder, small_room()) as store:
        for number in range(ACTS):
            mark_step(store, number)
        path, facts = store.path, everything(store)
    whole = path.read_bytes()
    target = folder / "flipped" / "room.db"
    target.parent.mkdir()
    told = 0
    for number in range(times):
        page = number % (len(whole) // PAGE_BYTES)
        at = page * PAGE_BYTES + chance.randrange(PAGE_BYTES)
        content = bytearray(whole)
        content[at] ^= chance.randrange(1, 256)
        target.write_bytes(content)
        named, wrong = _tried(target, facts)
        told += named
        if target.read_bytes() != content:
            wrong.append("the file was changed")
        bad += [f"byte {at} of page {page + 1}: {one}" for one in wrong]
    if not told:
        bad.append("no damage was ever named")
    said = f"{told:,} named, {times - told:,} without meaning, {len(whole) // PAGE_BYTES} pages"
    return said, bad


def _tried(target: Path, facts: dict[str, list[Any]]) -> tuple[bool, list[str]]:
    """Whether the damage was named, and what else is wrong."""
    wrong: list[str] = []
    try:
        named = not check(target).whole
    except StoreFault:
        named = True
    copy = target.with_name("copy.db")
    try:
        copied = backup(target, copy, overwrite=True)
    except StoreFault:
        copied = Problem("", "", "")
    if named and not isinstance(copied, Problem):
        wrong.append("damage was named, and copied all the same")
    left = sorted(file.name for file in target.parent.iterdir() if "-" in file.name)
    if left:
        wrong.append(f"{left} left beside it")
    if not named:
        if not isinstance(copied, Path):
            wrong.append("no damage was named, and no copy made")
        elif not _same(copied, facts):
            wrong.append("a fact reads otherwise, and nothing is said")
    copy.unlink(missing_ok=True)
    return named, wrong


def _same(path: Path, facts: dict[str, list[Any]]) -> bool:
    with Store.open(path) as store:
        return everything(store) == facts


def everything(store: Store) -> dict[str, list[Any]]:
    with store.reading():
        return {sheet.name: read.rows(store, sheet) for sheet in SHEETS}


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        said, bad = flip_often(Path(folder), asked.times, asked.seed)
    ended("flipped bytes", said, bad)


if __name__ == "__main__":
    main()
