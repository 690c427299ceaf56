"""What is wrong with a file, and how many such faults are kept and shown.

Every fault of a folder is told at once, up to a number a person can read; the
rest is counted. A file so full of faults that it is no sheet at all is given
up. Does not live here: how faults are found.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from roomtasks.room.column import harmless

MOST_SHOWN = 1_000
MOST_COUNTED = 20_000


@dataclass(frozen=True, slots=True, order=True)
class FileFault:
    """One fault: the file, its line (0 for the file as a whole), what was found, what would do.

    Lines are those an editor counts. `column` is the column of a sheet, or
    table and key in room.toml, "" where it is the whole line.
    """

    file: str
    line: int
    column: str
    found: str
    would_do: str

    def sentence(self) -> str:
        """One line for a person."""
        where = self.file + (f" line {self.line}" if self.line else "")
        where += f", {self.column}" if self.column else ""
        tail = f"; {self.would_do}" if self.would_do else ""
        return f"{where}: {self.found}{tail}" if where else f"{self.found}{tail}"


@dataclass
class FaultsOfFile:
    """The faults of one file as they are found."""

    file: str
    kept: list[FileFault] = field(default_factory=list)
    count: int = 0

    def tell(self, line: int, column: str, found: str, would_do: str) -> None:
        """Note one fault."""
        self.count += 1
        if len(self.kept) < MOST_SHOWN:
            words = (harmless(column), harmless(found), harmless(would_do))
            self.kept.append(FileFault(self.file, line, *words))

    @property
    def enough(self) -> bool:
        """Whether to read no further: this is not the file that was meant."""
        return self.count >= MOST_COUNTED


def together(files: Iterable[FaultsOfFile]) -> list[FileFault]:
    """All faults by file and line; past the most that are shown, one line with their number."""
    counted = list(files)
    found = sorted(fault for each in counted for fault in each.kept)
    shown = found[:MOST_SHOWN]
    more = sum(each.count for each in counted) - len(shown)
    if more:
        least = "at least " if any(each.enough for each in counted) else ""
        shown.append(
            FileFault("", 0, "", f"{least}{more:,} more faults are not shown", "settle these first")
        )
    return shown
