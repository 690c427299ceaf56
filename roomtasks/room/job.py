"""Standing jobs, what lies between two jobs, and holds: facts as the keeper wrote them.

A job says what, where, by which rule, in which window, how long and how much
water. Rules and places are short lines of text, read by `trigger` and
`where`. When a job is due is worked out in `due`.
"""

import re
from dataclasses import dataclass
from datetime import date, time

from roomtasks.room.column import Sheet, column
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A standing job. Minutes are set-up once a walk plus each; litres prepared water each."""

    code: str = column("code", "the job's code")
    name: str = column("text", "what the keeper calls it")
    kind: str = column("word", "the kind of job", words=tuple(KINDS))
    where: str = column("text", "where: tank B2; tanks in rack A; system S; room ...")
    rule: str = column("text", "when: every 14 days; calendar FREQ=...; once ...; event ...")
    window: str = column("text", "days early and late, as -2/+3", default="")
    starts: date | None = column("day", "first due day, if it was never done", default=None)
    from_time: time | None = column("time", "not before this time of the day", default=None)
    setup_minutes: float = column(
        "number", "minutes of set-up, once a walk", unit="min", low=0, high=600, default=0.0
    )
    minutes: float = column("number", "minutes each", unit="min", low=0, high=600, default=1.0)
    fraction: float | None = column(
        "number", "share of the tank's water to change", low=0.01, high=1, default=None
    )
    litres: float | None = column(
        "number",
        "prepared water each, where it is no share",
        unit="L",
        low=0,
        high=100000,
        default=None,
    )
    reservoir: str = column("text", "the reservoir it draws from or fills", default="")
    effects: str = column(
        "text", "what doing it changes: pump on, pump off, event spawn ...", default=""
    )
    needs: str = column("text", "what it needs, for the keeper to read", default="")
    stand_in: bool = column("yesno", "whether a stand-in may do it", default=False)
    active: bool = column("yesno", "no lets it rest", default=True)
    note: str = column("text", "a note", default="")  # fmt: skip


RELATIONS = ("apart", "not-same-day", "before", "together")
SCOPES = ("tank", "room")


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """What holds between two jobs, kinds or events.

    apart: at least `days` between them. not-same-day: as it says. before: the
    second only once the first is done. together: one visit, where windows allow.
    """

    code: str = column("code", "the pair's code")
    first: str = column("text", "kind filter, job squeeze-b, or event dose")
    relation: str = column("word", "how they stand to each other", words=RELATIONS)
    second: str = column("text", "kind filter, or job squeeze-b")
    days: int = column("int", "days apart", low=0, high=400, default=0)
    scope: str = column(
        "word", "at one tank, or anywhere in the room", words=SCOPES, default="tank"
    )
    reason: str = column("text", "why", default="")  # fmt: skip


HOLD_CAUSES = ("medicine", "spawning", "keeper", "blocked")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Named kinds of job may not be done at a place, from a day until a day (included)."""

    code: str = column("code", "the hold's code")
    target: str = column("code", "the tank, filter, system, reservoir or room")
    kinds: str = column("text", "kinds of job, 'all', or 'job CODE'")
    cause: str = column("word", "what sort of hold", words=HOLD_CAUSES, default="keeper")
    reason: str = column("text", "why, for the keeper to read")
    since: date = column("day", "from this day")
    until: date | None = column("day", "to this day, included; blank: until lifted", default=None)

    def covers(self, job: Job) -> bool:
        """Whether it blocks this job (its place is looked at elsewhere)."""
        words = self.kinds.split()
        return "all" in words or job.kind in words or self.kinds == f"job {job.code}"

    def on(self, day: date) -> bool:
        """Whether it stands on this day."""
        return self.since <= day and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterReading:
    """A counter's value on a day: litres through a block, hours on a pump."""

    counter: str = column("code", "the counter's code")
    day: date = column("day", "the day it was read")
    value: float = column("number", "what it showed", low=0)
    unit: str = column("text", "its unit: litres, hours, days", default="")


JOBS = Sheet("jobs", Job, ("code",), "Standing jobs.")
BETWEEN = Sheet("between", Between, ("code",), "What holds between two jobs.")
HOLDS = Sheet("holds", Hold, ("code",), "Holds: what must not be done, where, and why.")
COUNTERS = Sheet("counters", CounterReading, ("counter", "day"), "Readings of counters.",
                 history=True)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Window:
    """Days before and after the due day on which the job may be done."""

    early: int
    late: int

    def __str__(self) -> str:
        return f"-{self.early}/+{self.late}"


_WINDOW = re.compile(r"-?(\d{1,3})\s*/\s*\+?(\d{1,3})")


def parse_window(text: str) -> Window | Problem | None:
    """Read "-2/+3"; None when blank, so that the default of the rule holds."""
    if not text.strip():
        return None
    match = _WINDOW.fullmatch(text.strip())
    if match is None or not text.isascii():
        return Problem("", f"“{text[:40]}” is no window", "write days early and late as -2/+3")
    return Window(int(match[1]), int(match[2]))


@dataclass(frozen=True, slots=True)
class Effects:
    """What doing a job changes besides its own mark."""

    pump: str = ""
    events: tuple[str, ...] = ()


def parse_effects(text: str) -> Effects | Problem:
    """Read "pump off; event moved": parts with semicolons between."""
    pump, events = "", []
    for part in (p.split() for p in text.split(";") if p.strip()):
        match part:
            case ["pump", ("on" | "off") as state]:
                pump = "running" if state == "on" else "off"
            case ["event", name] if re.fullmatch(r"[A-Za-z][A-Za-z0-9-]{0,31}", name):
                events.append(name)
            case _:
                return Problem(
                    "", f"“{' '.join(part)[:40]}” is no effect",
                    "use pump on, pump off, or event NAME, with ; between",
                )  # fmt: skip
    return Effects(pump, tuple(events))


@dataclass(frozen=True, slots=True)
class Party:
    """One side of a pair: a kind, a job or an event."""

    sort: str
    name: str

    def is_job(self, job: Job) -> bool:
        return (self.sort == "kind" and job.kind == self.name) or (
            self.sort == "job" and job.code == self.name
        )


def parse_party(text: str) -> Party | Problem:
    """Read "kind filter", "job squeeze-b" or "event dose"."""
    words = text.split()
    if len(words) == 2 and words[0] in ("kind", "job", "event"):
        if words[0] == "kind" and words[1] not in KINDS:
            return Problem("", f"there is no kind “{words[1][:40]}”", "use " + ", ".join(KINDS))
        return Party(words[0], words[1])
    return Problem("", f"“{text[:40]}” names no job", "write kind NAME, job CODE or event NAME")
