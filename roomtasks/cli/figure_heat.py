"""Figures on heat, filling, draining and evaporation."""

from roomtasks.cli.figure_kit import (
    LEFT_OUT,
    Answer,
    Figure,
    Values,
    celsius,
    length,
    litres,
    number,
    one,
)
from roomtasks.room import chemistry, flow, heat
from roomtasks.room.problem import Problem

_VOLUME = litres("volume", "litres of water")
_CAPACITY = "heat balance; 1.163 Wh per litre and kelvin (4186.8 J/(kg K))"


def _mix_temp(given: Values) -> Answer | Problem:
    first = given.num("volume1"), given.num("temp1")
    return one(heat.mix_temp(*first, given.num("volume2"), given.num("temp2")))


def _heat_time(given: Values) -> Answer | Problem:
    return one(
        heat.heat_time(
            given.num("volume"),
            given.num("from"),
            given.num("to"),
            given.num("power"),
            loss_watts_per_kelvin=given.num("loss"),
            room_celsius=given.maybe("room"),
        )
    )


def _cool_time(given: Values) -> Answer | Problem:
    room, tau = given.num("room"), given.num("tau")
    return one(heat.cool_time(given.num("from"), given.num("to"), room, tau))


def _drain_time(given: Values) -> Answer | Problem:
    return one(
        flow.drain_time(
            given.num("area"),
            given.num("hole"),
            given.num("depth"),
            given.num("coefficient"),
            given.num("g"),
        )
    )


def _evaporation(given: Values) -> Answer | Problem:
    area, air_speed = given.num("area"), given.num("air_speed")
    return one(chemistry.evaporation(area, air_speed, given.num("xs"), given.num("x")))


HEAT = (
    Figure(
        "mix-temp",
        "temperature of two waters mixed",
        (
            litres("volume1", "litres of the one"),
            celsius("temp1", "its temperature"),
            litres("volume2", "litres of the other"),
            celsius("temp2", "its temperature"),
        ),
        "C",
        "(volume1 x temp1 + volume2 x temp2) / (volume1 + volume2)",
        "heat balance of equal litres",
        _mix_temp,
    ),
    Figure(
        "heat-energy",
        "energy that warms water, none lost",
        (_VOLUME, celsius("from", "temperature it has"), celsius("to", "temperature wanted")),
        "kWh",
        "volume x (to - from) x 1.163 / 1000",
        _CAPACITY,
        lambda given: one(
            heat.heat_energy(given.num("volume"), given.num("from"), given.num("to"))
        ),
    ),
    Figure(
        "heat-time",
        "hours a heater takes",
        (
            _VOLUME,
            celsius("from", "temperature it has"),
            celsius("to", "temperature wanted"),
            number("power", "power of the heater", "W"),
            number("loss", "heat lost to the room", "W/K", 0.0),
            celsius("room", "temperature of the room, wanted with a loss", default=LEFT_OUT),
        ),
        "h",
        "volume x 1.163 x (to - from) / power; with a loss: volume x 1.163 / loss x "
        "ln((end - from) / (end - to)), end = room + power / loss",
        _CAPACITY,
        _heat_time,
    ),
    Figure(
        "cool-time",
        "hours until water with no heater comes to a temperature",
        (
            celsius("from", "temperature it has"),
            celsius("to", "temperature it comes to"),
            celsius("room", "temperature of the room"),
            number("tau", "time constant of the tank", "h"),
        ),
        "h",
        "tau x ln((from - room) / (to - room))",
        "Newton's law of cooling",
        _cool_time,
    ),
    Figure(
        "fill-time",
        "minutes to run in so many litres",
        (_VOLUME, number("rate", "rate of the fill", "L/min")),
        "min",
        "volume / rate",
        "arithmetic",
        lambda given: one(flow.fill_time(given.num("volume"), given.num("rate"))),
    ),
    Figure(
        "drain-time",
        "seconds until a straight-sided vessel has emptied through a hole in its floor",
        (
            number("area", "water surface", "m2"),
            number("hole", "area of the hole", "m2"),
            length("depth", "depth of the water", "m"),
            number("coefficient", "discharge coefficient", "", 1.0),
            number("g", "gravity", "m/s2", flow.STANDARD_GRAVITY),
        ),
        "s",
        "area / hole x sqrt(2 depth / g) / coefficient",
        "Torricelli's law",
        _drain_time,
    ),
    Figure(
        "evaporation",
        "water lost from an open surface",
        (
            number("area", "water surface", "m2"),
            number("air_speed", "speed of the air over it", "m/s", 0.0),
            number("xs", "moisture of saturated air at the water's temperature", "kg/kg"),
            number("x", "moisture of the room's air", "kg/kg"),
        ),
        "kg/h",
        "(25 + 19 air_speed) x area x (xs - x)",
        "engineering handbook form for open pools; overstates quiet, covered tanks",
        _evaporation,
    ),
)
