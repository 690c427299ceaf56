"""The rules between the rows of a room: every fault at once.

Single cells are read and limited in `column`; here are the rules that need two
rows, two columns or a line of rule text. The rules themselves stand in
`check_places`, `check_water`, `check_jobs`,
`check_rings`, `check_brood`, `check_stays` and `check_past`. Pure: no files.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from itertools import chain
from typing import Any

from roomtasks.room.check_brood import brood_faults, line_faults, move_faults
from roomtasks.room.check_jobs import (
    away_faults,
    between_faults,
    counter_faults,
    hold_faults,
    job_faults,
)
from roomtasks.room.check_past import act_faults, change_faults, past_faults
from roomtasks.room.check_pins import pin_faults
from roomtasks.room.check_places import (
    fish_faults,
    name_faults,
    rack_faults,
    setup_faults,
    tank_faults,
    water_faults,
)
from roomtasks.room.check_rings import ring_faults
from roomtasks.room.check_stays import course_faults, stay_faults
from roomtasks.room.check_water import hours_faults, recipe_faults, step_faults, sump_faults
from roomtasks.room.column import harmless, to_plain
from roomtasks.room.fault import Facts, Fault
from roomtasks.room.room import SHEET, SHEETS

__all__ = ["Fault", "faults", "faults_brought", "faults_of_change", "faults_of_removal"]

_RULES = (
    setup_faults, name_faults, rack_faults, tank_faults, water_faults, recipe_faults,
    sump_faults, step_faults, hours_faults, fish_faults, job_faults,
    between_faults, hold_faults, counter_faults, pin_faults, away_faults, ring_faults, past_faults,
    act_faults, change_faults, line_faults, brood_faults, move_faults, stay_faults, course_faults,
)  # fmt: skip
_ORDER = {sheet.name: number for number, sheet in enumerate(SHEETS)}


def faults(sheets: Mapping[str, Sequence[Any]]) -> list[Fault]:
    """Every fault between the rows of a room, in the order of sheets and rows.

    `sheets` holds the values of each sheet by its name; a sheet left out has
    no rows. Raises KeyError for a name that is no sheet.
    """
    for name in sheets:
        SHEET[name]
    facts = Facts(sheets)
    found = chain(_doubled(facts), *(rule(facts) for rule in _RULES))
    return sorted(map(_harmless, found), key=_place)


def faults_of_change(
    sheets: Mapping[str, Sequence[Any]], sheet: str, value: Any, *, adding: bool = False
) -> list[Fault]:
    """The faults that one changed row has, or brings about elsewhere.

    The row of the same key is replaced, or the value is put after the last.
    With `adding` it is always put after the last, so that a key in use is a
    fault.
    """
    rows = list(sheets.get(sheet, ()))
    row = len(rows) if adding else _row_of(sheet, rows, SHEET[sheet].key_of(value))
    rows[row : row + 1] = [value]
    found = faults({**sheets, sheet: rows})
    own = [fault for fault in found if (fault.sheet, fault.row) == (sheet, row)]
    others = [fault for fault in found if (fault.sheet, fault.row) != (sheet, row)]
    return own + _new_among(others, sheets)


def faults_of_removal(
    sheets: Mapping[str, Sequence[Any]], sheet: str, key: Sequence[Any]
) -> list[Fault]:
    """The faults that taking this row away would bring about, as rows that name it.

    A journal that is not among `sheets` cannot be looked at: ask the store
    whether a mark, an event or a reading still names the thing.
    """
    rows = list(sheets.get(sheet, ()))
    row = _row_of(sheet, rows, tuple(key))
    return faults_brought(sheets, {**sheets, sheet: rows[:row] + rows[row + 1 :]})


def faults_brought(
    before: Mapping[str, Sequence[Any]], after: Mapping[str, Sequence[Any]]
) -> list[Fault]:
    """The faults of one state of the room that another did not have, row numbers apart."""
    return _new_among(faults(after), before)


def _new_among(found: list[Fault], before: Mapping[str, Sequence[Any]]) -> list[Fault]:
    if not found:
        return []
    old = {_said(fault) for fault in faults(before)}
    return [fault for fault in found if _said(fault) not in old]


def _said(fault: Fault) -> tuple[str, str, str]:
    return fault.sheet, fault.column, fault.found


def _row_of(sheet: str, rows: Sequence[Any], key: tuple[Any, ...]) -> int:
    """The place of the row with this key, one past the last if there is none."""
    key_of = SHEET[sheet].key_of
    return next((row for row, value in enumerate(rows) if key_of(value) == key), len(rows))


def _doubled(facts: Facts) -> Iterator[Fault]:
    """Rows whose key an earlier row of the sheet has."""
    for sheet in SHEETS:
        if not sheet.key:
            continue
        seen = set()
        for row, value in facts.rows(sheet.name):
            key = tuple(_moment(part) for part in sheet.key_of(value))
            if key in seen:
                told = " ".join(str(to_plain(part)) for part in key)
                yield Fault(
                    sheet.name, row, sheet.key[-1],
                    f"{' and '.join(sheet.key)} {told} stand here a second time",
                    "each may stand once; correct or take out one of the two",
                )  # fmt: skip
            seen.add(key)


def _harmless(fault: Fault) -> Fault:
    """Words of the room in a fault can move no cursor and turn no line round."""
    if fault.found.isprintable() and fault.remedy.isprintable():
        return fault
    return replace(fault, found=harmless(fault.found), remedy=harmless(fault.remedy))


def _moment(part: Any) -> Any:
    """Instants by UTC: Python holds two zones' times apart where the clocks go back."""
    return part.astimezone(UTC) if isinstance(part, datetime) and part.tzinfo else part


def _place(fault: Fault) -> tuple[int, int, str, str]:
    row = -1 if fault.row is None else fault.row
    return _ORDER[fault.sheet], row, fault.column, fault.found
