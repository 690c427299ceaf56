"""One cell of a sheet: a value into its text and back, losing nothing.

A spreadsheet takes a cell that begins with = + - @ for a sum, and a text may
begin or end in blanks that reading would drop. Such texts are written behind
an apostrophe, which says: what follows stands exactly as it is. The reader
takes an apostrophe off only where the writer would have put one, so a text
that begins with one of its own keeps it.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from roomtasks.room.column import LONGEST_TEXT, Column, Value, exact_text, from_text, to_text
from roomtasks.room.problem import Problem

APOSTROPHE = "'"
MOST_REMEMBERED = 4096
LONGEST_REMEMBERED = 64
LONGEST_JSON = 1_000_000
_GUARDED = re.compile(r"'*[=+\-@＝＋－＠]|'*\s")


def longest_text(sheet: str) -> int:
    """The most characters a text of this sheet may have; whole rows as JSON are longer."""
    return LONGEST_JSON if sheet == "changes" else LONGEST_TEXT


def guarded(text: str) -> bool:
    """Whether this text is written behind an apostrophe.

    Where it is true of a text, it is true of the text behind an apostrophe
    too: that makes taking one off safe.
    """
    return bool(_GUARDED.match(text)) or text[-1:].isspace()


def cell_text(spec: Column, value: Value) -> str:
    """The cell as written, before any quotation marks."""
    text = to_text(spec, value)
    return APOSTROPHE + text if spec.kind == "text" and guarded(text) else text


def unwritable(spec: Column, value: Value, longest: int) -> Problem | None:
    """Why a value cannot be written so that it reads back the same; None where it can."""
    if isinstance(value, float) and not math.isfinite(value):
        return Problem("", f"{value} is no number", "correct it first")
    if spec.kind != "text" or not isinstance(value, str):
        return None
    text = exact_text(value, longest)
    if isinstance(text, Problem):
        return text
    if not spec.optional and not value.strip():
        return Problem("", "it is blank", f"give {spec.doc}")
    return None


@dataclass(frozen=True, slots=True)
class Manner:
    """How cells of a file are written: its decimal sign, and the zone of times without offset."""

    decimal_comma: bool
    zone: ZoneInfo
    longest: int = LONGEST_TEXT


def cell_reader(spec: Column, default: Value, manner: Manner) -> Callable[[str], Value | Problem]:
    """A reader for the cells of one column, which remembers those it has met."""
    met: dict[str, Value | Problem] = {}

    def read(text: str) -> Value | Problem:
        value = met.get(text)
        if value is None and text not in met:
            value = _cell_value(spec, text, manner)
            value = default if value is None else value
            if len(text) <= LONGEST_REMEMBERED:
                if len(met) >= MOST_REMEMBERED:
                    met.clear()
                met[text] = value
        return value

    return read


def _cell_value(spec: Column, text: str, manner: Manner) -> Value | Problem:
    if spec.kind == "text" and text.strip():
        exact = text[1:] if text[0] == APOSTROPHE and guarded(text[1:]) else text.strip()
        value = exact_text(exact, manner.longest)
        if isinstance(value, str) and not value.strip() and not spec.optional:
            return Problem("", "it is blank", f"give {spec.doc}")
        return value
    return from_text(spec, text, decimal_comma=manner.decimal_comma, zone=manner.zone)
