"""Numbers and codes for rows whose own was left blank by hand.

By the order of rows, the same every time. Numbers go on from the newest that
is or, by the journal, once was in use; codes fill the first gaps.
"""

from collections.abc import Mapping
from dataclasses import replace

from roomtasks.files.sheet_file import CODED, SheetRead, left_to_the_program
from roomtasks.room.flat_json import flat_list


def number_blanks(sheets: Mapping[str, SheetRead]) -> None:
    """Fill in, where they stand, the numbers and codes that the files left blank."""
    for name, read in sheets.items():
        column = left_to_the_program(read.sheet)
        if not column or not read.unnumbered:
            continue
        used = {getattr(value, column) for value in read.values} - {None}
        if name in CODED:
            _codes(read, column, CODED[name], used)
        else:
            newest = max(used | _once_used(name, sheets), default=0)
            for number, row in enumerate(read.unnumbered, start=newest + 1):
                read.values[row] = replace(read.values[row], **{column: number})


def _codes(read: SheetRead, column: str, prefix: str, used: set[str]) -> None:
    last = 0
    for row in read.unnumbered:
        last += 1
        while f"{prefix}{last}" in used:
            last += 1
        read.values[row] = replace(read.values[row], **{column: f"{prefix}{last}"})


def _once_used(name: str, sheets: Mapping[str, SheetRead]) -> set[int]:
    """Numbers that the changes of the journal name, of rows taken away too."""
    if "changes" not in sheets:
        return set()
    changes = sheets["changes"].values
    if name == "acts":
        return {change.act for change in changes}
    keys = (flat_list(change.key) for change in changes if change.sheet == name)
    return {key[0] for key in keys if key and isinstance(key[0], int)}
