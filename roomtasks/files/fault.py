"""A fault in a file of a room folder, and how many of them are told.

Does not live here: what is a fault (`sheet_file`, `setup_file`, `check`).
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

MOST_FAULTS = 1_000


@dataclass(frozen=True, slots=True, order=True)
class FileFault:
    """Where a file is wrong, what was found there, and what would do.

    `line` is the physical line, counted from 1; 0 where the whole file is meant.
    """

    file: str
    line: int
    column: str
    found: str
    would_do: str

    def sentence(self) -> str:
        """One line for a person."""
        place = f"{self.file}:{self.line}" if self.line else self.file
        column = f" {self.column}" if self.column else ""
        tail = f"; {self.would_do}" if self.would_do else ""
        return f"{place}{column}: {self.found}{tail}"


@dataclass
class FaultList:
    """Faults as they are found; of each file the first are kept and all are counted."""

    kept: list[FileFault] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def add(self, file: str, line: int, column: str, found: str, would_do: str) -> None:
        """Note one fault found while a file is read, line by line."""
        self.counts[file] += 1
        if self.counts[file] <= MOST_FAULTS:
            self.kept.append(FileFault(file, line, column, found, would_do))

    def add_all(self, faults: Iterable[FileFault]) -> None:
        """Note faults found afterwards, in any order."""
        for fault in faults:
            self.counts[fault.file] += 1
            self.kept.append(fault)

    def told(self, folder: str) -> list[FileFault]:
        """The first faults in order, and a last line that counts the rest."""
        first = sorted(self.kept)[:MOST_FAULTS]
        more = self.counts.total() - len(first)
        if more:
            first.append(
                FileFault(folder, 0, "", f"{more:,} faults more", "settle the first ones first")
            )
        return first
