"""A worked-out number with how it came: formula, inputs, and how each of them is known.

Screens open a number to this; JSON carries it. No number is worked out here.
"""

from collections.abc import Iterable
from dataclasses import dataclass

MEASURED, COMPUTED, ASSUMED, FORECAST = "measured", "computed", "assumed", "forecast"
SET = "as set"
_SURE_FIRST = (MEASURED, SET, COMPUTED, FORECAST, ASSUMED)


def weakest(known: Iterable[str]) -> str:
    """How a sum of numbers is known: as the least sure of them; computed where there are none."""
    return max(known, key=_SURE_FIRST.index, default=COMPUTED)


@dataclass(frozen=True, slots=True)
class Input:
    """One number that went in. `known` is measured, computed, assumed, forecast or as set."""

    name: str
    value: float | str
    unit: str = ""
    known: str = SET
    source: str = ""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number, its unit, how it is known, its formula in words and what went in.

    `source` says where the number or its rule is from: a fact of the room, the
    day of a reading, a published source, or common practice.
    """

    value: float
    unit: str
    known: str = COMPUTED
    formula: str = ""
    inputs: tuple[Input, ...] = ()
    source: str = ""
