"""Reservoirs drawn as vessels: a flared rim, water by zone, marks with their litres at the side.

The water that may not be planned is filled with letters, d what the pump cannot
reach and k the keep-back, so that no colour is needed. Side by side where there
is width, below each other where there is height.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from roomtasks.tui.signs import PLAIN, Signs, clean, fitted

WALLS = 4
SHORTEST, TALLEST = 4, 14
NARROWEST = 22
GAUGE_WIDTH = 16


@dataclass(frozen=True, slots=True)
class Pen:
    """The signs a vessel is drawn with, each one cell wide."""

    rim_left: str
    rim_right: str
    wall: str
    tick: str
    foot_left: str
    foot_right: str
    floor: str
    surface: str
    water: str
    planned: str


SHAPED = Pen("╲", "╱", "│", "├", "╰", "╯", "─", "≈", "~", "┈")
LETTERED = Pen("\\", "/", "|", "+", "`", "'", "-", "=", "~", ".")


def pen_for(signs: Signs) -> Pen:
    """The pen that goes with a set of signs."""
    return LETTERED if signs == PLAIN else SHAPED


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One vessel as it is drawn. All in litres.

    `rest` is what is never planned: dead volume and keep-back together.
    `planned` is the level after the next fill, None where none is planned.
    """

    code: str
    full: float
    dead: float
    rest: float
    now: float
    planned: float | None = None
    words: tuple[str, ...] = ()
    in_hand: bool = False


def level_row(litres: float, full: float, rows: int) -> int:
    """How many of the rows this much water fills: never none of some, never all of less."""
    if litres <= 0 or full <= 0:
        return 0
    filled = min(rows, max(1, round(litres / full * rows)))
    return rows - 1 if filled == rows and litres < 0.995 * full else filled


def vessel_lines(look: Look, width: int, height: int, signs: Signs) -> list[str]:
    """The vessel in exactly so many lines of so many cells; code and words first, floor last."""
    pen, rows = pen_for(signs), max(1, height - 2)
    labels = _spread(_labels(look, rows), rows)
    widest = max((cell_len(text) for text, _ in labels.values()), default=0)
    inner = max(4, min(14, width - WALLS - widest - 3))
    sign = signs.hand if look.in_hand else " "
    head = f"{sign}{clean(look.code)} {clean('  '.join(look.words))}"
    lines = [fitted(head, width)]
    for row in range(rows - 1, -1, -1):
        left, right = (pen.rim_left, pen.rim_right) if row == rows - 1 else (pen.wall, pen.wall)
        label, at_its_row = labels.get(row, ("", False))
        if label and at_its_row and row != rows - 1:
            right = pen.tick
        inside = _inside(look, row, rows, inner, pen)
        pad = "" if row == rows - 1 else " "
        body = f"{pad} {left}{inside}{right}{pad}" if pad else f" {left}{_flare(inside)}{right}"
        lines.append(fitted(f"{body} {label}", width))
    floor = f"  {pen.foot_left}{pen.floor * inner}{pen.foot_right}  {labels.get(-1, ('',))[0]}"
    return [*lines, fitted(floor, width)][:height]


def _flare(inside: str) -> str:
    """The top row is two cells wider than the rest."""
    return inside[0] + inside + inside[-1]


def _inside(look: Look, row: int, rows: int, width: int, pen: Pen) -> str:
    """One row of what stands in the vessel; row 0 is at its floor."""
    filled = level_row(look.now, look.full, rows)
    if row == filled - 1:
        return pen.surface * width
    if row < filled:
        middle = (row + 0.5) / rows * look.full
        if middle < look.dead:
            return ("d " * width)[:width]
        if middle < look.rest:
            return ("k " * width)[:width]
        return pen.water * width
    if look.planned is not None and row == level_row(look.planned, look.full, rows) - 1:
        return pen.planned * width
    return " " * width


def _labels(look: Look, rows: int) -> list[tuple[float, str]]:
    """The marks from the top down, those at one level on one label."""
    marks = [("full", look.full), ("planned", look.planned), ("now", look.now),
             ("keep-back", look.rest if look.rest > look.dead else None),
             ("dead", look.dead or None)]  # fmt: skip
    at: dict[int, list[str]] = {}
    for word, litres in marks:
        if litres is not None:
            at.setdefault(round(litres), []).append(word)
    ordered = sorted(at.items(), reverse=True)
    return [(litres, f"{litres} {', '.join(words)}") for litres, words in ordered]


def _spread(labels: Sequence[tuple[float, str]], rows: int) -> dict[int, tuple[str, bool]]:
    """What is in it now at its own row, the other marks at theirs or pushed aside by it.

    With each label whether it stands at its own row; -1 is beside the floor.
    """
    if not labels:
        return {}
    full = labels[0][0]
    own = [max(0, level_row(litres, full, rows) - 1) for litres, _ in labels]
    now = next((n for n, (_, text) in enumerate(labels) if "now" in text), 0)
    at = list(own)
    for n in range(now - 1, -1, -1):
        at[n] = min(rows - 1, max(own[n], at[n + 1] + 1))
    for n in range(now + 1, len(labels)):
        at[n] = max(-1, min(own[n], at[n - 1] - 1))
    found: dict[int, tuple[str, bool]] = {}
    for (_, text), row, here in zip(labels, own, at, strict=True):
        text = f"{found[here][0]}, {text}" if here in found else text
        found[here] = (text, here == row)
    return found


def gauge(look: Look, signs: Signs, width: int = GAUGE_WIDTH) -> str:
    """The vessel lying on its side in one line, for screens without room to draw it."""
    pen = pen_for(signs)
    cells = [
        _inside(look, row, width, 1, pen) if row != level_row(look.now, look.full, width) - 1
        else pen.surface
        for row in range(width)
    ]  # fmt: skip
    return f"[{''.join(cells)}]"


class VesselView(Static):
    """Some vessels. Those that do not fit are left out around the one in hand, and named."""

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self.signs = signs
        self.looks: tuple[Look, ...] = ()
        self.across = True

    def show(self, looks: Sequence[Look], across: bool) -> None:
        """Draw these, side by side or below each other."""
        self.looks, self.across = tuple(looks), across
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        if width and height:
            lines = drawn(self.looks, width, height, self.across, self.signs)
            self.update(Text("\n".join(lines)))


def drawn(looks: Sequence[Look], width: int, height: int, across: bool, signs: Signs) -> list[str]:
    """The vessels as lines: none longer than `width`, no more than `height`."""
    if not looks:
        return []
    most = max(1, width // NARROWEST if across else height // (SHORTEST + 3))
    shown = _around(looks, most)
    beyond = [look.code for look in looks if look not in shown]
    if across:
        each = width // len(shown)
        columns = [vessel_lines(look, each, height, signs) for look in shown]
        lines = ["".join(parts) for parts in zip(*columns, strict=True)]
    else:
        each = min(TALLEST, (height - bool(beyond)) // len(shown))
        lines = [line for look in shown for line in (*vessel_lines(look, width, each - 1, signs),
                                                     "")]  # fmt: skip
    if beyond:
        named = f" > {clean(' '.join(beyond))}"
        named = fitted(named, min(cell_len(named), width // 2))
        lines = lines[: height if across else height - 1]
        if not across:
            lines.append("")
        lines[-1] = fitted(lines[-1], width - cell_len(named)) + named
    return [fitted(line, width) for line in lines[:height]]


def _around(looks: Sequence[Look], most: int) -> list[Look]:
    """At most so many, the one in hand among them."""
    hand = next((n for n, look in enumerate(looks) if look.in_hand), 0)
    first = max(0, min(hand - most // 2, len(looks) - most))
    return list(looks[first : first + most])
