"""The demo room's places on the first day of its journal: racks, tanks, sump, reservoirs, people.

All of it is invented. Sizes are inside sizes in cm, volumes litres; fish stand
in `fish`, standing jobs in `jobs`, what happens in `story`.
"""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.room.job import CounterReading
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.recipe import Rate, Recipe, Source
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.setup import WEEKDAYS, Away, Hours, Person, Setup
from roomtasks.room.system import PumpTurn, System, ValveTurn
from roomtasks.room.tank import Filter, Tank

ZONE = ZoneInfo("Europe/Lisbon")
FIRST_DAY = date(2027, 1, 17)
OPENS = datetime(2027, 5, 16, 7, 10, tzinfo=ZONE)
SYSTEM = "LOOP"
ON_SYSTEM = (
    "L11", "L12", "L13", "L21", "L22", "L23", "L24", "L31", "L32", "L33", "T11", "T12", "T21",
    "T22",
)  # fmt: skip
TWO_SPONGES = ("W11", "W12", "W13", "W14", "W21", "W22", "W23", "W24", "T31")
ONE_SPONGE = ("Y11", "Y12", "Y13", "Y21", "Y22", "P11", "P12", "P21", "T21", "T22")

_SIZES: dict[str, dict[str, Any]] = {
    "long": {"length_cm": 98.8, "width_cm": 43.8, "height_cm": 45.0, "water_cm": 36.0,
             "gear_litres": 1.5},
    "cube": {"length_cm": 58.8, "width_cm": 43.8, "height_cm": 40.0, "water_cm": 33.0,
             "sand_cm": 2.0, "rock_kg": 3.0, "gear_litres": 0.8, "bottom": "sand"},
    "deep": {"length_cm": 78.8, "width_cm": 47.8, "height_cm": 45.0, "water_cm": 38.0,
             "gear_litres": 1.5},
    "apart": {"length_cm": 58.8, "width_cm": 38.8, "height_cm": 38.0, "water_cm": 32.0,
              "gear_litres": 0.9, "heater": True},
    "stock": {"length_cm": 98.8, "width_cm": 38.8, "height_cm": 42.0, "water_cm": 34.0,
              "sand_cm": 3.0, "rock_kg": 5.0, "gear_litres": 1.2, "bottom": "sand",
              "heater": True},
    "small": {"length_cm": 38.8, "width_cm": 28.8, "height_cm": 34.0, "water_cm": 30.0,
              "gear_litres": 0.6},
    "cave": {"length_cm": 48.8, "width_cm": 33.8, "height_cm": 36.0, "water_cm": 31.0,
             "sand_cm": 2.0, "rock_kg": 2.0, "gear_litres": 0.8, "bottom": "sand",
             "heater": True},
    "fry": {"length_cm": 38.8, "width_cm": 23.8, "height_cm": 28.0, "water_cm": 22.0,
            "gear_litres": 0.4},
    "side": {"length_cm": 58.8, "width_cm": 33.8, "height_cm": 36.0, "water_cm": 31.0,
             "gear_litres": 0.8},
    "new": {"length_cm": 48.8, "width_cm": 38.8, "height_cm": 40.0, "water_cm": 32.0,
            "gear_litres": 0.7, "heater": True},
    "sick": {"length_cm": 38.8, "width_cm": 33.8, "height_cm": 36.0, "water_cm": 30.0,
             "gear_litres": 0.5, "heater": True},
}  # fmt: skip
_ROWS = (
    ("W1", 4, "small", "breeding"), ("W2", 4, "cave", "breeding"),
    ("Y1", 3, "fry", "nursery"), ("Y2", 2, "side", "stock"),
    ("L1", 3, "long", "grow-out"), ("L2", 4, "cube", "breeding"), ("L3", 3, "cube", "breeding"),
    ("T1", 2, "deep", "grow-out"), ("T2", 2, "apart", "isolation"), ("T3", 1, "stock", "stock"),
    ("P1", 2, "new", "quarantine"), ("P2", 1, "sick", "hospital"),
)  # fmt: skip
_MEASURED = {
    "L12": (152.0, date(2026, 10, 4)), "T11": (140.0, date(2026, 10, 4)),
    "T22": (70.5, date(2026, 10, 11)), "W21": (47.0, date(2026, 11, 8)),
    "W22": (47.5, date(2026, 11, 8)), "Y11": (19.5, date(2026, 11, 8)),
    "P11": (58.5, date(2026, 12, 6)), "P21": (38.0, date(2026, 12, 6)),
}  # fmt: skip
_NOTES = {
    "L11": "outlet guard for small fish fitted", "L13": "lid has a chipped corner, gap to the back",
    "T21": "can be cut off: valve behind, own net on the hook",
    "T22": "can be cut off: valve behind, own net on the hook",
    "W13": "jumpers: keep the lid down", "W24": "shells stay where they lie",
    "P11": "own siphon and bucket, red tape", "P12": "own siphon and bucket, blue tape",
    "P21": "bare, for single fish",
}  # fmt: skip
_WATERS: dict[str, dict[str, Any]] = {
    "W11": {"recipe": "soft", "largest_step_celsius": 0.5, "feed_g_per_day": 0.3},
    "W12": {"recipe": "soft", "largest_step_celsius": 0.5, "feed_g_per_day": 0.3},
    "W13": {"recipe": "soft", "feed_g_per_day": 0.4},
    "W14": {"recipe": "soft", "feed_g_per_day": 0.3},
    "Y11": {"largest_change": 0.2, "largest_step_celsius": 0.5},
    "Y12": {"largest_change": 0.2, "largest_step_celsius": 0.5},
    "Y13": {"largest_change": 0.2, "largest_step_celsius": 0.5},
    "T31": {"nitrate_limit_mg_per_l": 40.0, "feed_g_per_day": 2.5},
    "W21": {"nitrate_limit_mg_per_l": 30.0, "feed_g_per_day": 0.8},
    "W22": {"nitrate_limit_mg_per_l": 30.0, "feed_g_per_day": 0.5},
    **{code: {"feed_g_per_day": 1.2} for code in ("L11", "L12", "L13", "T11", "T12")},
    **{code: {"feed_g_per_day": 0.6} for code in ("L21", "L22", "L23", "L24", "L31", "L32")},
}
_SHELVES = (
    ("W", 1, 4, "standing"), ("W", 2, 4, "floor"), ("Y", 1, 3, "standing"), ("Y", 2, 2, "floor"),
    ("L", 1, 3, "steps"), ("L", 2, 4, "standing"), ("L", 3, 3, "floor"), ("T", 1, 2, "steps"),
    ("T", 2, 2, "standing"), ("T", 3, 1, "floor"), ("P", 1, 2, "standing"), ("P", 2, 1, "floor"),
)  # fmt: skip

_WORKING = ((time(6, 15), time(8, 20)), (time(17, 15), time(22, 45)))
_FREE = ((time(7, 0), time(23, 0)),)


def at(text: str) -> datetime:
    """A local instant of the room, as "2027-03-14 07:30"."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def places() -> dict[str, list[Any]]:
    """Everything that stands in the room, by sheet name."""
    return {
        "setup": [_setup()],
        "racks": [
            Rack(code="W", name="Window wall", path=1),
            Rack(code="Y", name="Yard side", path=2),
            Rack(code="L", name="Long wall", path=3),
            Rack(code="T", name="Tall rack", path=4),
            Rack(code="P", name="Passage", path=5),
        ],
        "shelves": [
            Shelf(rack=rack, shelf=shelf, places=count, reach=reach)
            for rack, shelf, count, reach in _SHELVES
        ],
        "tanks": _tanks(),
        "filters": _filters(),
        **_water(),
        "hours": [
            Hours(weekday=day, from_time=start, until_time=end)
            for day in WEEKDAYS
            for start, end in (_FREE if day in ("saturday", "sunday") else _WORKING)
        ],
        "people": [
            Person(code="rita", name="Rita", part="keeper"),
            Person(code="davi", name="Davi", part="stand-in", present=False),
        ],
        "away": [
            Away(first=date(2027, 3, 25), last=date(2027, 3, 28), stand_in="davi",
                 note="to the coast; telephone on the door"),
            Away(first=date(2027, 6, 3), last=date(2027, 6, 10), stand_in="davi",
                 note="food packets dated, in the blue box"),
        ],
    }  # fmt: skip


def _setup() -> Setup:
    return Setup(
        name="The old wash-house", zone="Europe/Lisbon", day_starts=time(4, 0),
        change_day="sunday", monday_minutes=120, tuesday_minutes=120, wednesday_minutes=140,
        thursday_minutes=120, friday_minutes=120, saturday_minutes=180, sunday_minutes=130,
        hands_minutes=2.0, steps_minutes=1.5, largest_change=0.4, room_celsius=19.0,
        change_hour=time(9, 30),
        demo_opens_at=f"{OPENS:%Y-%m-%dT%H:%M}", room_id="demo-wash-house",
    )  # fmt: skip


def _tanks() -> list[Tank]:
    found = []
    for row, count, size, role in _ROWS:
        for place in range(1, count + 1):
            code = f"{row}{place}"
            litres, day = _MEASURED.get(code, (None, None))
            found.append(
                Tank(
                    code=code, rack=row[0], shelf=int(row[1]), place=place, role=role,
                    measured_litres=litres, measured_on=day, note=_NOTES.get(code, ""),
                    **_SIZES[size], **_WATERS.get(code, {}),
                )
            )  # fmt: skip
    return found


def _filters() -> list[Filter]:
    two = [
        Filter(code=f"{tank}-{n}", tank=tank, since=date(2026, 6 + n, 12))
        for tank in TWO_SPONGES
        for n in (1, 2)
    ]
    one = [Filter(code=f"{tank}-1", tank=tank, since=date(2026, 9, 12)) for tank in ONE_SPONGE]
    return two + one


def _water() -> dict[str, list[Any]]:
    opened = [
        ValveTurn(tank=tank, at=at("2026-09-12 11:00"), system=SYSTEM, state="open")
        for tank in ON_SYSTEM
    ]
    earlier = [
        ValveTurn(tank="T21", at=at("2026-11-20 18:20"), system=SYSTEM, state="shut"),
        ValveTurn(tank="T21", at=at("2026-12-11 09:05"), system=SYSTEM, state="open"),
    ]
    return {
        "systems": [
            System(code=SYSTEM, name="Long wall and tall rack", sump_litres=178.0,
                   pipes_litres=14.0, sump_known="measured", sump_length_cm=118.0,
                   sump_width_cm=48.0, sump_height_cm=48.0, sump_running_cm=31.5, head_cm=0.6,
                   nitrate_limit_mg_per_l=35.0, top_off_litres_per_week=20.0,
                   note="resting mark is the upper tape, running mark the lower"),
        ],
        "valves": opened + earlier,
        "pumps": [PumpTurn(system=SYSTEM, at=at("2026-09-12 11:20"), state="running")],
        "sources": [
            Source(code="tap", celsius=15.5, hardness_dgh=13.0, nitrate_mg_per_l=7.0, ph=7.4,
                   measured_on=date(2026, 12, 28)),
            Source(code="unit", kind="ro", celsius=15.5, hardness_dgh=0.5, nitrate_mg_per_l=0.0,
                   ph=6.2, litres_per_hour=14.0, measured_on=date(2026, 12, 28)),
        ],
        "recipes": [
            Recipe(code="hard", name="Tap water", celsius=25.0, ph=7.4),
            Recipe(code="soft", name="Soft blend", ro="unit", celsius=25.5, hardness_dgh=4.0,
                   ph=6.9),
        ],
        "rates": [
            Rate(recipe="hard", product="conditioner", amount=6.0, unit="ml",
                 caution="gloves; keep the bottle shut"),
            Rate(recipe="soft", product="conditioner", amount=6.0, unit="ml",
                 caution="gloves; keep the bottle shut"),
            Rate(recipe="soft", product="minerals", amount=2.0, unit="g", when="mixed"),
        ],
        "reservoirs": [
            Reservoir(code="V1", name="Blue vat", full_litres=620.0, dead_litres=30.0,
                      keep_back_litres=80.0, holds_litres=585.0, fill_litres_per_min=7.0,
                      heater_watts=2400.0, loss_watts_per_kelvin=9.0, rest_hours=8.0,
                      pump_litres_per_min=16.0, recipes="hard",
                      note="tap water, conditioned in the vat"),
            Reservoir(code="V2", name="Soft vat", full_litres=190.0, dead_litres=10.0,
                      keep_back_litres=20.0, holds_litres=140.0, fill_litres_per_min=0.16,
                      heater_watts=300.0, loss_watts_per_kelvin=4.0, rest_hours=6.0,
                      pump_litres_per_min=10.0, recipes="soft", unattended=True,
                      note="float valve; soft blend"),
        ],
        "counters": [
            CounterReading(counter="tap-litres", day=date(2027, 1, 3), value=14210.0,
                           unit="litres"),
            CounterReading(counter="air-hours", day=date(2027, 1, 3), value=2950.0, unit="hours"),
        ],
    }  # fmt: skip
