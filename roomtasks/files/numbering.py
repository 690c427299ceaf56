"""Numbers and codes for rows whose own was left blank by hand.

By the order of rows, the same every time, and never one that is or was in use.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from roomtasks.room.room import SHEET

_ID_KEY = re.compile(r"\s*\[\s*([0-9]{1,9})\s*\]\s*")


def number_blanks(sheets: Mapping[str, list[Any]], blanks: Mapping[str, Sequence[int]]) -> None:
    """Fill in the codes of these rows, by sheet and row number, where they stand."""
    for name, rows in blanks.items():
        if not rows:
            continue
        column = SHEET[name].key[0]
        values = sheets[name]
        used = {getattr(value, column) for value in values}
        if SHEET[name].columns[column].kind == "int":
            _ids(values, rows, column, _newest(used, name, sheets))
        else:
            _codes(values, rows, column, used, name)


def _newest(used: set[Any], name: str, sheets: Mapping[str, list[Any]]) -> int:
    """The highest number in use, or once in use by what the journal says."""
    ids = {number for number in used if number is not None}
    for change in sheets.get("changes", ()):
        if change.sheet == name and (match := _ID_KEY.fullmatch(change.key)):
            ids.add(int(match[1]))
        if name == "acts":
            ids.add(change.act)
    return max(ids, default=0)


def _ids(values: list[Any], rows: Sequence[int], column: str, newest: int) -> None:
    for number, row in enumerate(rows, start=newest + 1):
        values[row] = replace(values[row], **{column: number})


def _codes(
    values: list[Any], rows: Sequence[int], column: str, used: set[Any], name: str
) -> None:  # fmt: skip
    number = 0
    for row in rows:
        number += 1
        while f"{name}-{number}" in used:
            number += 1
        values[row] = replace(values[row], **{column: f"{name}-{number}"})
