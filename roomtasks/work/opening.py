"""Opening a room: its store, the facts in it, and who is at work.

Front ends come in here, so that they need not know the store. What is due is
in `picture`; pages about one thing in `pages`.
"""

from datetime import datetime, timedelta
from pathlib import Path

from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import PEOPLE, SETUP
from roomtasks.store import read, search
from roomtasks.store.base import Store

__all__ = ["Store", "behind_journal", "door_of", "open_store", "room_in", "who_is"]


def open_store(path: Path) -> Store:
    """An existing store, opened. Raises StoreFault."""
    return Store.open(path)


def room_in(store: Store) -> Room | Problem:
    """The room as it stands; a Problem where the store holds none yet."""
    return read.room(store)


def door_of(store: Store) -> Room | Problem:
    """The room's settings and people and nothing else: enough for what time it is, and for whom."""
    setup = read.rows(store, SETUP)
    return Room(setup[0], people=tuple(read.rows(store, PEOPLE))) if setup else room_in(store)


def behind_journal(store: Store, now: datetime) -> datetime | None:
    """When the newest act was entered, where that is more than a minute after now; else None.

    A clock that was set back makes every day count wrong, so it is said aloud.
    """
    newest = next((act.at for act in search.acts(store, most=1)), None)
    return newest if newest is not None and newest > now + timedelta(minutes=1) else None


def who_is(room: Room, told: str | None) -> str:
    """The name to write beside an act.

    What was told, a person's code being their name; where nothing was told,
    the only keeper who is here at present, else nobody.
    """
    if told is not None:
        codes = {person.code.lower(): person.name for person in room.people}
        return codes.get(told.strip().lower(), told.strip())
    keepers = [p.name for p in room.people if p.part == "keeper" and p.present]
    return keepers[0] if len(keepers) == 1 else ""
