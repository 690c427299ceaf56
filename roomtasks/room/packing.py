"""Packing: the fewest fills of a vessel that serve all the changes.

Lives here: sharing out sizes (litres) over fills of one capacity so that no
size is split, and how many fills there must be at least. Sizes are compared to
the microlitre, as whole numbers.
Does not live here: the search itself (`packing_search`), which change may wait,
and splitting a change.

The count is bounded from below by L1 (litres over capacity), L2 (Martello and
Toth 1990, Knapsack Problems, ch. 8) and, where they do not do, by prices of the
sizes (`packing_prices`). First tries come from first fit decreasing and from
filling each vessel as full as can be; where they miss the bound, a full search
and exchanges between fills follow. All stop after a fixed number of steps, never
by the clock, so the same question always has the same answer; `proven` says
whether it is known to be the fewest.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.packing_prices import priced_bound
from roomtasks.room.packing_search import (
    Budget,
    Packed,
    Prices,
    exchange,
    first_fit,
    fullest_first,
    lower_bound,
    search,
)
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, refuse

STEPS = 3_000_000  # some three seconds of a small machine, and only for the hardest sets
MOST_SIZES = 2_000
PER_LITRE = 1_000_000
_ATTEMPTS = 16
_FIRST_LOOK = 64  # so small a part of the steps goes into a first search


@dataclass(frozen=True, slots=True)
class Fills:
    """A sharing-out: the sizes of each fill in litres, and what is known of the count.

    `lower_bound` is the most that is proved about how few there can be; `proven`
    is True where no sharing-out with fewer fills exists.
    """

    fills: tuple[tuple[float, ...], ...]
    lower_bound: int
    proven: bool

    @property
    def count(self) -> int:
        """How many fills."""
        return len(self.fills)


def fewest_fills(
    sizes_litres: Sequence[float], capacity_litres: float, steps: int = STEPS
) -> Fills | Problem:
    """The fewest fills of a capacity for sizes that are not to be split.

    Fills come fullest first, each with its largest size first. Refuses sizes
    that are not above zero, and one larger than the capacity.
    """
    fault = _sizes_fault(sizes_litres, capacity_litres)
    if fault is not None:
        return fault
    sizes = sorted(map(microlitres, sizes_litres), reverse=True)
    best, bound, proven = pack(sizes, microlitres(capacity_litres), steps)
    ordered = sorted((sorted(fill, reverse=True) for fill in best), key=lambda f: (-sum(f), f))
    fills = tuple(tuple(size / PER_LITRE for size in fill) for fill in ordered)
    return Fills(fills, bound, proven)


def pack(sizes: list[int], capacity: int, steps: int = STEPS) -> tuple[Packed, int, bool]:
    """Whole sizes in falling order: the fills, how few there can be, and whether it is proved.

    Sizes must be above zero and go into a fill: callers hold checked values.
    """
    if not sizes:
        return [], 0, True
    bound = lower_bound(sizes, capacity)
    best = min(first_fit(sizes, capacity), fullest_first(sizes, capacity), key=len)
    if len(best) > bound:
        found = search(sizes, capacity, bound, Budget(steps // _FIRST_LOOK))
        best = found or best
    prices: Prices | None = None
    if len(best) > bound:
        bound, prices = priced_bound(sizes, capacity, bound, len(best), Budget(steps // 2))
    proven = len(best) == bound
    while not proven:
        found, proven = _fewer(best, sizes, capacity, steps, prices)
        if found is None:
            break
        best = found
        proven = len(best) == bound
    return best, len(best) if proven else bound, proven


def _fewer(
    best: Packed, sizes: list[int], capacity: int, steps: int, prices: Prices | None
) -> tuple[Packed | None, bool]:
    """A sharing-out with fewer fills, or None and whether that is proved."""
    for attempt in range(_ATTEMPTS):
        looks = Budget(steps // (2 * _ATTEMPTS))
        found = search(sizes, capacity, len(best) - 1, looks, attempt, prices)
        if found is not None or not looks.cut:
            return found, found is None
    found = exchange(best, capacity, Budget(steps // 4))
    if found is not None:
        return found, False
    looks = Budget(steps // 4)
    found = search(sizes, capacity, len(best) - 1, looks, 1, prices)
    return found, found is None and not looks.cut


def microlitres(litres: float) -> int:
    """Litres as a whole number of microlitres, to the nearest."""
    return round(litres * PER_LITRE)


def _sizes_fault(sizes: Sequence[float], capacity: float) -> Problem | None:
    fault = above_zero("capacity", capacity, "L")
    if fault is None and not sizes:
        fault = refuse("sizes", "there are none", "give at least one size")
    if fault is None and len(sizes) > MOST_SIZES:
        fault = refuse("sizes", f"{len(sizes)} are more than a room has", f"at most {MOST_SIZES}")
    for place, size in enumerate(sizes, 1):
        if fault is not None:
            break
        where = f"size {place}"
        fault = above_zero(where, size, "L")
        if fault is None and microlitres(size) < 1:
            fault = refuse(where, f"{size:g} L is under a microlitre")
        if fault is None and microlitres(size) > microlitres(capacity):
            what = f"{size:g} L is more than a fill of {capacity:g} L"
            fault = refuse(where, what, "split it, or give a larger capacity")
    return fault
