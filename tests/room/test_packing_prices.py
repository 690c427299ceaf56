"""Prices of sizes: no set that goes into a fill is worth more than one, whatever the rounding."""

import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.packing import STEPS
from roomtasks.room.packing_prices import dearest, priced_bound
from roomtasks.room.packing_search import Budget, lower_bound, search
from tests.room.test_packing import by_trying_everything, fills_of

SIZES = st.lists(st.integers(1, 30), min_size=1, max_size=9)
PLENTY = 10**9


def worth_by_trying_everything(
    prices: list[int], kinds: list[int], wanted: list[int], capacity: int
) -> int:
    best = 0
    for many in product(*(range(most + 1) for most in wanted)):
        if sum(n * kind for n, kind in zip(many, kinds, strict=True)) <= capacity:
            best = max(best, sum(n * price for n, price in zip(many, prices, strict=True)))
    return best


@given(
    kinds=st.lists(
        st.tuples(st.integers(1, 30), st.integers(1, 3), st.integers(0, 50)),
        min_size=1,
        max_size=5,
        unique_by=lambda kind: kind[0],
    ),
    spare=st.integers(0, 40),
)
@settings(deadline=None)
def test_the_dearest_set_against_trying_everything(
    kinds: list[tuple[int, int, int]], spare: int
) -> None:
    sizes, wanted, prices = (list(column) for column in zip(*kinds, strict=True))
    capacity = max(sizes) + spare
    found = dearest(prices, sizes, wanted, capacity, Budget(100_000), PLENTY)
    assert found.proven
    assert found.worth == worth_by_trying_everything(prices, sizes, wanted, capacity)
    assert sum(n * price for n, price in zip(found.many, prices, strict=True)) == found.worth
    assert sum(n * size for n, size in zip(found.many, sizes, strict=True)) <= capacity
    assert all(n <= most for n, most in zip(found.many, wanted, strict=True))


def test_the_dearest_set_by_a_table_and_by_branches_alone() -> None:
    chance = random.Random(3)
    kinds = sorted(chance.sample(range(150, 201), 40), reverse=True)
    prices = [kind * 10 + chance.randint(0, 9) for kind in kinds]
    wanted = [2] * len(kinds)
    whole = dearest(prices, kinds, wanted, 1000, Budget(10**7), PLENTY)
    # A microlitre to each size leaves no common measure, so no table: branches alone.
    fine = [kind * 10**6 + 1 for kind in kinds]
    found = dearest(prices, fine, wanted, 1000 * 10**6 + 6, Budget(10**7), PLENTY)
    assert whole.proven
    assert found.proven
    assert found.worth == whole.worth


def test_a_set_that_is_cut_short_proves_nothing() -> None:
    found = dearest([3, 2], [5, 4], [9, 9], 100, Budget(2), PLENTY)
    assert not found.proven


@given(sizes=SIZES, spare=st.integers(0, 30))
@settings(deadline=None)
def test_priced_bounds_are_never_above_the_fewest(sizes: list[int], spare: int) -> None:
    capacity = max(sizes) + spare
    falling = sorted(sizes, reverse=True)
    least = lower_bound(falling, capacity)
    fewest = by_trying_everything(sizes, capacity)
    bound, prices = priced_bound(falling, capacity, 0, len(sizes), Budget(200_000))
    assert bound <= fewest
    assert priced_bound(falling, capacity, least, fewest, Budget(200_000))[0] <= fewest
    if prices is not None:
        kinds = sorted(set(sizes))
        worth = [prices.each[kind] for kind in kinds]
        wanted = [sizes.count(kind) for kind in kinds]
        assert worth_by_trying_everything(worth, kinds, wanted, capacity) <= prices.most


@given(sizes=SIZES, spare=st.integers(0, 12))
@settings(deadline=None)
def test_a_priced_search_finds_what_is_there_and_proves_what_is_not(
    sizes: list[int], spare: int
) -> None:
    capacity = max(sizes) + spare
    falling = sorted(sizes, reverse=True)
    fewest = by_trying_everything(sizes, capacity)
    _, prices = priced_bound(falling, capacity, 0, len(sizes), Budget(200_000))
    for attempt in range(6):
        enough, few = Budget(500_000), Budget(500_000)
        found = search(falling, capacity, fewest, enough, attempt, prices)
        assert found is not None
        assert sorted(size for fill in found for size in fill) == sorted(sizes)
        assert search(falling, capacity, fewest - 1, few, attempt, prices) is None
        assert not few.cut


# Invented sets by chance, of kinds that are hard: few sizes to a fill, in many ways. The fewest
# are known from the program's own proof alone.
HARD = ((60, 200, 500, 1000), (100, 150, 200, 1000), (56, 2500, 5000, 10000))


@pytest.mark.parametrize(("many", "least", "most", "capacity"), HARD)
def test_hard_sets_are_proved(many: int, least: int, most: int, capacity: int) -> None:
    for seed in range(4):
        chance = random.Random(seed)
        sizes = [float(chance.randint(least, most)) for _ in range(many)]
        found = fills_of(sizes, float(capacity), STEPS)
        assert found.proven, seed
        assert sorted(size for fill in found.fills for size in fill) == sorted(sizes)
        assert all(sum(fill) <= capacity for fill in found.fills)


def test_threes_that_fill_every_fill_to_the_last_drop() -> None:
    for seed in range(6):
        chance = random.Random(seed)
        sizes: list[float] = []
        for _ in range(20):
            first, second = chance.randint(380, 490), chance.randint(250, 255)
            sizes += [first, second, 1000 - first - second]
        found = fills_of(sizes, 1000.0, STEPS)
        assert (found.count, found.proven) == (20, True)


def test_a_bound_that_litres_alone_do_not_give() -> None:
    # 100 sizes from 150 to 200 in fills of 1000: six go in only where they are small ones
    chance = random.Random(29)
    sizes = sorted((chance.randint(150, 200) for _ in range(100)), reverse=True)
    least = lower_bound(sizes, 1000)
    bound, prices = priced_bound(sizes, 1000, least, least + 1, Budget(STEPS))
    assert prices is not None
    assert bound == least + 1
