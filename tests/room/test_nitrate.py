"""What is known of a body's nitrate: readings, changes, and what is made a week."""

import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED
from roomtasks.room.body import body_of
from roomtasks.room.journal import Reading
from roomtasks.room.nitrate import (
    NITROGEN_IN_PROTEIN,
    Step,
    carried,
    nitrate_from_feed,
    production,
    readings_of,
    source_nitrate,
    steps_of,
)
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import convert
from roomtasks.room.readings import Readings
from roomtasks.room.recipe import Source
from roomtasks.room.room import Room
from tests.room.example_room import at, example_room, shut, with_tank
from tests.room.scene import mark

NOW = at("2027-03-13T08:00")
TODAY = date(2027, 3, 13)
INVENTED = "worked here, invented room"
GEOMETRIC = "geometric dilution C_n = C_0(1-f)^n"


def read(target: str, day: str, value: float, unit: str = "mg/L", hour: str = "07:00") -> Reading:
    when = at(f"{day}T{hour}")
    return Reading(id=int(when.timestamp()), target=target, what="nitrate", value=value, unit=unit,
                   day=date.fromisoformat(day), at=when)  # fmt: skip


def fed(grams: float, *tanks: str) -> Room:
    room = example_room()
    for tank in tanks:
        room = with_tank(room, tank, feed_g_per_day=grams / len(tanks))
    return room


def change(room: Room, target: str, day: str, fraction: float = 0.30) -> tuple[Step, ...]:
    job = "change-system" if target == "S" else "change-d"
    made = mark(job, target, day, day, fraction=fraction)
    return steps_of(body_of(room, "A1" if target == "S" else target, NOW), room, [made], TODAY)


# --- from food ----------------------------------------------------------------------------


def test_food_into_the_system() -> None:
    found = nitrate_from_feed(12.0, 0.45, 2412.0)
    assert found == pytest.approx(7.2, abs=0.05), INVENTED
    gram = nitrate_from_feed(1.0, 0.45, 1000.0)  # a gram of food gives about 0.2 g
    assert isinstance(gram, float)
    assert gram / 7 == pytest.approx(0.2, abs=0.01), INVENTED


def test_nitrogen_as_nitrate_as_published() -> None:
    """The chain's last link, on its own (IUPAC standard atomic weights; mass balance)."""
    assert convert(32.2, "no3_n", "no3") == pytest.approx(142.54, rel=1e-3)
    assert convert(50.0, "no3", "no3_n") == pytest.approx(11.295, rel=2e-4)
    as_ammonia = NITROGEN_IN_PROTEIN * 0.80 * 0.80 * 0.90  # Timmons and Ebeling, from memory
    assert as_ammonia == pytest.approx(0.09216)


@given(
    low=st.floats(0, 1000), more=st.floats(0, 1000), protein=st.floats(0.05, 0.9),
    litres=st.floats(1, 1e5),
)  # fmt: skip
def test_more_food_never_makes_less(low: float, more: float, protein: float, litres: float) -> None:
    little = nitrate_from_feed(low, protein, litres)
    much = nitrate_from_feed(low + more, protein, litres)
    assert isinstance(little, float)
    assert isinstance(much, float)
    assert little <= much


@pytest.mark.parametrize(
    ("feed", "protein", "litres", "where"),
    [
        (-1.0, 0.45, 100.0, "feed_g_per_day"),
        (math.nan, 0.45, 100.0, "feed_g_per_day"),
        (1e308, 0.45, 100.0, "feed_g_per_day"),
        (1.0, 45.0, 100.0, "protein"),
        (1.0, 0.45, 0.0, "volume"),
    ],
)
def test_food_that_cannot_be(feed: float, protein: float, litres: float, where: str) -> None:
    found = nitrate_from_feed(feed, protein, litres)
    assert isinstance(found, Problem)
    assert found.where == where


# --- new water ------------------------------------------------------------------------------


def test_the_source_says_how_old_its_facts_are() -> None:
    found = source_nitrate(example_room(), "hard", TODAY)
    assert (found.value, found.known) == (8.0, MEASURED)
    assert found.source == "measured 28 days ago"


def test_a_blend_is_as_soft_in_nitrate_as_in_hardness() -> None:
    found = source_nitrate(example_room(), "soft", TODAY)
    assert found.value == pytest.approx(8.0 * (1 - 0.593), abs=5e-3), INVENTED  # 59.3 % RO
    assert found.known == COMPUTED


@pytest.mark.parametrize(
    ("sources", "value", "known"),
    [
        ((), 0.0, ASSUMED),
        ((Source(code="tap"),), 0.0, ASSUMED),
        ((Source(code="tap", nitrate_mg_per_l=12.0),), 12.0, ASSUMED),
    ],
)
def test_what_nobody_wrote_is_assumed(
    sources: tuple[Source, ...], value: float, known: str
) -> None:
    found = source_nitrate(replace(example_room(), sources=sources), "hard", TODAY)
    assert (found.value, found.known) == (value, known)
    assert source_nitrate(example_room(), "", TODAY).known == ASSUMED


# --- what was read and changed ----------------------------------------------------------------


def test_a_system_is_read_at_its_sump_or_any_open_tank() -> None:
    room = shut(example_room(), "G3", when=at("2027-03-10T10:00"))
    readings = Readings.of([
        read("S", "2027-03-01", 20.0), read("A4", "2027-03-05", 22.0),
        read("G3", "2027-03-08", 24.0), read("G3", "2027-03-12", 40.0),
        read("D3", "2027-03-12", 99.0), read("S", "2027-03-20", 50.0),
    ])  # fmt: skip
    shared = readings_of(body_of(room, "A1", NOW), room, readings, TODAY)
    assert [test.mg_per_l for test in shared] == [24.0, 22.0, 20.0]
    apart = readings_of(body_of(room, "G3", NOW), room, readings, TODAY)
    assert [test.mg_per_l for test in apart] == [40.0, 24.0, 22.0, 20.0]


def test_a_tank_cut_off_keeps_what_it_shared_and_nothing_after() -> None:
    room = shut(example_room(), "G3", when=at("2027-03-10T10:00"))
    body = body_of(room, "G3", NOW)
    marks = [
        mark("change-system", "S", "2027-03-06", "2027-03-06", fraction=0.30),
        mark("change-system", "S", "2027-03-13", "2027-03-13", fraction=0.30),
    ]
    (step,) = steps_of(body, room, marks, TODAY)
    assert step.day == date(2027, 3, 6)
    assert step.fraction == pytest.approx(0.274, abs=5e-4), INVENTED


def test_nitrogen_readings_are_told_as_nitrate() -> None:
    body = body_of(example_room(), "D3", NOW)
    readings = Readings.of([
        read("D3", "2027-03-10", 10.0, "no3_n"), read("D3", "2027-03-11", 10.0, "shades"),
        read("D3", "2027-03-12", -1.0),
    ])  # fmt: skip
    (found,) = readings_of(body, example_room(), readings, TODAY)
    assert found.mg_per_l == pytest.approx(44.27, abs=0.01)  # IUPAC standard atomic weights


def test_a_change_counts_by_the_fraction_of_the_whole_water() -> None:
    room = example_room()
    (system,) = change(room, "S", "2027-03-06")
    assert system.fraction == pytest.approx(0.274, abs=5e-4), INVENTED
    (alone,) = change(room, "D3", "2027-03-06")
    assert alone.fraction == pytest.approx(0.30)
    body = body_of(room, "A1", NOW)
    hard = mark("change-d", "A3", "2027-03-06", "2027-03-06", fraction=0.80)
    assert steps_of(body, room, [hard], TODAY)[0].fraction == pytest.approx(0.030, abs=5e-4)


def test_only_what_was_done_and_took_water_out_counts() -> None:
    room = example_room()
    body = body_of(room, "A1", NOW)
    marks = [
        mark("change-system", "S", "2027-02-27", "2027-02-27", "left-out"),
        mark("top-off", "S", "2027-03-06", "2027-03-06", litres=24.0),
        mark("change-system", "S", "2027-03-06", "2027-03-06", litres=241.2),
        mark("change-system", "S", "2027-03-20", "2027-03-20", fraction=0.3),
        mark("change-system", "room", "2027-03-06", "2027-03-06", fraction=0.3),
    ]
    (step,) = steps_of(body, room, marks, TODAY)
    assert step.fraction == pytest.approx(0.10)


# --- carried on -------------------------------------------------------------------------------


def test_changes_without_production_are_plain_dilution() -> None:
    steps = [Step(date(2027, 3, day), at(f"2027-03-{day:02}T09:00"), 0.25) for day in (1, 2, 3, 4)]
    left = carried(1.0, date(2027, 3, 1), steps, TODAY, 0.0, 0.0)
    assert left == pytest.approx(0.316406, rel=1e-5), GEOMETRIC
    two = carried(1.0, date(2027, 3, 1), steps[:2], TODAY, 0.0, 0.0)
    assert 1 - two == pytest.approx(0.4375), GEOMETRIC


def test_what_is_made_comes_before_the_change_that_takes_it() -> None:
    steps = [Step(TODAY, NOW, 0.25)]
    assert carried(35.0, date(2027, 3, 6), steps, TODAY, 10.0, 5.0) == pytest.approx(35.0)
    # the steady peak with an impure source: Cs + p/f = 5 + 10/0.25 = 45, and 35 after


@given(
    low=st.floats(0, 50), more=st.floats(0, 50), fraction=st.floats(0, 1), days=st.integers(0, 60)
)
def test_more_made_never_leaves_less(low: float, more: float, fraction: float, days: int) -> None:
    until = date.fromordinal(TODAY.toordinal() + days)
    steps = [Step(TODAY, NOW, fraction)]
    first = date(2027, 3, 1)
    little = carried(20.0, first, steps, until, low, 8.0)
    much = carried(20.0, first, steps, until, low + more, 8.0)
    assert little <= much + 1e-9


# --- production ---------------------------------------------------------------------------------


def test_two_readings_beat_the_food() -> None:
    room = fed(12.0, "G1", "G2")
    body = body_of(room, "A1", NOW)
    tests = readings_of(body, room, Readings.of([
        read("S", "2027-02-27", 30.0), read("S", "2027-03-13", 29.34, hour="07:30"),
    ]), TODAY)  # fmt: skip
    steps = change(room, "S", "2027-03-06", fraction=0.30)
    found = production(body, room, tests, steps, 8.0)
    assert found is not None
    # 8 + (30 + p - 8)(1 - 0.2736) + p = 29.34  ->  p = 3.1
    assert found.value == pytest.approx(3.1, abs=0.05), INVENTED
    assert found.known == COMPUTED
    assert [part.name for part in found.inputs] == [
        "read Sat 27 Feb", "read Sat 13 Mar", "change Sat 6 Mar",
    ]  # fmt: skip


@given(made=st.floats(0, 30), fraction=st.floats(0, 0.9), source=st.floats(0, 15))
def test_what_was_made_is_found_again(made: float, fraction: float, source: float) -> None:
    room = example_room()
    body = body_of(room, "D3", NOW)
    steps = change(room, "D3", "2027-03-06", fraction=fraction)
    first = date(2027, 2, 27)
    end = carried(20.0, first, steps, TODAY, made, source)
    readings = Readings.of([read("D3", "2027-02-27", 20.0), read("D3", "2027-03-13", end)])
    found = production(body, room, readings_of(body, room, readings, TODAY), steps, source)
    if found is not None:  # rounding may put nothing made below nothing
        assert found.value == pytest.approx(made, abs=1e-6)
    else:
        assert made < 1e-6


@pytest.mark.parametrize("days", ["2027-03-10", "2026-12-01"])
def test_readings_too_near_or_too_old_leave_it_to_the_food(days: str) -> None:
    room = fed(12.0, "G1")
    body = body_of(room, "A1", NOW)
    readings = Readings.of([read("S", days, 20.0), read("S", "2027-03-13", 29.0)])
    found = production(body, room, readings_of(body, room, readings, TODAY), (), 8.0)
    assert found is not None
    assert found.value == pytest.approx(7.2, abs=0.05), INVENTED
    assert found.known == ASSUMED


def test_nitrate_lost_without_a_change_leaves_it_to_the_food() -> None:
    room = fed(12.0, "G1")
    body = body_of(room, "A1", NOW)
    readings = Readings.of([read("S", "2027-03-01", 40.0), read("S", "2027-03-13", 20.0)])
    found = production(body, room, readings_of(body, room, readings, TODAY), (), 8.0)
    assert found is not None
    assert found.known == ASSUMED


def test_without_food_or_readings_nothing_is_made_up() -> None:
    room = example_room()
    assert production(body_of(room, "A1", NOW), room, (), (), 8.0) is None
