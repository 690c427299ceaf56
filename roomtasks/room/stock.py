"""Groups of fish: line, counts and sexes with their certainty, and where they are.

A tank may hold several groups or none; a group lives in one tank. Stays in
quarantine and the health class set by the keeper stand here as plain facts;
what follows from them is elsewhere. Since when a tank has had fish, or none,
is kept as history.
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.column import Sheet, column

STAGES = ("eggs", "fry", "young", "adult")
SURENESS = ("sure", "likely")
RELEASE_LINES = (
    "dates", "looked", "eating", "doses", "tests", "count", "destination", "away", "bag-water",
    "net", "watch", "strip",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fish of one line kept together. A count of 0 keeps the line's history."""

    code: str = column("code", "the group's code")
    line: str = column("text", "the line or kind of fish")
    tank: str = column("code", "the tank it lives in")
    count: int = column("int", "how many", low=0, high=1000000)
    count_known: str = column(
        "word", "counted or estimated", words=("exact", "about"), default="exact"
    )
    males: int = column("int", "males", low=0, high=1000000, default=0)
    males_known: str = column("word", "how sure", words=SURENESS, default="sure")
    females: int = column("int", "females", low=0, high=1000000, default=0)
    females_known: str = column("word", "how sure", words=SURENESS, default="sure")
    stage: str = column("word", "stage of life", words=STAGES, default="adult")
    since: date = column("day", "in this tank since")
    born: date | None = column("day", "day of the spawn or birth, if known", default=None)
    generation: str = column("text", "wild, F1, F2 ...", default="")
    origin: str = column("text", "where they came from: a group's code or a source", default="")
    note: str = column("text", "a note", default="")  # fmt: skip

    @property
    def unsexed(self) -> int:
        return max(0, self.count - self.males - self.females)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A lot kept apart: day 0 is the day of the last arrival into its water."""

    code: str = column("code", "the stay's code")
    tank: str = column("code", "the tank")
    since: date = column("day", "day of the last arrival into its water, which is day 0")
    days: int = column("int", "days wanted", low=1, high=400, default=42)
    ended: date | None = column("day", "the day it was released", default=None)
    came: date | None = column(
        "day", "day the first of the lot came, if others came later", default=None
    )
    released_to: str = column("text", "the tank it was released to", default="")
    was_in: str = column(
        "text", "tanks the whole lot was in before, each to a day: Q2 2027-03-20", default=""
    )
    note: str = column("text", "a note", default="")

    @property
    def first_day(self) -> date:
        """The day the first of the lot came."""
        return self.came or self.since

    def places(self) -> tuple[tuple[str, date | None], ...]:
        """The tanks of the lot, each with its last day there, None for where it is."""
        words = self.was_in.split()
        before = zip(words[::2], map(_day_or_none, words[1::2]), strict=False)
        return (*((tank, day) for tank, day in before if day is not None), (self.tank, None))


def _day_or_none(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """The keeper says that a line of a release checklist holds."""

    stay: str = column("code", "the stay")
    line: str = column("word", "the line", words=RELEASE_LINES)
    day: date = column("day", "the day it was ticked")
    who: str = column("text", "who says so", default="")
    note: str = column("text", "what was seen", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A health class set by the keeper for a tank, from a day on."""

    tank: str = column("code", "the tank")
    since: date = column("day", "from this day on")
    state: str = column("word", "the class", words=("clean", "watch", "sick"))
    reason: str = column("text", "why", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """A tank came to hold fish, or lost its last."""

    tank: str = column("code", "the tank")
    since: date = column("day", "from this day on")
    state: str = column("word", "fish or empty", words=("fish", "empty"))


GROUPS = Sheet("groups", Group, ("code",), "Groups of fish and where they live.")
STAYS = Sheet("stays", Stay, ("code",), "Lots kept apart, counted from day 0.")
TICKS = Sheet("ticks", Tick, ("stay", "line"), "Lines of a release ticked by the keeper.")
CONDITIONS = Sheet(
    "conditions", Condition, ("tank", "since"), "Health classes set by the keeper.", history=True
)
STOCKED = Sheet("stocked", Stocked, ("tank", "since"),
                "Since when a tank has held fish, or none.", history=True)  # fmt: skip
