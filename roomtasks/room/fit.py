"""Fitting the walk to the time there is: must-do first, then the exact best choice.

Costs are shared: a kind's set-up, a trip with the steps and the wash between
classes are paid once, by whoever comes first. The choice maximises the summed
worth of the jobs taken within the minutes, exactly: branch and bound over which
shared costs to pay, a knapsack over the jobs at each leaf, minutes in tenths.
Looks and room checks are never cut. Every job left out says what leaving costs.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from roomtasks.room.health import Health
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.targets import where_of
from roomtasks.room.walk import Shared, Stop, Walk, priced, shared_minutes
from roomtasks.room.water import catch_up_for_gap

TENTHS = 10


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A job the short walk leaves, and what that costs."""

    stop: Stop
    cost: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """The walk that fits, what it leaves, and the minutes the must-do jobs are over."""

    walk: Walk
    left: tuple[LeftOut, ...]
    must_minutes: float
    over_minutes: float


@dataclass(frozen=True, slots=True)
class Item:
    """A job that may be chosen: its tenths of a minute, worth, and the shared costs it needs."""

    tenths: int
    worth: int
    shared: frozenset[Shared]


def must_do(due: Due) -> bool:
    """Whether a short walk keeps it: looks, doses, and windows that end today or are past."""
    return KINDS[due.job.kind].never_cut or due.state is State.LATE or due.closes <= due.today


def fit(room: Room, walk: Walk, minutes: float, must_do: Callable[[Due], bool] = must_do) -> Fitted:
    """The walk fitted to so many minutes. Must-do jobs stay even when they alone are over."""
    must = [stop for stop in walk.stops if must_do(stop.due)]
    must_total = sum(stop.total_minutes for stop in priced(room, must, walk.paid))
    may = [stop for stop in walk.stops if not must_do(stop.due)]
    paid = walk.paid.union(name for stop in must for name, _ in shared_minutes(room, stop.due))
    costs = {
        name: round(minutes_once * TENTHS)
        for stop in may
        for name, minutes_once in shared_minutes(room, stop.due)
        if name not in paid and minutes_once
    }
    items = [
        Item(
            round(stop.minutes * TENTHS),
            worth_of(room, stop.due),
            frozenset(name for name, _ in shared_minutes(room, stop.due) if name in costs),
        )
        for stop in may
    ]
    tenths = int(round((minutes - must_total) * TENTHS, 6))
    chosen = _choose(items, costs, tenths, any(sort == "class" for sort, _ in paid))
    kept_ids = {stop.due.id for stop in must} | {may[index].due.id for index in chosen}
    chosen_stops = [stop for stop in walk.stops if stop.due.id in kept_ids]
    kept = priced(room, chosen_stops, walk.paid)
    now_paid = walk.paid.union(n for stop in kept for n, _ in shared_minutes(room, stop.due))
    left = _left(room, [stop for stop in walk.stops if stop.due.id not in kept_ids], now_paid)
    total = sum(stop.total_minutes for stop in kept)
    return Fitted(Walk(kept, minutes, walk.paid), left, must_total, max(0.0, total - minutes))


def _left(room: Room, stops: Sequence[Stop], paid: frozenset[Shared]) -> tuple[LeftOut, ...]:
    """What is left, each with its cost; a set-up that today paid for is told at its first."""
    told: set[str] = set()
    found = []
    for stop in stops:
        kind = stop.due.job.kind
        again = 0.0
        if ("kind", kind) in paid and kind not in told:
            again = room.setup_minutes.get(kind, 0.0)
            told.add(kind)
        found.append(LeftOut(stop, cost_of_leaving(stop, again)))
    return tuple(found)


def worth_of(room: Room, due: Due) -> int:
    """What a day of delay costs, in points: the kind's weight, more as the window runs out
    and with each day it is late.

    A job at a rack or a system counts for every tank there, as it would if it
    were written tank by tank.
    """
    left = max(0, (due.closes - due.today).days)
    base = KINDS[due.job.kind].worth * 10
    late = min(40, 10 * due.days_late)
    each = base + max(0, 40 - 10 * left) + late + min(20, 5 * due.slot.missed)
    return each * max(1, tanks_served(room, due))


def tanks_served(room: Room, due: Due) -> int:
    """How many tanks stand in the rack, or are open to the system, that a job is for."""
    where = where_of(due.job)
    if isinstance(where, Problem) or where.thing not in ("rack", "system"):
        return 1
    if where.thing == "rack":
        return sum(tank.rack == due.target for tank in room.tanks)
    newest = (turns[-1] for turns in room.valve.turns.values())
    return sum(turn.system == due.target and turn.state == "open" for turn in newest)


def cost_of_leaving(stop: Stop, setup_again: float) -> str:
    """What is lost by leaving this job today, in words; minutes of set-up to be paid again."""
    due = stop.due
    left = (due.closes - due.today).days
    parts = [
        "late tomorrow" if left <= 0 else f"{left} day{'s' if left > 1 else ''} of window left"
    ]
    last = due.past.done
    if due.fraction is not None and not due.part_done and last is not None:
        usual = max(1, (due.slot.first - last.day).days)
        ratio = ((due.today + timedelta(days=1)) - last.day).days / usual
        if ratio > 1:
            parts.append(f"then {100 * catch_up_for_gap(ratio, due.fraction):.0f} % to catch up")
    if setup_again:
        parts.append(f"{setup_again:g} min of set-up again")
    return ", ".join(parts)


def _choose(
    items: Sequence[Item], costs: dict[Shared, int], tenths: int, class_paid: bool
) -> frozenset[int]:
    """The best choice; the first class touched needs no wash, so each is tried as the first."""
    classes = [name for name in costs if name[0] == "class"]
    if class_paid or not classes:
        return best_choice(items, costs, tenths)
    tries = [best_choice(items, {**costs, name: 0}, tenths) for name in sorted(classes, key=str)]
    return max(tries, key=lambda chosen: sum(items[index].worth for index in chosen))


def best_choice(items: Sequence[Item], costs: dict[Shared, int], capacity: int) -> frozenset[int]:
    """Indices of the items of greatest worth within the capacity, shared costs included.

    Exact. Among equals the choice that leaves the earlier items in is not
    promised, but the same input always gives the same answer.
    """
    if capacity < 0:
        return frozenset()
    names = sorted(costs, key=lambda name: (-_pull(items, name), str(name)))
    search = _Search(items, costs, names)
    search.go(0, capacity, frozenset(names), frozenset())
    return search.best


def _pull(items: Sequence[Item], name: Shared) -> int:
    return sum(item.worth for item in items if name in item.shared)


class _Search:
    """Depth-first over the shared costs, bounded by the fractional knapsack."""

    def __init__(
        self, items: Sequence[Item], costs: dict[Shared, int], names: list[Shared]
    ) -> None:
        self.items, self.costs, self.names = items, costs, names
        self.by_density = sorted(
            range(len(items)), key=lambda i: (-items[i].worth / max(items[i].tenths, 0.01), i)
        )
        self.best: frozenset[int] = frozenset()
        self.best_worth = -1

    def go(
        self, at: int, capacity: int, undecided: frozenset[Shared], open_: frozenset[Shared]
    ) -> None:
        usable = undecided | open_
        bound = self.bound(capacity, usable)
        if bound <= self.best_worth:
            return
        if at == len(self.names):
            self.leaf(capacity, open_)
            return
        name = self.names[at]
        rest = undecided - {name}
        if self.costs[name] <= capacity:
            self.go(at + 1, capacity - self.costs[name], rest, open_ | {name})
        self.go(at + 1, capacity, rest, open_)

    def bound(self, capacity: int, usable: frozenset[Shared]) -> float:
        """Worth no choice below here can beat: undecided costs taken as free."""
        total, left = 0.0, capacity
        for index in self.by_density:
            item = self.items[index]
            if not item.shared <= usable:
                continue
            if item.tenths <= left:
                total, left = total + item.worth, left - item.tenths
            else:
                return total + item.worth * left / item.tenths
        return total

    def leaf(self, capacity: int, open_: frozenset[Shared]) -> None:
        """The best set of items whose shared costs are paid: a plain knapsack, exact."""
        usable = [i for i, item in enumerate(self.items) if item.shared <= open_]
        chosen = _knapsack([(self.items[i].tenths, self.items[i].worth) for i in usable], capacity)
        worth = sum(self.items[usable[i]].worth for i in chosen)
        if worth > self.best_worth:
            self.best_worth = worth
            self.best = frozenset(usable[i] for i in chosen)


def _knapsack(items: Sequence[tuple[int, int]], capacity: int) -> list[int]:
    """Indices of greatest summed worth within the capacity, by dynamic programming."""
    if sum(weight for weight, _ in items) <= capacity:
        return list(range(len(items)))
    best = [0] * (capacity + 1)
    taken: list[bytearray] = []
    for weight, worth in items:
        row = bytearray(capacity + 1)
        for left in range(capacity, weight - 1, -1):
            with_it = best[left - weight] + worth
            if with_it > best[left]:
                best[left] = with_it
                row[left] = 1
        taken.append(row)
    left, chosen = capacity, []
    for index in range(len(items) - 1, -1, -1):
        if taken[index][left]:
            chosen.append(index)
            left -= items[index][0]
    return chosen


def hands_needed(touched: Health | None, health: Health) -> bool:
    """Whether a job in this class, after the riskiest class touched, asks about hands and gear."""
    return touched is not None and health < touched
