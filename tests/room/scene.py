"""Small rooms for tests of the core: no store, facts as values."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import count
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.room.due import all_due
from roomtasks.room.job import Between, Hold, Job
from roomtasks.room.journal import Event, Mark
from roomtasks.room.occurrence import Due
from roomtasks.room.past import fold
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.room import Room
from roomtasks.room.setup import Setup
from roomtasks.room.stock import Group
from roomtasks.room.tank import Filter, Tank

ZONE = ZoneInfo("Europe/London")
_ids = count(1)


def at(text: str) -> datetime:
    """A local instant in the test room's zone."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def morning(day: str) -> datetime:
    return at(f"{day}T08:00")


def tank(code: str, litres: float = 52.5, **facts: Any) -> Tank:
    base: dict[str, Any] = {
        "code": code, "rack": code[0], "shelf": 1, "place": int(code[1:]), "role": "stock",
        "length_cm": 58.8, "width_cm": 28.8, "height_cm": 36.0, "water_cm": 31.0,
        "measured_litres": litres,
    }  # fmt: skip
    return Tank(**{**base, **facts})


def group(code: str, tank_code: str, count_: int = 9, **facts: Any) -> Group:
    base: dict[str, Any] = {
        "code": code, "line": "line", "tank": tank_code, "count": count_,
        "since": date(2027, 1, 1),
    }  # fmt: skip
    return Group(**{**base, **facts})


def job(code: str, rule: str, **facts: Any) -> Job:
    base: dict[str, Any] = {
        "code": code, "name": code, "kind": "other", "where": "tank D3", "rule": rule,
    }  # fmt: skip
    return Job(**{**base, **facts})


def mark(
    job_code: str, target: str, slot: str, day: str, outcome: str = "done", **facts: Any
) -> Mark:
    base: dict[str, Any] = {
        "id": next(_ids), "job": job_code, "target": target, "slot": date.fromisoformat(slot),
        "outcome": outcome, "day": date.fromisoformat(day), "at": morning(day),
    }  # fmt: skip
    return Mark(**{**base, **facts})


def event(name: str, target: str, day: str, **facts: Any) -> Event:
    return Event(
        id=next(_ids),
        event=name,
        target=target,
        day=date.fromisoformat(day),
        at=morning(day),
        **facts,
    )


def room(**facts: Any) -> Room:
    """A room with rack D of nine tanks, change day Saturday, each tank with fish."""
    setup = Setup(name="test", zone="Europe/London", change_day=facts.pop("change_day", "saturday"))
    tanks = facts.pop("tanks", tuple(tank(f"D{n}") for n in range(1, 9)))
    racks = sorted({t.rack for t in tanks})
    base: dict[str, Any] = {
        "racks": tuple(Rack(code=code, path=n) for n, code in enumerate(racks)),
        "shelves": tuple(Shelf(rack=code, shelf=1, places=9) for code in racks),
        "tanks": tanks,
        "filters": tuple(Filter(code=f"{t.code}-{n}", tank=t.code) for t in tanks for n in (1, 2)),
        "groups": tuple(group(f"g-{t.code}", t.code) for t in tanks),
    }  # fmt: skip
    return Room(setup, **{**base, **facts})


def dues(room_: Room, marks: Iterable[Mark], now: datetime) -> dict[str, Due]:
    """Everything that has a slot, by job@target."""
    by: dict[tuple[str, str], list[Mark]] = {}
    for one in marks:
        by.setdefault((one.job, one.target), []).append(one)
    pasts = {key: fold(values) for key, values in by.items()}
    return {due.id: due for due in all_due(room_, pasts, now)}


def states(room_: Room, marks: Iterable[Mark], name: str, days: Iterable[str]) -> list[str]:
    known = list(marks)
    return [str(dues(room_, known, morning(day))[name].state) for day in days]


def days_from(first: str, count_: int) -> list[str]:
    start = date.fromisoformat(first)
    return [str(start + timedelta(days=n)) for n in range(count_)]


__all__ = [
    "Between", "Hold", "at", "days_from", "dues", "event", "group", "job", "mark", "morning",
    "room", "states", "tank",
]  # fmt: skip
