"""Today by the plan of the weeks: every job on the walk is planned for today or said to wait."""

import pytest

from roomtasks.room.due import all_due
from roomtasks.room.plan_today import plan_today
from tests.room.scene import at
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
