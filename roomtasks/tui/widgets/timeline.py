"""The clock of the batches drawn as lines of time: days and hours above, a letter at each step.

Each batch has two lines, the hours that are advised and the latest that still
do. What runs for a while is drawn over its hours. Positions are by real time,
names by the clock of the room, so that a night of 23 or 25 hours is as long as
it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from roomtasks.tui.signs import Signs, clean, fitted

LETTERS = {
    "hose-out": "o", "fill-start": "f", "full": "u", "treated": "t", "heat-on": "h",
    "heat-off": "q", "mixed": "m", "ready-check": "r", "ready": "r", "change": "C",
}  # fmt: skip
RUNS = {"fill-start": "=", "rest": ".", "heat-on": "^", "mixed": "~", "hose-out": "-"}
ORDER = ("rest", "hose-out", "fill-start", "heat-on", "mixed")
EVERY_HOURS = (1, 2, 3, 4, 6, 12, 24)
HOUR_WIDTH = 5


@dataclass(frozen=True, slots=True)
class Stroke:
    """One step on a line of time: its word, when it begins, how long it runs, whether done."""

    step: str
    at: datetime
    minutes: float = 0.0
    done: bool = False


@dataclass(frozen=True, slots=True)
class Track:
    """One line of time."""

    name: str
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """Cells of a line against real time."""

    first: datetime
    last: datetime
    width: int

    def cell(self, at: datetime) -> int:
        """The cell an instant falls in; the ends take what lies beyond them."""
        span = (self.last.astimezone(UTC) - self.first.astimezone(UTC)).total_seconds()
        gone = (at.astimezone(UTC) - self.first.astimezone(UTC)).total_seconds()
        place = gone / span * (self.width - 1) if span > 0 else 0.0
        return min(self.width - 1, max(0, round(place)))


def timeline(
    tracks: Sequence[Track], now: datetime, width: int, signs: Signs
) -> list[str]:  # fmt: skip
    """The axis and one line for each track, none longer than `width`; nothing without tracks."""
    instants = [now] + [
        end for track in tracks for stroke in track.strokes
        for end in (stroke.at, stroke.at.astimezone(UTC) + timedelta(minutes=stroke.minutes))
    ]  # fmt: skip
    if len(instants) == 1:
        return []
    lead = min(width // 3, max(cell_len(clean(track.name)) for track in tracks) + 1)
    scale = Scale(min(instants), max(instants), max(2, width - lead - 1))
    lines = [fitted(" " * lead + _axis(scale, now, signs), width)]
    for track in tracks:
        lines.append(fitted(fitted(clean(track.name), lead) + _line(track, scale, now, signs),
                            width))  # fmt: skip
    return lines


def _axis(scale: Scale, now: datetime, signs: Signs) -> str:
    """Day names where a day begins, hours between as they find room, now marked."""
    cells = [" "] * scale.width
    zone = now.tzinfo
    first, last = scale.first.astimezone(UTC), scale.last.astimezone(UTC)
    hours = max(1.0, (last - first).total_seconds() / 3600)
    every = next((n for n in EVERY_HOURS if hours / n * HOUR_WIDTH <= scale.width), 24)
    cells[scale.cell(now)] = signs.now
    here = f"{first.astimezone(zone):%a %H:%M}"
    _write(cells, scale.cell(now) + 2 if scale.cell(now) <= len(here) else 0, here)
    hour = first.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)
    day = first.astimezone(zone).date()
    while hour <= last:
        local = hour.astimezone(zone)
        if local.date() != day:
            _write(cells, scale.cell(hour), f"{signs.edge}{local:%a} {local.day}", over=True)
            cells[scale.cell(now)] = signs.now
            day = local.date()
        elif local.hour % every == 0:
            _write(cells, scale.cell(hour), f"{local:%H}")
        hour += timedelta(hours=1)
    return "".join(cells)


def _write(cells: list[str], at: int, text: str, over: bool = False) -> None:
    """Text into the cells, where it does not run into what stands there."""
    end = at + len(text)
    if end > len(cells) or (not over and any(cell != " " for cell in cells[max(0, at - 1) : end])):
        return
    for n in range(end, len(cells)):
        if cells[n] == " ":
            break
        cells[n] = " "
    cells[at:end] = list(text)


def _line(track: Track, scale: Scale, now: datetime, signs: Signs) -> str:
    cells = [" "] * scale.width
    cells[scale.cell(now)] = signs.edge
    for step in ORDER:
        for stroke in track.strokes:
            if stroke.step == step and stroke.minutes > 0:
                end = stroke.at.astimezone(UTC) + timedelta(minutes=stroke.minutes)
                for n in range(scale.cell(stroke.at), scale.cell(end)):
                    cells[n] = RUNS[step]
    for stroke in track.strokes:
        if stroke.done or stroke.step in LETTERS:
            cells[scale.cell(stroke.at)] = signs.done if stroke.done else LETTERS[stroke.step]
    return "".join(cells)


class TimelineView(Static):
    """The clock of some batches. Lines that do not fit are left to the list."""

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self.signs = signs
        self.tracks: tuple[Track, ...] = ()
        self.now: datetime | None = None

    def show(self, tracks: Sequence[Track], now: datetime) -> None:
        """Draw these lines with now among them."""
        self.tracks, self.now = tuple(tracks), now
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        if self.now is not None and width and height:
            lines = timeline(self.tracks, self.now, width, self.signs)[:height]
            self.update(Text("\n".join(lines)))
