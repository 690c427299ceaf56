"""What a list of the fish kept apart needs in one look: lots, takers of an arrival, valves.

Beside the view of `stay_view`: when each tank was last looked at, the release
lines for a destination that was named, tanks that could take an arrival with the
first rule against each, and every shut valve with what stands against opening it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from roomtasks.room.arrival import arrival_refusals
from roomtasks.room.isolation import opening_refusals, owners_changed
from roomtasks.room.problem import Problem
from roomtasks.room.release import Line, checklist, meant_for, release_refusals
from roomtasks.room.room import Room
from roomtasks.room.seed import Seed
from roomtasks.room.stay_clock import StayFacts
from roomtasks.room.stay_facts import DEATHS, LOOKS, Seen, facts_of, stays_now
from roomtasks.room.stock import Stay
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.room_acts import valve_turn
from roomtasks.work.seed_acts import seeds
from roomtasks.work.stay_acts import readiness
from roomtasks.work.stay_view import FishView, seen_of, view_of

APART_ROLES = ("quarantine", "hospital", "isolation")


@dataclass(frozen=True, slots=True, kw_only=True)
class Taker:
    """A tank that newcomers could be put apart in; `refused` is the first rule that says no."""

    tank: str
    refused: Problem | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A tank whose valve is shut: since when, the share changed since, what keeps it shut."""

    tank: str
    system: str
    since: datetime
    changed: float
    refused: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ApartView:
    """All of it from one look.

    `looked` is the last day each tank was looked at, `lines` the release lines by
    lot, `to` the destinations they were looked at for, `facts` what the journal says.
    """

    now: datetime
    room: Room
    fish: FishView
    looked: Mapping[str, date]
    lines: Mapping[str, tuple[Line, ...]]
    to: Mapping[str, str]
    facts: Mapping[str, StayFacts]
    takers: tuple[Taker, ...]
    seeds: tuple[Seed, ...]
    cuts: tuple[Cut, ...]

    @property
    def today(self) -> date:
        return self.fish.today


def apart_view(store: Store, now: datetime, to: Mapping[str, str]) -> ApartView | Problem:
    """What is kept apart at an instant; `to` are destinations by lot."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        today = room.day_at(now)
        to = {**_meant(room), **to}
        seen = seen_of(store, room, today)
        takers = tuple(_takers(store, room, now))
        sponges = seeds(store, room, today)
        cuts = tuple(_cuts(store, room, now))
    fish = view_of(room, seen, now)
    fish = replace(
        fish, stays=tuple(sorted(fish.stays, key=lambda stay: room.path_of(stay.now.stay.tank)))
    )  # fmt: skip
    return ApartView(
        now=now, room=room, fish=fish, looked=_looked(room, seen, fish), to=to,
        lines={stay.now.stay.code: _lines(room, seen, stay.now.stay, stay.lines, to, today)
               for stay in fish.stays},
        facts={stay.now.stay.code: facts_of(room, stay.now.stay, seen, today)
               for stay in fish.stays},
        takers=takers, seeds=sponges, cuts=cuts,
    )  # fmt: skip


def _meant(room: Room) -> dict[str, str]:
    """The destinations ticked for lots, by lot."""
    found = {stay.code: meant_for(room, stay.code) for stay in room.stays if stay.ended is None}
    return {stay: to for stay, to in found.items() if to}


def _lines(
    room: Room, seen: Seen, stay: Stay, plain: tuple[Line, ...], to: Mapping[str, str],
    today: date,
) -> tuple[Line, ...]:  # fmt: skip
    """The release lines of a lot, for its destination where one was named."""
    named = to.get(stay.code, "")
    if not named:
        return plain
    now = next(now for now in stays_now(room, seen, today) if now.stay.code == stay.code)
    return checklist(room, now, today, seen.readings, named)


def _looked(room: Room, seen: Seen, fish: FishView) -> dict[str, date]:
    """The last day each tank of the view was looked at, by an act or by a job done."""
    tanks = {stay.now.stay.tank for stay in fish.stays} | {row.tank for row in fish.watches}
    found = {}
    for tank in tanks:
        days = {day for day in seen.looked.get(tank, frozenset()) if day <= fish.today}
        days |= {
            event.day for event in room.events_at.get(tank, ())
            if event.event in (*LOOKS, *DEATHS) and event.day <= fish.today
        }  # fmt: skip
        if days:
            found[tank] = max(days)
    return found


def _takers(store: Store, room: Room, now: datetime) -> Iterator[Taker]:
    """Tanks meant for fish kept apart, and empty ones in water of their own, ready ones first."""
    today, found = room.day_at(now), []
    for tank in room.tanks:
        meant = tank.role in APART_ROLES
        open_to = room.valve.open_to(tank.code, now)
        if not meant and (open_to is not None or room.heads_in(tank.code)):
            continue
        known = readiness(store, room, tank.code, today)
        refused = next(arrival_refusals(room, tank.code, now, known), None)
        found.append(Taker(tank=tank.code, refused=refused))
    yield from sorted(found, key=lambda taker: taker.refused is not None)


def _cuts(store: Store, room: Room, now: datetime) -> Iterator[Cut]:
    today = room.day_at(now)
    for tank in room.tanks:
        system, since = room.valve.shut_from(tank.code, now), room.valve.since(tank.code, now)
        if system is None or since is None:
            continue
        known = readiness(store, room, tank.code, today)
        yield Cut(
            tank=tank.code, system=system, since=since.astimezone(room.zone),
            changed=known.changed_since_shut,
            refused=tuple(opening_refusals(room, tank.code, system, now)),
        )  # fmt: skip


def turn_words(
    store: Store, now: datetime, tank: str, state: str, system: str = ""
) -> tuple[str, ...] | Problem:  # fmt: skip
    """What turning a tank's valve would change, in words, before it is turned."""
    room = read.room(store)
    if isinstance(room, Problem):
        return room
    turn = valve_turn(room, now, tank, state, system)
    if isinstance(turn, Problem):
        return turn
    after = replace(room, valves=(*room.valves, turn))
    words = [f"{tank} {'joins' if state == 'open' else 'leaves'} the water of {turn.system}"]
    if turn.system in room.system:
        before, then = (each.system_litres(turn.system, now) for each in (room, after))
        words.append(f"{turn.system} then holds {then:.0f} L, not {before:.0f}")
    owners = owners_changed(room, after, tank, now)
    words += [f"no more at {tank}: {', '.join(owners.ends)}"] if owners.ends else []
    words += [f"from then on: {', '.join(owners.begins)}"] if owners.begins else []
    if state == "shut":
        words.append("what was shared until now stays shared: shutting does not undo last week")
    return tuple(words)


def release_words(
    store: Store, now: datetime, stay: str, to: str
) -> tuple[str, ...] | Problem:  # fmt: skip
    """Why a lot may not go to a tank yet, or that every line holds."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        today = room.day_at(now)
        seen = seen_of(store, room, today)
    lot = next((lot for lot in stays_now(room, seen, today) if lot.stay.code == stay), None)
    if lot is None:
        return Problem(stay, "there is no such lot", "'roomtasks fish' shows them")
    lines = checklist(room, lot, today, seen.readings, to)
    refused = next(release_refusals(lines, lot.stay), None)
    if refused is not None:
        return _with_others(refused, lines)
    return (f"all {len(lines)} lines of the release hold",)


def _with_others(refused: Problem, lines: Iterable[Line]) -> Problem:
    """A refusal that names the lines open besides, so that nobody goes there one by one."""
    still = [f"{line.number} {line.code}" for line in lines if line.state == "open"][1:]
    if not still:
        return refused
    return replace(refused, remedy=f"{refused.remedy}; open besides: {', '.join(still)}")
