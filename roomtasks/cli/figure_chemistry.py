"""Figures on ammonia, hardness, chlorine, doses and feed."""

from roomtasks.cli.figure_kit import (
    Answer,
    Figure,
    Values,
    celsius,
    fraction,
    litres,
    mass,
    number,
    one,
    words,
)
from roomtasks.room import chemistry
from roomtasks.room.problem import Problem

_VOLUME = litres("volume", "litres of water")
_MASSES = "stoichiometry; IUPAC atomic weights 2021"


def _ammonia(given: Values) -> Answer | Problem:
    found = chemistry.ammonia(given.num("ph"), given.num("temp"), given.num("tan"))
    if isinstance(found, Problem):
        return found
    return Answer(found.unionised_mg_per_l, {"fraction": found.fraction, "pka": found.pka})


def _salt(given: Values) -> Answer | Problem:
    name = given.words("salt").lower()
    found = chemistry.salt_for_hardness(name, given.num("degrees"), given.num("volume"))
    if isinstance(found, Problem):
        return found
    salt = chemistry.SALTS[name]
    more = {"raises": salt.raises, "mg_per_l_per_degree": salt.mg_per_l_per_degree}
    return Answer(found, {"salt_formula": salt.formula, **more})


def _dechlorinate(given: Values) -> Answer | Problem:
    name, chlorine, volume = (
        given.words("agent").lower(),
        given.num("chlorine"),
        given.num("volume"),
    )
    found = chemistry.dechlorinate(name, chlorine, volume)
    if isinstance(found, Problem):
        return found
    agent = chemistry.AGENTS[name]
    more: dict[str, object] = {
        "reaction": agent.reaction,
        "g_per_g_cl2": agent.g_per_g_cl2,
        "chloramine_ammonia_n_mg_per_l": chlorine * chemistry.N_PER_CL2,
    }
    if name == chemistry.THIOSULFATE_TO_SULFATE.name:
        least = chemistry.thiosulfate_to_sulfate(chlorine, volume)
        more["to_sulfate_g"] = least
        more["to_sulfate_reaction"] = chemistry.THIOSULFATE_TO_SULFATE.reaction
    return Answer(found, more)


def _redose(given: Values) -> Answer | Problem:
    target, volume = given.num("target"), given.num("volume")
    found = chemistry.redose(target, volume, given.num("drained"), given.num("short"))
    if isinstance(found, Problem):
        return found
    refill = volume - found.left_litres
    more = {"left": found.left, "left_litres": found.left_litres, "refill_litres": refill}
    return Answer(found.add, more)


CHEMISTRY = (
    Figure(
        "ammonia",
        "the un-ionised, harmful share of total ammonia in fresh water",
        (
            number("ph", "pH"),
            celsius("temp", "temperature"),
            number("tan", "total ammonia", "mg/L", 1.0),
        ),
        "mg/L",
        "tan / (1 + 10^(pka - ph)), pka = 0.09018 + 2729.92 / (temp + 273.15)",
        "Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Board Can. 32:2379-2383",
        _ammonia,
    ),
    Figure(
        "blend",
        "share of RO water that softens the tap to what is wanted",
        (
            number("tap", "hardness of the tap, any one unit"),
            number("wanted", "hardness wanted, the same unit"),
            number("ro", "hardness of the RO water, the same unit"),
        ),
        "fraction",
        "(tap - wanted) / (tap - ro)",
        "mass balance; pH does not blend along a line",
        lambda given: one(chemistry.blend(given.num("tap"), given.num("wanted"), given.num("ro"))),
    ),
    Figure(
        "salt-for-hardness",
        "grams of a salt that raise the hardness or the alkalinity",
        (
            words("salt", "the salt: " + ", ".join(chemistry.SALTS)),
            number("degrees", "degrees to raise: dKH for bicarbonates, dGH for the others"),
            _VOLUME,
        ),
        "g",
        "mg/L of the salt per degree x degrees x volume / 1000",
        _MASSES + "; 1 degree = 10 mg/L CaO",
        _salt,
    ),
    Figure(
        "dechlorinate",
        "grams of an agent that take up chlorine by the reaction stated",
        (
            words("agent", "the agent: " + ", ".join(chemistry.AGENTS)),
            number("chlorine", "chlorine, as Cl2", "mg/L"),
            _VOLUME,
        ),
        "g",
        "g_per_g_cl2 x chlorine x volume / 1000",
        _MASSES + "; a bottled conditioner goes by its label",
        _dechlorinate,
    ),
    Figure(
        "redose",
        "what a dosed tank needs after a change, once it is filled to its mark",
        (
            number("target", "the dose wanted in a litre"),
            litres("volume", "litres at the mark"),
            litres("drained", "litres that ran out"),
            litres("short", "litres below the mark when draining began", 0.0),
        ),
        "as target, for the tank",
        "target x volume x drained / (volume - short)",
        "mass balance; evaporation takes no dose with it",
        _redose,
    ),
    Figure(
        "bath-salt",
        "grams of salt that bring water to a strength",
        (
            _VOLUME,
            number("from", "salt it has", "g/L", 0.0),
            number("to", "salt wanted", "g/L"),
        ),
        "g",
        "volume x (to - from)",
        "definition of g/L",
        lambda given: one(
            chemistry.bath_salt(given.num("volume"), given.num("from"), given.num("to"))
        ),
    ),
    Figure(
        "tan-from-feed",
        "total ammonia nitrogen a day from feed",
        (
            mass("feed", "feed a day", "g/day"),
            fraction("protein", "share of the feed that is protein"),
        ),
        "g/day",
        "feed x protein x 0.092",
        "after Timmons and Ebeling, Recirculating Aquaculture (from memory)",
        lambda given: one(chemistry.tan_from_feed(given.num("feed"), given.num("protein"))),
    ),
)
