"""Doses: conditioner and salt of a fill, RO blends, what a change took out of a dosed tank.

Every rate is what the keeper typed from a label: where none was typed there is
no dose, and a note says so. Litres, grams, mL; the amount carries its unit.
Does not live here: the sums themselves (`chemistry`, `flow`, `water`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from roomtasks.room import chemistry
from roomtasks.room.amount import ASSUMED, COMPUTED, SET, Amount, Input, weakest
from roomtasks.room.flow import ro_factor, ro_rate
from roomtasks.room.kind import KINDS
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, first, share_above_zero, within, zero_or_more
from roomtasks.room.recipe import Rate, Recipe, Source
from roomtasks.room.treatment import Level
from roomtasks.room.water import after_change, changes_needed, rejoin_residue
from roomtasks.room.water_plan import Blend, Contents, Dose, Note

LABEL = "label, typed by the keeper"
SALT = "salt"
NO_LABEL_RATE = "no-label-rate"
_CAUTION = KINDS["treat"].caution
_WHEN = {"fill": "during the fill", "mixed": "after mixing"}
_COLD_TAP, _WARMEST_SOURCE = 10.0, 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Residue:
    """What is left of one product per litre of a system, now and after each change first."""

    product: str
    unit: str
    now: Amount
    after: tuple[float, ...]
    changes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejoin:
    """What a tank brings into its system's water, and the changes that must come first.

    `changes` of `each_litres` (a `fraction` of the tank), into the waste. The sum
    says nothing of pathogens: clear days decide those.
    """

    residues: tuple[Residue, ...]
    changes: int
    fraction: float
    each_litres: float


# --- a fill -----------------------------------------------------------------------------


def litres_to_treat(added_litres: float, left_litres: float, contents: Contents | None) -> float:
    """Litres that want conditioner: those to be added, and what stands raw in the reservoir.

    Water that is treated already counts no more. During a fill that was dosed
    for the whole of it nothing is left to treat.
    """
    if contents is None:
        return added_litres
    if contents.filling_since is not None and contents.treated_at is not None:
        return contents.raw_litres
    to_come = max(0.0, min(added_litres, added_litres + left_litres - contents.litres))
    return contents.raw_litres + to_come


def doses_for_fill(
    rates: Iterable[Rate], added_litres: float, recipe: Recipe | None = None, where: str = ""
) -> tuple[Dose, ...] | Problem:
    """What goes into a fill by the recipe's rates, for the litres added (or raw), and its salt.

    What was treated before is not treated again. None for no litres. `rates` of
    other recipes are left out where a recipe is given.
    """
    fault = zero_or_more("added_litres", added_litres, "L")
    if fault is not None:
        return fault
    if added_litres == 0:
        return ()
    ours = [rate for rate in rates if recipe is None or rate.recipe == recipe.code]
    found = [_by_rate(rate, added_litres, "litres added", where, _WHEN[rate.when]) for rate in ours]
    salt = _salt(recipe, added_litres, where) if recipe is not None else None
    if isinstance(salt, Problem):
        return salt
    return (*found, *([salt] if salt is not None else []))


def straight_from_tap(
    rates: Iterable[Rate], tank_litres: float, tank: str = ""
) -> tuple[Dose, ...] | Problem:
    """Conditioner for a tank filled straight from the tap: for the whole tank, beforehand.

    It must work before the water is mixed, so it is given before the hose runs.
    """
    fault = above_zero("tank_litres", tank_litres, "L")
    if fault is not None:
        return fault
    why = "for the whole tank, before the hose runs"
    return tuple(
        _by_rate(rate, tank_litres, "litres of the whole tank", tank, why)
        for rate in rates
        if rate.when == "fill"
    )


def missing_rate(
    rates: Iterable[Rate], recipe: Recipe | None, source: Source | None, where: str = ""
) -> Note | None:
    """A note where tap water goes into a recipe that has no label rate; nothing is made up."""
    code = recipe.code if recipe is not None else ""
    if source is None or source.kind not in ("tap", "other"):
        return None
    if any(rate.recipe == code and rate.when == "fill" for rate in rates):
        return None
    name = f"recipe {code}" if code else "this water"
    text = f"no label rate is typed for {name}, so no conditioner is worked out: read the label"
    return Note(about=where or code, text=text, sort="warned", rule=NO_LABEL_RATE)


def _by_rate(rate: Rate, litres: float, of_what: str, where: str, why: str) -> Dose:
    inputs = (
        Input(of_what, litres, "L", COMPUTED),
        Input("label rate", rate.amount, rate.unit, SET, LABEL),
        Input("for so many litres", rate.per_litres, "L", SET, LABEL),
    )
    amount = Amount(
        rate.amount * litres / rate.per_litres, rate.unit, COMPUTED,
        f"{of_what} x label rate / its litres", inputs, LABEL,
    )  # fmt: skip
    return Dose(product=rate.product, amount=amount, where=where, why=why,
                caution=_cautions(rate.caution))  # fmt: skip


def _salt(recipe: Recipe, litres: float, where: str) -> Dose | Problem | None:
    if not recipe.salt_g_per_l:
        return None
    grams = chemistry.bath_salt(litres, 0.0, recipe.salt_g_per_l)
    if isinstance(grams, Problem):
        return grams
    inputs = (Input("litres added", litres, "L", COMPUTED),
              Input("salt", recipe.salt_g_per_l, "g/L", SET, f"recipe {recipe.code}"))  # fmt: skip
    amount = Amount(grams, "g", COMPUTED, "litres added x g/L", inputs, f"recipe {recipe.code}")
    return Dose(product=SALT, amount=amount, where=where, why="for the litres added",
                caution=_CAUTION)  # fmt: skip


def _cautions(label: str) -> str:
    return f"{label.rstrip('. ')}. {_CAUTION}" if label.strip() else _CAUTION


# --- RO blends --------------------------------------------------------------------------


def blend_for(
    recipe: Recipe,
    sources: Mapping[str, Source],
    litres: float,
    source_celsius: Amount | None = None,
    factor: float | None = None,
) -> Blend | Problem | None:
    """RO and source water for so many litres; None where the recipe is not blended.

    The unit's rating at 25 C is divided by a maker's own `factor`, or the slower of
    two published tables at the source's temperature. Refuses an RO no softer than
    its source, and hardness not known. pH does not blend along a line: measure it.
    """
    if not recipe.ro:
        return None
    ro, tap = sources.get(recipe.ro), _source_of(recipe, sources)
    where = f"recipe {recipe.code}"
    if ro is None or tap is None:
        return Problem(where, "the source or the RO it is made from is not in the room",
                       "add both to the sources")  # fmt: skip
    fault = above_zero("litres", litres, "L") or _hardness_fault(recipe, tap, ro)
    if fault is not None:
        return fault
    tap_dgh, wanted, ro_dgh = tap.hardness_dgh, recipe.hardness_dgh, ro.hardness_dgh
    share = chemistry.blend(tap_dgh or 0.0, wanted or 0.0, ro_dgh or 0.0)
    if isinstance(share, Problem):
        return Problem(f"{where} {share.where}", share.what, share.remedy, share.rule)
    inputs = (
        Input(tap.code, tap_dgh or 0.0, "dGH", SET, _measured(tap)),
        Input(ro.code, ro_dgh or 0.0, "dGH", SET, _measured(ro)),
        Input("wanted", wanted or 0.0, "dGH", SET, where),
    )
    hours = _ro_hours(ro, share * litres, source_celsius or _typed_celsius(tap), factor)
    if isinstance(hours, Problem):
        return hours
    return Blend(
        ro_fraction=Amount(share, "", COMPUTED, "(source - wanted) / (source - RO)", inputs),
        ro_litres=share * litres, source_litres=(1 - share) * litres, hours=hours,
        waste_litres=share * litres * ro.waste_ratio,
    )  # fmt: skip


def _source_of(recipe: Recipe, sources: Mapping[str, Source]) -> Source | None:
    if recipe.source:
        return sources.get(recipe.source)
    return next((source for source in sources.values() if source.kind != "ro"), None)


def _hardness_fault(recipe: Recipe, tap: Source, ro: Source) -> Problem | None:
    for where, value in (
        (f"source {tap.code}", tap.hardness_dgh),
        (f"source {ro.code}", ro.hardness_dgh),
        (f"recipe {recipe.code}", recipe.hardness_dgh),
    ):
        if value is None:
            what = "its hardness is not known, so no blend follows"
            return Problem(f"{where} hardness_dgh", what, "measure it and type it in dGH")
    return None


def _typed_celsius(tap: Source) -> Amount:
    if tap.celsius is None:
        return Amount(_COLD_TAP, "C", ASSUMED, source="a cold tap, until it is measured")
    return Amount(tap.celsius, "C", SET, source=_measured(tap))


def _ro_hours(ro: Source, litres: float, warmth: Amount, factor: float | None) -> Amount | Problem:
    """Hours the unit takes for its part; none where it has no rating, as it is stored then."""
    if ro.litres_per_hour is None:
        return Amount(0.0, "h", ASSUMED, "no rating is typed: taken as made and stored before")
    if factor is None:
        fault = within("source_celsius", warmth.value, 0.0, _WARMEST_SOURCE, "C")
        found = fault or ro_factor(warmth.value, slow=True)
    else:
        found = above_zero("factor", factor) or factor
    if isinstance(found, Problem):
        return found
    rate = ro_rate(ro.litres_per_hour, found)
    if isinstance(rate, Problem):
        return rate
    inputs = (
        Input("RO water", litres, "L", COMPUTED),
        Input("rated at 25 C", ro.litres_per_hour, "L/h", SET, f"source {ro.code}"),
        Input("source", warmth.value, "C", warmth.known, warmth.source),
        Input("divided by", found, "", SET if factor is not None else ASSUMED,
              "its maker's" if factor is not None else "the slower of two published tables"),
        Input("so it gives", rate, "L/h", COMPUTED),
    )  # fmt: skip
    return Amount(litres / rate, "h", weakest((COMPUTED, warmth.known)),
                  "RO litres / (rating / factor at the source's temperature)", inputs)  # fmt: skip


def _measured(source: Source) -> str:
    on = source.measured_on
    return f"measured {day_words(on)} {on.year}" if on else "as typed"


# --- dosed tanks ------------------------------------------------------------------------


def redose_for(
    level: Level,
    tank_litres: float,
    drained_litres: float,
    short_litres: float = 0.0,
    full_dose: bool = False,
) -> Dose | Problem:
    """What a change took out of a dosed tank, to be added once it is full again.

    `tank_litres` at its mark; `short_litres` below the mark when draining began;
    `drained_litres` then ran out. A top-off, nothing drained, gets none: what is
    dissolved does not evaporate. With `full_dose` due that day, that is given
    after the change, and no part dose besides.
    """
    found = chemistry.redose(level.per_litre, tank_litres, drained_litres, short_litres)
    if isinstance(found, Problem):
        return Problem(f"{level.tank} {found.where}", found.what, found.remedy, found.rule)
    inputs = (
        Input("level", level.per_litre, f"{level.unit}/L", SET, LABEL),
        Input("tank at its mark", tank_litres, "L", COMPUTED),
        Input("below the mark before", short_litres, "L", COMPUTED),
        Input("drained", drained_litres, "L", COMPUTED),
        Input("left in it", found.left, level.unit, COMPUTED),
    )
    add, formula, why = found.add, "level x litres - what is left", "what the change takes out"
    if full_dose:
        add, formula = level.per_litre * tank_litres, "level x litres, the full dose"
        why = "the full dose due that day, after the change, in place of the part dose"
    elif drained_litres == 0:
        why = "a top-off takes nothing out, so it gets none"
    amount = Amount(add, level.unit, COMPUTED, formula, inputs, LABEL)
    return Dose(product=level.product, amount=amount, where=level.tank, why=why,
                caution=_CAUTION)  # fmt: skip


def rejoin(
    levels: Sequence[Level],
    tank_litres: float,
    system_litres: float,
    limit_per_litre: float,
    fraction: float = 0.5,
) -> Rejoin | Problem:
    """What a tank's dissolved products become in its system, and the changes wanted first.

    `system_litres` with the tank in it. Each change takes a fraction of the tank,
    undosed water after it. Refuses a limit of nothing: changes never take all.
    """
    fault = first(
        above_zero("limit", limit_per_litre), share_above_zero("fraction", fraction),
        above_zero("tank", tank_litres, "L"), above_zero("system", system_litres, "L"),
    )  # fmt: skip
    if fault is not None:
        return fault
    found = []
    for level in levels:
        residue = _residue(level, tank_litres, system_litres, limit_per_litre, fraction)
        if isinstance(residue, Problem):
            return residue
        found.append(residue)
    return Rejoin(
        residues=tuple(found), changes=max((each.changes for each in found), default=0),
        fraction=fraction, each_litres=fraction * tank_litres,
    )  # fmt: skip


def _residue(
    level: Level, tank_litres: float, system_litres: float, limit: float, fraction: float
) -> Residue | Problem:
    now = rejoin_residue(level.per_litre, tank_litres, system_litres)
    if isinstance(now, Problem):
        return now
    changes = changes_needed(now, limit, fraction)
    if isinstance(changes, Problem):
        return changes
    after = [after_change(now, fraction, 0.0, times) for times in range(1, changes + 1)]
    unit = f"{level.unit}/L"
    inputs = (
        Input("in the tank", level.per_litre, unit, SET, LABEL),
        Input("tank", tank_litres, "L", COMPUTED), Input("system", system_litres, "L", COMPUTED),
    )  # fmt: skip
    amount = Amount(now, unit, COMPUTED, "level x tank / system", inputs)
    return Residue(
        product=level.product, unit=level.unit, now=amount, changes=changes,
        after=tuple(each for each in after if not isinstance(each, Problem)),
    )  # fmt: skip


def chlorine_check(
    chlorine_mg_per_l: float, litres: float, agent: str = "sodium_thiosulfate_5h2o"
) -> Amount | Problem:
    """Grams of a chlorine remover by stoichiometry: a check on a label's dose, never the dose."""
    grams = chemistry.dechlorinate(agent, chlorine_mg_per_l, litres)
    if isinstance(grams, Problem):
        return grams
    facts = chemistry.AGENTS[agent]
    inputs = (
        Input("chlorine", chlorine_mg_per_l, "mg/L", SET), Input("litres", litres, "L", COMPUTED),
        Input("per gram of chlorine", facts.g_per_g_cl2, "g", COMPUTED, facts.reaction),
    )  # fmt: skip
    return Amount(grams, "g", COMPUTED, facts.reaction, inputs,
                  "stoichiometry, as a check: the label decides the dose")  # fmt: skip
