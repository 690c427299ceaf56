"""Packing prices: a bound on how few fills there can be that is seldom short of the truth.

Lives here: a price for each size, such that no set that goes into a fill is worth
more than a fill; then there are at least as many fills as all sizes are worth.
Whole numbers only, one capacity.
Does not live here: the quick bounds and the search (`packing_search`).

Prices are those of the relaxed problem, in which a set may be used in part, found
by column generation (Gilmore and Gomory 1961, 1963). They are then rounded down to
whole numbers and the dearest set is looked for afresh in whole numbers, so that a
bound is proved whatever rounding did to the prices (Farley 1990).
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum, gcd

from roomtasks.room.packing_search import Budget, Prices

_SCALE = 10**9
_NIL = 1e-9
_LONG_ENOUGH = 2_000  # steps of looking for a better set than one that will do
_CELLS_A_STEP = 14  # of a table over the capacity
_LONGEST_TABLE = 60_000  # steps
_NOTHING: tuple[tuple[int, int], ...] = ()
_PIVOT_STEPS = 40  # entries of the table that cost as much as one step of a search


def priced_bound(
    sizes: Sequence[int], capacity: int, least: int, target: int, budget: Budget
) -> tuple[int, Prices | None]:
    """At least so many fills, `least` or more, and the prices that prove most.

    No more is looked for than `target`. None where no prices were proved.
    """
    counts = Counter(sizes)
    kinds = sorted(counts, reverse=True)
    wanted = [counts[kind] for kind in kinds]
    table = _Table.start(kinds, wanted, capacity)
    best: Prices | None = None
    while budget.spend(len(kinds) ** 2 // _PIVOT_STEPS + len(kinds)):
        low = min(range(len(kinds)), key=table.prices.__getitem__)
        if table.prices[low] < -_NIL:
            column, cost = [0] * len(kinds), 0
            column[low] = -1
        else:
            prices = [max(0, int(price * _SCALE)) for price in table.prices]
            found = dearest(prices, kinds, wanted, capacity, budget, _SCALE + _SCALE // 10_000)
            if found.proven:
                now = Prices(dict(zip(kinds, prices, strict=True)), max(1, found.worth))
                least = max(least, -(-now.total(sizes) // now.most))
                best = _better(best, now, sizes)
            if found.worth <= _SCALE * (1 + _NIL) or least >= target:
                break
            column, cost = found.many, 1
        if fsum(table.used) < least + _NIL or not table.enter(column, cost):
            break
    return least, best


def _better(old: Prices | None, new: Prices, sizes: Sequence[int]) -> Prices:
    """The prices by which all sizes are worth more fills."""
    if old is None or new.total(sizes) * old.most > old.total(sizes) * new.most:
        return new
    return old


@dataclass(slots=True)
class _Table:
    """The simplex table: the inverse of the basis, how much of each column is used, prices."""

    inverse: list[list[float]]
    amounts: list[float]
    costs: list[int]
    prices: list[float]

    @classmethod
    def start(cls, kinds: Sequence[int], wanted: Sequence[int], capacity: int) -> "_Table":
        """Each fill of one kind of size alone."""
        each = [min(many, capacity // kind) for kind, many in zip(kinds, wanted, strict=True)]
        rows = [[0.0] * len(kinds) for _ in kinds]
        for place, many in enumerate(each):
            rows[place][place] = 1 / many
        amounts = [many / one for many, one in zip(wanted, each, strict=True)]
        return cls(rows, amounts, [1] * len(kinds), [1 / many for many in each])

    @property
    def used(self) -> list[float]:
        """How much of each set is used; what only takes off a size over does not count."""
        return [a * cost for a, cost in zip(self.amounts, self.costs, strict=True)]

    def enter(self, column: Sequence[int], cost: int) -> bool:
        """Bring a column in for the one that runs out first; False where none does."""
        entries = [(place, many) for place, many in enumerate(column) if many]
        weights = [sum(row[place] * many for place, many in entries) for row in self.inverse]
        ratios = [(self.amounts[r] / w, r) for r, w in enumerate(weights) if w > _NIL]
        if not ratios:
            return False
        step, out = min(ratios)
        gain = cost - sum(self.prices[place] * many for place, many in entries)
        pivot = [entry / weights[out] for entry in self.inverse[out]]
        for r, weight in enumerate(weights):
            if r != out and weight:
                row = self.inverse[r]
                self.inverse[r] = [a - weight * b for a, b in zip(row, pivot, strict=True)]
                self.amounts[r] = max(0.0, self.amounts[r] - weight * step)
        self.inverse[out], self.amounts[out], self.costs[out] = pivot, step, cost
        self.prices = [a + gain * b for a, b in zip(self.prices, pivot, strict=True)]
        return True


@dataclass(frozen=True, slots=True)
class Dearest:
    """A set, its worth, how many of each kind are in it, and whether none is worth more."""

    worth: int
    many: list[int]
    proven: bool


def dearest(
    prices: Sequence[int], kinds: Sequence[int], wanted: Sequence[int], capacity: int,
    budget: Budget, enough: int,
) -> Dearest:  # fmt: skip
    """The dearest set that goes into a fill.

    By branch and bound; one worth more than `enough` does, once some steps were
    spent on a better one. Where that is long, by a table over the capacity, if
    sizes have so large a common measure that the table is short.
    """
    unit = gcd(*kinds)
    lots = [
        (place, many)
        for place, (price, kind, most) in enumerate(zip(prices, kinds, wanted, strict=True))
        if price > 0
        for many in _lots(min(most, capacity // kind))
    ]
    table = (capacity // unit + 1) * len(lots) // _CELLS_A_STEP
    short = table <= _LONGEST_TABLE
    found = _by_branches(
        prices, kinds, wanted, capacity, budget, _Enough(enough, table // 4 if short else None)
    )
    if found.proven or found.worth > enough or not short or not budget.spend(table):
        return found
    return _by_table(prices, [kind // unit for kind in kinds], lots, capacity // unit)


@dataclass(frozen=True, slots=True)
class _Enough:
    """When to leave off: with a set worth more than this, or after so many steps."""

    worth: int
    steps: int | None


def _lots(many: int) -> Iterator[int]:
    """Lots of 1, 2, 4, ... and a rest, out of which every count up to `many` can be made."""
    lot = 1
    while many > 0:
        yield min(lot, many)
        many -= lot
        lot *= 2


def _by_table(
    prices: Sequence[int], kinds: Sequence[int], lots: Sequence[tuple[int, int]], capacity: int
) -> Dearest:
    rows = [[0] * (capacity + 1)]
    for place, many in lots:
        size, worth, last = kinds[place] * many, prices[place] * many, rows[-1]
        with_lot = (worth + least for least in last)
        rows.append([*last[:size], *map(max, last[size:], with_lot)])
    found, space = [0] * len(kinds), capacity
    for n in range(len(lots), 0, -1):
        if rows[n][space] != rows[n - 1][space]:
            place, many = lots[n - 1]
            found[place] += many
            space -= kinds[place] * many
    return Dearest(rows[-1][capacity], found, True)


def _by_branches(
    prices: Sequence[int], kinds: Sequence[int], wanted: Sequence[int], capacity: int,
    budget: Budget, enough: _Enough,
) -> Dearest:  # fmt: skip
    order = sorted(
        (place for place in range(len(kinds)) if prices[place] > 0),
        key=lambda place: (-prices[place] / kinds[place], place),
    )
    sizes, worths, most = ([of[p] for p in order] for of in (kinds, prices, wanted))
    smallest, highest = sizes[:], worths[:]
    for n in range(len(sizes) - 2, -1, -1):
        smallest[n] = min(sizes[n], smallest[n + 1])
        highest[n] = max(worths[n], highest[n + 1])
    limit = budget.left if enough.steps is None else min(budget.left, enough.steps)
    best, chosen, steps = 0, _NOTHING, 0
    stack = [(0, capacity, 0, _NOTHING)]
    while stack and steps < limit and (steps < _LONG_ENOUGH or best <= enough.worth):
        n, space, worth, taken = stack.pop()
        steps += 1
        if worth > best:
            best, chosen = worth, taken
        if n == len(sizes) or space < smallest[n]:
            continue
        if worth + space // smallest[n] * highest[n] <= best:
            continue
        if worth + space * worths[n] // sizes[n] <= best:
            continue
        for many in range(min(most[n], space // sizes[n]) + 1):
            after = (*taken, (order[n], many)) if many else taken
            stack.append((n + 1, space - many * sizes[n], worth + many * worths[n], after))
    budget.spend(steps)
    found = [0] * len(kinds)
    for place, many in chosen:
        found[place] = many
    return Dearest(best, found, not stack)
