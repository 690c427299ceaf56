"""Sharing draws out over fills: worked by hand, by law, and refused where it cannot be."""

import math
from dataclasses import replace
from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.batches import (
    filled,
    filled_split,
    pool_of,
    split_any_order,
    split_by_litres,
    split_walking,
    vessels_of,
)
from roomtasks.room.demand import demands, draws_on
from roomtasks.room.due import all_due
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import Contents, Draw, Split, Vessel, WhatIf
from tests.room.example_room import CHANGE_DAY, at, example_room
from tests.room.known_packings import KNOWN, Known
from tests.room.made_draws import (
    a_case,
    a_draw,
    a_vessel,
    draws_of,
    falling,
    room_litres,
    rounds_of,
    vessels_of_sizes,
)

FALKENAUER = "E. Falkenauer 1996; OR-Library; BPPLIB (Delorme, Iori, Martello 2018)"
EVENING = at("2027-03-12T18:00")
CLOSE = 1e-5


def walked(litres: list[float], *most: float, names: tuple[str, ...] = ()) -> Split:
    return split_of(split_walking(draws_of(litres, names), vessels_of_sizes(*most)))


def anyhow(litres: list[float], *most: float, names: tuple[str, ...] = ()) -> Split:
    return split_of(split_any_order(draws_of(litres, names), vessels_of_sizes(*most)))


def split_of(found: object) -> Split:
    assert isinstance(found, Split), found
    return found


def shares(split: Split) -> list[list[float]]:
    return [[round(share.litres, 6) for share in fill] for fill in split.fills]


def refused(found: object) -> Problem:
    assert isinstance(found, Problem), found
    return found


# --- the worked room --------------------------------------------------------------------


def hard_draws() -> tuple[Draw, ...]:
    room = example_room()
    drawn = draws_on(room, all_due(room, {}, EVENING), CHANGE_DAY, EVENING)
    assert not isinstance(drawn, Problem)
    return demands(room, drawn.draws)[0].draws


def vessels(what_if: WhatIf | None = None, **held: Contents) -> tuple[Vessel, ...]:
    found = vessels_of(example_room(), held, what_if or WhatIf())
    assert not isinstance(found, Problem)
    return found


def test_no_more_of_the_keep_back_is_taken_than_no_fill_can_give() -> None:
    """700 L with 40 dead and 100 kept: of 630 L a fill gives 560, so 70 are of the keep-back."""
    may = replace(a_vessel("R1", 660.0, left=40.0, holds=140.0), spare_litres=100.0)
    assert filled((630.0,), may) == pytest.approx((560.0,))
    assert filled((300.0,), may) == pytest.approx((300.0,))  # all of it stays
    assert filled((660.0,), may) == pytest.approx((560.0,))
    assert filled((630.0,), replace(may, spare_litres=0.0)) == pytest.approx((530.0,))


def test_the_worked_room_is_560_and_359() -> None:
    # worked here, invented room: 660 + 24 + 126 + 82 L and 3 % loss, 560 L a fill
    pool = pool_of(vessels(), "hard")
    assert [vessel.code for vessel in pool] == ["R1"]
    total = fsum(draw.from_reservoir for draw in hard_draws())
    assert total == pytest.approx(918.84, abs=0.01)
    assert split_by_litres(919.0, pool) == (560.0, 359.0)
    for split in (split_walking(hard_draws(), vessels()), split_any_order(hard_draws(), vessels())):
        found = split_of(split)
        assert (len(found.fills), found.lower_bound, found.proven) == (2, 2, True)
        assert fsum(found.litres) == pytest.approx(total)
        # whatever the split by tank, each fill but the last is a full one
        assert filled_split(found, vessels()) == pytest.approx((560.0, total - 560.0))


def test_what_stands_there_ready_is_not_run_in_again() -> None:
    ready = Contents(reservoir="R1", litres=240.0, recipe="hard", state="ready", for_day=None)
    pool = vessels(R1=ready)
    assert pool[0].ready_litres == 100.0
    found = split_of(split_walking(hard_draws(), pool))
    assert filled_split(found, pool) == pytest.approx((460.0, 358.8424))


# --- by litres --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("litres", "most", "fills"),
    [(919.0, (560.0,), (560.0, 359.0)), (560.0, (560.0,), (560.0,)), (1.0, (560.0,), (1.0,)),
     (700.0, (200.0, 560.0), (560.0, 140.0)), (919.0, (560.0, 200.0), (560.0, 359.0)),
     (1300.0, (560.0, 200.0), (560.0, 560.0, 180.0)), (1.2, (0.4,), (0.4, 0.4, 0.4)),
     (1000.0, (560.0, 300.0, 200.0), (560.0, 300.0, 140.0))],
)  # fmt: skip
def test_litres_alone(litres: float, most: tuple[float, ...], fills: tuple[float, ...]) -> None:
    assert split_by_litres(litres, vessels_of_sizes(*most)) == pytest.approx(fills)


# --- in the order of the walk ------------------------------------------------------------


def test_a_draw_is_never_shared_between_fills() -> None:
    # 60 + 60 would go into 120, but a third 60 goes into no fill beside two: two fills of 100
    assert shares(walked([60, 60, 30], 100)) == [[60], [60, 30]]


def test_the_walk_can_take_more_fills_than_any_order() -> None:
    litres = [60.0, 70.0, 40.0, 30.0]
    assert shares(walked(litres, 100)) == [[60], [70], [40, 30]]
    assert walked(litres, 100).proven
    assert sorted(map(sorted, shares(anyhow(litres, 100)))) == [[30, 70], [40, 60]]


def test_of_the_fewest_fills_the_most_even() -> None:
    assert shares(walked([10, 10, 10, 10, 10, 10], 50)) == [[10, 10, 10], [10, 10, 10]]
    assert shares(walked([30, 5, 5, 20, 20, 10], 50)) == [[30, 5, 5], [20, 20, 10]]


def test_a_draw_larger_than_a_fill_is_cut_and_its_rest_goes_where_it_fits() -> None:
    # 120 of 100: the 20 left over go with the 70 before it, or with the 75 after it
    assert shares(walked([70, 120, 90], 100)) == [[70, 20], [100], [90]]
    assert shares(walked([90, 120, 75], 100)) == [[90], [100], [20, 75]]
    assert shares(walked([200], 100)) == [[100], [100]]
    assert shares(walked([250], 100)) == [[100], [100], [50]]
    found = anyhow([250], 100)
    assert fsum(found.litres) == 250
    assert (len(found.fills), found.proven) == (3, True)


def test_rounds_go_through_the_reservoirs_before_one_is_filled_again() -> None:
    found = walked([50, 50, 50, 50, 50], 100, 60)
    assert (found.reservoirs, shares(found)) == (("R1", "R2", "R1"), [[50, 50], [50], [50, 50]])
    # as many rounds either way: then two fills rather than three
    assert walked([50, 50, 50, 50], 100, 60).reservoirs == ("R1", "R1")
    # the first draw goes into the smaller one, so that the larger is there for the second
    assert walked([40, 90], 100, 60).reservoirs == ("R2", "R1")


def test_fewer_rounds_are_worth_a_fill_more() -> None:
    # two fills of R1 would do, one after the other; one of each is done at once
    found = walked([56.0, 30.0, 14.0], 56, 30, 20)
    assert (found.reservoirs, rounds_of(found.reservoirs)) == (("R1", "R2", "R3"), 1)


def test_a_named_reservoir_is_the_only_one() -> None:
    found = walked([30, 30, 30], 100, 60, names=("R2", "", ""))
    assert found.reservoirs[0] == "R2"
    assert len(found.fills) == 2
    found = walked([30, 30, 30], 100, 60, names=("R2", "R2", "R2"))
    assert set(found.reservoirs) == {"R2"}
    for split in (walked, anyhow):
        found = split([30, 20, 30, 20], 50, 50, names=("R1", "R2", "R1", "R2"))
        assert sorted(found.reservoirs) == ["R1", "R1", "R2"]
        assert (len(found.fills), found.proven) == (3, True)


def test_those_that_name_none_go_with_the_named_walk_that_has_room() -> None:
    found = walked([30, 10, 40, 10], 100, 50, names=("R1", "", "R2", ""))
    assert len(found.fills) == 2
    for fill, code in zip(found.fills, found.reservoirs, strict=True):
        assert all(share.draw.reservoir in ("", code) for share in fill)


def test_the_first_fill_may_be_what_is_ready() -> None:
    draws, pool = draws_of([30, 30, 30, 30]), vessels_of_sizes(100)
    found = split_of(split_walking(draws, pool, {"R1": 65.0}))
    assert shares(found) == [[30, 30], [30, 30]]
    # too little for the first draw: it is filled up first
    assert shares(split_of(split_walking(draws, pool, {"R1": 20.0}))) == [[30, 30], [30, 30]]
    assert shares(split_of(split_walking(draws, pool, {"R1": 0.0}))) == [[30, 30], [30, 30]]
    one = split_of(split_walking(draws_of([30, 30, 30]), pool, {"R1": 65.0}))
    assert shares(one) == [[30, 30], [30]]
    assert shares(split_of(split_walking(draws_of([30, 30, 30]), pool))) == [[30, 30, 30]]
    assert refused(split_walking(draws, pool, {"R1": -1.0})).where == "R1 ready"


def test_the_walk_goes_by_the_order_of_draws_not_of_the_list() -> None:
    draws = draws_of([60, 30, 40])
    assert split_walking(draws[::-1], vessels_of_sizes(100)) == split_walking(
        draws, vessels_of_sizes(100)
    )


# --- laws -------------------------------------------------------------------------------

LITRES = st.lists(st.floats(0.5, 150).map(lambda x: round(x, 3)), min_size=1, max_size=24)
SIZES = st.lists(st.floats(20, 120).map(lambda x: round(x, 2)), min_size=1, max_size=3)


def lawful(split: Split, draws: tuple[Draw, ...], pool: tuple[Vessel, ...]) -> None:
    most = {vessel.code: vessel.most_litres for vessel in pool}
    got: dict[str, list[float]] = {draw.due_id: [] for draw in draws}
    for fill, code, litres in zip(split.fills, split.reservoirs, split.litres, strict=True):
        assert fill
        assert litres == pytest.approx(fsum(share.litres for share in fill))
        assert litres <= most[code] + CLOSE
        for share in fill:
            got[share.draw.due_id].append(share.litres)
            assert share.draw.reservoir in ("", code)
    for draw in draws:
        own = most[draw.reservoir] if draw.reservoir else max(most.values())
        assert fsum(got[draw.due_id]) == pytest.approx(draw.from_reservoir, abs=CLOSE)
        assert len(got[draw.due_id]) == 1 or draw.from_reservoir > own
    assert split.lower_bound <= len(split.fills)


@given(litres=LITRES, most=SIZES)
@settings(deadline=None, max_examples=200)
def test_laws_of_sharing_out(litres: list[float], most: list[float]) -> None:
    draws, pool = draws_of(litres), vessels_of_sizes(*most)
    walk, free = split_of(split_walking(draws, pool)), split_of(split_any_order(draws, pool))
    for split in (walk, free):
        lawful(split, draws, pool)
    assert walk.proven
    assert len(walk.fills) >= free.lower_bound
    if free.proven:
        assert len(walk.fills) >= len(free.fills) == free.lower_bound
    assert [s.draw.order for fill in walk.fills for s in fill] == sorted(
        s.draw.order for fill in walk.fills for s in fill
    )
    assert split_walking(draws, pool) == walk
    assert split_any_order(draws, pool) == free
    total = split_by_litres(fsum(litres), pool)
    assert not isinstance(total, Problem)
    assert fsum(total) == pytest.approx(fsum(litres))
    assert rounds_of(walk.reservoirs) >= -(-fsum(litres) // fsum(most)) - CLOSE


@given(seed=st.integers(0, 10**6), order=st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=100)
def test_laws_where_draws_name_reservoirs(seed: int, order: object) -> None:
    case = a_case(seed, 12, 3, named="all")
    walk = split_of(split_walking(case.draws, case.vessels))
    free = split_of(split_any_order(case.draws, case.vessels))
    for split in (walk, free):
        lawful(split, case.draws, case.vessels)
    assert len(walk.fills) >= free.lower_bound
    shuffled = list(case.vessels)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    assert split_walking(case.draws, shuffled) == walk
    assert split_any_order(case.draws, shuffled) == free


@given(litres=LITRES, order=st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=60)
def test_the_order_of_draws_makes_no_difference_to_any_order(
    litres: list[float], order: object
) -> None:
    shuffled = list(litres)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = anyhow(litres, 75.0), anyhow(shuffled, 75.0)
    assert (len(one.fills), one.lower_bound, one.proven) == (
        len(other.fills), other.lower_bound, other.proven,
    )  # fmt: skip


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: known.name)
def test_published_sets_in_any_order(known: Known) -> None:
    found = anyhow([float(size) for size in known.sizes], float(known.capacity))
    assert (len(found.fills), found.proven) == (known.fewest, True), FALKENAUER


def test_two_hundred_tanks_over_four_reservoirs() -> None:
    for most in ((560.0,) * 4, (700.0, 560.0, 300.0, 200.0)):
        draws, pool = draws_of(room_litres(7, 200)), vessels_of_sizes(*most)
        walk, free = split_of(split_walking(draws, pool)), split_of(split_any_order(draws, pool))
        for split in (walk, free):
            lawful(split, draws, pool)
        assert walk.proven
        assert free.proven


def test_any_order_is_as_even_as_exchanges_get_it() -> None:
    found = anyhow([54.0, 50.0, 30.0, 26.0, 20.0, 20.0], 150.0)
    assert falling(found) == [100.0, 100.0]


# --- refusals ------------------------------------------------------------------------------

BOTH = pytest.mark.parametrize("split", [split_walking, split_any_order])


@BOTH
@pytest.mark.parametrize("litres", [0.0, -5.0, math.nan, math.inf, 1e308, 1e-9])
def test_a_draw_of_no_water(split: object, litres: float) -> None:
    problem = refused(split((a_draw(0, 5.0), a_draw(1, litres)), vessels_of_sizes(10)))  # type: ignore[operator]
    assert problem.where == "change@T001 litres"
    assert problem.rule


@BOTH
def test_waters_and_reservoirs_that_do_not_go_together(split: object) -> None:
    draws = (a_draw(0, 5.0),)
    problem = refused(split(draws, (a_vessel("R2", 9.0, recipes=("soft",)),)))  # type: ignore[operator]
    assert (problem.rule, problem.what) == ("no-reservoir", "none can hold hard water")
    assert "hard" in problem.remedy
    problem = refused(split(draws, (a_vessel("R2", 0.0, recipes=("hard",)),)))  # type: ignore[operator]
    assert "R2" in problem.what
    assert "keep-back" in problem.remedy
    assert refused(split(draws, ())).what == "none can hold hard water"  # type: ignore[operator]
    named = (a_draw(0, 5.0, reservoir="R9"),)
    problem = refused(split(named, vessels_of_sizes(10, 20)))  # type: ignore[operator]
    assert problem.where == "change@T000 reservoir"
    assert "R2 or R1" in problem.remedy
    assert refused(split((), vessels_of_sizes(10))).where == "draws"  # type: ignore[operator]


@BOTH
def test_more_parts_than_a_room_has(split: object) -> None:
    problem = refused(split((a_draw(0, 1e9),), vessels_of_sizes(1)))  # type: ignore[operator]
    assert problem.where == "draws"


def test_two_waters_in_one_sharing_out_are_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="cannot help"):
        split_walking((a_draw(0, 5.0), a_draw(1, 5.0, recipe="soft")), vessels_of_sizes(10))


@pytest.mark.parametrize("litres", [0.0, -1.0, math.nan, 1e308])
def test_litres_that_cannot_be(litres: float) -> None:
    assert refused(split_by_litres(litres, vessels_of_sizes(560))).where == "litres"


def test_litres_out_of_nothing() -> None:
    assert refused(split_by_litres(5.0, ())).what == "the room has none"
    assert refused(split_by_litres(1e9, vessels_of_sizes(1))).where == "litres"
