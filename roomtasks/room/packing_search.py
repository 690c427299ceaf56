"""Packing search: bounds, first tries, exchanges and the full search behind `packing`.

Lives here: whole numbers only, sizes in falling order, one capacity.
Does not live here: litres, checks of what was asked, and the answer's shape
(`packing`).

Methods: L2 bound (Martello and Toth 1990, Knapsack Problems, ch. 8); first fit
decreasing; the fullest company for the largest size (after Gupta and Ho 1999);
exchanges that make a fill fuller (after Martello and Toth, and Falkenauer 1996);
search by completing one fill at a time without dominated completions (after
Korf 2002, 2003), nor such as prices of the sizes rule out (`packing_prices`).
"""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice

Packed = list[list[int]]
_COMPANY_STEPS = 2_000
_COMPLETION_STEPS = 60_000
_ROUNDS = 5_000


class Budget:
    """Steps left to spend, and whether something was left unlooked at for want of them."""

    def __init__(self, steps: int) -> None:
        """Start with so many steps."""
        self.left = steps
        self.cut = False

    def spend(self, steps: int) -> bool:
        """Take steps off; False, and marked as cut short, once none are left."""
        self.left -= steps
        if self.left < 0:
            self.cut = True
        return self.left >= 0


@dataclass(frozen=True, slots=True)
class Prices:
    """A price of each size, such that no set that goes into a fill is worth more than `most`."""

    each: Mapping[int, int]
    most: int

    def total(self, sizes: Iterable[int]) -> int:
        """What sizes are worth together."""
        return sum(self.each[size] for size in sizes)


def lower_bound(sizes: Sequence[int], capacity: int) -> int:
    """L2: no sharing-out of these sizes has fewer fills. Never below sum over capacity.

    For each threshold up to half a fill: sizes above half need one fill each, and
    what the others ask for beyond the room left beside them needs more.
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
        excess = sums[half] - sums[low] - beside
        best = max(best, alone - (-excess // capacity))
    return best


def first_fit(sizes: Sequence[int], capacity: int) -> Packed:
    """Each size in turn into the first fill it goes into.

    In falling order this is first fit decreasing, at most 11/9 of the fewest
    plus 6/9 (Dosa 2007).
    """
    fills: Packed = []
    room: list[int] = []
    for size in sizes:
        place = next((i for i, left in enumerate(room) if left >= size), len(fills))
        if place == len(fills):
            fills.append([])
            room.append(capacity)
        fills[place].append(size)
        room[place] -= size
    return fills


def fullest_first(sizes: Sequence[int], capacity: int) -> Packed:
    """Each fill takes the largest size left and the best company found for it."""
    left = list(sizes)
    fills: Packed = []
    while left:
        head, rest = left[0], left[1:]
        found = companies(rest, capacity - head, 0, Budget(_COMPANY_STEPS))
        company = max(found, key=sum, default=())
        fills.append([head, *company])
        left = without(rest, company)
    return fills


def without(sizes: list[int], taken: Sequence[int]) -> list[int]:
    """Falling sizes without the taken ones, which stand among them in the same order."""
    left, place = [], 0
    for size in sizes:
        if place < len(taken) and size == taken[place]:
            place += 1
        else:
            left.append(size)
    return left


def companies(rest: list[int], room: int, least: int, budget: Budget) -> Iterator[tuple[int, ...]]:
    """Sets out of falling sizes that go into the room and fill at least `least` of it.

    Each set of sizes comes once, larger sizes first.
    """
    tails = [0] * (len(rest) + 1)
    for place in range(len(rest) - 1, -1, -1):
        tails[place] = tails[place + 1] + rest[place]
    falling = [-size for size in rest]
    stack: list[tuple[int, int, tuple[int, ...]]] = [(0, room, ())]
    while stack:
        start, space, chosen = stack.pop()
        if not budget.spend(1):
            return
        place = max(start, bisect_left(falling, -space))
        if place >= len(rest):
            if room - space >= least:
                yield chosen
        elif room - space + tails[place] >= least:
            size = rest[place]
            stack.append((bisect_right(falling, -size, place), space, chosen))
            stack.append((place + 1, space - size, (*chosen, size)))


def _dominated(
    chosen: tuple[int, ...], rising: list[int], counts: Counter[int], slack: int
) -> bool:
    """Whether one size left out could take the place of some of these, to no loss.

    Then the fill with that size in it is at least as good, and this one need not
    be looked at. Long sets are checked by their parts of up to two sizes only.
    """
    held = Counter(chosen)
    longest = len(chosen) if len(chosen) <= 6 else 2
    for many in range(longest + 1):
        for part in set(combinations(chosen, many)):
            total = sum(part)
            place = bisect_left(rising, total + 1 if many <= 1 else total)
            while place < len(rising) and rising[place] <= total + slack:
                if counts[rising[place]] > held[rising[place]]:
                    return True
                place += 1
    return False


@dataclass(frozen=True, slots=True)
class _Node:
    """What is left to be put into fills, and how much of them may stay empty or unpaid."""

    left: list[int]
    waste: int
    unpaid: int | None


def _completions(
    node: _Node, capacity: int, budget: Budget, attempt: int, prices: Prices | None
) -> Iterator[list[int]]:
    """The undominated fills of one size that waste no more, in falling order.

    The size is the largest; on one attempt in four, where less may be wasted than
    the smallest takes up, the one with the fewest companies. Fullest first on
    even attempts, fewest sizes first on odd ones, dearest first on every third;
    later attempts shuffle near equals a little, by a fixed sequence.
    """
    head, found = _rarest(node, capacity, budget, attempt % 4 == 1)
    room = capacity - head
    if prices is not None and node.unpaid is not None:
        least = prices.most - node.unpaid - prices.each[head]
        found = [company for company in found if prices.total(company) >= least]
    draws = _draws(attempt + len(node.left))
    blur = max(1, capacity * attempt // 1000)

    def rank(company: tuple[int, ...]) -> tuple[int, int, tuple[int, ...]]:
        lean = len(company) if attempt % 2 else 0
        if prices is not None and attempt % 3 == 2:
            lean = -prices.total(company)
        return lean, (next(draws) % blur) - sum(company), company

    counts = Counter(node.left)
    counts[head] -= 1
    rising = sorted(counts)
    for chosen in sorted(found, key=rank):
        budget.spend(len(chosen) + 1)
        if not _dominated(chosen, rising, counts, room - sum(chosen)):
            yield sorted((head, *chosen), reverse=True)


def _rarest(
    node: _Node, capacity: int, budget: Budget, look: bool
) -> tuple[int, list[tuple[int, ...]]]:
    """The size to be put into a fill next, and the companies it could have there."""
    head = node.left[0]
    found, cut = _companies_of(head, node, capacity, None, budget)
    if look and node.waste < node.left[-1]:
        for other in dict.fromkeys(node.left):
            if not found or budget.left < 0:
                break
            fewer, short = _companies_of(other, node, capacity, len(found), budget)
            if len(fewer) < len(found) and not short:
                head, found, cut = other, fewer, short
    budget.cut = budget.cut or cut
    return head, found


def _companies_of(
    head: int, node: _Node, capacity: int, most: int | None, budget: Budget
) -> tuple[list[tuple[int, ...]], bool]:
    """Companies of a size, no more than `most`, and whether there may be others for want of steps.

    What is not looked at because `most` are found already does not count.
    """
    room = capacity - head
    own = Budget(min(_COMPLETION_STEPS, max(0, budget.left)))
    start = own.left
    every = companies(without(node.left, [head]), room, room - node.waste, own)
    found = list(islice(every, most))
    budget.left -= start - max(0, own.left)
    return found, own.cut


def search(
    sizes: Sequence[int], capacity: int, target: int, budget: Budget, attempt: int = 0,
    prices: Prices | None = None,
) -> Packed | None:  # fmt: skip
    """A sharing-out in at most `target` fills, or None.

    None proves there is none, unless the budget says it was cut short. Attempts
    differ in the order of looking only.
    """
    unpaid = None if prices is None else target * prices.most - prices.total(sizes)
    node = _Node(list(sizes), target * capacity - sum(sizes), unpaid)
    if node.waste < 0 or (unpaid is not None and unpaid < 0):
        return None
    fills: Packed = []
    failed: dict[tuple[int, ...], int] = {}  # what was left, and after how few fills at most
    stack = [(node, _completions(node, capacity, budget, attempt, prices))]
    while stack and budget.left >= 0:
        node, choices = stack[-1]
        fill = next(choices, None)
        if fill is None:
            stack.pop()
            failed[tuple(node.left)] = len(stack)
            fills = fills[: len(stack) - 1] if stack else []
            continue
        fills = [*fills[: len(stack) - 1], fill]
        after = without(node.left, fill)
        if not after:
            return fills
        budget.spend(1 + len(after) // 4)
        if len(fills) >= failed.get(tuple(after), target):
            continue
        if lower_bound(after, capacity) > target - len(fills):
            continue
        unpaid = node.unpaid
        if prices is not None and unpaid is not None:
            unpaid -= prices.most - prices.total(fill)
        node = _Node(after, node.waste - capacity + sum(fill), unpaid)
        stack.append((node, _completions(node, capacity, budget, attempt, prices)))
    budget.cut = budget.cut or bool(stack)
    return None


def exchange(packed: Packed, capacity: int, budget: Budget) -> Packed | None:
    """A sharing-out with fewer fills, reached by exchanges, or None where none was found.

    Opens a few fills, makes the others as full as can be from their sizes by
    swapping up to two for up to two, and packs what is left again. Which fills
    are opened follows a fixed sequence, the same each time.
    """
    fills = [list(fill) for fill in packed]
    draws = _draws()
    for _ in range(_ROUNDS):
        if not budget.spend(len(fills)):
            return None
        emptiest = min(range(len(fills)), key=lambda i: sum(fills[i]))
        opened = {emptiest, *(next(draws) % len(fills) for _ in range(1 + next(draws) % 3))}
        pool = [size for i in opened for size in fills[i]]
        fills = [fill for i, fill in enumerate(fills) if i not in opened]
        turn = next(draws) % max(1, len(fills))
        fills = fills[turn:] + fills[:turn]
        _fill_up(fills, pool, capacity, budget)
        fills += fullest_first(sorted(pool, reverse=True), capacity)
        if len(fills) < len(packed):
            return fills
    return None


def _draws(start: int = 1) -> Iterator[int]:
    """A fixed sequence of numbers that looks shuffled (Knuth's MMIX constants)."""
    state = start
    while True:
        state = (state * 6364136223846793005 + 1442695040888963407) % 2**64
        yield state >> 33


def _fill_up(fills: Packed, pool: list[int], capacity: int, budget: Budget) -> None:
    """Exchange sizes between the fills and the pool while a fill gets fuller by it."""
    moved = True
    while moved and pool:
        moved = False
        for fill in fills:
            slack = capacity - sum(fill)
            while slack and pool and budget.spend(len(pool)):
                gain = _swap(fill, pool, slack)
                if gain == 0:
                    break
                slack, moved = slack - gain, True


def _swap(fill: list[int], pool: list[int], slack: int) -> int:
    """The one exchange that makes the fill fullest; what it gained, 0 where none does."""
    offers = sorted((sum(part), part) for many in (1, 2) for part in combinations(pool, many))
    sums = [total for total, _ in offers]
    best = 0
    given: tuple[int, ...] = ()
    taken: tuple[int, ...] = ()
    for part in ((), *((size,) for size in fill), *combinations(fill, 2)):
        total = sum(part)
        place = bisect_right(sums, total + slack) - 1
        if place >= 0 and sums[place] - total > best:
            best, given, taken = sums[place] - total, part, offers[place][1]
    for size in given:
        fill.remove(size)
        pool.append(size)
    for size in taken:
        pool.remove(size)
        fill.append(size)
    return best
