"""A ripe filter taken from one tank to start another: never out of water kept apart.

A sponge carries all that its tank had. What lived with fish kept apart, under
watch, sick or dosed stays with them until it is disinfected, and then it is ripe
no more. Common practice, no published source.
"""

from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.health import Health
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
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
            return Problem(item, "there is no such filter", "look at filters in the room's facts")
        if to not in it.room.tank:
            return Problem(to, "there is no such tank", "'roomtasks racks' shows them")
        if to == found.tank:
            return Problem(to, f"{item} hangs there already", "name another tank", "no-change")
        refused = _refused(it, found, anyway)
        if refused is not None:
            return refused
        it.writer.put("filters", replace(found, tank=to))
        it.writer.put(
            "contacts",
            Contact(id=it.writer.next_id("contacts"), act=it.writer.id, from_tank=found.tank,
                    to_tank=to, by="filter", day=it.today, at=it.now, who=it.who, note=item),
        )  # fmt: skip
        return f"{item} taken from {found.tank} to {to}, where it hangs now"

    return doing(store, now, who, "seed", do)


def _refused(it: Doing, found: Filter, anyway: bool) -> Problem | None:
    why = kept_apart(it.writer.store, it.room, found.tank, it.today)
    if why:
        return Problem(
            found.code, f"{found.tank} {why}: a sponge carries all that its tank had",
            "take one from a clean tank; this one stays, or is thrown out or disinfected, and "
            "then it is ripe no more", "seed-from-apart",
        )  # fmt: skip
    left = [each for each in it.room.filters if each.tank == found.tank and each != found]
    if not left and it.room.heads_in(found.tank) and not anyway:
        return Problem(
            found.tank, f"{found.code} is its only filter, and {it.room.heads_in(found.tank)} "
            "fish live there", "leave it, or if it is meant, say so again with --anyway", "ask",
        )  # fmt: skip
    return None


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
