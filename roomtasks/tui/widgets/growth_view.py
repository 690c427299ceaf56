"""A brood's growth drawn in characters: samples as points, the forecast as a line with its spread.

Days from the spawn go across, mm go up. Where the terminal can, the line is in
dots of a quarter of a row's height; else in plain signs.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from roomtasks.tui.signs import Signs, clean, fitted

LEAD = 5
DOTS_ACROSS, DOTS_UP = 2, 4
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BLANK = 0x2800
SAMPLE, LINE, SPREAD, LIMIT = "o", "*", ":", "-"
TICKS = (5, 7, 10, 14, 20, 28, 50, 100, 200)


@dataclass(frozen=True, slots=True, kw_only=True)
class Growing:
    """What is drawn: ages in days from the spawn, lengths in mm.

    points: age, smallest, middle, largest of each sample. line: age and length;
    spread: age, the least and the most it may be by then. limits: a length and its word.
    """

    title: str
    points: tuple[tuple[float, float, float, float], ...] = ()
    line: tuple[tuple[float, float], ...] = ()
    spread: tuple[tuple[float, float, float], ...] = ()
    limits: tuple[tuple[float, str], ...] = ()
    today: float = 0.0
    last: float = 1.0

    @property
    def top(self) -> float:
        """The greatest length that is drawn, a little above what matters."""
        lengths = [largest for *_, largest in self.points] + [mm for mm, _ in self.limits]
        return 1.08 * max([*lengths, *(mm for _, mm in self.line), 1.0])


def growth_lines(
    drawn: Growing, width: int, height: int, signs: Signs, dots: bool
) -> list[str]:  # fmt: skip
    """The plot as lines of text, none longer than `width`; nothing where there is no room."""
    across, up = width - LEAD, height - 2
    if across < 10 or up < 3:
        return []
    field = _Field(drawn, across, up, signs)
    if dots:
        field.draw_dots()
    else:
        field.draw_plain()
    field.draw_points()
    leads = field.leads()
    rows = [lead + "".join(row) for lead, row in zip(leads, field.cells, strict=True)]
    return [fitted(line, width) for line in (_head(drawn, width), *rows, field.days())]


def _head(drawn: Growing, width: int) -> str:
    legend = f"{SAMPLE} measured" + ("  line: forecast, spread" if drawn.line else "")
    title = clean(drawn.title)
    for named in (f"{title}: mm by day", title, title.partition(" ")[0]):
        if cell_len(f"{named}  {legend}") <= width:
            break
    return f"{named}  {legend}"


class _Field:
    """The cells of one plot."""

    def __init__(self, drawn: Growing, across: int, up: int, signs: Signs) -> None:
        self.drawn, self.across, self.up, self.signs = drawn, across, up, signs
        self.cells = [[" "] * across for _ in range(up)]
        words: dict[int, list[str]] = {}
        for mm, word in drawn.limits:
            words.setdefault(self.row(mm), []).append(clean(word))
        for row, told in words.items():
            for n in range(0, across, 2):
                self.cells[row][n] = LIMIT
            text = f"{', '.join(told)} "[:across]
            self.cells[row][: len(text)] = list(text)
        today = self.column(drawn.today)
        for cells in self.cells:
            if cells[today] in (" ", LIMIT):
                cells[today] = signs.edge

    def part(self, value: float, most: float, cells: int) -> int:
        """The cell of a value on a scale from 0."""
        place = round(value / most * (cells - 1)) if most > 0 else 0
        return min(cells - 1, max(0, place))

    def column(self, age: float) -> int:
        return self.part(age, self.drawn.last, self.across)

    def row(self, mm: float) -> int:
        return self.up - 1 - self.part(mm, self.drawn.top, self.up)

    def draw_plain(self) -> None:
        """The forecast in plain signs, its spread as far as it reaches."""
        for age, least, most in self.drawn.spread:
            for row in range(self.row(most), self.row(least) + 1):
                self.plain(row, self.column(age), SPREAD)
        for age, mm in self.drawn.line:
            self.plain(self.row(mm), self.column(age), LINE)

    def plain(self, row: int, column: int, sign: str) -> None:
        """A sign that leaves words legible."""
        if not self.cells[row][column].isalnum():
            self.cells[row][column] = sign

    def draw_dots(self) -> None:
        """The forecast in dots; the spread is thinner."""
        wide, high = self.across * DOTS_ACROSS, self.up * DOTS_UP
        bits: dict[tuple[int, int], int] = {}

        def dot(x: int, y: int) -> None:
            cell = (y // DOTS_UP, x // DOTS_ACROSS)
            bits[cell] = bits.get(cell, 0) | _BITS[y % DOTS_UP][x % DOTS_ACROSS]

        def place(age: float, mm: float) -> tuple[int, int]:
            x = self.part(age, self.drawn.last, wide)
            return x, high - 1 - self.part(mm, self.drawn.top, high)

        for age, least, most in self.drawn.spread:
            x, low = place(age, least)
            for y in range(place(age, most)[1], low + 1):
                if (x + y) % 3 == 0:
                    dot(x, y)
        for (one, mm), (other, then) in zip(self.drawn.line, self.drawn.line[1:], strict=False):
            (x, y), (x2, y2) = place(one, mm), place(other, then)
            for n in range(x, x2 + 1):
                dot(n, round(y + (y2 - y) * (n - x) / max(1, x2 - x)))
        for (row, column), mask in bits.items():
            if not self.cells[row][column].isalnum():
                self.cells[row][column] = chr(_BLANK + mask)

    def draw_points(self) -> None:
        """Samples over all else: the middle one, and a stroke from the smallest to the largest."""
        for age, smallest, middle, largest in self.drawn.points:
            column = self.column(age)
            for row in range(self.row(largest), self.row(smallest) + 1):
                self.cells[row][column] = self.signs.edge
            self.cells[self.row(middle)][column] = SAMPLE

    def leads(self) -> list[str]:
        """Lengths beside the rows: those that matter, and the ends."""
        found = {self.up - 1: 0.0, 0: self.drawn.top / 1.08}
        if not self.drawn.limits:
            found[self.up // 2] = self.drawn.top * (self.up - 1 - self.up // 2) / (self.up - 1)
        found |= {self.row(mm): mm for mm, _ in sorted(self.drawn.limits, reverse=True)}
        return [
            f"{found[row]:>4.0f}{self.signs.edge}" if row in found else f"    {self.signs.edge}"
            for row in range(self.up)
        ]

    def days(self) -> str:
        """Days under the plot as they find room, today named."""
        cells = [" "] * (self.across + LEAD)
        _put(cells, LEAD + self.column(self.drawn.today), f"{self.drawn.today:.0f} today")
        every = next((n for n in TICKS if self.drawn.last / n * 6 <= self.across), TICKS[-1])
        _put(cells, 0, "day")
        age = 0
        while age <= self.drawn.last:
            _put(cells, LEAD + self.column(age), f"{age}")
            age += every
        return "".join(cells)


def _put(cells: list[str], at: int, text: str) -> None:
    """A word where it does not touch another; one that would run out is moved in."""
    at = max(0, min(at, len(cells) - len(text)))
    around = cells[max(0, at - 1) : at + len(text) + 1]
    if all(cell == " " for cell in around):
        cells[at : at + len(text)] = list(text)


Drawing = Callable[[int, int], Sequence[str]]


class DrawnView(Static):
    """A picture in characters, drawn anew for the size there is."""

    def __init__(self) -> None:
        super().__init__(markup=False)
        self.drawing: Drawing | None = None

    def show(self, drawing: Drawing | None) -> None:
        """Draw this."""
        self.drawing = drawing
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        if width and height:
            lines = self.drawing(width - 1, height) if self.drawing is not None else ()
            self.update(Text("\n".join(lines[:height])))
