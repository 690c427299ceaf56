"""Text on a page: headings, wrapped lines and tables that can be read at 60 columns.

Every text a person or a file gave passes `clean` here and nowhere else on its
way out, so that no control sign reaches a terminal. Colour only says again
what a word or a sign says. Does not live here: what a command has to say.
"""

import os
import sys
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from roomtasks.room.column import visible

PLAIN_WIDTH = 60
NARROWEST, WIDEST = 40, 100
WIDEST_CODE = 14
STYLES = {"head": "1", "late": "1;31", "held": "33", "quiet": "2", "": ""}


def clean(text: str) -> str:
    """Foreign text made harmless: control and direction signs as visible signs."""
    return "".join(visible(sign) for sign in text)


def cells(text: str) -> int:
    """How many cells of a terminal a clean text takes."""
    return sum(_cells(sign) for sign in text)


def _cells(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in ("W", "F") else 1


def wrapped(text: str, width: int) -> list[str]:
    """A clean text on lines of so many cells, broken at blanks, long words cut."""
    lines, line = [], ""
    for word in text.split(" "):
        joined = f"{line} {word}" if line else word
        if cells(joined) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        *whole, line = _cut(word, width)
        lines += whole
    return [*lines, line]


def _cut(word: str, width: int) -> Iterator[str]:
    """A word in pieces of so many cells."""
    piece, used = "", 0
    for sign in word:
        size = _cells(sign)
        if used + size > max(width, 2):
            yield piece
            piece, used = "", 0
        piece, used = piece + sign, used + size
    yield piece


@dataclass(frozen=True, slots=True)
class Col:
    """A column of a table. The one that stretches takes what the others leave."""

    title: str = ""
    right: bool = False
    stretch: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row, what stands below it, and how it looks."""

    cells: tuple[str, ...]
    below: str = ""
    style: str = ""


@dataclass
class Page:
    """Lines to print. `width` in cells; `colour` says whether looks may be used."""

    width: int = PLAIN_WIDTH
    colour: bool = False
    lines: list[str] = field(default_factory=list)

    def line(self, text: str = "", *, style: str = "", indent: int = 0, hang: int = 0) -> None:
        """One paragraph, its further lines indented by `hang` more."""
        first = True
        rest = clean(text)
        for part in wrapped(rest, self.width - indent - hang) if rest else [""]:
            pad = " " * (indent if first else indent + hang)
            self.lines.append(self._styled((pad + part).rstrip(), style))
            first = False

    def head(self, text: str) -> None:
        """A heading, with a blank line above unless it comes first."""
        if self.lines:
            self.lines.append("")
        self.line(text, style="head")

    def table(self, cols: Sequence[Col], rows: Sequence[Row]) -> None:
        """Rows under aligned columns, long cells on further lines."""
        cleaned = [
            Row(tuple(clean(cell) for cell in row.cells), clean(row.below), row.style)
            for row in rows
        ]
        widths = self._widths(cols, cleaned)
        if any(col.title for col in cols):
            self._row(cols, widths, Row(tuple(col.title for col in cols), style="quiet"))
        for row in cleaned:
            self._row(cols, widths, row)

    def _widths(self, cols: Sequence[Col], rows: Sequence[Row]) -> list[int]:
        titled = [tuple(col.title for col in cols), *(row.cells for row in rows)]
        wanted = [max(cells(row[n]) for row in titled) for n in range(len(cols))]
        fixed = [
            width if col.right else min(width, WIDEST_CODE)
            for width, col in zip(wanted, cols, strict=True)
        ]
        gaps = len(cols) - 1
        left = (
            self.width
            - gaps
            - sum(width for width, col in zip(fixed, cols, strict=True) if not col.stretch)
        )
        return [
            min(wanted[n], max(10, left)) if col.stretch else fixed[n] for n, col in enumerate(cols)
        ]

    def _row(self, cols: Sequence[Col], widths: Sequence[int], row: Row) -> None:
        parts = [wrapped(cell, width or 1) for cell, width in zip(row.cells, widths, strict=True)]
        for n in range(max(len(part) for part in parts)):
            texts = []
            for part, width, col in zip(parts, widths, cols, strict=True):
                text = part[n] if n < len(part) else ""
                blank = " " * (width - cells(text))
                texts.append(blank + text if col.right else text + blank)
            self.lines.append(self._styled(" ".join(texts).rstrip(), row.style))
        if row.below:
            at = next((n for n, col in enumerate(cols) if col.stretch), 0)
            indent = sum(widths[:at]) + at
            self.line(row.below, style="quiet", indent=indent)

    def _styled(self, text: str, style: str) -> str:
        code = STYLES[style]
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour and code and text else text

    def text(self) -> str:
        return "".join(f"{line}\n" for line in self.lines)


def page_for_output() -> Page:
    """A page as wide as the terminal, or of 60 columns and no colour where it is none."""
    if not sys.stdout.isatty():
        return Page()
    width = min(max(_columns(), NARROWEST), WIDEST)
    colour = not os.environ.get("NO_COLOR") and os.environ.get("TERM") not in ("dumb", "")
    return Page(width, colour)


def _columns() -> int:
    """The terminal's width as told by COLUMNS, else by the terminal itself."""
    told = os.environ.get("COLUMNS", "")
    if told.isascii() and told.isdigit() and int(told):
        return int(told)
    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns or PLAIN_WIDTH
    except (OSError, ValueError):
        return PLAIN_WIDTH


def number(value: float, digits: int = 1) -> str:
    """A number of a table: so many decimals, a minus nought as nought."""
    return f"{round(value, digits) + 0.0:.{digits}f}"
