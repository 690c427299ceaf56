"""A short day, from one look at the store, and the one act that puts the rest off."""

from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.day_minutes import PLACE, SHORT_DAY
from roomtasks.room.journal import Event, Mark
from roomtasks.room.problem import Problem
from roomtasks.room.short_day import ShortDay, short_day
from roomtasks.store.base import Store
from roomtasks.store.write import Abandon, Writer, act
from roomtasks.work.ahead_view import AheadScene, scene


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortDone:
    """What a short day kept and put off; `act` is None where everything fits."""

    act: int | None
    words: str
    day: ShortDay


def short_day_view(store: Store, now: datetime, minutes: float) -> ShortDay | Problem:
    """Today in so many minutes and where the rest would go; nothing is changed."""
    return _short(scene(store, now), minutes)


def _short(seen: AheadScene | Problem, minutes: float) -> ShortDay | Problem:
    if isinstance(seen, Problem):
        return seen
    return short_day(seen.room, seen.dues, seen.pasts, seen.now, minutes, seen.times)


def take_short_day(store: Store, now: datetime, who: str, minutes: float) -> ShortDone | Problem:
    """Put off what does not fit today, each to its day, in one act; one undo takes it back.

    The day has so many minutes from then on. It is worked out before the store is
    locked, and again under the lock only where something was written since.
    """
    seen = scene(store, now)
    if isinstance(seen, Problem):
        return seen
    found = _short(seen, minutes)
    if isinstance(found, Problem):
        return found
    answer: ShortDone | Problem | None = None
    with act(store, now, seen.today, who, "put-off") as writer:
        newest = scene(store, now)
        if isinstance(newest, Problem) or not newest.same(seen):
            found = _short(newest, minutes)
        if isinstance(found, Problem):
            answer = found
            raise Abandon
        answer = ShortDone(act=None if found.fits else writer.id, words=found.words, day=found)
        if found.fits:
            raise Abandon
        _write(writer, found, now, who)
    if answer is None:
        raise RuntimeError("a short day ended with no answer")
    return answer


def _write(writer: Writer, found: ShortDay, now: datetime, who: str) -> None:
    """A mark for each job that is put off, and the minutes of the day."""
    reason = f"short day of {found.minutes:g} min"
    for each in found.put_off:
        due = each.due
        writer.put("marks", Mark(
            id=writer.next_id("marks"), act=writer.id, job=due.job.code, target=due.target,
            slot=due.slot.day, outcome="put-off", day=due.today, at=now, who=who,
            until=each.until, reason=reason,
        ))  # fmt: skip
    writer.put("events", Event(
        id=writer.next_id("events"), act=writer.id, event=SHORT_DAY, target=PLACE,
        day=found.put_off[0].due.today, at=now, count=int(found.minutes), who=who,
    ))  # fmt: skip
    writer.words = f"{reason}: {found.words}"
