"""Adding and changing facts of the room, one row an act, checked against all the others."""

from datetime import datetime
from typing import Any

from roomtasks.room.check import faults_of_change
from roomtasks.room.problem import Problem
from roomtasks.room.room import ROOM_SHEETS, SHEET, Room
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing


def sheets_of(room: Room) -> dict[str, list[Any]]:
    """The facts of a picture by sheet, as the rules between rows want them."""
    return {name: list(room.rows(name)) for name in ("setup", *ROOM_SHEETS)}


def put_fact(store: Store, now: datetime, who: str, sheet: str, value: Any) -> Told | Problem:
    """Write one row, new or changed. Refused with the first fault it would bring."""

    def do(it: Doing) -> str | Problem:
        spec = SHEET[sheet]
        key = spec.key_of(value)
        known = any(spec.key_of(row) == key for row in it.room.rows(sheet))
        found = faults_of_change(sheets_of(it.room), sheet, value)
        if found:
            return found[0].problem()
        it.writer.put(sheet, value)
        name = " ".join(str(part) for part in key) or "settings"
        return f"{sheet} {name} {'changed' if known else 'added'}"

    return doing(store, now, who, "facts", do)
