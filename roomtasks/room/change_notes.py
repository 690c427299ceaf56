"""What a plan adds to its draws, and what it tells of them.

The reservoir a job names decides the water it takes; a missed change is caught
up within the largest of a day; a dosed tank gets back what leaves; each tank's
step in temperature is matched. Litres, degrees C, fractions of a tank's own water.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.amount import COMPUTED, Amount, Input
from roomtasks.room.body import body_of
from roomtasks.room.course_days import dose_due
from roomtasks.room.dosing import missing_rate, redose_for, straight_from_tap
from roomtasks.room.draw import CHANGE
from roomtasks.room.forecast import CatchUpPlan, catch_up_plan
from roomtasks.room.journal import Mark
from roomtasks.room.leak import top_off_watch
from roomtasks.room.pool import pool_of
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.shock import chemistry_notes, match, match_note
from roomtasks.room.tank import drain_mark_cm
from roomtasks.room.trigger import Every, parse_trigger
from roomtasks.room.water_plan import Draw, Note, SumpLevels, Vessel, WhatIf


def before_draws(room: Room, draws: Iterable[Draw]) -> tuple[tuple[Draw, ...], list[Note]]:
    """Draws that want water, each of the water its reservoir holds.

    A job that names a reservoir gets the one water that reservoir may hold; for a
    change of a tank that wants another that is told, for a top-off it is usual.
    """
    found, notes = [], []
    for draw in draws:
        if draw.from_reservoir <= 0:
            continue
        vessel = room.reservoir.get(draw.reservoir)
        holds = vessel.recipes.split() if vessel is not None else []
        if holds and draw.recipe not in holds:
            if draw.sort == CHANGE and draw.recipe:
                notes.append(Note(
                    about=draw.place, sort="warned", rule="other-water",
                    text=f"{draw.place} wants {draw.recipe} water and its job takes from "
                    f"{draw.reservoir}, which holds {holds[0]}: name another reservoir in the job",
                ))  # fmt: skip
            draw = replace(draw, recipe=holds[0])
        found.append(draw)
    return tuple(found), notes


def caught_up(
    room: Room, draws: Sequence[Draw], now: datetime
) -> tuple[tuple[Draw, ...], list[Note]]:
    """Changes that were missed, by what makes up for them and is not too much for a day."""
    plans: dict[str, CatchUpPlan] = {}
    notes: list[Note] = []
    for draw in draws:
        key = f"{draw.due_id} {draw.body}"
        usual = _makes_up(room, draw)
        if key in plans or usual is None:
            continue
        body = body_of(room, draw.tank, now)
        plan = catch_up_plan(room, body, usual, ratio=draw.missed + 1.0, done=draw.part_done)
        if isinstance(plan, Problem):
            notes.append(Note(about=draw.place, text=plan.sentence(), sort="warned",
                              rule="catch-up"))  # fmt: skip
            continue
        plans[key] = plan
        notes += [_catch_up_note(draw, plan), *plan.notes]
    found = tuple(
        _with_fraction(room, draw, plans[f"{draw.due_id} {draw.body}"])
        if f"{draw.due_id} {draw.body}" in plans and draw.tank
        else draw
        for draw in draws
    )
    return found, notes


def _makes_up(room: Room, draw: Draw) -> float | None:
    """The usual share of a regular change that was missed before; None of any other draw."""
    job = room.job.get(draw.due_id.split("@")[0])
    if job is None or job.fraction is None or draw.missed < 1 or not draw.tank:
        return None
    rule = parse_trigger(job.rule)
    often = isinstance(rule, Every) and rule.interval.unit == "days" and rule.interval.count < 5
    return None if often or draw.sort != CHANGE else job.fraction


def _catch_up_note(draw: Draw, plan: CatchUpPlan) -> Note:
    times = "once" if draw.missed == 1 else f"{draw.missed} times"
    part = f" and {100 * draw.part_done:.3g} % of it done" if draw.part_done else ""
    text = (
        f"{plan.body}: missed {times}{part}, so {100 * plan.one_fraction.value:.1f} % "
        f"({plan.one_litres:.1f} L) in one change would make up for it"
    )
    if plan.refused:
        text += (
            f"; that is above {100 * plan.limit:.3g} %, so {plan.changes} changes of "
            f"{100 * plan.each_fraction:.1f} % ({plan.each_litres:.1f} L) a day apart, the first "
            "of them in this plan"
        )
    return Note(about=plan.body, text=text, sort="warned" if plan.refused else "told",
                rule="catch-up")  # fmt: skip


def _with_fraction(room: Room, draw: Draw, plan: CatchUpPlan) -> Draw:
    fraction = plan.each_fraction
    tank = room.tank[draw.tank]
    own = room.tank_litres(draw.tank)
    mark = drain_mark_cm(tank, fraction)
    amount = Amount(
        fraction * own, "L", draw.litres.known, "catch-up fraction x the tank's own water",
        (Input("catch-up fraction", fraction, "", COMPUTED, plan.one_fraction.formula),
         Input(draw.tank, own, "L", draw.litres.known)),
    )  # fmt: skip
    return replace(
        draw, fraction=fraction, litres=amount,
        from_reservoir=room.setup.with_loss(amount.value),
        drain_cm=None if isinstance(mark, Problem) else mark,
    )  # fmt: skip


def redosed(
    room: Room, draws: Sequence[Draw], day: date
) -> tuple[tuple[Draw, ...], list[Note]]:  # fmt: skip
    """What a change takes out of dosed tanks, to be put back."""
    found, notes = [], []
    for draw in draws:
        levels = [lv for lv in room.levels if lv.tank == draw.tank and lv.on(day)]
        if not draw.tank or draw.sort != CHANGE or not levels:
            found.append(draw)
            continue
        doses = []
        for level in levels:
            litres = room.tank_litres(draw.tank)
            dose = dose_due(room.runs, room.courses, room.course_steps, level, litres, day)
            if dose is None:
                dose = redose_for(level, litres, draw.litres.value)
            if isinstance(dose, Problem):
                notes.append(Note(about=draw.tank, text=dose.sentence(), sort="warned",
                                  rule="dose"))  # fmt: skip
            else:
                doses.append(dose)
        found.append(replace(draw, doses=tuple(doses)))
    return tuple(found), notes


def from_the_tap(
    room: Room, draws: Sequence[Draw], vessels: Sequence[Vessel]
) -> tuple[tuple[Draw, ...], list[Note]]:
    """Conditioner by the label for tanks whose water no reservoir can hold.

    Run straight into the tank, raw water meets the fish, so it is for all the
    tank's litres and not for those run in (`dosing.straight_from_tap`).
    """
    found: list[Draw] = []
    told: dict[str, Note] = {}
    for draw in draws:
        source = room.source_of(draw.recipe)
        by_hose = draw.sort == CHANGE and draw.tank and source is not None and source.kind == "tap"
        if not by_hose or any(v.most_litres > 0 for v in pool_of(vessels, draw.recipe)):
            found.append(draw)
            continue
        rates = [rate for rate in room.rates if rate.recipe == draw.recipe]
        doses = straight_from_tap(rates, room.tank_litres(draw.tank), draw.tank)
        added = () if isinstance(doses, Problem) else doses
        found.append(replace(draw, doses=(*added, *draw.doses)))
        missing = missing_rate(rates, room.recipe.get(draw.recipe), source)
        text = ("run straight from the tap it wants the conditioner for the whole tank, before "
                "the hose runs; the dose stands by each tank")  # fmt: skip
        told[draw.recipe] = missing or Note(about=draw.recipe or "water", text=text)
    return tuple(found), list(told.values())


def with_match(
    room: Room, draws: Sequence[Draw], readings: Readings, what_if: WhatIf, today: date
) -> tuple[tuple[Draw, ...], list[Note]]:
    """Each tank's step in temperature, and what pH and hardness do."""
    found: list[Draw] = []
    notes: list[Note] = []
    for draw in draws:
        recipe = room.recipe.get(draw.recipe)
        celsius = what_if.celsius
        if celsius is None and recipe is not None:
            celsius = recipe.celsius
        if not draw.tank or draw.fraction is None or draw.sort != CHANGE:
            found.append(draw)
            continue
        notes += chemistry_notes(room, draw, readings, today)
        met = match(room, draw, celsius, readings, today) if celsius is not None else None
        if met is None or isinstance(met, Problem):
            if isinstance(met, Problem) and what_if.celsius is not None:
                notes.append(Note(about=draw.tank, text=met.sentence(), sort="warned",
                                  rule="temperature"))  # fmt: skip
            found.append(draw)
            continue
        note = match_note(met, draw.fraction)
        notes += [note] if note is not None else []
        found.append(replace(draw, match=met))
    return tuple(found), notes


def sump_notes(levels: SumpLevels) -> list[Note]:
    """A sump that would flood when the pump stops, and its two right levels."""
    text = (
        f"sump of {levels.system}: {levels.running_cm:.1f} cm running, {levels.resting_cm:.1f} cm "
        f"at rest; {levels.back_litres.value:.0f} L run back when the pump stops"
    )
    if not levels.overflows:
        return [Note(about=levels.system, text=text)]
    text += f", and that floods: lower the running mark to {levels.highest_running_cm:.1f} cm"
    return [Note(about=levels.system, text=text, sort="refused", rule="sump-level")]


def leak_notes(
    room: Room, tops: Sequence[Mark], readings: Readings, today: date
) -> list[Note]:  # fmt: skip
    """Top-offs that are twice the usual."""
    found = []
    for system in room.systems:
        watch = top_off_watch(room, system.code, tops, readings, today)
        if watch.note is not None:
            found.append(watch.note)
    return found


def gathered(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Each note once; what is told of several tanks in the same words, told of all together."""
    places: dict[tuple[str, str, str], list[Note]] = {}
    for note in dict.fromkeys(notes):
        words = note.text.removeprefix(f"{note.about}: ")
        places.setdefault((note.sort, note.rule, words), []).append(note)
    found = []
    for (_, _, words), same in places.items():
        if len(same) == 1:
            found.append(same[0])
            continue
        about = ", ".join(note.about for note in same)
        found.append(replace(same[0], about=about, text=f"{about}: {words}"))
    return tuple(found)
