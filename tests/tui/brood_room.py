"""A room with broods for the tests of their screen: one that grew, one just spawned. Invented."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.work import brood_acts
from roomtasks.work.fish import Told
from tests.rooms import at, small_room, store_with

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
