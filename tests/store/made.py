"""Stores for tests: a small room with a morning's acts, crash copies, sums of files."""

import hashlib
import os
import shutil
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir
from typing import Any

from roomtasks.room.journal import Mark
from roomtasks.room.room import SHEETS
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.write import act
from tests.rooms import at, small_room, store_with

MORNING = at("2027-03-06 08:00")
TODAY = date(2027, 3, 6)


def a_store(folder: Path, acts: int = 0) -> Path:
    """A closed store of the small room with so many acts of marking."""
    folder.mkdir(parents=True, exist_ok=True)
    with store_with(folder, small_room()) as store:
        for n in range(acts):
            mark_one(store, MORNING + timedelta(minutes=n), note=f"note {n}")
        return store.path


def mark_one(store: Store, when: datetime = MORNING, **more: Any) -> int:
    """One act that writes one mark; gives the act's number."""
    with act(store, when, TODAY, "mk", "done") as writer:
        writer.words = "Look over at A1: done"
        writer.put(
            "marks",
            Mark(
                id=writer.next_id("marks"), act=writer.id, job="look", target="A1", slot=TODAY,
                outcome="done", day=TODAY, at=when, who="mk", **more,
            ),
        )  # fmt: skip
    return writer.id


def everything(store: Store) -> dict[str, list[Any]]:
    """Every value of every sheet."""
    with store.reading():
        return {sheet.name: read.rows(store, sheet) for sheet in SHEETS}


def sum_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def sums(folder: Path) -> dict[str, str]:
    """The sum of every file of a folder."""
    return {path.name: sum_of(path) for path in sorted(folder.iterdir())}


def crash_copy(store_path: Path, folder: Path) -> Path:
    """The files as they lie on the disk, while the store is open: as after a power cut."""
    folder.mkdir(parents=True, exist_ok=True)
    for end in ("", "-wal"):
        shutil.copyfile(f"{store_path}{end}", folder / f"room.db{end}")
    return folder / "room.db"


def for_anybody(folder: Path) -> None:
    """Let any user come as far as this folder of a test, however deep the tests were begun."""
    for each in (folder, *folder.parents):
        if each.stat().st_uid == os.geteuid() and each.name and each != Path(gettempdir()):
            each.chmod(each.stat().st_mode | 0o055)


def as_nobody(do: Callable[[], str]) -> str:
    """Run in a child that may not write where this user may; gives what it says.

    A user called root may write everywhere, so it becomes nobody first. What an
    act loads late is loaded before by an act elsewhere, as nobody may not read
    where it lies.
    """
    with TemporaryDirectory() as elsewhere:
        a_store(Path(elsewhere), acts=1)
    out, into = os.pipe()
    child = os.fork()
    if not child:
        said = "the child ended"
        try:
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(65534)
                os.setuid(65534)
            said = do()
        finally:
            os.write(into, said.encode())
            os._exit(0)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return said
