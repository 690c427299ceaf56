"""Lines of text into rows of cells, and cells into a line (RFC 4180).

Reads more than the standard where it is plain what is meant: a semicolon or a
tab between cells, any line end, blanks round cells, and a quotation mark
inside a cell that does not begin with one. Does not live here: what cells mean.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from roomtasks.files.opening import Tell

DELIMITERS = (",", ";", "\t")
MOST_UNCLOSED = 200
MOST_READ_AGAIN = 1_000_000
_MARK = '"'
_MUST_QUOTE = frozenset(',;"\t\r\n')


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row and the line it begins on.

    `spoiled`: a line of it was not UTF-8, so that its cells are not what was
    written.
    """

    line: int
    cells: list[str]
    spoiled: bool = False


def rows_of(
    lines: Iterable[tuple[int, str, bool]], delimiter: str, tell: Tell, longest: int
) -> Iterator[Row]:
    """Every row. What cannot be parted into cells is told and left out.

    A quotation mark that is never closed costs only its own line: reading goes
    on at the next one. `longest` bounds the characters of a row.
    """
    source = _Source(iter(lines), longest)
    unclosed = read_again = 0
    for number, text, spoiled in source:
        if _MARK not in text:
            yield Row(number, [cell.strip() for cell in text.split(delimiter)], spoiled)
            continue
        cells = _parted(text, delimiter, source)
        if isinstance(cells, list):
            spoiled = spoiled or any(line[2] for line in source.taken)
            yield Row(number, cells, spoiled)
        else:
            tell(number, "", cells, "put text in one pair of quotation marks, doubled inside it")
            unclosed += 1
            read_again += source.characters
            if unclosed > MOST_UNCLOSED or read_again > MOST_READ_AGAIN:
                tell(number, "", "too many such rows; the rest was not read", "settle these first")
                return
            source.give_back()


def parted(text: str, delimiter: str) -> list[str] | None:
    """The cells of one line, None where it is no whole row."""
    cells = _parted(text, delimiter, _Source(iter(()), 0))
    return cells if isinstance(cells, list) else None


def line_of(cells: Iterable[str]) -> str:
    """One written line: commas, quotation marks where needed, a line feed."""
    return ",".join(map(_quoted, cells)) + "\n"


def _quoted(cell: str) -> str:
    if cell and (not _MUST_QUOTE.isdisjoint(cell) or cell[0].isspace() or cell[-1].isspace()):
        return _MARK + cell.replace(_MARK, _MARK + _MARK) + _MARK
    return cell


class _Source:
    """Lines that can be given back: those taken since the row began, of so many characters."""

    def __init__(self, lines: Iterator[tuple[int, str, bool]], longest: int) -> None:
        self._lines, self._longest = lines, longest
        self._waiting: deque[tuple[int, str, bool]] = deque()
        self.characters = 0
        self.taken: list[tuple[int, str, bool]] = []

    def __iter__(self) -> Iterator[tuple[int, str, bool]]:
        return self

    def __next__(self) -> tuple[int, str, bool]:
        self.taken, self.characters = [], 0
        return self._waiting.popleft() if self._waiting else next(self._lines)

    def more(self) -> str | None:
        """The next line of the same row, None at the end or where the row grows too long."""
        if self.characters > self._longest:
            return None
        line = self._waiting.popleft() if self._waiting else next(self._lines, None)
        if line is None:
            return None
        self.taken.append(line)
        self.characters += len(line[1])
        return line[1]

    def give_back(self) -> None:
        self._waiting.extendleft(reversed(self.taken))
        self.taken = []


def _parted(text: str, delimiter: str, source: _Source) -> list[str] | str:
    """The cells of a row that may go on over further lines, or what is wrong with it."""
    cells: list[str] = []
    at = 0
    while True:
        begin = _past_blanks(text, at, delimiter)
        if text[begin : begin + 1] != _MARK:
            end = text.find(delimiter, at)
            if end < 0:
                return [*cells, text[at:].strip()]
            cells.append(text[at:end].strip())
            at = end + 1
            continue
        cell, text, at = _marked(text, begin + 1, source)
        if cell is None:
            return "the quotation mark that opens a cell here is never closed"
        cells.append(cell)
        at = _past_blanks(text, at, delimiter)
        if text[at:] in ("", "\n", "\r", "\r\n"):
            return cells
        if text[at] != delimiter:
            return "a cell goes on after its closing quotation mark"
        at += 1


def _marked(text: str, at: int, source: _Source) -> tuple[str | None, str, int]:
    """A cell in quotation marks from just after the first; the line and place it ends."""
    parts: list[str] = []
    while True:
        end = text.find(_MARK, at)
        if end < 0:
            parts.append(text[at:])
            following = source.more()
            if following is None:
                return None, text, len(text)
            text, at = following, 0
        elif text[end + 1 : end + 2] == _MARK:
            parts.append(text[at : end + 1])
            at = end + 2
        else:
            parts.append(text[at:end])
            return "".join(parts), text, end + 1


def _past_blanks(text: str, at: int, delimiter: str) -> int:
    while at < len(text) and text[at] in " \t" and text[at] != delimiter:
        at += 1
    return at
