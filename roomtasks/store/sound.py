"""Whether a store is whole: its pages, its tables, every row, and the journal against the rows.

Works on a damaged file: what cannot be read is named, and the rest is looked
at all the same. Read-only. Does not live here: the rules between facts
(`room.check`), and opening or copying a store.
"""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from roomtasks.room.column import Sheet, shown
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEETS
from roomtasks.store.as_written import FROM_BACKUP, acts_as_written, rows_as_written
from roomtasks.store.cells import misfit
from roomtasks.store.layout import LAYOUT, bring_up_to_date
from roomtasks.store.rules_kept import rule_faults
from roomtasks.store.stamp import stamp_of

MOST_OF_A_KIND = 20
NO_STAMP = "export the room and import it into a new store, or " + FROM_BACKUP


@dataclass(frozen=True, slots=True)
class Findings:
    """What a look through a store found, in a keeper's words, and how much was looked at.

    `damage` is what the program never wrote so; `rules` are facts that break a
    rule of the room, which an entry can put right.
    """

    path: Path
    damage: tuple[Problem, ...]
    rules: tuple[Problem, ...]
    rows: int
    acts: int

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that was found."""
        return self.damage + self.rules

    @property
    def whole(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems


def look_through(connection: sqlite3.Connection, path: Path) -> Findings:
    """Look at everything a connection shows. Raises sqlite3.Error if it shows nothing at all."""
    layout = connection.execute("PRAGMA user_version").fetchone()[0]
    if layout < LAYOUT:
        newer = sqlite3.connect(":memory:", isolation_level=None)
        connection.backup(newer)
        bring_up_to_date(newer)
        connection = newer
    connection.text_factory = _text
    connection.execute("BEGIN")
    try:
        looked = _Looked(connection)
        damage = tuple(looked.damage())
        rules = () if damage else tuple(_some(rule_faults(connection), "the room"))
        return Findings(path, damage, rules, looked.rows, looked.acts)
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _text(raw: bytes) -> str:
    """Text with a damaged byte kept visible, so that the row can still be named."""
    return raw.decode("utf-8", "surrogateescape")


class _Looked:
    """One look through a store."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self.rows = self.acts = 0

    def damage(self) -> Iterator[Problem]:
        """Everything the program never wrote so, what is of one kind cut short."""
        yield from _some(self._pages(), "pages")
        missing = list(self._tables())
        yield from missing
        if missing:
            return
        yield from self._guard("stamp", self._stamp())
        for sheet in SHEETS:
            yield from _some(self._sheet(sheet), sheet.name)
        yield from _some(self._acts_in_order(), "acts")
        rows = self._guard("changes", rows_as_written(self._connection))
        yield from _some(rows, "rows against the journal")
        sealed = self._guard("acts", acts_as_written(self._connection))
        yield from _some(sealed, "the journal")

    def _pages(self) -> Iterator[Problem]:
        def look() -> Iterator[Problem]:
            for (line,) in self._connection.execute("PRAGMA integrity_check(100)"):
                if line != "ok":
                    yield Problem(self._named(line), shown(line, 200), FROM_BACKUP)

        yield from self._guard("the file", look())

    def _named(self, line: str) -> str:
        """The table an integrity message is about, as far as it says."""
        for sheet in SHEETS:
            if sheet.name in line.replace("_", " ").split():
                return sheet.name
        return "the file"

    def _tables(self) -> Iterator[Problem]:
        wanted = _layout_of_a_fresh_store()
        try:
            found = dict(self._connection.execute(_LAYOUT_SQL).fetchall())
        except sqlite3.Error as error:
            yield Problem("the file", f"its tables cannot be read ({error})", FROM_BACKUP)
            return
        for name in wanted.keys() | found.keys():
            if wanted.get(name) == found.get(name):
                continue
            what = "is missing" if name not in found else "is not as this program made it"
            if name not in wanted:
                what = "does not belong to a room's store"
            yield Problem(shown(str(name)), f"this table or index {what}", FROM_BACKUP)

    def _stamp(self) -> Iterator[Problem]:
        if stamp_of(self._connection) is None:
            yield Problem("stamp", "the stamp that tells this store from others is gone", NO_STAMP)

    def _sheet(self, sheet: Sheet[Any]) -> Iterator[Problem]:
        """Every row read into its value, each cell within its limits."""
        names = list(sheet.columns)
        wanted = ", ".join(f'"{name}"' for name in names)
        order = ", ".join(f'"{name}"' for name in sheet.key) or '"one"'

        def look() -> Iterator[Problem]:
            sql = f'SELECT {wanted} FROM "{sheet.name}" ORDER BY {order}'
            for row in self._connection.execute(sql):
                self.rows += 1
                plain = dict(zip(names, row, strict=True))
                wrong = misfit(sheet, plain)
                if wrong is not None:
                    yield Problem(_row_name(sheet, plain), wrong, FROM_BACKUP)

        yield from self._guard(sheet.name, look())

    def _acts_in_order(self) -> Iterator[Problem]:
        """The journal's acts are numbered without a gap."""

        def look() -> Iterator[Problem]:
            expected: int | None = None
            for (number,) in self._connection.execute('SELECT "id" FROM "acts" ORDER BY "id"'):
                self.acts += 1
                if expected is not None and number != expected:
                    gap = f"act {expected}" if number == expected + 1 else (
                        f"acts {expected} to {number - 1}"
                    )  # fmt: skip
                    yield Problem("acts", f"{gap} missing from the journal", FROM_BACKUP)
                expected = number + 1

        yield from self._guard("acts", look())

    def _guard(self, where: str, looking: Iterator[Problem]) -> Iterator[Problem]:
        """What cannot be read becomes a finding, and the look goes on elsewhere.

        A damaged row can hold text where a number belongs: SQLite asks for the
        type when it writes, not when it reads.
        """
        try:
            yield from looking
        except (sqlite3.Error, TypeError, ValueError, OverflowError) as error:
            yield Problem(where, f"it cannot be read to its end ({error})", FROM_BACKUP)


_LAYOUT_SQL = """
SELECT "name", "sql" FROM sqlite_schema WHERE "name" NOT LIKE 'sqlite_%'
"""


def _layout_of_a_fresh_store() -> dict[str, str]:
    fresh = sqlite3.connect(":memory:", isolation_level=None)
    bring_up_to_date(fresh)
    return dict(fresh.execute(_LAYOUT_SQL).fetchall())


def _row_name(sheet: Sheet[Any], plain: dict[str, Any]) -> str:
    key = " ".join(shown(str(plain[name])) for name in sheet.key)
    return f"{sheet.name}, {key}" if key else sheet.name


def _some(problems: Iterator[Problem], what: str) -> Iterator[Problem]:
    """The first of a kind, and how many there are besides."""
    more = 0
    for number, problem in enumerate(problems):
        if number < MOST_OF_A_KIND:
            yield problem
        else:
            more += 1
    if more:
        yield Problem(what, f"and {more:,} more faults like these", "")
