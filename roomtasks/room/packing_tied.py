"""Packing with sizes tied to one vessel: the fewest fills where vessels are not alike.

Lives here: whole sizes only. A size is tied to one vessel, or free; a fill is
of one vessel and holds sizes tied to it and free ones. Fills of free sizes
alone are of the largest vessel, since no other holds more.
Does not live here: one capacity for all (`packing`), litres, and in which round
a vessel is filled (`batches`).

First tries pack each vessel's tied sizes alone and fill the rest of each fill
with free ones; where they miss the bound, a full search completes one fill with
a tied size at a time, to no loss by companies that leave no room for a further
size. It stops after a fixed number of steps, never by the clock.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from roomtasks.room.packing import STEPS, pack
from roomtasks.room.packing_search import Budget, Packed, companies, lower_bound, without

FREE = -1
_FILLING_STEPS = 60_000
_MOST_FILLS = 300  # beyond that only first tries are made
Tied = list[tuple[int, list[int]]]  # vessel, or FREE, and what is in the fill


@dataclass(frozen=True, slots=True)
class Asked:
    """Falling sizes tied to each vessel, those that are free, and what a fill of each gives.

    `largest` is the most a fill of free sizes alone may hold.
    """

    tied: Mapping[int, Sequence[int]]
    free: Sequence[int]
    most: Mapping[int, int]
    largest: int

    def alone(self) -> int | None:
        """The vessel whose fills do for all, where only one has sizes tied to it; else None."""
        owners = [vessel for vessel, sizes in self.tied.items() if sizes]
        if len(owners) == 1 and (not self.free or self.most[owners[0]] == self.largest):
            return owners[0]
        return None if owners else FREE


def least_fills(asked: Asked) -> int:
    """Fills that are needed at the least, without a search."""
    each = {v: lower_bound(sizes, asked.most[v]) for v, sizes in asked.tied.items() if sizes}
    return max(lower_bound(_all(asked), _roomiest(asked)), _beside(asked, each))


def _roomiest(asked: Asked) -> int:
    owned = (asked.most[v] for v, sizes in asked.tied.items() if sizes)
    return max(*owned, asked.largest if asked.free else 0, 1, 1)


def _all(asked: Asked) -> list[int]:
    every = [size for sizes in asked.tied.values() for size in sizes] + list(asked.free)
    return sorted(every, reverse=True)


def _beside(asked: Asked, each: Mapping[int, int]) -> int:
    """Fills of tied sizes, and further ones for the free litres with no room beside them.

    A fill more of a vessel makes no more room than one of the largest, so the
    least of each is taken.
    """
    room = sum(many * asked.most[v] - sum(asked.tied[v]) for v, many in each.items())
    over = sum(asked.free) - room
    return sum(each.values()) + (max(0, -(-over // asked.largest)) if asked.free else 0)


def pack_tied(asked: Asked, steps: int = STEPS) -> tuple[Tied, int, bool]:
    """The fills, how few there can be, and whether that is proved.

    Every size must go into a fill of its vessel, a free one into the largest.
    """
    alone = asked.alone()
    if alone is not None:
        capacity = asked.largest if alone == FREE else asked.most[alone]
        fills, bound, proven = pack(_all(asked), capacity, steps)
        return [(alone, fill) for fill in fills], bound, proven
    packed = {v: pack(list(s), asked.most[v], steps // 4) for v, s in asked.tied.items() if s}
    each = {v: bound for v, (_, bound, _) in packed.items()}
    bound = max(least_fills(asked), _beside(asked, each))
    best = _first_try(asked, {v: fills for v, (fills, _, _) in packed.items()}, steps // 4)
    proven = len(best) == bound
    while not proven and len(best) <= _MOST_FILLS:
        budget = Budget(steps // 2)
        found = _complete(_Left(asked, budget), len(best) - 1)
        if found is None:
            proven = not budget.cut
            break
        best = found
        proven = len(best) == bound
    return best, len(best) if proven else bound, proven


def _first_try(asked: Asked, packed: Mapping[int, Packed], steps: int) -> Tied:
    free, fills = list(asked.free), []
    beside = sorted(
        ((v, list(fill)) for v, own in packed.items() for fill in own),
        key=lambda one: sum(one[1]) - asked.most[one[0]],
    )
    for vessel, fill in beside:
        room = asked.most[vessel] - sum(fill)
        company = max(companies(free, room, 0, Budget(2_000)), key=sum, default=())
        free = without(free, company)
        fills.append((vessel, [*fill, *company]))
    return [*fills, *((FREE, fill) for fill in pack(free, asked.largest, steps)[0])]


@dataclass(frozen=True, slots=True)
class _Left:
    """What is asked, and the steps left for it."""

    asked: Asked
    budget: Budget


def _complete(left: _Left, target: int) -> Tied | None:
    """A sharing-out in at most `target` fills; None proves there is none, unless cut short."""
    asked, budget = left.asked, left.budget
    if least_fills(asked) > target:
        return None
    owner = next((v for v, sizes in asked.tied.items() if sizes), FREE)
    if owner == FREE:
        return _free_alone(asked, budget, target)
    head, *rest = asked.tied[owner]
    for own, others in _fillings(rest, asked.free, asked.most[owner] - head, budget):
        tied = {**asked.tied, owner: without(rest, own)}
        after = Asked(tied, without(list(asked.free), others), asked.most, asked.largest)
        found = _complete(_Left(after, budget), target - 1)
        if found is not None:
            return [(owner, [head, *own, *others]), *found]
        if budget.left < 0:
            return None
    return None


def _free_alone(asked: Asked, budget: Budget, target: int) -> Tied | None:
    steps = max(0, budget.left) // 4
    fills, bound, _ = pack(list(asked.free), asked.largest, steps)
    budget.spend(1 + len(asked.free))
    if len(fills) <= target:
        return [(FREE, fill) for fill in fills]
    if bound <= target:
        budget.spend(steps)
        budget.cut = True
    return None


def _fillings(
    tied: list[int], free: Sequence[int], room: int, budget: Budget
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Companies of tied and free sizes that leave room for no further size, fullest first."""
    found: list[tuple[int, tuple[int, ...], tuple[int, ...]]] = []
    most = Budget(min(_FILLING_STEPS, max(0, budget.left)))
    start = most.left
    for own in companies(tied, room, 0, most):
        space, spare = room - sum(own), without(tied, own)
        for others in companies(list(free), space, 0, most):
            over = space - sum(others)
            idle = without(list(free), others)
            if (spare and spare[-1] <= over) or (idle and idle[-1] <= over):
                continue
            found.append((over, own, others))
    budget.spend(start - max(0, most.left))
    budget.cut = budget.cut or most.cut
    for _, own, others in sorted(found, key=lambda one: (one[0], len(one[1]) + len(one[2]), one)):
        budget.spend(1)
        yield own, others
