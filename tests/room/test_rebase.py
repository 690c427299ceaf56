"""When a job done comes round again, by each of the named ways."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.problem import Problem
from roomtasks.room.rebase import (
    IN_MONTHS_ONLY,
    MOST_DAYS,
    Interval,
    Keeps,
    Unit,
    default_window,
    keeps_fits,
    next_due,
    parse_interval,
    window_fits,
)
from roomtasks.room.recurrence import Rule, first_after, parse_rule
from tests.room.vectors import Row, rows

D = date.fromisoformat
DAYS = st.dates(date(2000, 2, 28), date(2060, 12, 31))
DAY_COUNTS = st.integers(1, MOST_DAYS)
MONTH_COUNTS = st.integers(1, 60)


def interval_of(text: str) -> Interval:
    interval = parse_interval(text)
    assert isinstance(interval, Interval)
    return interval


@pytest.mark.parametrize("row", rows("rebase", "vectors"), ids=lambda row: row["why"])
def test_published_rules(row: Row) -> None:
    due, done = D(row["due"]), D(row["done"])
    if row["keeps"] == "calendar":
        rule = parse_rule("FREQ=DAILY;INTERVAL=7", due)
        assert isinstance(rule, Rule)
        assert first_after(rule, max(due, done)) == D(row["next_due"])
        return
    window_days = row["window_days"]
    found = next_due(
        Keeps(row["keeps"]), due, done, interval_of(row["interval"]), window_days, window_days
    )
    assert found == D(row["next_due"])


# Both sides of every boundary, worked by hand from the rules named in rebase.py.
BOUNDARIES = [
    # keeps, due, done, interval, next due
    (Keeps.FLOATING, "2026-04-15", "2026-04-18", "14 days", "2026-05-02"),
    (Keeps.FLOATING, "2026-01-31", "2026-01-31", "1 month", "2026-02-28"),
    (Keeps.FLOATING, "2028-01-31", "2028-01-31", "1 month", "2028-02-29"),
    (Keeps.MONTH, "2026-04-30", "2026-03-01", "12 months", "2027-04-30"),
    (Keeps.MONTH, "2026-04-30", "2026-03-02", "12 months", "2027-04-30"),
    (Keeps.MONTH, "2026-04-30", "2026-02-28", "12 months", "2027-02-28"),
    (Keeps.MONTH, "2026-04-30", "2026-05-31", "12 months", "2027-04-30"),
    (Keeps.MONTH, "2026-04-30", "2026-06-01", "12 months", "2027-06-30"),
    (Keeps.MONTH, "2026-01-31", "2025-12-01", "6 months", "2026-07-31"),
    (Keeps.MONTH, "2026-12-31", "2027-01-31", "2 months", "2027-02-28"),
    (Keeps.MONTH, "2026-12-31", "2027-02-01", "2 months", "2027-04-30"),
    (Keeps.QUARTER, "2026-09-30", "2026-07-01", "12 months", "2027-09-30"),
    (Keeps.QUARTER, "2026-09-30", "2026-06-30", "12 months", "2027-06-30"),
    (Keeps.QUARTER, "2026-09-30", "2026-06-20", "12 months", "2027-06-30"),
    (Keeps.QUARTER, "2026-09-30", "2026-09-30", "12 months", "2027-09-30"),
    (Keeps.QUARTER, "2026-09-30", "2026-10-01", "12 months", "2027-10-31"),
    (Keeps.QUARTER, "2026-11-30", "2026-09-01", "6 months", "2027-05-31"),
    (Keeps.QUARTER, "2026-11-30", "2026-08-31", "6 months", "2027-02-28"),
    (Keeps.QUARTER, "2027-02-28", "2026-12-01", "12 months", "2028-02-29"),
    (Keeps.QUARTER, "2026-09-15", "2026-06-16", "12 months", "2027-09-15"),
    (Keeps.QUARTER, "2026-09-15", "2026-06-15", "12 months", "2027-06-30"),
    (Keeps.QUARTER, "2026-09-15", "2026-09-16", "12 months", "2027-09-30"),
    (Keeps.DATE, "2026-05-15", "2026-04-15", "12 months", "2027-04-14"),
    (Keeps.DATE, "2026-05-15", "2026-05-15", "12 months", "2027-05-15"),
    (Keeps.DATE, "2026-05-15", "2026-05-16", "12 months", "2027-05-15"),
    (Keeps.DATE, "2026-05-15", "2026-05-20", "12 months", "2027-05-19"),
    (Keeps.DATE, "2026-03-31", "2026-03-01", "12 months", "2027-03-31"),
    (Keeps.DATE, "2026-03-31", "2026-02-28", "12 months", "2027-02-27"),
    (Keeps.DATE, "2029-02-28", "2028-02-29", "12 months", "2029-02-28"),
    (Keeps.DATE, "2026-06-01", "2026-01-01", "12 months", "2026-12-31"),
]


@pytest.mark.parametrize(("keeps", "due", "done", "interval", "expected"), BOUNDARIES)
def test_boundaries(keeps: Keeps, due: str, done: str, interval: str, expected: str) -> None:
    assert next_due(keeps, D(due), D(done), interval_of(interval), 3, 3) == D(expected)


@pytest.mark.parametrize(
    ("days_off", "stands"),
    [(-4, False), (-3, True), (-1, True), (0, True), (1, True), (2, True), (3, False)],
)
def test_slot_window_has_two_sides(days_off: int, stands: bool) -> None:
    due, interval = date(2026, 4, 20), Interval(28, "days")
    done = due + timedelta(days=days_off)
    expected = (due if stands else done) + timedelta(days=28)
    assert next_due(Keeps.SLOT, due, done, interval, 3, 2) == expected


def test_slot_does_not_drift_and_floating_does() -> None:
    due_slot = due_floating = start = date(2026, 4, 7)
    week = Interval(1, "weeks")
    for _ in range(10):
        due_slot = next_due(Keeps.SLOT, due_slot, due_slot + timedelta(days=1), week, 1, 1)
        due_floating = next_due(
            Keeps.FLOATING, due_floating, due_floating + timedelta(days=1), week, 1, 1
        )
    assert due_slot == start + timedelta(days=70)
    assert due_floating == start + timedelta(days=80)


# One tenth, cut to whole days, at most 30 (TM 1-1500-328-23); at least 1 from a week up (own).
@pytest.mark.parametrize(
    ("interval", "days"),
    [
        ("1 day", 0),
        ("3 days", 0),
        ("6 days", 0),
        ("7 days", 1),
        ("1 week", 1),
        ("10 days", 1),
        ("14 days", 1),
        ("19 days", 1),
        ("20 days", 2),
        ("4 weeks", 2),
        ("1 month", 3),
        ("3 months", 9),
        ("9 months", 27),
        ("299 days", 29),
        ("300 days", 30),
        ("310 days", 30),
        ("12 months", 30),
    ],
)
def test_default_window(interval: str, days: int) -> None:
    assert default_window(interval_of(interval)) == (days, days)


@given(st.integers(1, 3660))
def test_default_window_never_meets_the_next_slot(days: int) -> None:
    early, late = default_window(Interval(days, "days"))
    assert window_fits(Interval(days, "days"), early, late) is None


@pytest.mark.parametrize(("early", "late"), [(7, 7), (10, 4), (0, 14), (-1, 0), (0, -1)])
def test_windows_that_meet_are_refused(early: int, late: int) -> None:
    assert isinstance(window_fits(Interval(14, "days"), early, late), Problem)


@given(DAYS, st.integers(-400, 400), DAY_COUNTS, st.integers(0, 30), st.integers(0, 30))
def test_slot_counts_from_due_or_from_done(
    due: date, off: int, count: int, early: int, late: int
) -> None:
    done = due + timedelta(days=off)
    found = next_due(Keeps.SLOT, due, done, Interval(count, "days"), early, late)
    from_due, from_done = due + timedelta(days=count), done + timedelta(days=count)
    assert found == (from_due if due - done <= timedelta(early) and done - due <= timedelta(late)
                     else from_done)  # fmt: skip


@given(st.sampled_from(sorted(IN_MONTHS_ONLY)), DAYS, st.integers(-200, 200), MONTH_COUNTS)
def test_month_ways_move_on_and_never_by_more_than_they_may(
    keeps: Keeps, due: date, off: int, count: int
) -> None:
    done = due + timedelta(days=off)
    found = next_due(keeps, due, done, Interval(count, "months"), 0, 0)
    later_of_both = max(due, done)
    assert found <= Interval(count, "months").after(later_of_both) + timedelta(days=31)
    assert found > min(due, done)


@given(DAYS, MONTH_COUNTS, MONTH_COUNTS)
def test_months_add_up_from_the_first_of_a_month(day: date, one: int, two: int) -> None:
    first = day.replace(day=1)
    together = Interval(one + two, "months").after(first)
    assert Interval(two, "months").after(Interval(one, "months").after(first)) == together
    assert together.day == 1


@given(st.integers(1, 120), st.sampled_from(["days", "weeks", "months"]))
def test_interval_text_goes_both_ways(count: int, unit: Unit) -> None:
    interval = Interval(count, unit)
    assert parse_interval(str(interval)) == interval


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14 days", "14 days"),
        ("14 d", "14 days"),
        ("14d", "14 days"),
        (" 2  W ", "2 weeks"),
        ("1 weeks", "1 week"),
        ("1 day", "1 day"),
        ("3 mo", "3 months"),
        ("1 Month", "1 month"),
    ],
)
def test_intervals_as_people_write_them(text: str, expected: str) -> None:
    assert str(interval_of(text)) == expected


@pytest.mark.parametrize(
    "text",
    ["", "14", "days", "0 days", "-3 days", "1.5 days", "3 m", "2 years", "14 days 2",
     "１４ days", "99999 days", "3661 days", "523 weeks", "123 months", "9" * 5000 + " days"],
)  # fmt: skip
def test_intervals_that_are_refused(text: str) -> None:
    found = parse_interval(text)
    assert isinstance(found, Problem)
    assert found.remedy
    assert len(found.sentence()) < 200


@pytest.mark.parametrize(("count", "unit"), [(0, "days"), (-1, "weeks"), (3661, "days")])
def test_an_interval_out_of_reach_is_a_fault_of_the_program(count: int, unit: Unit) -> None:
    with pytest.raises(ValueError, match="no interval"):
        Interval(count, unit)


@pytest.mark.parametrize("keeps", sorted(IN_MONTHS_ONLY))
def test_month_ways_need_months(keeps: Keeps) -> None:
    refusal = keeps_fits(keeps, Interval(30, "days"))
    assert isinstance(refusal, Problem)
    assert "months" in refusal.remedy
    assert keeps_fits(keeps, Interval(1, "months")) is None
    with pytest.raises(ValueError, match="whole months"):
        next_due(keeps, date(2026, 4, 1), date(2026, 4, 1), Interval(30, "days"), 0, 0)


@pytest.mark.parametrize("keeps", [Keeps.FLOATING, Keeps.SLOT])
def test_the_other_ways_take_any_unit(keeps: Keeps) -> None:
    for unit in ("days", "weeks", "months"):
        assert keeps_fits(keeps, interval_of(f"2 {unit}")) is None
