"""The journal: acts of the keeper, the marks and events they made, the changes they were.

An act is whole or absent. Every row it touched is kept as a change with the
row before and after, so an undo is a new act that puts the rows back: nothing
is erased. Lives here: the values, and whether an act can be undone. Does not
live here: SQL, and what an act should do (`work`).
"""

from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column

OUTCOMES = ("done", "partly", "put-off", "left-out", "blocked")
CLOSING = ("done", "left-out")
REASONS = (
    "no water", "no time", "fish spawning", "fish too young", "broken", "waiting for parts",
    "just fed", "not needed", "other",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One act: when it was entered, who did it, in words a keeper reads."""

    id: int = column("int", "the act's number", low=1)
    at: datetime = column("instant", "when it was entered")
    day: date = column("day", "the room day it was entered")
    who: str = column("text", "who did it", default="")
    verb: str = column("text", "what sort of act")
    words: str = column("text", "what was done, in a sentence")
    undoes: int | None = column("int", "the act it takes back", low=1, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One row an act touched, as JSON before and after; blank is no row."""

    act: int = column("int", "the act's number", low=1)
    n: int = column("int", "its place in the act", low=0)
    sheet: str = column("text", "the sheet")
    key: str = column("text", "the row's key as a JSON list")
    before: str = column("text", "the row before, as JSON", default="")
    after: str = column("text", "the row after, as JSON", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What became of one occurrence of a job at a target.

    `slot` is the due day it serves, `day` the room day it was done. `fraction`
    is the share of the water replaced where the job is a change, or the share
    of the work done otherwise. `until` is the day something was put off to.
    """

    id: int = column("int", "the mark's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    job: str = column("code", "the job")
    target: str = column("code", "the tank, filter, system, reservoir or room")
    slot: date = column("day", "the due day it serves")
    outcome: str = column("word", "what became of it", words=OUTCOMES)
    day: date = column("day", "the room day")
    at: datetime = column("instant", "when it was done")
    who: str = column("text", "who did it", default="")
    fraction: float | None = column("number", "share done", low=0, high=1, default=None)
    litres: float | None = column(
        "number", "prepared water used", unit="L", low=0, high=100000, default=None
    )
    minutes: float | None = column(
        "number", "minutes it took, if timed", unit="min", low=0, high=1440, default=None
    )
    until: date | None = column("day", "put off to this day", default=None)
    reason: str = column("text", "why it was left out or blocked", default="")
    note: str = column("text", "a note", default="")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something that happened, or is dated to happen, at a tank."""

    id: int = column("int", "the event's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    event: str = column("code", "what: spawn, moved, dose, arrival, dead ...")
    target: str = column("code", "where")
    day: date = column("day", "the room day")
    at: datetime | None = column("instant", "when, if known", default=None)
    count: int | None = column("int", "how many, where it is counted", low=0, default=None)
    who: str = column("text", "who saw it", default="")
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A measured value, with its unit."""

    id: int = column("int", "the reading's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    target: str = column("code", "where")
    what: str = column("code", "temperature, nitrate, ph, sump-level ...")
    value: float = column("number", "the value")
    unit: str = column("text", "its unit", default="")
    day: date = column("day", "the room day")
    at: datetime = column("instant", "when")
    note: str = column("text", "a note", default="")


ACTS = Sheet("acts", Act, ("id",), "The journal: every act, undone ones included.", history=True)
CHANGES = Sheet("changes", Change, ("act", "n"), "Every row each act changed.", history=True)
MARKS = Sheet("marks", Mark, ("id",), "What became of each occurrence of a job.", history=True)
EVENTS = Sheet("events", Event, ("id",), "What happened, or is dated to happen.", history=True)
READINGS = Sheet("readings", Reading, ("id",), "Measured values.", history=True)
