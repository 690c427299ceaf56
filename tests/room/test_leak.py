"""Top-off as a leak detector: what is usual, and when it is too much."""

import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import COMPUTED, SET
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.leak import TopOff, top_off_watch
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from tests.room.example_room import at, example_room, with_system
from tests.room.scene import mark

TODAY = date(2027, 3, 13)
INVENTED = "worked here, invented room"


def topped(days_ago: int, litres: float, target: str = "S", outcome: str = "done") -> Mark:
    day = (TODAY - timedelta(days=days_ago)).isoformat()
    return mark("top-off", target, day, day, outcome, litres=litres)


def logged(days_ago: int, litres: float) -> Reading:
    when = at(f"{TODAY - timedelta(days=days_ago)}T06:00")
    return Reading(id=1, target="S", what="top-off", value=litres, day=when.date(), at=when)


def watch(
    marks: Iterable[Mark], *, room: Room | None = None, readings: Iterable[Reading] = (),
    target: str = "S",
) -> TopOff:  # fmt: skip
    return top_off_watch(room or example_room(), target, marks, Readings.of(readings), TODAY)


def usual(found: TopOff) -> float:
    assert found.usual is not None
    return found.usual.value


def test_what_the_facts_say_until_it_is_learnt() -> None:
    found = watch([topped(0, 24.0), topped(7, 24.0)])
    assert usual(found) == pytest.approx(3.4, abs=0.05), INVENTED
    assert found.usual is not None
    assert (found.usual.known, found.usual.inputs[0].value) == (SET, 24.0)
    assert not found.leak


def test_a_weekly_can_and_a_daily_jug_teach_the_same() -> None:
    weekly = watch(topped(days, 24.0) for days in (2, 9, 16, 23, 30))
    daily = watch(topped(days, 24.0 / 7) for days in range(2, 27))
    assert usual(weekly) == usual(daily) == pytest.approx(24.0 / 7)
    assert weekly.usual is not None
    assert (weekly.usual.known, len(weekly.usual.inputs)) == (COMPUTED, 4)


def test_three_entries_are_wanted_before_it_counts_as_learnt() -> None:
    two = watch([topped(16, 50.0), topped(9, 50.0), topped(2, 50.0)])  # the first has no span
    assert two.usual is not None
    assert two.usual.known == SET
    three = watch([topped(23, 50.0), topped(16, 50.0), topped(9, 50.0), topped(2, 50.0)])
    assert usual(three) == pytest.approx(50.0 / 7)


def test_only_the_last_four_weeks_teach() -> None:
    old = [topped(days, 70.0) for days in range(29, 60, 7)]
    recent = [topped(days, 24.0) for days in (2, 9, 16, 23)]
    assert usual(watch([*old, *recent])) == pytest.approx(24.0 / 7, rel=0.01)


def test_one_wild_day_does_not_teach_it() -> None:
    days = [topped(n, 3.4) for n in range(3, 27)]
    assert usual(watch([*days, topped(2, 60.0)])) == pytest.approx(3.4)


def test_twice_the_usual_over_two_days_is_told() -> None:
    days = [topped(n, 3.4) for n in range(2, 27)]
    found = watch([*days, topped(1, 6.0), topped(0, 8.0)])
    assert found.recent is not None
    assert (found.recent.value, found.days, found.leak) == (14.0, 2, True)
    assert found.note is not None
    assert (found.note.about, found.note.sort, found.note.rule) == ("S", "warned", "leak")
    assert found.note.text == (
        "S took 14 L in 2 days where 6.8 L is usual: look for a leak or an open lid"
    )
    below = watch([*days, topped(1, 6.0), topped(0, 7.5)])
    assert (below.leak, below.note) == (False, None)


def test_a_weekly_can_is_no_leak_though_two_days_saw_it_all() -> None:
    found = watch(topped(days, 24.0) for days in (0, 7, 14, 21, 28))
    assert (found.days, found.leak) == (7, False)
    assert watch([topped(0, 48.0), *(topped(days, 24.0) for days in (7, 14, 21, 28))]).leak


def test_an_automatic_top_off_is_watched_by_its_log() -> None:
    quiet = [logged(n, 1.7) for n in range(2, 20) for _ in range(2)]
    assert usual(watch([], readings=quiet)) == pytest.approx(3.4)
    assert watch([], readings=[*quiet, logged(0, 14.0)]).leak


def test_without_facts_or_history_nothing_is_said() -> None:
    room = with_system(example_room(), top_off_litres_per_week=None)
    found = watch([topped(0, 500.0)], room=room)
    assert (found.usual, found.recent, found.leak, found.entries) == (None, None, False, 1)
    known = watch([topped(0, 500.0), topped(1, 500.0), topped(3, 5.0)], room=room)
    assert known.usual is None
    assert not known.leak


def test_a_tank_alone_is_learnt_too() -> None:
    marks = [topped(n, 0.5, "D3") for n in range(2, 20)]
    found = watch([*marks, topped(0, 4.0, "D3"), topped(0, 90.0, "S")], target="D3")
    assert usual(found) == pytest.approx(0.5)
    assert found.leak


def test_what_is_no_top_off_teaches_nothing() -> None:
    days = [topped(n, 3.4) for n in range(2, 27)]
    others = [
        mark("change-system", "S", "2027-03-13", "2027-03-13", litres=660.0),
        topped(0, 50.0, outcome="left-out"),
        replace(topped(0, 50.0), litres=None),
        topped(-3, 50.0),
    ]
    found = watch([*days, *others])
    assert usual(found) == pytest.approx(3.4)
    assert found.recent is None


@pytest.mark.parametrize("litres", [-5.0, math.nan, 1e308])
def test_a_logged_number_that_cannot_be_teaches_nothing(litres: float) -> None:
    days = [topped(n, 3.4) for n in range(2, 27)]
    assert watch(days, readings=[logged(0, litres)]) == watch(days)


def test_nothing_used_as_a_rule_is_not_twice_nothing() -> None:
    room = with_system(example_room(), top_off_litres_per_week=0.0)
    assert not watch([topped(0, 3.0), topped(5, 3.0)], room=room).leak


@given(daily=st.floats(0.1, 50), times=st.floats(0, 6))
def test_the_alarm_comes_at_twice_the_usual(daily: float, times: float) -> None:
    days = [topped(n, daily) for n in range(2, 27)]
    found = watch([*days, topped(0, 2 * daily * times)])
    if abs(times - 2) > 1e-6:
        assert found.leak is (times > 2)


@given(days=st.lists(st.tuples(st.integers(0, 60), st.floats(0, 100)), max_size=40))
def test_the_usual_lies_within_what_was_seen(days: list[tuple[int, float]]) -> None:
    found = watch([topped(ago, litres) for ago, litres in days])
    assert found.usual is not None
    if found.usual.known == COMPUTED:
        rates = [float(rate.value) for rate in found.usual.inputs]
        assert min(rates) <= found.usual.value <= max(rates)
