"""A ripe filter taken from one tank to start another: never out of water kept apart.

A sponge carries all that its tank had. What lived with fish kept apart, under
watch, sick or dosed stays with them until it is disinfected, and then it is ripe
no more. Common practice, no published source.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.health import Health
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.seed import Seed, dosed_in, left_words, needs_seed, seed_refusals
from roomtasks.room.tank import Filter
from roomtasks.room.transfer import Contact
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.stay_acts import readiness

APART_ROLES = ("quarantine", "hospital", "isolation")


def take_seed(
    store: Store, now: datetime, who: str, item: str, to: str, anyway: bool = False
) -> Told | Problem:
    """Hang a running filter into another tank; it stays ripe, and the gear is noted as shared."""

    def do(it: Doing) -> str | Problem:
        found = it.room.filter.get(item)
        if found is None:
            return Problem(item, "there is no such filter", "'roomtasks tank CODE' names them")
        if to not in it.room.tank:
            return Problem(to, "there is no such tank", "'roomtasks racks' shows them")
        if to == found.tank:
            return Problem(to, f"{item} hangs there already", "name another tank", "no-change")
        refused = next(_refusals(it.writer.store, it.room, found, it.today), None)
        refused = refused or (None if anyway else _asked(it, found, to))
        if refused is not None:
            return refused
        it.writer.put("filters", replace(found, tank=to))
        it.writer.put(
            "contacts",
            Contact(id=it.writer.next_id("contacts"), act=it.writer.id, from_tank=found.tank,
                    to_tank=to, by="filter", day=it.today, at=it.now, who=it.who, note=item),
        )  # fmt: skip
        return _words(it, found, to)

    return doing(store, now, who, "seed", do)


def _words(it: Doing, found: Filter, to: str) -> str:
    since = f", running since {day_words(found.since)} {found.since.year}" if found.since else ""
    new = f"{to} has a ripe filter now" if needs_seed(it.room, to, it.today) else f"hung in {to}"
    left = left_words(it.room, found.tank, found.code, it.today)
    return f"seed sponge {found.code} from {found.tank} to {to}{since}: {new}; {left}"


def _asked(it: Doing, found: Filter, to: str) -> Problem | None:
    """What the keeper may say again: the last filter of fish, a tank that is being dosed."""
    left = [each for each in it.room.filters if each.tank == found.tank and each != found]
    if not left and it.room.heads_in(found.tank):
        return Problem(
            found.tank, f"{found.code} is its only filter, and {it.room.heads_in(found.tank)} "
            "fish live there", "leave it, or if it is meant, say so again with --anyway", "ask",
        )  # fmt: skip
    dosed = dosed_in(it.room, to, it.today)
    if dosed:
        return Problem(
            to, f"it {dosed}: a ripe sponge may die of it",
            "wait until that is over, or say --anyway", "seed-under-treatment",
        )  # fmt: skip
    return None


def seeds(store: Store, room: Room, today: date) -> tuple[Seed, ...]:
    """Every filter as a seed for another tank, each with the first rule that says no."""
    return tuple(
        Seed(item=item, refused=next(_refusals(store, room, item, today), None))
        for item in sorted(room.filters, key=lambda item: (room.path_of(item.tank), item.code))
        if item.tank in room.tank
    )


def _refusals(store: Store, room: Room, found: Filter, today: date) -> Iterator[Problem]:
    yield from seed_refusals(room, found, today)
    why = kept_apart(store, room, found.tank, today)
    if why:
        yield Problem(
            found.code, f"{found.tank} {why}: a sponge carries all that its tank had",
            "take one from a clean tank; this one stays, or is thrown out or disinfected, and "
            "then it is ripe no more", "seed-from-apart",
        )  # fmt: skip


def kept_apart(store: Store, room: Room, tank: str, today: date) -> str:
    """Why nothing of a tank may serve as a seed elsewhere, in words; blank where it may."""
    role, health = room.tank[tank].role, room.health_of(tank, today)
    if role in APART_ROLES:
        return f"is kept for {role}"
    if health >= Health.WATCH:
        return f"is {health.word}"
    ended = [stay.ended for stay in room.stays if stay.tank == tank and stay.ended is not None]
    stripped = readiness(store, room, tank, today).stripped_on
    if ended and (stripped is None or stripped < max(ended)):
        return f"held a lot kept apart until {day_words(max(ended))} and was not stripped since"
    return ""
