"""One cell of a CSV file to a value of the room and back, without loss.

A text that a spreadsheet would take for a formula, or whose blanks at the ends
would be lost, is written with an apostrophe before it, which reading takes off
again. Kinds and limits of cells are in `column`.
"""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from roomtasks.room.column import LONGEST_TEXT, Column, Value, exact_text, from_text, to_text
from roomtasks.room.problem import Problem

GUARD = "'"
GUARDED = ("=", "+", "-", "@", "\t", "\r", GUARD)
LONGEST_RECORD_TEXT = 1_000_000
_QUOTED = frozenset(',"\n\r')


@dataclass(frozen=True, slots=True)
class Manner:
    """How the cells of one file are written: decimal comma, line ends, zone, longest text."""

    decimal_comma: bool = False
    crlf: bool = False
    zone: ZoneInfo | None = None
    longest: int = LONGEST_TEXT


def read_cell(spec: Column, text: str, manner: Manner) -> Value | Problem:
    """The value of a cell; None where a cell that may be blank is blank."""
    if spec.kind != "text":
        return from_text(spec, text, decimal_comma=manner.decimal_comma, zone=manner.zone)
    if manner.crlf:
        text = text.replace("\r\n", "\n")
    body = text.lstrip()
    if body.startswith(GUARD):
        return exact_text(body[1:], manner.longest)
    body = body.rstrip()
    if not body:
        return from_text(spec, body)
    return exact_text(body, manner.longest)


def write_cell(spec: Column, value: Value) -> str:
    """The cell as it stands in a file, quoted where it must be (RFC 4180)."""
    text = to_text(spec, value)
    if spec.kind == "text" and isinstance(value, str):
        text = guarded(text, spec.optional)
    if _QUOTED.isdisjoint(text):
        return text
    return '"' + text.replace('"', '""') + '"'


def guarded(text: str, may_be_blank: bool = True) -> str:
    """The text with an apostrophe before it, where it needs one to come back whole."""
    if not text:
        return "" if may_be_blank else GUARD
    if text.startswith(GUARDED) or text[0].isspace() or text[-1].isspace():
        return GUARD + text
    return text
