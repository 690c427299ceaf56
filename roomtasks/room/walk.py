"""The walk: what is due today, in the order to go, with minutes.

Order: room checks, then what runs by itself, then by health class and inside a
class by the path of the room, each rack's high shelves in one trip with the
steps; a tank's jobs in the order of one visit. "After" rules have the last
word. Minutes: set-up once for each kind, each job, steps trips, washing
between classes. What a job done today has paid of these is paid for the day.
Which jobs to choose when time is short is in `fit`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from roomtasks.room.apart import leads_of
from roomtasks.room.health import Health
from roomtasks.room.kind import KINDS, Phase
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Pasts
from roomtasks.room.room import Room
from roomtasks.room.targets import class_at

RECORDED_TIMES = 5
AT_WORK = ("done", "partly")
Shared = tuple[str, object]
NONE_PAID: frozenset[Shared] = frozenset()
NO_PASTS: Pasts = {}


@dataclass(frozen=True, slots=True)
class Stop:
    """One due job in the walk. `setup_minutes` is what this stop adds by coming first of its
    kind, `way_minutes` steps and washing before it. `recorded` holds the minutes it was learnt
    from, newest first."""

    due: Due
    minutes: float
    setup_minutes: float = 0.0
    way_minutes: float = 0.0
    recorded: tuple[float, ...] = ()

    @property
    def from_record(self) -> bool:
        """Whether the minutes were learnt from recorded times."""
        return bool(self.recorded)

    @property
    def total_minutes(self) -> float:
        return self.minutes + self.setup_minutes + self.way_minutes


@dataclass(frozen=True, slots=True)
class Walk:
    """The stops in order, the minutes there are, and what is paid for the day already."""

    stops: tuple[Stop, ...]
    minutes_there_are: float
    paid: frozenset[Shared] = NONE_PAID

    @property
    def minutes(self) -> float:
        return sum(stop.total_minutes for stop in self.stops)


Times = Mapping[tuple[str, str], Sequence[float]]


def walk(
    room: Room, dues: Sequence[Due], times: Times, minutes_there_are: float,
    pasts: Pasts = NO_PASTS,
) -> Walk:  # fmt: skip
    """Today's walk out of all occurrences. `times` are recorded minutes, newest first.

    `pasts` tell what was done today already.
    """
    stops = [stop_of(due, times) for due in dues if due.on_walk]
    stops.sort(key=lambda stop: order_key(room, stop.due))
    paid = paid_on(room, pasts, stops[0].due.today) if stops else NONE_PAID
    return Walk(priced(room, _led(room, stops), paid), minutes_there_are, paid)


def stop_of(due: Due, times: Times) -> Stop:
    """One job with its minutes: learnt from recorded times, else as the job says."""
    recorded = tuple(times.get((due.job.code, due.target), ())[:RECORDED_TIMES])
    share = 1.0 if due.owed_fraction is None else due.owed_fraction / (due.fraction or 1.0)
    if recorded:
        return Stop(due, median(recorded) * share, recorded=recorded)
    return Stop(due, due.job.minutes * share)


def order_key(room: Room, due: Due) -> tuple[object, ...]:
    """Where an occurrence comes in the walk, before "after" rules."""
    kind = KINDS[due.job.kind]
    phase = kind.phase
    if phase is not Phase.RACK:
        return (phase, kind.order, due.job.code, due.target)
    if not due.tank:
        rack = next((rack for rack in room.racks if rack.code == due.target), None)
        way = f"{rack.path:06d}{rack.code}" if rack is not None else ""
        return (
            phase, due.health, 0 if way else -1, way, 0, (0, 0), 0, kind.order, due.job.code,
            due.target,
        )  # fmt: skip
    path, code, shelf, place = room.path_of(due.tank)
    newest = 0
    if due.health is Health.QUARANTINE:
        stay = room.stay_in(due.tank, due.today)
        newest = -((due.today - stay.since).days) if stay is not None else 1
    trip = (0 if room.needs_steps(due.tank) else 1, shelf)
    return (
        phase, due.health, newest, f"{path:06d}{code}", 0, trip, place, kind.order, due.job.code,
        due.target,
    )  # fmt: skip


def _led(room: Room, stops: Sequence[Stop]) -> list[Stop]:
    """Move each job that waits behind the last job it waits for."""
    ordered = list(stops)
    waits = _waits(room, ordered)
    for _ in range(len(ordered)):
        at = {stop.due.id: index for index, stop in enumerate(ordered)}
        wrong = next(
            (
                index
                for index, stop in enumerate(ordered)
                if any(at[lead] > index for lead in waits.get(stop.due.id, ()))
            ),
            None,
        )
        if wrong is None:
            break
        stop = ordered.pop(wrong)
        last = max(
            index for index, s in enumerate(ordered) if s.due.id in waits[stop.due.id]
        )  # fmt: skip
        ordered.insert(last + 1, stop)
    return ordered


def _waits(room: Room, stops: Sequence[Stop]) -> dict[str, frozenset[str]]:
    present = [stop.due for stop in stops]
    return {
        due.id: leads
        for due in present
        if due.waits_for and (leads := leads_of(room, due, present))
    }


def priced(
    room: Room, stops: Sequence[Stop], paid: frozenset[Shared] = NONE_PAID
) -> tuple[Stop, ...]:  # fmt: skip
    """Add set-up, washing and steps to the stop that first needs them.

    Each is paid once a day: a kind's set-up, each further health class, each
    rack's high shelves within a class. `paid` is what the day has paid before.
    """
    seen = set(paid)
    found = []
    for stop in stops:
        setup = way = 0.0
        for name, minutes in shared_minutes(room, stop.due):
            if name in seen:
                continue
            if name[0] == "kind":
                setup += minutes
            elif name[0] == "steps" or any(sort == "class" for sort, _ in seen):
                way += minutes
            seen.add(name)
        found.append(replace(stop, setup_minutes=setup, way_minutes=way))
    return tuple(found)


def paid_on(room: Room, pasts: Pasts, day: date) -> frozenset[Shared]:
    """What was set up, washed and climbed for on a day, by the jobs done or partly done on it."""
    return frozenset(
        name
        for (code, target), past in pasts.items()
        if (job := room.job.get(code)) is not None
        and any(
            made is not None and made.day == day and made.outcome in AT_WORK
            for made in (past.done, *past.since)
        )
        for name, _ in _shared(room, job.kind, room.tank_of(target), class_at(room, target, day))
    )


def shared_minutes(room: Room, due: Due) -> list[tuple[Shared, float]]:
    """What a job needs that others may share, with the minutes it costs once."""
    return _shared(room, due.job.kind, due.tank, due.health)


def _shared(
    room: Room, kind: str, tank: str, health: Health | None
) -> list[tuple[Shared, float]]:  # fmt: skip
    needs: list[tuple[Shared, float]] = [
        (("kind", kind), room.setup_minutes.get(kind, 0.0))
    ]  # fmt: skip
    if tank and health is not None:
        needs.append((("class", int(health)), room.setup.hands_minutes))
        if room.needs_steps(tank):
            trip = (room.tank[tank].rack, int(health))
            needs.append((("steps", trip), room.setup.steps_minutes))
    return needs
