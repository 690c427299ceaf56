"""Published values of chemistry against the sums and checks that doses are made of."""

import pytest

from roomtasks.room import chemistry
from roomtasks.room.amount import Amount
from roomtasks.room.dosing import chlorine_check
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    GRAMS_PER_POUND,
    LITRES_PER_GAL_US,
    MEQ_PER_L_PER_DEGREE,
    convert,
    molar_mass,
)

STOICHIOMETRY = "stoichiometry, IUPAC masses"
FIELD_GUIDE = "Lauer and Sanchez, Disinfection of Pipelines Field Guide (AWWA 2006), Table 7-5"
STANDARD_METHODS = "Standard Methods 23rd ed., sample collection (9060)"
GERMAN = "stoichiometry on 1 dH = 10 mg/L CaO"
VM86 = "R. Francis-Floyd, The Use of Salt in Aquaculture, UF/IFAS VM 86"
LSU = "Louisiana State University AgCenter, Stocking Procedures"


def value(answer: float | Amount | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer.value if isinstance(answer, Amount) else answer


@pytest.mark.parametrize(
    ("agent", "pounds", "share_above"),
    [("ascorbic_acid", 2.08, 0.01), ("sodium_metabisulfite", 1.23, 0.11)],
)
def test_field_doses_for_a_main_lie_a_little_above_the_check(
    agent: str, pounds: float, share_above: float
) -> None:
    grams = value(chlorine_check(1.0, 100_000 * LITRES_PER_GAL_US, agent))
    field_grams = pounds * GRAMS_PER_POUND
    assert grams <= field_grams * 1.001 <= grams * (1 + share_above), FIELD_GUIDE


def test_field_doses_for_a_hundred_cubic_metres() -> None:
    ascorbic = value(chlorine_check(1.0, 100_000.0, "ascorbic_acid")) / 1000
    assert ascorbic == pytest.approx(0.25, rel=0.03), FIELD_GUIDE
    whole = value(chlorine_check(1.0, 100_000.0)) / 1000
    least = value(chemistry.thiosulfate_to_sulfate(1.0, 100_000.0)) / 1000
    assert least < 0.19 < whole, FIELD_GUIDE  # between its two reactions


def test_anhydrous_thiosulfate_and_what_a_sample_bottle_is_given() -> None:
    ratio = 2 * molar_mass("Na2S2O3") / molar_mass("Cl2")
    assert ratio == pytest.approx(4.46, rel=1e-3), STOICHIOMETRY
    for percent, most in ((10, 15.0), (3, 5.0)):
        given_mg_per_l = percent * 10 * 0.1 / 0.120
        assert given_mg_per_l / ratio > most, STANDARD_METHODS


def test_carbonate_and_calcium_by_degree() -> None:
    carbonate = MEQ_PER_L_PER_DEGREE * molar_mass("Na2CO3") / 2
    assert carbonate == pytest.approx(18.9, rel=2e-3), GERMAN
    per_mg = molar_mass("CaCl2.2H2O") / molar_mass("CaCO3")
    assert per_mg == pytest.approx(1.469, rel=5e-4), STOICHIOMETRY


def test_percent_and_parts_of_salt() -> None:
    assert 1000 * value(chemistry.bath_salt(1, 0, 30)) == pytest.approx(30_000), VM86  # ppm
    assert value(chemistry.bath_salt(1, 0, 5)) == pytest.approx(1000 * 0.005), VM86  # 0.5 %


def test_steps_of_temperature_while_fish_get_used_to_water() -> None:
    fall, rise = value(convert(5, "delta_f", "delta_c")), value(convert(7, "delta_f", "delta_c"))
    assert 2 * fall == pytest.approx(5.556, rel=1e-3), LSU  # K an hour, from half an hour
    assert rise > fall > 1.0, LSU  # the room's own limit of 1 K at a change lies well inside
