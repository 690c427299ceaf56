"""A large room with a long journal, made as the program would have written it.

Some 10,000 tasks (five at each of 2,000 tanks) and acts of one mark each, the
newest of them yesterday's; every act with its change and its seal, so that
`check` finds the store whole. Does not live here: what is measured on it.
"""

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

from roomtasks.room.job import Between, Job
from roomtasks.room.journal import Mark
from roomtasks.room.room import SHEET
from roomtasks.room.tank import Filter
from roomtasks.store.base import Store
from roomtasks.store.seal import seal_all
from tests.bench.interface import large_room
from tests.rooms import FIRST_DAY, ZONE, Sheets, at, store_with

LOOKED_AT = at("2027-03-06 07:30")
LINES_A_DAY = 4_000
ROWS_AT_ONCE = 10_000


def long_room(tanks: int) -> Sheets:
    """The large room with a sponge and two more jobs at every tank, and a gap between them."""
    sheets = large_room(tanks)
    hung = {item.tank for item in sheets["filters"]}
    sheets["filters"] += [
        Filter(code=f"{tank.code}-1", tank=tank.code, since=FIRST_DAY)
        for tank in sheets["tanks"]
        if tank.code not in hung
    ]
    sheets["jobs"] += [
        Job(code="sponge", name="Squeeze a sponge", kind="filter", where="all filters",
            rule="every 28 days", minutes=4.0),
        Job(code="vac", name="Vacuum", kind="vac", where="tanks standing alone",
            rule="every 14 days", window="-3/+4", minutes=5.0),
    ]  # fmt: skip
    sheets["between"].append(
        Between(code="sponge-vac", first="job sponge", relation="apart", second="job vac",
                days=3, reason="the tank keeps one of its two filters")
    )  # fmt: skip
    return sheets


def long_store(folder: Path, tanks: int, lines: int) -> tuple[Path, list[tuple[str, str]]]:
    """A closed store of so many tanks and acts, and the jobs and targets they are of."""
    sheets = long_room(tanks)
    tasks = _tasks(sheets)
    with store_with(folder, sheets, "long.db") as store, store.transaction() as connection:
        _journal(connection, tasks, lines)
        seal_all(connection)
    with Store.open(store.path) as store:
        store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        return store.path, tasks


def _tasks(sheets: Sheets) -> list[tuple[str, str]]:
    alone = [tank.code for tank in sheets["tanks"] if not tank.code.startswith("A")]
    every = [tank.code for tank in sheets["tanks"]]
    return [
        *((job, tank) for tank in every for job in ("look", "feed")),
        *((job, tank) for tank in alone for job in ("change-alone", "vac")),
        *(("sponge", item.code) for item in sheets["filters"]),
    ]


def _journal(connection: sqlite3.Connection, tasks: list[tuple[str, str]], lines: int) -> None:
    """Acts of one mark each, task by task round the room, day by day up to yesterday."""
    batch: list[Mark] = []
    for mark in _marks(tasks, lines):
        batch.append(mark)
        if len(batch) == ROWS_AT_ONCE:
            _insert(connection, batch)
            batch = []
    _insert(connection, batch)
    connection.execute("INSERT OR REPLACE INTO \"numbers\" VALUES ('marks', ?)", (lines,))


def _marks(tasks: list[tuple[str, str]], lines: int) -> Iterator[Mark]:
    days = -(-lines // LINES_A_DAY)
    first = LOOKED_AT.date() - timedelta(days=days)
    model = Mark(
        id=1, act=1, job="look", target="room", slot=FIRST_DAY, outcome="done", day=FIRST_DAY,
        at=LOOKED_AT, who="mk",
    )  # fmt: skip
    for n in range(lines):
        job, target = tasks[n % len(tasks)]
        ago, place = divmod(n, LINES_A_DAY)
        day = first + timedelta(days=ago)
        outcome = _outcome(n)
        yield replace(
            model, id=n + 1, act=n + 1, job=job, target=target, slot=day, outcome=outcome,
            day=day, at=_instant(day, place),
            fraction=0.1 if outcome == "partly" else None,
            minutes=5.0 if n % 7 == 0 else None,
            until=day + timedelta(days=2) if outcome == "put-off" else None,
            reason="no time" if outcome == "left-out" else "",
        )  # fmt: skip


def _outcome(n: int) -> str:
    """Nine in ten done, the rest partly, put off, left out."""
    return {3: "partly", 7: "put-off", 11: "left-out"}.get(n % 31, "done")


def _instant(day: date, place: int) -> datetime:
    return datetime.combine(day, time(9), ZONE) + timedelta(seconds=place * 9)


def _insert(connection: sqlite3.Connection, marks: list[Mark]) -> None:
    """Marks as rows, each with its act and the change the act was."""
    sheet = SHEET["marks"]
    plain = [sheet.plain(mark) for mark in marks]
    _many(connection, "marks", [list(row.values()) for row in plain])
    _many(
        connection, "acts",
        [
            [row["act"], row["at"], row["day"], row["who"], row["outcome"],
             f"{row['job']} at {row['target']}: {row['outcome']}", None]
            for row in plain
        ],
    )  # fmt: skip
    _many(
        connection, "changes",
        [
            [row["act"], 0, "marks", f"[{row['id']}]", "",
             json.dumps(row, ensure_ascii=False, separators=(",", ":"))]
            for row in plain
        ],
    )  # fmt: skip


def _many(connection: sqlite3.Connection, name: str, rows: list[list[object]]) -> None:
    columns = list(SHEET[name].columns)
    names, places = ", ".join(f'"{c}"' for c in columns), ", ".join("?" for _ in columns)
    connection.executemany(f'INSERT INTO "{name}" ({names}) VALUES ({places})', rows)
