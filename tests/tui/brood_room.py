"""A room with broods for the tests of their screen: one that grew, one just spawned. Invented."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from roomtasks.room.brood import Brood, Sample, Sighting
from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.room.stock import Group
from roomtasks.store.base import Store
from roomtasks.work import brood_acts
from roomtasks.work.fish import Told
from tests.rooms import Sheets, at, small_room, store_with

DAY = "2027-05-06 12:00"
LINES = [
    LineFacts(name="calvus", adult_cm=5.0, eats="none", looks_like="young lelupi",
              spawns_again_days=30),
    LineFacts(name="lelupi", eats="none"),
    LineFacts(name="young lelupi", eats="none"),
]  # fmt: skip


def told(answer: Told | Problem) -> str:
    assert isinstance(answer, Told), answer
    return answer.words


def brood_store(folder: Path, count: int = 120) -> Store:
    """c1 of calvus in B1, counted and measured three times; l1 of lelupi in B2 spawned in May."""
    sheets = small_room()
    sheets["lines"] = list(LINES)
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "B3"]
    sheets["tanks"] = [
        replace(tank, role="nursery") if tank.code in ("A4", "B3") else tank
        for tank in sheets["tanks"]
    ]
    store = store_with(folder, sheets)
    told(brood_acts.spawn(store, at("2027-03-09 19:00"), "mk", "c1", "B1"))
    for stage, when in (("hatch", "2027-03-12 07:30"), ("free-swimming", "2027-03-17 07:30")):
        told(brood_acts.stage_seen(store, at(when), "mk", "c1", stage))
    told(brood_acts.stage_seen(store, at("2027-03-23 09:00"), "mk", "c1", "first-count",
                               count=count))  # fmt: skip
    for day, cm in (("2027-04-08", 1.4), ("2027-04-22", 1.9), ("2027-05-06", 2.5)):
        told(brood_acts.sample(store, at(f"{day} 10:00"), "mk", "c1", [cm - 0.2, cm, cm + 0.3],
                               n=12))  # fmt: skip
    told(brood_acts.spawn(store, at("2027-05-04 19:00"), "mk", "l1", "B2", day=date(2027, 5, 3)))
    return store


MONDAY = "2027-03-01 09:00"


def _three_tanks(lines: list[LineFacts], more: dict[str, float]) -> Sheets:
    """B1, A2 and A3 of 20, 40 and 80 L, fish of b and c in the last two; no two lines together."""
    sheets = small_room()
    litres = {"B1": 20.0, "A2": 40.0, "A3": 80.0, **more}
    sheets["tanks"] = [
        replace(tank, measured_litres=litres.get(tank.code))
        for tank in sheets["tanks"]
        if tank.code in {*litres, "Q1"}
    ]
    for sheet in ("valves", "filters", "stocked"):
        sheets[sheet] = [row for row in sheets[sheet] if row.tank in {*litres, "Q1"}]
    sheets["conditions"], sheets["between"] = [], []
    sheets["jobs"] = [job for job in sheets["jobs"] if not job.code.startswith("squeeze")]
    sheets["lines"] = lines
    since = date(2027, 1, 1)
    sheets["groups"] = [
        *(group for group in sheets["groups"] if group.tank == "Q1"),
        Group(code="half", line="b", tank="A2", count=90, stage="young", since=since),
        Group(code="large", line="c", tank="A3", count=50, stage="young", since=since),
    ]
    return sheets


def _apart(name: str, **facts: Any) -> LineFacts:
    others = ";".join(other for other in ("a", "b", "c") if other != name)
    return LineFacts(name=name, eats="none", looks_like=others, **facts)


def chain_store(folder: Path) -> Store:
    """Brood s1 in B1 can only go on to A2, from there to A3, and from there be sold. Invented."""
    sheets = _three_tanks([_apart("a"), _apart("b"), _apart("c")], {})
    since = date(2027, 1, 1)
    young = Group(code="s1", line="a", tank="B1", count=60, stage="young", since=since)
    sheets["groups"] = [*sheets["groups"], young]
    sheets["broods"] = [
        Brood(code="s1", line="a", tank="B1", spawned=since, group="s1", counted=60)
    ]
    sheets["sightings"] = [
        Sighting(brood="s1", stage=stage, day=date(2027, 1, day), at=at(f"2027-01-{day:02} 09:00"))
        for stage, day in (("spawn", 1), ("hatch", 4), ("free-swimming", 9), ("first-count", 15))
    ]
    sheets["samples"] = [
        Sample(brood="s1", day=day, n=12, smallest_cm=cm - 0.2, middle_cm=cm, largest_cm=cm + 0.2)
        for day, cm in ((date(2027, 2, 1), 1.2), (date(2027, 2, 22), 2.1))
    ]
    return store_with(folder, sheets)


def pair_store(folder: Path) -> Store:
    """A pair of a in B1 that has not spawned yet, A1 of 100 L free, A2 and A3 taken. Invented."""
    facts = _apart("a", adult_cm=6.0, spawns_again_days=60)
    sheets = _three_tanks([facts, _apart("b"), _apart("c")], {"A1": 100.0})
    pair = Group(code="pair", line="a", tank="B1", count=2, males=1, females=1,
                 since=date(2026, 9, 8))  # fmt: skip
    sheets["groups"] = [*sheets["groups"], pair]
    return store_with(folder, sheets)
