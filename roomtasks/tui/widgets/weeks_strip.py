"""Tanks wanted against tanks there, a bar for each week: a block a kind, the number under it.

What goes beyond the tanks there is drawn with another sign, and its number has one too.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.tui.signs import Signs, clean, fitted

EIGHTHS = " ▁▂▃▄▅▆▇█"
OVER, PLAIN_BAR, PLAIN_OVER = "▒", "#", "%"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of tank: its word, how many there are, how many are wanted in each week."""

    word: str
    there: int
    wanted: tuple[int, ...]


def strip_lines(
    kinds: Sequence[Kind], hand: int, width: int, height: int, signs: Signs, blocks: bool
) -> list[str]:  # fmt: skip
    """The bars as lines of text, none longer than `width`; `hand` is the week in hand, from 1."""
    weeks = max((len(kind.wanted) for kind in kinds), default=0)
    if not weeks or width < 3 * weeks:
        return []
    column = min(6, width // weeks)
    room = max(1, (height - 1) // len(kinds) - 2)
    lines = []
    for kind in kinds:
        lines.append(_title(kind))
        lines += _bars(kind, column, min(room, 8), blocks)
        lines.append("".join(_number(kind, n, column, signs) for n in range(weeks)))
    lines.append("".join(
        f"{signs.hand if n + 1 == hand else ''}{n + 1}".rjust(column - 1) + " "
        for n in range(weeks)
    ))  # fmt: skip
    return [fitted(line, width) for line in lines]


def _title(kind: Kind) -> str:
    short = next((n for n, many in enumerate(kind.wanted, 1) if many > kind.there), None)
    told = f", short from week {short}" if short is not None else ", never short"
    return f"{clean(kind.word)}: {kind.there} there{told}"


def _number(kind: Kind, week: int, column: int, signs: Signs) -> str:
    wanted = kind.wanted[week]
    over = signs.late if wanted > kind.there else ""
    return f"{over}{wanted}".rjust(column - 1) + " "


def _bars(kind: Kind, column: int, rows: int, blocks: bool) -> list[str]:
    """From the top row down."""
    most = max(1, kind.there, *kind.wanted)
    lines = []
    for row in range(rows - 1, -1, -1):
        cells = [_cell(wanted, kind.there, most, row, rows, blocks) for wanted in kind.wanted]
        lines.append("".join((cell * (column - 1)) + " " for cell in cells))
    return lines


def _cell(wanted: int, there: int, most: int, row: int, rows: int, blocks: bool) -> str:
    """One row of one bar: full, a part of it, or beyond what is there."""
    filled = wanted / most * rows - row
    if filled <= 0:
        return " "
    if wanted > there and (row + 1) / rows * most > there + 1e-9:
        return OVER if blocks else PLAIN_OVER
    if not blocks:
        return PLAIN_BAR if filled >= 0.5 else " "
    return EIGHTHS[min(8, max(1, round(filled * 8)))]
