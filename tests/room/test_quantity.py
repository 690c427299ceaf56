"""Units, conversions, typed amounts, and the numbers that are refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    IMPOSSIBLE,
    MEQ_PER_L_PER_DEGREE,
    UNITS,
    Measure,
    above_zero,
    convert,
    molar_mass,
    number,
    read_number,
    read_quantity,
    share,
    units_of,
    whole,
    zero_or_more,
)

NIST = "NIST Handbook 44, Appendix C; NIST SP 811 (2008), Appendix B.8"
UK = "UK Weights and Measures Act 1985"
OPENSTAX = "OpenStax, Contemporary Mathematics (2023), Measuring Volume"
CRESWELL = "FAO, annexes from R. LeRoy Creswell, Aquaculture Desk Reference (1993)"
GERMAN = "Degree of German hardness: 10 mg CaO per litre; IUPAC masses"
IUPAC = "IUPAC standard atomic weights"
SPELLMAN = "F. R. Spellman, water mathematics handbook, Hardness chapter"
WHO = "WHO Guidelines for Drinking-water Quality (figure from memory), IUPAC masses"
MSU = "conversion table crediting Mississippi State University Extension Service"
PURDUE = "extension sheet 'Use and Application of Salt in Aquaculture' (type AS-458)"
LSU = "Louisiana State University AgCenter, Stocking Procedures"


@pytest.mark.parametrize(
    ("value", "source", "target", "expected", "relative", "published"),
    [
        (1, "gal_us", "l", 3.785411784, 1e-12, NIST),
        (1, "gal_imp", "l", 4.54609, 1e-12, UK),
        (1, "in", "cm", 2.54, 1e-12, NIST),
        (1, "ft3", "l", 28.316846592, 1e-12, NIST),
        (1, "ft3", "gal_us", 7.480519480519481, 1e-9, NIST),
        (1, "lb", "g", 453.59237, 1e-12, NIST),
        (1, "pt_us", "ml", 473.176473, 1e-12, NIST),
        (1, "in3", "ml", 16.387064, 1e-12, NIST),
        (1, "gal_us", "gal_imp", 0.8326741846, 1e-9, NIST),
        (128, "floz_us", "gal_us", 1.0, 1e-12, NIST),
        (16, "oz", "lb", 1.0, 1e-12, NIST),
        (22_712_000_000, "cm3", "l", 22_712_000, 1e-12, OPENSTAX),
        (108, "ft3", "gal_us", 807.8961, 1e-3, PURDUE),
        (75.2, "f", "c", 24.0, 1e-12, CRESWELL),
        (82.4, "f", "c", 28.0, 1e-12, CRESWELL),
        (5, "delta_f", "delta_c", 2.77778, 1e-5, "definition of the scales"),
        (10, "delta_f", "delta_c", 5.556, 1e-3, LSU),  # 5 F in half an hour, by the hour
        (1, "dgh", "ppm_caco3", 17.848, 5e-5, GERMAN),
        (1, "dgh", "mmol_l", 0.17832, 5e-5, GERMAN),
        (1, "dkh", "mg_l_hco3", 21.761, 1e-4, GERMAN),
        (100, "ppm_caco3", "dgh", 5.603, 5e-4, GERMAN),
        (1, "meq_l", "ppm_caco3", 50.043, 1e-4, "Standard Methods 2320 (from memory)"),
        (1, "meq_l", "dkh", 2.80387, 1e-4, GERMAN),
        (1, "dgh", "dfrench", 1.7848, 1e-4, GERMAN + "; 1 French degree = 10 mg/L CaCO3"),
        (1, "dgh", "dclark", 1.25216, 1e-4, GERMAN + "; 1 grain per imperial gallon"),
        (1, "gpg_us", "ppm_caco3", 17.118061, 1e-8, NIST),
        (1, "dclark", "ppm_caco3", 14.2537675, 1e-8, NIST),
        (1, "mg_l_mg", "ppm_caco3", 4.1179, 5e-4, "Standard Methods 2340 B (from memory)"),
        (133, "mg_l_hco3", "ppm_caco3", 109.1, 2e-3, "worked example, keepers' forum, printed 109"),
        (1, "nh3_n", "nh3", 1.2159, 2e-4, IUPAC),
        (1, "nh4_n", "nh4", 1.2878, 2e-4, IUPAC),
        (50, "no3", "no3_n", 11.295, 2e-4, WHO),
        (3, "no2", "no2_n", 0.9134, 2e-4, WHO),
        (32.2, "nh3_n", "no3", 142.54, 1e-3, "mass balance, IUPAC masses"),
    ],
)
def test_units_convert_as_published(
    value: float, source: str, target: str, expected: float, relative: float, published: str
) -> None:
    assert convert(value, source, target) == pytest.approx(expected, rel=relative), published


def test_hardness_of_calcium_and_magnesium_adds_up() -> None:
    # 72 mg/L Ca and 26 mg/L Mg: printed 286 with rounded factors, keepers' forum worked example
    calcium, magnesium = convert(72, "mg_l_ca", "ppm_caco3"), convert(26, "mg_l_mg", "ppm_caco3")
    assert isinstance(calcium, float)
    assert isinstance(magnesium, float)
    assert calcium + magnesium == pytest.approx(286.9, rel=4e-3)


@pytest.mark.parametrize(
    ("worked", "expected", "relative", "published"),
    [
        (molar_mass("Ca") / 2, 20.04, 1e-4, SPELLMAN),
        (molar_mass("CaO"), 56.077, 1e-4, IUPAC),
        (2 * molar_mass("O2") / molar_mass("N"), 4.57, 5e-4, "US EPA 1975 nitrogen-control manual"),
        (2 * molar_mass("NaHCO3") / molar_mass("N"), 11.995, 5e-4, "stoichiometry, IUPAC"),
        (molar_mass("CaCl2.2H2O") / molar_mass("CaCO3"), 1.469, 5e-4, "stoichiometry, IUPAC"),
        (0.16 * 0.80 * 0.80 * 0.90, 0.09216, 1e-9, "Timmons and Ebeling (from memory)"),
        (MEQ_PER_L_PER_DEGREE, 0.35665, 1e-4, GERMAN),
        (28.316846592e-3, 0.0283, 1e-3, MSU),  # grams in a cubic foot for 1 mg/L
        (453592.37 / (1000 * 3.785411784), 119.8264, 1e-6, "1 lb in 1000 gal, McDonald 2005"),
    ],
)
def test_masses_come_out_as_published(
    worked: float, expected: float, relative: float, published: str
) -> None:
    assert worked == pytest.approx(expected, rel=relative), published


def test_a_formula_that_is_none_is_the_programmers_fault() -> None:
    with pytest.raises(ValueError, match="plain formula"):
        molar_mass("Na(OH)2")


PAIRS = [
    (first, second)
    for measure in Measure
    for first in units_of(measure)
    for second in units_of(measure)
]


@given(pair=st.sampled_from(PAIRS), value=st.floats(0, 1e6))
def test_there_and_back_is_the_same(pair: tuple[str, str], value: float) -> None:
    there = convert(value, *pair)
    assert isinstance(there, float)
    back = convert(there, pair[1], pair[0])
    assert back == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(pair=st.sampled_from(PAIRS), low=st.floats(0, 1e6), gap=st.floats(1e-3, 1e6))
def test_more_of_one_unit_is_more_of_another(pair: tuple[str, str], low: float, gap: float) -> None:
    less, more = convert(low, *pair), convert(low + gap, *pair)
    assert isinstance(less, float)
    assert isinstance(more, float)
    assert less < more


@pytest.mark.parametrize(
    ("text", "measure", "bare", "expected"),
    [
        ("24in", Measure.LENGTH, "cm", 60.96),
        ("24 in", Measure.LENGTH, "cm", 60.96),
        ("24IN", Measure.LENGTH, "cm", 60.96),
        ("20gal_us", Measure.VOLUME, "l", 75.70823568),
        ("77F", Measure.TEMPERATURE, "c", 25.0),
        ("25°C", Measure.TEMPERATURE, "c", 25.0),
        ("2lb", Measure.MASS, "kg", 0.90718474),
        ("10ft", Measure.LENGTH, "m", 3.048),
        ("30%", Measure.FRACTION, "", 0.30),
        ("1e2l", Measure.VOLUME, "l", 100.0),
        (".5", Measure.VOLUME, "l", 0.5),
        ("5.", Measure.VOLUME, "l", 5.0),
        ("+5", Measure.VOLUME, "l", 5.0),
        (" 60 ", Measure.LENGTH, "cm", 60.0),
    ],
)
def test_a_suffix_names_the_unit(text: str, measure: Measure, bare: str, expected: float) -> None:
    assert read_quantity("length", text, measure, bare) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "blank"),
        ("   ", "blank"),
        ("nan", "no amount"),
        ("-NaN", "no amount"),
        ("inf", "no amount"),
        ("Infinity", "no amount"),
        ("-inf", "no amount"),
        ("1e308", "beyond any fish room"),
        ("1e999", "beyond any fish room"),
        ("1,5", "comma"),
        ("１２", "digits 0 to 9"),
        ("١٢", "digits 0 to 9"),
        ("1_000", "digits 0 to 9"),
        ("1.2.3", "digits 0 to 9"),
        ("--3", "digits 0 to 9"),
        ("5 5", "digits 0 to 9"),
        ("length", "give a number"),
        ("3stone", "not known"),
        ("5gal", "gal_us or gal_imp"),
        ("1e", "not known"),
        ("0x10", "not known"),
        ("12kg", "no unit of length"),
        ("12%", "no unit of length"),
        ("7\x1b[31m", "not known"),
    ],
)
def test_what_is_no_length_is_refused_by_name(text: str, says: str) -> None:
    answer = read_quantity("length", text, Measure.LENGTH, "cm")
    assert isinstance(answer, Problem)
    assert answer.where == "length"
    assert answer.rule == ""
    assert says in answer.sentence()
    assert "\x1b" not in answer.sentence()


def test_a_bare_number_takes_no_unit() -> None:
    assert read_number("ph", "7.2") == 7.2
    answer = read_number("ph", "7.2cm")
    assert isinstance(answer, Problem)
    assert answer.where == "ph"


def test_minus_nothing_is_nothing() -> None:
    zero = read_number("source", "-0")
    assert isinstance(zero, float)
    assert math.copysign(1, zero) == 1


def test_the_coldest_there_is_still_converts() -> None:
    assert convert(-273.15, "c", "f") == pytest.approx(-459.67)
    assert convert(-459.67, "f", "c") == pytest.approx(-273.15)
    assert isinstance(convert(-273.16, "c", "f"), Problem)
    zero = convert(-0.0, "c", "c")
    assert isinstance(zero, float)
    assert math.copysign(1, zero) == 1


@given(st.text(max_size=30))
def test_whatever_is_typed_is_a_number_or_a_problem(text: str) -> None:
    answer = read_quantity("volume", text, Measure.VOLUME, "l")
    assert isinstance(answer, Problem) or math.isfinite(answer)


@pytest.mark.parametrize(
    ("source", "target"), [("l", "kg"), ("c", "delta_c"), ("no3_n", "dgh"), ("po4", "no3")]
)
def test_units_of_two_kinds_do_not_convert(source: str, target: str) -> None:
    answer = convert(1.0, source, target)
    assert isinstance(answer, Problem)
    assert source in answer.sentence()
    assert target in answer.sentence()


@pytest.mark.parametrize(
    ("value", "unit"), [(-1.0, "l"), (-300.0, "c"), (-460.0, "f"), (math.nan, "l"), (2e12, "cm")]
)
def test_amounts_that_cannot_be_do_not_convert(value: float, unit: str) -> None:
    answer = convert(value, unit, unit)
    assert isinstance(answer, Problem)
    assert answer.rule == IMPOSSIBLE


def test_a_unit_nobody_knows_is_named() -> None:
    for first, second, where in (("furlong", "cm", "from"), ("cm", "furlong", "to")):
        answer = convert(1.0, first, second)
        assert isinstance(answer, Problem)
        assert answer.where == where
        assert "furlong" in answer.what


@pytest.mark.parametrize(
    "fault",
    [
        number("x", math.nan),
        number("x", math.inf),
        number("x", -1e308),
        above_zero("x", 0.0),
        above_zero("x", -0.0),
        above_zero("x", 1e-300),
        zero_or_more("x", -1e-9),
        share("x", 1.01),
        share("x", -0.01),
        whole("x", 1.5),
        whole("x", -1),
        whole("x", 0, low=1),
    ],
)
def test_numbers_no_room_has_are_impossible(fault: Problem | None) -> None:
    assert fault is not None
    assert fault.where == "x"
    assert fault.rule == IMPOSSIBLE


@pytest.mark.parametrize(
    "fault",
    [
        number("x", -5.0),
        above_zero("x", 0.001),
        zero_or_more("x", 0.0),
        zero_or_more("x", -0.0),
        share("x", 0.0),
        share("x", 1.0),
        whole("x", 3),
    ],
)
def test_numbers_a_room_has_pass(fault: Problem | None) -> None:
    assert fault is None


def test_a_percentage_for_a_fraction_is_told_how_to_be_written() -> None:
    fault = share("fraction", 30)
    assert fault is not None
    assert "0.3" in fault.remedy


def test_every_unit_is_found_under_its_own_name() -> None:
    assert all(name == unit.name for name, unit in UNITS.items())
