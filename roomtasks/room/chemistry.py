"""Chemistry: ammonia, hardness salts, dechlorination, blends, doses, evaporation.

Lives here: sums whose constants are atomic weights, a published equation or
what the keeper typed. Concentrations in mg/L or g/L, masses in grams, volumes
in litres, hardness in one unit throughout.
Does not live here: any dose of a medicine. The program never makes one up; a
target is always what the label or the keeper says.
"""

from dataclasses import dataclass

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    MEQ_PER_L_PER_DEGREE,
    MMOL_PER_L_PER_DEGREE,
    above_zero,
    finished,
    first,
    molar_mass,
    number,
    refuse,
    share,
    within,
    zero_or_more,
)

TAN_PER_PROTEIN = 0.092  # 0.16 N x 0.80 x 0.80 x 0.90; Timmons and Ebeling, from memory


@dataclass(frozen=True, slots=True)
class Ammonia:
    """The un-ionised part of a total ammonia reading, in the reading's own basis."""

    unionised_mg_per_l: float
    fraction: float
    pka: float


@dataclass(frozen=True, slots=True)
class Salt:
    """A hardness salt: its formula, and the mg/L one degree takes."""

    name: str
    formula: str
    raises: str
    mg_per_l_per_degree: float


@dataclass(frozen=True, slots=True)
class Agent:
    """A chlorine remover: its reaction, and the grams one gram of Cl2 takes."""

    name: str
    reaction: str
    g_per_g_cl2: float


@dataclass(frozen=True, slots=True)
class Redose:
    """What a part-drained, dosed tank still holds, and what to add for its target."""

    add: float
    left: float
    left_litres: float


_CL2 = molar_mass("Cl2")


def _salt(name: str, formula: str, raises: str) -> Salt:
    per_degree = MEQ_PER_L_PER_DEGREE if raises == "dKH" else MMOL_PER_L_PER_DEGREE
    return Salt(name, formula, raises, per_degree * molar_mass(formula))


def _agent(name: str, formula: str, moles: int, chlorine: int, reaction: str) -> Agent:
    return Agent(name, reaction, moles * molar_mass(formula) / (chlorine * _CL2))


SALTS = {
    salt.name: salt
    for salt in (
        _salt("nahco3", "NaHCO3", "dKH"),
        _salt("khco3", "KHCO3", "dKH"),
        _salt("cacl2_2h2o", "CaCl2.2H2O", "dGH"),
        _salt("cacl2", "CaCl2", "dGH"),
        _salt("caso4_2h2o", "CaSO4.2H2O", "dGH"),
        _salt("mgso4_7h2o", "MgSO4.7H2O", "dGH"),
    )
}

AGENTS = {
    agent.name: agent
    for agent in (
        _agent(
            "sodium_thiosulfate_5h2o",
            "Na2S2O3.5H2O",
            2,
            1,
            "2 Na2S2O3.5H2O + Cl2 -> Na2S4O6 + 2 NaCl + 10 H2O (to tetrathionate)",
        ),
        _agent(
            "sodium_bisulfite", "NaHSO3", 1, 1, "NaHSO3 + Cl2 + H2O -> NaHSO4 + 2 HCl (to sulfate)"
        ),
        _agent(
            "sodium_sulfite", "Na2SO3", 1, 1, "Na2SO3 + Cl2 + H2O -> Na2SO4 + 2 HCl (to sulfate)"
        ),
        _agent(
            "sodium_metabisulfite",
            "Na2S2O5",
            1,
            2,
            "Na2S2O5 + 2 Cl2 + 3 H2O -> 2 NaHSO4 + 4 HCl (to sulfate)",
        ),
        _agent(
            "ascorbic_acid",
            "C6H8O6",
            1,
            1,
            "C6H8O6 + Cl2 -> C6H6O6 + 2 HCl (to dehydroascorbic acid)",
        ),
    )
}

# Thiosulfate has no single ratio: carried right through to sulfate it takes an eighth.
THIOSULFATE_TO_SULFATE = _agent(
    "sodium_thiosulfate_5h2o",
    "Na2S2O3.5H2O",
    1,
    4,
    "Na2S2O3.5H2O + 4 Cl2 -> 2 NaHSO4 + 8 HCl (to sulfate)",
)
N_PER_CL2 = molar_mass("N") / _CL2  # nitrogen freed from monochloramine, one N per Cl2


def ammonia(ph: float, celsius: float, total_mg_per_l: float = 1.0) -> Ammonia | Problem:
    """The un-ionised share of total ammonia in fresh water.

    pKa = 0.09018 + 2729.92/T, fraction = 1/(1 + 10^(pKa - pH)); 0 to 50 C. Source:
    Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Board Can. 32:2379-2383.
    """
    fault = first(
        within("ph", ph, 0.0, 14.0),
        within("temp", celsius, 0.0, 50.0, "C"),
        zero_or_more("tan", total_mg_per_l, "mg/L"),
    )
    if fault is not None:
        return fault
    pka = 0.09018 + 2729.92 / (celsius + 273.15)
    fraction = 1 / (1 + 10 ** (pka - ph))
    return Ammonia(fraction * total_mg_per_l, fraction, pka)


def blend(tap: float, wanted: float, ro: float) -> float | Problem:
    """The share of RO water in a blend: (tap - wanted)/(tap - ro).

    Any one hardness unit. Refuses an RO no softer than the tap, and a hardness
    outside the two. pH does not blend along a line: measure it.
    """
    fault = first(zero_or_more("tap", tap), zero_or_more("wanted", wanted), zero_or_more("ro", ro))
    if fault is not None:
        return fault
    if ro >= tap:
        what = f"at {ro:g} it is no softer than the tap at {tap:g}"
        return refuse("ro", what, "a blend of the two cannot soften the tap")
    if not ro <= wanted <= tap:
        what = f"{wanted:g} lies outside what the two can give"
        return refuse("wanted", what, f"a blend gives {ro:g} to {tap:g}")
    return (tap - wanted) / (tap - ro)


def salt_for_hardness(salt: str, degrees: float, volume_litres: float) -> float | Problem:
    """Grams of a salt that raise the hardness (dGH) or alkalinity (dKH) by degrees.

    Stoichiometry on 1 degree = 10 mg/L CaO; see `SALTS` for which degree fits.
    """
    if salt not in SALTS:
        return Problem("salt", f"“{shown(salt)}” is not known", f"use {', '.join(SALTS)}")
    fault = first(zero_or_more("degrees", degrees), above_zero("volume", volume_litres, "L"))
    if fault is not None:
        return fault
    grams = SALTS[salt].mg_per_l_per_degree * degrees * volume_litres / 1000
    return finished("salt-for-hardness", grams)


def dechlorinate(agent: str, chlorine_mg_per_l: float, volume_litres: float) -> float | Problem:
    """Grams of an agent that take up the chlorine (mg/L as Cl2) by stoichiometry.

    The reaction is stated in `AGENTS`. A bottled conditioner goes by its label.
    """
    if agent not in AGENTS:
        return Problem("agent", f"“{shown(agent)}” is not known", f"use {', '.join(AGENTS)}")
    return _for_chlorine(AGENTS[agent], chlorine_mg_per_l, volume_litres)


def thiosulfate_to_sulfate(chlorine_mg_per_l: float, volume_litres: float) -> float | Problem:
    """Grams of thiosulfate pentahydrate if the reaction ran right through to sulfate."""
    return _for_chlorine(THIOSULFATE_TO_SULFATE, chlorine_mg_per_l, volume_litres)


def _for_chlorine(agent: Agent, chlorine_mg_per_l: float, litres: float) -> float | Problem:
    fault = first(
        zero_or_more("chlorine", chlorine_mg_per_l, "mg/L"),
        above_zero("volume", litres, "L"),
    )
    if fault is not None:
        return fault
    return finished("dechlorinate", agent.g_per_g_cl2 * chlorine_mg_per_l * litres / 1000)


def redose(
    target_per_l: float, volume_litres: float, drained_litres: float, short_litres: float = 0.0
) -> Redose | Problem:
    """What to add after a change so that the tank, filled to its mark, is at target.

    `volume_litres` is the tank at its mark, dosed to target when it stood there.
    `short_litres` is how far below the mark it stood when draining began: the
    water had gone, the dose had not. `drained_litres` is what then ran out. The
    answer is in the unit of the target (g for g/L, mL for mL/L).
    """
    fault = first(
        zero_or_more("target", target_per_l),
        above_zero("volume", volume_litres, "L"),
        zero_or_more("drained", drained_litres, "L"),
        zero_or_more("short", short_litres, "L"),
    )
    if fault is not None:
        return fault
    stood = volume_litres - short_litres
    if stood <= 0:
        what = f"{short_litres:g} L below the mark leaves no water in {volume_litres:g} L"
        return refuse("short", what, f"less than {volume_litres:g} L")
    if drained_litres > stood:
        what = f"{drained_litres:g} L cannot leave a tank that held {stood:g} L"
        return refuse("drained", what, f"at most {stood:g} L")
    dose = target_per_l * volume_litres
    left_litres = stood - drained_litres
    return Redose(dose * drained_litres / stood, dose * left_litres / stood, left_litres)


def bath_salt(volume_litres: float, from_g_per_l: float, to_g_per_l: float) -> float | Problem:
    """Grams of salt that bring the water from one strength to another, by g/L.

    Refuses going down: salt is only taken out by changing water.
    """
    fault = first(
        above_zero("volume", volume_litres, "L"),
        within("from", from_g_per_l, 0.0, 300.0, "g/L"),
        within("to", to_g_per_l, 0.0, 300.0, "g/L"),
    )
    if fault is not None:
        return fault
    if to_g_per_l < from_g_per_l:
        what = f"{to_g_per_l:g} g/L is below the {from_g_per_l:g} g/L it has"
        cut = 1 - to_g_per_l / from_g_per_l
        return refuse("to", what, f"change {cut:.3g} of the water for fresh instead")
    return finished("bath-salt", volume_litres * (to_g_per_l - from_g_per_l))


def tan_from_feed(feed_g_per_day: float, protein_fraction: float) -> float | Problem:
    """Grams of total ammonia nitrogen a day from feed: F x PC x 0.092.

    After Timmons and Ebeling, Recirculating Aquaculture (from memory). Other
    rules of thumb differ by a third.
    """
    fault = first(zero_or_more("feed", feed_g_per_day, "g"), share("protein", protein_fraction))
    if fault is not None:
        return fault
    return finished("tan-from-feed", feed_g_per_day * protein_fraction * TAN_PER_PROTEIN)


def evaporation(
    area_m2: float, air_speed_m_per_s: float, saturated_kg_per_kg: float, air_kg_per_kg: float
) -> float | Problem:
    """Water lost from an open surface, in kg/h: (25 + 19 v) A (xs - x).

    xs is the moisture of air saturated at the water's temperature, x that of the
    room's air, in kg per kg of dry air. An engineering handbook form; it
    overstates quiet, covered tanks. Refuses air moister than saturated.
    """
    fault = first(
        above_zero("area", area_m2, "m2"),
        zero_or_more("air_speed", air_speed_m_per_s, "m/s"),
        within("xs", saturated_kg_per_kg, 0.0, 1.0, "kg/kg"),
        within("x", air_kg_per_kg, 0.0, 1.0, "kg/kg"),
        number("air_speed", 19 * air_speed_m_per_s),
    )
    if fault is not None:
        return fault
    if air_kg_per_kg > saturated_kg_per_kg:
        what = f"{air_kg_per_kg:g} is moister than air saturated over the water"
        return refuse("x", what, f"nothing evaporates above {saturated_kg_per_kg:g} kg/kg")
    moved = (25 + 19 * air_speed_m_per_s) * area_m2
    return finished("evaporation", moved * (saturated_kg_per_kg - air_kg_per_kg))
