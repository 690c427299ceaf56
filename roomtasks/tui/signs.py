"""The signs of the racks and the walk: letters and shapes of our own, never colour alone.

Two sets: shapes for terminals that can show them, plain letters for those that
cannot. Every text a person typed passes `clean` before it reaches the screen.
"""

from dataclasses import dataclass

from rich.cells import cell_len, set_cell_size

from roomtasks.room.column import visible
from roomtasks.room.occurrence import Due, State


@dataclass(frozen=True, slots=True)
class Signs:
    """One set of signs, each one cell wide."""

    late: str
    due: str
    held: str
    shut: str
    empty: str
    open: str
    done: str
    off: str
    hand: str
    bar: str
    edge: str
    now: str


SHAPES = Signs("▲", "●", "‖", "⊗", "·", "○", "✓", "→", "▶", "─", "│", "▼")
PLAIN = Signs("!", "*", "=", "x", ".", "o", "+", ">", ">", "-", "|", "v")


def signs_for(encoding: str | None) -> Signs:
    """The shapes where the terminal's encoding can carry them."""
    try:
        "".join((SHAPES.late, SHAPES.held, SHAPES.done)).encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return PLAIN
    return SHAPES


def sign_of(signs: Signs, due: Due) -> str:
    """The sign of one occurrence."""
    return {
        State.LATE: signs.late,
        State.DUE: signs.due,
        State.HELD: signs.held,
        State.OPEN: signs.open,
        State.NOT_YET_OPEN: " ",
    }[due.state]


def clean(text: str) -> str:
    """Foreign text made harmless for the screen: control and direction signs shown."""
    return "".join(visible(sign) for sign in text)


def fitted(text: str, width: int) -> str:
    """Cut or padded to so many cells, with an ellipsis where it was cut."""
    if width <= 0:
        return ""
    if cell_len(text) > width:
        return set_cell_size(text, width - 1) + "…"
    return set_cell_size(text, width)
