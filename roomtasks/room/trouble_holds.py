"""What a trouble forbids, and from when until when: days of rest, hours without food, watches.

Read off the troubles sheet, so that a trouble that was entered, ended, corrected
or taken back reaches what is due at once. Days are room days, day 0 the one on
which it was over; hours are real hours. All periods are common practice, no
published source. Does not live here: what to do about it (`trouble_sorts`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from roomtasks.room.job import Job
from roomtasks.room.occurrence import Block
from roomtasks.room.pin import Trouble
from roomtasks.room.room import Room
from roomtasks.room.why import day_words

RULE = "trouble"
FILTER_REST_DAYS = 7
FAST = timedelta(hours=24)
HALF_FOOD_DAYS = 3  # to the last ammonia test
AMMONIA_DAYS = (0, 1, 3)
WATCH_DAYS = 14
FILTER_KINDS, FOOD_KINDS = frozenset({"filter", "media"}), frozenset({"feed", "feed-fry"})
GOES_ON_WITH_FISH = frozenset({"look", "dose", "move", "feed", "feed-fry", "check"})
WORDS = {
    "power-cut": "power cut", "pump": "pump failed", "heater": "heater failed", "leak": "leak",
    "outbreak": "outbreak", "reservoir": "reservoir not ready",
}  # fmt: skip
_ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a job is done: its target, and the tank that is or hangs in, "" where none."""

    target: str
    tank: str


def earlier(one: datetime, other: datetime) -> bool:
    """Whether one instant is before another, by real time and not by the clock on the wall."""
    return one.astimezone(UTC) < other.astimezone(UTC)


def began_by(trouble: Trouble, now: datetime) -> bool:
    """Whether it had begun at an instant."""
    return not earlier(now, trouble.began)


def over_at(trouble: Trouble, now: datetime) -> datetime | None:
    """When it was over, None while it goes on at an instant."""
    ended = trouble.ended
    return None if ended is None or earlier(now, ended) else ended


def since_words(room: Room, trouble: Trouble, now: datetime) -> str:
    """What went wrong and when, as "power cut of Wed 17 Mar 02:10, over 09:40"."""
    began = trouble.began.astimezone(room.zone)
    ended = over_at(trouble, now)
    where = "" if trouble.target == "room" else f" at {trouble.target}"
    words = f"{WORDS[trouble.sort]}{where}"
    if ended is None:
        return f"{words} since {day_words(began.date())} {began:%H:%M}, not over"
    there = ended.astimezone(room.zone)
    day = "" if there.date() == began.date() else f"{day_words(there.date())} "
    return f"{words} of {day_words(began.date())} {began:%H:%M}, over {day}{there:%H:%M}"


def reaches(room: Room, trouble: Trouble, place: Place, now: datetime) -> bool:
    """Whether a place is in the trouble: itself, its tank, rack or system, or the whole room.

    A tank counts as on a system when it was open to it at any time while it lasted.
    """
    where = trouble.target
    if where in ("room", place.target, place.tank):
        return True
    if not place.tank or place.tank not in room.tank:
        return False
    if where in room.system:
        end = over_at(trouble, now) or max(now, trouble.began)
        shared = room.valve.systems_between(
            place.tank, trouble.began, end + timedelta(seconds=1)
        )  # fmt: skip
        return where in shared
    return where == room.tank[place.tank].rack and where not in room.tank


def blocks_of(room: Room, job: Job, place: Place, now: datetime) -> tuple[Block, ...]:
    """Days on which troubles forbid a job at a place; no last day while one goes on."""
    found = []
    for trouble in room.troubles:
        if not began_by(trouble, now):
            continue
        days = _days(room, trouble, job, place, now)
        if days is not None and reaches(room, trouble, place, now):
            why = since_words(room, trouble, now)
            found.append(Block(days[0], days[1], f"{_said(trouble, job)}: {why}", RULE))
    return tuple(found)


def _days(
    room: Room, trouble: Trouble, job: Job, place: Place, now: datetime
) -> tuple[date, date | None] | None:
    """First and last day forbidden, None where the trouble does not forbid this kind of job."""
    if not _forbids(room, trouble, job, place):
        return None
    first = room.day_at(trouble.began)
    ended = over_at(trouble, now)
    if ended is None:
        return first, None
    over = room.day_at(ended)
    if trouble.sort == "power-cut" and job.kind in FILTER_KINDS:
        return first, over + timedelta(days=FILTER_REST_DAYS - 1)
    if trouble.sort == "power-cut":
        last = room.day_at(food_again(room, ended)) - _ONE_DAY
    else:
        last = over - _ONE_DAY
    return (first, last) if first <= last else None


def _forbids(room: Room, trouble: Trouble, job: Job, place: Place) -> bool:
    match trouble.sort:
        case "power-cut" | "pump":
            return job.kind in FILTER_KINDS or job.kind in FOOD_KINDS
        case "leak":
            with_fish = bool(place.tank) and room.lived_in(place.tank)
            return not (with_fish and job.kind in GOES_ON_WITH_FISH)
        case _:
            return False


def _said(trouble: Trouble, job: Job) -> str:
    if trouble.sort == "leak":
        return "the tank is off until it is repaired"
    if job.kind in FOOD_KINDS:
        return "no food" if trouble.sort == "pump" else "no food until 24 h after the power is back"
    if trouble.sort == "pump":
        return "its sponges carry the tank now"
    return f"filters rest {FILTER_REST_DAYS} days after it"


def food_again(room: Room, ended: datetime) -> datetime:
    """When fish may be fed again: 24 real hours after the power came back."""
    return (ended.astimezone(UTC) + FAST).astimezone(room.zone)


def opens_after(room: Room, job: Job, place: Place, now: datetime) -> datetime | None:
    """On the day food may be given again: the time it may be, while that is still to come."""
    if job.kind not in FOOD_KINDS:
        return None
    times = []
    for trouble in room.troubles:
        ended = over_at(trouble, now)
        if trouble.sort != "power-cut" or ended is None or not reaches(room, trouble, place, now):
            continue
        again = food_again(room, ended)
        if earlier(now, again) and room.day_at(again) == room.day_at(now):
            times.append(again)
    return max(times, default=None)


def remarks_of(room: Room, job: Job, place: Place, now: datetime) -> Iterator[str]:
    """What a recent trouble says about a job that may be done: half the food, what to look for."""
    today = room.day_at(now)
    for trouble in room.troubles:
        ended = over_at(trouble, now)
        if ended is None or not reaches(room, trouble, place, now):
            continue
        if trouble.sort == "power-cut" and job.kind in FOOD_KINDS:
            last = room.day_at(ended) + timedelta(days=HALF_FOOD_DAYS)
            if today <= last:
                yield f"half the usual food to {day_words(last)} (after the power cut)"
        if trouble.sort == "heater" and job.kind == "look":
            last = watch_ends(room, ended)
            if today <= last:
                yield f"look for white spot, to {day_words(last)} (heater failed)"


def watch_ends(room: Room, ended: datetime) -> date:
    """The last day of the watch after a heater failed."""
    return room.day_at(ended) + timedelta(days=WATCH_DAYS)


def leaks_now(room: Room, tank: str, now: datetime) -> Trouble | None:
    """The leak a tank has at an instant, so that no fish go into it."""
    return next(
        (
            trouble
            for trouble in room.troubles
            if trouble.sort == "leak"
            and trouble.target == tank
            and began_by(trouble, now)
            and over_at(trouble, now) is None
        ),
        None,
    )
