"""The clocks of a power cut or a failed pump: oxygen first, heat second, filters third.

Oxygen goes by grams of fish to the litre: where a length is not known one is
assumed, so that a crowded tank is not last for want of a number. Heat goes by
Newton's cooling (`heat.cool_time`) with the time constant seen in this very
trouble, else computed from the tank's faces. Common practice, no published
source, where nothing else is said; a forecast is not a test.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import fsum

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED, SET, Amount, Input
from roomtasks.room.contents import room_celsius
from roomtasks.room.density import Lodger, lodgers_in
from roomtasks.room.destination import water_of
from roomtasks.room.heat import WH_PER_LITRE_KELVIN, cool_time, tau_from_drop
from roomtasks.room.met import Reached
from roomtasks.room.naming import time_words
from roomtasks.room.pin import Trouble
from roomtasks.room.problem import Problem
from roomtasks.room.readings import NO_READINGS, Readings, as_amount
from roomtasks.room.room import Room
from roomtasks.room.stock import Group
from roomtasks.room.trouble_holds import Place, earlier, over_at, reaches
from roomtasks.room.water_plan import ChangePlan

WEAK_AFTER_HOURS = 4.0
LEAST_SAID = 0.01  # grams to the litre; less would be said as 0.00
DROP_KELVIN = 3.0  # from where it stood, where no line says how cool it may get
SEEN_DROP_KELVIN = 0.2  # less is within the reading of a thermometer
# 1 / (0.13 + 0.006): still air indoors 0.13 m2 K/W (ISO 6946), 6 mm of glass at 1 W/(m K), from
# memory. Evaporation is left out, so an open tank cools faster.
FACE_WATTS_PER_M2_KELVIN = 7.35
AIR_DRIVEN = ("sponge", "box")
BATTERY_AIR = "battery-air"
_STAGE_CM = {"eggs": 0.0, "fry": 1.0}


@dataclass(frozen=True, kw_only=True)
class Told:
    """What is known besides the room.

    Readings, lengths of groups in cm, temperatures by tank, tanks due to be
    stripped; whom an outbreak could have reached; the plan of the next change.
    """

    readings: Readings = NO_READINGS
    lengths: Mapping[str, float] = field(default_factory=dict)
    celsius: Mapping[str, float] = field(default_factory=dict)
    to_strip: frozenset[str] = frozenset()
    reached: Reached | None = None
    water: ChangePlan | None = None
    weak_after_hours: float = WEAK_AFTER_HOURS


@dataclass(frozen=True, slots=True, kw_only=True)
class TankClock:
    """How a tank stands in a trouble. `cold_at`: when it comes to `limit_celsius`, None: never.

    `idle_hours` is how long its own filters, or the sump it hangs on, stood still.
    """

    tank: str
    role: str
    litres: float
    fish: int
    grams_per_litre: Amount
    fish_per_litre: float
    own_air: bool
    battery_air: bool
    celsius: Amount | None
    limit_celsius: Amount | None
    tau_hours: Amount
    cold_in_hours: float | None
    cold_at: datetime | None
    idle_hours: float
    weakened: bool

    @property
    def words(self) -> str:
        """The clock of this tank in a line."""
        grams = self.grams_per_litre.value
        load = f"{grams:.2f} g" if grams >= LEAST_SAID else f"under {LEAST_SAID:g} g"
        load += " of fish to the litre"
        parts = [f"{load} ({self.grams_per_litre.known})", f"{self.fish} fish"]
        if self.battery_air:
            parts.append("on battery air")
        if self.limit_celsius is not None and self.cold_at is not None:
            parts.append(
                f"cools to {self.limit_celsius.value:g} C about {time_words(self.cold_at)}"
            )
        return f"{self.tank}: " + ", ".join(parts)


def clocks_of(
    room: Room, trouble: Trouble, now: datetime, told: Told | None = None
) -> tuple[TankClock, ...]:
    """The tanks with fish that a trouble reaches, the shortest of oxygen first, then of heat."""
    known = told or Told()
    found = [
        _clock(room, trouble, tank.code, now, known)
        for tank in room.tanks
        if room.heads_in(tank.code) and reaches(room, trouble, Place(tank.code, tank.code), now)
    ]
    return worst_first(found)


def worst_first(clocks: Iterable[TankClock]) -> tuple[TankClock, ...]:
    """The one order for air in a trouble: most fish to the litre first, then the soonest cold.

    Every list of tanks by oxygen, and every step that brings them air, goes by it.
    """
    return tuple(sorted(clocks, key=lambda clock: (*_oxygen(clock), *_heat(clock))))


def by_heat(clocks: Iterable[TankClock]) -> tuple[TankClock, ...]:
    """The same tanks, the soonest cold first; of those never cold the smaller time constant."""
    return tuple(sorted(clocks, key=_heat))


def _oxygen(clock: TankClock) -> tuple[float, float]:
    return -clock.grams_per_litre.value, -clock.fish_per_litre


def _heat(clock: TankClock) -> tuple[float, float, str]:
    hours = clock.cold_in_hours
    return float("inf") if hours is None else hours, clock.tau_hours.value, clock.tank


def _clock(room: Room, trouble: Trouble, tank: str, now: datetime, told: Told) -> TankClock:
    litres = room.tank_litres(tank)
    grams = _grams_per_litre(room, tank, litres, told.lengths)
    tau = tau_of(room, trouble, tank, now, told.readings)
    start, since = _start(room, trouble, tank, now, told.readings)
    limit = None if start is None else _limit(room, tank, start)
    hours = _cold_in(room, now, told.readings, start, limit, tau)
    air = battery_since(room, trouble, tank)
    idle = idle_hours(room, trouble, tank, now)
    heads = room.heads_in(tank)
    return TankClock(
        tank=tank, role=room.tank[tank].role, litres=litres, fish=heads, grams_per_litre=grams,
        fish_per_litre=heads / litres if litres else 0.0, own_air=has_own_air(room, tank),
        battery_air=air is not None, celsius=start, limit_celsius=limit, tau_hours=tau,
        cold_in_hours=hours,
        cold_at=None if hours is None else _plus(since, hours, room),
        idle_hours=idle, weakened=idle > told.weak_after_hours,
    )  # fmt: skip


def has_own_air(room: Room, tank: str) -> bool:
    """Whether a filter driven by air hangs in the tank."""
    return any(item.tank == tank and item.kind in AIR_DRIVEN for item in room.filters)


def battery_since(room: Room, trouble: Trouble, tank: str) -> datetime | None:
    """When battery air was noted at a tank during the trouble."""
    times = [
        event.at
        for event in room.events_at.get(tank, ())
        if event.event == BATTERY_AIR and event.at is not None
        and not earlier(event.at, trouble.began)
    ]  # fmt: skip
    return min(times, default=None)


def idle_hours(room: Room, trouble: Trouble, tank: str, now: datetime) -> float:
    """Hours the filter stood still: to the end, or to battery air at a filter driven by air.

    A tank of a system hangs on the sump, which no battery air drives, unless it
    has such a filter of its own.
    """
    end = over_at(trouble, now) or now
    air = battery_since(room, trouble, tank)
    if air is not None and has_own_air(room, tank) and earlier(air, end):
        end = air
    if trouble.sort == "pump" and has_own_air(room, tank):
        return 0.0
    return max(0.0, hours_between(trouble.began, end))


def tau_of(
    room: Room, trouble: Trouble, tank: str, now: datetime, readings: Readings
) -> Amount:  # fmt: skip
    """The time constant of a tank, in hours: from the drop read in this trouble, else its faces."""
    end = over_at(trouble, now) or now
    seen = [
        reading
        for reading in readings.all(tank, "temperature")
        if not earlier(reading.at, trouble.began) and not earlier(end, reading.at)
    ]
    around = room_celsius(room, readings, room.day_at(now))
    if len(seen) > 1 and seen[-1].value - seen[0].value >= SEEN_DROP_KELVIN:
        hours = hours_between(seen[-1].at, seen[0].at)
        tau = tau_from_drop(seen[-1].value, seen[0].value, around.value, hours)
        if not isinstance(tau, Problem):
            return Amount(
                tau, "h", MEASURED, "hours / ln((T0 - room)/(T - room))",
                (Input("drop of temperature", seen[-1].value - seen[0].value, "K", MEASURED),
                 Input("hours it took", hours, "h", MEASURED),
                 Input("the room's temperature", around.value, "C", around.known, around.source)),
                "Newton's law of cooling, read in this trouble",
            )  # fmt: skip
    return _tau_of_faces(room, tank)


def _tau_of_faces(room: Room, tank: str) -> Amount:
    facts, litres = room.tank[tank], room.tank_litres(tank)
    walls = 2 * (facts.length_cm + facts.width_cm) * facts.water_cm
    area = (walls + 2 * facts.length_cm * facts.width_cm) / 10_000
    watts_per_kelvin = area * FACE_WATTS_PER_M2_KELVIN
    return Amount(
        litres * WH_PER_LITRE_KELVIN / watts_per_kelvin, "h", ASSUMED,
        "litres x 1.163 Wh/(L K) / (faces x 7.35 W/(m2 K))",
        (Input("litres", litres, "L", COMPUTED),
         Input("glass and water surface", area, "m2", COMPUTED)),
        "still air and 6 mm of glass, from memory; evaporation left out",
    )  # fmt: skip


def _start(
    room: Room, trouble: Trouble, tank: str, now: datetime, readings: Readings
) -> tuple[Amount | None, datetime]:
    """The temperature the forecast begins at, and when: the newest reading, else the recipe's."""
    read = next((r for r in readings.all(tank, "temperature") if not earlier(now, r.at)), None)
    if read is not None:
        since = trouble.began if earlier(read.at, trouble.began) else read.at
        return as_amount(read, "C", room.day_at(now)), since
    recipe = room.recipe.get(water_of(room, tank, trouble.began))
    if recipe is None or recipe.celsius is None:
        return None, trouble.began
    return Amount(recipe.celsius, "C", SET, source=f"recipe {recipe.code}"), trouble.began


def _limit(room: Room, tank: str, start: Amount) -> Amount:
    """How cool it may get: the coolest its lines are kept in, else 3 K below where it stood."""
    lines = [lodger.line for lodger in lodgers_in(room, tank, {})]
    least = [(line.celsius_from, line.name) for line in lines if line.celsius_from is not None]
    if least:
        coolest, name = max(least)
        return Amount(coolest, "C", SET, source=f"line {name}")
    return Amount(start.value - DROP_KELVIN, "C", ASSUMED,
                  source=f"{DROP_KELVIN:g} K below where it stood; common practice")  # fmt: skip


def _cold_in(
    room: Room, now: datetime, readings: Readings, start: Amount | None, limit: Amount | None,
    tau: Amount,
) -> float | None:  # fmt: skip
    """Hours from the start of the forecast; None where it never gets there, 0 where it is there."""
    if start is None or limit is None:
        return None
    if start.value <= limit.value:
        return 0.0
    around = room_celsius(room, readings, room.day_at(now))
    hours = cool_time(start.value, limit.value, around.value, tau.value)
    return None if isinstance(hours, Problem) else hours


def _grams_per_litre(
    room: Room, tank: str, litres: float, lengths: Mapping[str, float]
) -> Amount:  # fmt: skip
    lodgers = [_sized(room, lodger) for lodger in lodgers_in(room, tank, lengths)]
    unknown = any(lodger.length_cm is None for lodger in lodgers_in(room, tank, lengths))
    grams = fsum(lodger.grams for lodger in lodgers)
    return Amount(
        grams / litres if litres else 0.0, "g/L", ASSUMED if unknown else COMPUTED,
        "sum of count x a L^b / litres",
        tuple(Input(lodger.group, lodger.grams, "g", COMPUTED, f"{lodger.count} of "
                    f"{lodger.length_cm or 0:.2g} cm") for lodger in lodgers),
        "length-weight W = a L^b; a length nobody knows by the fish's stage",
    )  # fmt: skip


def _sized(room: Room, lodger: Lodger) -> Lodger:
    """The fish with a length: as known, else usual for the stage."""
    if lodger.length_cm is not None:
        return lodger
    group: Group = next(g for g in room.groups if g.code == lodger.group)
    usual = _STAGE_CM.get(group.stage, lodger.line.move_cm)
    if group.stage == "adult":
        usual = lodger.line.sale_cm
    return Lodger(group=lodger.group, line=lodger.line, count=lodger.count,
                  length_cm=usual or None)  # fmt: skip


def hours_between(first: datetime, last: datetime) -> float:
    """Real hours from one instant to another."""
    return (last.astimezone(UTC) - first.astimezone(UTC)).total_seconds() / 3600


def _plus(at: datetime, hours: float, room: Room) -> datetime:
    return (at.astimezone(UTC) + timedelta(hours=hours)).astimezone(room.zone)
