"""Where fish can go: each rule by name, at the size they will have when they leave."""

from datetime import date
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.density import Lodger
from roomtasks.room.destination import Answer, Judging, Mover, destinations, split_over
from roomtasks.room.job import Hold
from roomtasks.room.line import LineFacts
from roomtasks.room.planned_move import Rededication
from roomtasks.room.recipe import Recipe
from roomtasks.room.room import Room
from roomtasks.room.stock import Condition, Stay
from roomtasks.room.system import System, ValveTurn
from roomtasks.room.tank import Filter, Tank
from tests.room.scene import at, group, room, tank

NOW = at("2027-03-01T08:00")
LINE = LineFacts(name="line", guard_below_cm=3.0)
ALIKE = LineFacts(name="twin", looks_like="Line; other")


def young(count: int = 40, now_cm: float = 2.5, leaving_cm: float | None = 3.5) -> Mover:
    lodger = Lodger(group="y", line=LINE, count=count, length_cm=now_cm)
    return Mover(now=lodger, leaving_cm=leaving_cm, from_tank="N1")


def here(*tanks: Tank, ripe: bool = True, **facts: Any) -> Room:
    every = (tank("N1", 20.0, role="nursery"), *tanks)
    since = date(2026, 9, 1) if ripe else date(2027, 2, 20)
    base: dict[str, Any] = {
        "groups": (group("y", "N1", 40), *facts.pop("groups", ())),
        "filters": tuple(Filter(code=f"{t.code}-1", tank=t.code, since=since) for t in every),
        "lines": (LINE, ALIKE, LineFacts(name="big", adult_cm=12.0)),
    }  # fmt: skip
    return room(tanks=every, **{**base, **facts})


def asked(room_: Room, mover: Mover | None = None, **facts: Any) -> Answer:
    return destinations(Judging(room=room_, at=NOW, **facts), mover or young())


def rules(answer: Answer, code: str) -> list[str]:
    return [problem.rule for problem in answer.refused.get(code, ())]


def test_a_free_tank_large_enough_will_do() -> None:
    answer = asked(here(tank("D1", 91.0)))
    assert [place.tank for place in answer.whole] == ["D1"]
    assert answer.whole[0].holds == int(91.0 * 0.4 / (0.01 * 3.5**3))
    assert not answer.refused


def test_the_size_on_leaving_counts_not_todays() -> None:
    small = here(tank("D1", 30.0))
    assert asked(small, young(leaving_cm=2.5)).whole[0].tank == "D1"
    answer = asked(small, young(leaving_cm=4.5))
    assert not answer.whole
    assert answer.partly[0].holds == int(30.0 * 0.4 / (0.01 * 4.5**3))


@pytest.mark.parametrize(
    ("facts", "rule"),
    [
        ({"role": "quarantine"}, "kept-apart"),
        ({"role": "hospital"}, "kept-apart"),
        ({"lid": False}, "no-lid"),
        ({"guarded": False}, "outlet"),
        ({"recipe": "soft"}, "other-water"),
    ],
)
def test_what_the_tank_is_like(facts: dict[str, Any], rule: str) -> None:
    answer = asked(here(tank("D1", 91.0, **facts)))
    assert rule in rules(answer, "D1")
    assert not answer.whole


@pytest.mark.parametrize(
    ("facts", "rule"),
    [
        ({"stays": (Stay(code="s", tank="D1", since=date(2027, 2, 20)),)}, "kept-apart"),
        ({"conditions": (Condition(tank="D1", since=date(2027, 2, 1), state="watch"),)},
         "other-class"),
        ({"conditions": (Condition(tank="N1", since=date(2027, 2, 1), state="watch"),)},
         "other-class"),
        ({"ripe": False}, "no-ripe-filter"),
        ({"holds": (Hold(code="h", target="D1", kinds="move", reason="spawning",
                         since=date(2027, 2, 1)),)}, "held"),
        ({"rededications": (Rededication(code="r", tank="D1", began=date(2027, 2, 27),
                                         change_day=date(2027, 2, 27)),)}, "being-made-over"),
        ({"groups": (group("t", "D1", 4, line="twin"),)}, "look-alike"),
        ({"groups": (group("b", "D1", 2, line="big"),)}, "eaten"),
    ],
)  # fmt: skip
def test_what_stands_in_the_way(facts: dict[str, Any], rule: str) -> None:
    answer = asked(here(tank("D1", 91.0), **facts))
    assert rule in rules(answer, "D1")
    assert not answer.whole


def test_temperature_strip_and_moves_to_come() -> None:
    free = here(tank("D1", 91.0))
    far = asked(free, celsius={"N1": 26.0, "D1": 23.9})
    assert rules(far, "D1") == ["temperature"]
    assert asked(free, celsius={"N1": 26.0, "D1": 24.0}).whole
    assert rules(asked(free, to_strip=frozenset({"D1"})), "D1") == ["to-be-stripped"]
    spoken = destinations(Judging(room=free, at=NOW), young(), reserved=["D1"])
    assert rules(spoken, "D1") == ["spoken-for"]
    cold = Lodger(group="y", line=LineFacts(name="line", celsius_from=25.0), count=40,
                  length_cm=2.5)  # fmt: skip
    mover = Mover(now=cold, leaving_cm=3.5, from_tank="N1")
    assert rules(asked(free, mover, celsius={"N1": 25.0, "D1": 24.0}), "D1") == ["temperature"]


def test_a_line_that_needs_a_water_goes_only_there() -> None:
    soft = (Recipe(code="hard"), Recipe(code="soft"))
    both = here(tank("D1", 91.0), tank("D2", 91.0, recipe="soft"), recipes=soft)
    needs = Lodger(group="y", line=LineFacts(name="line", recipe="soft"), count=40, length_cm=2.5)
    answer = asked(both, Mover(now=needs, leaving_cm=3.5, from_tank="N1"))
    assert [place.tank for place in answer.whole] == ["D2"]


def test_ranked_by_need_company_water_and_reach() -> None:
    turns = tuple(
        ValveTurn(tank=code, at=at("2026-01-01T08:00"), system="S", state="open")
        for code in ("N1", "G1")
    )
    answer = asked(
        here(
            tank("D1", 91.0), tank("D2", 91.0, role="breeding"), tank("G1", 91.0),
            tank("D3", 200.0), groups=(group("z", "D3", 5),), valves=turns,
            systems=(System(code="S", name="S", sump_litres=200.0),),
        ),
        lengths={"z": 3.0},
    )  # fmt: skip
    assert [place.tank for place in answer.whole] == ["G1", "D1", "D3", "D2"]
    assert answer.whole[0].remarks == ("no step in water",)
    assert answer.whole[2].beside == ("z",)


def test_split_over_the_fewest_tanks() -> None:
    answer = asked(here(tank("D1", 52.5), tank("D2", 52.5), tank("D3", 26.0)), young(120, 2.5, 3.0))
    assert not answer.whole
    assert answer.split == (("D1", 60), ("D2", 60))
    assert asked(here(tank("D1", 52.5)), young(120, 2.5, 3.0)).split == ()


@given(st.lists(st.integers(0, 60), max_size=7), st.integers(1, 150))
def test_no_split_takes_fewer_tanks(holds: list[int], count: int) -> None:
    pairs = [(f"T{n}", most) for n, most in enumerate(holds)]
    found = split_over(pairs, count)
    fewest = next(
        (
            size
            for size in range(1, len(holds) + 1)
            if any(sum(c) >= count for c in combinations(holds, size))
        ),
        0,
    )
    assert len(found) == fewest
    if found:
        assert sum(share for _, share in found) == count
        assert all(0 <= share <= dict(pairs)[code] for code, share in found)
