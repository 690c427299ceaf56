"""Pages about one thing: a tank and all that is known of it, and the journal.

Both front ends show these. What is due is worked out in `picture`, what may be
done in `marking`; nothing is written here.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.day import day_start, next_day
from roomtasks.room.health import Health
from roomtasks.room.job import Hold
from roomtasks.room.journal import Act, Event, Mark, Reading
from roomtasks.room.naming import day_words
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stock import Group, Stay
from roomtasks.room.system import ValveTurn
from roomtasks.room.tank import Filter, Litres, Tank, litres_of
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.work.picture import picture

NO_TANK = "'roomtasks racks' shows them"


@dataclass(frozen=True)
class TankPage:
    """Everything about one tank at an instant; lists newest first."""

    room: Room
    now: datetime
    today: date
    tank: Tank
    litres: Litres | Problem
    health: Health
    stay: Stay | None
    valve: ValveTurn | None
    groups: tuple[Group, ...]
    filters: tuple[Filter, ...]
    holds: tuple[Hold, ...]
    dues: tuple[Due, ...]
    readings: tuple[Reading, ...]
    events: tuple[Event, ...]
    marks: tuple[Mark, ...]


def tank_page(store: Store, now: datetime, code: str, most: int = 5) -> TankPage | Problem:
    """The page of a tank, with so many of its newest events and marks."""
    with store.reading():
        seen = picture(store, now)
        if isinstance(seen, Problem):
            return seen
        room, tank = seen.room, seen.room.tank.get(code)
        if tank is None:
            return Problem(code, "there is no such tank", NO_TANK)
        filters = tuple(item for item in room.filters if item.tank == code)
        places = [code, *(item.code for item in filters)]
        return TankPage(
            room=room, now=now, today=seen.today, tank=tank, litres=litres_of(tank),
            health=room.health_of(code, seen.today), stay=room.stay_in(code, seen.today),
            valve=room.valve.last(code, now), groups=room.groups_in(code), filters=filters,
            holds=tuple(
                hold
                for place in places
                for hold in room.holds_at.get(place, ())
                if hold.on(seen.today)
            ),
            dues=tuple(sorted(seen.at_tank.get(code, ()), key=lambda due: (due.placed, due.id))),
            readings=tuple(search.readings_at(store, places)),
            events=tuple(search.events_at(store, places, most)),
            marks=tuple(search.marks_at(store, places, most)),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One act of the journal, and the act that took it back."""

    act: Act
    undone_by: int | None


def journal(
    store: Store, *, text: str = "", day: date | None = None, most: int = 20
) -> tuple[Line, ...]:
    """Acts, newest first, whose words or doer hold the text."""
    with store.reading():
        found = search.acts(store, text=text, day=day, most=most)
        undone = search.undone(store, [act.id for act in found])
    return tuple(Line(act, undone.get(act.id)) for act in found)


@dataclass(frozen=True, slots=True)
class Shared:
    """Which systems a tank was open to over a span of room days, and which tanks with it."""

    first: date
    last: date
    systems: tuple[str, ...]
    tanks: tuple[tuple[str, tuple[str, ...]], ...]


def shared_water(
    store: Store, now: datetime, code: str, first: date | None, last: date | None
) -> Shared | Problem:
    """Tanks whose water was one with this one's in the room days first to last, both included.

    Worked out from the valve turns. With no last day it is today; with no
    first day it is the last.
    """
    room = read.room(store)
    if isinstance(room, Problem):
        return room
    if code not in room.tank:
        return Problem(code, "there is no such tank", NO_TANK)
    today = room.day_at(now)
    last = last or max(today, first or today)
    first = first or last
    if first > last:
        return Problem("--from", f"{day_words(first)} comes after {day_words(last)}",
                       "give the earlier day first")  # fmt: skip
    begins = day_start(first, room.zone, room.day_starts)
    ends = day_start(next_day(last, room.zone, room.day_starts), room.zone, room.day_starts)
    if begins < now:
        ends = min(ends, now + timedelta(seconds=1))
    own = room.valve.systems_between(code, begins, ends)
    others = room.valve.shared_between(code, begins, ends)
    return Shared(
        first, last, tuple(sorted(own)),
        tuple(
            (tank.code, tuple(sorted(own & room.valve.systems_between(tank.code, begins, ends))))
            for tank in room.tanks
            if tank.code in others
        ),
    )  # fmt: skip
