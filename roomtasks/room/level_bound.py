"""What no placing can be below: minutes of the busiest day, minutes and litres over.

For every run of days: what can lie nowhere else, over the days there are in it
(Hall's condition with the work taken as divisible; energetic reasoning of
Erschler and Lopez 1990). A chain gives at least as many occurrences to a run as
its longest gaps leave there. Set-ups are counted once for each day that a run's
confined tasks must have at least (their windows stabbed by the fewest days).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from math import gcd

from roomtasks.room.level_chain import Chain
from roomtasks.room.level_task import Bounds, Span, Task

Run = tuple[int, int]
_Steps = list[list[tuple[int, Task]]]  # ways to lie, each: last day of a task, the task


class Floor:
    """The bounds of a span whose chains have been laid, and those that hang on them."""

    def __init__(self, span: Span, chains: Sequence[Chain]) -> None:
        self._span = span
        fixed, free = _parted(span, chains)
        self._base = _base(span, fixed)
        steps = [_steps(span, chain) for chain in free]
        confined = _confined(span, steps, lambda task: task.size)
        both = zip(confined, _setups(span, fixed, free), strict=True)
        self._work = [[own + once for own, once in zip(*rows, strict=True)] for rows in both]
        loose = [ranged for chain in free for ranged in chain if len(ranged.days) > 1]
        singles = [_single(span, self._base, r.task, r.days) for r in loose]
        self._alone = max((least for least, _ in singles), default=0)
        self._alone_over = max((least for _, least in singles), default=0)
        self._supplies = _supplies(span, fixed, steps)

    def bounds(self) -> Bounds:
        """Every bound; the busiest day's is for plans with as few minutes over as may be."""
        limits = self._span.limits
        over, over_runs = _over(self._span, self._base, self._work, limits)
        over = max(over, self._alone_over)
        worst = self._least(
            self._alone_over, max(over, 1), lambda more: self.over_with([n + more for n in limits])
        )
        supplies, supply_runs = self._supplies
        found = Bounds(
            busiest=0, busiest_run=_busiest(self._span, self._base, self._work)[1], over=over,
            worst=worst if over else 0, over_runs=over_runs, supplies=supplies,
            supply_runs=supply_runs,
        )  # fmt: skip
        return self.within(found, over, found.worst)

    def within(self, found: Bounds, over: int, worst: int) -> Bounds:
        """The bounds with that of the busiest day for plans with at most so much over.

        `over` minutes in all and `worst` on any day: where the limits are kept,
        what does not go into the days with low ones must go into the others.
        """
        limits = self._span.limits
        low = max(_busiest(self._span, self._base, self._work)[0], self._alone)
        high = max(limits) + worst
        low = self._least(
            low, high, lambda most: self.over_with([min(n, most) for n in limits]) - over
        )
        low = self._least(
            low, high, lambda most: self.over_with([min(n + worst, most) for n in limits])
        )
        return replace(found, busiest=_rounded(self._span, low))

    @staticmethod
    def _least(low: int, high: int, above: Callable[[int], int]) -> int:
        """The least number from low to high at which nothing is above 0."""
        while low < high:
            middle = (low + high) // 2
            low, high = (middle + 1, high) if above(middle) > 0 else (low, middle)
        return low

    def over_with(self, limits: Sequence[int]) -> int:
        """Minutes that no plan can have fewer over, were these the limits."""
        return _over(self._span, self._base, self._work, limits)[0]


def _parted(
    span: Span, chains: Sequence[Chain]
) -> tuple[list[tuple[int, Task]], list[Chain]]:  # fmt: skip
    """Tasks with one day only, with that day; and the chains in which some task has a choice."""
    fixed = [
        (ranged.days[0], ranged.task) for chain in chains for ranged in chain
        if len(ranged.days) == 1
    ]  # fmt: skip
    return fixed, [chain for chain in chains if any(len(ranged.days) > 1 for ranged in chain)]


def base_shares(span: Span, fixed: Iterable[tuple[int, Task]]) -> list[set[str]]:
    """The set-ups paid on each day by tasks that can lie nowhere else."""
    found: list[set[str]] = [set() for _ in range(span.n_days)]
    for day, task in fixed:
        found[day].update(task.shares)
    return found


def paid(span: Span, names: Iterable[str]) -> int:
    """What these set-ups cost on one day."""
    known = [span.shared[name] for name in names]
    free = [shared.cost for shared in known if shared.first_free]
    return sum(shared.cost for shared in known) - (min(free) if free else 0)


def _base(span: Span, fixed: Sequence[tuple[int, Task]]) -> list[int]:
    loads = [paid(span, names) for names in base_shares(span, fixed)]
    for day, task in fixed:
        loads[day] += task.size
    return loads


def _steps(span: Span, chain: Chain) -> list[_Steps]:
    """For each first day of a run: the ways the chain may lie, as latest days from there on.

    One way for each task that may be the last one before the run.
    """
    if any(not span.counted(day) for ranged in chain for day in ranged.days):
        return [[] for _ in range(span.n_days)]
    found: list[_Steps] = []
    for first in range(span.n_days):
        ways: _Steps = []
        for k in range(-1, len(chain)):
            if k >= 0 and chain[k].days[0] >= first:
                break
            way = _latest(chain, k, first)
            if way is not None:
                ways.append(way)
        found.append(ways)
    return found


def _latest(chain: Chain, k: int, first: int) -> list[tuple[int, Task]] | None:
    """Latest days of the tasks after the kth, the last one before `first`; those with a choice.

    None where the next one cannot lie that late.
    """
    found = []
    last = min(chain[k].days[-1], first - 1) if k >= 0 else None
    for ranged in chain[k + 1 :]:
        latest = ranged.days[-1]
        if last is not None:
            latest = min(latest, max(ranged.hi[: last + 1]))
        if latest < first:
            return None
        last = latest
        if len(ranged.days) > 1:
            found.append((latest, ranged.task))
    return found


def _confined(
    span: Span, steps: Iterable[list[_Steps]], weigh: Callable[[Task], int]
) -> list[list[int]]:
    """By first and last day of a run: the weight of what can lie nowhere else."""
    n = span.n_days
    added = [[0] * n for _ in range(n)]
    for of_chain in steps:
        for first, ways in enumerate(of_chain):
            row = added[first]
            if len(ways) == 1:
                for latest, task in ways[0]:
                    row[latest] += weigh(task)
            elif ways:
                before = 0
                for last, total in _least(ways, weigh):
                    row[last] += total - before
                    before = total
    for row in added:
        for last in range(1, n):
            row[last] += row[last - 1]
    return added


def _least(ways: _Steps, weigh: Callable[[Task], int]) -> list[tuple[int, int]]:
    """By last day: the least weight over the ways, where it changes."""
    days = sorted({latest for way in ways for latest, _ in way})
    sums = [
        [sum(weigh(task) for latest, task in way if latest <= day) for day in days] for way in ways
    ]
    return [(day, min(totals)) for day, totals in zip(days, zip(*sums, strict=True), strict=True)]


def _setups(
    span: Span, fixed: Sequence[tuple[int, Task]], chains: Sequence[Chain]
) -> list[list[int]]:
    """By first and last day of a run: set-ups that its confined tasks must pay on top."""
    n = span.n_days
    added = [[0] * n for _ in range(n)]
    standing = base_shares(span, fixed)
    hulls: dict[str, list[tuple[int, int]]] = {}
    for ranged in (ranged for chain in chains for ranged in chain if len(ranged.days) > 1):
        for name in ranged.task.shares:
            shared = span.shared[name]
            if not shared.cost or shared.first_free:
                continue
            if any(name in standing[day] or not span.counted(day) for day in ranged.days):
                continue
            hulls.setdefault(name, []).append((ranged.days[-1], ranged.days[0]))
    for name, found in hulls.items():
        cost = span.shared[name].cost
        found.sort()
        for first in range(n):
            point = -1
            for latest, earliest in found:
                if earliest >= first and earliest > point:
                    point = latest
                    added[first][latest] += cost
    for row in added:
        for last in range(1, n):
            row[last] += row[last - 1]
    return added


def _single(
    span: Span, base: Sequence[int], task: Task, days: Sequence[int]
) -> tuple[int, int]:  # fmt: skip
    """The lowest day a task can make of one it lies on, and the fewest minutes over there."""
    if any(not span.counted(day) for day in days):
        return 0, 0
    return (
        min(base[day] for day in days) + task.size,
        min(max(0, base[day] + task.size - span.limits[day]) for day in days),
    )


def _busiest(
    span: Span, base: Sequence[int], work: Sequence[Sequence[int]]
) -> tuple[int, Run]:  # fmt: skip
    best, run = 0, (0, span.n_days - 1)
    for first in range(span.n_days):
        total = days = 0
        for last in range(first, span.n_days):
            if span.counted(last):
                total += base[last]
                days += 1
            if days and -(-(total + work[first][last]) // days) > best:
                best, run = -(-(total + work[first][last]) // days), (first, last)
    return best, run


def _over(
    span: Span, base: Sequence[int], work: Sequence[Sequence[int]], limits: Sequence[int]
) -> tuple[int, tuple[Run, ...]]:
    """The most that runs without a day in common are over their limits, and those runs."""
    n = span.n_days
    best: list[tuple[int, tuple[Run, ...]]] = [(0, ())] * (n + 1)
    for last in range(n):
        best[last + 1] = best[last]
        total = room = 0
        for first in range(last, -1, -1):
            if span.counted(first):
                total, room = total + base[first], room + limits[first]
            over = total + work[first][last] - room
            if over > 0 and best[first][0] + over > best[last + 1][0]:
                best[last + 1] = best[first][0] + over, (*best[first][1], (first, last))
    return best[n]


def _supplies(
    span: Span, fixed: Sequence[tuple[int, Task]], steps: Sequence[list[_Steps]]
) -> tuple[Mapping[str, int], Mapping[str, tuple[Run, ...]]]:
    """The least each supply must be over, and the runs of days that show it."""
    found: dict[str, int] = {}
    runs: dict[str, tuple[Run, ...]] = {}
    for name, limits in span.supplies.items():
        base = [0] * span.n_days
        for day, task in fixed:
            base[day] += amount(task, name)
        work = _confined(span, steps, lambda task, name=name: amount(task, name))  # type: ignore[misc]
        over, runs[name] = _over(span, base, work, limits)
        found[name] = max(over, _too_big(span, name))
    return found, runs


def _too_big(span: Span, name: str) -> int:
    """What tasks take that alone is above all the supply gives on any of their days."""
    limits = span.supplies[name]
    return sum(
        max(0, amount(task, name) - max(limits[day] for day in task.days))
        for task in span.tasks
        if task.days and task.pinned is None and all(span.counted(day) for day in task.days)
    )


def amount(task: Task, supply: str) -> int:
    """What a task takes out of one supply."""
    return sum(taken for name, taken in task.uses if name == supply)


def _rounded(span: Span, busiest: int) -> int:
    """Up to the next sum that sizes and set-ups can make: whole multiples of their divisor."""
    grain = gcd(*(task.size for task in span.tasks), *(s.cost for s in span.shared.values()))
    return -(-busiest // grain) * grain if grain else busiest
