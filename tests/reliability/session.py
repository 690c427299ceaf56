"""A keeper's session for the reliability runs: acts one after the other, and what a store holds.

Lives here: the acts, a picture of a whole store as plain rows, and the look for
half acts, which asks the rows themselves and not the program's own `check`.
Does not live here: what is done to the store meanwhile.
"""

import json
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from hashlib import blake2b
from pathlib import Path
from typing import NoReturn

from roomtasks.room.journal import ACTS
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEETS
from roomtasks.store.base import Store
from roomtasks.work.fish import Told
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.met import contact
from roomtasks.work.water import choose, set_level, step
from tests.rooms import at

FIRST_EVENING = at("2027-03-06 19:00")
STOCKED_TANKS = ("A1", "A2", "B1", "B2", "Q1")
NAMES = (
    *(f"look@{tank}" for tank in STOCKED_TANKS), "check@room", "change-s@S", "refill@S",
    "change-alone@B1", "change-alone@B2", "fill-r1@R1",
    *(f"feed@{tank}" for tank in STOCKED_TANKS),
)  # fmt: skip


Water = Callable[[Store, datetime, str], Told | Problem]


def _at_r1(word: str, litres: float | None = None) -> Water:
    return lambda store, now, who: step(store, now, who, "R1", word, litres=litres, anyway=True)


def _chosen(store: Store, now: datetime, who: str) -> Told | Problem:
    return choose(store, now, who, now.date() + timedelta(days=3), share=0.5)


def _level(store: Store, now: datetime, who: str) -> Told | Problem:
    return set_level(store, now, who, "B1", "salt", 1.0 + now.day % 2)


def _net(store: Store, now: datetime, who: str) -> Told | Problem:
    return contact(store, now, who, "Q1", "B1", "net")


WATER: tuple[Water, ...] = (
    _at_r1("hose-out"), _chosen, _at_r1("fill-start"), _level, _at_r1("full"), _net,
    _at_r1("treated"), _at_r1("mixed"), _at_r1("used", 10.0),
)  # fmt: skip
MARKS_FIRST = 4
EVENING: tuple[str | Water, ...] = (
    *NAMES[:MARKS_FIRST],
    *(entry for pair in zip(WATER, NAMES[MARKS_FIRST:], strict=False) for entry in pair),
    *NAMES[MARKS_FIRST + len(WATER) :],
)


def mark_step(store: Store, number: int, note: str = "", who: str = "mk") -> int:
    """Do one act of the session, from 0; gives its number in the journal once COMMIT returned.

    An evening is marks and acts on water in turn, a minute apart.
    """
    day, place = divmod(number, len(EVENING))
    entry, now = EVENING[place], FIRST_EVENING + timedelta(days=day, minutes=place)
    answer: Marked | Told | Problem
    if isinstance(entry, str):
        how = How(who=who, note=note, anyway=True, hands_clean=True)
        answer = mark(store, now, [entry], "done", how)
    else:
        answer = entry(store, now, who)
    if isinstance(answer, Problem) or answer.act is None:
        said = answer.sentence() if isinstance(answer, Problem) else answer.words
        raise AssertionError(f"act {number} was to be one: {said}")
    return answer.act


def whole_sum(connection: sqlite3.Connection) -> bytes:
    """A sum over every row of every table, so that equal sums are equal stores."""
    total = blake2b(digest_size=16)
    tables = connection.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"
    ).fetchall()
    for (name,) in tables:
        total.update(name.encode())
        for row in connection.execute(f'SELECT * FROM "{name}" ORDER BY 1, 2'):
            total.update(repr(row).encode())
    return total.digest()


def sum_at(path: Path) -> bytes:
    """The sum of a store nobody writes to."""
    with Store.open(path) as store:
        return whole_sum(store.connection)


def half_acts(connection: sqlite3.Connection) -> list[str]:
    """Every act of which a part is missing: its changes, the rows they left, its seal."""
    found = [f"act {act} has no changes" for (act,) in connection.execute(_NO_CHANGES)]
    found += [f"changes of act {act} stand without it" for (act,) in connection.execute(_NO_ACT)]
    found += [f"act {act} has no seal" for (act,) in connection.execute(_NO_SEAL)]
    for name in (sheet.name for sheet in SHEETS if sheet.key == ("id",) and sheet is not ACTS):
        found += [
            f"{name} {row}: its act {act} is not there"
            for row, act in connection.execute(
                f'SELECT "id", "act" FROM "{name}" WHERE "act" IS NOT NULL '
                'AND "act" NOT IN (SELECT "id" FROM "acts")'
            )
        ]
    gaps = connection.execute('SELECT max("id") - count(*) FROM "acts"').fetchone()[0]
    found += [f"{gaps} acts are missing from the journal"] if gaps else []
    return found + _rows_not_as_left(connection)


_NO_CHANGES = 'SELECT "id" FROM "acts" WHERE "id" NOT IN (SELECT "act" FROM "changes")'
_NO_ACT = 'SELECT DISTINCT "act" FROM "changes" WHERE "act" NOT IN (SELECT "id" FROM "acts")'
_NO_SEAL = 'SELECT "id" FROM "acts" WHERE "id" NOT IN (SELECT "act" FROM "seals")'
_NEWEST = """
SELECT "sheet", "key", "act", "after", max("act" * 1000 + "n") FROM "changes"
GROUP BY "sheet", "key"
"""


def _rows_not_as_left(connection: sqlite3.Connection) -> list[str]:
    """Rows that do not stand as the newest change to them says."""
    found = []
    sheets = {sheet.name: sheet for sheet in SHEETS}
    for name, key, act, after, _ in connection.execute(_NEWEST).fetchall():
        sheet = sheets[name]
        clause = " AND ".join(f'"{part}" = ?' for part in sheet.key) or '"one" = 1'
        wanted = ", ".join(f'"{column}"' for column in sheet.columns)
        row = connection.execute(
            f'SELECT {wanted} FROM "{name}" WHERE {clause}', json.loads(key)
        ).fetchone()
        stands = dict(zip(sheet.columns, row, strict=True)) if row is not None else None
        if stands != (sheet.filled(json.loads(after)) if after else None):
            found.append(f"{name} {key} is not as act {act} left it")
    return found


def acts_in(path: Path) -> dict[int, str]:
    """The words of every act of a store, through a bare connection."""
    with closing(sqlite3.connect(path)) as connection:
        return dict(connection.execute('SELECT "id", "words" FROM "acts"').fetchall())


def ended(name: str, counts: str, faults: list[str]) -> NoReturn:
    """Say what was counted and leave: 0 where nothing was wrong, 1 with the faults named."""
    sys.stdout.write(f"{name}: {counts}, {len(faults)} faults\n")
    for fault in faults[:20]:
        sys.stdout.write(f"  {fault}\n")
    raise SystemExit(1 if faults else 0)
