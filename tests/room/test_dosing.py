"""Doses of a fill and of a dosed tank, RO blends, and what a tank brings back to its system."""

import math
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, MEASURED, SET, Amount
from roomtasks.room.dosing import (
    LABEL,
    NO_LABEL_RATE,
    Rejoin,
    blend_for,
    chlorine_check,
    doses_for_fill,
    litres_to_treat,
    missing_rate,
    redose_for,
    rejoin,
    straight_from_tap,
)
from roomtasks.room.flow import ro_factor
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    GRAMS_PER_POUND,
    IMPOSSIBLE,
    LITRES_PER_GAL_US,
)
from roomtasks.room.recipe import Rate, Recipe, Source
from roomtasks.room.treatment import Level
from roomtasks.room.water_plan import Blend, Contents, Dose

INVENTED = "worked here, invented room"
POOL = "pool-trade dosing rule"
OPERATOR = "pool operator course, sample problems"
MEMBRANE = "membrane temperature table, reference 25 degC, Membrane Performance Factors"
OTHER_TABLE = "another published factor table: 1.47 at 59 degF"
VISCOSITY = "IAPWS R12-08 viscosity, mu25/muT"

HARD = Recipe(code="hard", source="tap", celsius=25.0)
SOFT = Recipe(code="soft", source="tap", ro="ro", hardness_dgh=6.0)
TAP = Source(code="tap", celsius=15.0, hardness_dgh=14.0, measured_on=date(2027, 3, 1))
RO = Source(code="ro", kind="ro", hardness_dgh=0.5, litres_per_hour=12.0)
SOURCES = {"tap": TAP, "ro": RO}
CONDITIONER = Rate(recipe="hard", product="conditioner", amount=5.0, caution="keep off skin")
SALTED = Level(tank="H1", product="salt", since=date(2027, 3, 1), per_litre=2.0)


def all_of(found: tuple[Dose, ...] | Problem) -> tuple[Dose, ...]:
    assert not isinstance(found, Problem), found.sentence()
    return found


def one(found: tuple[Dose, ...] | Dose | Problem) -> Dose:
    assert not isinstance(found, Problem), found.sentence()
    if isinstance(found, Dose):
        return found
    assert len(found) == 1
    return found[0]


def value(answer: float | Amount | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer.value if isinstance(answer, Amount) else answer


# --- a fill -----------------------------------------------------------------------------


@pytest.mark.parametrize(("litres", "ml"), [(560.0, 28.0), (359.0, 17.95), (100.0, 5.0)])
def test_conditioner_for_the_litres_added(litres: float, ml: float) -> None:
    dose = one(doses_for_fill([CONDITIONER], litres, HARD, "R1"))
    assert dose.amount.value == pytest.approx(ml), INVENTED
    assert (dose.product, dose.amount.unit, dose.where) == ("conditioner", "ml", "R1")
    assert dose.why == "during the fill"
    assert dose.amount.source == LABEL
    assert [each.value for each in dose.amount.inputs] == [litres, 5.0, 100.0]
    assert dose.caution.startswith("keep off skin. ")
    assert KINDS["treat"].caution in dose.caution


def test_rates_of_other_recipes_and_no_litres_make_no_dose() -> None:
    other = Rate(recipe="soft", product="minerals", amount=3.0, unit="g", when="mixed")
    assert one(doses_for_fill([CONDITIONER, other], 560, HARD)).product == "conditioner"
    mixed = one(doses_for_fill([CONDITIONER, other], 100, SOFT))
    assert (mixed.product, mixed.why) == ("minerals", "after mixing")
    assert mixed.caution == KINDS["treat"].caution
    assert doses_for_fill([CONDITIONER], 0.0, HARD) == ()
    assert len(all_of(doses_for_fill([CONDITIONER, other], 100))) == 2


def test_a_salted_recipe_is_salted_for_the_litres_added() -> None:
    salted = replace(HARD, salt_g_per_l=1.5)
    dose = one(doses_for_fill([], 560, salted, "R1"))
    assert (dose.product, dose.amount.value, dose.amount.unit) == ("salt", 840.0, "g")
    assert dose.amount.source == "recipe hard"


def test_no_label_rate_is_no_dose_and_a_note() -> None:
    assert doses_for_fill([], 560, HARD) == ()
    note = missing_rate([], HARD, TAP, "R1")
    assert note is not None
    assert (note.about, note.sort, note.rule) == ("R1", "warned", NO_LABEL_RATE)
    assert missing_rate([CONDITIONER], HARD, TAP) is None
    assert missing_rate([], HARD, replace(TAP, kind="rain")) is None
    assert missing_rate([], HARD, None) is None
    assert missing_rate([], None, TAP) is not None
    assert missing_rate([replace(CONDITIONER, when="mixed")], HARD, TAP) is not None


def test_litres_that_want_treating() -> None:
    def held(litres: float, raw: float, **facts: Any) -> Contents:
        return Contents(reservoir="R1", litres=litres, raw_litres=raw, **facts)

    at_work = {"filling_since": date.max}
    assert litres_to_treat(560, 140, None) == 560
    assert litres_to_treat(560, 140, held(140, 0)) == 560
    assert litres_to_treat(560, 140, held(320, 180)) == 560  # the fill is under way
    assert litres_to_treat(280, 420, held(420, 280)) == 560  # a part ran in and was not treated
    assert litres_to_treat(0, 700, held(700, 560)) == 560
    assert litres_to_treat(0, 700, held(700, 0)) == 0
    dosed = held(320, 0, treated_at=date.max, **at_work)
    assert litres_to_treat(560, 140, dosed) == 0


def test_a_tank_filled_from_the_tap_is_dosed_whole_before_the_hose_runs() -> None:
    later = Rate(recipe="hard", product="minerals", amount=3.0, unit="g", when="mixed")
    dose = one(straight_from_tap([CONDITIONER, later], 52.5, "D3"))
    assert dose.amount.value == pytest.approx(2.625)
    assert "whole tank, before the hose runs" in dose.why
    assert dose.where == "D3"


# Doses by a rate go with the litres; two printed examples, the rate typed as printed.
@pytest.mark.parametrize(
    ("pounds_per_10_000_gallons", "gallons", "pounds", "published"),
    [(5 * 1.25, 25_000, 15.625, POOL), (5 * 2.1, 60_000, 63.0, OPERATOR)],
)
def test_a_rate_scaled_by_volume(
    pounds_per_10_000_gallons: float, gallons: float, pounds: float, published: str
) -> None:
    rate = Rate(
        recipe="hard", product="a salt", amount=pounds_per_10_000_gallons * GRAMS_PER_POUND,
        unit="g", per_litres=10_000 * LITRES_PER_GAL_US,
    )  # fmt: skip
    dose = one(doses_for_fill([rate], gallons * LITRES_PER_GAL_US))
    assert dose.amount.value / GRAMS_PER_POUND == pytest.approx(pounds), published


@given(first=st.floats(0.01, 50_000), second=st.floats(0.01, 50_000), rate=st.floats(0, 1000))
def test_two_fills_take_what_one_of_both_takes(first: float, second: float, rate: float) -> None:
    label = replace(CONDITIONER, amount=rate)
    parts = sum(one(doses_for_fill([label], litres)).amount.value for litres in (first, second))
    assert one(doses_for_fill([label], first + second)).amount.value == pytest.approx(parts)


# --- RO blends --------------------------------------------------------------------------


def blended(
    recipe: Recipe = SOFT, sources: dict[str, Source] = SOURCES, *, factor: float | None = None
) -> Blend:
    found = blend_for(recipe, sources, 180.0, Amount(15.0, "C", MEASURED), factor)
    assert isinstance(found, Blend)
    return found


def test_the_blend_of_the_invented_room() -> None:
    found = blended()
    assert found.ro_fraction.value == pytest.approx(0.593, abs=5e-4), INVENTED
    assert found.ro_litres == pytest.approx(106.7, abs=0.05), INVENTED
    assert found.source_litres == pytest.approx(73.3, abs=0.05), INVENTED
    gives = next(each for each in found.hours.inputs if each.name == "so it gives")
    assert gives.value == pytest.approx(8.2, abs=0.05), INVENTED
    assert found.hours.value * 60 == pytest.approx(13 * 60 + 4, abs=0.5), INVENTED
    assert found.waste_litres == pytest.approx(320, abs=0.5), INVENTED


def test_a_makers_factor_beats_the_table() -> None:
    assert blended(factor=1.422).hours.value == pytest.approx(106.667 * 1.422 / 12, rel=1e-4)
    assert blended(factor=1.422).hours.inputs[3].known == SET


def test_a_blend_without_a_rating_or_a_temperature() -> None:
    stored = blended(sources={"tap": TAP, "ro": replace(RO, litres_per_hour=None)})
    assert (stored.hours.value, stored.hours.known) == (0.0, ASSUMED)
    typed = blend_for(SOFT, SOURCES, 180.0)
    assert isinstance(typed, Blend)
    assert typed.hours.value == pytest.approx(blended().hours.value)
    cold = blend_for(SOFT, {"tap": replace(TAP, celsius=None), "ro": RO}, 180.0)
    assert isinstance(cold, Blend)
    assert cold.hours.known == ASSUMED
    assert cold.hours.value > typed.hours.value


def test_a_recipe_that_is_not_blended() -> None:
    assert blend_for(HARD, SOURCES, 180.0) is None


def test_the_rooms_first_source_is_blended_where_none_is_named() -> None:
    assert blended(replace(SOFT, source="")) == blended()


@pytest.mark.parametrize(
    ("where", "recipe", "sources", "litres"),
    [
        ("recipe soft ro", SOFT, {"tap": TAP, "ro": replace(RO, hardness_dgh=14.0)}, 180.0),
        ("recipe soft wanted", replace(SOFT, hardness_dgh=15.0), SOURCES, 180.0),
        ("recipe soft hardness_dgh", replace(SOFT, hardness_dgh=None), SOURCES, 180.0),
        ("source tap hardness_dgh", SOFT, {"tap": replace(TAP, hardness_dgh=None), "ro": RO}, 180),
        ("source ro hardness_dgh", SOFT, {"tap": TAP, "ro": replace(RO, hardness_dgh=None)}, 180),
        ("recipe soft", SOFT, {"tap": TAP}, 180.0),
        ("litres", SOFT, SOURCES, 0.0),
        ("litres", SOFT, SOURCES, math.nan),
        ("litres", SOFT, SOURCES, 1e308),
    ],
)
def test_a_blend_that_cannot_be(
    where: str, recipe: Recipe, sources: dict[str, Source], litres: float
) -> None:
    problem = blend_for(recipe, sources, litres)
    assert isinstance(problem, Problem)
    assert problem.where == where


def test_an_ro_no_softer_than_the_tap_says_so() -> None:
    problem = blend_for(SOFT, {"tap": TAP, "ro": replace(RO, hardness_dgh=15.0)}, 180.0)
    assert isinstance(problem, Problem)
    assert "no softer than the tap" in problem.what
    assert problem.rule == IMPOSSIBLE


def test_published_ro_factors_lie_within_what_viscosity_allows() -> None:
    assert value(ro_factor(15, slow=True)) == pytest.approx(1.47, rel=1e-3), OTHER_TABLE
    assert value(ro_factor(15)) == pytest.approx(1.422, rel=3e-3), MEMBRANE
    for celsius, most in ((10, 0.68154), (15, 0.78239)):
        for slow in (False, True):
            assert 1 / value(ro_factor(celsius, slow=slow)) < most, VISCOSITY
    assert ro_factor(28, slow=True) == ro_factor(28)
    assert isinstance(blend_for(SOFT, SOURCES, 180.0, Amount(99.0, "C")), Problem)
    assert isinstance(blend_for(SOFT, SOURCES, 180.0, None, -1.0), Problem)


# --- dosed tanks ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drained", "short", "grams"), [(13.0, 0.0, 26.0), (11.5, 1.5, 23.7), (0.0, 0.0, 0.0)]
)
def test_what_a_change_takes_out_of_the_salted_tank(
    drained: float, short: float, grams: float
) -> None:
    dose = one(redose_for(SALTED, 52.0, drained, short))
    assert dose.amount.value == pytest.approx(grams, abs=0.05), INVENTED
    assert (dose.where, dose.amount.unit, dose.amount.source) == ("H1", "g", LABEL)
    assert dose.amount.value != pytest.approx(104)


def test_a_top_off_gets_none_and_says_why() -> None:
    assert "top-off" in one(redose_for(SALTED, 52.0, 0.0, 1.5)).why


def test_a_full_dose_due_that_day_stands_for_the_part() -> None:
    medicine = replace(SALTED, product="remedy", per_litre=0.05, unit="ml", medicine=True)
    part = one(redose_for(medicine, 52.0, 13.0))
    full = one(redose_for(medicine, 52.0, 13.0, full_dose=True))
    assert part.amount.value == pytest.approx(0.65)
    assert full.amount.value == pytest.approx(2.6)
    assert "in place of the part" in full.why


@pytest.mark.parametrize(
    ("where", "litres", "drained", "short"),
    [
        ("H1 drained", 52.0, 53.0, 0.0), ("H1 drained", 52.0, math.nan, 0.0),
        ("H1 drained", 52.0, 51.0, 1.5), ("H1 short", 52.0, 10.0, 52.0),
        ("H1 short", 52.0, 10.0, -1.0), ("H1 volume", 0.0, 0.0, 0.0),
        ("H1 volume", 1e308, 0.0, 0.0),
    ],
)  # fmt: skip
def test_a_dose_after_a_change_that_cannot_be(
    where: str, litres: float, drained: float, short: float
) -> None:
    problem = redose_for(SALTED, litres, drained, short)
    assert isinstance(problem, Problem)
    assert problem.where == where


# --- back into the system -----------------------------------------------------------------


def rejoined(limit: float = 0.05, **facts: float) -> Rejoin:
    found = rejoin([replace(SALTED, tank="G3")], 215.0, 2412.0, limit, **facts)
    assert isinstance(found, Rejoin)
    return found


def test_what_the_salted_tank_brings_into_its_system() -> None:
    found = rejoined()
    residue = found.residues[0]
    assert residue.now.value == pytest.approx(0.178, abs=5e-4), INVENTED
    assert residue.after == pytest.approx((0.089, 0.045), abs=5e-4), INVENTED
    assert (found.changes, residue.changes) == (2, 2), INVENTED
    assert found.each_litres == pytest.approx(107.5)  # 108 L, said in whole litres
    assert residue.now.unit == "g/L"


def test_a_loose_limit_wants_no_change_and_a_tight_one_more() -> None:
    assert rejoined(0.2).changes == 0
    assert rejoined(0.2).residues[0].after == ()
    assert rejoined(0.05, fraction=0.25).changes == 5
    nothing = rejoin([], 215.0, 2412.0, 0.05)
    assert nothing == Rejoin(residues=(), changes=0, fraction=0.5, each_litres=107.5)


def test_the_product_that_wants_most_changes_decides() -> None:
    strong = replace(SALTED, product="other", per_litre=4.0)
    found = rejoin([SALTED, strong], 215.0, 2412.0, 0.05)
    assert isinstance(found, Rejoin)
    assert [each.changes for each in found.residues] == [2, 3]
    assert found.changes == 3


@given(level=st.floats(0, 50), fraction=st.floats(0.05, 1), limit=st.floats(0.001, 1))
def test_the_changes_bring_it_to_the_limit_and_one_fewer_does_not(
    level: float, fraction: float, limit: float
) -> None:
    found = rejoin([replace(SALTED, per_litre=level)], 215.0, 2412.0, limit, fraction)
    assert isinstance(found, Rejoin)
    marks = [found.residues[0].now.value, *found.residues[0].after]
    assert marks[-1] <= limit * (1 + 1e-6)
    assert all(mark > limit * (1 - 1e-6) for mark in marks[:-1])


@pytest.mark.parametrize(
    ("tank", "system", "limit", "fraction"),
    [
        (215.0, 2412.0, 0.0, 0.5), (215.0, 2412.0, math.nan, 0.5), (215.0, 2412.0, 0.05, 0.0),
        (215.0, 2412.0, 0.05, 1.5), (0.0, 2412.0, 0.05, 0.5), (215.0, 100.0, 0.05, 0.5),
        (215.0, math.inf, 0.05, 0.5),
    ],
)  # fmt: skip
def test_a_return_that_cannot_be(tank: float, system: float, limit: float, fraction: float) -> None:
    assert isinstance(rejoin([SALTED], tank, system, limit, fraction), Problem)


# --- chlorine ---------------------------------------------------------------------------


def test_chlorine_by_stoichiometry_is_a_check_with_its_reaction() -> None:
    found = chlorine_check(1.0, 560.0)
    assert isinstance(found, Amount)
    assert found.value == pytest.approx(7.0 * 0.56, rel=1e-3)
    assert "->" in found.formula
    assert "check" in found.source
    assert isinstance(chlorine_check(math.nan, 560.0), Problem)
    assert isinstance(chlorine_check(1.0, 0.0), Problem)
    assert isinstance(chlorine_check(1.0, 560.0, "wishes"), Problem)
