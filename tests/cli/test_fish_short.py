"""The one line on weeks that are short of tanks."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.cli.fish_short import weeks_line
from roomtasks.room.room_full import Week
from roomtasks.work.brood_view import BroodsView

TODAY = date(2027, 3, 6)
EMPTY = BroodsView(
    today=TODAY, now=datetime(2027, 3, 6, 8), broods=(), closed=(), origins={}, moves=(),
    make_overs=(), weeks=(), wants=(), untold=(), says="",
)  # fmt: skip


def week(n: int, wanted: int, there: int, kind: str = "grow-out") -> Week:
    return Week(n=n, first=TODAY + timedelta(weeks=n - 1), kind=kind, wanted=wanted, there=there,
                broods=())  # fmt: skip


def test_weeks_that_are_short_are_one_line() -> None:
    weeks = (week(1, 4, 3), week(1, 3, 2, "nursery"), week(2, 4, 3), week(3, 1, 3))
    assert weeks_line(replace(EMPTY, weeks=weeks)) == (
        "Short of tanks, wanted of there, by week from: grow-out: this week 4 of 3, "
        "Sat 13 Mar 4 of 3; nursery: this week 3 of 2."
    )


def test_no_week_short_is_said_with_how_far_it_was_looked() -> None:
    weeks = (week(1, 1, 3), week(2, 3, 3))
    assert weeks_line(replace(EMPTY, weeks=weeks)) == "No week is short of tanks, 2 weeks ahead."
