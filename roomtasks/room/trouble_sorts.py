"""Steps of a failed heater, a leaking tank and an outbreak, in order.

Common practice, no published source. The program names no illness and no dose:
it says what to stop, whom to ask, and what must be known first.
"""

from collections.abc import Iterator

from roomtasks.room.destination import water_of
from roomtasks.room.health import Health
from roomtasks.room.trouble_cautions import (
    COVERED,
    DRY_HANDS,
    GLASS,
    NOT_A_TEST,
    NOT_A_VET,
    OWN_GEAR,
    SUMP_FIRST,
    UNPLUG,
    WATER_AND_PLUGS,
)
from roomtasks.room.trouble_holds import earlier, watch_ends
from roomtasks.room.trouble_places import apart_ready, free_rooms, ways_out
from roomtasks.room.trouble_steps import Look, Step, step

WARMING_KELVIN_PER_HOUR = 1.0


# --- heater -----------------------------------------------------------------------------


def heater_steps(look: Look) -> Iterator[Step]:
    """Unplug, read, spare in, warm slowly; then fourteen days of looking for white spot."""
    place = look.trouble.target
    yield step(look, "unplug", f"Unplug the heater of {place} and let it cool under water",
               "one that sticks on cooks, one that is cracked is live", UNPLUG)  # fmt: skip
    yield step(
        look, "read", f"Read the temperature of {place}", "stuck on or off decides what is next; "
        "warm water holds less oxygen, so more air where it stuck on", NOT_A_TEST,
        places=[place],
        done_at=lambda at: look.read_since(at, "temperature", look.trouble.began),
        note_with=f"roomtasks read {place} temperature C",
    )  # fmt: skip
    yield step(look, "spare", "Put the spare heater in, covered, and a spare on the list to buy",
               "a spare at hand is a stock item", f"{DRY_HANDS} {COVERED}")  # fmt: skip
    yield step(look, "slowly", _slowly(look), "a fast step weakens fish as a cold one does",
               NOT_A_TEST)  # fmt: skip
    if look.over is not None:
        yield step(
            look, "watch", "Look for white spot each day",
            "a chill brings it out within two weeks", NOT_A_VET,
            day=look.room.day_at(look.over), last=watch_ends(look.room, look.over), each_day=True,
        )  # fmt: skip


def _slowly(look: Look) -> str:
    """The hours that warming takes at most a kelvin an hour, where both ends are known."""
    place = look.trouble.target
    words = f"Bring {place} back no faster than {WARMING_KELVIN_PER_HOUR:g} K an hour"
    read = next(
        (r for r in look.readings.all(place, "temperature")
         if not earlier(r.at, look.trouble.began) and not earlier(look.now, r.at)), None,
    )  # fmt: skip
    wanted = _wanted(look, place)
    if read is None or wanted is None or abs(wanted - read.value) < 0.05:
        return words
    hours = abs(wanted - read.value) / WARMING_KELVIN_PER_HOUR
    litres = _litres(look, place)
    return f"{words}: {read.value:g} to {wanted:g} C takes {hours:.1f} h or more ({litres:.0f} L)"


def _wanted(look: Look, place: str) -> float | None:
    room = look.room
    if place in room.tank:
        code = water_of(room, place, look.now)
    elif place in room.system:
        code = room.system[place].recipe or (room.recipes[0].code if room.recipes else "")
    else:
        code = room.recipes[0].code if room.recipes else ""
    recipe = room.recipe.get(code)
    return None if recipe is None else recipe.celsius


def _litres(look: Look, place: str) -> float:
    room = look.room
    if place in room.system:
        return room.system_litres(place, look.now)
    if place in room.tank:
        return room.tank_litres(place)
    return room.reservoir[place].holds_litres if place in room.reservoir else 0.0


# --- leak -------------------------------------------------------------------------------


def leak_steps(look: Look) -> Iterator[Step]:
    """Power and floor, where from, valve, drain, fish out, sump; off until it is repaired."""
    tank, room = look.trouble.target, look.room
    yield step(
        look, "floor", "Circuit off where it is wet, then mop the floor", "", WATER_AND_PLUGS
    )
    yield step(
        look, "where-from", f"Find where {tank} loses it: seal, pane or pipe",
        "a blocked outlet overflows at the rim while the sump runs low and looks the same", GLASS,
    )  # fmt: skip
    systems = room.valve.systems_between(tank, look.trouble.began, look.trouble.began) | (
        {system} if (system := room.valve.open_to(tank, look.now)) else frozenset()
    )
    if systems:
        yield step(
            look, "valve", f"Shut the valve of {tank}", "else the whole system drains through it",
            places=[tank], done_at=lambda code: room.valve.open_to(code, look.now) is None,
            note_with=f"roomtasks valve {tank} shut",
        )  # fmt: skip
    yield step(look, "drain", f"Drain {tank} to below the leak", caution=UNPLUG)
    yield from _fish_out(look, tank)
    for code in sorted(systems):
        yield step(
            look, f"sump-{code}", f"Read the sump of {code} and top it up: {_keep_back(look)}",
            "the leak came out of the sump too, and its pump must not run dry", SUMP_FIRST,
            places=[code],
            done_at=lambda at: look.read_since(at, "sump-level", look.trouble.began),
            note_with=f"roomtasks read {code} sump-level CM",
        )  # fmt: skip
    if look.over is not None:
        yield step(look, "dry-run", f"Fill {tank} and let it stand a day before fish go in",
                   "a seal shows within a day", day=room.day_at(look.over))  # fmt: skip


def _fish_out(look: Look, tank: str) -> Iterator[Step]:
    ways = ways_out(look, tank)
    if not ways:
        return
    free = "; ".join(each.words for each in free_rooms(look)) or "no tank stands free"
    yield step(
        look, "fish-out", "Fish out: " + "; ".join(way.words for way in ways), free,
        "Two hands, wet net, lid on the bucket; no bucket on a ladder.",
        places=[way.group for way in ways], done_at=lambda _: False,
        note_with="roomtasks move PLACE COUNT TANK",
    )  # fmt: skip


def _keep_back(look: Look) -> str:
    kept = [f"{vessel.code} keeps back {vessel.keep_back_litres:.0f} L"
            for vessel in look.room.reservoirs if vessel.keep_back_litres]  # fmt: skip
    return ", ".join(kept) or "no reservoir keeps water back"


# --- outbreak ---------------------------------------------------------------------------


def exposed(look: Look) -> tuple[str, ...]:
    """The tanks that water, fish or gear could have reached, the ill one first."""
    place, reached = look.trouble.target, look.told.reached
    others = () if reached is None else tuple(met.tank for met in reached.tanks)
    return tuple(dict.fromkeys((place, *others)))


def outbreak_steps(look: Look) -> Iterator[Step]:
    """Freeze the exposed set, gear apart, test, isolation, what to know before any medicine."""
    tanks, place = exposed(look), look.trouble.target
    if look.over is None:
        yield step(
            look, "freeze", "No moves, no sales and no shared gear for the exposed tanks",
            "each shared water, gear or moves with it in the last 30 days, or since it was "
            "stripped", OWN_GEAR, places=tanks, done_at=lambda tank: _frozen(look, tank),
            note_with=f"roomtasks watch-met {place} --reason outbreak",
        )  # fmt: skip
    yield step(look, "gear", f"Net, siphon and bucket of their own: {', '.join(tanks)}",
               "a shared net joins two tanks", OWN_GEAR)  # fmt: skip
    yield step(
        look, "test", f"Take the dead out, count, and test ammonia at {place}",
        "bad water looks like illness", OWN_GEAR, places=[place],
        done_at=lambda at: look.read_since(at, "ammonia", look.trouble.began),
        note_with=f"roomtasks read {place} ammonia MG mg/L",
    )  # fmt: skip
    ready = ", ".join(apart_ready(look)) or "none free"
    yield step(look, "apart", f"Tanks for fish apart: {ready}",
               "ripe filter, lid and heater, or it harms more than it helps")  # fmt: skip
    yield step(look, "litres", f"Before any medicine: know the litres ({_waters(look, tanks)}); "
               "carbon, snails and shrimps out", "carbon takes medicine out, and some medicine "
               "kills what has no backbone", NOT_A_VET)  # fmt: skip
    yield from _outbreak_after(look, tanks)


def _outbreak_after(look: Look, tanks: tuple[str, ...]) -> Iterator[Step]:
    """Whom to tell, and the classes once it is over."""
    sold = _gone(look)
    if sold:
        yield step(look, "tell", f"Tell whom fish went to: {sold}",
                   "they left out of an exposed tank")  # fmt: skip
    if look.over is not None:
        room = look.room
        yield step(
            look, "classes", "Classes back to clean, tank by tank, after their clear days",
            "days decide, not the end of the outbreak", day=room.day_at(look.over), places=tanks,
            done_at=lambda t: room.health_of(t, look.today) not in (Health.WATCH, Health.SICK),
            note_with="roomtasks class PLACE clean --reason WHY",
        )  # fmt: skip


def _frozen(look: Look, tank: str) -> bool:
    return any(
        hold.on(look.today) and {"move", "all"} & set(hold.kinds.split())
        for hold in look.room.holds_at.get(tank, ())
    )


def _waters(look: Look, tanks: tuple[str, ...]) -> str:
    """Litres of each body of water the exposed tanks are in."""
    bodies = dict.fromkeys(look.room.valve.open_to(tank, look.now) or tank for tank in tanks)
    return ", ".join(f"{body} {_litres(look, body):.0f} L" for body in bodies)


def _gone(look: Look) -> str:
    reached = look.told.reached
    return "; ".join(
        f"{left.transfer.count} {left.transfer.line or left.transfer.group}, {left.path[-1]}"
        + (f" ({left.transfer.note})" if left.transfer.note else "")
        for left in (reached.left if reached is not None else ())
    )
