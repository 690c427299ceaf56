"""One occurrence of a job as it stands today: the value that screens and commands show.

States: not-yet-open before the window; open inside it; due from the placed day;
late once the window is past; held while something forbids it (never late).
How an occurrence comes to its state is in `due` and `apart`.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from roomtasks.room.health import Health
from roomtasks.room.job import Job, Window
from roomtasks.room.naming import job_at
from roomtasks.room.past import Past
from roomtasks.room.slots import Slot
from roomtasks.room.trigger import Trigger

ONTO = "onto the change day"


class State(StrEnum):
    """Where an occurrence stands today."""

    NOT_YET_OPEN = "not-yet-open"
    OPEN = "open"
    DUE = "due"
    LATE = "late"
    HELD = "held"


@dataclass(frozen=True, slots=True)
class Blocked:
    """What forbids a job: until a day (included), or until lifted where None."""

    reason: str
    rule: str
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """A span of days on which a job is forbidden, both included; no end where `last` is None."""

    first: date
    last: date | None
    reason: str
    rule: str


@dataclass(frozen=True, slots=True)
class StepBack:
    """One deliberate short step back onto the change day."""

    day: date
    fraction: float | None


@dataclass(frozen=True, slots=True)
class Due:
    """One job at one target: its slot, window, placed day, state and amounts.

    `opens` and `closes` are the first and last day it may be done; `closes` lies
    past `window_closes` where forbidden days took from the window. `wanted` is
    the advised day before anything forbade it, `placed` after. `owed_fraction`
    is what is left of a part-done change. `waits_name` and `follows_name` are, in
    words, the job it waits for and the job its rule follows.
    """

    job: Job
    target: str
    tank: str
    slot: Slot
    window: Window
    opens: date
    closes: date
    placed: date
    past: Past
    trigger: Trigger
    health: Health
    today: date
    wanted: date
    window_closes: date
    state: State = State.NOT_YET_OPEN
    blocks: tuple[Block, ...] = ()
    blocked: Blocked | None = None
    put_off_to: date | None = None
    waits_for: str = ""
    waits_name: str = ""
    follows_name: str = ""
    moved: tuple[str, ...] = ()
    step_back: StepBack | None = None
    fraction: float | None = None
    owed_fraction: float | None = None
    part_done: float = 0.0
    litres: float | None = None
    litres_known: str = ""
    later_today: datetime | None = None
    mates: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """How scripts name it: job@target."""
        return f"{self.job.code}@{self.target}"

    @property
    def said(self) -> str:
        """How a person names it: "Sump floss at LOOP"."""
        return job_at(self.job.name, self.target)

    @property
    def days_late(self) -> int:
        """Whole days past the last day it could be done in time, 0 if not late."""
        return (self.today - self.closes).days if self.state is State.LATE else 0

    @property
    def on_walk(self) -> bool:
        """Whether it belongs in today's walk: due or late, not put off, not waiting for a time."""
        return (
            self.state in (State.DUE, State.LATE)
            and (self.put_off_to is None or self.put_off_to <= self.today)
            and self.later_today is None
        )
