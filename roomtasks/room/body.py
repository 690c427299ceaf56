"""Bodies of water: which tanks are one water, how much of it there is, what a change does to it.

A system is its open tanks, its sump at the running level and its pipes; a tank
whose valve is shut is a body of its own, as is a tank that stands alone. Two
fractions matter: dilution goes by the body's, temperature and pH by the tank's
own, because the new water stays there until the pumps run again. Litres, cm.
Does not live here: what is drained on a day (`demand`), what nitrate does
(`forecast`), temperature (`shock`).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.amount import COMPUTED, SET, Amount, Input, weakest
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, first, share, zero_or_more
from roomtasks.room.room import Room
from roomtasks.room.system import System
from roomtasks.room.tank import Litres, litres_of
from roomtasks.room.water import per_tank_fraction, system_fraction, through_flow_time
from roomtasks.room.water_plan import BodyChange, SumpLevels

SYSTEM, ALONE, CUT_OFF = "system", "alone", "cut-off"
WOULD_OVERFLOW = "sump-level"
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """Tanks that share water, under the system's code, or the tank's where it is one alone.

    `system` is the one it belongs to or is cut off from, "" where it stands
    alone. `each` are the litres of its tanks; a tank whose facts make no volume
    has 0.0 there and is in `faults`, so that no sum is quietly short.
    """

    code: str
    sort: str  # system, alone or cut-off
    system: str
    tanks: tuple[str, ...]
    each: tuple[tuple[str, float], ...]
    litres: Amount
    tanks_litres: float
    recipe: str
    nitrate_limit: float | None
    faults: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PerTank:
    """What to drain of every tank for a wanted fraction of the whole, and how many litres."""

    fraction: Amount
    litres: Amount


def bodies(room: Room, at: datetime) -> tuple[Body, ...]:
    """Every body of water at an instant: systems first, then tanks in the room's order."""
    systems = [_system_body(room, system, at) for system in room.systems]
    held = {tank for body in systems for tank in body.tanks}
    single = [_tank_body(room, tank.code, at) for tank in room.tanks if tank.code not in held]
    return (*systems, *single)


def body_of(room: Room, tank: str, at: datetime) -> Body:
    """The body a tank's water is part of at an instant. Raises KeyError for no such tank."""
    room.tank[tank]
    system = room.valve.open_to(tank, at)
    if system is not None and system in room.system:
        return _system_body(room, room.system[system], at)
    return _tank_body(room, tank, at)


def recipe_of(room: Room, tank: str, at: datetime) -> str:
    """The recipe of a tank's water: its own, its system's while open, the room's first, or ""."""
    system = room.system.get(room.valve.open_to(tank, at) or "")
    return room.tank[tank].recipe or (system.recipe if system else "") or _first_recipe(room)


def system_recipe(room: Room, system: str) -> str:
    """The recipe of a system's water: its own, the room's first, or ""."""
    return room.system[system].recipe or _first_recipe(room)


def _first_recipe(room: Room) -> str:
    return room.recipes[0].code if room.recipes else ""


def _system_body(room: Room, system: System, at: datetime) -> Body:
    members = room.valve.members(system.code, at)
    tanks = tuple(tank.code for tank in room.tanks if tank.code in members)
    each, inputs, faults = _volumes(room, tanks)
    tanks_litres = sum(litres for _, litres in each)
    parts = (
        *inputs,
        Input(f"{system.code} sump", system.sump_litres, "L", system.sump_known),
        *([Input(f"{system.code} pipes", system.pipes_litres, "L")] if system.pipes_litres else []),
    )
    limits = [room.tank[tank].nitrate_limit_mg_per_l for tank in tanks]
    return Body(
        code=system.code, sort=SYSTEM, system=system.code, tanks=tanks, each=each,
        litres=Amount(
            tanks_litres + system.sump_litres + system.pipes_litres, "L",
            weakest(part.known for part in parts if part.known != SET),
            "open tanks + sump at its running level + pipes", parts,
        ),
        tanks_litres=tanks_litres, recipe=system_recipe(room, system.code),
        nitrate_limit=_lowest(system.nitrate_limit_mg_per_l, *limits), faults=faults,
    )  # fmt: skip


def _tank_body(room: Room, code: str, at: datetime) -> Body:
    tank, system = room.tank[code], room.valve.shut_from(code, at) or ""
    each, inputs, faults = _volumes(room, (code,))
    kept_from = room.system.get(system)
    limit = tank.nitrate_limit_mg_per_l
    if limit is None and kept_from is not None:
        limit = kept_from.nitrate_limit_mg_per_l
    return Body(
        code=code, sort=CUT_OFF if system else ALONE, system=system, tanks=(code,), each=each,
        litres=Amount(
            each[0][1], "L", weakest(part.known for part in inputs), "the tank's own water", inputs
        ),
        tanks_litres=each[0][1], recipe=recipe_of(room, code, at), nitrate_limit=limit,
        faults=faults,
    )  # fmt: skip


def _volumes(
    room: Room, tanks: tuple[str, ...]
) -> tuple[tuple[tuple[str, float], ...], tuple[Input, ...], tuple[Problem, ...]]:
    each: list[tuple[str, float]] = []
    inputs: list[Input] = []
    faults: list[Problem] = []
    for code in tanks:
        found = litres_of(room.tank[code])
        if isinstance(found, Litres):
            inputs.append(Input(code, found.litres, "L", found.known, found.source))
        else:
            faults.append(found)
        each.append((code, found.litres if isinstance(found, Litres) else 0.0))
    return tuple(each), tuple(inputs), tuple(faults)


def _lowest(*limits: float | None) -> float | None:
    return min((limit for limit in limits if limit is not None), default=None)


def body_change(body: Body, drained: Mapping[str, float]) -> BodyChange | Problem:
    """What draining so many litres of each tank does to the body they are part of.

    `fraction` is of the whole body, `tanks_fraction` of its tanks alone. Refuses
    a tank whose volume is not known, one that is not of the body, and more than
    a tank holds.
    """
    if body.faults:
        return body.faults[0]
    holds = dict(body.each)
    for tank, litres in drained.items():
        if tank not in holds:
            others = ", ".join(body.tanks)
            return Problem(tank, f"it shares no water with {body.code}", f"give litres of {others}")
        if (fault := zero_or_more(f"{tank} drained", litres, "L")) is not None:
            return fault
        if litres > holds[tank] * (1 + _ROUNDING):
            what = f"{litres:.4g} L cannot leave a tank of {holds[tank]:.4g} L"
            return Problem(f"{tank} drained", what, f"at most {holds[tank]:.4g} L", "impossible")
    total = min(sum(drained.values()), body.tanks_litres)
    whole = system_fraction(total, body.litres.value)
    if isinstance(whole, Problem):
        return whole
    return BodyChange(
        body=body.code, sort=body.sort, tanks=body.tanks, litres=body.litres, drained_litres=total,
        fraction=Amount(
            whole, "", weakest((body.litres.known, COMPUTED)), "drained / litres of the body",
            (Input("drained", total, "L", COMPUTED),
             Input(body.code, body.litres.value, "L", body.litres.known)),
        ),
        tanks_fraction=total / body.tanks_litres if body.tanks_litres else 0.0,
    )  # fmt: skip


def per_tank_for(body: Body, wanted: float) -> PerTank | Problem:
    """What to drain of each tank for a wanted fraction of the whole body.

    Sump and pipes are not drained, so the tanks give more. Refuses a fraction
    that the tanks do not hold, saying the most they can.
    """
    if body.faults:
        return body.faults[0]
    fault = first(
        share("wanted", wanted),
        above_zero(f"{body.code} tanks", body.tanks_litres, "L"),
    )
    if fault is not None:
        return fault
    each = per_tank_fraction(wanted, body.litres.value, body.tanks_litres)
    if isinstance(each, Problem):
        return each
    known = weakest((body.litres.known, COMPUTED))
    inputs = (
        Input("wanted", wanted, ""),
        Input(body.code, body.litres.value, "L", body.litres.known),
        Input("its tanks", body.tanks_litres, "L", known),
    )
    return PerTank(
        fraction=Amount(each, "", known, "wanted x litres of the body / litres of its tanks",
                        inputs),
        litres=Amount(wanted * body.litres.value, "L", known, "wanted x litres of the body",
                      inputs[:2]),
    )  # fmt: skip


def litres_by_through_flow(volume_litres: float, fraction: float) -> float | Problem:
    """Litres that replace a fraction while drain and refill run at once: -ln(1 - f) V.

    The new water leaves again with the old, so 30 % takes 35.7 % of the volume,
    19 % more than draining first. Refuses the whole: a flow never gets there.
    Source: as `water.through_flow_time`.
    """
    return through_flow_time(fraction, 1.0, volume_litres)  # at 1 L/h, hours are litres


def sump_levels(room: Room, system: str, at: datetime) -> SumpLevels | Problem | None:
    """A sump's level with the pump running and at rest; None where its sizes are not given.

    At rest the water above the open tanks' outlets and in the pipes stands in
    the sump too. The most that is safe running is the glass less that rise and
    the margin. Refuses a running mark above the glass.
    """
    facts = room.system[system]
    length, width = facts.sump_length_cm, facts.sump_width_cm
    height, running = facts.sump_height_cm, facts.sump_running_cm
    if length is None or width is None or height is None or running is None:
        return None
    fault = first(
        above_zero("sump_length_cm", length, "cm"),
        above_zero("sump_width_cm", width, "cm"),
        above_zero("sump_height_cm", height, "cm"),
        zero_or_more("head_cm", facts.head_cm, "cm"),
    )
    if fault is not None:
        return fault
    if running > height:
        what = f"its running mark of {running:g} cm is above the glass of {height:g} cm"
        return Problem(f"system {system}", what, f"give a sump_running_cm below {height:g}")
    back = _runs_back(room, facts, at)
    rise = back.value / litres_per_cm(facts)
    highest = height - room.setup.sump_margin_cm - rise
    return SumpLevels(
        system=system, running_cm=running, back_litres=back, rise_cm=rise,
        resting_cm=running + rise, highest_running_cm=max(0.0, highest),
        overflows=running > highest + _ROUNDING,
    )  # fmt: skip


def _runs_back(room: Room, system: System, at: datetime) -> Amount:
    """What runs down to the sump when the pump stops."""
    members = room.valve.members(system.code, at)
    tanks = [tank for tank in room.tanks if tank.code in members]
    per_cm = sum(tank.length_cm * tank.width_cm for tank in tanks) / 1000
    return Amount(
        per_cm * system.head_cm + system.pipes_litres, "L", COMPUTED,
        "area of the open tanks x water above their outlets + pipes",
        (Input("area of the open tanks", per_cm, "L/cm", COMPUTED),
         Input("water above their outlets", system.head_cm, "cm"),
         Input("pipes", system.pipes_litres, "L")),
    )  # fmt: skip


def litres_per_cm(system: System) -> float:
    """Litres of one centimetre in a sump; 0 where its sizes are not given."""
    return (system.sump_length_cm or 0.0) * (system.sump_width_cm or 0.0) / 1000


def refused_level(levels: SumpLevels, running_cm: float) -> Problem | None:
    """Refuse a running level from which the sump would flood when the pump stops."""
    where = f"sump of {levels.system}"
    if (fault := zero_or_more(where, running_cm, "cm")) is not None:
        return fault
    if running_cm <= levels.highest_running_cm + _ROUNDING:
        return None
    rests = running_cm + levels.rise_cm
    what = (
        f"at {running_cm:.3g} cm running it would stand at {rests:.3g} cm once the pump stops, "
        f"as {levels.back_litres.value:.3g} L run back"
    )
    if levels.highest_running_cm <= 0:
        return Problem(where, what, "no running level is safe: a larger sump, or less water above "
                       "the outlets", WOULD_OVERFLOW)  # fmt: skip
    most = math.floor(levels.highest_running_cm * 10 + _ROUNDING) / 10
    return Problem(where, what, f"at most {most:g} cm while it runs", WOULD_OVERFLOW)


def refused_top_off(
    room: Room, system: str, at: datetime, read_cm: float, litres: float
) -> Problem | None:
    """Refuse a top-off after which the sump would flood when the pump stops.

    `read_cm` is the level as it stands, with the pump as the room knows it at
    that instant; without that state a level says nothing. None where it fits,
    or the sump's sizes are not given.
    """
    levels = sump_levels(room, system, at)
    if levels is None or isinstance(levels, Problem):
        return levels
    where = f"sump of {system}"
    fault = first(zero_or_more(where, read_cm, "cm"), zero_or_more("top-off", litres, "L"))
    if fault is not None:
        return fault
    pump = room.pump_state(system, at)
    if pump is None:
        return Problem(where, "a level says nothing without the pump's state",
                       "say whether the pump runs")  # fmt: skip
    running = read_cm if pump.state == "running" else read_cm - levels.rise_cm
    return refused_level(levels, max(0.0, running + litres / litres_per_cm(room.system[system])))
