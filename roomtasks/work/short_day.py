"""A short day, from one look at the store, and the one act that puts the rest off."""

from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.problem import Problem
from roomtasks.room.short_day import ShortDay, short_day
from roomtasks.store.base import Store
from roomtasks.work.ahead_view import scene
from roomtasks.work.marking import How, Marked, mark


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortDone:
    """What a short day kept and put off; `act` is None where everything fits."""

    act: int | None
    words: str
    day: ShortDay
    remarks: tuple[str, ...] = ()


def short_day_view(store: Store, now: datetime, minutes: float) -> ShortDay | Problem:
    """Today in so many minutes and where the rest would go; nothing is changed."""
    found = scene(store, now)
    if isinstance(found, Problem):
        return found
    return short_day(found.room, found.dues, found.pasts, now, minutes, found.times)


def take_short_day(store: Store, now: datetime, who: str, minutes: float) -> ShortDone | Problem:
    """Put off what does not fit today, each to its day, in one act; one undo takes it back."""
    found = short_day_view(store, now, minutes)
    if isinstance(found, Problem):
        return found
    if found.fits:
        return ShortDone(act=None, words=found.words, day=found)
    untils = {each.due.id: each.until for each in found.put_off}
    how = How(who=who, untils=untils, reason=f"short day of {minutes:g} min")
    marked = mark(store, now, list(untils), "put-off", how)
    if isinstance(marked, Problem):
        return marked
    return _done(marked, found)


def _done(marked: Marked, found: ShortDay) -> ShortDone:
    return ShortDone(act=marked.act, words=found.words, day=found, remarks=marked.remarks)
