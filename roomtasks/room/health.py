"""Health classes: the order in which tanks may be touched.

Eggs and fry first, then clean, under watch, quarantine, sick. The class is
worked out from who lives in the tank, its stay and what the keeper set; it is
never stored. Stay rules beyond the day count live elsewhere.
"""

from enum import IntEnum


class Health(IntEnum):
    """Riskier is larger; hands go from small to large."""

    FRY = 0
    CLEAN = 1
    WATCH = 2
    QUARANTINE = 3
    SICK = 4

    @property
    def word(self) -> str:
        return _WORDS[self]

    @property
    def letter(self) -> str:
        return _LETTERS[self]


_WORDS = {
    Health.FRY: "eggs and fry",
    Health.CLEAN: "clean",
    Health.WATCH: "under watch",
    Health.QUARANTINE: "quarantine",
    Health.SICK: "sick",
}
_LETTERS = {
    Health.FRY: "f",
    Health.CLEAN: "c",
    Health.WATCH: "w",
    Health.QUARANTINE: "q",
    Health.SICK: "s",
}
