"""What a short day keeps: never put off, then at its limit, then the best that fits.

Never put off are looks, room checks, pumps, doses and fry, and what makes ready
for an event to come and has no later day. Next come the jobs that must not slip:
late ones, and those whose window ends today. What would be done in one visit with,
or after, a job that is put off goes with it. Common practice, no published source.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from roomtasks.room.ahead_coming import every_day
from roomtasks.room.apart import leads_of
from roomtasks.room.fit import Fitted, fit
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Due, State
from roomtasks.room.room import Room
from roomtasks.room.trigger import AfterEvent
from roomtasks.room.walk import Stop, Walk, priced

FRY = "feed-fry"
READIES = ("treat", "heat", "mix")  # what makes the water of a reservoir ready to use


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The walk that is kept and what is left of it.

    `must` are the ids that are never put off, `limit_minutes` what these take together
    with all that must not slip.
    """

    kept: Walk
    left: tuple[Stop, ...]
    must: frozenset[str]
    must_minutes: float
    limit_minutes: float


def never_put_off(due: Due) -> bool:
    """Whether its kind alone keeps it on a short day: looks, checks, pumps, doses, and fry."""
    return KINDS[due.job.kind].never_cut or due.job.kind == FRY


def must_not_slip(due: Due) -> bool:
    """Whether it is late or on its last day. A daily job is not: it comes again tomorrow."""
    return not every_day(due) and (due.state is State.LATE or due.closes <= due.today)


def event_of(room: Room, due: Due) -> tuple[str, date] | None:
    """The dated event, today or to come, that a job falls due by: its name and day."""
    if not isinstance(due.trigger, AfterEvent):
        return None
    days = {due.slot.day - timedelta(days=offset) for offset in due.trigger.offsets}
    dated = sorted(
        event.day
        for place in {due.target, due.tank or due.target}
        for event in room.events_at.get(place, ())
        if event.event == due.trigger.event and event.day >= due.today and event.day in days
    )
    return (due.trigger.event, dated[0]) if dated else None


def makes_ready(room: Room, due: Due) -> bool:
    """Whether an event to come leans on it and it has no later day."""
    event = event_of(room, due)
    return event is not None and event[1] > due.today and must_not_slip(due)


def choose(room: Room, whole: Walk, minutes: float) -> Chosen:
    """What of the whole walk is kept in so many minutes."""

    def must(due: Due) -> bool:
        return never_put_off(due) or makes_ready(room, due)

    limit = [stop for stop in whole.stops if must(stop.due) or must_not_slip(stop.due)]
    first = fit(room, replace(whole, stops=tuple(limit)), minutes, must)
    ids = frozenset(stop.due.id for stop in first.walk.stops)
    fitted = _filled(room, whole, minutes, lambda due: due.id in ids)
    kept = {stop.due.id for stop in fitted.walk.stops}
    return Chosen(
        kept=fitted.walk, left=tuple(stop for stop in whole.stops if stop.due.id not in kept),
        must=frozenset(stop.due.id for stop in whole.stops if must(stop.due)),
        must_minutes=first.must_minutes,
        limit_minutes=sum(stop.total_minutes for stop in priced(room, limit, whole.paid)),
    )  # fmt: skip


def _filled(room: Room, whole: Walk, minutes: float, stays: Callable[[Due], bool]) -> Fitted:
    """What stays, and the best that fits beside it, none of it without what it leans on."""
    stops = whole.stops
    while True:
        fitted = fit(room, replace(whole, stops=stops), minutes, stays)
        kept = {stop.due.id for stop in fitted.walk.stops}
        left = [stop.due for stop in whole.stops if stop.due.id not in kept]
        alone = {
            stop.due.id
            for stop in fitted.walk.stops
            if not stays(stop.due) and leans_on(room, stop.due, left)
        }
        if not alone:
            return fitted
        stops = tuple(stop for stop in stops if stop.due.id not in alone)


def leans_on(room: Room, due: Due, others: Sequence[Due]) -> frozenset[str]:
    """Which of others it goes with in one visit, has to come after, or has its water from."""
    found = {other.id for other in others} & set(due.mates)
    if due.job.reservoir and due.litres:
        found |= {
            other.id for other in others
            if other.job.kind in READIES and other.target == due.job.reservoir
        }  # fmt: skip
    return leads_of(room, due, others) | found if due.waits_for else frozenset(found)
