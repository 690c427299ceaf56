"""A fault between rows, and the facts that the rules between rows look into.

Lives here: the value of a fault, and the names a room knows. Does not live
here: the rules themselves (`check` and its parts).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from roomtasks.room.column import shown
from roomtasks.room.flat_json import flat_list
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem

ROOM = "room"
NAMED_SHEETS = ("racks", "systems", "sources", "reservoirs", "tanks", "filters")
MOST_GUESSES = 100


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong between rows: where, what was found, what would do.

    `row` counts the rows of the sheet from 0, None where no row is to blame.
    `leans_on` names the sheets the fault was found in besides its own row:
    where one of those could not be read whole, the fault may be no fault.
    """

    sheet: str
    row: int | None
    column: str
    found: str
    remedy: str
    leans_on: tuple[str, ...] = ()

    def problem(self) -> Problem:
        """The fault as the one value for "the keeper must settle this"."""
        where = f"{self.sheet}, {self.column}" if self.column else self.sheet
        return Problem(where, self.found, self.remedy)


@dataclass(frozen=True)
class Facts:
    """The rows of a room by sheet, with the look-ups that the rules share."""

    sheets: Mapping[str, Sequence[Any]]
    _guesses: dict[tuple[str, str], list[str]] = field(default_factory=dict)

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

    @cached_property
    def taken_away(self) -> frozenset[tuple[str, str]]:
        """Sheet and code of every thing and job that an act of the journal took away.

        The journal outlives what it is about, so its rows may go on naming these.
        """
        keys = {
            (change.sheet, change.key)
            for _, change in self.rows("changes")
            if not change.after and change.sheet in (*NAMED_SHEETS, "jobs")
        }
        found = ((sheet, flat_list(key)) for sheet, key in keys)
        return frozenset((sheet, str(key[0])) for sheet, key in found if key and len(key) == 1)

    @cached_property
    def places_once(self) -> frozenset[str]:
        """Things of the room that an act took away."""
        return frozenset(code for sheet, code in self.taken_away if sheet != "jobs")

    def guess(self, sheet: str, name: str) -> list[str]:
        """Names of a sheet near to this one, "" for all places; few, as guessing is slow."""
        asked = (sheet, name)
        if asked not in self._guesses:
            if len(self._guesses) >= MOST_GUESSES:
                return []
            self._guesses[asked] = near(name, self.codes(sheet) if sheet else self.places)
        return self._guesses[asked]


_ONE = {
    "racks": "rack",
    "systems": "system",
    "sources": "source",
    "reservoirs": "reservoir",
    "tanks": "tank",
    "filters": "filter",
    "jobs": "job",
}


def unknown(
    facts: Facts, sheet: str, row: int, column: str, name: str, among: str, remedy: str = ""
) -> Fault:
    """The fault of a name that the sheet `among` does not hold."""
    guesses = facts.guess(among, name)
    if guesses:
        remedy = or_words(guesses) + (f" Else {remedy}" if remedy else "")
    remedy = remedy or f"add it to {among}, or correct it"
    return Fault(sheet, row, column, f"there is no {_ONE[among]} “{shown(name)}”", remedy, (among,))


def no_place(facts: Facts, sheet: str, row: int, column: str, name: str) -> Fault:
    """The fault of a target that is nothing in the room."""
    guesses = facts.guess("", name)
    remedy = or_words(guesses) if guesses else (
        "give a tank, filter, system, source, reservoir or rack of the room, or the word room"
    )  # fmt: skip
    return Fault(
        sheet, row, column, f"there is no place “{shown(name)}” in the room", remedy, NAMED_SHEETS
    )
