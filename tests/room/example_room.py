"""The invented example room that the worked numbers of water rest on.

A system of ten breeding tanks and six for grow-out on one sump, eight tanks
alone, a nursery, quarantine, a hospital tank, two reservoirs. Nothing is in it
by chance: 2 200 L in the system's tanks, 2 412 L with sump and pipes, 560 L a
fill from R1, and 919 L wanted on Saturday 13 March 2027. No real room.
"""

from dataclasses import replace
from datetime import date, datetime
from typing import Any

from roomtasks.room.job import Job
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.recipe import Rate, Recipe, Source
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.setup import Setup
from roomtasks.room.stock import Group
from roomtasks.room.system import PumpTurn, System, ValveTurn
from roomtasks.room.tank import Filter, Tank
from tests.room.scene import at

CHANGE_DAY = date(2027, 3, 13)
ON_SYSTEM = tuple(f"{rack}{n}" for rack, most in (("A", 5), ("B", 5), ("G", 6))
                  for n in range(1, most + 1))  # fmt: skip
ALONE = tuple(f"D{n}" for n in range(1, 9))
NURSERY, QUARANTINE, HOSPITAL = ("N1", "N2"), ("Q1", "Q2", "Q3"), ("H1",)
OPENED, SHUT_AT = at("2026-09-01T10:00"), at("2027-03-01T10:00")

# rack, shelf, role, inside length, width, height, water height in cm, net litres
_SIZES: dict[str, tuple[str, int, str, float, float, float, float, float]] = {
    "A": ("L", 2, "breeding", 78.8, 38.8, 40.0, 33.0, 91.0),
    "B": ("L", 3, "breeding", 78.8, 38.8, 40.0, 33.0, 91.0),
    "G": ("L", 1, "grow-out", 118.0, 48.0, 45.0, 38.0, 215.0),
    "D": ("D", 1, "stock", 58.8, 28.8, 36.0, 31.0, 52.5),
    "N": ("N", 1, "nursery", 38.8, 23.8, 26.0, 22.0, 20.0),
    "Q": ("Q", 1, "quarantine", 58.8, 38.8, 36.0, 30.0, 68.4),
    "H": ("H", 1, "hospital", 58.8, 28.8, 36.0, 31.0, 52.0),
}


def example_room(**changes: Any) -> Room:
    """The example room; `changes` put other rows in place of a sheet's, by its name."""
    return replace(_room(), **changes)


def with_tank(room: Room, code: str, **facts: Any) -> Room:
    """The room with some facts of one tank changed."""
    tanks = tuple(replace(t, **facts) if t.code == code else t for t in room.tanks)
    return replace(room, tanks=tanks)


def with_system(room: Room, **facts: Any) -> Room:
    """The room with some facts of system S changed."""
    return replace(room, systems=tuple(replace(s, **facts) for s in room.systems))


def with_setup(room: Room, **facts: Any) -> Room:
    """The room with some settings changed."""
    return replace(room, setup=replace(room.setup, **facts))


def with_jobs(room: Room, *jobs: Job) -> Room:
    """The room with further jobs."""
    return replace(room, jobs=(*room.jobs, *jobs))


def shut(room: Room, *tanks: str, when: datetime = SHUT_AT) -> Room:
    """The room with the valves of these tanks shut."""
    turns = tuple(ValveTurn(tank=tank, at=when, system="S", state="shut") for tank in tanks)
    return replace(room, valves=(*room.valves, *turns))


def jugs() -> Job:
    """The nursery's daily jug: 4 L at each tank."""
    return Job(code="jug", name="Jug at the nursery", kind="change", where="tanks in rack N",
               rule="every 1 days", litres=4.0, minutes=2.0, reservoir="R1")  # fmt: skip


def _room() -> Room:
    tanks = _tanks()
    return Room(
        Setup(name="Example room", zone="Europe/London", room_id="example-1"),
        racks=tuple(
            Rack(code=code, name=name, path=path)
            for path, (code, name) in enumerate(
                [("Q", "By the door"), ("L", "Long wall"), ("D", "Window"), ("N", "Corner"),
                 ("H", "Bench")], start=1,
            )
        ),
        shelves=tuple(
            Shelf(rack=rack, shelf=shelf, places=8, reach="steps" if (rack, shelf) == ("L", 1)
                  else "standing")
            for rack, shelf in sorted({(tank.rack, tank.shelf) for tank in tanks})
        ),
        tanks=tanks,
        filters=tuple(Filter(code=f"{code}-{n}", tank=code) for code in ALONE for n in (1, 2)),
        systems=(_system(),),
        valves=tuple(
            ValveTurn(tank=code, at=OPENED, system="S", state="open") for code in ON_SYSTEM
        ),
        pumps=(PumpTurn(system="S", at=OPENED, state="running"),),
        groups=tuple(
            Group(code=f"g-{tank.code}", line="line", tank=tank.code, count=9,
                  since=date(2026, 10, 1), stage="fry" if tank.role == "nursery" else "adult")
            for tank in tanks
        ),
        jobs=_jobs(),
        **_water(),
    )  # fmt: skip


def _tanks() -> tuple[Tank, ...]:
    found = []
    for code in (*ON_SYSTEM, *ALONE, *NURSERY, *QUARANTINE, *HOSPITAL):
        rack, shelf, role, length, width, height, water, litres = _SIZES[code[0]]
        sandy = code[0] in "AB"
        found.append(
            Tank(
                code=code, rack=rack, shelf=shelf, place=int(code[1:]), role=role,
                length_cm=length, width_cm=width, height_cm=height, water_cm=water,
                sand_cm=4.0 if sandy else 0.0, rock_kg=6.0 if sandy else 0.0,
                bottom="sand" if sandy else "bare", measured_litres=litres,
                measured_on=date(2026, 9, 1),
            )
        )  # fmt: skip
    return tuple(found)


def _system() -> System:
    return System(
        code="S", name="Long wall", sump_litres=200.0, pipes_litres=12.0, sump_known="measured",
        sump_length_cm=148.0, sump_width_cm=48.0, sump_height_cm=45.0, sump_running_cm=30.0,
        head_cm=0.8, recipe="hard", nitrate_limit_mg_per_l=35.0, top_off_litres_per_week=24.0,
    )  # fmt: skip


def _water() -> dict[str, Any]:
    measured = date(2027, 2, 13)
    return {
        "sources": (
            Source(code="tap", celsius=12.0, hardness_dgh=14.0, nitrate_mg_per_l=8.0, ph=7.8,
                   measured_on=measured),
            Source(code="ro", kind="ro", celsius=12.0, hardness_dgh=0.5, nitrate_mg_per_l=0.0,
                   litres_per_hour=12.0, measured_on=measured),
        ),
        "recipes": (
            Recipe(code="hard", name="Hard", source="tap", celsius=25.0, hardness_dgh=14.0,
                   ph=7.8),
            Recipe(code="soft", name="Soft", source="tap", ro="ro", celsius=26.0,
                   hardness_dgh=6.0),
        ),
        "rates": (
            Rate(recipe="hard", product="conditioner", amount=5.0, unit="ml", per_litres=100.0),
        ),
        "reservoirs": (
            Reservoir(code="R1", name="Hard water", full_litres=700.0, dead_litres=40.0,
                      keep_back_litres=100.0, holds_litres=140.0, fill_litres_per_min=6.0,
                      heater_watts=2850.0, unattended=True, rest_hours=12.0,
                      pump_litres_per_min=20.0, recipes="hard"),
            Reservoir(code="R2", name="Soft water", full_litres=200.0, heater_watts=300.0,
                      recipes="soft"),
        ),
    }  # fmt: skip


def _jobs() -> tuple[Job, ...]:
    weekly: dict[str, Any] = {
        "rule": "every 7 days", "window": "-1/+2", "starts": CHANGE_DAY, "reservoir": "R1",
    }  # fmt: skip
    return (
        Job(code="change-system", name="Change the system", kind="change", where="system S",
            fraction=0.30, minutes=60.0, **weekly),
        Job(code="change-d", name="Change rack D", kind="change", where="tanks in rack D",
            fraction=0.30, minutes=6.0, **weekly),
        Job(code="change-q", name="Change quarantine", kind="change", where="tanks in rack Q",
            fraction=0.40, minutes=6.0, **weekly),
        Job(code="top-off", name="Top off the sump", kind="top-off", where="system S",
            litres=24.0, minutes=5.0, **weekly),
    )  # fmt: skip


__all__ = ["CHANGE_DAY", "at", "example_room", "jugs", "shut", "with_jobs", "with_setup",
           "with_system", "with_tank"]  # fmt: skip
