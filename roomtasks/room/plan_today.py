"""Today against the plan of the weeks: what is laid on it, what may wait, what could come forward.

The plan is advice. What is due stays due; this says on which day the plan has it.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from roomtasks.room.ahead_plan import KEEPER, Ahead, PlannedDay, PlannedJob
from roomtasks.room.occurrence import Due


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanToday:
    """The first day of a plan beside today's walk.

    `later` are jobs on the walk that the plan has on a later day, `forward` are
    jobs of later days that fit the minutes left, in the order to take them.
    """

    day: PlannedDay
    later: tuple[PlannedJob, ...]
    forward: tuple[PlannedJob, ...]

    @property
    def free_minutes(self) -> float:
        """Minutes there are that the plan leaves free."""
        return max(0.0, self.day.minutes_there_are - self.day.minutes)


def plan_today(ahead: Ahead, dues: Iterable[Due]) -> PlanToday:
    """Today as the plan has it, by what is on the walk now."""
    first = ahead.days[0]
    here = {job.id for job in first.jobs}
    laid = {job.id: job for job in ahead.jobs if job.n == 0}
    later = tuple(
        laid[due.id]
        for due in dues
        if due.on_walk and due.id not in here and due.id in laid and laid[due.id].by == KEEPER
    )
    waiting = {job.id for job in later}
    free = max(0.0, first.minutes_there_are - first.minutes)
    forward: list[PlannedJob] = []
    for job in first.could:
        if job.n == 0 and job.id not in waiting and job.minutes <= free:
            forward.append(job)
            free -= job.minutes
    return PlanToday(day=first, later=later, forward=tuple(forward))
