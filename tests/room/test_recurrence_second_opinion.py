"""The days of random rules, against the whole iteration and against a hand count.

Two references: dateutil read from the rule's text and iterated from its start,
and `days_by_hand`, which uses no library at all.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from itertools import islice, takewhile
from random import Random

import pytest
from dateutil import rrule

from roomtasks.room import recurrence
from roomtasks.room.clock_rules import clock_times
from roomtasks.room.recurrence import (
    Rule,
    between,
    first_after,
    first_on_or_after,
    last_on_or_before,
    parse_rule,
)
from tests.room.random_rules import days_by_hand, random_rule

MIDNIGHT = time()
YEARS = 14


def whole_iteration(text: str, start: date, last: date) -> list[date]:
    """dateutil's own reading of the text, walked from the start."""
    engine = rrule.rrulestr(text, dtstart=datetime.combine(start, MIDNIGHT))
    days: Iterator[date] = (moment.date() for moment in engine)
    return list(takewhile(lambda day: day <= last, days))


def rules_of(seed: int, how_many: int) -> list[tuple[str, date]]:
    rnd = Random(seed)
    return [random_rule(rnd) for _ in range(how_many)]


def hold(rule: Rule, known: list[date], last: date, rnd: Random) -> None:
    """All four questions, on days before, at and after the rule's days."""
    asked = [rule.start - timedelta(days=40), rule.start, last - timedelta(days=1)]
    asked += [rnd.choice(known) + timedelta(days=rnd.randrange(-2, 3)) for _ in range(8) if known]
    asked += [
        rule.start + timedelta(days=rnd.randrange((last - rule.start).days)) for _ in range(5)
    ]
    for day in asked:
        at, past = bisect_left(known, day), bisect_right(known, day)
        says = (rule.text, rule.start, day)
        if at < len(known):
            assert first_on_or_after(rule, day) == known[at], says
        if past < len(known):
            assert first_after(rule, day) == known[past], says
        assert last_on_or_before(rule, day) == (known[past - 1] if past else None), says
        end = min(day + timedelta(days=400), last)
        assert between(rule, day, end) == known[at : bisect_right(known, end)], says


@pytest.mark.parametrize("seed", range(6))
def test_anchored_is_the_whole_iteration(seed: int) -> None:
    rnd, falls = Random(seed), 0
    for text, start in rules_of(seed, 100):
        rule = parse_rule(text, start)
        # dateutil's own week numbers are wrong at the turn of some years.
        if isinstance(rule, Rule) and "BYWEEKNO" not in text:
            last = start + timedelta(days=365 * YEARS)
            known = whole_iteration(text, start, last)
            falls += bool(known)
            hold(rule, known, last, rnd)
    assert falls > 70


@pytest.mark.parametrize("seed", range(100, 106))
def test_anchored_is_the_count_by_hand(seed: int) -> None:
    rnd, silent = Random(seed), 0
    for text, start in rules_of(seed, 40):
        rule = parse_rule(text, start)
        last = start + timedelta(days=365 * 8)
        known = days_by_hand(text, start, last)
        if isinstance(rule, Rule):
            hold(rule, known, last, rnd)
        else:
            silent += 1
            assert "never falls" in rule.what, rule.sentence()
            assert known == [], (text, start)
    assert silent < 15


@pytest.mark.parametrize(
    ("text", "start"),
    [
        # Plain and numbered weekdays together: dateutil would ask for both at once.
        ("FREQ=MONTHLY;BYDAY=MO,1TU", date(2026, 1, 1)),
        ("FREQ=MONTHLY;BYDAY=SA,-1SU,2SU", date(2026, 1, 1)),
        ("FREQ=YEARLY;BYDAY=WE,1TU", date(2026, 1, 1)),
        ("FREQ=YEARLY;BYMONTH=3,5;BYDAY=FR,-1TU", date(2026, 1, 1)),
        # A week number alone: the weekday comes from the start.
        ("FREQ=YEARLY;BYWEEKNO=20", date(2026, 1, 7)),
        ("FREQ=YEARLY;BYWEEKNO=1,53;WKST=SU", date(2026, 1, 3)),
        # Week 6 of the first year is before the start.
        ("FREQ=YEARLY;BYWEEKNO=6,20", date(2026, 2, 20)),
        ("FREQ=YEARLY;BYWEEKNO=6,20;BYSETPOS=2", date(2026, 2, 20)),
        # The forms that go wrong where a rule is moved without care.
        ("FREQ=MONTHLY", date(2004, 1, 31)),
        ("FREQ=MONTHLY;INTERVAL=5", date(2004, 1, 31)),
        ("FREQ=YEARLY", date(2004, 2, 29)),
        ("FREQ=YEARLY;INTERVAL=3", date(2004, 2, 29)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=SU", date(2004, 8, 5)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=MO", date(2004, 8, 5)),
        ("FREQ=DAILY;INTERVAL=9;BYMONTH=3", date(2004, 8, 5)),
        ("FREQ=MONTHLY;BYMONTHDAY=28,29,30;BYSETPOS=-1", date(2004, 8, 5)),
    ],
)
def test_named_forms_by_hand(text: str, start: date) -> None:
    rule = parse_rule(text, start)
    assert isinstance(rule, Rule)
    last = start + timedelta(days=365 * 20)
    known = days_by_hand(text, start, last)
    assert len(known) > 1
    hold(rule, known, last, Random(1))


def test_a_first_week_cut_short_counts_from_the_start() -> None:
    # The start is a Wednesday: its own week has only Wednesday and Friday to pick from.
    text, start = "FREQ=WEEKLY;BYDAY=MO,WE,FR;BYSETPOS=1", date(2026, 4, 8)
    rule = parse_rule(text, start)
    assert isinstance(rule, Rule)
    assert between(rule, start, date(2026, 4, 30)) == [
        date(2026, 4, 8), date(2026, 4, 13), date(2026, 4, 20), date(2026, 4, 27),
    ]  # fmt: skip
    assert first_on_or_after(rule, date(2026, 4, 14)) == date(2026, 4, 20)


@pytest.mark.parametrize("exdate_at", [0, 1, 5])
def test_days_left_out_are_passed_over(exdate_at: int) -> None:
    whole = days_by_hand("FREQ=WEEKLY", date(2026, 4, 6), date(2026, 7, 1))
    gone = whole[exdate_at]
    rule = parse_rule("FREQ=WEEKLY", date(2026, 4, 6), (gone,))
    assert isinstance(rule, Rule)
    assert between(rule, whole[0], whole[-1]) == [day for day in whole if day != gone]
    assert first_on_or_after(rule, gone) == whole[exdate_at + 1]
    assert last_on_or_before(rule, gone) == (whole[exdate_at - 1] if exdate_at else None)


def test_days_left_out_still_count() -> None:
    rule = parse_rule("FREQ=DAILY;COUNT=3", date(2026, 4, 6), (date(2026, 4, 7),))
    assert isinstance(rule, Rule)
    assert between(rule, date(2026, 1, 1), date(2027, 1, 1)) == [date(2026, 4, 6), date(2026, 4, 8)]
    assert first_after(rule, date(2026, 4, 8)) is None


@pytest.mark.parametrize("form", ["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,TH", "FREQ=MONTHLY"])
def test_age_costs_nothing(form: str, monkeypatch: pytest.MonkeyPatch) -> None:
    made = 0
    engine = recurrence._engine

    def counting(rule: Rule, period: int, years_on: int = 0) -> Iterator[datetime]:
        nonlocal made
        for moment in engine(rule, period, years_on):
            made += 1
            yield moment

    monkeypatch.setattr(recurrence, "_engine", counting)
    for start in (date(2026, 1, 1), date(1926, 1, 1)):
        made = 0
        rule = parse_rule(form, start)
        assert isinstance(rule, Rule)
        assert first_on_or_after.__wrapped__(rule, date(2026, 11, 25)) is not None
        assert last_on_or_before.__wrapped__(rule, date(2026, 11, 25)) is not None
        assert made <= 12, (form, start, made)


def first_before(moments: Iterable[datetime], last: datetime) -> list[datetime]:
    return list(islice(takewhile(lambda moment: moment < last, moments), 30))


def _random_clock_rule(rnd: Random) -> tuple[str, datetime]:
    freq = rnd.choice(["HOURLY", "MINUTELY", "SECONDLY"])
    parts = [f"FREQ={freq}", f"INTERVAL={rnd.choice([1, 2, 3, 5, 6, 7, 24, 36, 90, 1000])}"]
    choices: dict[str, list[int] | list[str]] = {
        "BYMONTH": [1, 3, 6], "BYDAY": ["MO", "WE", "SU"], "BYMONTHDAY": [1, 15, -1],
        "BYYEARDAY": [60, 200, -1], "BYHOUR": [0, 3, 9, 23], "BYMINUTE": [0, 20, 59],
        "BYSECOND": [0, 30],
    }  # fmt: skip
    for name in rnd.sample(sorted(choices), rnd.randrange(0, 4)):
        values = [str(value) for value in choices[name]]
        parts.append(f"{name}=" + ",".join(rnd.sample(values, rnd.randrange(1, len(values) + 1))))
    if freq != "SECONDLY" and "BYSECOND" in parts[-1] and rnd.random() < 0.5:
        parts.append("BYSETPOS=-1")
    start = datetime(2026, 1, 1) + timedelta(seconds=rnd.randrange(40_000_000))
    return ";".join(parts), start


@pytest.mark.parametrize("seed", range(4))
def test_rules_finer_than_a_day_are_the_whole_iteration(seed: int) -> None:
    rnd, held = Random(seed), 0
    for _ in range(20):
        text, start = _random_clock_rule(rnd)
        rule = parse_rule(text, start)
        if isinstance(rule, Rule):
            last = start + timedelta(days=200)
            expected = first_before(rrule.rrulestr(text, dtstart=start), last)
            assert first_before(clock_times(rule), last) == expected, (text, start)
            held += bool(expected)
    assert held > 10
