"""The example room of water in a store, and looks at what acts left there."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from roomtasks.room.room import SHEETS, Room
from roomtasks.store import read
from roomtasks.store.base import Store
from tests.room.example_room import example_room
from tests.rooms import store_with

JOURNAL = ("acts", "changes")


def sheets_of(room: Room) -> dict[str, list[Any]]:
    """The facts of a room by sheet."""
    return {sheet.name: list(room.rows(sheet.name)) for sheet in SHEETS}


def example_store(folder: Path, room: Room | None = None, **vessel: Any) -> Store:
    """The example room in a store; `vessel` changes facts of its reservoir R1."""
    room = room or example_room()
    reservoirs = tuple(
        replace(row, **vessel) if row.code == "R1" else row for row in room.reservoirs
    )
    return store_with(folder, sheets_of(replace(room, reservoirs=reservoirs)))


def the_room(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def facts(store: Store) -> dict[str, list[Any]]:
    """Everything in the store but the journal of acts."""
    return {sheet.name: read.rows(store, sheet) for sheet in SHEETS if sheet.name not in JOURNAL}


def holds(store: Store, code: str = "R1") -> float:
    """What a reservoir holds by the book."""
    return float(the_room(store).reservoir[code].holds_litres)
