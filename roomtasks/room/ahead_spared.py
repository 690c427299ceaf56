"""Big filter jobs keep off the last days before days away, while they have another day in time.

A filter that was cleaned is weaker for some days, and somebody should be there to
see it. Three days, and what comes once a week or oftener being no big job (floss
is washed, not ripened): common practice, no published source.
"""

from collections.abc import Iterable
from datetime import date, timedelta

from roomtasks.room.job import Job
from roomtasks.room.setup import Away
from roomtasks.room.slots import trigger_of
from roomtasks.room.trigger import Every

NO_FILTER_DAYS, SMALL_DAYS = 3, 7


def big_filter_job(job: Job) -> bool:
    """Whether it takes away much of a filter at once."""
    if job.kind not in ("filter", "media"):
        return False
    trigger = trigger_of(job)
    return not isinstance(trigger, Every) or trigger.interval.days > SMALL_DAYS


def last_days_before(first: date) -> tuple[date, ...]:
    """The last days before a first day away on which no big filter job should be done."""
    return tuple(first - timedelta(days=n) for n in range(NO_FILTER_DAYS, 0, -1))


def last_days(spans: Iterable[Away]) -> frozenset[date]:
    """The last days before each of some spans of days away."""
    return frozenset(day for span in spans for day in last_days_before(span.first))
