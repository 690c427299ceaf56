"""Packing: the fewest fills of a vessel that serve all the changes.

Lives here: sharing out sizes (litres) over fills of one capacity so that no
size is split, and how many fills there must be at least. Sizes are compared to
the microlitre, as whole numbers.
Does not live here: which change may wait (`batch`), and splitting a change.

Method: lower bounds L1 (litres over capacity) and L2 (Martello and Toth 1990,
Knapsack Problems, ch. 8); first tries by first fit decreasing and by filling
each vessel as full as can be; then a search that completes one fill at a time,
leaving out fills that another one dominates (after Martello and Toth; Korf
2002). The search stops after a fixed number of steps, never by the clock, so
the same question always has the same answer; `proven` says whether it is known
to be the fewest.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, first, refuse

STEPS = 400_000
MOST_SIZES = 10_000
_PER_LITRE = 1_000_000
_STEPS_PER_FILL = 20_000


@dataclass(frozen=True, slots=True)
class Fills:
    """A sharing-out: the sizes of each fill in litres, and what is known of the count.

    `lower_bound` is the least number any sharing-out could have; `proven` is
    True where no sharing-out with fewer fills exists.
    """

    fills: tuple[tuple[float, ...], ...]
    lower_bound: int
    proven: bool

    @property
    def count(self) -> int:
        """How many fills."""
        return len(self.fills)


class _Budget:
    """Steps left to search, and whether anything was left unlooked at."""

    def __init__(self, steps: int) -> None:
        self.left = steps
        self.cut = False


def fewest_fills(
    sizes_litres: Sequence[float], capacity_litres: float, steps: int = STEPS
) -> Fills | Problem:
    """The fewest fills of a capacity for sizes that are not to be split.

    Refuses sizes that are not above zero, and one larger than the capacity.
    """
    fault = _sizes_fault(sizes_litres, capacity_litres)
    if fault is not None:
        return fault
    capacity = round(capacity_litres * _PER_LITRE)
    sizes = sorted((round(size * _PER_LITRE) for size in sizes_litres), reverse=True)
    bound = lower_bound(sizes, capacity)
    best = min(first_fit(sizes, capacity), _fullest_first(sizes, capacity), key=len)
    budget = _Budget(steps)
    while len(best) > bound:
        found = _search(sizes, capacity, len(best) - 1, budget)
        if found is None:
            break
        best = found
    proven = len(best) == bound or not budget.cut
    fills = tuple(tuple(size / _PER_LITRE for size in fill) for fill in best)
    return Fills(fills, len(best) if proven else bound, proven)


def _sizes_fault(sizes: Sequence[float], capacity: float) -> Problem | None:
    fault = above_zero("capacity", capacity, "L")
    if fault is None and not sizes:
        fault = refuse("sizes", "there are none", "give at least one size")
    if fault is None and len(sizes) > MOST_SIZES:
        fault = refuse("sizes", f"{len(sizes)} are more than a room has", f"at most {MOST_SIZES}")
    for place, size in enumerate(sizes, 1):
        fault = fault or above_zero(f"size {place}", size, "L")
        if fault is None and round(size * _PER_LITRE) < 1:
            fault = refuse(f"size {place}", f"{size:g} L is under a microlitre")
        if fault is None and round(size * _PER_LITRE) > round(capacity * _PER_LITRE):
            what = f"{size:g} L is more than a fill of {capacity:g} L"
            fault = refuse(f"size {place}", what, "split it, or give a larger capacity")
    return fault


def lower_bound(sizes: Sequence[int], capacity: int) -> int:
    """L2 of Martello and Toth: no sharing-out of these sizes has fewer fills.

    Sizes in falling order, whole numbers. Never below L1, the sum over the
    capacity. For each threshold, sizes above half a fill need one each, and what
    the others ask for beyond the room left beside them needs more.
    """
    rising = list(reversed(sizes))
    sums = [0]
    for size in rising:
        sums.append(sums[-1] + size)
    half = bisect_right(rising, capacity // 2)
    alone = len(rising) - half
    best = max(-(-sums[-1] // capacity), alone)
    for threshold in {0, *rising[:half]}:
        low = bisect_left(rising, threshold)
        huge = max(bisect_right(rising, capacity - threshold), half)
        beside = (huge - half) * capacity - (sums[huge] - sums[half])
        excess = (sums[half] - sums[low]) - beside
        best = max(best, alone + max(0, -(-excess // capacity)))
    return best


def first_fit(sizes: Sequence[int], capacity: int) -> list[list[int]]:
    """Each size in turn into the first fill it goes into.

    With sizes in falling order this is first fit decreasing, at most
    11/9 of the fewest + 6/9 (Dosa 2007).
    """
    fills: list[list[int]] = []
    room: list[int] = []
    for size in sizes:
        place = next((i for i, left in enumerate(room) if left >= size), len(fills))
        if place == len(fills):
            fills.append([])
            room.append(capacity)
        fills[place].append(size)
        room[place] -= size
    return fills


def _fullest_first(sizes: Sequence[int], capacity: int) -> list[list[int]]:
    """Each fill takes the largest size left and the best company found for it."""
    left = list(sizes)
    fills: list[list[int]] = []
    while left:
        budget = _Budget(_STEPS_PER_FILL // 10)
        rest = left[1:]
        company = max(_companies(rest, capacity - left[0], 0, budget), key=sum)
        fills.append([left[0], *company])
        left = _without(rest, company)
    return fills


def _without(sizes: list[int], taken: Sequence[int]) -> list[int]:
    """Falling sizes without the taken ones, which are among them in the same order."""
    left, place = [], 0
    for size in sizes:
        if place < len(taken) and size == taken[place]:
            place += 1
        else:
            left.append(size)
    return left


def _companies(
    rest: list[int], room: int, least: int, budget: _Budget
) -> Iterator[tuple[int, ...]]:
    """Sets out of falling sizes that go into the room and fill at least `least` of it."""
    tails = [0] * (len(rest) + 1)
    for i in range(len(rest) - 1, -1, -1):
        tails[i] = tails[i + 1] + rest[i]
    count = len(rest)
    smallest = rest[-1] if rest else 0
    stack: list[tuple[int, int, tuple[int, ...]]] = [(0, room, ())]
    while stack:
        start, space, chosen = stack.pop()
        if budget.left <= 0:
            budget.cut = True
            return
        budget.left -= 1
        if space < smallest or start >= count:
            if room - space >= least:
                yield chosen
            continue
        if room - space + tails[start] < least:
            continue
        # take the largest that fits, or leave all of that size out
        i = start
        while i < count and rest[i] > space:
            i += 1
        if i == count:
            if room - space >= least:
                yield chosen
            continue
        j = i
        while j < count and rest[j] == rest[i]:
            j += 1
        stack.append((j, space, chosen))
        stack.append((i + 1, space - rest[i], (*chosen, rest[i])))


def _dominated(chosen: tuple[int, ...], rising: list[int], counts: dict[int, int], slack: int) -> bool:
    """Whether one size left out could take the place of some of these, to no loss."""
    sums: list[tuple[int, int]] = [(0, 0)]
    for size in chosen:
        sums += [(total + size, many + 1) for total, many in sums]
    for total, many in sums:
        place = bisect_left(rising, total + 1) if many <= 1 else bisect_left(rising, total)
        while place < len(rising) and rising[place] <= total + slack:
            if counts[rising[place]] > chosen.count(rising[place]):
                return True
            place += 1
    return False


def _search(sizes: list[int], capacity: int, target: int, budget: _Budget):
    waste = target * capacity - sum(sizes)
    if waste < 0:
        return None
    nodes = 0
    failed = set()
    stack = []  # (iterator of (company), remaining, fill prefix, waste)
    fills: list[list[int]] = []

    def options(left, waste):
        rest = left[1:]
        room = capacity - left[0]
        sets = list(_companies(rest, room, room - waste, budget))
        sets.sort(key=lambda c: (-sum(c), len(c)))
        rising = sorted(set(rest))
        counts = {}
        for x in rest: counts[x] = counts.get(x, 0) + 1
        for c in sets:
            if not _dominated(c, rising, counts, room - sum(c)):
                yield c
    left = list(sizes)
    stack.append((options(left, waste), left, waste))
    while stack:
        its, left, waste = stack[-1]
        if budget.left <= 0:
            budget.cut = True
            return None
        c = next(its, None)
        if c is None:
            stack.pop()
            if fills: fills.pop()
            failed.add(tuple(left))
            continue
        nodes += 1
        new = _without(left[1:], c)
        w2 = waste - (capacity - left[0] - sum(c))
        fills.append([left[0], *c])
        if not new:
            return fills
        if tuple(new) in failed or lower_bound(new, capacity) > target - len(fills):
            fills.pop()
            continue
        stack.append((options(new, w2), new, w2))
    return None
