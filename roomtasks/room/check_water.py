"""Rules between rows for prepared water: sources, recipes, label rates, steps, hours.

Does not live here: what makes a plan impossible on the day (`ready`, `batches`).
"""

from collections.abc import Iterator
from datetime import time

from roomtasks.room.column import shown
from roomtasks.room.fault import Facts, Fault, unknown

MIDNIGHT = time(0, 0)


def recipe_faults(facts: Facts) -> Iterator[Fault]:
    """Recipes are made of sources there are, and things ask for recipes there are."""
    kinds = {source.code: source.kind for _, source in facts.rows("sources")}
    for row, recipe in facts.rows("recipes"):
        for column in ("source", "ro"):
            name = getattr(recipe, column)
            if name and name not in kinds:
                yield _no(facts, "recipes", row, column, name, "sources", "source")
        if recipe.ro and kinds.get(recipe.ro, "ro") != "ro":
            yield Fault(
                "recipes", row, "ro", f"{recipe.ro} is {kinds[recipe.ro]} water, no RO unit",
                "name a source of kind ro, or leave it blank", ("sources",),
            )  # fmt: skip
    for row, rate in facts.rows("rates"):
        if rate.recipe not in _codes(facts, "recipes"):
            yield _no(facts, "rates", row, "recipe", rate.recipe, "recipes", "recipe")
    for sheet in ("tanks", "systems"):
        for row, thing in facts.rows(sheet):
            if thing.recipe and thing.recipe not in _codes(facts, "recipes"):
                yield _no(facts, sheet, row, "recipe", thing.recipe, "recipes", "recipe")
    for row, vessel in facts.rows("reservoirs"):
        for name in vessel.recipes.split():
            if name not in _codes(facts, "recipes"):
                yield _no(facts, "reservoirs", row, "recipes", name, "recipes", "recipe")


def sump_faults(facts: Facts) -> Iterator[Fault]:
    """A sump's running mark stands below its rim."""
    for row, system in facts.rows("systems"):
        mark, rim = system.sump_running_cm, system.sump_height_cm
        if mark is not None and rim is not None and mark > rim:
            yield Fault(
                "systems", row, "sump_running_cm",
                f"the running mark at {mark:g} cm is above the rim at {rim:g} cm",
                f"give at most {rim:g}",
            )  # fmt: skip


def step_faults(facts: Facts) -> Iterator[Fault]:
    """Steps are of a reservoir there is, or was; levels stand in a tank."""
    for row, step in facts.rows("vessel_steps"):
        if step.reservoir not in facts.codes("reservoirs") | facts.places_once:
            yield unknown(facts, "vessel_steps", row, "reservoir", step.reservoir, "reservoirs")
    for row, level in facts.rows("levels"):
        if level.tank not in facts.codes("tanks"):
            yield unknown(facts, "levels", row, "tank", level.tank, "tanks")
        if level.until is not None and level.until < level.since:
            yield Fault(
                "levels", row, "until", f"it ends on {level.until}, before it begins on "
                f"{level.since}", "correct one of the two days",
            )  # fmt: skip


def hours_faults(facts: Facts) -> Iterator[Fault]:
    """Each span of hours ends after it begins."""
    for row, span in facts.rows("hours"):
        if span.until_time != MIDNIGHT and span.until_time <= span.from_time:
            yield Fault(
                "hours", row, "until_time",
                f"{span.until_time:%H:%M} is not after {span.from_time:%H:%M}",
                "write a span past midnight as two: until 00:00, and from 00:00 of the next day",
            )  # fmt: skip


def _codes(facts: Facts, sheet: str) -> frozenset[str]:
    return frozenset(thing.code for _, thing in facts.rows(sheet))


def _no(
    facts: Facts, sheet: str, row: int, column: str, name: str, among: str, one: str
) -> Fault:  # fmt: skip
    known = ", ".join(sorted(_codes(facts, among))[:8])
    remedy = f"use one of {known}, or add it to {among}" if known else f"add it to {among}"
    return Fault(sheet, row, column, f"there is no {one} “{shown(name)}”", remedy, (among,))
