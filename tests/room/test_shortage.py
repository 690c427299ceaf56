"""Too little water for the day: ways out with their price, only where they do, and by need."""

import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.amount import COMPUTED, MEASURED, Amount
from roomtasks.room.batches import vessels_of
from roomtasks.room.body import bodies, body_change
from roomtasks.room.demand import demands, drained, draws_on
from roomtasks.room.due import all_due
from roomtasks.room.problem import Problem
from roomtasks.room.shortage import Means, WaysOut, choices, second_part, ways_out
from roomtasks.room.water_plan import (
    BodyChange,
    Choice,
    Draw,
    Forecast,
    Price,
    RecipeDemand,
    Vessel,
    WhatIf,
)
from tests.room.example_room import CHANGE_DAY, at, example_room
from tests.room.made_draws import LOSS, a_draw, a_vessel, draws_of, vessels_of_sizes

EVENING = at("2027-03-12T18:00")
HERE = "worked here, invented room"


# --- the worked room ----------------------------------------------------------------------


def the_demand() -> RecipeDemand:
    room = example_room()
    drawn = draws_on(room, all_due(room, {}, EVENING), CHANGE_DAY, EVENING)
    assert not isinstance(drawn, Problem)
    return demands(room, drawn.draws)[0]


def the_bodies(demand: RecipeDemand) -> tuple[BodyChange, ...]:
    gone = drained(demand.draws)
    found = []
    for body in bodies(example_room(), EVENING):
        own = {tank: gone[tank] for tank in body.tanks if tank in gone}
        if own:
            change = body_change(body, own)
            assert isinstance(change, BodyChange)
            found.append(change)
    return tuple(found)


def reservoirs(keep_back: bool = False) -> tuple[Vessel, ...]:
    found = vessels_of(example_room(), {}, WhatIf(keep_back=keep_back))
    assert not isinstance(found, Problem)
    return found


def a_forecast(
    body: str, per_week: float | None, least: float | None = None, limit: float | None = 35.0
) -> Forecast:
    return Forecast(
        body=body, reading=None, now=None, before_next=None, settles=None, limit=limit,
        production_per_week=None if per_week is None else Amount(per_week, "mg/L", COMPUTED),
        least_fraction=None if least is None else Amount(least, "", COMPUTED),
        crosses_on=date(2027, 4, 1),
    )  # fmt: skip


def the_ways(means: Means | None = None, *forecasts: Forecast) -> dict[str, Choice]:
    demand = the_demand()
    found = choices(demand, reservoirs(), the_bodies(demand), forecasts, means or Means())
    assert not isinstance(found, Problem)
    return {choice.sort: choice for choice in found}


def price_of(choice: Choice, body: str) -> Price:
    return next(price for price in choice.prices if price.body == body)


def test_two_days_of_560_and_359() -> None:
    choice = the_ways()["two-days"]
    assert choice.litres == pytest.approx((560.0, 358.84), abs=0.01), HERE
    assert choice.text.startswith("two days: 560 L and 359 L; in walking order G1 to A2 on day 1")
    # the system is parted by it, and parts add up to less than their sum
    system = price_of(choice, "S")
    assert system.was_fraction == pytest.approx(0.27363, abs=1e-5)
    first = (6 * 64.5 + 2 * 27.3) / 2412
    second = 8 * 27.3 / 2412
    assert system.fraction == pytest.approx(1 - (1 - first) * (1 - second), abs=1e-9)
    assert "S then gets 25.7 % in all, not 27.4 %" in choice.text
    assert price_of(choice, "D1").fraction == pytest.approx(0.30)


def test_one_batch_of_18_3_instead_of_30() -> None:
    choice = the_ways(None, a_forecast("D1", 8.0), a_forecast("S", 7.2))["smaller"]
    assert choice.litres == pytest.approx((560.0,)), HERE
    assert "18.3 % instead of 30 %" in choice.text
    assert not choice.needs_yes
    alone = price_of(choice, "D1")
    assert alone.fraction == pytest.approx(0.183, abs=5e-4)
    assert alone.was_mg_per_l == pytest.approx(26.7, abs=0.05)  # p/f with p 8
    assert alone.settles_mg_per_l == pytest.approx(43.8, abs=0.05)
    system = price_of(choice, "S")
    assert system.tanks_fraction == pytest.approx(0.183, abs=5e-4)
    assert system.fraction == pytest.approx(0.1668, abs=1e-4)
    assert system.settles_mg_per_l == pytest.approx(7.2 / system.fraction)
    unknown = price_of(choice, "D2")
    assert (unknown.settles_mg_per_l, unknown.was_mg_per_l) == (None, None)


def test_a_smaller_batch_says_which_body_it_no_longer_holds() -> None:
    told = the_ways(None, a_forecast("S", 7.2, least=0.267))["smaller"].text
    assert "S needs 26.7 % each time to stay under its limit of 35 mg/L, and would get 16.7 %" in (
        told
    )
    assert "limit" not in the_ways(None, a_forecast("S", 7.2, least=0.1))["smaller"].text
    # usual changes do not hold it either: that is told elsewhere
    assert "limit" not in the_ways(None, a_forecast("S", 7.2, least=0.4))["smaller"].text
    assert "limit" not in the_ways(None, a_forecast("S", None, limit=None))["smaller"].text


def test_the_second_part_of_430_and_then_280() -> None:
    wanted = 660 / 2412
    plain = 1 - (1 - 430 / 2412) * (1 - 230 / 2412)
    assert plain == pytest.approx(0.257, abs=5e-4), HERE
    assert second_part(2412, wanted, 430) == pytest.approx(280, abs=0.5), HERE
    assert second_part(2412, wanted, 660) == 0.0


def test_systems_in_two_parts() -> None:
    choice = the_ways()["parts"]
    one, two = choice.litres
    # D, quarantine and the top-off in full, and four tanks of 64.5 L
    assert one == pytest.approx((126 + 82.08 + 24 + 4 * 64.5) * LOSS), HERE
    first = 4 * 64.5 / 2412
    owed = 2412 * (1 - (1 - 660 / 2412) / (1 - first))
    assert two == pytest.approx(owed * LOSS)
    assert owed > 660 - 4 * 64.5
    assert price_of(choice, "S").fraction == pytest.approx(660 / 2412)
    assert price_of(choice, "S").tanks_fraction is None
    assert "into S the second time 450 L, for with 402 L it would get 25.6 %" in choice.text
    assert not choice.needs_yes


def test_parts_are_not_offered_beyond_the_largest_change() -> None:
    demand = the_demand()
    every = {draw.tank: 0.3 for draw in demand.draws if draw.body == "S"}
    found = ways_out(demand, reservoirs(), the_bodies(demand), (), Means(limits=every))
    assert isinstance(found, WaysOut)
    assert "parts" not in {choice.sort for choice in found.choices}
    note = next(note for note in found.notes if note.rule == "parts")
    assert "33.6 % of G5, and 30 % a day is its most" in note.text


def test_fewer_tanks_of_a_system_go_first_where_the_others_would_have_too_much() -> None:
    """Mass balance: the more of 660 L goes first, the more of each other tank must go second."""
    parts = the_ways(Means(limits={"B5": 0.33}))["parts"]
    assert parts.litres[0] < the_ways()["parts"].litres[0]
    assert price_of(parts, "S").fraction == pytest.approx(660 / 2412)


@pytest.mark.parametrize("litres", [60.0, 60.1, 59.973, 33.333])
def test_one_smaller_batch_takes_all_there_is(litres: float) -> None:
    """What there is over what is wanted, to the microlitres draws are rounded to."""
    draws = draws_of((litres, litres, litres, litres, 4.0))
    total = sum(draw.from_reservoir for draw in draws)
    demand = replace(the_demand(), draws=draws)
    found = choices(demand, (a_vessel("R1", 0.9 * total),), (), ())
    assert not isinstance(found, Problem)
    smaller = next(choice for choice in found if choice.sort == "smaller")
    assert smaller.litres[0] == pytest.approx(0.9 * total, abs=1e-4)


def test_the_keep_back_only_where_it_would_do() -> None:
    demand = the_demand()
    means = Means(with_keep_back=reservoirs(keep_back=True))
    found = ways_out(demand, reservoirs(), the_bodies(demand), (), means)
    assert isinstance(found, WaysOut)
    assert "keep-back" not in {choice.sort for choice in found.choices}
    note = next(note for note in found.notes if note.rule == "keep-back")
    assert "with it there are 660 L, and 919 L are wanted" in note.text
    less = replace(demand, draws=demand.draws[:15])
    assert 560 < sum(draw.from_reservoir for draw in less.draws) < 660
    offered = choices(less, reservoirs(), the_bodies(demand), (), means)
    assert not isinstance(offered, Problem)
    choice = next(each for each in offered if each.sort == "keep-back")
    assert choice.needs_yes
    assert [each.sort for each in offered if each.needs_yes] == ["keep-back"]
    text = "all at once with 92 L of the keep-back; 8.3 L of it stay for an emergency"
    assert choice.text == text


def test_nothing_is_offered_where_there_is_enough() -> None:
    demand = the_demand()
    found = ways_out(demand, (a_vessel("R1", 919.0),), the_bodies(demand), ())
    assert found == WaysOut()


# --- made-up rooms --------------------------------------------------------------------------


def a_demand(*draws: Draw) -> RecipeDemand:
    litres = sum(draw.from_reservoir for draw in draws)
    return RecipeDemand(
        recipe="hard", draws=draws, drained_litres=litres / LOSS, top_off_litres=0.0,
        other_litres=0.0, loss_litres=litres - litres / LOSS, litres=Amount(litres, "L"),
    )  # fmt: skip


def a_body(code: str, tanks: tuple[str, ...], litres: float, sort: str = "alone") -> BodyChange:
    return BodyChange(
        body=code, sort=sort, tanks=tanks, litres=Amount(litres, "L", MEASURED),
        drained_litres=0.0, fraction=Amount(0.0, ""), tanks_fraction=0.0,
    )  # fmt: skip


def offered(demand: RecipeDemand, pool: tuple[Vessel, ...], *of: BodyChange, **means: object
            ) -> WaysOut:  # fmt: skip
    found = ways_out(demand, pool, of, (), Means(**means))  # type: ignore[arg-type]
    assert isinstance(found, WaysOut)
    return found


def sorts(found: WaysOut) -> set[str]:
    return {choice.sort for choice in found.choices}


def said(found: WaysOut, rule: str) -> str:
    return next(note.text for note in found.notes if note.rule == rule)


def test_tanks_alone_have_no_parts() -> None:
    demand = a_demand(*(a_draw(n, 30.0) for n in range(5)))
    found = offered(demand, vessels_of_sizes(100))
    assert sorts(found) == {"two-days", "smaller"}
    assert not found.notes


def test_more_days_than_till_the_next_change() -> None:
    demand = a_demand(*(a_draw(n, 60.0) for n in range(8)))
    found = offered(demand, vessels_of_sizes(100))
    assert sorts(found) == {"smaller"}
    assert "it would take 8" in said(found, "two-days")
    found = offered(a_demand(*(a_draw(n, 60.0) for n in range(7))), vessels_of_sizes(100))
    week = next(choice for choice in found.choices if choice.sort == "two-days")
    assert week.text.startswith("seven days: 100 L, ")
    assert sum(week.litres) == pytest.approx(420.0)


def test_several_reservoirs_make_one_day() -> None:
    demand = a_demand(*(a_draw(n, 50.0) for n in range(6)))
    found = offered(demand, vessels_of_sizes(100, 60))
    days = next(choice for choice in found.choices if choice.sort == "two-days")
    assert len(days.litres) == 2
    smaller = next(choice for choice in found.choices if choice.sort == "smaller")
    # six alike draws go four to two: 100 / 4, and not the 160 / 300 of the litres
    assert smaller.litres[0] <= 160
    assert smaller.litres[0] >= 140


def test_a_named_reservoir_is_what_is_short() -> None:
    demand = a_demand(*(a_draw(n, 30.0, reservoir="R2") for n in range(4)))
    found = offered(demand, vessels_of_sizes(500, 60))
    smaller = next(choice for choice in found.choices if choice.sort == "smaller")
    assert smaller.litres == pytest.approx((60.0,))


def a_system_day(
    alone: float, tank: float, tanks: int
) -> tuple[RecipeDemand, tuple[BodyChange, ...]]:
    system = [
        a_draw(n, tank * 0.3 * LOSS, body="S", fraction=0.3) for n in range(tanks)
    ]  # fmt: skip
    own = [a_draw(tanks, alone, body="D")] if alone else []
    codes = tuple(draw.tank for draw in system)
    return a_demand(*system, *own), (
        a_body("S", codes, tank * tanks * 1.1, "system"), a_body("D", ("D",), alone * 4 or 1.0),
    )  # fmt: skip


def test_parts_where_the_others_leave_nothing() -> None:
    demand, of = a_system_day(alone=95.0, tank=50.0, tanks=4)
    found = offered(demand, vessels_of_sizes(100), *of)
    assert "leave no water" in said(found, "parts")


def test_parts_whose_second_is_more_than_a_fill() -> None:
    demand, of = a_system_day(alone=0.0, tank=100.0, tanks=8)
    found = offered(demand, vessels_of_sizes(100), *of)
    assert "more than a day's fill" in said(found, "parts")


def test_what_is_ready_is_all_there_is() -> None:
    demand = a_demand(*(a_draw(n, 30.0, body="D", fraction=0.3) for n in range(3)))
    assert offered(demand, vessels_of_sizes(100)) == WaysOut()
    found = offered(demand, vessels_of_sizes(100), a_body("D", (), 400.0), ready_litres=70.0)
    days, smaller = found.choices
    assert days.litres == pytest.approx((60.0, 30.0))
    assert smaller.litres == pytest.approx((70.0,))
    nothing = offered(demand, vessels_of_sizes(100), ready_litres=0.0)
    assert [choice.text for choice in nothing.choices] == ["wait for the next fill, 90 L"]
    assert "no water for it" in said(nothing, "smaller")


def test_what_is_ready_and_a_draw_larger_than_a_fill() -> None:
    demand = a_demand(a_draw(0, 250.0), a_draw(1, 30.0))
    found = offered(demand, vessels_of_sizes(100), ready_litres=40.0)
    days = next(choice for choice in found.choices if choice.sort == "two-days")
    assert days.litres == pytest.approx((40.0, 100.0, 100.0, 40.0))


def test_what_is_ready_with_some_of_the_keep_back() -> None:
    demand = a_demand(a_draw(0, 60.0), a_draw(1, 30.0))
    more = (a_vessel("R1", 150.0),)
    found = offered(demand, vessels_of_sizes(100), ready_litres=70.0, with_keep_back=more)
    choice = next(choice for choice in found.choices if choice.sort == "keep-back")
    assert (choice.litres, choice.needs_yes) == ((90.0,), True)
    assert "20 L of the keep-back; 30 L of it stay" in choice.text
    few = (a_vessel("R1", 110.0),)
    found = offered(demand, vessels_of_sizes(100), ready_litres=70.0, with_keep_back=few)
    assert "80 L, and 90 L are wanted" in said(found, "keep-back")


@given(
    litres=st.lists(st.floats(1, 90), min_size=1, max_size=12), most=st.floats(90, 200),
    shared=st.integers(0, 12), ready=st.none() | st.floats(0, 200),
)  # fmt: skip
@settings(deadline=None, max_examples=150)
def test_every_way_out_is_one(
    litres: list[float], most: float, shared: int, ready: float | None
) -> None:
    draws = [
        a_draw(n, each, body="S" if n < shared else f"T{n:03d}", fraction=0.3)
        for n, each in enumerate(litres)
    ]
    of = [a_body("S", tuple(d.tank for d in draws if d.body == "S"), 2000.0, "system")]
    of += [a_body(d.body, (d.tank,), d.litres.value / 0.3) for d in draws if d.body != "S"]
    once = most if ready is None else ready
    found = offered(a_demand(*draws), (a_vessel("R1", most),), *of, ready_litres=ready)
    total = sum(litres)
    if total <= once:
        assert found == WaysOut()
        return
    for choice in found.choices:
        assert all(each >= 0 for each in choice.litres)
        assert all(0 <= price.fraction <= price.was_fraction + 1e-9 for price in choice.prices
                   if price.was_fraction is not None)  # fmt: skip
        assert max(choice.litres) <= max(once, most) + 1e-5
        if choice.sort == "two-days":
            assert sum(choice.litres) == pytest.approx(total)
        if choice.sort == "smaller":
            assert choice.litres[0] <= once + 1e-5
        if choice.sort == "parts":
            assert choice.litres[0] <= once + 1e-5
            assert sum(choice.litres) >= total - 1e-5
            for price in choice.prices:
                assert price.fraction == pytest.approx(price.was_fraction)


@pytest.mark.parametrize(
    ("means", "where"),
    [(Means(ready_litres=-1.0), "ready_litres"), (Means(ready_litres=math.nan), "ready_litres"),
     (Means(every_days=0.0), "every_days"), (Means(limits={"A1": 0.0}), "A1 largest_change"),
     (Means(limits={"A1": 40.0}), "A1 largest_change")],
)  # fmt: skip
def test_means_that_cannot_be(means: Means, where: str) -> None:
    found = choices(a_demand(a_draw(0, 5.0)), vessels_of_sizes(4), (), (), means)
    assert isinstance(found, Problem)
    assert found.where == where


def test_a_water_no_reservoir_can_hold() -> None:
    found = choices(a_demand(a_draw(0, 5.0)), (a_vessel("R2", 9.0, recipes=("soft",)),), (), ())
    assert isinstance(found, Problem)
    assert found.rule == "no-reservoir"
