"""Racks, shelves and places: where tanks stand and how they are reached.

The order of racks is the keeper's path through the room. A shelf's reach says
whether it is worked from the floor, standing, or with the steps.
"""

from dataclasses import dataclass

from roomtasks.room.column import Sheet, column

REACHES = ("floor", "standing", "steps")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """A rack; `path` is its number on the keeper's way through the room."""

    code: str = column("code", "the rack's code, as A")
    name: str = column("text", "what the keeper calls it", default="")
    path: int = column("int", "its number on the way through the room", low=0, high=9999)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """One shelf of a rack, counted from the top."""

    rack: str = column("code", "the rack's code")
    shelf: int = column("int", "the shelf's number, 1 is the top", low=1, high=99)
    places: int = column("int", "how many tanks stand side by side", low=1, high=99)
    reach: str = column("word", "how it is reached", words=REACHES, default="standing")


RACKS = Sheet("racks", Rack, ("code",), "The racks, in the order the keeper walks past them.")
SHELVES = Sheet("shelves", Shelf, ("rack", "shelf"), "The shelves of each rack, from the top down.")
