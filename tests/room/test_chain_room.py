"""Chains in rooms: what is planned, on which days, what a slip moves, why there is none."""

from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.chain_days import blocks_of, slipped, spread
from roomtasks.room.chain_room import Chain, Wanted, board_of, chain_for, reserved_by
from roomtasks.room.destination import Judging
from roomtasks.room.job import Hold
from roomtasks.room.line import LineFacts
from roomtasks.room.planned_move import PlannedMove
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import Setup
from roomtasks.room.stock import Condition
from roomtasks.room.tank import Filter
from tests.room.scene import at, group, room, tank

NOW = at("2027-03-01T08:00")
SATURDAY = date(2027, 3, 6)
TWINS = tuple(
    LineFacts(name=name, looks_like="; ".join(n for n in "abcdef" if n != name))
    for name in "abcdef"
)


def here(*tanks: Any, setup: dict[str, Any] | None = None, **facts: Any) -> Room:
    since = date(2026, 9, 1)
    found = room(
        tanks=tanks, lines=facts.pop("lines", TWINS),
        filters=tuple(Filter(code=f"{t.code}-1", tank=t.code, since=since) for t in tanks), **facts,
    )  # fmt: skip
    base: dict[str, Any] = {"name": "test", "zone": "Europe/London"}
    kept = {name: getattr(found, name) for name in found.__dataclass_fields__ if name != "setup"}
    return Room(Setup(**{**base, **(setup or {})}), **kept)


def plan(room_: Room, code: str, *to: str, cm: float = 2.0, **facts: Any) -> Chain | Problem:
    lengths = {g.code: cm for g in room_.groups}
    judging = Judging(room=room_, at=NOW, lengths=lengths)
    return chain_for(judging, Wanted(groups=((code, to),), leaving_cm={}, **facts))


def three_link_room(**facts: Any) -> Room:
    """N1 to G2, G2 to G5, G5 sold: worked here, invented room."""
    return here(
        tank("N1", 20.0, role="nursery"), tank("G2", 60.0), tank("G5", 200.0),
        groups=(group("young", "N1", 50, line="a"), group("half", "G2", 60, line="b"),
                group("large", "G5", 30, line="c")), **facts,
    )  # fmt: skip


def ways(chain: Chain | Problem) -> list[tuple[str, str, str]]:
    assert isinstance(chain, Chain), chain
    return [(link.group, link.from_tank, link.to_tank) for link in chain.links]


def test_sold_fish_first_then_each_into_the_tank_before() -> None:
    found = plan(three_link_room(), "young", sold=frozenset({"large"}), cm=2.6)
    assert ways(found) == [("large", "G5", ""), ("half", "G2", "G5"), ("young", "N1", "G2")] or (
        len(ways(found)) == 2
    )
    only = plan(three_link_room(), "young", "G2", sold=frozenset({"large"}), cm=2.6)
    assert ways(only) == [("large", "G5", ""), ("half", "G2", "G5"), ("young", "N1", "G2")]
    assert isinstance(only, Chain)
    assert only.proven


def test_groups_that_stay_and_holds_are_not_moved() -> None:
    kept = plan(three_link_room(), "young", "G2", sold=frozenset({"large"}),
                stay=frozenset({"half"}))  # fmt: skip
    assert isinstance(kept, Problem)
    hold = Hold(code="h", target="N1", kinds="move", reason="watch", since=date(2027, 2, 1))
    held = plan(three_link_room(holds=(hold,)), "young", sold=frozenset({"large"}))
    assert isinstance(held, Problem)


def test_changing_places_takes_the_tub_or_says_which_tub_would_do() -> None:
    tanks = (tank("B1", 60.0), tank("B2", 60.0))
    groups = (group("one", "B1", 4, line="a"), group("two", "B2", 4, line="b"))
    judging = Judging(room=here(*tanks, groups=groups), at=NOW, lengths={"one": 5.0, "two": 5.0})
    swap = Wanted(groups=(("one", ("B2",)), ("two", ("B1",))), leaving_cm={})
    refused = chain_for(judging, swap)
    assert isinstance(refused, Problem)
    assert refused.rule == "no-chain"
    assert "holding tub of 10 L" in refused.remedy
    assert "3 moves on one day" in refused.remedy
    with_tub = here(*tanks, groups=groups, setup={"tub_litres": 25.0})
    found = chain_for(Judging(room=with_tub, at=NOW, lengths={"one": 5.0, "two": 5.0}), swap)
    assert isinstance(found, Chain)
    assert [(x.from_tank, x.to_tank) for x in found.links] in (
        [("B1", "tub"), ("B2", "B1"), ("tub", "B2")], [("B2", "tub"), ("B1", "B2"), ("tub", "B1")],
    )  # fmt: skip
    small = here(*tanks, groups=groups, setup={"tub_litres": 0.9})
    assert isinstance(
        chain_for(Judging(room=small, at=NOW, lengths={"one": 5.0, "two": 5.0}), swap), Problem
    )
    short = here(*tanks, groups=groups, setup={"tub_litres": 25.0, "tub_minutes": 20.0})
    assert isinstance(
        chain_for(Judging(room=short, at=NOW, lengths={"one": 5.0, "two": 5.0}), swap), Problem
    )


@pytest.mark.parametrize(
    ("facts", "remedy"),
    [
        ({"lid": False}, "D1: put a lid on"),
        ({"measured_litres": 9.5}, "split it"),
        ({"role": "quarantine"}, "one free tank of 10 L"),
    ],
)
def test_why_there_is_none_and_the_least_that_would_do(facts: dict[str, Any], remedy: str) -> None:
    big = {"measured_litres": 60.0, **facts}
    found = plan(
        here(tank("N1", 20.0), tank("D1", **{"litres": big.pop("measured_litres"), **big}),
             tank("D2", 9.0), groups=(group("young", "N1", 50, line="a"),)), "young",
    )  # fmt: skip
    assert isinstance(found, Problem)
    assert found.rule == "no-chain"
    assert remedy in found.remedy


def test_the_sale_of_the_fewest_that_would_do() -> None:
    found = plan(three_link_room(), "young", "G2", cm=2.6)
    assert isinstance(found, Problem)
    assert "the 30 of large in G5" in found.remedy


def test_never_between_classes() -> None:
    watch = (Condition(tank="G5", since=date(2027, 2, 1), state="watch"),)
    empty = here(tank("N1", 20.0), tank("G5", 200.0), groups=(group("young", "N1", 50, line="a"),),
                 conditions=watch)  # fmt: skip
    assert isinstance(plan(empty, "young"), Problem)


def test_what_does_not_exist_is_said() -> None:
    assert isinstance(plan(three_link_room(), "nobody"), Problem)
    assert isinstance(plan(three_link_room(), "young", "ZZ"), Problem)


def test_a_room_of_sixty_tanks_is_put_into_a_puzzle() -> None:
    rng = Random(7)
    tanks = tuple(
        tank(f"{'ABCDEF'[n // 10]}{n % 10}", rng.choice([52.5, 91.0, 215.0])) for n in range(60)
    )
    groups = tuple(
        group(f"g{n}", tanks[n].code, rng.randint(5, 60), line="abcdef"[n % 6]) for n in range(57)
    )
    full = here(*tanks, groups=groups)
    judging = Judging(room=full, at=NOW, lengths={g.code: 4.0 for g in groups})
    wanted = Wanted(groups=(("g0", ()),), leaving_cm={})
    assert board_of(judging, wanted).puzzle.tanks == 60
    found = chain_for(judging, wanted)
    assert isinstance(found, Chain)
    assert found.proven


# --- days ------------------------------------------------------------------------------


def test_three_moves_a_day_on_change_days() -> None:
    four = [("G5", ""), ("G2", "G5"), ("N1", "G2"), ("B1", "N1")]
    days = spread(four, date(2027, 3, 1), 3, {}, 5)
    assert days == (SATURDAY, SATURDAY, SATURDAY, SATURDAY + timedelta(days=7))
    soon = spread(four, date(2027, 3, 1), 3, {}, 5, by=date(2027, 3, 8))
    assert soon == (date(2027, 3, 1),) * 3 + (date(2027, 3, 2),)
    busy = spread(four[:2], SATURDAY, 3, {SATURDAY: 2}, None)
    assert busy == (SATURDAY, SATURDAY + timedelta(days=1))


def test_the_tub_holds_moves_together() -> None:
    circle = [("B1", "tub"), ("B2", "B1"), ("tub", "B2")]
    assert blocks_of([("G5", ""), *circle, ("N1", "G2")]) == [1, 3, 1]
    days = spread([("G5", ""), *circle], SATURDAY, 3, {}, None)
    assert days == (SATURDAY,) + (SATURDAY + timedelta(days=1),) * 3
    refused = spread(circle, SATURDAY, 2, {}, None)
    assert isinstance(refused, Problem)
    assert refused.rule == "net-jobs-a-day"
    assert isinstance(spread(circle, SATURDAY, 0, {}, None), Problem)


def _moves(*days: date) -> list[PlannedMove]:
    return [
        PlannedMove(chain="c", n=n, group=f"g{n}", count=5, from_tank=f"T{n}", to_tank=f"T{n - 1}",
                    day=day)
        for n, day in enumerate(days, 1)
    ]  # fmt: skip


def test_a_slip_moves_all_behind_it() -> None:
    week = timedelta(days=7)
    chain = _moves(SATURDAY, SATURDAY, SATURDAY + week)
    found = slipped(chain, 2, SATURDAY + 2 * week, 3, {}, 5)
    assert found == {2: SATURDAY + 2 * week, 3: SATURDAY + 2 * week}
    refused = slipped(chain, 3, SATURDAY - week, 3, {}, 5)
    assert isinstance(refused, Problem)
    assert refused.rule == "chain-order"
    assert isinstance(slipped(chain, 9, SATURDAY, 3, {}, 5), Problem)
    assert reserved_by(chain) == {"T0", "T1", "T2"}


@given(
    st.lists(st.integers(0, 30), min_size=1, max_size=6), st.integers(1, 6), st.integers(0, 40),
    st.integers(1, 4), st.sampled_from([None, 5]),
)  # fmt: skip
def test_after_a_slip_the_order_holds_and_no_day_is_overfull(
    gaps: list[int], n: int, later: int, per_day: int, weekday: int | None
) -> None:
    days = [SATURDAY + timedelta(days=sum(gaps[: i + 1])) for i in range(len(gaps))]
    chain = _moves(*days)
    n = min(n, len(chain))
    found = slipped(chain, n, days[n - 1] + timedelta(days=later), per_day, {}, weekday)
    assert isinstance(found, dict)
    after = [found.get(move.n, move.day) for move in chain]
    assert after == sorted(after)
    moved = list(found.values())
    assert all(moved.count(day) <= per_day for day in moved)
    assert all(day >= move.day for move, day in zip(chain, after, strict=True))


def test_fish_put_together_by_a_chain_are_not_netted_apart_again_in_it() -> None:
    """Two tanks change places: nobody sorts two groups out of one tank; a tub or a third does."""
    lines = (LineFacts(name="a", eats="none"), LineFacts(name="b", eats="none"))
    both = (tank("T1", 100.0), tank("T2", 100.0))
    groups = (group("one", "T1", 5, line="a"), group("two", "T2", 5, line="b"))
    swap = Wanted(groups=(("one", ("T2",)), ("two", ("T1",))), leaving_cm={})

    def planned(room_: Room) -> Chain | Problem:
        return chain_for(Judging(room=room_, at=NOW, lengths={"one": 2.0, "two": 2.0}), swap)

    none = planned(here(*both, groups=groups, lines=lines))
    assert isinstance(none, Problem)
    assert "holding tub" in none.remedy
    tub = planned(here(*both, groups=groups, lines=lines, setup={"tub_litres": 40.0}))
    assert len(ways(tub)) == 3
    third = planned(here(*both, tank("T3", 100.0), groups=groups, lines=lines))
    assert {tanks[1:] for tanks in ways(third)} & {("T1", "T3"), ("T2", "T3")}


def test_a_tank_named_in_vain_is_told_with_what_speaks_against_it_and_another() -> None:
    facts = here(tank("T1", 60.0), tank("T2", 60.0), tank("Q1", 60.0, role="quarantine"),
                 groups=(group("one", "T1", 5, line="a"),))  # fmt: skip
    found = plan(facts, "one", "Q1")
    assert isinstance(found, Problem)
    assert found.what.endswith("; Q1: it is kept for quarantine")
    assert found.remedy == "the least that would do: another tank, as T2"
