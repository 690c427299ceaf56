"""What a trouble asks for: its clocks, its steps in order, and what it changes of what is due.

Pure: the room, the trouble and an instant in, a plan of ready words out; nothing
of it is stored. Common practice, no published source. Does not live here: the
holds themselves (`trouble_holds`, which what is due goes by).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.naming import time_words
from roomtasks.room.pin import Trouble
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.trouble_clock import TankClock, Told, by_heat, clocks_of, hours_between
from roomtasks.room.trouble_holds import (
    FILTER_REST_DAYS,
    HALF_FOOD_DAYS,
    WORDS,
    began_by,
    food_again,
    over_at,
    since_words,
    watch_ends,
)
from roomtasks.room.trouble_places import FreeRoom, WayOut, free_rooms, ways_out
from roomtasks.room.trouble_power import power_steps, pump_steps, systems_in
from roomtasks.room.trouble_sorts import exposed, heater_steps, leak_steps, outbreak_steps
from roomtasks.room.trouble_steps import Look, Step
from roomtasks.room.trouble_water import Shared, reservoir_steps, shared_out
from roomtasks.room.why import day_words

SHOWN_DAYS = 14
CLOCKED = ("power-cut", "pump", "heater")


@dataclass(frozen=True, slots=True, kw_only=True)
class TroublePlan:
    """A trouble as it stands at an instant.

    `clocks` are tanks by oxygen, `heat` the same by cold. `weakened` are tanks
    and sumps whose filters stood too long. `changes` say what it changes of what
    is due, each with the day it lifts. `shared` is water by need without a
    reservoir, `free` litres by class and `ways` where a leaking tank's fish go.
    """

    trouble: Trouble
    now: datetime
    words: str
    over: datetime | None
    clocks: tuple[TankClock, ...]
    heat: tuple[TankClock, ...]
    weakened: tuple[str, ...]
    steps: tuple[Step, ...]
    changes: tuple[str, ...]
    lifts: date | None
    exposed: tuple[str, ...] = ()
    shared: tuple[Shared, ...] = ()
    free: tuple[FreeRoom, ...] = ()
    ways: tuple[WayOut, ...] = ()

    @property
    def open(self) -> bool:
        """Whether it still goes on."""
        return self.over is None

    @property
    def today(self) -> tuple[Step, ...]:
        """The steps that are to be done now."""
        return tuple(step for step in self.steps if step.open_now)


def trouble_plan(
    room: Room, trouble: Trouble, now: datetime, told: Told | None = None
) -> TroublePlan | Problem:
    """The plan of one trouble at an instant. Refuses one that has not begun by then."""
    if not began_by(trouble, now):
        began = trouble.began.astimezone(room.zone)
        return Problem(
            trouble.code, f"it begins only on {time_words(began)}", "ask for a later time",
            "not-in-the-future", WORDS[trouble.sort],
        )  # fmt: skip
    look = Look(room, trouble, now, told or Told())
    clocks = clocks_of(room, trouble, now, look.told) if trouble.sort in CLOCKED else ()
    leak = trouble.sort == "leak"
    return TroublePlan(
        trouble=trouble, now=now, words=since_words(room, trouble, now), over=look.over,
        clocks=clocks, heat=by_heat(clocks), weakened=_weakened(look, clocks),
        steps=tuple(_steps(look, clocks)), changes=tuple(_changes(look)), lifts=_lifts(look),
        exposed=exposed(look) if trouble.sort == "outbreak" else (),
        shared=shared_out(look) if trouble.sort == "reservoir" else (),
        free=free_rooms(look) if leak else (), ways=ways_out(look, trouble.target) if leak else (),
    )  # fmt: skip


def when_cold(plan: TroublePlan, at: datetime) -> str:
    """When a tank is cold: the time alone where it is on the day of the look."""
    there = plan.now.astimezone(at.tzinfo)
    return f"{at:%H:%M}" if at.date() == there.date() else time_words(at)


def matters(room: Room, trouble: Trouble, now: datetime) -> bool:
    """Whether a trouble is open, or so lately over that it still says something."""
    if not began_by(trouble, now):
        return False
    over = over_at(trouble, now)
    return over is None or room.day_at(now) <= room.day_at(over) + timedelta(days=SHOWN_DAYS)


def _steps(look: Look, clocks: tuple[TankClock, ...]) -> Iterator[Step]:
    match look.trouble.sort:
        case "power-cut":
            yield from power_steps(look, clocks)
        case "pump":
            yield from pump_steps(look, clocks)
        case "heater":
            yield from heater_steps(look)
        case "leak":
            yield from leak_steps(look)
        case "outbreak":
            yield from outbreak_steps(look)
        case _:
            yield from reservoir_steps(look)


def _weakened(look: Look, clocks: tuple[TankClock, ...]) -> tuple[str, ...]:
    """Tanks alone and sumps whose filters stood longer than the setting."""
    if look.trouble.sort not in ("power-cut", "pump"):
        return ()
    end = look.over or look.now
    hours = hours_between(look.trouble.began, end)
    found = list(systems_in(look)) if hours > look.told.weak_after_hours else []
    for clock in clocks:
        own = any(item.tank == clock.tank for item in look.room.filters)
        if clock.weakened and own:
            found.append(clock.tank)
    return tuple(found)


def _changes(look: Look) -> Iterator[str]:
    """What changes of what is due, with the day it lifts."""
    trouble, room, over = look.trouble, look.room, look.over
    match trouble.sort:
        case "power-cut" if over is None:
            yield "no food, no filter cleaned while the power is off"
            yield f"once it is back: filters rest {FILTER_REST_DAYS} days, no food for 24 h"
        case "power-cut" if over is not None:
            again = food_again(room, over)
            half = room.day_at(over) + timedelta(days=HALF_FOOD_DAYS)
            yield f"no food until {time_words(again)}, then half of it to {day_words(half)}"
            yield f"no filter cleaned before {day_words(_free_from(look, over))}"
        case "pump" if over is None:
            yield f"no food and no filter cleaned in tanks on {trouble.target} until it runs"
        case "heater" if over is not None:
            yield f"look for white spot each day, to {day_words(watch_ends(room, over))}"
        case "leak" if over is None:
            yield (f"{trouble.target} is off until it is repaired: its jobs rest, save what fish "
                   "still in it need; no fish go into it")  # fmt: skip
        case "outbreak" if over is None:
            yield f"no moves, no sales, no shared gear: {', '.join(exposed(look))}"
        case "reservoir":
            for each in shared_out(look):
                yield from each.words


def _free_from(look: Look, over: datetime) -> date:
    return look.room.day_at(over) + timedelta(days=FILTER_REST_DAYS)


def _lifts(look: Look) -> date | None:
    """The first day on which nothing of it holds any more; None while it is open."""
    over = look.over
    if over is None:
        return None
    match look.trouble.sort:
        case "power-cut":
            return _free_from(look, over)
        case "heater":
            return watch_ends(look.room, over) + timedelta(days=1)
        case _:
            return look.room.day_at(over)
