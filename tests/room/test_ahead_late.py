"""Late jobs that keep their due days: the plan is what the rules will say, and keeps its gaps."""

from datetime import timedelta
from itertools import pairwise

import pytest

from roomtasks.room.ahead_late import SHARE_OF_DAY, LateOnes
from roomtasks.room.job import Job
from tests.room.scene import dues, job, mark, morning, room
from tests.room.weeks_lived import MONDAY, lived, planned

FULL = tuple(
    job(f"full{n}", f"once {MONDAY + timedelta(days=n)}", minutes=60.0) for n in range(3)
)  # fmt: skip


def keeper(every: int, window: str, code: str = "k", minutes: float = 50.0) -> Job:
    return job(code, f"every {every} days keeps-slot", window=window, minutes=minutes)


@pytest.mark.parametrize("late", [1, 2, 3, 5, 8, 12])
@pytest.mark.parametrize(("every", "window"), [(14, "-0/+0"), (14, "-3/+4"), (7, "-3/+3")])
@pytest.mark.parametrize("others", [(), FULL])
def test_a_late_one_is_planned_as_it_will_come_due(
    every: int, window: str, late: int, others: tuple[Job, ...]
) -> None:
    """The next one after it is never planned before it opens, counted from the day it is done."""
    made = room(change_day="none", jobs=(keeper(every, window), *others))
    early, after = (abs(int(part)) for part in window.split("/"))
    done = str(MONDAY - timedelta(days=every + after + late))
    marks = (mark("k", "D3", done, done),)
    plan = planned(made, marks)
    assert lived(made, plan, marks) == []
    days = [one.day for one in plan.jobs if one.job == "k"]
    least = every - early if every == 14 else every - early - after
    assert (days[1] - days[0]).days >= every - early
    assert all((b - a).days >= least - after for a, b in pairwise(days))


def test_many_late_ones_do_not_all_fall_on_this_morning() -> None:
    jobs = tuple(keeper(28, "-1/+1", f"k{n}", 20.0) for n in range(12))
    done = str(MONDAY - timedelta(days=60))
    marks = tuple(mark(one.code, "D3", done, done) for one in jobs)
    made = room(change_day="none", jobs=jobs)
    plan = planned(made, marks)
    assert lived(made, plan, marks) == []
    first = [one.day for one in plan.jobs if one.n == 0]
    assert len(set(first)) == 8  # the days a late one may be made up for, today and a week
    for day in set(first):
        half = SHARE_OF_DAY * made.setup.minutes_on(day)
        assert 20.0 * first.count(day) <= max(half, 40.0)


def test_where_no_day_has_room_the_least_taken_is_chosen() -> None:
    made = room(change_day="none", jobs=(keeper(28, "-1/+1", minutes=500.0),))
    (due,) = dues(made, (), morning("2027-03-01")).values()
    days = [MONDAY + timedelta(days=n) for n in range(3)]
    late = LateOnes(made)
    assert [late.day(due, days) for _ in range(4)] == [*days, days[0]]
