"""A disk that is full or fails at every write of one act, once and for good.

    python -m tests.reliability.disk [--times 0]

A child that holds the store open has its files limited to so many bytes more
than they have, one limit for every write of an act (RLIMIT_FSIZE: SQLite sees
an I/O error); a store that may grow by so many pages (SQLite sees a full
disk); and, where this user may mount one, a small memory disk with so many
pages free. The act must be refused in words, nothing of it be there, and be
done as soon as there is room. `--times` limits the places, 0 for all.
"""

import argparse
import os
import resource
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.store.first_look import beside
from tests.reliability.session import ended, half_acts, mark_step, whole_sum
from tests.rooms import small_room, store_with

STEP_BYTES = 512
PAGE_BYTES = 4096
FAILURES_FOR_GOOD = 3
UNLIMITED = resource.RLIM_INFINITY


@dataclass
class Counted:
    """What the failing writes came to: refused acts by the sort of their fault."""

    places: int = 0
    refused: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)

    def words(self) -> str:
        sorts = ", ".join(f"{count} {sort}" for sort, count in sorted(self.refused.items()))
        return f"{self.places} places of one act, acts refused: {sorts or 'none'}"

    def note(self, said: str) -> None:
        """Take in a child's report: sorts of refused acts, faults after `!`."""
        self.places += 1
        for line in said.splitlines():
            if line.startswith("!"):
                self.faults.append(line[1:])
            else:
                self.refused[line] = self.refused.get(line, 0) + 1


def failing_writes(folder: Path, counted: Counted, most: int = 0) -> None:
    """Every write of an act fails: the files may not grow past a limit."""
    fresh, grows = _fresh(folder)
    for extra in _places(0, grows + PAGE_BYTES, STEP_BYTES, most):
        for log_first in (True, False):
            path = _copied(fresh, folder)
            counted.note(in_child(partial(_limited, path, extra, log_first)))
            counted.faults += after_all(path, f"limit at {extra} bytes")


def full_store(folder: Path, counted: Counted, most: int = 0) -> None:
    """The store may grow by so many pages: SQLite itself says the disk is full."""
    fresh, _ = _fresh(folder)
    with Store.open(fresh) as store:
        pages: int = store.connection.execute("PRAGMA page_count").fetchone()[0]
    for extra in _places(0, 4, 1, most):
        path = _copied(fresh, folder)
        counted.note(in_child(partial(_few_pages, path, pages + extra)))
        counted.faults += after_all(path, f"{extra} pages free")


def full_disk(folder: Path, counted: Counted, most: int = 0) -> bool:
    """A memory disk with so many pages free. False where none may be mounted."""
    fresh, grows = _fresh(folder)
    disk = folder / "disk"
    disk.mkdir()
    with _mounted(disk) as there:
        if not there:
            return False
        for extra in _places(0, grows // PAGE_BYTES + 4, 1, most):
            path = _copied(fresh, disk)
            counted.note(in_child(partial(_filled, path, extra)))
            counted.faults += after_all(path, f"{extra} pages of the disk free")
    return True


def _places(first: int, end: int, step: int, most: int) -> list[int]:
    places = list(range(first, end, step))
    return places[:: -(-len(places) // most)] if most else places


def _fresh(folder: Path) -> tuple[Path, int]:
    """A store to copy, and the bytes its log grows by in one act."""
    with store_with(folder, small_room(), "fresh.db") as store:
        path = store.path
    probe = _copied(path, folder)
    with Store.open(probe) as store:
        mark_step(store, 0)
        log = beside(probe)[0]
        had = log.stat().st_size
        mark_step(store, 1)
        return path, log.stat().st_size - had


def _copied(fresh: Path, folder: Path) -> Path:
    path = folder / "room.db"
    for file in (path, *beside(path)):
        file.unlink(missing_ok=True)
    return shutil.copyfile(fresh, path)


def in_child(do: Callable[[], list[str]]) -> str:
    """Lines said by a child process, whose limits end with it."""
    out, into = os.pipe()
    child = os.fork()
    if not child:
        said = "!the child ended before it could tell"
        try:
            said = "\n".join(do())
        finally:
            os.write(into, said.encode())
            os._exit(0)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return said


def _limited(path: Path, extra: int, log_first: bool) -> list[str]:
    """One act with room, then acts that may grow the log by so much; or none at all yet."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    with Store.open(path) as store:
        if log_first:
            mark_step(store, 0)
        log = beside(path)[0]
        limit = (log.stat().st_size if log_first else 0) + extra

        def room(free: bool) -> None:
            soft = UNLIMITED if free else limit
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, UNLIMITED))

        return _once_and_for_good(store, int(log_first), room)


def _few_pages(path: Path, pages: int) -> list[str]:
    """Acts until the store would need more pages than it may have, and some beyond."""
    with Store.open(path) as store:
        number = 0

        def room(free: bool) -> None:
            most = 1_000_000 if free else pages
            store.connection.execute(f"PRAGMA max_page_count = {most}")

        room(False)
        while (said := _try(store, number)) == "done":
            number += 1
        room(True)
        return ([said] if said.startswith("!") else []) + _once_and_for_good(store, number, room)


def _filled(path: Path, pages: int) -> list[str]:
    """Acts on a disk that another file fills but for so many pages."""
    filler = path.with_name("filler")
    with Store.open(path) as store:
        mark_step(store, 0)

        def room(free: bool) -> None:
            if free:
                filler.unlink(missing_ok=True)
                return
            left = shutil.disk_usage(path.parent).free
            filler.write_bytes(bytes(max(0, left - pages * PAGE_BYTES)))

        return _once_and_for_good(store, 1, room)


def _once_and_for_good(store: Store, number: int, room: Callable[[bool], None]) -> list[str]:
    """Refused once, then done; then refused again and again, then done."""
    said = []
    for failures in (1, FAILURES_FOR_GOOD):
        before = whole_sum(store.connection)
        room(False)
        tries = []
        for _ in range(failures):
            tries.append(_try(store, number))
            if tries[-1] == "done":
                break
        room(True)
        said += [one for one in tries if one != "done"]
        if tries[-1] != "done":
            if whole_sum(store.connection) != before:
                said.append("!a refused act left something behind")
            last = _try(store, number)
            if last != "done":
                said.append(f"!with room again the act was refused: {last}")
        said += [f"!{fault}" for fault in half_acts(store.connection)]
        number += 1
    return said


def _try(store: Store, number: int) -> str:
    """`done`, or the sort of the fault; a fault that is no clear word begins with `!`."""
    try:
        mark_step(store, number)
    except StoreFault as fault:
        clear = fault.sort in ("full", "disk") and fault.passing and fault.what and fault.remedy
        return fault.sort if clear else f"!unclear: {fault.sort}: {fault}"
    return "done"


def after_all(path: Path, where: str) -> list[str]:
    """What is wrong with the store once everybody has left it."""
    with Store.open(path) as store:
        faults = half_acts(store.connection)
        acts: int = store.connection.execute('SELECT count(*) FROM "acts"').fetchone()[0]
    return [f"{where}: {fault}" for fault in faults] + (
        [f"{where}: only {acts} acts are there"] if acts < 2 else []
    )


@contextmanager
def _mounted(folder: Path) -> Iterator[bool]:
    """A memory disk of 2 MB at a folder, if this user may mount one."""
    command = ["mount", "-t", "tmpfs", "-o", "size=2m", "none", str(folder)]
    try:
        there = subprocess.run(command, check=False, capture_output=True).returncode == 0
    except OSError:
        there = False
    try:
        yield there
    finally:
        if there:
            subprocess.run(["umount", str(folder)], check=True)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=0)
    most = parser.parse_args().times
    counted, mounted = Counted(), False
    with tempfile.TemporaryDirectory() as folder:
        for name, run in (("w", failing_writes), ("s", full_store)):
            (Path(folder) / name).mkdir()
            run(Path(folder) / name, counted, most)
        (Path(folder) / "d").mkdir()
        mounted = full_disk(Path(folder) / "d", counted, most)
    disk = "with a memory disk" if mounted else "no memory disk could be mounted here"
    ended("failing disk", f"{counted.words()} ({disk})", counted.faults)


if __name__ == "__main__":
    main()
