"""A fault between rows, and the facts that the rules between rows look into.

Lives here: the value of a fault, and the names a room knows. Does not live
here: the rules themselves (`check` and its parts).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from typing import Any

from roomtasks.room.column import shown

ROOM = "room"
NAMED_SHEETS = ("racks", "systems", "reservoirs", "tanks", "filters")


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong between rows: where, what was found, what would do.

    `row` counts the rows of the sheet from 0, None where no row is to blame.
    `leans_on` names other sheets the fault was found in: where one of those
    could not be read whole, the fault may be no fault.
    """

    sheet: str
    row: int | None
    column: str
    found: str
    remedy: str
    leans_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Facts:
    """The rows of a room by sheet, with the look-ups that the rules share."""

    sheets: Mapping[str, Sequence[Any]]

    def rows(self, sheet: str) -> Iterator[tuple[int, Any]]:
        """The rows of a sheet with their numbers, from 0."""
        return enumerate(self.sheets.get(sheet, ()))

    def codes(self, sheet: str) -> frozenset[str]:
        """Every code of a sheet that has codes."""
        return self._codes[sheet]

    @cached_property
    def places(self) -> frozenset[str]:
        """Everything a mark, a hold or an event can be about."""
        return frozenset((ROOM,)).union(*(self.codes(name) for name in NAMED_SHEETS))

    @cached_property
    def _codes(self) -> dict[str, frozenset[str]]:
        return {
            name: frozenset(row.code for row in self.sheets.get(name, ()))
            for name in (*NAMED_SHEETS, "jobs")
        }

    @cached_property
    def acts(self) -> dict[int, int]:
        """The row of every act by its number."""
        return {act.id: row for row, act in self.rows("acts")}


_ONE = {
    "racks": "rack",
    "systems": "system",
    "reservoirs": "reservoir",
    "tanks": "tank",
    "filters": "filter",
    "jobs": "job",
}


def unknown(facts: Facts, sheet: str, row: int, column: str, name: str, among: str) -> Fault:
    """The fault of a name that the sheet `among` does not hold."""
    near = get_close_matches(name, facts.codes(among), 3)
    remedy = f"did you mean {' or '.join(near)}?" if near else f"add it to {among}, or correct it"
    return Fault(sheet, row, column, f"there is no {_ONE[among]} “{shown(name)}”", remedy, (among,))


def no_place(facts: Facts, sheet: str, row: int, column: str, name: str) -> Fault:
    """The fault of a target that is nothing in the room."""
    near = get_close_matches(name, facts.places, 3)
    remedy = f"did you mean {' or '.join(near)}?" if near else (
        "give a tank, filter, system, reservoir or rack of the room, or the word room"
    )  # fmt: skip
    return Fault(
        sheet, row, column, f"there is no place “{shown(name)}” in the room", remedy, NAMED_SHEETS
    )
