"""Today by the plan of the weeks: every job on the walk is planned for today or said to wait."""

from datetime import date

import pytest

from roomtasks.room.ahead_plan import Ahead
from roomtasks.room.due import all_due
from roomtasks.room.journal import Mark
from roomtasks.room.plan_today import plan_today
from roomtasks.room.rack import Shelf
from roomtasks.room.stock import Condition
from tests.room.scene import at, job, mark, room, tank
from tests.room.weeks_lived import a_room, pasts_of, planned


@pytest.mark.parametrize("seed", range(4))
def test_jobs_on_the_walk_are_planned_for_today_or_may_wait(seed: int) -> None:
    made = a_room(seed, jobs=20)
    dues = list(all_due(made, pasts_of(()), at("2027-03-01T08:00")))
    plan = planned(made)
    today = plan_today(plan, dues)
    first = plan.days[0]
    here, later = {job.id for job in first.jobs}, {job.id for job in today.later}
    laid = {job.id for job in plan.jobs if job.n == 0 and job.by == "keeper"}
    assert {due.id for due in dues if due.on_walk} & laid == (
        {due.id for due in dues if due.on_walk} & here | later
    )
    assert all(job.day > first.day for job in today.later)


@pytest.mark.parametrize("seed", range(4))
def test_what_could_come_forward_fits_the_minutes_left_and_is_not_due(seed: int) -> None:
    made = a_room(seed, jobs=20)
    dues = list(all_due(made, pasts_of(()), at("2027-03-01T08:00")))
    plan = planned(made)
    today = plan_today(plan, dues)
    assert sum(job.minutes for job in today.forward) <= today.free_minutes
    assert {job.id for job in today.forward} <= {job.id for job in plan.days[0].could}
    assert not {job.id for job in today.forward} & {job.id for job in today.later}
    assert all(plan.days[0].day in job.may for job in today.forward)


def three_fronts(marks: tuple[Mark, ...]) -> Ahead:
    """Fronts of A1 and A2 to wipe on one day, 4 minutes each, with 10 of set-up."""
    made = room(
        tanks=(tank("A1"), tank("A2"), tank("B1")),
        shelves=(Shelf(rack="A", shelf=1, places=9), Shelf(rack="B", shelf=1, places=9)),
        conditions=(Condition(tank="B1", since=date(2027, 2, 27), state="watch"),),
        jobs=(
            job("wipe", "every 7 days", kind="wipe", where="all tanks", setup_minutes=10.0,
                minutes=4.0, starts=date(2027, 3, 1), window="-0/+0"),
        ),
    )  # fmt: skip
    return planned(made, marks, days=7)


def test_what_today_has_paid_is_not_planned_again() -> None:
    """Ten minutes of set-up were laid on today again for each front that was left."""
    whole = three_fronts(()).days[0]
    assert (whole.minutes, whole.setup_minutes, whole.way_minutes) == (3 * 4 + 10 + 2, 10, 2)
    plan = three_fronts((mark("wipe", "A1", "2027-03-01", "2027-03-01"),))
    first = plan.days[0]
    assert (first.minutes, first.setup_minutes, first.way_minutes) == (2 * 4 + 2, 0, 2)
    assert plan.busiest_minutes == pytest.approx(first.minutes)
    assert plan.bound_minutes <= plan.busiest_minutes
    plan = three_fronts(
        tuple(mark("wipe", name, "2027-03-01", "2027-03-01") for name in ("A1", "A2"))
    )
    assert (plan.days[0].minutes, plan.days[0].way_minutes) == (4 + 2, 2)


def test_yesterday_pays_nothing_of_today() -> None:
    plan = three_fronts((mark("wipe", "A1", "2027-02-28", "2027-02-28"),))
    assert plan.days[0].setup_minutes == 10
    assert plan.busiest_minutes == pytest.approx(max(day.minutes for day in plan.days))
