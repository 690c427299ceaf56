"""Lines of the lists beside the walk: what each says and opens to, laid out at one width."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from roomtasks.room.amount import Amount
from roomtasks.room.water_plan import Note
from roomtasks.tui.here_words import on_screen
from roomtasks.tui.side_acts import Act
from roomtasks.tui.signs import clean
from roomtasks.tui.water_words import Opened
from roomtasks.tui.widgets.lines_view import Row

HANG = "    "


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of the list. `key` finds it again in the next plan, `about` names what it is on.

    `acts` are what can be done to it, the next one first.
    """

    key: str
    text: str
    weight: str = ""
    amounts: tuple[tuple[str, Amount], ...] = ()
    more: tuple[str, ...] = ()
    reservoir: str = ""
    about: str = ""
    acts: tuple[Act, ...] = ()

    @property
    def opens(self) -> bool:
        return bool(self.amounts or self.more)

    def opened(self) -> Opened:
        """What it opens to."""
        return Opened(" ".join(self.text.split()), self.amounts, self.more)


@dataclass(frozen=True, slots=True)
class Part:
    """Some lines under one head."""

    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """The list at one width: rows, the item of each row (None at a head), where parts begin."""

    rows: tuple[Row, ...] = ()
    items: tuple[Item | None, ...] = ()
    heads: tuple[int, ...] = ()

    def row_of(self, key: str) -> int | None:
        """The first row of an item."""
        return next((n for n, item in enumerate(self.items) if item and item.key == key), None)

    def extent(self, row: int) -> tuple[int, int]:
        """The first row of what stands in a row, and how many rows it has."""
        item = self.items[row] if row < len(self.items) else None
        if item is None:
            return row, 1
        first = row
        while first and self.items[first - 1] is item:
            first -= 1
        last = row
        while last + 1 < len(self.items) and self.items[last + 1] is item:
            last += 1
        return first, last + 1 - first

    def part_from(self, row: int, step: int) -> int:
        """The first line of the next part, or of the part before; else the ends."""
        firsts = [head + 1 for head in self.heads]
        if step > 0:
            return next((first for first in firsts if first > row), row)
        return max((first for first in firsts if first < row), default=row)


def laid(parts: Sequence[Part], width: int) -> Laid:
    """The parts as rows, long lines wrapped, nothing cut."""
    rows: list[Row] = []
    items: list[Item | None] = []
    heads = []
    for part in parts:
        titles = textwrap.wrap(on_screen(clean(part.title)), max(10, width)) or [""]
        rows += [Row(line, "head") for line in titles]
        items += [None] * len(titles)
        heads.append(len(rows) - 1)
        for item in part.items:
            wrapped = textwrap.wrap(
                on_screen(clean(item.text)), max(10, width), subsequent_indent=HANG
            )
            rows += [Row(line, item.weight) for line in wrapped or [""]]
            items += [item] * max(1, len(wrapped))
    return Laid(tuple(rows), tuple(items), tuple(heads))


def note_items(key: str, notes: Iterable[Note], reservoir: str = "") -> Iterator[Item]:
    for n, note in enumerate(notes):
        rule = f" [{note.rule}]" if note.rule else ""
        told = note.about in note.text.replace(":", " ").split()
        about = f"{note.about}: " if note.about and not told else ""
        sign = {"refused": "REFUSED ", "warned": "! "}.get(note.sort, "")
        yield Item(key=f"{key} {n}", text=f"{sign}{about}{note.text}{rule}", reservoir=reservoir,
                   weight="late" if note.sort == "refused" else "")  # fmt: skip
