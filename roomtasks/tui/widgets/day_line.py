"""The days of a lot kept apart drawn as a line: day 0, today, the day it is free, marks between.

Signs that mean the same without colour: a letter for what happened, one sign for
days looked at, another for days nobody looked, a third for days still to come.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from roomtasks.tui.signs import Signs, clean, fitted

LETTERS = (
    ("A", "came"), ("P", "power, chill"), ("D", "dose"), ("X", "dead"), ("S", "sign"),
)  # fmt: skip
LOOKED, UNLOOKED, AHEAD = ".", "?", "-"
FREE = "F"
EVERY = (7, 14, 28, 56, 112)
LINES_A_LOT = 4
WIDEST_DAY = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """A lot from the day it came to the day it is free. `marks` are days with a letter."""

    name: str
    came: date
    day_0: date
    today: date
    free: date
    marks: tuple[tuple[date, str], ...]
    unlooked: frozenset[date]

    @property
    def last(self) -> date:
        return max(self.free, self.today, self.day_0)


class _Scale:
    """Cells of a line against days."""

    def __init__(self, line: DayLine, width: int) -> None:
        self.first, self.days = line.came, (line.last - line.came).days + 1
        self.step = min(WIDEST_DAY, width // self.days) if self.days <= width else 0
        self.width = min(width, self.days * self.step) if self.step else width

    def cell(self, day: date) -> int:
        gone = (day - self.first).days
        if self.step:
            found = gone * self.step
        else:
            found = round(gone * (self.width - 1) / max(1, self.days - 1))
        return min(self.width - 1, max(0, found))


def day_lines(line: DayLine, width: int, signs: Signs) -> list[str]:
    """The name, an axis with day numbers and today, and the days; none longer than `width`."""
    scale = _Scale(line, max(10, width))
    return [fitted(clean(line.name), width), fitted(_axis(line, scale, signs), width),
            fitted(_track(line, scale), width)]  # fmt: skip


def _axis(line: DayLine, scale: _Scale, signs: Signs) -> str:
    """Numbers counted from day 0, as many as find room, and the sign of today."""
    cells = [" "] * scale.width
    now = scale.cell(line.today)
    cells[now] = signs.now
    span = (line.last - line.day_0).days
    every = next((n for n in EVERY if span / n * 5 <= scale.width), EVERY[-1])
    for number in range(0, span + 1, every):
        at, text = scale.cell(line.day_0 + timedelta(days=number)), str(number)
        room = cells[max(0, at - 1) : at + len(text) + 1]
        if at + len(text) <= scale.width and all(cell == " " for cell in room):
            cells[at : at + len(text)] = list(text)
    return "".join(cells)


def _track(line: DayLine, scale: _Scale) -> str:
    """Looked at, not looked at or ahead, with letters over it."""
    cells = [" "] * scale.width
    for n in range(scale.days):
        day = line.came + timedelta(days=n)
        at = scale.cell(day)
        sign = AHEAD if day >= line.today else LOOKED
        if day in line.unlooked:
            sign = UNLOOKED
        if cells[at] != UNLOOKED:
            cells[at] = sign
    order = [letter for letter, _ in LETTERS]
    for day, letter in sorted(line.marks, key=lambda mark: order.index(mark[1])):
        cells[scale.cell(day)] = letter
    cells[scale.cell(line.free)] = FREE
    return "".join(cells)


def legend(lines: Iterable[DayLine], width: int, signs: Signs) -> str:
    """What the signs that are there mean, as many as fit; the rarer first."""
    shown = list(lines)
    used = {letter for line in shown for _, letter in line.marks}
    words = [f"{UNLOOKED} nobody looked"] if any(line.unlooked for line in shown) else []
    words += [f"{letter} {word}" for letter, word in LETTERS if letter in used]
    words += [f"{signs.now} today", f"{FREE} free", f"{LOOKED} looked", f"{AHEAD} ahead"]
    text = words[0]
    for word in words[1:]:
        if cell_len(text) + 2 + cell_len(word) > width:
            break
        text += "  " + word
    return text


class DayLineView(Static):
    """The line of the lot in hand, or of several, the one in hand first."""

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self.signs = signs
        self.lines: tuple[DayLine, ...] = ()

    def show(self, lines: Sequence[DayLine]) -> None:
        """Draw these lots, as many as there is height for."""
        self.lines = tuple(lines)
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        if not width or not height or not self.lines:
            return
        most = max(1, (height - 1) // LINES_A_LOT)
        shown, rows = self.lines[:most], []
        for line in shown:
            rows += [*day_lines(line, width, self.signs), ""]
        left = len(self.lines) - most
        told = f"and {left} more in the list" if left > 0 and most > 1 else ""
        rows = [*rows[: height - 1 - bool(told)], *([told] if told else [])]
        self.update(Text("\n".join([*rows, legend(shown, width, self.signs)])))
