"""`walk --planned`: today by the plan of the weeks, as text and JSON."""

from roomtasks.cli.ahead_json import job_document
from roomtasks.cli.asked import Document, Scene, figure
from roomtasks.cli.page import Page
from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.naming import job_at
from roomtasks.room.plan_today import PlanToday, plan_today
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.work.ahead_view import planned, scene

DAYS = 14


def planned_for(asked: Scene) -> PlanToday | Problem:
    """Today as the plan of the coming days has it."""
    seen = scene(asked.store, asked.now)
    if isinstance(seen, Problem):
        return seen
    ahead = planned(seen, DAYS)
    return ahead if isinstance(ahead, Problem) else plan_today(ahead, seen.dues)


def planned_document(plan: PlanToday) -> Document:
    """Today by the plan."""
    return {
        "minutes": figure(plan.day.minutes, 3), "minutes_known": "computed",
        "minutes_there_are": figure(plan.day.minutes_there_are, 3),
        "free_minutes": figure(plan.free_minutes, 3),
        "jobs": [job.id for job in plan.day.jobs],
        "overdue": [job.id for job in plan.day.overdue],
        "due_but_planned_later": [job_document(job) for job in plan.later],
        "could_be_pulled_forward": [job_document(job) for job in plan.forward],
    }  # fmt: skip


def write_planned(page: Page, plan: PlanToday) -> None:
    """Today by the plan: overdue, what may wait, what could come forward."""
    page.head(f"Planned for today: {len(plan.day.jobs)} jobs, {plan.day.minutes:.0f} of "
              f"{plan.day.minutes_there_are:.0f} min")  # fmt: skip
    for job in plan.day.overdue:
        page.line(f"overdue: {_words(job)}", hang=4, style="late")
    for job in plan.later:
        page.line(f"may wait: {_words(job)}, planned for {day_words(job.day)}", hang=4)
    for job in plan.forward:
        page.line(f"could come forward: {_words(job)}, {job.minutes:.0f} min, planned for "
                  f"{day_words(job.day)}", hang=4)  # fmt: skip


def _words(job: PlannedJob) -> str:
    return job_at(job.name, job.tank or job.target)
