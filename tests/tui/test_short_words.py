"""A short day before its yes: names of what has no time, in the lines there are."""

import textwrap

import pytest

from roomtasks.room.due import all_due
from roomtasks.room.short_day import ShortDay, short_day
from roomtasks.tui.short_words import short_lines
from tests.room.scene import event, job, morning, room, tank

NOW = morning("2027-03-10")


def short(minutes: float, copies: int = 1) -> ShortDay:
    """Looks; at each of eight tanks a test on its last day, a record three days late; a bagging."""
    there = room(
        tanks=tuple(tank(f"D{n}") for n in range(1, 9)),
        events=(event("sale", "D1", "2027-03-10"),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("bag", "event sale +0", kind="move", where="tank D1", minutes=30.0),
            *(
                job(f"{code}{n}", f"once {day}", name=f"{name} number {n}", kind="test",
                    where="tank D1 D2", minutes=3.0)
                for n in range(copies)
                for code, name, day in (
                    ("late", "Late test", "2027-03-07"), ("last", "Last test", "2027-03-10"),
                )
            ),
        ),
    )  # fmt: skip
    found = short_day(there, all_due(there, {}, NOW), {}, NOW, minutes, {})
    assert isinstance(found, ShortDay), found
    return found


def test_what_has_no_time_is_named_with_its_places_longest_late_first() -> None:
    assert short_lines(short(2)) == (
        "1 job kept: 4 min now, of 2; 5 put off, 5 late then",
        "must-dos 2 min over",
        "no time for 5 that must not slip: Late test number 0 D1 D2 3 days late; "
        "Last test number 0 D1 D2; bag D1 (46 min hold all)",
        "bag at D1: the sale is dated today",
    )


def test_where_only_what_can_wait_is_left_nothing_is_named() -> None:
    lines = short_lines(short(46))
    assert lines == ("6 jobs kept: 46 min now, of 46; 0 put off",)


@pytest.mark.parametrize("copies", [1, 2, 4, 9, 30])
def test_names_go_into_seven_lines_of_60_with_the_question_and_the_others_are_counted(
    copies: int,
) -> None:
    found = short(5, copies)
    text = "; ".join((*short_lines(found), "Do so? 1 yes  0 leaves it"))
    assert len(textwrap.wrap(text, 60)) <= 7
    assert f"no time for {len(found.slipping)} that must not slip" in text
    named = sum(f"number {n} D1" in text for n in range(copies))
    assert (" more" in text) or named == copies
