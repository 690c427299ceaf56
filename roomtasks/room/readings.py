"""Readings as the planner asks for them: the newest of a sort at a place, and its age.

Handed in by whoever read the store; nothing here reads one.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from roomtasks.room.amount import MEASURED, Amount
from roomtasks.room.journal import Reading
from roomtasks.room.naming import day_words


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings by place and sort, newest first."""

    by: Mapping[tuple[str, str], tuple[Reading, ...]]

    @classmethod
    def of(cls, readings: Iterable[Reading]) -> "Readings":
        """From readings in any order."""
        found: dict[tuple[str, str], list[Reading]] = {}
        for reading in readings:
            found.setdefault((reading.target, reading.what), []).append(reading)
        return cls(
            {
                key: tuple(sorted(rows, key=lambda row: (row.at, row.id), reverse=True))
                for key, rows in found.items()
            }
        )

    def all(self, target: str, what: str) -> tuple[Reading, ...]:
        """Every reading of a sort at a place, newest first."""
        return self.by.get((target, what), ())

    def newest(self, target: str, what: str) -> Reading | None:
        """The newest reading of a sort at a place."""
        found = self.all(target, what)
        return found[0] if found else None

    def amount(self, target: str, what: str, unit: str, today: date) -> Amount | None:
        """The newest reading as a number that says how old it is."""
        reading = self.newest(target, what)
        return None if reading is None else as_amount(reading, unit, today)


def as_amount(reading: Reading, unit: str, today: date) -> Amount:
    """A reading as a number that says how old it is."""
    days = (today - reading.day).days
    age = "today" if days == 0 else f"{days} day{'s' if days != 1 else ''} old"
    return Amount(reading.value, unit, MEASURED, source=f"read {day_words(reading.day)} ({age})")


NO_READINGS = Readings({})
