"""A brood from spawn to sale, as it was seen: stages, samples, and how it was closed.

Plain facts. What falls due for it is in `brood_life`, how it grows in
`brood_growth`, when and where it must go in `move_day` and `destination`.
"""

from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column

SEEN = (
    "spawn", "hatch", "free-swimming", "brine-started", "culture-started", "first-count",
    "parents-out", "graded", "moved", "sale",
)  # fmt: skip
LENGTHS = ("total", "standard")


@dataclass(frozen=True, slots=True, kw_only=True)
class Brood:
    """One spawn and what came of it. Closed with an account that adds up."""

    code: str = column("code", "the brood's code")
    line: str = column("text", "the line")
    parents: str = column("text", "the parents' group", default="")
    tank: str = column("code", "the tank the spawn was seen in")
    spawned: date = column("day", "the day the spawn was seen")
    group: str = column("text", "the group of the young; blank until they are counted", default="")
    counted: int | None = column(
        "int", "how many at the first count", low=0, high=1000000, default=None
    )
    celsius: float | None = column(
        "number", "temperature it is raised at", unit="C", low=0, high=45, default=None
    )
    length: str = column("word", "which length is measured", words=LENGTHS, default="total")
    needed_by: date | None = column("day", "the day its tank is needed for others", default=None)
    closed: date | None = column("day", "the day it was closed", default=None)
    sold: int | None = column("int", "sold", low=0, high=1000000, default=None)
    kept: int | None = column("int", "kept", low=0, high=1000000, default=None)
    died: int | None = column("int", "died", low=0, high=1000000, default=None)
    given: int | None = column("int", "given away", low=0, high=1000000, default=None)
    reason: str = column("text", "why it was closed, or what became of it", default="")
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """A stage of a brood that was seen, and how many were counted or lost at it."""

    brood: str = column("code", "the brood")
    stage: str = column("word", "what was seen", words=SEEN)
    day: date = column("day", "the room day")
    at: datetime = column("instant", "when it was seen")
    count: int | None = column("int", "how many", low=0, high=1000000, default=None)
    lost: int = column("int", "how many were lost since the stage before", low=0, high=1000000,
                       default=0)  # fmt: skip
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Fish measured on a day: how many, and their smallest, middle and largest length."""

    brood: str = column("code", "the brood")
    day: date = column("day", "the room day")
    n: int = column("int", "how many were measured", low=1, high=10000)
    smallest_cm: float = column("number", "the smallest", unit="cm", low=0.05, high=300)
    middle_cm: float = column("number", "the median", unit="cm", low=0.05, high=300)
    largest_cm: float = column("number", "the largest", unit="cm", low=0.05, high=300)
    length: str = column("word", "total or standard length", words=LENGTHS, default="total")
    note: str = column("text", "a note", default="")


BROODS = Sheet("broods", Brood, ("code",), "Broods, from the spawn to the account.")
SIGHTINGS = Sheet("sightings", Sighting, ("brood", "stage", "day"),
                  "Stages of broods, as they were seen.")  # fmt: skip
SAMPLES = Sheet("samples", Sample, ("brood", "day"), "Lengths of broods, as they were measured.")
