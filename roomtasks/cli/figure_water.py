"""Figures on volumes and water changes."""

from roomtasks.cli.figure_kit import (
    LEFT_OUT,
    Answer,
    Figure,
    Values,
    fraction,
    length,
    litres,
    mass,
    number,
    one,
    whole,
    words,
)
from roomtasks.room import quantity, volume, water
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem

_BALANCE = "mass balance of well-mixed water"
_THROUGH = "Progressive Fish-Culturist 47(1), 1985, 69-70"


def _tank_volume(given: Values) -> Answer | Problem:
    found = volume.tank_volume(
        given.num("length"),
        given.num("width"),
        given.num("water"),
        sand_cm=given.num("sand"),
        porosity=given.num("porosity"),
        rock_kg=given.num("rock"),
        rock_density_kg_per_l=given.num("rock_density"),
        gear_litres=given.num("gear"),
    )
    if isinstance(found, Problem):
        return found
    taken = {
        "gross_litres": found.gross_litres,
        "sand_litres": found.sand_litres,
        "rock_litres": found.rock_litres,
        "gear_litres": found.gear_litres,
    }
    return Answer(found.net_litres, taken)


def _convert(given: Values) -> Answer | Problem:
    source = _unit("from", given.words("from"))
    target = _unit("to", given.words("to"))
    if isinstance(source, Problem):
        return source
    if isinstance(target, Problem):
        return target
    found = quantity.convert(given.num("value"), source.name, target.name)
    return found if isinstance(found, Problem) else Answer(found, unit=target.name)


def _unit(field: str, text: str) -> quantity.Unit | Problem:
    found = quantity.find_unit(field, text)
    if isinstance(found, Problem) and (alike := near(text, quantity.UNITS)):
        return Problem(field, found.what, or_words(alike))
    return found


def _after_change(given: Values) -> Answer | Problem:
    share, source = given.num("fraction"), given.num("source")
    return one(water.after_change(given.num("before"), share, source, given.whole("times")))


def _changes_needed(given: Values) -> Answer | Problem:
    before, target = given.num("before"), given.num("target")
    return one(water.changes_needed(before, target, given.num("fraction"), given.num("source")))


def _steady(given: Values) -> Answer | Problem:
    found = water.steady(given.num("production"), given.num("fraction"), given.num("source"))
    if isinstance(found, Problem):
        return found
    return Answer(found.before_mg_per_l, {"after": found.after_mg_per_l})


def _catch_up(given: Values) -> Answer | Problem:
    found = water.catch_up(given.num("fraction"), given.whole("missed"), given.num("limit"))
    if isinstance(found, Problem):
        return found
    split = {"changes": found.changes, "each_fraction": found.each_fraction}
    return Answer(found.fraction, split)


def _system_fraction(given: Values) -> Answer | Problem:
    found = water.system_fraction(given.num("drained"), given.num("volume"))
    tanks = given.maybe("tanks")
    if isinstance(found, Problem) or tanks is None:
        return one(found)
    each = water.per_tank_fraction(found, given.num("volume"), tanks)
    return each if isinstance(each, Problem) else Answer(found, {"per_tank_fraction": each})


_FRACTION = fraction("fraction", "share of the water changed")
_SOURCE = number("source", "concentration of the new water", "mg/L", 0.0)
_BEFORE = number("before", "concentration before", "mg/L")
_TARGET = number("target", "concentration wanted", "mg/L")
_FLOW = number("flow", "water that flows through", "L/h")
_VOLUME = litres("volume", "litres of water")

WATER = (
    Figure(
        "tank-volume",
        "litres of water in a rectangular tank",
        (
            length("length", "inside length"),
            length("width", "inside width"),
            length("water", "height of the water, up to the running level"),
            length("sand", "depth of the sand", default=0.0),
            fraction("porosity", "share of the sand that is water", volume.POROSITY),
            mass("rock", "rock", "kg", 0.0),
            number("rock_density", "density of rock", "kg/L", volume.ROCK_DENSITY_KG_PER_L),
            litres("gear", "litres that filters and other gear take", 0.0),
        ),
        "L",
        "length x width x (water - sand (1 - porosity)) / 1000 - rock / rock_density - gear",
        "geometry; porosity and density of rock are common practice",
        _tank_volume,
    ),
    Figure(
        "cylinder-volume",
        "litres in a cylinder lying flat, with flat ends",
        (
            length("diameter", "inside diameter"),
            length("length", "inside length"),
            length("depth", "depth of the water"),
        ),
        "L",
        "length x (R^2 acos((R - h)/R) - (R - h) sqrt(2 R h - h^2)) / 1000",
        "area of a segment of a circle",
        lambda given: one(
            volume.cylinder_volume(given.num("diameter"), given.num("length"), given.num("depth"))
        ),
    ),
    Figure(
        "drain-mark",
        "how far below the running level to drain",
        (
            _FRACTION,
            litres("net", "litres of water in the tank"),
            length("length", "inside length"),
            length("width", "inside width"),
        ),
        "cm",
        "fraction x net x 1000 / (length x width)",
        "geometry, above sand and rock",
        lambda given: one(
            volume.drain_mark(
                given.num("fraction"), given.num("net"), given.num("length"), given.num("width")
            )
        ),
    ),
    Figure(
        "convert",
        "an amount in another unit of its kind",
        (
            number("value", "the amount"),
            words("from", "its unit: " + ", ".join(quantity.UNITS)),
            words("to", "the unit wanted"),
        ),
        "as to",
        "value x factor of from / factor of to; C = (F - 32) / 1.8",
        "NIST Handbook 44 App. C; UK Weights and Measures Act 1985; IUPAC atomic weights 2021; "
        "1 degree = 10 mg/L CaO",
        _convert,
    ),
    Figure(
        "after-change",
        "concentration after changes",
        (_BEFORE, _FRACTION, _SOURCE, whole("times", "how many changes", 1)),
        "mg/L",
        "source + (before - source) (1 - fraction)^times",
        _BALANCE,
        _after_change,
    ),
    Figure(
        "change-needed",
        "the one change that reaches a concentration",
        (_BEFORE, _TARGET, _SOURCE),
        "fraction",
        "(before - target) / (before - source)",
        _BALANCE,
        lambda given: one(
            water.change_needed(given.num("before"), given.num("target"), given.num("source"))
        ),
    ),
    Figure(
        "changes-needed",
        "how many equal changes reach a concentration",
        (_BEFORE, _TARGET, _FRACTION, _SOURCE),
        "changes",
        "ln((target - source) / (before - source)) / ln(1 - fraction), rounded up",
        _BALANCE,
        _changes_needed,
    ),
    Figure(
        "steady",
        "where a regular change settles, just before it",
        (number("production", "what builds up between changes", "mg/L"), _FRACTION, _SOURCE),
        "mg/L",
        "source + production / fraction; after: source + production (1 - fraction) / fraction",
        _BALANCE,
        _steady,
    ),
    Figure(
        "through-flow",
        "share replaced by water that flows through",
        (_FLOW, _VOLUME, number("hours", "for how long", "h")),
        "fraction",
        "1 - exp(-flow x hours / volume)",
        _THROUGH,
        lambda given: one(
            water.through_flow(given.num("flow"), given.num("volume"), given.num("hours"))
        ),
    ),
    Figure(
        "through-flow-time",
        "hours of flow that replace a share",
        (fraction("fraction", "share to replace"), _FLOW, _VOLUME),
        "h",
        "-ln(1 - fraction) x volume / flow",
        _THROUGH,
        lambda given: one(
            water.through_flow_time(given.num("fraction"), given.num("flow"), given.num("volume"))
        ),
    ),
    Figure(
        "catch-up",
        "the change that makes up for missed ones, and its parts within a limit",
        (
            fraction("fraction", "the usual change"),
            whole("missed", "changes missed"),
            fraction("limit", "largest change of a tank in a day", water.LARGEST_CHANGE),
        ),
        "fraction",
        "(missed + 1) fraction / (1 + missed x fraction); each of k: 1 - (1 - value)^(1/k)",
        _BALANCE + ", back to the usual level after a change",
        _catch_up,
    ),
    Figure(
        "system-fraction",
        "share of shared water that was drained",
        (
            litres("drained", "litres drained from the tanks"),
            litres("volume", "litres of tanks, sump and pipes together"),
            litres("tanks", "litres of the tanks alone", default=LEFT_OUT),
        ),
        "fraction",
        "drained / volume; of each tank: value x volume / tanks",
        _BALANCE,
        _system_fraction,
    ),
)
