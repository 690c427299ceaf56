"""Amounts: their units, how a typed one is read, and which numbers are refused.

Lives here: unit factors with their sources, conversion between units of one
kind, reading "24in", "20gal_us" or "77F", and the small checks every formula of
the room starts with. Lengths are worked in cm, volumes in litres, masses in
grams, temperatures in degrees Celsius.
Does not live here: the formulas themselves (`volume`, `water`, `heat`,
`chemistry`, `growth`, `packing`, `flow`).

Sources: inch, foot, gallons, pint, fluid ounce and pound are exact (NIST
Handbook 44, Appendix C; NIST SP 811, Appendix B.8; imperial gallon: UK Weights
and Measures Act 1985). Atomic weights: IUPAC 2021, abridged. One German degree
is 10 mg/L CaO, one French degree 10 mg/L CaCO3, one Clark degree one grain of
CaCO3 per imperial gallon.
"""

import math
import re
from dataclasses import dataclass, replace
from enum import Enum

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem

IMPOSSIBLE = "impossible"
LARGEST = 1e12  # no room holds more of anything; keeps every product finite
LARGEST_ANSWER = 1e30
SMALLEST = 1e-12  # what must be above zero must be so by this much, to divide by it

CM_PER_INCH = 2.54  # NIST HB 44 App. C, exact
LITRES_PER_IN3 = 0.016387064  # 2.54 cm cubed, exact
LITRES_PER_FT3 = 28.316846592  # 1728 cubic inches, exact
LITRES_PER_GAL_US = 3.785411784  # 231 cubic inches, NIST HB 44 App. C, exact
LITRES_PER_PT_US = 0.473176473  # an eighth of a US gallon, exact
LITRES_PER_FLOZ_US = 0.0295735295625  # a 128th of a US gallon, exact
LITRES_PER_GAL_IMP = 4.54609  # UK Weights and Measures Act 1985, exact
GRAMS_PER_POUND = 453.59237  # NIST HB 44 App. C, exact
GRAMS_PER_OUNCE = 28.349523125  # a sixteenth of a pound, exact
GRAINS_PER_POUND = 7000  # NIST HB 44 App. C, exact
MG_PER_GRAIN = 1000 * GRAMS_PER_POUND / GRAINS_PER_POUND
ABSOLUTE_ZERO_CELSIUS = -273.15  # BIPM SI Brochure, 9th ed., exact

ATOMIC_WEIGHTS = {  # IUPAC standard atomic weights 2021, abridged to five figures
    "H": 1.0080,
    "C": 12.011,
    "N": 14.007,
    "O": 15.999,
    "Na": 22.990,
    "Mg": 24.305,
    "P": 30.974,
    "S": 32.06,
    "Cl": 35.45,
    "K": 39.098,
    "Ca": 40.078,
}


def molar_mass(formula: str) -> float:
    """Grams per mole of a plain formula such as "Na2S2O3.5H2O".

    Dots part the waters of crystallisation. Unknown signs are a ValueError: the
    formulas are written in the program, never typed by a keeper.
    """
    total = 0.0
    for part in formula.split("."):
        times, body = re.fullmatch(r"(\d*)(.+)", part).groups()  # type: ignore[union-attr]
        atoms = re.findall(r"([A-Z][a-z]?)(\d*)", body)
        if "".join(sign + count for sign, count in atoms) != body:
            raise ValueError(f"not a plain formula: {formula}")
        mass = sum(ATOMIC_WEIGHTS[sign] * int(count or 1) for sign, count in atoms)
        total += mass * int(times or 1)
    return total


CAO_MG_PER_L_PER_DEGREE = 10.0  # definition of the German degree
MMOL_PER_L_PER_DEGREE = CAO_MG_PER_L_PER_DEGREE / molar_mass("CaO")
MEQ_PER_L_PER_DEGREE = 2 * MMOL_PER_L_PER_DEGREE


class Measure(Enum):
    """What kind of thing a number counts; units convert only inside one kind."""

    PLAIN = "plain number"
    FRACTION = "fraction"
    LENGTH = "length"
    VOLUME = "volume"
    MASS = "mass"
    TEMPERATURE = "temperature"
    STEP = "temperature difference"
    HARDNESS = "hardness"
    NITROGEN = "nitrogen"
    PHOSPHORUS = "phosphorus"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: base = (value - zero) x factor, in the base unit of its measure."""

    name: str
    measure: Measure
    factor: float
    zero: float = 0.0


def _family(measure: Measure, factors: dict[str, float]) -> dict[str, Unit]:
    return {name: Unit(name, measure, factor) for name, factor in factors.items()}


_CACO3 = molar_mass("CaCO3")
_PPM_PER_DEGREE = MMOL_PER_L_PER_DEGREE * _CACO3
_N, _P = ATOMIC_WEIGHTS["N"], ATOMIC_WEIGHTS["P"]

UNITS: dict[str, Unit] = {
    **_family(
        Measure.LENGTH,
        {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": CM_PER_INCH, "ft": 12 * CM_PER_INCH},
    ),
    **_family(
        Measure.VOLUME,
        {
            "l": 1.0,
            "ml": 0.001,
            "cm3": 0.001,
            "m3": 1000.0,
            "in3": LITRES_PER_IN3,
            "ft3": LITRES_PER_FT3,
            "gal_us": LITRES_PER_GAL_US,
            "gal_imp": LITRES_PER_GAL_IMP,
            "pt_us": LITRES_PER_PT_US,
            "floz_us": LITRES_PER_FLOZ_US,
        },
    ),
    **_family(
        Measure.MASS,
        {
            "g": 1.0,
            "kg": 1000.0,
            "mg": 0.001,
            "lb": GRAMS_PER_POUND,
            "oz": GRAMS_PER_OUNCE,
        },
    ),
    "c": Unit("c", Measure.TEMPERATURE, 1.0),
    "f": Unit("f", Measure.TEMPERATURE, 1 / 1.8, 32.0),
    **_family(Measure.STEP, {"delta_c": 1.0, "delta_f": 1 / 1.8}),
    **_family(
        Measure.HARDNESS,  # base: mg/L as CaCO3
        {
            "ppm_caco3": 1.0,
            "dgh": _PPM_PER_DEGREE,
            "dkh": _PPM_PER_DEGREE,
            "mmol_l": _CACO3,
            "meq_l": _CACO3 / 2,
            "dfrench": 10.0,
            "dclark": MG_PER_GRAIN / LITRES_PER_GAL_IMP,
            "gpg_us": MG_PER_GRAIN / LITRES_PER_GAL_US,
            "mg_l_ca": _CACO3 / ATOMIC_WEIGHTS["Ca"],
            "mg_l_mg": _CACO3 / ATOMIC_WEIGHTS["Mg"],
            "mg_l_hco3": _CACO3 / 2 / molar_mass("HCO3"),
        },
    ),
    **_family(
        Measure.NITROGEN,  # base: mg/L of the nitrogen in it
        {
            "no3_n": 1.0,
            "no3": _N / molar_mass("NO3"),
            "no2_n": 1.0,
            "no2": _N / molar_mass("NO2"),
            "nh3_n": 1.0,
            "nh3": _N / molar_mass("NH3"),
            "nh4_n": 1.0,
            "nh4": _N / molar_mass("NH4"),
        },
    ),
    **_family(Measure.PHOSPHORUS, {"po4_p": 1.0, "po4": _P / molar_mass("PO4")}),
    "%": Unit("%", Measure.FRACTION, 0.01),
}

_AMBIGUOUS = {
    "gal": "gal_us or gal_imp",
    "gallon": "gal_us or gal_imp",
    "gallons": "gal_us or gal_imp",
    "pt": "pt_us",
    "floz": "floz_us",
    '"': "in",
    "'": "ft",
}
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)(?![a-z])", re.IGNORECASE)


# --- the checks every formula starts with -------------------------------------


def refuse(where: str, what: str, remedy: str = "") -> Problem:
    """A refusal by arithmetic: no such tank, water or fish can be."""
    return Problem(where=where, what=what, remedy=remedy, rule=IMPOSSIBLE)


def first(*faults: Problem | None) -> Problem | None:
    """The first fault found, if any."""
    return next((fault for fault in faults if fault is not None), None)


def number(where: str, value: float) -> Problem | None:
    """A fault unless the value is a finite number no larger than 1e12 either way."""
    if math.isnan(value):
        return refuse(where, "is not a number", "give a plain number")
    if abs(value) > LARGEST:
        return refuse(where, f"{value:g} is beyond any fish room", "check the number typed")
    return None


def above_zero(where: str, value: float, unit: str = "") -> Problem | None:
    """A fault unless the value is above zero."""
    if not (fault := number(where, value)) and value < SMALLEST:
        fault = refuse(where, f"must be above 0{_tail(unit)}, not {value + 0.0:g}")
    return fault


def zero_or_more(where: str, value: float, unit: str = "") -> Problem | None:
    """A fault unless the value is zero or above."""
    if not (fault := number(where, value)) and value < 0:
        fault = refuse(where, f"cannot be below 0{_tail(unit)}, and {value:g} is")
    return fault


def within(where: str, value: float, low: float, high: float, unit: str = "") -> Problem | None:
    """A fault unless low <= value <= high."""
    if not (fault := number(where, value)) and not low <= value <= high:
        what = f"must be from {low:g} to {high:g}{_tail(unit)}, not {value:g}"
        fault = refuse(where, what)
    return fault


def share(where: str, value: float) -> Problem | None:
    """A fault unless the value is a fraction from 0 to 1."""
    fault = within(where, value, 0.0, 1.0)
    if fault is not None and 2 <= value <= 100:
        return refuse(where, fault.what, f"{value:g} % is written {value / 100:g}")
    return fault


def share_above_zero(where: str, value: float) -> Problem | None:
    """A fault unless the value is a fraction above 0, up to 1."""
    return share(where, value) or above_zero(where, value)


def whole(where: str, value: float, low: int = 0) -> Problem | None:
    """A fault unless the value is a whole number of at least `low`."""
    if not (fault := number(where, value)) and (value != math.floor(value) or value < low):
        fault = refuse(where, f"must be a whole number from {low} up, not {value:g}")
    return fault


def finished(where: str, value: float) -> float | Problem:
    """The worked-out value, or a Problem where it left the numbers a room can hold."""
    if not abs(value) <= LARGEST_ANSWER:
        return refuse(where, "the answer is too large to be real", "check the numbers typed")
    return value + 0.0  # turns -0.0 into 0.0


def _tail(unit: str) -> str:
    return f" {unit}" if unit else ""


# --- reading and converting -----------------------------------------------------


def read_number(field: str, text: str) -> float | Problem:
    """A bare number as typed: plain digits, a point for decimals, no unit."""
    split = _split(field, text)
    if isinstance(split, Problem):
        return split
    value, suffix = split
    if suffix:
        return Problem(field, f"{_quoted(text)} has something after the number", "no unit here")
    return value


def read_quantity(field: str, text: str, measure: Measure, bare: str) -> float | Problem:
    """A typed amount in the unit named by `bare`; a suffix names another unit.

    "24in" read as a length with bare unit "cm" is 60.96. Refuses what is no
    number, an unknown unit, and a unit of another kind.
    """
    split = _split(field, text)
    if isinstance(split, Problem):
        return split
    value, suffix = split
    if not suffix:
        return value
    unit = find_unit(field, suffix, measure)
    if isinstance(unit, Problem):
        return unit
    if not bare:
        return unit.factor * value
    answer = convert(value, unit.name, bare)
    return replace(answer, where=field) if isinstance(answer, Problem) else answer


def find_unit(field: str, text: str, measure: Measure | None = None) -> Unit | Problem:
    """The unit of this name, capital letters and a degree sign aside.

    With a measure, one of that kind; the Problem then names the units that fit.
    """
    name = text.strip().lower().removeprefix("°")
    unit = UNITS.get(name)
    fits = f"use {', '.join(units_of(measure) if measure else UNITS) or 'a bare number'}"
    if unit is None:
        remedy = f"say {_AMBIGUOUS[name]}" if name in _AMBIGUOUS else fits
        return Problem(field, f"unit {_quoted(text)} is not known", remedy)
    if measure is not None and unit.measure is not measure:
        return Problem(field, f"{unit.name} is no unit of {measure.value}", fits)
    return unit


def units_of(measure: Measure) -> tuple[str, ...]:
    """The unit names of one kind."""
    return tuple(name for name, unit in UNITS.items() if unit.measure is measure)


def convert(value: float, from_unit: str, to_unit: str) -> float | Problem:
    """A value in another unit of the same kind.

    Nitrogen forms convert by the nitrogen in them, hardness by the equivalent
    CaCO3. Refuses units of two kinds, and a temperature below absolute zero.
    """
    source, target = find_unit("from", from_unit), find_unit("to", to_unit)
    if isinstance(source, Problem):
        return source
    if isinstance(target, Problem):
        return target
    if source.measure is not target.measure:
        what = f"{source.name} is a {source.measure.value}, {target.name} a {target.measure.value}"
        fits = ", ".join(units_of(source.measure))
        return Problem("to", what, f"{source.name} goes to {fits}")
    if (fault := _convertible(value, source)) is not None:
        return fault
    if source == target:
        return value + 0.0
    base = (value - source.zero) * source.factor
    return finished("convert", base / target.factor + target.zero)


def _convertible(value: float, unit: Unit) -> Problem | None:
    if unit.measure is Measure.STEP:
        return number("value", value)
    if unit.measure is Measure.TEMPERATURE:
        fault = number("value", value)
        if fault is None and (value - unit.zero) * unit.factor < ABSOLUTE_ZERO_CELSIUS - 1e-9:
            fault = refuse("value", f"{value:g} {unit.name} is below absolute zero")
        return fault
    return zero_or_more("value", value, unit.name)


def _split(field: str, text: str) -> tuple[float, str] | Problem:
    """The number and the unit suffix of a typed amount."""
    typed = text.strip()
    if not typed:
        return Problem(field, "is blank", "give a number")
    if _NOT_FINITE.match(typed):
        return Problem(field, f"{_quoted(text)} is no amount", "give a plain number")
    found = _NUMBER.match(typed)
    if found is None:
        why = "use the digits 0 to 9" if any(map(str.isdigit, typed)) else "give a number"
        return Problem(field, f"{_quoted(text)} is not a number", why)
    value, rest = float(found.group()), typed[found.end() :].strip()
    if rest.startswith(","):
        return Problem(field, f"{_quoted(text)} has a comma", "write decimals with a point, 1.5")
    if rest[:1].isdigit() or rest[:1] in {"_", ".", "+", "-"}:
        return Problem(field, f"{_quoted(text)} is not a number", "use the digits 0 to 9")
    if abs(value) > LARGEST:
        return Problem(field, f"{_quoted(text)} is beyond any fish room", "check the number")
    return value + 0.0, rest


def _quoted(text: str) -> str:
    return f"“{shown(text)}”"
