"""The reservoirs as a plan sees them: what a fill gives, what stands there, which may serve.

Litres. A fill gives what is above the dead volume and the keep-back.
Does not live here: what a reservoir holds now (`contents`), and how draws are
shared out (`batches`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, first, refuse, zero_or_more
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Contents, Vessel, WhatIf

_STANDS = ("treated", "heating", "mixed", "ready")
_TOLERANCE = 1e-6


def vessels_of(
    room: Room, contents: Mapping[str, Contents], what_if: WhatIf
) -> tuple[Vessel, ...] | Problem:
    """Every reservoir of the room as a plan sees it, in the room's order.

    One fill gives what is above the dead volume and the keep-back, or above the
    dead volume alone where `what_if.keep_back` is yes. Water that stands there
    may be used without another fill once it was treated. Refuses a dead volume
    and keep-back above full, more than full in it, and a recipe there is not.
    """
    made = [_vessel(room, each, contents.get(each.code), what_if) for each in room.reservoirs]
    fault = next((each for each in made if isinstance(each, Problem)), None)
    return fault or tuple(each for each in made if isinstance(each, Vessel))


def _vessel(
    room: Room, facts: Reservoir, held: Contents | None, what_if: WhatIf
) -> Vessel | Problem:
    holds = facts.holds_litres if held is None else held.litres
    fault = _vessel_fault(room, facts, holds)
    if fault is not None:
        return fault
    left = facts.dead_litres + (0.0 if what_if.keep_back else facts.keep_back_litres)
    recipes = tuple(facts.recipes.split())
    water = held.recipe if held is not None else ""
    if not water and len(recipes) == 1:
        water = recipes[0]
    usable = held is not None and (
        held.state == "ready" or (held.state in _STANDS and held.treated_at is not None)
    )
    return Vessel(
        code=facts.code, recipes=recipes, most_litres=max(0.0, facts.full_litres - left),
        left_litres=left, holds_litres=holds, holds_recipe=water,
        celsius=None if held is None else held.celsius,
        ready_litres=max(0.0, holds - left) if usable else 0.0,
        spare_litres=facts.keep_back_litres if what_if.keep_back else 0.0,
    )  # fmt: skip


def _vessel_fault(room: Room, facts: Reservoir, holds: float) -> Problem | None:
    code, full = facts.code, facts.full_litres
    fault = first(
        above_zero(f"{code} full_litres", full, "L"),
        zero_or_more(f"{code} dead_litres", facts.dead_litres, "L"),
        zero_or_more(f"{code} keep_back_litres", facts.keep_back_litres, "L"),
        zero_or_more(f"{code} holds_litres", holds, "L"),
    )
    if fault is not None:
        return fault
    if facts.dead_litres > full:
        what = f"{facts.dead_litres:g} L are more than the {full:g} L it holds"
        return refuse(f"{code} dead_litres", what, f"give at most {full:g} L")
    if facts.dead_litres + facts.keep_back_litres > full:
        what = (
            f"{facts.keep_back_litres:g} L on {facts.dead_litres:g} L dead are more than the "
            f"{full:g} L it holds"
        )
        remedy = f"give at most {full - facts.dead_litres:g} L"
        return refuse(f"{code} keep_back_litres", what, remedy)
    if holds > full + _TOLERANCE:
        what = f"{holds:g} L are more than the {full:g} L it holds when full"
        return refuse(f"{code} holds_litres", what, f"give at most {full:g} L")
    unknown = next((name for name in facts.recipes.split() if name not in room.recipe), None)
    if unknown is not None:
        known = ", ".join(room.recipe)
        remedy = f"use {known}, or leave it blank for any" if known else "add it to recipes"
        return Problem(f"{code} recipes", f"there is no recipe “{shown(unknown)}”", remedy)
    return None


def pool_of(vessels: Sequence[Vessel], recipe: str, reservoir: str = "") -> tuple[Vessel, ...]:
    """The reservoirs that can hold a recipe, largest first; the named one alone where one is.

    What stands there of another water is not ready for this one.
    """
    fit = [
        vessel
        if not recipe or vessel.holds_recipe in ("", recipe)
        else replace(vessel, ready_litres=0.0)
        for vessel in vessels
        if (not vessel.recipes or not recipe or recipe in vessel.recipes)
        and (not reservoir or vessel.code == reservoir)
    ]
    return tuple(sorted(fit, key=lambda vessel: (-vessel.most_litres, vessel.code)))
