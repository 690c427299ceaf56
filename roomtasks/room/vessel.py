"""What was done at a reservoir, step by step, as it happened.

The steps are history; what the reservoir holds now (litres, recipe, treated,
warm, ready) is folded from them in `contents`.
"""

from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column

STEPS = (
    "hose-out", "fill-start", "full", "treated", "heat-on", "heat-off", "mixed", "ready",
    "not-ready", "used", "emptied", "raw-in",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselStep:
    """One step at a reservoir. Litres are what stood in it after the step, where known."""

    id: int = column("int", "the step's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    reservoir: str = column("code", "the reservoir")
    at: datetime = column("instant", "when")
    step: str = column("word", "what was done", words=STEPS)
    litres: float | None = column(
        "number", "litres in it after the step", unit="L", low=0, high=100000, default=None
    )
    celsius: float | None = column(
        "number", "the temperature in it", unit="C", low=0, high=60, default=None
    )
    recipe: str = column("text", "the recipe it is filled for", default="")
    for_day: date | None = column("day", "the change day it is for", default=None)
    who: str = column("text", "who did it", default="")
    note: str = column("text", "a note", default="")


VESSEL_STEPS = Sheet("vessel_steps", VesselStep, ("id",),
                     "What was done at each reservoir, in order.", history=True)  # fmt: skip
