"""Where a standing job is done: one line of text, and the targets it means today.

Tanks cut off from a system today leave "tanks on system S" and join "tanks cut
off from S": a job belongs to a tank in a state, not to a tank.
"""

from dataclasses import dataclass
from typing import Literal

from roomtasks.room.problem import Problem
from roomtasks.room.tank import ROLES

Thing = Literal["room", "system", "reservoir", "rack", "tank", "filter"]
Scope = Literal["named", "rack", "system", "cut-off", "role", "alone", "tank", "all"]

FORMS = (
    "room", "system S", "reservoir R1", "rack A", "tank B2 B3", "tanks in rack A",
    "tanks on system S", "tanks cut off from S", "tanks for grow-out", "tanks standing alone",
    "all tanks", "filter B2-1", "filters in rack A", "filters on tank B2", "filters for grow-out",
    "filters standing alone", "all filters",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Where:
    """A sort of thing and which of them."""

    thing: Thing
    scope: Scope
    names: tuple[str, ...] = ()


def parse_where(text: str) -> Where | Problem:
    """Read one of the forms in FORMS."""
    match text.split():
        case ["room"]:
            return Where("room", "named", ("room",))
        case [("system" | "reservoir" | "rack" | "tank" | "filter") as thing, *names] if names:
            return Where(thing, "named", tuple(names))
        case ["all", ("tanks" | "filters") as things]:
            return Where(_one(things), "all")
        case [("tanks" | "filters") as things, "in", "rack", rack]:
            return Where(_one(things), "rack", (rack,))
        case [("tanks" | "filters") as things, "on", "system", system]:
            return Where(_one(things), "system", (system,))
        case [("tanks" | "filters") as things, "cut", "off", "from", system]:
            return Where(_one(things), "cut-off", (system,))
        case [("tanks" | "filters") as things, "for", role] if role in ROLES:
            return Where(_one(things), "role", (role,))
        case [("tanks" | "filters") as things, "standing", "alone"]:
            return Where(_one(things), "alone")
        case ["filters", "on", "tank", tank]:
            return Where("filter", "tank", (tank,))
    return Problem("", f"“{text[:60]}” names no place", "write it as one of: " + "; ".join(FORMS))


def _one(things: str) -> Thing:
    return "tank" if things == "tanks" else "filter"
