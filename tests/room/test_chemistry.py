"""Ammonia, hardness salts, chlorine, blends, doses, feed and evaporation."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room import chemistry
from roomtasks.room.chemistry import AGENTS, SALTS, Ammonia, Redose
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import GRAMS_PER_POUND, IMPOSSIBLE, LITRES_PER_GAL_US

EMERSON = "Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Board Can. 32:2379-2383"
VET_TABLE = "Fundamentals of Aquatic Veterinary Medicine, Table 1.4 (from Emerson et al. 1975)"
GUIDE_TABLE = "Hadfield and Clayton, Clinical Guide to Fish Medicine, Table A2.3"
FA16 = "R. Francis-Floyd et al., UF/IFAS FA16, Figure 3 worked example"
AQION = "aqion hydrochemistry documentation, Free Ammonia in Water (page 109)"
TRUSSELL = "R. P. Trussell 1972, J. Fish. Res. Board Can. 29:1505-1507"
STOICHIOMETRY = "stoichiometry, IUPAC masses"
TE213 = "laboratory supplier support note TE213 (2017): 7.0 mg pentahydrate per mg chlorine"
FIELD_GUIDE = "Lauer and Sanchez, Disinfection of Pipelines Field Guide (AWWA 2006), Table 7-2"
GERMAN = "stoichiometry on 1 dH = 10 mg/L CaO, IUPAC masses"
POOL = "pool-trade dosing rule per 10 000 US gallons"
POND = "farm-pond note Correcting Total Alkalinity"
TIMMONS = "Timmons and Ebeling, Recirculating Aquaculture: P_TAN = F x PC x 0.092 (from memory)"
LOSORDO = "T. M. Losordo 2015, Flow rate estimation for RAS; factor from memory"
DEFINITION = "definition of g/L"
EVAPORATION = "engineering handbook page Evaporation from Water Surfaces"
INVENTED = "worked here, invented room"

TEN_THOUSAND_GALLONS = 10_000 * LITRES_PER_GAL_US


def value(answer: float | Problem) -> float:
    assert not isinstance(answer, Problem), answer.sentence()
    return answer


def unionised(ph: float, celsius: float, total: float = 1.0) -> Ammonia:
    found = chemistry.ammonia(ph, celsius, total)
    assert isinstance(found, Ammonia)
    return found


@pytest.mark.parametrize(
    ("ph", "celsius", "expected", "relative", "rounding", "published"),
    [
        (7.0, 20, 0.0039, 0.02, 5e-5, VET_TABLE),
        (7.0, 24, 0.0052, 0.02, 5e-5, VET_TABLE),
        (7.0, 26, 0.0060, 0.02, 5e-5, VET_TABLE),
        (7.0, 28, 0.0069, 0.02, 5e-5, VET_TABLE),
        (7.6, 26, 0.0236, 0.02, 5e-5, VET_TABLE),
        (7.8, 26, 0.0370, 0.02, 5e-5, VET_TABLE),
        (8.0, 10, 0.0182, 0.02, 5e-5, VET_TABLE),
        (8.0, 28, 0.0654, 0.02, 5e-5, VET_TABLE),
        (8.4, 22, 0.1031, 0.02, 5e-5, VET_TABLE),
        (8.6, 20, 0.1361, 0.02, 5e-5, VET_TABLE),
        (7.0, 10, 0.0019, 0.025, 0, GUIDE_TABLE),
        (8.5, 10, 0.0556, 0.025, 0, GUIDE_TABLE),
        (9.0, 15, 0.215, 0.025, 0, GUIDE_TABLE),
        (8.0, 0, 0.0082, 0.025, 0, GUIDE_TABLE),
        (8.0, 24, 0.0502, 0.01, 0, FA16),
        (8.0, 25, 0.053662, 0.001, 0, EMERSON),
        (8.5, 15, 0.00238 / 0.03, 0.01, 0, AQION),
        (8.6, 15, 0.00294 / 0.03, 0.01, 0, AQION),
        (9.0, 15, 0.00643 / 0.03, 0.01, 0, AQION),
        (7.5, 20, 0.0124, 0.03, 0, TRUSSELL),
        (8.0, 20, 0.0383, 0.03, 0, TRUSSELL),
        (8.0, 25, 0.0528, 0.03, 0, TRUSSELL),
        (6.8, 26, 0.0038, 0.02, 5e-5, INVENTED),
        (7.2, 26, 0.0096, 0.02, 5e-5, INVENTED),
    ],
)
def test_the_unionised_share(
    ph: float, celsius: float, expected: float, relative: float, rounding: float, published: str
) -> None:
    allowed = max(relative * expected, rounding)
    assert unionised(ph, celsius).fraction == pytest.approx(expected, abs=allowed), published


def test_the_pka_and_the_reading() -> None:
    found = unionised(8.0, 25, 2.0)
    assert found.pka == pytest.approx(9.24638, rel=1e-5), EMERSON
    assert found.unionised_mg_per_l == pytest.approx(2.0 * found.fraction)


@given(ph=st.floats(4, 11), celsius=st.floats(0, 50), more=st.floats(0.01, 2))
def test_a_higher_ph_or_warmer_water_is_more_harmful(
    ph: float, celsius: float, more: float
) -> None:
    here = unionised(ph, celsius).fraction
    assert unionised(ph + more, celsius).fraction > here
    assert unionised(ph, min(50.0, celsius + more)).fraction >= here
    odds = here / (1 - here)
    above = unionised(ph + 1, celsius).fraction
    assert above / (1 - above) == pytest.approx(10 * odds, rel=1e-6)


@pytest.mark.parametrize(
    ("salt", "per_degree", "relative"),
    [
        ("khco3", 35.706, 2e-4),
        ("cacl2_2h2o", 26.216, 2e-4),
        ("caso4_2h2o", 30.702, 2e-4),
        ("mgso4_7h2o", 43.953, 2e-4),
    ],
)
def test_a_degree_of_a_salt(salt: str, per_degree: float, relative: float) -> None:
    assert 1000 * value(chemistry.salt_for_hardness(salt, 1, 1)) == pytest.approx(
        per_degree, rel=relative
    ), GERMAN


@pytest.mark.parametrize(
    ("salt", "degrees", "litres", "grams", "relative", "published"),
    [
        ("cacl2_2h2o", 4, 100, 10.49, 5e-4, GERMAN),
        ("mgso4_7h2o", 2, 100, 8.791, 5e-4, GERMAN),
        ("nahco3", 10 / 17.848, TEN_THOUSAND_GALLONS, 1.4 * GRAMS_PER_POUND, 3e-3, POOL),
        ("cacl2_2h2o", 10 / 17.848, TEN_THOUSAND_GALLONS, 1.25 * GRAMS_PER_POUND, 2.5e-2, POOL),
        (
            "cacl2_2h2o",
            50 / 17.848,
            2.5 * TEN_THOUSAND_GALLONS,
            15.6 * GRAMS_PER_POUND,
            2.5e-2,
            POOL + ", 150 to 200 ppm in 25 000 gal",
        ),
        ("nahco3", 20 / 17.848, 0.33 * TEN_THOUSAND_GALLONS, GRAMS_PER_POUND, 0.1, POND),
    ],
)
def test_salts_for_hardness(
    salt: str, degrees: float, litres: float, grams: float, relative: float, published: str
) -> None:
    found = chemistry.salt_for_hardness(salt, degrees, litres)
    assert found == pytest.approx(grams, rel=relative), published


def test_every_salt_says_what_it_raises() -> None:
    assert {name: salt.raises for name, salt in SALTS.items()} == {
        "nahco3": "dKH", "khco3": "dKH", "cacl2_2h2o": "dGH",
        "cacl2": "dGH", "caso4_2h2o": "dGH", "mgso4_7h2o": "dGH",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("agent", "ratio", "published"),
    [
        ("sodium_bisulfite", 1.468, STOICHIOMETRY),
        ("sodium_sulfite", 1.778, STOICHIOMETRY),
        ("ascorbic_acid", 2.484, STOICHIOMETRY),
        ("sodium_thiosulfate_5h2o", 7.0, TE213),
    ],
)
def test_chlorine_removers_by_stoichiometry(agent: str, ratio: float, published: str) -> None:
    assert chemistry.dechlorinate(agent, 1, 1000) == pytest.approx(ratio, rel=1e-3), published


@pytest.mark.parametrize(
    ("agent", "field_dose"),
    [
        ("sodium_bisulfite", 1.61),
        ("sodium_metabisulfite", 1.47),
        ("sodium_sulfite", 1.96),
        ("ascorbic_acid", 2.5),
    ],
)
def test_field_doses_lie_a_little_above_stoichiometry(agent: str, field_dose: float) -> None:
    worked = value(chemistry.dechlorinate(agent, 1, 1000))
    assert worked < field_dose < 1.12 * worked, FIELD_GUIDE


def test_thiosulfate_right_through_to_sulfate_takes_an_eighth() -> None:
    whole = value(chemistry.dechlorinate("sodium_thiosulfate_5h2o", 1, 1000))
    least = value(chemistry.thiosulfate_to_sulfate(1, 1000))
    assert least == pytest.approx(0.875, rel=1e-3), STOICHIOMETRY
    assert whole == pytest.approx(8 * least)


def test_chloramine_leaves_its_nitrogen() -> None:
    assert pytest.approx(0.1975, rel=1e-3) == chemistry.N_PER_CL2, STOICHIOMETRY


def test_every_reaction_is_stated() -> None:
    assert all("Cl2" in agent.reaction and "->" in agent.reaction for agent in AGENTS.values())


@pytest.mark.parametrize(
    ("feed", "protein", "grams", "published"),
    [
        (1000, 0.35, 32.2, TIMMONS),
        (200, 0.45, 8.28, TIMMONS),
        (60_000, 0.40, 2208, LOSORDO),
    ],
)
def test_ammonia_from_feed(feed: float, protein: float, grams: float, published: str) -> None:
    assert chemistry.tan_from_feed(feed, protein) == pytest.approx(grams, rel=1e-3), published


@pytest.mark.parametrize(
    ("litres", "start", "end", "grams"), [(1000, 0, 1, 1000), (200, 0, 3, 600), (150, 2, 5, 450)]
)
def test_bath_salt(litres: float, start: float, end: float, grams: float) -> None:
    assert chemistry.bath_salt(litres, start, end) == pytest.approx(grams), DEFINITION


def test_percent_is_ten_grams_a_litre() -> None:
    # 3 % is 30 ppt: R. Francis-Floyd, The Use of Salt in Aquaculture, UF/IFAS VM 86
    assert chemistry.bath_salt(1, 0, 30) == pytest.approx(30)


@pytest.mark.parametrize(
    ("area", "speed", "xs", "x", "kg_per_h", "relative"),
    [
        (500, 0.5, 0.020, 0.0098, 0.049 * 3600, 5e-3),
        (500, 0.5, 0.019826, 0.0115, 0.0399 * 3600, 5e-3),
        (5, 2.0, 0.020, 0.010, 3.15, 1e-9),
        (1, 0.0, 0.02135, 0.00930, 7.232 / 24, 2e-2),
    ],
)
def test_evaporation(
    area: float, speed: float, xs: float, x: float, kg_per_h: float, relative: float
) -> None:
    found = chemistry.evaporation(area, speed, xs, x)
    assert found == pytest.approx(kg_per_h, rel=relative), EVAPORATION


def test_air_as_moist_as_the_water_takes_nothing() -> None:
    assert chemistry.evaporation(5, 2, 0.01, 0.01) == 0.0


def test_the_blend_of_the_invented_room() -> None:
    share = value(chemistry.blend(14, 6, 0.5))
    assert share == pytest.approx(0.593, abs=5e-4), INVENTED
    assert 180 * share == pytest.approx(106.7, abs=0.05), INVENTED


def test_doses_after_a_change_in_the_invented_room() -> None:
    topped = chemistry.redose(2, 52, 13)
    assert isinstance(topped, Redose)
    assert topped.left == pytest.approx(78), INVENTED
    assert topped.add == pytest.approx(26), INVENTED
    short = chemistry.redose(2, 52, 11.5, 1.5)
    assert isinstance(short, Redose)
    assert short.left_litres == pytest.approx(39.0), INVENTED
    assert short.left == pytest.approx(80.3, abs=0.05), INVENTED
    assert short.add == pytest.approx(23.7, abs=0.05), INVENTED


@given(tap=st.floats(1, 40), share=st.floats(0, 1), ro=st.floats(0, 0.9))
def test_the_blend_asked_for_has_the_hardness_wanted(tap: float, share: float, ro: float) -> None:
    wanted = ro + share * (tap - ro)
    found = value(chemistry.blend(tap, min(max(wanted, ro), tap), ro))
    assert found * ro + (1 - found) * tap == pytest.approx(wanted, abs=1e-9)


@given(
    target=st.floats(0, 10),
    volume=st.floats(1, 2000),
    short=st.floats(0, 0.9),
    drained=st.floats(0, 1),
)
def test_what_is_left_and_what_is_added_make_the_target(
    target: float, volume: float, short: float, drained: float
) -> None:
    low = short * volume
    found = chemistry.redose(target, volume, drained * (volume - low) * 0.999, low)
    assert isinstance(found, Redose)
    assert found.left + found.add == pytest.approx(target * volume)
    assert found.add >= 0


@given(
    name=st.sampled_from(sorted(SALTS)),
    degrees=st.floats(0, 30),
    more=st.floats(0.01, 30),
    litres=st.floats(1, 1000),
)
def test_more_degrees_take_more_salt_in_proportion(
    name: str, degrees: float, more: float, litres: float
) -> None:
    one = value(chemistry.salt_for_hardness(name, degrees, litres))
    both = value(chemistry.salt_for_hardness(name, degrees + more, litres))
    rest = value(chemistry.salt_for_hardness(name, more, litres))
    assert both == pytest.approx(one + rest)
    assert both > one


@pytest.mark.parametrize(
    ("where", "problem"),
    [
        ("ph", chemistry.ammonia(77, 25)),
        ("ph", chemistry.ammonia(-1, 25)),
        ("ph", chemistry.ammonia(math.nan, 25)),
        ("temp", chemistry.ammonia(7, 51)),
        ("temp", chemistry.ammonia(7, -1)),
        ("tan", chemistry.ammonia(7, 25, -1)),
        ("ro", chemistry.blend(4, 3, 4)),
        ("ro", chemistry.blend(4, 3, 5)),
        ("wanted", chemistry.blend(14, 15, 0.5)),
        ("wanted", chemistry.blend(14, 0.4, 0.5)),
        ("tap", chemistry.blend(-14, 6, 0.5)),
        ("degrees", chemistry.salt_for_hardness("nahco3", -1, 100)),
        ("volume", chemistry.salt_for_hardness("nahco3", 1, 0)),
        ("chlorine", chemistry.dechlorinate("ascorbic_acid", -1, 100)),
        ("volume", chemistry.dechlorinate("ascorbic_acid", 1, -100)),
        ("volume", chemistry.thiosulfate_to_sulfate(1, 0)),
        ("drained", chemistry.redose(2, 52, 52.1)),
        ("drained", chemistry.redose(2, 52, 51, 1.5)),
        ("drained", chemistry.redose(2, 52, -1)),
        ("short", chemistry.redose(2, 52, 0, 52)),
        ("short", chemistry.redose(2, 52, 10, -1)),
        ("volume", chemistry.redose(2, 0, 0)),
        ("to", chemistry.bath_salt(100, 3, 2)),
        ("to", chemistry.bath_salt(100, 0, 1000)),
        ("volume", chemistry.bath_salt(0, 0, 3)),
        ("protein", chemistry.tan_from_feed(10, 45)),
        ("feed", chemistry.tan_from_feed(-10, 0.45)),
        ("x", chemistry.evaporation(1, 0, 0.01, 0.02)),
        ("area", chemistry.evaporation(0, 0, 0.02, 0.01)),
        ("air_speed", chemistry.evaporation(1, -1, 0.02, 0.01)),
        ("xs", chemistry.evaporation(1, 0, 2, 0.01)),
    ],
)
def test_chemistry_that_cannot_be(where: str, problem: object) -> None:
    assert isinstance(problem, Problem)
    assert problem.where == where
    assert problem.rule == IMPOSSIBLE


def test_a_salt_or_agent_nobody_knows_lists_those_known() -> None:
    salt = chemistry.salt_for_hardness("kitchen", 1, 100)
    agent = chemistry.dechlorinate("wishes", 1, 100)
    assert isinstance(salt, Problem)
    assert isinstance(agent, Problem)
    assert "nahco3" in salt.remedy
    assert "ascorbic_acid" in agent.remedy
    assert salt.rule == agent.rule == ""


def test_less_salt_is_a_change_of_water() -> None:
    problem = chemistry.bath_salt(100, 4, 3)
    assert isinstance(problem, Problem)
    assert "change 0.25 of the water" in problem.remedy
