"""Steps of a power cut and of a failed return pump, in order. Common practice throughout.

Oxygen first, heat second, filters third. When the power is back: the sump's
level before its pump, then pump, outlets, air, heaters, timers, and ammonia on
day 0, 1 and 3.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from functools import partial

from roomtasks.room.trouble_cautions import (
    COVERED,
    DRY_HANDS,
    NO_FLAMES,
    NOT_A_TEST,
    SUMP_FIRST,
    UNPLUG,
)
from roomtasks.room.trouble_clock import BATTERY_AIR, TankClock, by_heat, worst_first
from roomtasks.room.trouble_holds import AMMONIA_DAYS, FILTER_REST_DAYS, Place, earlier, reaches
from roomtasks.room.trouble_steps import Look, Step, step


def power_steps(look: Look, clocks: Sequence[TankClock]) -> Iterator[Step]:
    """The steps while the power is off, and those from the minute it is back."""
    yield _battery(look, clocks)
    yield _warm(look, clocks)
    if look.over is None:
        return
    yield from restart_steps(look, systems_in(look))
    yield from _after(look)
    yield from _ammonia(look, clocks)


def pump_steps(look: Look, clocks: Sequence[TankClock]) -> Iterator[Step]:
    """The steps of a failed return pump."""
    short = [clock.tank for clock in worst_first(clocks) if not clock.own_air]
    if short:
        yield step(
            look, "air", "Air first to tanks without air of their own",
            "no flow and no air: their oxygen goes first, most fish to the litre soonest",
            DRY_HANDS, places=short, done_at=lambda tank: _aired(look, tank),
            note_with="roomtasks seen PLACE battery-air",
        )  # fmt: skip
    yield step(look, "sponges", "See that idle sponges get air now",
               "they are the tanks' only filters while the sump stands")  # fmt: skip
    yield step(look, "heater", "Turn the sump's heater down",
               "no flow carries its heat to the tanks; the sump alone would overheat",
               f"{UNPLUG} {COVERED}")  # fmt: skip
    yield step(look, "spare", "Put the spare pump in, or free the one that stands",
               "a blocked inlet or rotor is found at once", UNPLUG)  # fmt: skip
    if look.over is not None:
        yield from restart_steps(look, systems_in(look))


def systems_in(look: Look) -> tuple[str, ...]:
    """The systems a trouble stands at, or reaches a tank of."""
    room, trouble = look.room, look.trouble
    if trouble.target in room.system:
        return (trouble.target,)
    return tuple(
        code
        for code in room.system
        if trouble.target == "room"
        or any(
            reaches(room, trouble, Place(tank, tank), look.now)
            for tank in room.valve.members(code, look.now)
        )
    )


def _battery(look: Look, clocks: Sequence[TankClock]) -> Step:
    return step(
        look, "battery", "Battery air, most fish to the litre first",
        "oxygen goes first, in crowded, warm and deep tanks soonest; a sponge on battery air "
        "keeps its filter alive", NO_FLAMES,
        places=[clock.tank for clock in worst_first(clocks)],
        done_at=lambda tank: _aired(look, tank),
        note_with=f"roomtasks seen PLACE {BATTERY_AIR}",
        last=None if look.over is None else look.room.day_at(look.over) - timedelta(days=1),
    )  # fmt: skip


def _aired(look: Look, tank: str) -> bool:
    return look.seen_since(tank, BATTERY_AIR, look.trouble.began)


def _warm(look: Look, clocks: Sequence[TankClock]) -> Step:
    first = [clock.tank for clock in by_heat(clocks) if clock.cold_in_hours is not None][:4]
    which = f": {', '.join(first)} first" if first else ""
    return step(
        look, "warm", f"Lids on, blankets round the small tanks{which}",
        "small tanks cool first", f"{NO_FLAMES} {NOT_A_TEST}",
        last=None if look.over is None else look.room.day_at(look.over) - timedelta(days=1),
    )  # fmt: skip


def restart_steps(look: Look, systems: Sequence[str]) -> Iterator[Step]:
    """Sump, pump, outlets, in that order, once it runs again."""
    over = look.over
    if over is None or not systems:
        return
    day = look.room.day_at(over)
    yield step(
        look, "sump", "Read the sump's level before its pump runs",
        "the pipes ran back into it: at rest it stands higher than running", SUMP_FIRST, day=day,
        places=systems, done_at=lambda s: look.read_since(s, "sump-level", over),
        note_with="roomtasks read PLACE sump-level CM",
    )  # fmt: skip
    yield step(look, "run", "Start the return pump and watch the sump fall to its running mark",
               "the level has no meaning without the pump's state", DRY_HANDS, day=day,
               places=systems, done_at=lambda s: _runs(look, s),
               note_with="roomtasks pump PLACE running")  # fmt: skip
    yield step(look, "outlets", "Look at every outlet and every inlet",
               "a blocked one overflows its tank while the sump runs low: it looks like a leak",
               day=day)  # fmt: skip


def _runs(look: Look, system: str) -> bool:
    """Whether the pump was started since it was over."""
    over = look.over
    return over is not None and any(
        turn.system == system and turn.state == "running" and not earlier(turn.at, over)
        and not earlier(look.now, turn.at)
        for turn in look.room.pumps
    )  # fmt: skip


def _after(look: Look) -> Iterator[Step]:
    if look.over is None:
        return
    day = look.room.day_at(look.over)
    yield step(look, "air", "See that every air stone and sponge bubbles", "lines siphon back "
               "and pumps stick after a cut", DRY_HANDS, day=day)  # fmt: skip
    yield step(look, "heaters", "Heaters on only where they are covered",
               "the water may stand lower than before", f"{UNPLUG} {COVERED}", day=day)  # fmt: skip
    yield step(look, "timers", "Set timers and clocks right", "they stood as long as the power did",
               day=day)  # fmt: skip


def _ammonia(look: Look, clocks: Sequence[TankClock]) -> Iterator[Step]:
    """Ammonia by body of water on day 0, 1 and 3; late until the day before the next test."""
    if look.over is None:
        return
    over = look.room.day_at(look.over)
    nexts = (*AMMONIA_DAYS[1:], FILTER_REST_DAYS)
    for n, following in zip(AMMONIA_DAYS, nexts, strict=True):
        day, last = over + timedelta(days=n), over + timedelta(days=following - 1)
        yield step(
            look, f"ammonia-{n}", _ammonia_words(n),
            "filters that stood still give ammonia before it shows in the fish",
            "A reading above nothing: no food, and change water within the temperature rule.",
            day=day, last=last, places=_waters(look, clocks),
            done_at=partial(_tested, look, first=day, last=last),
            note_with="roomtasks read PLACE ammonia MG mg/L",
        )  # fmt: skip


def _ammonia_words(n: int) -> str:
    if n == 0:
        return "Test ammonia on the day the power came back"
    return f"Test ammonia on day {n} after the power came back"


def _tested(look: Look, place: str, first: date, last: date) -> bool:
    """Whether ammonia was read in a body of water: there, or at any tank that shares it."""
    shared = look.room.valve.members(place, look.now) if place in look.room.system else ()
    return any(look.read_on(at, "ammonia", first, last) for at in (place, *sorted(shared)))


def _waters(look: Look, clocks: Sequence[TankClock]) -> tuple[str, ...]:
    """The bodies of water with fish in the trouble: systems, and tanks that stand alone."""
    found: list[str] = []
    for clock in clocks:
        body = look.room.valve.open_to(clock.tank, look.now) or clock.tank
        if body not in found:
            found.append(body)
    return tuple(found)
