"""Every figure of `roomtasks figure`, in the order a keeper would look for them."""

from collections.abc import Callable, Mapping
from typing import Any

from roomtasks.cli.figure import TEXT, Figure, Key
from roomtasks.cli.figure_more import after_instant, dates, fills, fit_growth_file, fit_weight_file
from roomtasks.room import chemistry, flow, growth, heat, quantity, volume, water
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import Measure

L, V, M, T = Measure.LENGTH, Measure.VOLUME, Measure.MASS, Measure.TEMPERATURE
BALANCE = "mass balance of a well-mixed body of water"
Inputs = Mapping[str, Any]
Answer = dict[str, Any] | Problem


def plain(function: Callable[..., Any], *names: str) -> Callable[[Inputs], Answer]:
    """A function of these keys, in order, that gives one number."""

    def work(inputs: Inputs) -> Answer:
        answer = function(*(inputs[name] for name in names))
        return answer if isinstance(answer, Problem) else {"value": answer}

    return work


def _tank_volume(i: Inputs) -> Answer:
    found = volume.tank_volume(
        i["length"], i["width"], i["water"], sand_cm=i["sand"], porosity=i["porosity"],
        rock_kg=i["rock"], rock_density_kg_per_l=i["rock_density"], gear_litres=i["gear"],
    )  # fmt: skip
    if isinstance(found, Problem):
        return found
    return {
        "value": found.net_litres, "gross_litres": found.gross_litres,
        "sand_litres": found.sand_litres, "rock_litres": found.rock_litres,
    }  # fmt: skip


def _after_change(i: Inputs) -> Answer:
    times = _whole("times", i["times"])
    if isinstance(times, Problem):
        return times
    found = water.after_change(i["before"], i["fraction"], i["source"], times)
    return found if isinstance(found, Problem) else {"value": found}


def _whole(name: str, value: float) -> int | Problem:
    if value != int(value):
        return Problem(name, f"{value:g} is no whole number", "give a whole number", "impossible")
    return int(value)


def _steady(i: Inputs) -> Answer:
    found = water.steady(i["production"], i["fraction"], i["source"])
    if isinstance(found, Problem):
        return found
    return {"value": found.before_mg_per_l, "after": found.after_mg_per_l}


def _catch_up(i: Inputs) -> Answer:
    missed = _whole("missed", i["missed"])
    if isinstance(missed, Problem):
        return missed
    found = water.catch_up(i["fraction"], missed, i["limit"])
    if isinstance(found, Problem):
        return found
    return {"value": found.fraction, "changes": found.changes, "each_fraction": found.each_fraction}


def _system_fraction(i: Inputs) -> Answer:
    found = water.system_fraction(i["drained"], i["volume"])
    if isinstance(found, Problem):
        return found
    answer: dict[str, Any] = {"value": found}
    if i["tanks"] != "":
        each = water.per_tank_fraction(found, i["volume"], i["tanks"])
        if isinstance(each, Problem):
            return each
        answer["per_tank_fraction"] = each
    return answer


def _ammonia(i: Inputs) -> Answer:
    found = chemistry.ammonia(i["ph"], i["temp"], i["tan"])
    if isinstance(found, Problem):
        return found
    return {"value": found.unionised_mg_per_l, "fraction": found.fraction, "pka": found.pka}


def _heat_time(i: Inputs) -> Answer:
    room = None if i["room"] == "" else i["room"]
    found = heat.heat_time(
        i["volume"], i["from"], i["to"], i["power"], loss_watts_per_kelvin=i["loss"],
        room_celsius=room,
    )  # fmt: skip
    return found if isinstance(found, Problem) else {"value": found}


def _dechlorinate(i: Inputs) -> Answer:
    found = chemistry.dechlorinate(i["agent"], i["chlorine"], i["volume"])
    if isinstance(found, Problem):
        return found
    reaction = chemistry.AGENTS[i["agent"]].reaction
    answer: dict[str, Any] = {"value": found, "reaction": reaction}
    if i["agent"] == "sodium_thiosulfate_5h2o":
        least = chemistry.thiosulfate_to_sulfate(i["chlorine"], i["volume"])
        if not isinstance(least, Problem):
            answer["to_sulfate_g"] = least
    return answer


def _redose(i: Inputs) -> Answer:
    found = chemistry.redose(i["target"], i["volume"], i["drained"], i["short"])
    if isinstance(found, Problem):
        return found
    return {"value": found.add, "left": found.left, "left_litres": found.left_litres}


def _convert(i: Inputs) -> Answer:
    found = quantity.convert(i["value"], i["from"], i["to"])
    return found if isinstance(found, Problem) else {"value": found, "unit": i["to"]}


BEFORE = Key("before", "mg/L", "concentration before")
FRACTION = Key("fraction", "", "share changed, 0 to 1", Measure.FRACTION)
SOURCE = Key("source", "mg/L", "concentration of the new water", default=0.0)
VOLUME = Key("volume", "l", "litres of water", V)
FROM, TO = Key("from", "c", "temperature at first", T), Key("to", "c", "temperature wanted", T)

_ALL = (
    Figure("tank-volume", "net litres of a tank", (
        Key("length", "cm", "inside length", L), Key("width", "cm", "inside width", L),
        Key("water", "cm", "water height", L), Key("sand", "cm", "depth of sand", L, 0.0),
        Key("porosity", "", "pore share of the sand", default=volume.POROSITY),
        Key("rock", "kg", "rock", M, 0.0),
        Key("rock_density", "kg/L", "density of rock", default=volume.ROCK_DENSITY_KG_PER_L),
        Key("gear", "l", "room taken by gear", V, 0.0)), "L",
        "length x width x water/1000 - sand x (1 - porosity) - rock/density - gear",
        "geometry; porosity and density common practice, no published source", _tank_volume),
    Figure("cylinder-volume", "litres in a lying cylinder, part full", (
        Key("diameter", "cm", "inside diameter", L), Key("length", "cm", "inside length", L),
        Key("depth", "cm", "depth of water", L)), "L",
        "length x (R^2 acos((R-h)/R) - (R-h) sqrt(2Rh-h^2)) / 1000", "geometry",
        plain(volume.cylinder_volume, "diameter", "length", "depth")),
    Figure("drain-mark", "how far to lower the water", (
        FRACTION, Key("net", "l", "net litres", V), Key("length", "cm", "inside length", L),
        Key("width", "cm", "inside width", L)), "cm",
        "fraction x net / (length x width / 1000)", "geometry",
        plain(volume.drain_mark, "fraction", "net", "length", "width")),
    Figure("convert", "one unit into another", (
        Key("value", "", "the number"), Key("from", "", "its unit", TEXT),
        Key("to", "", "the unit wanted", TEXT)), "", "by the factor of the two units",
        "NIST Handbook 44 App. C; NIST SP 811 App. B.8; molar masses IUPAC", _convert),
    Figure("after-change", "what is left after changes", (
        BEFORE, FRACTION, SOURCE, Key("times", "", "equal changes", default=1.0)), "mg/L",
        "source + (before - source) (1 - fraction)^times", BALANCE, _after_change),
    Figure("change-needed", "one change down to a target", (
        BEFORE, Key("target", "mg/L", "concentration wanted"), SOURCE), "fraction",
        "(before - target) / (before - source)", BALANCE,
        plain(water.change_needed, "before", "target", "source")),
    Figure("changes-needed", "equal changes down to a target", (
        BEFORE, Key("target", "mg/L", "concentration wanted"), FRACTION, SOURCE), "changes",
        "ceil(ln((target - source)/(before - source)) / ln(1 - fraction))", BALANCE,
        plain(water.changes_needed, "before", "target", "fraction", "source")),
    Figure("steady", "where regular changes settle", (
        Key("production", "mg/L", "rise between two changes"), FRACTION, SOURCE), "mg/L",
        "source + production / fraction, just before the change", BALANCE, _steady),
    Figure("through-flow", "share replaced by flowing through", (
        Key("flow", "L/h", "flow"), VOLUME, Key("hours", "h", "time")), "fraction",
        "1 - exp(-flow x hours / volume)",
        "well-mixed through-flow, Prog. Fish-Cult. 47(1):69-70, 1985",
        plain(water.through_flow, "flow", "volume", "hours")),
    Figure("through-flow-time", "time to replace a share by flowing through", (
        FRACTION, Key("flow", "L/h", "flow"), VOLUME), "h", "-ln(1 - fraction) x volume / flow",
        "well-mixed through-flow, Prog. Fish-Cult. 47(1):69-70, 1985",
        plain(water.through_flow_time, "fraction", "flow", "volume")),
    Figure("catch-up", "one change after missed ones", (
        FRACTION, Key("missed", "", "changes missed"),
        Key("limit", "", "largest change a day", Measure.FRACTION, water.LARGEST_CHANGE)),
        "fraction", "(missed + 1) fraction / (1 + missed x fraction)",
        BALANCE + ", back to the usual level after a change", _catch_up),
    Figure("system-fraction", "share of shared water a draining comes to", (
        Key("drained", "l", "litres drained from tanks", V),
        Key("volume", "l", "litres of the whole body", V),
        Key("tanks", "l", "litres of its tanks", V, "")), "fraction", "drained / volume", BALANCE,
        _system_fraction),
    Figure("ammonia", "the toxic share of ammonia", (
        Key("ph", "", "pH"), Key("temp", "c", "temperature", T),
        Key("tan", "mg/L", "total ammonia", default=1.0)), "mg/L",
        "tan / (10^(pKa - pH) + 1), pKa = 0.09018 + 2729.92 / (273.15 + T)",
        "Emerson et al. 1975, J. Fish. Res. Board Can. 32", _ammonia),
    Figure("mix-temp", "temperature of two waters mixed", (
        Key("volume1", "l", "litres of one", V), Key("temp1", "c", "its temperature", T),
        Key("volume2", "l", "litres of the other", V), Key("temp2", "c", "its temperature", T)),
        "C", "(V1 T1 + V2 T2) / (V1 + V2)", "heat balance, equal heat capacity",
        plain(heat.mix_temp, "volume1", "temp1", "volume2", "temp2")),
    Figure("heat-energy", "energy to warm water", (VOLUME, FROM, TO), "kWh",
        "volume x (to - from) x 1.163 Wh", "heat capacity of water, OpenStax College Physics",
        plain(heat.heat_energy, "volume", "from", "to")),
    Figure("heat-time", "hours a heater takes", (
        VOLUME, FROM, TO, Key("power", "W", "heater power"),
        Key("loss", "W/K", "loss to the room", default=0.0),
        Key("room", "c", "room temperature", T, "")), "h",
        "volume x 1.163 x (to - from) / power; with loss the exponential approach to "
        "room + power / loss", "heat balance; heat capacity of water", _heat_time),
    Figure("cool-time", "hours to cool without heat", (
        FROM, TO, Key("room", "c", "room temperature", T), Key("tau", "h", "time constant")), "h",
        "tau x ln((from - room) / (to - room))", "Newton's law of cooling",
        plain(heat.cool_time, "from", "to", "room", "tau")),
    Figure("blend", "RO share of a blend", (
        Key("tap", "", "hardness of the tap"), Key("wanted", "", "hardness wanted"),
        Key("ro", "", "hardness of the RO water")), "fraction", "(tap - wanted) / (tap - ro)",
        BALANCE, plain(chemistry.blend, "tap", "wanted", "ro")),
    Figure("salt-for-hardness", "salt for degrees of hardness", (
        Key("salt", "", "the salt: " + ", ".join(chemistry.SALTS), TEXT),
        Key("degrees", "", "degrees wanted, dGH or dKH as fits"), VOLUME), "g",
        "mg/L per degree x degrees x volume / 1000",
        "stoichiometry on 1 degree = 10 mg/L CaO; molar masses IUPAC",
        plain(chemistry.salt_for_hardness, "salt", "degrees", "volume")),
    Figure("dechlorinate", "check figure for removing chlorine", (
        Key("agent", "", "the agent: " + ", ".join(chemistry.AGENTS), TEXT),
        Key("chlorine", "mg/L", "chlorine as Cl2"), VOLUME), "g",
        "stoichiometric mass of the reaction stated",
        "stoichiometry, molar masses IUPAC; a bottled conditioner goes by its label",
        _dechlorinate),
    Figure("redose", "dose after a change in treated water", (
        Key("target", "per L", "wanted amount a litre"), VOLUME,
        Key("drained", "l", "litres drained", V),
        Key("short", "l", "litres below the mark when draining began", V, 0.0)), "amount",
        "target x volume - what is left", BALANCE, _redose),
    Figure("bath-salt", "salt for a bath", (
        VOLUME, Key("from", "g/L", "salt there is", default=0.0),
        Key("to", "g/L", "salt wanted")), "g", "volume x (to - from)", "1 g/L = 1 kg/m3",
        plain(chemistry.bath_salt, "volume", "from", "to")),
    Figure("tan-from-feed", "ammonia from feed", (
        Key("feed", "g/day", "feed a day"),
        Key("protein", "", "protein share", Measure.FRACTION)), "g/day", "feed x protein x 0.092",
        "Timmons and Ebeling, from memory",
        plain(chemistry.tan_from_feed, "feed", "protein")),
    Figure("length-at-age", "length at an age", (
        Key("linf", "", "length never passed"), Key("k", "", "growth coefficient"),
        Key("t0", "", "age at length 0"), Key("age", "", "age")), "as linf",
        "linf (1 - exp(-k (age - t0)))", "von Bertalanffy 1938",
        plain(growth.length_at_age, "linf", "k", "t0", "age")),
    Figure("age-at-length", "age at a length", (
        Key("linf", "", "length never passed"), Key("k", "", "growth coefficient"),
        Key("t0", "", "age at length 0"), Key("length", "", "length")), "as t0",
        "t0 - ln(1 - length / linf) / k", "von Bertalanffy 1938",
        plain(growth.age_at_length, "linf", "k", "t0", "length")),
    Figure("fit-growth", "growth curve through lengths at age", (
        Key("file", "", "a CSV file with age,length", TEXT),
        Key("linf", "", "length never passed, if fixed", default="")), "per age unit",
        "unweighted least squares of linf (1 - exp(-k (age - t0)))",
        "von Bertalanffy 1938; Kimura 1980", fit_growth_file),
    Figure("weight", "weight from length", (
        Key("a", "", "coefficient"), Key("b", "", "exponent"), Key("length", "", "length")),
        "as a", "a x length^b", "Froese 2006, J. Appl. Ichthyol. 22",
        plain(growth.weight, "a", "b", "length")),
    Figure("growth-rate", "specific growth rate", (
        Key("from", "", "weight at first"), Key("to", "", "weight at last"),
        Key("days", "d", "days between")), "%/day", "100 ln(to / from) / days",
        "specific growth rate, standard definition",
        plain(growth.growth_rate, "from", "to", "days")),
    Figure("fill-time", "minutes to fill", (VOLUME, Key("rate", "L/min", "rate of filling")), "min",
        "volume / rate", "arithmetic", plain(flow.fill_time, "volume", "rate")),
    Figure("drain-time", "seconds to drain through a hole", (
        Key("area", "m2", "water surface"), Key("hole", "m2", "area of the hole"),
        Key("depth", "m", "depth above the hole"),
        Key("coefficient", "", "discharge coefficient", default=1.0),
        Key("g", "m/s2", "gravity", default=flow.STANDARD_GRAVITY)), "s",
        "area / hole x sqrt(2 depth / g) / coefficient", "Torricelli, prismatic tank",
        plain(flow.drain_time, "area", "hole", "depth", "coefficient", "g")),
    Figure("evaporation", "evaporation of open water", (
        Key("area", "m2", "water surface"), Key("air_speed", "m/s", "air speed", default=0.0),
        Key("xs", "kg/kg", "humidity ratio at the surface"),
        Key("x", "kg/kg", "humidity ratio of the air")), "kg/h",
        "(25 + 19 air_speed) area (xs - x)", "engineering handbook form for open pools",
        plain(chemistry.evaporation, "area", "air_speed", "xs", "x")),
    Figure("fit-weight", "length-weight line through samples", (
        Key("file", "", "a CSV file with length,weight", TEXT),), "as weight",
        "least squares of ln weight on ln length", "Froese 2006, J. Appl. Ichthyol. 22",
        fit_weight_file),
    Figure("fills", "fewest fills for sizes that are not split", (
        Key("sizes", "", "litres, with commas, or a file with one a line", TEXT),
        Key("capacity", "l", "litres of one fill", V)), "fills",
        "bin packing, branch and bound", "exact where proven is true", fills),
    Figure("dates", "days or instants of a recurrence rule", (
        Key("rule", "", "an RFC 5545 rule", TEXT), Key("start", "", "date or date-time", TEXT),
        Key("zone", "", "time zone", TEXT, ""), Key("count", "", "how many", default=10.0),
        Key("exdate", "", "left out, with commas", TEXT, "")), "instances",
        "RFC 5545 3.3.10; an instance that does not exist is left out", "RFC 5545", dates),
    Figure("after", "the instant so many hours or days on", (
        Key("start", "", "local date-time", TEXT), Key("zone", "", "time zone", TEXT, ""),
        Key("hours", "h", "exact hours", default=0.0),
        Key("days", "d", "calendar days", default=0.0)), "h",
        "days first, as calendar days; then exact hours", "RFC 5545 3.3.6", after_instant),
)  # fmt: skip

FIGURES: dict[str, Figure] = {figure.name: figure for figure in _ALL}
