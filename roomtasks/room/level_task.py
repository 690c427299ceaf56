"""What is to be laid over a span of days, and where it came to lie: plain values.

Days are numbered from 0, amounts are whole numbers of any one unit. Nothing
here knows a room: `ahead_tasks` makes these from one. The placing is in
`level`, what no placing can beat in `level_bound`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

NEVER = 10**6


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One occurrence. `days` are those on which nothing forbids it, rising.

    `closes` is the last of them that is in time; later ones are taken only where
    nothing else is left. `after` is the occurrence before it in its chain, done
    at least `min_gap` and, to be in time, at most `max_gap` days before it; or,
    where the calendar makes gaps of several lengths, `windows` has the first and
    the last day in time for each day of the one before.
    `shares` are set-ups it needs, `uses` amounts out of supplies. A `pinned` task
    stands on that day whatever else is said. One that must be late may be made up
    for within `catch_up` days more. `worth` is what a day of delay costs.
    One that `goes_on` has others behind it without end: the last of a span must
    not leave the rest of it unserved.
    """

    id: str
    size: int
    days: tuple[int, ...]
    usual: int
    closes: int = NEVER
    uses: tuple[tuple[str, int], ...] = ()
    shares: tuple[str, ...] = ()
    after: str = ""
    min_gap: int = 1
    max_gap: int = NEVER
    windows: tuple[tuple[int, int], ...] = ()
    pinned: int | None = None
    catch_up: int = 0
    worth: int = 1
    place: str = ""
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """What is paid once a day by all that need it: `cost` in minutes, `points` of preference.

    Of those with `first_free` the first of a day costs nothing; a task needs at
    most one such.
    """

    cost: int = 0
    points: int = 0
    first_free: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Two tasks that lie at least so many days apart; 1 is never on one day.

    Where `in_order`, the second lies at least so many days after the first; 0 is
    the same day or later.
    """

    first: str
    second: str
    days: int = 1
    in_order: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Everything to be laid: `limits` of size a day, `supplies` an amount a day.

    A day not in `counts` has no limit and is never the busiest.
    """

    tasks: tuple[Task, ...]
    limits: tuple[int, ...]
    counts: tuple[bool, ...] = ()
    shared: Mapping[str, Shared] = field(default_factory=dict)
    supplies: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    clashes: tuple[Clash, ...] = ()

    @property
    def n_days(self) -> int:
        return len(self.limits)

    def counted(self, day: int) -> bool:
        """Whether the day counts."""
        return not self.counts or self.counts[day]


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A task without a day. `proven`: there is none; else none was found."""

    id: str
    why: str  # no-day, or no-place
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What no placing can be below, and the run of days that shows it (first, last).

    `over` is minutes over the limits of all days, `worst` over that of any one;
    `supplies` likewise by name. That of the busiest day is for plans with so few over.
    """

    busiest: int
    busiest_run: tuple[int, int]
    over: int
    worst: int
    over_runs: tuple[tuple[int, int], ...]
    supplies: Mapping[str, int]
    supply_runs: Mapping[str, tuple[tuple[int, int], ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where everything lies. `late` are days past the window, by task; `put_late` why.

    Late without a why is what finds no day in its window even by itself; else it
    was kept from a clash ("pair") or has no water ("supply").

    `proven`: the busiest day is the lowest there can be. `moved` counts tasks off
    their usual day. `may` are the days a task could take, those behind it in its
    chain moving along and all others left where they are.
    """

    days: Mapping[str, int]
    loads: tuple[int, ...]
    busiest: int
    over: int
    worst: int
    supply_over: Mapping[str, int]
    bounds: Bounds
    late: Mapping[str, int]
    put_late: Mapping[str, str]
    left: tuple[Left, ...]
    moved: int
    may: Mapping[str, tuple[int, ...]]

    @property
    def proven(self) -> bool:
        """Whether no placing has a lower busiest day."""
        return self.busiest <= self.bounds.busiest
