"""Heat: energy and time to warm water, mixing, cooling, and temperature steps.

Lives here: temperatures in degrees Celsius, steps in kelvin, volumes in litres,
energy in kWh, power in watts, time in hours. One litre counts as one kilogram.
Does not live here: the clock times of a fill (`ready`), and which limit a tank
has (the keeper's settings).
"""

import math

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    SMALLEST,
    above_zero,
    finished,
    first,
    refuse,
    share,
    within,
    zero_or_more,
)

# 4186.8 J/(kg K). Of IAPWS-95's density by heat capacity: 0.4 % under at 5 C, 0.3 % over at 20 C,
# 0.6 % over at 30 C; energies of fills warmed between 5 and 30 C within 0.4 %
WH_PER_LITRE_KELVIN = 1.163


def _water(where: str, celsius: float) -> Problem | None:
    return within(where, celsius, 0.0, 100.0, "C, liquid water")


def _room(where: str, celsius: float) -> Problem | None:
    return within(where, celsius, -60.0, 100.0, "C")


def mix_temp(
    volume1_litres: float, temp1_celsius: float, volume2_litres: float, temp2_celsius: float
) -> float | Problem:
    """Temperature of two waters mixed: the mean weighed by volume, in C.

    Good to 0.02 K where the two are close; hot make-up water at 55 C is off by
    0.15 K, as its litres are lighter.
    """
    fault = first(
        zero_or_more("volume1", volume1_litres, "L"),
        _water("temp1", temp1_celsius),
        zero_or_more("volume2", volume2_litres, "L"),
        _water("temp2", temp2_celsius),
        above_zero("volume1 and volume2 together", volume1_litres + volume2_litres, "L"),
    )
    if fault is not None:
        return fault
    heat = volume1_litres * temp1_celsius + volume2_litres * temp2_celsius
    return finished("mix-temp", heat / (volume1_litres + volume2_litres))


def heat_energy(volume_litres: float, from_celsius: float, to_celsius: float) -> float | Problem:
    """Energy to warm the water, in kWh, none lost: V (T2 - T1) x 1.163 Wh.

    Refuses an end colder than the start.
    """
    fault = _warming_fault(volume_litres, from_celsius, to_celsius)
    if fault is not None:
        return fault
    warmed = volume_litres * (to_celsius - from_celsius)
    return finished("heat-energy", warmed * WH_PER_LITRE_KELVIN / 1000)


def heat_time(
    volume_litres: float,
    from_celsius: float,
    to_celsius: float,
    power_watts: float,
    *,
    loss_watts_per_kelvin: float = 0.0,
    room_celsius: float | None = None,
) -> float | Problem:
    """Hours a heater takes, with the heat the vessel loses to the room taken off.

    C dT/dt = P - loss (T - room), so the water comes near room + P/loss and
    never past it; refuses an end at or above that, saying what can be reached.
    With a loss the room's temperature is wanted.
    """
    fault = first(
        _warming_fault(volume_litres, from_celsius, to_celsius),
        above_zero("power", power_watts, "W"),
        zero_or_more("loss", loss_watts_per_kelvin, "W/K"),
    )
    if fault is not None:
        return fault
    if from_celsius == to_celsius:
        return 0.0
    capacity = volume_litres * WH_PER_LITRE_KELVIN
    if loss_watts_per_kelvin < SMALLEST:
        return finished("heat-time", capacity * (to_celsius - from_celsius) / power_watts)
    if room_celsius is None:
        return Problem("room", "is wanted where heat is lost", "give the room's temperature in C")
    if (fault := _room("room", room_celsius)) is not None:
        return fault
    end_celsius = room_celsius + power_watts / loss_watts_per_kelvin
    if end_celsius <= to_celsius:
        least = loss_watts_per_kelvin * (to_celsius - room_celsius)
        what = f"{power_watts:g} W cannot warm it to {to_celsius:g} C in a room of {room_celsius:g}"
        return refuse("power", what, _reach_words(end_celsius, from_celsius, least))
    span = math.log1p((to_celsius - from_celsius) / (end_celsius - to_celsius))
    return finished("heat-time", capacity / loss_watts_per_kelvin * span)


def temp_after(
    volume_litres: float,
    from_celsius: float,
    hours: float,
    power_watts: float = 0.0,
    *,
    loss_watts_per_kelvin: float = 0.0,
    room_celsius: float | None = None,
) -> float | Problem:
    """Temperature after so many hours of a heater, or of none: `heat_time` turned round.

    T nears room + P/loss as exp(-loss t/C). With a loss the room's temperature
    is wanted. May pass 100 C, where no thermostat is thought of.
    """
    fault = first(
        above_zero("volume", volume_litres, "L"),
        _water("from", from_celsius),
        zero_or_more("hours", hours, "h"),
        zero_or_more("power", power_watts, "W"),
        zero_or_more("loss", loss_watts_per_kelvin, "W/K"),
    )
    if fault is not None:
        return fault
    capacity = volume_litres * WH_PER_LITRE_KELVIN
    if loss_watts_per_kelvin < SMALLEST:
        return finished("temp-after", from_celsius + power_watts * hours / capacity)
    if room_celsius is None:
        return Problem("room", "is wanted where heat is lost", "give the room's temperature in C")
    if (fault := _room("room", room_celsius)) is not None:
        return fault
    end_celsius = room_celsius + power_watts / loss_watts_per_kelvin
    gone = -math.expm1(-loss_watts_per_kelvin * hours / capacity)
    return finished("temp-after", from_celsius + (end_celsius - from_celsius) * gone)


def _reach_words(reach: float, start: float, least_watts: float) -> str:
    """What the heater could do, and what heater could do it."""
    if reach <= start:
        can = f"it cannot even hold {start:g} C"
    else:
        can = f"it can come near {reach:.4g} C"
    return f"{can}; more than {least_watts:.4g} W is needed"


def _warming_fault(volume: float, start: float, end: float) -> Problem | None:
    fault = first(above_zero("volume", volume, "L"), _water("from", start), _water("to", end))
    if fault is None and end < start:
        what = f"{end:g} C is colder than the {start:g} C it has"
        fault = refuse("to", what, f"a heater can only reach {start:g} C or more")
    return fault


def cool_time(
    from_celsius: float, to_celsius: float, room_celsius: float, tau_hours: float
) -> float | Problem:
    """Hours until unheated water drifts to a temperature: tau ln((T0-Tr)/(T-Tr)).

    Newton's law of cooling. Works upward too, in a room warmer than the water.
    Refuses what lies at or past the room's own temperature, or the other way.
    """
    fault = first(
        _water("from", from_celsius),
        _water("to", to_celsius),
        _room("room", room_celsius),
        above_zero("tau", tau_hours, "h"),
    )
    if fault is not None:
        return fault
    if from_celsius == to_celsius:
        return 0.0
    ratio = _drift_ratio(from_celsius, to_celsius, room_celsius)
    if isinstance(ratio, Problem):
        return ratio
    return finished("cool-time", tau_hours * math.log(ratio))


def tau_from_drop(
    from_celsius: float, to_celsius: float, room_celsius: float, hours: float
) -> float | Problem:
    """The time constant of a tank, in hours, from one drop seen with the heat off."""
    fault = first(
        _water("from", from_celsius),
        _water("to", to_celsius),
        _room("room", room_celsius),
        above_zero("hours", hours, "h"),
    )
    if fault is not None:
        return fault
    ratio = _drift_ratio(from_celsius, to_celsius, room_celsius)
    if isinstance(ratio, Problem):
        return ratio
    if ratio <= 1:
        return refuse("to", "no change was seen, so no time constant follows")
    return finished("tau", hours / math.log(ratio))


def _drift_ratio(start: float, end: float, room: float) -> float | Problem:
    """(start - room)/(end - room), above 1 where the water drifts toward the room."""
    gap, left = start - room, end - room
    if left == 0 or gap * left <= 0 or abs(left) > abs(gap):
        way = "cools" if gap > 0 else "warms"
        what = f"water of {start:g} C in a room of {room:g} C never comes to {end:g} C by itself"
        held = f"it stays at {start:g} C" if gap == 0 else f"it {way} toward {room:g} C"
        return refuse("to", what, held)
    return gap / left


def temp_after_change(tank_celsius: float, new_celsius: float, fraction: float) -> float | Problem:
    """A tank's own temperature after its change: (1 - f) T + f T_new."""
    fault = first(
        _water("tank", tank_celsius), _water("new", new_celsius), share("fraction", fraction)
    )
    if fault is not None:
        return fault
    return tank_celsius + fraction * (new_celsius - tank_celsius)


def new_water_span(
    tank_celsius: float, fraction: float, limit_kelvin: float
) -> tuple[float, float] | Problem:
    """Coldest and warmest new water that stay within a step: T -/+ limit / f."""
    fault = first(
        _water("tank", tank_celsius),
        share("fraction", fraction),
        above_zero("fraction", fraction),
        zero_or_more("limit", limit_kelvin, "K"),
    )
    if fault is not None:
        return fault
    reach = limit_kelvin / fraction
    return tank_celsius - reach, tank_celsius + reach


def largest_fraction_for_step(
    tank_celsius: float, new_celsius: float, limit_kelvin: float
) -> float | Problem:
    """The largest change that stays within a step, 0 to 1: limit / |T_new - T|."""
    fault = first(
        _water("tank", tank_celsius),
        _water("new", new_celsius),
        zero_or_more("limit", limit_kelvin, "K"),
    )
    if fault is not None:
        return fault
    gap = abs(new_celsius - tank_celsius)
    return 1.0 if gap <= limit_kelvin else limit_kelvin / gap
