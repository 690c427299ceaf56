"""Days as bars: what each takes against what there is, a bar a day, numbers never cut.

Upright bars in bands where there is little height, lying ones with their numbers
where there is much. Every day has its place at any width from 40 cells on: where
one cell a day is too much for one band, the days stand in more of them. A bar over
its limit has the sign of what is late at its number; colour only supports that.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from roomtasks.tui.signs import PLAIN, Signs, clean, fitted

NARROWEST = 40
LETTERS = "MTWTFSS"
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
EIGHTHS = " ▁▂▃▄▅▆▇█"
LYING = " ▏▎▍▌▋▊▉█"


@dataclass(frozen=True, slots=True)
class Bar:
    """One day: what it takes and what there is (None: not known), both in the chart's unit.

    `hatched`: the keeper is away and the value is the stand-in's.
    """

    value: float
    limit: float | None
    hatched: bool = False

    @property
    def over(self) -> bool:
        return not self.hatched and self.limit is not None and self.value > self.limit + 0.05

    @property
    def number(self) -> str:
        return f"{self.value:.0f}"


@dataclass(frozen=True, slots=True)
class Chart:
    """Bars of one thing, from the first day on."""

    name: str
    bars: tuple[Bar, ...]

    @property
    def top(self) -> float:
        """What a full bar is."""
        limits = (bar.limit for bar in self.bars if bar.limit is not None and not bar.hatched)
        values = [bar.value for bar in self.bars]
        highest = max(values, default=0.0)
        # Limits far above everything there is would leave no bar to be seen.
        return max(1.0, highest, *(limit for limit in limits if limit <= 3 * highest))


class Sheet:
    """Cells of one size, written into; what lies outside is refused, not wrapped."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._cells = [[" "] * width for _ in range(height)]
        self._weights = [[""] * width for _ in range(height)]

    def free(self, x: int, y: int, length: int) -> bool:
        """Whether so many cells are there and blank."""
        inside = 0 <= y < self.height and x >= 0 and x + length <= self.width
        return inside and all(cell == " " for cell in self._cells[y][x : x + length])

    def put(self, x: int, y: int, text: str, weight: str = "") -> bool:
        """Write a text whole, or not at all."""
        if not (0 <= y < self.height and x >= 0 and x + len(text) <= self.width):
            return False
        for n, sign in enumerate(text):
            self._cells[y][x + n], self._weights[y][x + n] = sign, weight
        return True

    def lines(self) -> list[str]:
        return ["".join(row) for row in self._cells]

    def weighted(self) -> list[list[tuple[str, str]]]:
        """Each line as runs of one weight."""
        found = []
        for cells, weights in zip(self._cells, self._weights, strict=True):
            runs: list[tuple[str, str]] = []
            for cell, weight in zip(cells, weights, strict=True):
                if runs and runs[-1][1] == weight:
                    runs[-1] = (runs[-1][0] + cell, weight)
                else:
                    runs.append((cell, weight))
            found.append(runs)
        return found


@dataclass(frozen=True, slots=True)
class Days:
    """What all bands share: the first day, how many there are, the one in hand, the signs."""

    first: date
    count: int
    hand: date | None
    signs: Signs

    def day(self, number: int) -> date:
        return self.first + timedelta(days=number)

    @property
    def hand_number(self) -> int | None:
        return None if self.hand is None else (self.hand - self.first).days


def drawn(
    charts: Sequence[Chart], first: date, hand: date | None, width: int, height: int,
    lying: bool, signs: Signs,
) -> Sheet:  # fmt: skip
    """The bars, in a sheet of this size."""
    sheet = Sheet(max(0, width), max(0, height))
    if not charts or not charts[0].bars or width <= 0 or height <= 0:
        return sheet
    days = Days(first, len(charts[0].bars), hand, signs)
    if lying and ceil(days.count / max(1, height - 1)) * NARROWEST // 2 <= width:
        _lie(sheet, charts, days)
    else:
        _stand(sheet, charts, days)
    return sheet


# ---- upright -------------------------------------------------------------------------------------


def _stand(sheet: Sheet, charts: Sequence[Chart], days: Days) -> None:
    gutter = 1 + max(
        max(cell_len(_name(chart)), len(f"{chart.top:.0f}")) for chart in charts
    )  # fmt: skip
    gutter = min(gutter, max(0, sheet.width - 8))
    room = max(1, sheet.width - gutter)
    bands = ceil(days.count / room)
    each = ceil(days.count / bands)
    step = max(1, room // each)
    share = max(1, sheet.height // bands)
    for band in range(bands):
        numbers = range(band * each, min(days.count, (band + 1) * each))
        _band(sheet, charts, days, numbers, (gutter, step, band * share, share))


def _band(
    sheet: Sheet, charts: Sequence[Chart], days: Days, numbers: range,
    place: tuple[int, int, int, int],
) -> None:  # fmt: skip
    """Some days from one row on: the bars of the first chart, the days, then other charts."""
    gutter, step, row, height = place
    axis = 1 if step >= 5 or height < 5 else 2
    left = height - axis
    shown = list(charts[: max(1, left // 3)])
    heights = _heights(left, len(shown))
    _axis(sheet, days, numbers, (gutter, step, row + heights[0], axis))
    at = row
    for n, (chart, tall) in enumerate(zip(shown, heights, strict=True)):
        _upright(sheet, chart, days, numbers, (gutter, step, at, tall))
        at += tall + (axis if n == 0 else 0)


def _heights(left: int, count: int) -> list[int]:
    """Rows of each chart, the first with what is over."""
    each = left // count
    return [left - each * (count - 1), *[each] * (count - 1)]


def _upright(
    sheet: Sheet, chart: Chart, days: Days, numbers: range, place: tuple[int, int, int, int]
) -> None:
    gutter, step, row, height = place
    told = 1 if height >= 3 else 0
    bars, top = height - told, chart.top
    if gutter > 1:
        sheet.put(0, row + told, fitted(f"{top:.0f}", gutter - 1).rstrip(), "head")
        if height - told > 1 or not told:
            sheet.put(0, row + height - 1, fitted(_name(chart), gutter - 1).rstrip(), "head")
        else:
            sheet.put(0, row, fitted(_name(chart), gutter - 1).rstrip(), "head")
    wide = max(1, step - 1)
    for n in numbers:
        x = gutter + (n - numbers[0]) * step
        for up in range(bars):
            glyph, weight = _cell(chart.bars[n], up, bars, top, days.signs)
            sheet.put(x, row + height - 1 - up, glyph * wide, weight)
        _mark_limit(sheet, chart, chart.bars[n], (x + wide, row + told, bars, step), days.signs)
    if told:
        _tell(sheet, chart, days, numbers, (gutter, step, row))


def _mark_limit(
    sheet: Sheet, chart: Chart, bar: Bar, place: tuple[int, int, int, int], signs: Signs
) -> None:
    """Beside a bar that hides its limit, where there is a gap."""
    x, row, rows, step = place
    if step > 1 and bar.over and bar.limit is not None:
        sheet.put(x, row + rows - 1 - min(rows - 1, int(bar.limit / chart.top * rows)),
                  "-" if signs is PLAIN else "╴")  # fmt: skip


def _tell(
    sheet: Sheet, chart: Chart, days: Days, numbers: range, place: tuple[int, int, int]
) -> None:
    """Numbers above the bars; where there is no room for all, those that count most."""
    gutter, step, row = place
    bars, hand = chart.bars, days.hand_number
    highest = max(numbers, key=lambda n: bars[n].value)
    order = sorted(numbers, key=lambda n: (n != hand, n != highest, not bars[n].over, n))
    for n in order:
        text = bars[n].number + (days.signs.late if bars[n].over else "")
        x = min(gutter + (n - numbers[0]) * step, sheet.width - len(text))
        before, after = max(0, x - 1), min(sheet.width, x + len(text) + 1)
        if bars[n].value and sheet.free(before, row, after - before):
            sheet.put(x, row, text, "late" if bars[n].over else "")


def _cell(bar: Bar, up: int, rows: int, top: float, signs: Signs) -> tuple[str, str]:
    """One cell of an upright bar, counted from its foot."""
    plain = signs is PLAIN
    filled = bar.value / top * rows - up
    if bar.hatched:
        return ("/" if plain else "╱", "quiet") if filled > 0 or up == 0 else (" ", "")
    weight = "late" if bar.over else "bar"
    if filled > 0.06:
        if bar.over and _above(bar, up, rows, top):
            return "!" if plain else "▒", weight
        return "#" if plain else EIGHTHS[min(8, max(1, round(filled * 8)))], weight
    limit = bar.limit
    if limit is not None and limit <= top and up == min(rows - 1, int(limit / top * rows)):
        return signs.bar, "quiet"
    return " ", ""


def _above(bar: Bar, up: int, rows: int, top: float) -> bool:
    """Whether a cell lies above the limit, all of it."""
    return bar.limit is not None and up / rows * top >= bar.limit


def _axis(
    sheet: Sheet, days: Days, numbers: range, place: tuple[int, int, int, int]
) -> None:  # fmt: skip
    """The days under the bars: letters, and dates where there is room; the one in hand marked."""
    gutter, step, row, rows = place
    for n in numbers:
        x, day = gutter + (n - numbers[0]) * step, days.day(n)
        hand = n == days.hand_number
        weight = "hand" if hand else "head"
        if step >= 5:
            text = f"{WEEKDAYS[day.weekday()][:2]}{day.day}"
            sheet.put(x, row, text, weight)
            if hand:
                sheet.put(x + len(text), row, "<", weight)
            continue
        sheet.put(x, row, LETTERS[day.weekday()], weight)
        if rows > 1 and hand:
            sheet.put(x, row + 1, "^", weight)
    if step < 5 and rows > 1:
        _dates(sheet, days, numbers, (gutter, step, row + 1))


def _dates(
    sheet: Sheet, days: Days, numbers: range, place: tuple[int, int, int]
) -> None:  # fmt: skip
    """The date at the first day and at Mondays, as far as they have room; at the one in hand."""
    gutter, step, row = place
    hand = days.hand_number
    wanted = [n for n in numbers if n == hand]
    wanted += [n for n in numbers if n == numbers[0] or days.day(n).weekday() == 0]
    for n in wanted:
        text = str(days.day(n).day)
        x = gutter + (n - numbers[0]) * step + (1 if n == hand else 0)
        if sheet.free(max(0, x - (n != hand)), row, min(len(text) + 2, sheet.width - x)):
            sheet.put(x, row, text, "hand" if n == hand else "head")


def _name(chart: Chart) -> str:
    return clean(chart.name)


# ---- lying ---------------------------------------------------------------------------------------


LEAD = 8
NUMBER = 6


def _lie(sheet: Sheet, charts: Sequence[Chart], days: Days) -> None:
    """A line a day, in as many blocks side by side as the height asks for."""
    rows = sheet.height - 1
    blocks = ceil(days.count / rows)
    each, wide = ceil(days.count / blocks), sheet.width // blocks
    shown = charts[: max(1, (wide - LEAD) // 20)]
    part = (wide - LEAD) // len(shown)
    for block in range(blocks):
        left = block * wide
        for n, chart in enumerate(shown):
            name = fitted(_name(chart), part - 1).rstrip()
            sheet.put(left + LEAD + n * part, 0, name, "head")
        for number in range(block * each, min(days.count, (block + 1) * each)):
            row = 1 + number - block * each
            _day_lead(sheet, days, number, left, row)
            for n, chart in enumerate(shown):
                _lying(sheet, chart, number, (left + LEAD + n * part, row, part), days.signs)


def _day_lead(sheet: Sheet, days: Days, number: int, x: int, row: int) -> None:
    day, hand = days.day(number), number == days.hand_number
    text = f"{days.signs.hand if hand else ' '}{WEEKDAYS[day.weekday()]} {day.day:>2}"
    sheet.put(x, row, text, "hand" if hand else "head")


def _lying(
    sheet: Sheet, chart: Chart, number: int, place: tuple[int, int, int], signs: Signs
) -> None:
    x, row, wide = place
    bar, long, plain = chart.bars[number], wide - NUMBER - 1, signs is PLAIN
    filled = bar.value / chart.top * long
    for n in range(long):
        part = filled - n
        if bar.hatched:
            if part > 0 or n == 0:
                sheet.put(x + n, row, "/" if plain else "╱", "quiet")
        elif part > 0.06:
            glyph = "#" if plain else LYING[min(8, max(1, round(part * 8)))]
            sheet.put(x + n, row, glyph, "late" if bar.over else "bar")
    at = None if bar.limit is None or bar.hatched else int(bar.limit / chart.top * (long - 1))
    if at is not None and at < long:
        over_it = filled - at > 0.06
        sheet.put(x + at, row, signs.edge, "late" if over_it and bar.over else "quiet")
    if bar.value or bar.hatched:
        text = bar.number + (signs.late if bar.over else "")
        sheet.put(x + long, row, f"{text:>{NUMBER - 1}}" if len(text) < NUMBER else text,
                  "late" if bar.over else "quiet" if bar.hatched else "")  # fmt: skip


# ---- the widget ----------------------------------------------------------------------------------


class BarsView(Static):
    """The bars of a span of days."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "bars--bar", "bars--late", "bars--quiet", "bars--hand", "bars--head",
    }  # fmt: skip

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self.signs = signs
        self.charts: tuple[Chart, ...] = ()
        self.first: date | None = None
        self.hand: date | None = None
        self.lying = False

    def show(
        self, charts: Sequence[Chart], first: date, hand: date | None, lying: bool
    ) -> None:  # fmt: skip
        """Draw these, from a first day on, one of them in hand."""
        self.charts, self.first, self.hand, self.lying = tuple(charts), first, hand, lying
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        if self.first is None or not width or not height:
            return
        sheet = drawn(self.charts, self.first, self.hand, width, height, self.lying, self.signs)
        text = Text(no_wrap=True)
        for n, runs in enumerate(sheet.weighted()):
            text.append("\n" if n else "")
            for run, weight in runs:
                style = self.get_component_rich_style(f"bars--{weight}") if weight else ""
                text.append(run, style)
        self.update(text)
