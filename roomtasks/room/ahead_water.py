"""Litres the work ahead takes out of each reservoir, and what a reservoir makes for a day.

Does not live here: draws of one day tank by tank (`draw`), fills by the clock
(`ready`).
"""

from roomtasks.room.ahead import takes_water
from roomtasks.room.body import recipe_of, system_recipe
from roomtasks.room.heat import heat_time
from roomtasks.room.occurrence import Due
from roomtasks.room.pool import pool_of, vessels_of
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.slots import Scene
from roomtasks.room.water_plan import Vessel, WhatIf

MAKING_HOURS = 12.0


def litres_out(room: Room, due: Due) -> float:
    """Litres it takes out of a reservoir, with its share of the loss in hoses."""
    if not takes_water(due.job) or not due.litres:
        return 0.0
    return room.setup.with_loss(due.litres)


class Pools:
    """Which reservoir each occurrence draws from: the named one, else the largest that may."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene
        found = vessels_of(scene.room, {}, WhatIf())
        self._vessels: tuple[Vessel, ...] = () if isinstance(found, Problem) else found

    def of(self, due: Due) -> str:
        """The reservoir's code, "" where there is none to draw from."""
        room = self._scene.room
        if due.job.reservoir in room.reservoir:
            return due.job.reservoir
        recipe = ""
        if due.tank:
            recipe = recipe_of(room, due.tank, self._scene.now)
        elif due.target in room.system:
            recipe = system_recipe(room, due.target)
        pool = pool_of(self._vessels, recipe)
        return pool[0].code if pool else ""


def hours_of_a_fill(room: Room, facts: Reservoir) -> float | None:
    """Hours from the hose on to water ready for use: hose, then rest, heating or mixing, check.

    Heating counts where the temperatures are known: of the source, of the
    recipe, and the heater's power. None where the rate of filling is not known.
    """
    if facts.fill_litres_per_min is None:
        return None
    run_in = facts.fill_most_litres / facts.fill_litres_per_min / 60
    stands = max(facts.rest_hours, facts.mix_minutes / 60, _heating_hours(room, facts))
    return run_in + stands + facts.check_minutes / 60


def _heating_hours(room: Room, facts: Reservoir) -> float:
    code = (facts.recipes.split() or [recipe.code for recipe in room.recipes] or [""])[0]
    recipe, source = room.recipe.get(code), room.source_of(code)
    if recipe is None or source is None or facts.heater_watts is None:
        return 0.0
    if recipe.celsius is None or source.celsius is None or recipe.celsius <= source.celsius:
        return 0.0
    found = heat_time(
        facts.fill_most_litres, source.celsius, recipe.celsius, facts.heater_watts,
        loss_watts_per_kelvin=facts.loss_watts_per_kelvin, room_celsius=room.setup.room_celsius,
    )  # fmt: skip
    return 0.0 if isinstance(found, Problem) else found


def most_litres_a_day(room: Room, facts: Reservoir) -> float:
    """Litres a reservoir makes for one day: as many fills as come one after another, at least one.

    Fills are made in 12 hours of a day; common practice, no published source. A
    fill that takes longer still serves the day it was made for.
    """
    hours = hours_of_a_fill(room, facts)
    fills = max(1, int(MAKING_HOURS // hours)) if hours else 1
    return fills * facts.fill_most_litres
