"""Measured fish and sizes that a figure reads from a file.

Lives here: two named columns of a CSV file, and a list of litres typed or one a
line. Every fault names the file and line.
Does not live here: the room's own folder of text files.
"""

from pathlib import Path

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import Measure, read_number, read_quantity

MOST_BYTES = 4_000_000
_LONGEST_NAME = 1_000


def columns(
    name: str, first: tuple[str, ...], second: tuple[str, ...]
) -> tuple[list[float], list[float]] | Problem:
    """Two columns of numbers from a CSV file, each under the first of its names found.

    A file of two columns with no line of names is read in order.
    """
    lines = _lines(name)
    if isinstance(lines, Problem):
        return lines
    rows = [(place, _cells(line)) for place, line in enumerate(lines, 1) if line.strip()]
    if not rows:
        return Problem(_named(name), "it is empty", f"begin it with {first[0]},{second[0]}")
    heads = [cell.lower() for cell in rows[0][1]]
    at = [
        next((heads.index(head) for head in names if head in heads), -1)
        for names in (first, second)
    ]
    if -1 not in at:
        rows = rows[1:]
    elif len(heads) == 2 and not any(isinstance(read_number("", c), Problem) for c in heads):
        at = [0, 1]
    else:
        what = f"no column is named {(first if at[0] < 0 else second)[0]}"
        return Problem(
            f"{_named(name)}:{rows[0][0]}", what, f"begin it with {first[0]},{second[0]}"
        )
    found: tuple[list[float], list[float]] = ([], [])
    for place, cells in rows:
        for into, column, label in zip(found, at, (first[0], second[0]), strict=True):
            cell = cells[column] if column < len(cells) else ""
            value = read_number(f"{_named(name)}:{place}: {label}", cell)
            if isinstance(value, Problem):
                return value
            into.append(value)
    return found


def _cells(line: str) -> list[str]:
    return [cell.strip().removeprefix('"').removesuffix('"').strip() for cell in line.split(",")]


def size_list(field: str, text: str) -> list[float] | Problem:
    """Litres from a comma list, or from a file with one a line where the text names one.

    A unit may follow a number. In a file, blank lines and those that begin with
    # are passed over.
    """
    if _is_file(text):
        lines = _lines(text)
        if isinstance(lines, Problem):
            return lines
        parts = [
            (f"{_named(text)}:{place}", line)
            for place, line in enumerate(lines, 1)
            if line.strip() and not line.lstrip().startswith("#")
        ]
    else:
        parts = [(field, part) for part in text.split(",")]
    sizes = []
    for where, part in parts:
        size = read_quantity(where, part, Measure.VOLUME, "l")
        if isinstance(size, Problem):
            if where == field and not any(sign.isdigit() for sign in text.split(",")[0][:1]):
                return Problem(field, f"“{shown(text)}” is no list of litres", "nor a file here")
            return size
        sizes.append(size)
    return sizes


def _is_file(text: str) -> bool:
    try:
        return Path(text).is_file()
    except (OSError, ValueError):
        return False


def _named(name: str) -> str:
    """A file's name for a message: whole, and harmless."""
    return shown(name, _LONGEST_NAME)


def _lines(name: str) -> list[str] | Problem:
    """The lines of a text file of a reasonable size."""
    where = _named(name)
    try:
        path = Path(name)
        if path.exists() and not path.is_file():
            return Problem(where, "it is no plain file", "name a text file")
        with path.open("rb") as opened:
            raw = opened.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else "no such name can be"
        return Problem(where, f"it cannot be read ({why})", "name a file that is there")
    if len(raw) > MOST_BYTES:
        return Problem(where, f"it is longer than {MOST_BYTES} bytes", "give a part of it")
    try:
        return raw.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        return Problem(where, "it is no UTF-8 text", "save it as UTF-8")
