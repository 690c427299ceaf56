"""Words of the keeper to the stand-in: kept at a place until they are taken off.

They stand on the stand-in's sheet, whatever its days.
"""

from datetime import datetime

from roomtasks.room.column import shown
from roomtasks.room.near import near, or_words
from roomtasks.room.pin import Message
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing

LONGEST_MESSAGE, MOST_MESSAGES = 300, 99


def leave_message(
    store: Store, now: datetime, who: str, target: str, text: str
) -> Told | Problem:  # fmt: skip
    """Leave a word at a tank, rack, system, reservoir, filter or the room."""

    def do(it: Doing) -> str | Problem:
        fault = _fault(it.room, target, text)
        if fault is not None:
            return fault
        code = _free_code(it.room)
        it.writer.put("messages", Message(code=code, target=target, text=text))
        return f"message {code} at {target}: {text}"

    return doing(store, now, who, "message", do)


def take_off(store: Store, now: datetime, who: str, code: str) -> Told | Problem:
    """Take a word off again."""

    def do(it: Doing) -> str | Problem:
        found = next((row for row in it.room.messages if row.code == code), None)
        if found is None:
            known = " ".join(row.code for row in it.room.messages)
            remedy = f"there are: {known}" if known else "there are none"
            return Problem("message", f"there is no message “{shown(code)}”", remedy)
        it.writer.remove("messages", [code])
        return f"message {code} at {found.target} taken off: {found.text}"

    return doing(store, now, who, "message-off", do)


def _fault(room: Room, target: str, text: str) -> Problem | None:
    places = _places(room)
    if target not in places:
        found = near(target, places)
        remedy = or_words(found) if found else "give a tank, a rack, a system or room"
        return Problem("message", f"there is no place “{shown(target)}”", remedy)
    if len(text) > LONGEST_MESSAGE:
        return Problem("message", f"{len(text)} letters are too many for a line of a sheet",
                       f"say it in {LONGEST_MESSAGE}")  # fmt: skip
    if any((row.target, row.text) == (target, text) for row in room.messages):
        return Problem("message", f"{target} says that already", "nothing was changed",
                       "no-change")  # fmt: skip
    if len(room.messages) >= MOST_MESSAGES:
        return Problem("message", f"there are {len(room.messages)} messages already",
                       "take some off: nobody reads so many")  # fmt: skip
    return None


def _places(room: Room) -> set[str]:
    sheets = (room.tanks, room.racks, room.systems, room.reservoirs, room.filters)
    return {"room", *(row.code for rows in sheets for row in rows)}


def _free_code(room: Room) -> str:
    used = {row.code for row in room.messages}
    return next(f"m{n}" for n in range(1, MOST_MESSAGES + 2) if f"m{n}" not in used)
