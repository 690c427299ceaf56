"""Recurrence rules in plain words."""

from datetime import date, datetime

import pytest

from roomtasks.room.recurrence import Rule, describe, parse_rule

MONDAY = date(2026, 4, 6)
NINE = datetime(2026, 4, 6, 9)


def rule_of(text: str, start: date, exdates: tuple[date, ...] = ()) -> Rule:
    rule = parse_rule(text, start, exdates)
    assert isinstance(rule, Rule), rule
    return rule


WORDS = [
    ("FREQ=DAILY", "every day"),
    ("FREQ=DAILY;INTERVAL=2", "every other day"),
    ("FREQ=DAILY;INTERVAL=10", "every 10 days"),
    ("FREQ=DAILY;BYDAY=SA,SU", "every Saturday and Sunday"),
    ("FREQ=WEEKLY", "every Monday"),
    ("FREQ=WEEKLY;BYDAY=SU", "every Sunday"),
    ("FREQ=WEEKLY;BYDAY=FR,MO,WE", "every Monday, Wednesday and Friday"),
    ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU", "every day"),
    ("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", "every other Sunday"),
    ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,TH", "every other week on Tuesday and Thursday"),
    ("FREQ=WEEKLY;INTERVAL=3", "every 3 weeks on Monday"),
    ("FREQ=MONTHLY", "on the 6th"),
    ("FREQ=MONTHLY;BYMONTHDAY=1,15", "on the 1st and 15th"),
    ("FREQ=MONTHLY;BYMONTHDAY=2,3,11,22", "on the 2nd, 3rd, 11th and 22nd"),
    ("FREQ=MONTHLY;BYMONTHDAY=-1", "last day of the month"),
    ("FREQ=MONTHLY;BYMONTHDAY=15,-1", "on the 15th and last day"),
    ("FREQ=MONTHLY;BYMONTHDAY=31", "on the 31st, where there is one"),
    (
        "FREQ=MONTHLY;BYMONTHDAY=28,29,30;BYSETPOS=-1",
        "on the 30th, or the last day of a shorter month",
    ),
    ("FREQ=MONTHLY;BYDAY=1SA", "first Saturday of the month"),
    ("FREQ=MONTHLY;BYDAY=SA;BYSETPOS=1", "first Saturday of the month"),
    ("FREQ=MONTHLY;BYDAY=-1FR", "last Friday of the month"),
    ("FREQ=MONTHLY;BYDAY=-1SU,1SU", "first and last Sunday of the month"),
    ("FREQ=MONTHLY;BYDAY=5SA", "fifth Saturday of the month, where there is one"),
    ("FREQ=MONTHLY;INTERVAL=2;BYDAY=1SA", "first Saturday of every other month"),
    ("FREQ=MONTHLY;INTERVAL=3;BYDAY=1SA", "first Saturday, every 3 months"),
    ("FREQ=MONTHLY;BYDAY=SA", "every Saturday"),
    ("FREQ=YEARLY", "on the 6th of April, each year"),
    ("FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1", "on the 1st of March and September, each year"),
    ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29",
     "on the 29th of February, each year, where there is one"),
    ("FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU", "last Sunday of October, each year"),
    ("FREQ=YEARLY;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA", "every day in January, each year"),
    ("FREQ=YEARLY;INTERVAL=2", "on the 6th of April, every other year"),
    ("FREQ=WEEKLY;COUNT=4", "every Monday, 4 times"),
    ("FREQ=WEEKLY;COUNT=1", "every Monday, once"),
    ("FREQ=WEEKLY;UNTIL=20270101", "every Monday, until 1 January 2027"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), WORDS)
def test_plain_words(text: str, words: str) -> None:
    assert describe(rule_of(text, MONDAY)) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("FREQ=DAILY", "every day at 09:00"),
        ("FREQ=HOURLY;INTERVAL=6", "every 6 hours"),
        ("FREQ=MINUTELY;INTERVAL=2", "every other minute"),
        ("FREQ=WEEKLY;BYDAY=SA;BYHOUR=7;BYMINUTE=30", "every Saturday at 07:30"),
        ("FREQ=DAILY;UNTIL=20270101T120000Z", "every day at 09:00, until 1 January 2027 12:00 UTC"),
        ("FREQ=DAILY;BYHOUR=9,17", "FREQ=DAILY;BYHOUR=9,17"),
        ("FREQ=HOURLY;BYDAY=SA", "FREQ=HOURLY;BYDAY=SA"),
    ],
)
def test_plain_words_with_a_clock(text: str, words: str) -> None:
    assert describe(rule_of(text, NINE)) == words


@pytest.mark.parametrize(
    "text",
    ["FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", "FREQ=YEARLY;BYDAY=20MO", "FREQ=YEARLY;BYYEARDAY=100",
     "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3",
     "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU", "FREQ=DAILY;INTERVAL=2;BYDAY=MO", "FREQ=DAILY;BYMONTH=1",
     "FREQ=MONTHLY;BYMONTHDAY=-2", "FREQ=MONTHLY;BYMONTH=3;BYDAY=1SA",
     "FREQ=MONTHLY;BYDAY=1SA,2SU", "FREQ=WEEKLY;BYMONTH=3"],
)  # fmt: skip
def test_forms_without_words_are_shown_as_they_are(text: str) -> None:
    assert describe(rule_of(text, MONDAY)) == text


def test_days_left_out_are_said() -> None:
    rule = rule_of("FREQ=WEEKLY", MONDAY, (MONDAY,))
    assert describe(rule) == "every Monday, 1 left out"
