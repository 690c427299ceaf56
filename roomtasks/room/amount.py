"""A worked-out number with how it came: formula, inputs, and how each of them is known.

Screens open a number to this; JSON carries it. Nothing is worked out here.
"""

from dataclasses import dataclass

MEASURED, COMPUTED, ASSUMED, FORECAST = "measured", "computed", "assumed", "forecast"
SET = "as set"


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
