"""Rooms for tests: made of plain facts, put into a store, and instants to look at them.

One small room that has one of everything that matters: a system with valves,
tanks standing alone with two sponges each, a tank in quarantine, two
reservoirs, and a dozen jobs of every sort of rule. Volumes and intervals are
common practice, no published source.
"""

from collections.abc import Mapping
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.room.job import Between, CounterReading, Job
from roomtasks.room.journal import Event
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.setup import Away, Person, Setup
from roomtasks.room.stock import Condition, Group, Stay, Stocked
from roomtasks.room.system import PumpTurn, System, ValveTurn
from roomtasks.room.tank import Filter, Tank
from roomtasks.store.base import Store
from roomtasks.store.write import replace_all

ZONE = ZoneInfo("Europe/Dublin")
FIRST_DAY = date(2027, 3, 1)
ON_SYSTEM = ("A1", "A2", "A3", "A4", "A5", "A6")
ALONE = ("B1", "B2", "B3")
QUARANTINE = "Q1"
Sheets = dict[str, list[Any]]


def at(text: str) -> datetime:
    """An instant of the room, as "2027-03-14 07:30" or with a T between."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def small_room() -> Sheets:
    """The facts of the small room on 1 March 2027, a Monday, by sheet name."""
    return {**_place(), **_bodies(), **_fish(), **_work()}


def store_with(folder: Path, sheets: Mapping[str, list[Any]], name: str = "room.db") -> Store:
    """A new store in this folder that holds these facts."""
    store = Store.create(folder / name)
    replace_all(store, dict(sheets))
    return store


def _place() -> Sheets:
    tanks = [
        *(
            _tank(code, "A", (n // 3) + 1, n % 3 + 1, "grow-out")
            for n, code in enumerate(ON_SYSTEM)
        ),
        *(_tank(code, "B", 1, n + 1, "breeding") for n, code in enumerate(ALONE)),
        _tank(QUARANTINE, "B", 2, 1, "quarantine"),
    ]
    return {
        "setup": [
            Setup(name="Small room", zone="Europe/Dublin", day_starts=time(4, 0), room_id="small-1")
        ],
        "racks": [Rack(code="A", name="By the door", path=1), Rack(code="B", name="Back", path=2)],
        "shelves": [
            Shelf(rack="A", shelf=1, places=3, reach="steps"),
            Shelf(rack="A", shelf=2, places=3),
            Shelf(rack="B", shelf=1, places=3),
            Shelf(rack="B", shelf=2, places=3, reach="floor"),
        ],
        "tanks": tanks,
        "filters": [
            Filter(code=f"{tank}-{n}", tank=tank, since=date(2026, 9, 1))
            for tank in (*ALONE, QUARANTINE)
            for n in (1, 2)
            if tank != QUARANTINE or n == 1
        ],
        "people": [
            Person(code="mk", name="Maeve"),
            Person(code="tb", name="Tom", part="stand-in"),
        ],
        "away": [Away(first=date(2027, 8, 2), last=date(2027, 8, 15), stand_in="tb")],
    }


def _tank(code: str, rack: str, shelf: int, place: int, role: str) -> Tank:
    return Tank(
        code=code, rack=rack, shelf=shelf, place=place, role=role, length_cm=60.0, width_cm=40.0,
        height_cm=40.0, water_cm=36.0, sand_cm=2.0 if role == "breeding" else 0.0,
        bottom="sand" if role == "breeding" else "bare", heater=role != "grow-out",
    )  # fmt: skip


def _bodies() -> Sheets:
    opened = at("2026-09-01 10:00")
    return {
        "systems": [System(code="S", name="Long side", sump_litres=180.0, pipes_litres=15.0)],
        "valves": [
            ValveTurn(tank=code, at=opened, system="S", state="open") for code in ON_SYSTEM
        ],
        "pumps": [PumpTurn(system="S", at=opened, state="running")],
        "reservoirs": [
            Reservoir(
                code="R1", name="Soft", full_litres=1000.0, dead_litres=30.0, keep_back_litres=50.0,
                holds_litres=900.0, fill_litres_per_min=8.0, heater_watts=1000.0,
            ),
            Reservoir(
                code="R2", name="Tap", full_litres=400.0, holds_litres=400.0, unattended=True
            ),
        ],
        "counters": [
            CounterReading(counter="carbon", day=date(2027, 1, 4), value=1000.0, unit="litres"),
            CounterReading(counter="carbon", day=date(2027, 2, 22), value=2500.0, unit="litres"),
        ],
    }  # fmt: skip


def _fish() -> Sheets:
    came = date(2026, 9, 8)
    homes = [("calvus", "B1"), ("lelupi", "B2"), ("young-calvus", "A1"), ("young-lelupi", "A2")]
    return {
        "groups": [
            *(
                Group(
                    code=code, line=code.replace("-", " "), tank=tank, count=6 * (n + 1),
                    males=1 if tank[0] == "B" else 0, females=3 if tank[0] == "B" else 0,
                    males_known="likely", since=came, stage="adult" if tank[0] == "B" else "young",
                    origin="calvus" if code == "young-calvus" else "",
                )
                for n, (code, tank) in enumerate(homes)
            ),
            Group(code="new-1", line="brevis", tank=QUARANTINE, count=8, since=date(2027, 2, 20)),
        ],
        "stays": [Stay(code="stay-1", tank=QUARANTINE, since=date(2027, 2, 20), days=42)],
        "events": [
            Event(
                id=1, event="arrival", target=QUARANTINE, day=date(2027, 2, 20), count=8, who="mk"
            )
        ],
        "conditions": [
            Condition(tank="A5", since=date(2027, 2, 1), state="watch", reason="pale gills seen")
        ],
        "stocked": [
            *(Stocked(tank=tank, since=came, state="fish") for _, tank in homes),
            Stocked(tank=QUARANTINE, since=date(2027, 2, 20), state="fish"),
            Stocked(tank="B3", since=date(2027, 2, 10), state="empty"),
        ],
    }  # fmt: skip


def _work() -> Sheets:
    jobs = [
        Job(code="look", name="Look over", kind="look", where="all tanks", rule="every 1 days",
            minutes=0.5, stand_in=True),
        Job(code="feed", name="Feed", kind="feed", where="all tanks", rule="every 1 days",
            minutes=0.5, from_time=time(18, 0), stand_in=True),
        Job(code="check", name="Heaters and air", kind="check", where="room", rule="every 1 days",
            minutes=3.0, stand_in=True),
        Job(code="change-s", name="Change system S", kind="change", where="system S",
            rule="every 7 days", window="-2/+3", starts=date(2027, 3, 6), minutes=40.0,
            fraction=0.20, reservoir="R1"),
        Job(code="change-alone", name="Change", kind="change", where="tanks standing alone",
            rule="every 7 days", window="-2/+3", starts=date(2027, 3, 6), minutes=6.0,
            fraction=0.30, reservoir="R1"),
        Job(code="squeeze-1", name="Squeeze the first sponge", kind="filter",
            where="filter B1-1 B2-1 B3-1", rule="every 28 days", starts=FIRST_DAY, minutes=4.0),
        Job(code="squeeze-2", name="Squeeze the second sponge", kind="filter",
            where="filter B1-2 B2-2 B3-2", rule="every 28 days", starts=date(2027, 3, 15),
            minutes=4.0),
        Job(code="fill-r1", name="Fill R1", kind="fill", where="reservoir R1",
            rule="calendar FREQ=WEEKLY;BYDAY=FR", starts=date(2027, 3, 5), litres=400.0,
            minutes=5.0, setup_minutes=2.0),
        Job(code="test-q", name="Test the quarantine", kind="test", where="tank Q1",
            rule="event arrival +7 +21 +35", minutes=6.0, needs="test kit"),
        Job(code="carbon", name="Change the carbon block", kind="media", where="reservoir R1",
            rule="counter carbon 4000", minutes=15.0),
        Job(code="strip", name="Strip and dry", kind="strip", where="all tanks",
            rule="state empty +14", minutes=30.0),
        Job(code="service", name="Service the air pump", kind="equipment", where="room",
            rule="once 2027-03-20", window="-5/+5", minutes=45.0, effects="event serviced"),
        Job(code="refill", name="Refill S", kind="top-off", where="system S",
            rule="follows change-s 15 min", minutes=10.0, effects="pump on"),
    ]  # fmt: skip
    return {
        "jobs": jobs,
        "between": [
            Between(code="sponges", first="job squeeze-1", relation="apart",
                    second="job squeeze-2", days=14, reason="one sponge stays ripe"),
            Between(code="not-both", first="kind filter", relation="not-same-day",
                    second="kind vac"),
        ],
    }  # fmt: skip
