"""A step of a trouble: words, why, caution, when, and whether it was done.

What counts as done is read off what the keeper notes anyway (a reading, a turn
of a valve or pump, battery air) or off a tick: an event at the trouble's place.
Nothing of a step is stored. Does not live here: which steps there are.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.pin import Trouble
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.trouble_clock import Told
from roomtasks.room.trouble_holds import earlier, over_at
from roomtasks.room.why import day_words

TICK = "trouble-step"
DONE, DUE, LATE, TO_COME, GONE_BY = "done", "due", "late", "to-come", "gone-by"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do in a trouble.

    `day` is the room day it is for and `last` the last day it can still be done
    for it, None: until done. `at` is a time it is not to be done before. `left`
    are the places of `places` not done yet; `note_with` is how it is noted.
    `state`: done, due, late
    (past its own day, where it has one), to-come or gone-by.
    """

    code: str
    words: str
    why: str = ""
    caution: str = ""
    day: date
    at: datetime | None = None
    last: date | None = None
    places: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    note_with: str = ""
    state: str = DUE

    @property
    def done(self) -> bool:
        return self.state == DONE

    @property
    def where(self) -> tuple[str, ...]:
        """Places where it is left to do and which its words do not name."""
        named = set(re.findall(r"[\w-]+", self.words))
        return () if self.done else tuple(place for place in self.left if place not in named)

    @property
    def open_now(self) -> bool:
        """Whether it belongs in today's walk."""
        return self.state in (DUE, LATE)


@dataclass(frozen=True)
class Look:
    """What steps are made from: the room, a trouble and an instant, with all that is known."""

    room: Room
    trouble: Trouble
    now: datetime
    told: Told

    @property
    def today(self) -> date:
        return self.room.day_at(self.now)

    @property
    def over(self) -> datetime | None:
        """When the trouble was over, None while it goes on."""
        return over_at(self.trouble, self.now)

    @property
    def readings(self) -> Readings:
        return self.told.readings

    def ticked(self, code: str) -> bool:
        """Whether the keeper ticked a step of this trouble."""
        mine = f"{self.trouble.code} {code}"
        return any(
            event.event == TICK and event.note == mine
            and (event.at is None or not earlier(self.now, event.at))
            for event in self.room.events_at.get(self.trouble.target, ())
        )  # fmt: skip

    def read_since(self, place: str, what: str, since: datetime) -> bool:
        """Whether something was read at a place at or after an instant."""
        return any(
            not earlier(reading.at, since) and not earlier(self.now, reading.at)
            for reading in self.readings.all(place, what)
        )

    def read_on(self, place: str, what: str, first: date, last: date) -> bool:
        """Whether something was read at a place on one of these room days."""
        return any(first <= reading.day <= last for reading in self.readings.all(place, what))

    def seen_since(self, place: str, event: str, since: datetime) -> bool:
        """Whether an event was noted at a place at or after an instant."""
        return any(
            each.event == event and each.at is not None and not earlier(each.at, since)
            and not earlier(self.now, each.at)
            for each in self.room.events_at.get(place, ())
        )  # fmt: skip


def step(
    look: Look, code: str, words: str, why: str = "", caution: str = "", *,
    day: date | None = None, at: datetime | None = None, last: date | None = None,
    places: Iterable[str] = (), done_at: Callable[[str], bool] | None = None, note_with: str = "",
    each_day: bool = False,
) -> Step:  # fmt: skip
    """A step with its state; `done_at` says of a place whether it was done there, else a tick does.

    A tick closes any step. With `each_day` it is due on every day to its last.
    """
    where = tuple(places)
    ticked = look.ticked(code)
    left = () if ticked else tuple(p for p in where if done_at is None or not done_at(p))
    done = ticked or (bool(where) and not left)
    on = day or look.room.day_at(look.trouble.began)
    if each_day and last is not None:
        on = min(max(on, look.today), last)
    return Step(
        code=code, words=words, why=why, caution=caution, day=on, at=at, last=last, places=where,
        left=left, state=_state(look, done, on, at, last),
        note_with=_noted(note_with or f"roomtasks trouble-tick {look.trouble.code} {code}", left),
    )  # fmt: skip


def _noted(words: str, left: tuple[str, ...]) -> str:
    """How it is noted, at the first place where it is left to do."""
    return words.replace("PLACE", left[0]) if left else words


def _state(look: Look, done: bool, day: date, at: datetime | None, last: date | None) -> str:
    today = look.today
    if done:
        return DONE
    if last is not None and today > last:
        return GONE_BY
    if today < day or (at is not None and earlier(look.now, at)):
        return TO_COME
    return LATE if last is not None and today > day else DUE


def step_words(step: Step, most: int | None = None) -> str:
    """A step in a line: what, where it is left to do (so many places named), for which day."""
    named = step.where if most is None else step.where[:most]
    more = len(step.where) - len(named)
    left = f": {', '.join(named)}" + (f" and {more} more" if more else "") if named else ""
    match step.state:
        case "to-come":
            return f"{step.words}{left}, from {day_words(step.day)}"
        case "late":
            return f"{step.words}{left}, was for {day_words(step.day)}"
        case "gone-by":
            return f"{step.words}{left}, its time went by"
    return f"{step.words}{left}"
