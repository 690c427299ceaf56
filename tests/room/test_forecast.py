"""Where a body's nitrate stands, goes and settles."""

import math
from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, FORECAST, MEASURED, SET, Amount
from roomtasks.room.body import body_of
from roomtasks.room.forecast import catch_up_plan, forecast
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.problem import Problem
from roomtasks.room.readings import NO_READINGS, Readings
from roomtasks.room.room import Room
from roomtasks.room.water import after_change
from roomtasks.room.water_plan import Forecast
from tests.room.example_room import at, example_room, with_tank
from tests.room.scene import mark

NOW = at("2027-03-13T08:00")
TODAY = date(2027, 3, 13)
TAP = Amount(8.0, "mg/L", MEASURED)
INVENTED = "worked here, invented room"
SYSTEM_FRACTION = 660 / 2412


def read(target: str, day: str, value: float) -> Reading:
    when = at(f"{day}T07:00")
    return Reading(id=int(when.timestamp()), target=target, what="nitrate", value=value,
                   unit="mg/L", day=date.fromisoformat(day), at=when)  # fmt: skip


def fed(grams: float, tank: str = "G1", **facts: object) -> Room:
    return with_tank(example_room(), tank, feed_g_per_day=grams, **facts)


def ahead(
    room: Room,
    readings: Iterable[Reading] = (),
    marks: Iterable[Mark] = (),
    *,
    tank: str = "A1",
    next_change: date | None = TODAY,
    fraction: float | None = SYSTEM_FRACTION,
    source: Amount = TAP,
    every_days: float = 7.0,
) -> Forecast:
    found = forecast(
        body_of(room, tank, NOW), room, Readings.of(readings), tuple(marks), TODAY, next_change,
        fraction, source, every_days,
    )  # fmt: skip
    assert isinstance(found, Forecast), found
    return found


def value(amount: Amount | None) -> float:
    assert amount is not None
    return amount.value


# --- the worked numbers ------------------------------------------------------------------


def test_the_system_on_twelve_grams_a_day() -> None:
    found = ahead(fed(12.0))
    assert value(found.production_per_week) == pytest.approx(7.2, abs=0.05), INVENTED
    assert value(found.least_fraction) == pytest.approx(0.267, abs=5e-4), INVENTED
    assert found.limit == 35.0
    assert value(found.settles) < 35.0  # 27.4 % is just enough
    (missed,) = [note for note in found.notes if "missed" in note.text]
    assert "above its limit of 35" in missed.text  # and leaves no room for a missed week


def test_where_regular_changes_settle() -> None:
    source = Amount(5.0, "mg/L", MEASURED)
    grams = 8.0 / 7.2147687 * 12 * 52.5 / 2412  # what makes 8 mg/L a week in D3
    found = ahead(fed(grams, "D3"), tank="D3", fraction=0.30, source=source)
    assert value(found.production_per_week) == pytest.approx(8.0, abs=1e-6)
    assert value(found.settles) == pytest.approx(31.7, abs=0.05), INVENTED
    after = after_change(value(found.settles), 0.30, 5.0)
    assert after == pytest.approx(23.7, abs=0.05), INVENTED


def test_the_steady_peak_as_published() -> None:
    source = Amount(5.0, "mg/L", MEASURED)
    grams = 10.0 / 7.2147687 * 12 * 52.5 / 2412
    found = ahead(fed(grams, "D3"), tank="D3", fraction=0.25, source=source)
    assert value(found.settles) == pytest.approx(45.0, abs=1e-5)  # peak = Cs + p/f


def test_a_fortnights_production_lies_between_fortnightly_changes() -> None:
    weekly, fortnightly = ahead(fed(12.0)), ahead(fed(12.0), every_days=14.0)
    assert value(fortnightly.settles) - 8 == pytest.approx(2 * (value(weekly.settles) - 8))
    assert value(fortnightly.least_fraction) == pytest.approx(2 * value(weekly.least_fraction))


# --- from a reading on ------------------------------------------------------------------------


def test_a_reading_of_today_is_what_it_is() -> None:
    found = ahead(fed(12.0), [read("S", "2027-03-13", 30.0)])
    assert found.now == found.reading
    assert found.now is not None
    assert (found.now.value, found.now.known) == (30.0, MEASURED)
    assert found.now.source == "read Sat 13 Mar (today)"
    assert found.before_next == found.now


def test_an_older_reading_is_carried_through_the_changes_since() -> None:
    done = mark("change-system", "S", "2027-03-06", "2027-03-06", fraction=0.30)
    found = ahead(fed(12.0), [read("S", "2027-03-06", 30.0)], [done],
                  next_change=date(2027, 3, 20))  # fmt: skip
    # 8 + 22 x (1 - 0.2736) = 23.98, and a week's 7.2
    assert value(found.now) == pytest.approx(31.2, abs=0.05), INVENTED
    assert value(found.before_next) == pytest.approx(38.4, abs=0.05), INVENTED
    assert found.now is not None
    assert (found.now.known, found.now.source) == (FORECAST, "read Sat 6 Mar (7 days old)")
    assert [part.name for part in found.now.inputs] == [
        "reading", "made a week", "change Sat 6 Mar", "new water",
    ]  # fmt: skip
    assert found.now.inputs[1].known == ASSUMED


def test_a_change_before_the_reading_is_in_it_already() -> None:
    done = mark("change-system", "S", "2027-03-06", "2027-03-05", fraction=0.30)
    found = ahead(fed(12.0), [read("S", "2027-03-06", 30.0)], [done])
    assert value(found.now) == pytest.approx(30 + 7.2, abs=0.05), INVENTED


def test_the_day_the_limit_is_passed() -> None:
    room = fed(12.0)
    tests = [read("S", "2027-03-13", 30.0)]
    # 5 mg/L at 7.2 a week are 4.9 days: above it on the fifth day
    none = ahead(room, tests, next_change=None)
    assert none.crosses_on == TODAY + timedelta(days=5), INVENTED
    assert ahead(room, tests, next_change=TODAY + timedelta(days=4)).crosses_on is None
    assert ahead(room, tests, next_change=TODAY + timedelta(days=7)).crosses_on == TODAY + (
        timedelta(days=5)
    )
    weak = ahead(room, tests, fraction=0.20)  # settles at 8 + 7.2/0.2 = 44: passed in time
    assert weak.crosses_on is not None
    assert weak.crosses_on > TODAY + timedelta(days=7)
    assert "settle at 44.1 mg/L" in weak.notes[-1].text
    assert "at least 26.7 %" in weak.notes[-1].text


def test_at_the_limit_is_not_above_it() -> None:
    tests = [read("S", "2027-03-13", 35.0)]
    assert ahead(fed(12.0), tests, next_change=None).crosses_on == TODAY + timedelta(days=1)
    assert not ahead(fed(12.0), tests).change_now


def test_only_a_reading_asks_for_a_change_now() -> None:
    room = fed(12.0)
    by_forecast = ahead(room, [read("S", "2027-02-20", 30.0)])
    assert value(by_forecast.now) > 35
    assert (by_forecast.crosses_on, by_forecast.change_now) == (TODAY, False)
    above = [read("S", "2027-03-12", 36.0)]
    assert ahead(room, above).change_now
    done = mark("change-system", "S", "2027-03-13", "2027-03-13", fraction=0.30)
    assert not ahead(room, above, [done]).change_now  # it was done, and brought it down
    little = mark("change-system", "S", "2027-03-13", "2027-03-13", "partly", fraction=0.01)
    assert ahead(room, above, [little]).change_now


def test_what_nothing_tells_is_blank_and_said() -> None:
    empty = ahead(example_room())
    assert (empty.reading, empty.now, empty.before_next, empty.settles) == (None, None, None, None)
    assert (empty.least_fraction, empty.crosses_on, empty.change_now) == (None, None, False)
    assert len(empty.notes) == 2
    read_only = ahead(example_room(), [read("S", "2027-02-20", 30.0)])
    assert value(read_only.now) == 30.0
    assert read_only.before_next is None
    assert "21 days old" in read_only.notes[0].text


def test_water_that_is_itself_above_the_limit_is_said() -> None:
    hard = Amount(40.0, "mg/L", MEASURED)
    found = ahead(fed(1.0), [read("S", "2027-03-13", 30.0)], source=hard)
    assert found.least_fraction is None
    assert any("a full change each time holds" in note.text for note in found.notes)
    assert found.crosses_on is not None


def test_no_limit_is_never_crossed() -> None:
    found = ahead(fed(5.0, "D3"), [read("D3", "2027-03-13", 90.0)], tank="D3", fraction=0.3)
    assert (found.limit, found.crosses_on, found.least_fraction, found.change_now) == (
        None, None, None, False,
    )  # fmt: skip


@given(low=st.floats(0, 40), more=st.floats(0, 40), fraction=st.floats(0.01, 1))
def test_more_food_never_forecasts_less(low: float, more: float, fraction: float) -> None:
    tests = [read("S", "2027-03-06", 20.0)]
    later = TODAY + timedelta(days=7)
    little = ahead(fed(low), tests, fraction=fraction, next_change=later)
    much = ahead(fed(low + more), tests, fraction=fraction, next_change=later)
    for name in ("now", "before_next", "settles"):
        assert value(getattr(little, name)) <= value(getattr(much, name)) + 1e-9
    if little.crosses_on is not None:
        assert much.crosses_on is not None
        assert much.crosses_on <= little.crosses_on


@given(low=st.floats(0.01, 1), more=st.floats(0, 0.99), grams=st.floats(0, 40))
def test_a_larger_change_never_settles_higher(low: float, more: float, grams: float) -> None:
    room = fed(grams)
    small, large = ahead(room, fraction=low), ahead(room, fraction=min(1.0, low + more))
    assert value(large.settles) <= value(small.settles) + 1e-9


@given(grams=st.floats(0.5, 30), extra=st.floats(0, 0.3))
def test_the_least_fraction_holds_the_limit_and_less_does_not(grams: float, extra: float) -> None:
    found = ahead(fed(grams))
    assume(found.least_fraction is not None and 1e-3 < found.least_fraction.value < 0.95)
    least = value(found.least_fraction)
    holds = ahead(fed(grams), fraction=min(1.0, least + extra))
    assert value(holds.settles) <= 35.0 + 1e-6
    assert value(ahead(fed(grams), fraction=least * 0.99).settles) > 35.0


@pytest.mark.parametrize(
    ("fraction", "source", "every_days", "where"),
    [
        (0.0, 8.0, 7.0, "fraction"),
        (-0.3, 8.0, 7.0, "fraction"),
        (30.0, 8.0, 7.0, "fraction"),
        (math.nan, 8.0, 7.0, "fraction"),
        (0.3, -1.0, 7.0, "source_nitrate"),
        (0.3, 1e308, 7.0, "source_nitrate"),
        (0.3, 8.0, 0.0, "every_days"),
        (0.3, 8.0, math.nan, "every_days"),
    ],
)
def test_numbers_that_cannot_be(
    fraction: float, source: float, every_days: float, where: str
) -> None:
    room = fed(12.0)
    found = forecast(body_of(room, "A1", NOW), room, NO_READINGS, (), TODAY, TODAY, fraction,
                     Amount(source, "mg/L", SET), every_days)  # fmt: skip
    assert isinstance(found, Problem)
    assert found.where == where
    assert found.sentence() != f"{where}: "


def test_a_body_without_a_volume_is_refused() -> None:
    room = with_tank(example_room(), "A2", water_cm=50.0)
    body = body_of(room, "A1", NOW)
    found = forecast(body, room, NO_READINGS, (), TODAY, TODAY, 0.3, TAP)
    assert found == body.faults[0]
    assert catch_up_plan(room, body, 0.3, ratio=2.0) == body.faults[0]
