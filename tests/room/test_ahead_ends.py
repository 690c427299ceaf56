"""A job planned early comes round once more: it is in the plan where it would be late there."""

from dataclasses import replace
from datetime import timedelta

import pytest

from roomtasks.room.room import Room
from roomtasks.room.setup import WEEKDAYS
from tests.room.scene import job, room
from tests.room.weeks_lived import MONDAY, lived, planned


def mondays_only(late: int) -> Room:
    """A job of Thursday that may be done from Monday on, the only day with minutes."""
    wipe = job("wipe", "every 7 days", kind="wipe", window=f"-3/+{late}",
               starts=MONDAY + timedelta(days=3), minutes=10.0)  # fmt: skip
    made = room(change_day="none", jobs=(wipe,))
    idle = {f"{day}_minutes": 0 for day in WEEKDAYS[1:]}
    return replace(made, setup=replace(made.setup, **idle))  # type: ignore[arg-type]


@pytest.mark.parametrize(("late", "days", "starts"), [(0, 10, [0, 7]), (2, 10, [0]), (0, 8, [0])])
def test_what_would_be_late_before_the_end_is_planned(
    late: int, days: int, starts: list[int]
) -> None:
    made = mondays_only(late)
    plan = planned(made, days=days)
    assert [(job.day - MONDAY).days for job in plan.jobs] == starts
    assert (plan.over_minutes, plan.over_bound_minutes) == (0.0, 0.0)
    assert [job.n for job in plan.jobs] == list(range(len(starts)))
    assert lived(made, plan) == []
    again = planned(made, days=days, last=plan)
    assert [job.day for job in again.jobs] == [job.day for job in plan.jobs]
