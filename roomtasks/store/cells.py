"""Whether the cells of a stored row can be read into their value, and lie in their limits.

Quick, since a million rows are asked. Does not live here: what a column is
(`room.column`), and rules between cells (`room.check`).
"""

from datetime import date, datetime, time
from typing import Any

from roomtasks.room.column import (
    FIRST_YEAR,
    LARGEST_NUMBER,
    LAST_YEAR,
    LONGEST_TEXT,
    Column,
    Sheet,
    exact_text,
    shown,
)
from roomtasks.room.problem import Problem


def misfit(sheet: Sheet[Any], plain: dict[str, Any]) -> str | None:
    """What is wrong with the first cell that does not fit, None where all do."""
    for name, spec in sheet.columns.items():
        wrong = _wrong(spec, plain[name], sheet.defaults[name])
        if wrong:
            return f"{name} {wrong}"
    return None


def _wrong(spec: Column, cell: Any, default: Any) -> str:
    if cell is None or cell == default:
        blank = cell is None and default is not None
        return "is blank" if blank or (cell is None and not spec.optional) else ""
    kind = spec.kind
    if kind in ("int", "number"):
        return _number(spec, cell)
    if kind == "yesno":
        return "" if cell in (0, 1) else f"is {cell}, which is neither yes nor no"
    if not isinstance(cell, str):
        return "is no text"
    if kind in ("text", "code"):
        wrong = exact_text(cell, LONGEST_TEXT)
        return wrong.what.replace("it ", "", 1) if isinstance(wrong, Problem) else ""
    if kind == "word":
        return "" if cell in spec.words else f"is “{shown(cell)}”, which is not one of the words"
    return _moment(kind, cell)


def _number(spec: Column, cell: Any) -> str:
    if not isinstance(cell, int | float):
        return "is no number"
    if not abs(cell) <= LARGEST_NUMBER:
        return f"is {cell}, which is out of reach"
    if spec.low is not None and cell < spec.low:
        return f"is {cell:g}, less than {spec.low:g}"
    if spec.high is not None and cell > spec.high:
        return f"is {cell:g}, more than {spec.high:g}"
    return ""


def _moment(kind: str, cell: str) -> str:
    read = {"day": date.fromisoformat, "instant": datetime.fromisoformat}
    try:
        if kind == "time":
            time.fromisoformat(cell)
            return ""
        found = read[kind](cell)
    except ValueError:
        return f"is “{shown(cell)}”, which is no {kind}"
    if isinstance(found, datetime) and found.tzinfo is None:
        return f"is “{shown(cell)}”, which has no offset from UTC"
    return "" if FIRST_YEAR <= found.year <= LAST_YEAR else f"is {shown(cell)}, out of reach"
