"""A first room from one line of words, with the usual jobs proposed.

`3 racks, 4 shelves, 5 places, tanks 60x30x36` makes racks A, B, C; the top
shelf of three or more needs the steps. The jobs are common practice (no
published source): a quarter of the water each week, a sponge each month.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

from roomtasks.room.check import faults
from roomtasks.room.day import zone_named
from roomtasks.room.job import Between, Job
from roomtasks.room.problem import Problem
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.setup import Setup
from roomtasks.room.tank import Filter, Tank
from roomtasks.store.base import Store
from roomtasks.store.write import replace_all

FORM = "3 racks, 4 shelves, 5 places, tanks 60x30x36"
_NUMBER = r"(\d{1,2})"
_SIZE = r"(\d{1,3}(?:\.\d)?)"
_FORM = re.compile(
    rf"\s*{_NUMBER}\s*racks?\s*,\s*{_NUMBER}\s*shel(?:f|ves)\s*,\s*{_NUMBER}\s*places?\s*,"
    rf"\s*tanks?\s*{_SIZE}\s*x\s*{_SIZE}\s*x\s*{_SIZE}\s*",
    re.ASCII | re.IGNORECASE,
)
FREEBOARD_CM = 4.0


@dataclass(frozen=True, slots=True)
class Layout:
    """Racks, shelves a rack, places a shelf, and the inside size of every tank in cm."""

    racks: int
    shelves: int
    places: int
    length_cm: float
    width_cm: float
    height_cm: float


def parse_layout(text: str) -> Layout | Problem:
    """Read the one line of words that describes a room."""
    match = _FORM.fullmatch(text)
    if match is None:
        return Problem("racks and tanks", "this is not understood", f"write it as: {FORM}")
    racks, shelves, places = (int(match[n]) for n in (1, 2, 3))
    length, width, height = (float(match[n]) for n in (4, 5, 6))
    if not (1 <= racks <= 26 and 1 <= shelves <= 8 and 1 <= places <= 20):
        return Problem(
            "racks and tanks",
            f"{racks} racks, {shelves} shelves, {places} places are out of reach",
            "use 1 to 26 racks, 1 to 8 shelves, 1 to 20 places",
        )  # fmt: skip
    if min(length, width) < 5 or height < 10:
        return Problem(
            "tanks", f"{length:g} x {width:g} x {height:g} cm is too small",
            "give inside length, width and height in cm",
        )  # fmt: skip
    return Layout(racks, shelves, places, length, width, height)


def room_from(
    layout: Layout, name: str, zone: str, change_day: str, today: date
) -> dict[str, list[Any]] | Problem:  # fmt: skip
    """The facts of a first room: tanks standing alone, one sponge each, the usual jobs."""
    if isinstance(found := zone_named(zone), Problem):
        return Problem("time zone", found.what, found.remedy)
    racks, shelves, tanks, filters = [], [], [], []
    for n in range(layout.racks):
        rack = chr(ord("A") + n)
        racks.append(Rack(code=rack, path=n + 1))
        for shelf in range(1, layout.shelves + 1):
            high = layout.shelves >= 3 and shelf == 1
            low = layout.shelves >= 2 and shelf == layout.shelves
            reach = "steps" if high else "floor" if low else "standing"
            shelves.append(Shelf(rack=rack, shelf=shelf, places=layout.places, reach=reach))
            for place in range(1, layout.places + 1):
                code = f"{rack}{(shelf - 1) * layout.places + place}"
                tanks.append(_tank(code, rack, shelf, place, layout))
                filters.append(Filter(code=f"{code}-1", tank=code))
    sheets: dict[str, list[Any]] = {
        "setup": [
            Setup(name=name or "Fish room", zone=zone, change_day=change_day, room_id=str(uuid4()))
        ],
        "racks": racks, "shelves": shelves, "tanks": tanks, "filters": filters,
        "reservoirs": [Reservoir(code="R1", full_litres=200.0, holds_litres=0.0,
                                 keep_back_litres=20.0)],
        "jobs": usual_jobs(today), "between": usual_between(),
    }  # fmt: skip
    found_faults = faults(sheets)
    return found_faults[0].problem() if found_faults else sheets


def _tank(code: str, rack: str, shelf: int, place: int, layout: Layout) -> Tank:
    return Tank(
        code=code, rack=rack, shelf=shelf, place=place, role="stock", length_cm=layout.length_cm,
        width_cm=layout.width_cm, height_cm=layout.height_cm,
        water_cm=layout.height_cm - FREEBOARD_CM,
    )  # fmt: skip


def usual_jobs(today: date) -> list[Job]:
    """Jobs most rooms have, for the keeper to change."""
    return [
        Job(code="door", name="Door check", kind="check", where="room", rule="every 1 day",
            starts=today, minutes=1.0, needs="listen, smell, look at the floor"),
        Job(code="look", name="Look over", kind="look", where="all tanks", rule="every 1 day",
            starts=today, minutes=0.5, stand_in=True),
        Job(code="feed", name="Feed", kind="feed", where="all tanks", rule="every 1 day",
            starts=today, minutes=0.3, setup_minutes=3.0, stand_in=True,
            needs="soak dry food about 10 minutes"),
        Job(code="change", name="Water change", kind="change", where="all tanks",
            rule="every 7 days", window="-1/+2", starts=today, fraction=0.25, setup_minutes=10.0,
            minutes=5.0, reservoir="R1"),
        Job(code="squeeze", name="Squeeze sponge", kind="filter", where="all filters",
            rule="every 28 days", window="-4/+4", starts=today + timedelta(days=14),
            setup_minutes=4.0, minutes=4.0,
            needs="drained tank water"),
        Job(code="wipe", name="Wipe front glass", kind="wipe", where="all tanks",
            rule="every 14 days", window="-4/+7", starts=today, setup_minutes=1.0, minutes=2.0),
        Job(code="safety", name="Press the test button of the safety switch", kind="equipment",
            where="room", rule="every 1 month", window="-5/+5", starts=today, minutes=3.0),
        Job(code="copy", name="Copy of the record off this machine", kind="record", where="room",
            rule="every 7 days", starts=today, minutes=1.0),
    ]  # fmt: skip


def usual_between() -> list[Between]:
    """What holds between the usual jobs."""
    return [
        Between(code="P1", first="kind filter", relation="apart", second="kind filter", days=7,
                reason="never two filters of one tank in a week"),
        Between(code="P2", first="kind change", relation="together", second="kind filter",
                reason="a sponge is squeezed in drained water"),
    ]  # fmt: skip


def make_room(path: Path, sheets: dict[str, list[Any]]) -> None:
    """Make a store that holds this room: whole or absent. Raises StoreFault."""
    Store.create(path, fill=lambda store: replace_all(store, sheets)).close()
