"""Tanks wanted against tanks there, week by week: held to an independent count, day by day."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.room_full import WEEKS, Want, WhatIf, sentence, weeks_of

MONDAY = date(2027, 3, 1)


def want(
    brood: str, first: int, until: int, tanks: int = 1, kind: str = "grow-out", pair: str = "",
    expected: bool = False, can_sell: bool = False,
) -> Want:  # fmt: skip
    return Want(brood=brood, kind=kind, first=MONDAY + timedelta(days=first), tanks=tanks,
                until=MONDAY + timedelta(days=until), pair=pair, expected=expected,
                can_sell=can_sell)  # fmt: skip


def test_three_broods_and_one_tank_in_five_weeks() -> None:
    wants = [want("a", 36, 90), want("b", 37, 90), want("c", 38, 90)]
    weeks = weeks_of(wants, {"grow-out": 1}, MONDAY)
    assert len(weeks) == WEEKS
    assert [week.free for week in weeks[:6]] == [1, 1, 1, 1, 1, -2]
    assert weeks[5].broods == ("a", "b", "c")
    assert sentence(weeks, MONDAY) == "in 5 weeks 3 broods need 3 grow-out tanks and 1 is there"
    assert sentence(weeks[:5], MONDAY) == ""


def test_levers_say_what_each_gives_back() -> None:
    wants = [
        want("a", 0, 90, tanks=2), want("b", 0, 90, can_sell=True),
        want("c", 0, 90, pair="p", expected=True),
    ]  # fmt: skip
    week = weeks_of(wants, {"grow-out": 2}, MONDAY, 1)[0]
    assert week.free == -2
    assert {(lever.sort, lever.about, lever.gives) for lever in week.levers} == {
        ("keep fewer", "a", 1), ("pair rests", "p", 1), ("sold earlier", "b", 1),
    }  # fmt: skip


def test_what_if_a_pair_rests_or_a_brood_is_sold_in_week_three() -> None:
    wants = [want("a", 0, 90), want("to-come", 20, 90, pair="p", expected=True)]
    usual = weeks_of(wants, {"grow-out": 1}, MONDAY, 6)
    assert [week.free for week in usual] == [0, 0, -1, -1, -1, -1]
    resting = weeks_of(wants, {"grow-out": 1}, MONDAY, 6, WhatIf(rests=frozenset({"p"})))
    assert [week.free for week in resting] == [0] * 6
    sold = weeks_of(wants, {"grow-out": 1}, MONDAY, 6, WhatIf(sold_in={"a": 3}))
    assert [week.free for week in sold] == [0, 0, -1, 0, 0, 0]


def test_a_move_on_in_the_middle_of_a_week_does_not_count_twice() -> None:
    wants = [want("a", 0, 3), want("b", 3, 20)]
    assert [week.wanted for week in weeks_of(wants, {}, MONDAY, 3)] == [1, 1, 1]


made_wants = st.lists(
    st.builds(
        want, st.sampled_from("abcde"), st.integers(-30, 120), st.integers(-30, 200),
        st.integers(1, 4), st.sampled_from(["grow-out", "nursery"]), st.sampled_from(["", "p"]),
        st.booleans(), st.booleans(),
    ),
    max_size=8,
)  # fmt: skip


@given(made_wants, st.booleans(), st.dictionaries(st.sampled_from("abc"), st.integers(0, 16)))
def test_an_independent_count_agrees(wants: list[Want], rests: bool, sold: dict[str, int]) -> None:
    """Every day of 16 weeks counted on its own, from the wants as they were made."""
    pairs = frozenset({"p"}) if rests else frozenset()
    weeks = weeks_of(wants, {"grow-out": 3, "nursery": 1}, MONDAY, WEEKS,
                     WhatIf(rests=pairs, sold_in=sold))  # fmt: skip
    for week in weeks:
        most = 0
        for day in range((week.n - 1) * 7, week.n * 7):
            here = MONDAY + timedelta(days=day)
            count = 0
            for one in wants:
                rested = one.expected and one.pair in pairs
                gone = one.brood in sold and day >= 7 * sold[one.brood]
                if one.kind == week.kind and one.first <= here < one.until and not (rested or gone):
                    count += one.tanks
            most = max(most, count)
        assert week.wanted == most
        assert week.free == {"grow-out": 3, "nursery": 1}[week.kind] - most
        assert bool(week.levers) <= (week.free < 0)
        for lever in week.levers:
            assert 0 < lever.gives <= week.wanted


def test_fish_that_share_a_tank_want_it_once_and_give_it_back_together() -> None:
    """Large ones put to a share that was split off before: one tank, until the last has gone."""
    shared = [
        replace(want("a", 0, 30, can_sell=True), tank="A1"),
        replace(want("a", 0, 60, can_sell=True), tank="A1"),
        replace(want("b", 0, 20, can_sell=True), tank="A2"),
    ]
    weeks = weeks_of(shared, {"grow-out": 1}, MONDAY, 10)
    assert [week.wanted for week in weeks] == [2, 2, 2, 1, 1, 1, 1, 1, 1, 0]
    said = {(lever.about, lever.gives) for lever in weeks[0].levers}
    assert said == {("a", 1), ("b", 1)}
    assert len(weeks[0].levers) == 2
    both = [*shared, replace(want("b", 0, 40), tank="A1")]
    sold = weeks_of(both, {"grow-out": 1}, MONDAY, 10, WhatIf(sold_in={"a": 1}))
    assert [week.wanted for week in sold] == [2, 2, 2, 1, 1, 1, 0, 0, 0, 0]
