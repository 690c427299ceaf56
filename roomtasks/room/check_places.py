"""Rules between rows for what stands in the room: racks, tanks, water, fish.

Does not live here: jobs and pairs (`check_jobs`), the journal (`check_past`).
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from roomtasks.room.column import shown
from roomtasks.room.day import parse_local, zone_named
from roomtasks.room.fault import NAMED_SHEETS, ROOM, Facts, Fault, unknown
from roomtasks.room.problem import Problem
from roomtasks.room.tank import Tank, litres_of

TOLERANCE_LITRES = 1e-6


def setup_faults(facts: Facts) -> Iterator[Fault]:
    """One setup, with a zone that is known."""
    rows = list(facts.rows("setup"))
    if not rows:
        yield Fault("setup", None, "", "the room has no setup", "give it a name and a zone")
    for row, _ in rows[1:]:
        yield Fault("setup", row, "name", "the room has two setups", "keep one")
    for row, setup in rows:
        zone = zone_named(setup.zone)
        if isinstance(zone, Problem):
            yield Fault("setup", row, "zone", zone.what, zone.remedy)
        elif setup.zone != setup.zone.strip():
            yield Fault("setup", row, "zone", f"“{shown(setup.zone)}” has blanks around it",
                        f"write {setup.zone.strip()}")  # fmt: skip
        if setup.demo_opens_at and not isinstance(parse_local(setup.demo_opens_at), datetime):
            yield Fault(
                "setup", row, "demo_opens_at",
                f"“{shown(setup.demo_opens_at)}” is no date and time of the room",
                "write it as 2027-05-15T07:10, or leave it out",
            )  # fmt: skip


def name_faults(facts: Facts) -> Iterator[Fault]:
    """One code is one thing, whatever sheet it stands on."""
    owner: dict[str, str] = {ROOM: "the room itself"}
    for sheet in NAMED_SHEETS:
        for row, thing in facts.rows(sheet):
            held = owner.setdefault(thing.code, sheet)
            if held != sheet:
                yield Fault(
                    sheet, row, "code", f"{thing.code} is in use already, for {_owner(held)}",
                    "give one of the two another code", () if held not in NAMED_SHEETS else (held,),
                )  # fmt: skip


def _owner(held: str) -> str:
    return f"one of the {held}" if held in NAMED_SHEETS else held


def rack_faults(facts: Facts) -> Iterator[Fault]:
    """Shelves belong to racks, tanks to a place on a shelf, one tank to a place."""
    for row, shelf in facts.rows("shelves"):
        if shelf.rack not in facts.codes("racks"):
            yield unknown(facts, "shelves", row, "rack", shelf.rack, "racks")
    places = {(shelf.rack, shelf.shelf): shelf.places for _, shelf in facts.rows("shelves")}
    taken: dict[tuple[str, int, int], str] = {}
    for row, tank in facts.rows("tanks"):
        yield from _stand_faults(facts, row, tank, places)
        first = taken.setdefault((tank.rack, tank.shelf, tank.place), tank.code)
        if first != tank.code:
            yield Fault(
                "tanks", row, "place",
                f"{tank.code} stands in the place of {first}: {tank.rack} shelf {tank.shelf} "
                f"place {tank.place}",
                "two tanks cannot stand in one place; give one of them another",
            )  # fmt: skip


def _stand_faults(
    facts: Facts, row: int, tank: Tank, places: dict[tuple[str, int], int]
) -> Iterator[Fault]:
    if tank.rack not in facts.codes("racks"):
        yield unknown(facts, "tanks", row, "rack", tank.rack, "racks")
        return
    has = places.get((tank.rack, tank.shelf))
    if has is None:
        known = sorted(shelf for rack, shelf in places if rack == tank.rack)
        told = f"it has {', '.join(map(str, known))}" if known else "it has none"
        yield Fault(
            "tanks", row, "shelf", f"rack {tank.rack} has no shelf {tank.shelf}",
            f"{told}; add the shelf to shelves, or correct it", ("shelves",),
        )  # fmt: skip
    elif tank.place > has:
        yield Fault(
            "tanks", row, "place",
            f"place {tank.place} is beyond the {has} places of {tank.rack} shelf {tank.shelf}",
            f"give a place from 1 to {has}, or more places to the shelf", ("shelves",),
        )  # fmt: skip


def tank_faults(facts: Facts) -> Iterator[Fault]:
    """Water below the rim, some water left, no more measured than the glass holds."""
    for row, tank in facts.rows("tanks"):
        litres = litres_of(tank)
        if isinstance(litres, Problem):
            column = "water_cm" if tank.water_cm > tank.height_cm else _filler(tank)
            yield Fault("tanks", row, column, litres.what, litres.remedy)
        glass_litres = tank.length_cm * tank.width_cm * tank.height_cm / 1000
        if (tank.measured_litres or 0.0) > glass_litres + TOLERANCE_LITRES:
            yield Fault(
                "tanks", row, "measured_litres",
                f"{tank.measured_litres:g} L is more than the glass holds ({glass_litres:.4g} L)",
                "measure again, or correct the sizes",
            )  # fmt: skip
    for row, item in facts.rows("filters"):
        if item.tank not in facts.codes("tanks"):
            yield unknown(facts, "filters", row, "tank", item.tank, "tanks")


def _filler(tank: Tank) -> str:
    """The column of what takes most room in the tank."""
    parts = {
        "sand_cm": tank.length_cm * tank.width_cm * tank.sand_cm / 1000,
        "rock_kg": tank.rock_kg,
        "gear_litres": tank.gear_litres,
    }
    return max(parts, key=lambda name: parts[name])


def water_faults(facts: Facts) -> Iterator[Fault]:
    """Valves, pumps and reservoirs."""
    for row, turn in facts.rows("valves"):
        if turn.tank not in facts.codes("tanks"):
            yield unknown(facts, "valves", row, "tank", turn.tank, "tanks")
        if turn.system not in facts.codes("systems"):
            yield unknown(facts, "valves", row, "system", turn.system, "systems")
    for row, turn in facts.rows("pumps"):
        if turn.system not in facts.codes("systems"):
            yield unknown(facts, "pumps", row, "system", turn.system, "systems")
    for row, vessel in facts.rows("reservoirs"):
        kept = vessel.dead_litres + vessel.keep_back_litres
        full = f"the {vessel.full_litres:g} L it holds when full"
        if kept > vessel.full_litres + TOLERANCE_LITRES:
            yield Fault(
                "reservoirs", row, "keep_back_litres",
                f"dead volume and keep-back make {kept:g} L, above {full}",
                "no water would be left to plan with; correct one of the three",
            )  # fmt: skip
        if vessel.holds_litres > vessel.full_litres + TOLERANCE_LITRES:
            yield Fault(
                "reservoirs", row, "holds_litres",
                f"it holds {vessel.holds_litres:g} L, above {full}",
                f"give at most {vessel.full_litres:g}",
            )  # fmt: skip


def fish_faults(facts: Facts) -> Iterator[Fault]:
    """Groups, stays, health classes and since when tanks have held fish."""
    for sheet in ("groups", "stays", "conditions", "stocked"):
        for row, fact in facts.rows(sheet):
            if fact.tank not in facts.codes("tanks"):
                yield unknown(facts, sheet, row, "tank", fact.tank, "tanks")
            if sheet == "groups":
                yield from _head_faults(row, fact)
            if sheet == "stays" and fact.ended is not None and fact.ended < fact.since:
                yield Fault(
                    sheet, row, "ended", f"it ended on {fact.ended}, before it began on "
                    f"{fact.since}", "correct one of the two days",
                )  # fmt: skip


def _head_faults(row: int, group: Any) -> Iterator[Fault]:
    sexed = group.males + group.females
    if sexed > group.count:
        yield Fault(
            "groups", row, "count",
            f"{group.males} males and {group.females} females are more than the {group.count} fish",
            f"give a count of at least {sexed}, or fewer of either",
        )  # fmt: skip
