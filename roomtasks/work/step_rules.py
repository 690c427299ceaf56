"""Which step at a reservoir may follow on what stands in it, each refusal with its rule.

A step is a record of what was done: what is only out of the ordinary may be
entered with `anyway`. Untreated water is never ready.
"""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.attended import Attended
from roomtasks.room.column import shown
from roomtasks.room.naming import STEP_WORDS, day_words, time_words
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.vessel import STEPS
from roomtasks.room.water_plan import Contents
from roomtasks.work.water_marks import utc

WARMEST = 60.0
TOLERANCE = 1e-6
ANYWAY = ", or say --anyway"


@dataclass(frozen=True, slots=True)
class Asked:
    """One step as told. `at` is when it was done; the rest as `water_steps.step`."""

    reservoir: str
    word: str
    at: datetime
    litres: float | None = None
    celsius: float | None = None
    recipe: str = ""
    for_day: date | None = None
    anyway: bool = False


def _local(room: Room, at: datetime | None) -> datetime | None:
    return None if at is None else at.astimezone(room.zone)


def refused_step(
    room: Room, now: datetime, vessel: Reservoir, held: Contents, asked: Asked
) -> Problem | None:
    """The first thing that stands against a step; `held` is what stood there at its instant."""
    fault = (
        _bad_words(vessel, held, asked)
        or _other_water(room, vessel, asked)
        or _wrong_time(room, now, asked)
        or _untreated(held, asked)
    )
    if fault is not None or asked.anyway:
        return fault
    return (
        _told_late(room, asked)
        or _out_of_order(room, vessel, held, asked)
        or _too_soon(room, vessel, held, asked)
        or _unlike(room, held, asked)
    )


def _bad_words(vessel: Reservoir, held: Contents, asked: Asked) -> Problem | None:
    """A step, litres and a temperature that can be."""
    full, litres, celsius = vessel.full_litres, asked.litres, asked.celsius
    if asked.word not in STEPS:
        return Problem("step", f"“{shown(asked.word)}” is no step", "use " + ", ".join(STEPS))
    if asked.word == "used" and litres is None:
        return Problem("litres", "how much was used is missing", "give the litres, or say emptied")
    if litres is not None and (not math.isfinite(litres) or litres < 0):
        return Problem("litres", f"{litres:g} L is no amount of water", "give 0 L or more")
    if litres is not None and litres > full + TOLERANCE:
        return Problem(
            "litres", f"{litres:g} L is more than {vessel.code} holds when full",
            f"give at most {full:g} L",
        )  # fmt: skip
    if asked.word == "raw-in" and litres is not None and held.litres + litres > full + TOLERANCE:
        return Problem(
            "litres", f"{litres:g} L onto {held.litres:g} L do not go into {full:g} L",
            f"give at most {full - held.litres:g} L, or correct what it holds",
        )  # fmt: skip
    if celsius is not None and not 0 <= celsius <= WARMEST:
        return Problem(
            "celsius", f"{celsius:g} C is no water's temperature", f"give 0 to {WARMEST:g} C",
            named="temperature",
        )  # fmt: skip
    return None


def _other_water(room: Room, vessel: Reservoir, asked: Asked) -> Problem | None:
    """A recipe there is, and one the reservoir may hold."""
    if not asked.recipe:
        return None
    if asked.recipe not in room.recipe:
        known = ", ".join(room.recipe)
        return Problem("recipe", f"there is no recipe “{shown(asked.recipe)}”",
                       f"use {known}" if known else "add it to the room first")  # fmt: skip
    may_hold = vessel.recipes.split()
    if may_hold and asked.recipe not in may_hold:
        return Problem(
            vessel.code, f"it may not hold {asked.recipe} water",
            f"it is for {', '.join(may_hold)}; use another reservoir", "other-water",
        )  # fmt: skip
    return None


def _wrong_time(room: Room, now: datetime, asked: Asked) -> Problem | None:
    if utc(asked.at) > utc(now):
        return Problem(
            "when", f"{time_words(asked.at)} lies ahead", "give a time gone by",
            "not-in-the-future", "the time",
        )  # fmt: skip
    if asked.for_day is not None and asked.for_day < room.day_at(asked.at):
        return Problem("for", f"{day_words(asked.for_day)} has gone by",
                       "give the change day it is for", named="the change day")  # fmt: skip
    return None


def _told_late(room: Room, asked: Asked) -> Problem | None:
    """A step from before the last one is asked about: it may be a slip of the hand."""
    steps = [row for row in room.vessel_steps if row.reservoir == asked.reservoir]
    last = max(steps, key=lambda row: (utc(row.at), row.id), default=None)
    if last is None or utc(asked.at) >= utc(last.at):
        return None
    at = last.at.astimezone(room.zone)
    return Problem(
        "when", f"“{STEP_WORDS[last.step]}” was noted for {time_words(at)}, later than that",
        "if it is right, say so again with --anyway", "ask", "the time",
    )  # fmt: skip


def _untreated(held: Contents, asked: Asked) -> Problem | None:
    """Raw water is never ready, whatever is said, where the label has a dose for it."""
    if asked.word != "ready" or held.state != "raw":
        return None
    return Problem(
        asked.reservoir, "its water is raw: it was not conditioned since raw water ran in",
        "condition it, and note that it is conditioned", "untreated",
    )  # fmt: skip


def _out_of_order(room: Room, vessel: Reservoir, held: Contents, asked: Asked) -> Problem | None:
    """The hose, the heater and the water in the order they need each other."""
    word, filling, heating = asked.word, _local(room, held.filling_since), held.heat_since
    dry = held.litres <= vessel.dead_litres
    what = remedy = ""
    if word == "fill-start" and filling is not None:
        what, remedy = f"its hose has run since {filling:%H:%M}", "note that it is full when it is"
    elif word == "full" and filling is None:
        what, remedy = "no fill was started there", "note the start of the fill first"
    elif word in ("treated", "mixed", "ready", "used") and filling is not None:
        what, remedy = f"its hose has run since {filling:%H:%M}", "note that it is full first"
    elif word in ("treated", "mixed", "ready") and held.litres <= 0:
        what, remedy = "it is empty", "fill it first"
    elif word == "heat-on" and dry and filling is None:
        what, remedy = f"{held.litres:g} L do not cover its heater", "fill it first"
    elif word == "heat-on" and heating is not None:
        what = f"its heater is on since {_local(room, heating):%H:%M}"
        remedy = "nothing was changed"
    elif word == "heat-off" and heating is None:
        what, remedy = "its heater is not on", "nothing was changed"
    if not what:
        return None
    return Problem(vessel.code, what, remedy + ANYWAY, "step-order")


def _too_soon(room: Room, vessel: Reservoir, held: Contents, asked: Asked) -> Problem | None:
    """A hose that would run alone, and water that has not stood its hours."""
    if asked.word == "fill-start" and not vessel.unattended:
        return _alone(room, vessel, held, asked)
    rest = timedelta(hours=vessel.rest_hours)
    since = max((utc(at) for at in (held.full_at, held.treated_at) if at), default=None)
    if asked.word != "ready" or since is None or utc(asked.at) - since >= rest:
        return None
    until = (since + rest).astimezone(room.zone)
    return Problem(
        vessel.code, f"it stands until {time_words(until)}, "
        f"{vessel.rest_hours:g} h after it was full and conditioned",
        "wait until then" + ANYWAY, "resting",
    )  # fmt: skip


def _alone(room: Room, vessel: Reservoir, held: Contents, asked: Asked) -> Problem | None:
    """Somebody is there until it is full, where no float valve shuts the hose."""
    wanting = max(0.0, vessel.full_litres - held.litres)
    rate = vessel.fill_litres_per_min
    takes = timedelta(minutes=wanting / rate if rate else 0.0)
    watched = Attended.of(room.hours, room.zone).first_start(takes, asked.at)
    if watched is not None and watched <= utc(asked.at):
        return None
    length = f"the {takes / timedelta(minutes=1):.0f} minutes it takes" if rate else "that time"
    next_time = "" if watched is None else (
        f"; from {time_words(watched.astimezone(room.zone))} somebody is"
    )  # fmt: skip
    return Problem(
        vessel.code, f"nobody is there for {length}, and it has no float valve{next_time}",
        "fill it while somebody is there" + ANYWAY, "unattended",
    )  # fmt: skip


def _unlike(room: Room, held: Contents, asked: Asked) -> Problem | None:
    """Water that is ready is near the temperature its recipe wants."""
    recipe = room.recipe.get(asked.recipe or held.recipe)
    if asked.word != "ready" or recipe is None or recipe.celsius is None or asked.celsius is None:
        return None
    off, most = asked.celsius - recipe.celsius, room.setup.largest_step_celsius
    if abs(off) <= most + TOLERANCE:
        return None
    rule, remedy = ("cold", "heat it") if off < 0 else ("hot", "let it cool")
    return Problem(
        asked.reservoir,
        f"at {asked.celsius:g} C it is {abs(off):.3g} K from the {recipe.celsius:g} C that "
        f"{recipe.name or recipe.code} is wanted at, and {most:g} K is the most",
        remedy + ANYWAY, rule,
    )  # fmt: skip
