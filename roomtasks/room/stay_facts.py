"""What the journal says of a lot kept apart, gathered for the clock of `stay_clock`.

Events of the tank, dose events and courses, medicine kept dissolved, gear and
water shared with other lots, and the days on which somebody looked. Which days
those are comes as an argument, since marks are too many for a picture of the room.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from roomtasks.room.course import Run
from roomtasks.room.course_days import doses_counted, doses_noted, last_day, steps_of
from roomtasks.room.day import day_start
from roomtasks.room.health import Health
from roomtasks.room.journal import Event, Reading
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import (
    Dated,
    Periods,
    SharedWith,
    Span,
    StayFacts,
    StayNow,
    stay_now,
)
from roomtasks.room.stock import Stay
from roomtasks.room.treatment import Level

EXPLAINED = "explained: "
LOOKED, SIGN, NOT_SEEN = "looked", "sign", "not-seen"
BROUGHT_IN = ("arrival", "plant", "snail", "wood", "water")
ARRIVALS = ("put-in", "moved", *BROUGHT_IN)
DEATHS = ("dead", "died")
STRESS = ("power-cut", "chill")
LOOKS = (LOOKED, SIGN, NOT_SEEN, "look", "dead")
CONTACT_ROUNDS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What the store knows beside the room: days looked at by tank, newest temperatures."""

    looked: Mapping[str, frozenset[date]] = field(default_factory=dict)
    readings: tuple[Reading, ...] = ()


def periods_of(room: Room) -> Periods:
    """The keeper's periods."""
    setup = room.setup
    return Periods(
        clear_days=setup.clear_days, clear_days_after_death=setup.clear_days_after_death,
        after_dose_days=setup.after_dose_days, cool_celsius=setup.cool_celsius,
    )  # fmt: skip


def running_stays(room: Room, today: date) -> tuple[Stay, ...]:
    """The stays that are not over, in the order of their codes."""
    found = [
        stay
        for stay in room.stays
        if stay.first_day <= today and (stay.ended is None or today < stay.ended)
    ]
    return tuple(sorted(found, key=lambda stay: stay.code))


def stays_now(room: Room, seen: Seen, today: date) -> tuple[StayNow, ...]:
    """Every running stay as it stands, in the order of their codes.

    A lot that shared a net with another takes over its date, and so on along a
    chain of contacts; dates only grow, so a few rounds settle them.
    """
    running = running_stays(room, today)
    stays = (*running, *died_out(room, running, today))
    facts = {stay.code: facts_of(room, stay, seen, today) for stay in stays}
    periods = periods_of(room)
    found = {stay.code: stay_now(stay, facts[stay.code], today, periods) for stay in stays}
    for _ in range(min(CONTACT_ROUNDS, len(stays))):
        again = {}
        for stay in stays:
            met = _shared(room, stay, found, today)
            shared = replace(facts[stay.code], contacts=met)
            again[stay.code] = stay_now(stay, shared, today, periods)
        if again == found:
            break
        found = again
    return tuple(found[stay.code] for stay in running)


def died_out(room: Room, running: Iterable[Stay], today: date) -> tuple[Stay, ...]:
    """Lots none of which are left: a running one that shared their gear waits for their date."""
    first = min((stay.first_day for stay in running), default=None)
    return tuple(
        stay
        for stay in room.stays
        if stay.ended is not None and not stay.released_to and stay.ended <= today
        and first is not None and stay.ended >= first
    )  # fmt: skip


def facts_of(room: Room, stay: Stay, seen: Seen, today: date) -> StayFacts:
    """What the journal says of one lot, gear and water shared with others left out."""
    events = tuple(_events(room, stay))
    looked: set[date] = {event.day for event in events if event.event in (*LOOKS, *DEATHS)}
    for tank, last in stay.places():
        days = seen.looked.get(tank, frozenset())
        looked |= {day for day in days if last is None or day <= last}
    if stay.ended is not None:  # nobody is left to be looked at
        looked |= {stay.ended + timedelta(days=n) for n in range((today - stay.ended).days + 1)}
    runs = [run for run in room.runs if _of(stay, run.tank, run.since)]
    return StayFacts(
        arrivals=tuple(_dated(event) for event in events if _arrives(room, stay, event)),
        signs=tuple(_dated(event) for event in events if event.event == SIGN),
        deaths=tuple(
            _dated(event)
            for event in events
            if event.event in DEATHS and not event.note.startswith(EXPLAINED)
        ),
        doses=tuple(_doses(room, stay, events, runs, today)),
        courses=tuple(_spans(room, stay, runs)),
        stress=tuple(_stress(room, stay, events, today)),
        looked=frozenset(looked), celsius=_celsius(seen, stay.tank),
    )  # fmt: skip


def _events(room: Room, stay: Stay) -> Iterable[Event]:
    """Events at the lot's tanks while it was there."""
    for tank, left in stay.places():
        last = left or stay.ended
        for event in room.events_at.get(tank, ()):
            if stay.first_day <= event.day and (last is None or event.day <= last):
                yield event


def _of(stay: Stay, tank: str, day: date) -> bool:
    """Whether something at a tank on a day was in this lot's water."""
    if day < stay.first_day or (stay.ended is not None and day > stay.ended):
        return False
    return any(tank == place and (last is None or day <= last) for place, last in stay.places())


def _arrives(room: Room, stay: Stay, event: Event) -> bool:
    """Whether an event put something new into the water: not the lot itself, nor its young."""
    own = {tank for tank, _ in stay.places()}
    if event.event == "put-in":
        return all(brood.group != event.note or brood.tank not in own for brood in room.broods)
    came_from = event.note.rpartition(" from ")[2] if event.event == "moved" else ""
    return event.event in ARRIVALS and came_from not in own


def _dated(event: Event) -> Dated:
    many = f"{event.count} " if event.count else ""
    note = f" ({event.note[:60]})" if event.note and event.event in (SIGN, *STRESS) else ""
    return Dated(day=event.day, words=f"{many}{WORDS.get(event.event, event.event)}{note}")


def _stress(
    room: Room, stay: Stay, events: Iterable[Event], today: date
) -> Iterable[Dated]:  # fmt: skip
    """Power cuts and chills at the lot's tank, its rack or in the whole room."""
    wide = {"room"} | {room.tank[stay.tank].rack} if stay.tank in room.tank else {"room"}
    of_more = (event for place in sorted(wide) for event in room.events_at.get(place, ()))
    for event in (*events, *of_more):
        if event.event in STRESS and event.day >= stay.first_day:
            yield _dated(event)
    for trouble in room.troubles:
        last = today if trouble.ended is None else room.day_at(trouble.ended)
        here = trouble.sort in STRESS and trouble.target in {*wide, stay.tank}
        if here and room.day_at(trouble.began) <= today and last >= stay.first_day:
            yield Dated(day=min(last, today), words=WORDS.get(trouble.sort, trouble.sort))


WORDS = {
    "arrival": "came", "put-in": "put in", "moved": "moved in", "dead": "dead, unexplained",
    "died": "died, unexplained", "sign": "sign of illness", "dose": "dose",
    "power-cut": "power cut",
}  # fmt: skip


def _doses(
    room: Room, stay: Stay, events: Iterable[Event], runs: Iterable[Run], today: date
) -> Iterable[Dated]:  # fmt: skip
    yield from (_dated(event) for event in events if event.event == "dose" and event.day <= today)
    courses = {course.code: course for course in room.courses}
    for run in runs:
        course = courses.get(run.course)
        if course is not None and course.medicine:
            steps = steps_of(room.course_steps, run.course)
            for day in doses_counted(run, steps, doses_noted(room, run), today):
                if _of(stay, run.tank, day):
                    yield Dated(day=day, words=f"dose of {course.name}")
    for level in _kept_up(room, stay):
        last = _while_there(stay, level.tank, level.until)
        yield Dated(day=last or max(today, level.since), words=f"{level.product} in its water")


def _spans(room: Room, stay: Stay, runs: Iterable[Run]) -> Iterable[Span]:
    """Days under medicine: of runs of courses, and of medicine kept dissolved."""
    courses = {course.code: course for course in room.courses}
    for run in runs:
        course = courses.get(run.course)
        if course is not None and course.medicine:
            steps = steps_of(room.course_steps, run.course)
            last = _while_there(stay, run.tank, last_day(run, steps))
            yield Span(first=run.since, last=last, words=f"course {course.name}")
    for level in _kept_up(room, stay):
        last = _while_there(stay, level.tank, level.until)
        yield Span(first=level.since, last=last, words=f"{level.product} in its water")


def _while_there(stay: Stay, tank: str, last: date | None) -> date | None:
    """The last day of something in a tank's water for a lot that may have left that tank."""
    left = max((day for place, day in stay.places() if place == tank and day is not None),
               default=None)  # fmt: skip
    if left is None or tank == stay.tank:
        return last
    return left if last is None else min(last, left)


def _kept_up(room: Room, stay: Stay) -> Iterable[Level]:
    """Medicine the keeper keeps dissolved; what a course keeps up is told by its doses."""
    of_runs = {f"course {run.code}" for run in room.runs}
    for level in room.levels:
        if level.medicine and level.note not in of_runs and _of(stay, level.tank, level.since):
            yield level


def _celsius(seen: Seen, tank: str) -> float | None:
    rows = [row for row in seen.readings if row.target == tank and row.what == "temperature"]
    return max(rows, key=lambda row: (row.at, row.id)).value if rows else None


def _shared(
    room: Room, stay: Stay, found: Mapping[str, StayNow], today: date
) -> tuple[SharedWith, ...]:
    """Gear that came to this lot from another lot, or from a tank ill or under watch; water too."""
    shared = []
    for contact in room.contacts:
        if contact.day > today or not _of(stay, contact.to_tank, contact.day):
            continue
        free = _free_on(room, contact.from_tank, contact.day, stay, found)
        if free is not None:
            shared.append(SharedWith(tank=contact.from_tank, day=contact.day, by=contact.by,
                                     release_on=free))  # fmt: skip
    first = day_start(stay.first_day, room.zone, room.day_starts)
    end = day_start(today + timedelta(days=1), room.zone, room.day_starts)
    for tank in sorted(room.valve.shared_between(stay.tank, first, end)):
        free = _free_on(room, tank, today, stay, found)
        if free is not None:
            shared.append(SharedWith(tank=tank, day=today, by="water", release_on=free))
    return tuple(shared)


def _free_on(
    room: Room, tank: str, day: date, stay: Stay, found: Mapping[str, StayNow]
) -> date | None:
    """The day a tank's own lot is free, or its clear days are over where it is only ill."""
    lots = [
        now.release_on
        for code, now in found.items()
        if code != stay.code and _of(now.stay, tank, day)
    ]
    if lots:
        return max(lots)
    if tank in room.tank and room.health_of(tank, day) in (Health.WATCH, Health.SICK):
        return day + timedelta(days=room.setup.clear_days)
    return None
