"""Steps at a reservoir, as they are done: hose out, full, conditioned, ready, used.

Each step is one act that keeps what the reservoir holds true. What stands in it
is folded from the steps in `room.contents`; which step may follow is in
`step_rules`. A mark of a filling or treating job writes the same steps
(`water_marks`).
"""

from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.contents import contents_of
from roomtasks.room.naming import STEP_WORDS, time_words
from roomtasks.room.problem import Problem
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import Contents
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.step_rules import Asked, refused_step
from roomtasks.work.water_marks import taken_since, utc

UNTREATED = "all of it counts as untreated until dosed and mixed"


def step(
    store: Store, now: datetime, who: str, reservoir: str, word: str, litres: float | None = None,
    celsius: float | None = None, recipe: str = "", for_day: date | None = None,
    when: datetime | None = None, anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Write one step at a reservoir, a word of `vessel.STEPS`, done now or at `when`.

    Litres are what stands in it after the step; for `used` all that went out
    since the last step that said what stood there, for `raw-in` what ran in.
    `full` without litres is the reservoir's full.
    """
    asked = Asked(reservoir, word, when or now, litres, celsius, recipe, for_day, anyway)
    return doing(store, now, who, "step", lambda it: _step(it, store, asked))


def _step(it: Doing, store: Store, asked: Asked) -> str | Problem:
    vessel = it.room.reservoir.get(asked.reservoir)
    if vessel is None:
        known = ", ".join(it.room.reservoir)
        remedy = f"the room has {known}" if known else "add it to the room first"
        return Problem(asked.reservoir, "there is no such reservoir", remedy)
    held = contents_of(it.room, vessel, asked.at)
    fault = refused_step(it.room, it.now, vessel, held, asked)
    if fault is not None:
        return fault
    level = _level(it.room, vessel, asked)
    remarks = [_words(asked, level, it.now), *_told(vessel, held, asked)]
    if level is not None:
        present = _less_marks(it, store, vessel, asked, level)
        it.writer.put("reservoirs", replace(vessel, holds_litres=present))
    it.writer.put(
        "vessel_steps",
        VesselStep(
            id=it.writer.next_id("vessel_steps"), act=it.writer.id, reservoir=vessel.code,
            at=asked.at, step=asked.word, litres=level, celsius=asked.celsius,
            recipe=asked.recipe, for_day=asked.for_day, who=it.who,
        ),
    )  # fmt: skip
    return "; ".join(remarks)


def _level(room: Room, vessel: Reservoir, asked: Asked) -> float | None:
    """What stands in the reservoir just after the step; None where it says nothing of that."""
    holds, told = vessel.holds_litres, asked.litres
    match asked.word:
        case "full":
            level = vessel.full_litres if told is None else told
        case "used":
            last = _last_level(room, vessel.code, asked.at)
            level = min(holds, (holds if last is None else last) - (told or 0.0))
        case "emptied":
            level = min(holds, vessel.dead_litres) if told is None else told
        case "raw-in":
            level = holds + (told or 0.0)
        case _:
            if told is None:
                return None
            level = told
    return min(vessel.full_litres, max(0.0, round(level, 3)))


def _last_level(room: Room, code: str, at: datetime) -> float | None:
    """What stood in it after the last step that says so. Marks have drawn on it since."""
    known = [
        row
        for row in room.vessel_steps
        if row.reservoir == code and row.litres is not None and utc(row.at) <= utc(at)
    ]
    return max(known, key=lambda row: (utc(row.at), row.id)).litres if known else None


def _less_marks(
    it: Doing, store: Store, vessel: Reservoir, asked: Asked, level: float
) -> float:  # fmt: skip
    """What stands there now, where tanks were refilled after a step that is told late."""
    if utc(asked.at) >= utc(it.now) or asked.word == "raw-in":
        return level
    return max(0.0, round(level - taken_since(store, it.room, vessel.code, asked.at), 3))


def _words(asked: Asked, level: float | None, now: datetime) -> str:
    """What was done, as the journal keeps it."""
    said = STEP_WORDS[asked.word]
    moved = f" {asked.litres:g} L" if asked.litres is not None else ""
    if asked.word in ("used", "raw-in"):
        said += moved
    at = "" if utc(asked.at) == utc(now) else f" at {time_words(asked.at)}"
    parts = [
        f"{asked.reservoir}: {said}{at}",
        *([f"{round(level, 1):g} L in it"] if level is not None else []),
        *([f"{asked.celsius:g} C"] if asked.celsius is not None else []),
        *([asked.recipe] if asked.recipe else []),
        *([f"for {day_words(asked.for_day)}"] if asked.for_day is not None else []),
    ]
    return ", ".join(parts)


def _told(vessel: Reservoir, held: Contents, asked: Asked) -> list[str]:
    """What follows from the step, where that is easily missed."""
    told = []
    stands = held.litres > 0
    conditioned = held.litres - held.raw_litres > 0
    if asked.word == "raw-in" or (asked.word == "fill-start" and conditioned):
        told.append(UNTREATED)
    other = held.recipe and asked.recipe and held.recipe != asked.recipe
    if asked.word == "fill-start" and stands and other:
        told.append(f"{held.litres:.0f} L of {held.recipe} stand in it, and the two mix")
    if asked.word == "used" and (asked.litres or 0.0) > held.litres:
        told.append(f"it held {held.litres:.0f} L by the book")
    if asked.word in ("used", "emptied") and held.heat_since is not None:
        told.append("its heater is on, and must not stand dry: switch it off, and note it")
    return told
