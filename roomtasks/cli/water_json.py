"""The plan of a change as JSON: every worked-out number with how it is known and what from.

Keys carry their unit; a dose stands under its own (`ml`, `g`, `drops`). Nothing
is worked out here.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from roomtasks.cli.asked import Document, day, figure, instant, problem_document
from roomtasks.room.amount import Amount
from roomtasks.room.water_plan import (
    Batch,
    Blend,
    BodyChange,
    ChangePlan,
    Choice,
    Clock,
    ClockStep,
    Contents,
    Dose,
    Draw,
    Forecast,
    Match,
    NextStep,
    Note,
    RecipeDemand,
    Share,
    Split,
    SumpLevels,
    Vessel,
    WhatIf,
)


def plan_document(plan: ChangePlan) -> Document:
    """The whole plan of one change day."""
    return {
        "day": day(plan.day), "wanted_at": instant(plan.wanted_at), "at": instant(plan.now),
        "asked": asked_document(plan.what_if),
        "refused": [note_document(note) for note in plan.refused],
        "next_step": next_document(plan.next_step),
        "demands": [_demand(demand) for demand in plan.demands],
        "by_litres": [
            {
                "recipe": recipe, "litres": [figure(each, 3) for each in litres],
                "litres_known": "computed",
                "litres_from": "what is wanted of this water, in fills of the most one can give",
            }
            for recipe, litres in plan.by_litres
        ],
        "walking": [_split(recipe, split) for recipe, split in plan.walking],
        "any_order": [_split(recipe, split) for recipe, split in plan.any_order],
        "batches": [_batch(batch) for batch in plan.batches],
        "bodies": [_body(body) for body in plan.bodies],
        "choices": [_choice(choice) for choice in plan.choices],
        "needs": [_need(draw) for draw in plan.needs],
        "reservoirs": _reservoirs(plan),
        "forecasts": [_forecast(each) for each in plan.forecasts],
        "sumps": [_sump(each) for each in plan.sumps],
        "notes": [note_document(note) for note in plan.notes],
    }  # fmt: skip


def amount_document(key: str, amount: Amount | None, digits: int = 6) -> Document:
    """A number under its key, with `..._known` and `..._from`; nothing known is null."""
    if amount is None:
        return {key: None, f"{key}_known": None, f"{key}_from": None}
    return {
        key: figure(amount.value, digits), f"{key}_known": amount.known,
        f"{key}_from": {
            "formula": amount.formula or None,
            "inputs": [
                {
                    "name": each.name, "value": _plain(each.value), "unit": each.unit or None,
                    "known": each.known, "source": each.source or None,
                }
                for each in amount.inputs
            ],
            "source": amount.source or None,
        },
    }  # fmt: skip


def worked_out(key: str, value: float | None, how: str | Document, digits: int = 6) -> Document:
    """A number that was computed, beside what from."""
    given = value is not None
    return {
        key: figure(value, digits), f"{key}_known": "computed" if given else None,
        f"{key}_from": how if given else None,
    }  # fmt: skip


def _plain(value: float | str) -> float | str | None:
    return value if isinstance(value, str) else figure(value)


def asked_document(asked: WhatIf) -> Document:
    """What was asked besides the facts; null is as the room has it."""
    return {
        "day": day(asked.day), "hour": f"{asked.hour:%H:%M}" if asked.hour else None,
        "share_fraction": asked.share, "change_fraction": asked.fraction,
        "keep_back": asked.keep_back, "new_water_celsius": asked.celsius,
        "fill_rates": [
            {"reservoir": code, "litres_per_min": rate} for code, rate in asked.fill_rates
        ],
        "free_at": [{"reservoir": code, "at": instant(at)} for code, at in asked.free_at],
        "with": [{"tank": tank, "fraction": share} for tank, share in asked.extra],
    }  # fmt: skip


def note_document(note: Note) -> Document:
    """One thing to be told."""
    return {"about": note.about, "text": note.text, "sort": note.sort, "rule": note.rule or None}


def next_document(step: NextStep | None) -> Document | None:
    """The next thing to do about water."""
    if step is None:
        return None
    return {
        "reservoir": step.reservoir, "step": step.step, "at": instant(step.at),
        "at_known": "computed", "at_from": "the clock plan of the batches", "late": step.late,
        "text": step.text,
    }  # fmt: skip


def _demand(demand: RecipeDemand) -> Document:
    draws = "the draws of this recipe"
    return {
        "recipe": demand.recipe or None, **amount_document("litres", demand.litres, 3),
        **worked_out("drained_litres", demand.drained_litres, draws, 3),
        **worked_out("top_off_litres", demand.top_off_litres, draws, 3),
        **worked_out("other_litres", demand.other_litres, draws, 3),
        **worked_out("loss_litres", demand.loss_litres, "the room's share lost in hoses", 3),
        "draws": [_draw(draw) for draw in demand.draws],
    }  # fmt: skip


def _draw(draw: Draw) -> Document:
    """Water one place takes, with its mark, its re-dose and how it meets the tank."""
    return {
        "id": draw.due_id, "name": draw.name, "sort": draw.sort, "place": draw.place,
        "tank": draw.tank or None, "body": draw.body, "recipe": draw.recipe or None,
        "reservoir": draw.reservoir or None, "class": draw.health.word, "order": draw.order,
        "missed": draw.missed, "since_days": draw.days_since, "need": draw.need,
        "need_reason": draw.need_reason or None,
        **amount_document("litres", draw.litres, 3),
        **worked_out("from_reservoir_litres", draw.from_reservoir, "litres and their share of "
                     "the loss in hoses", 3),
        **worked_out("fraction", draw.fraction, "litres over the tank's own"),
        **worked_out("drain_cm", draw.drain_cm, "litres over the tank's floor, above sand and rock",
                     2),
        "doses": [dose_document(dose) for dose in draw.doses], "match": _match(draw.match),
    }  # fmt: skip


def dose_document(dose: Dose) -> Document:
    """So much of a product; the amount stands under its unit."""
    return {
        "product": dose.product, **amount_document(dose.amount.unit, dose.amount, 3),
        "unit": dose.amount.unit, "where": dose.where, "why": dose.why,
        "caution": dose.caution or None,
    }  # fmt: skip


def _match(match: Match | None) -> Document | None:
    if match is None:
        return None
    how = "the tank's own fraction, its temperature and that of the new water"
    return {
        "tank": match.tank, **amount_document("before_celsius", match.before_celsius, 3),
        "new_celsius": figure(match.new_celsius, 3),
        **worked_out("after_celsius", match.after_celsius, how, 3),
        **worked_out("step_kelvin", match.step, how, 3), "limit_kelvin": match.limit,
        **worked_out("coldest_new_celsius", match.coldest_new_celsius, how, 3),
        **worked_out("warmest_new_celsius", match.warmest_new_celsius, how, 3),
        **worked_out("most_fraction", match.most_fraction, how),
        "allowed": match.allowed, "deliberate": match.deliberate,
    }  # fmt: skip


def _body(body: BodyChange) -> Document:
    return {
        "body": body.body, "sort": body.sort, "tanks": list(body.tanks),
        **amount_document("litres", body.litres, 3),
        **worked_out("drained_litres", body.drained_litres, "the draws of its tanks", 3),
        **amount_document("fraction", body.fraction),
        **worked_out("tanks_fraction", body.tanks_fraction, "drained over the tanks' own litres"),
    }  # fmt: skip


def _share(share: Share) -> Document:
    return {
        "id": share.draw.due_id, "place": share.draw.place, "tank": share.draw.tank or None,
        "litres": figure(share.litres, 3), "litres_known": "computed",
        "litres_from": {"from_reservoir_litres": figure(share.draw.from_reservoir, 3)},
    }  # fmt: skip


def _split(recipe: str, split: Split) -> Document:
    return {
        "recipe": recipe or None, "order": split.order, "reservoirs": list(split.reservoirs),
        "litres": [figure(each, 3) for each in split.litres], "litres_known": "computed",
        "litres_from": "the shares of each fill",
        "fills": [[_share(share) for share in fill] for fill in split.fills],
        "lower_bound": split.lower_bound, "proven": split.proven,
    }  # fmt: skip


def _batch(batch: Batch) -> Document:
    shares = "the shares of this fill"
    return {
        "n": batch.n, "reservoir": batch.reservoir, "recipe": batch.recipe or None,
        "tanks": tanks_of(batch.shares),
        **worked_out("used_litres", batch.used_litres, shares, 3),
        **worked_out("added_litres", batch.added_litres, "what it must hold, less what is left", 3),
        **worked_out("left_litres", batch.left_litres, "what stands in it when the fill starts", 3),
        **amount_document("mix_celsius", batch.mix_celsius, 3),
        "target_celsius": figure(batch.target_celsius, 3),
        **amount_document("heat_kwh", batch.heat_kwh, 4),
        **amount_document("heat_minutes", batch.heat_minutes, 2),
        "doses": [dose_document(dose) for dose in batch.doses], "blend": _blend(batch.blend),
        **_clock(batch.clock), "emptied_at": instant(batch.emptied_at),
        "emptied_at_known": "computed" if batch.emptied_at else None,
        "emptied_at_from": "when the last of its tanks is refilled" if batch.emptied_at else None,
        "shares": [_share(share) for share in batch.shares],
    }  # fmt: skip


def tanks_of(shares: Iterable[Share]) -> list[str]:
    """The places of the shares, in order, each once."""
    return list(dict.fromkeys(share.draw.tank or share.draw.place for share in shares))


def _blend(blend: Blend | None) -> Document | None:
    if blend is None:
        return None
    return {
        **amount_document("ro_fraction", blend.ro_fraction),
        **worked_out("ro_litres", blend.ro_litres, "the fraction of the litres added", 3),
        **worked_out("source_litres", blend.source_litres, "the rest of the litres added", 3),
        **amount_document("ro_hours", blend.hours, 3),
        **worked_out("waste_litres", blend.waste_litres, "the unit's waste to each litre", 3),
    }  # fmt: skip


def _clock(clock: Clock | None) -> Document:
    if clock is None:
        return {"wanted_at": None, "ready_at": None, "clock": [], "refused": None, "told": []}
    return {
        "wanted_at": instant(clock.wanted_at), "ready_at": instant(clock.ready_at),
        "ready_at_known": "computed" if clock.ready_at else None,
        "ready_at_from": "fill, rest, heat, mixing and check, beginning as soon as may be",
        "clock": [_clock_step(step) for step in clock.steps],
        "refused": problem_document(clock.refused)["problem"] if clock.refused else None,
        "told": [note_document(note) for note in clock.notes],
    }  # fmt: skip


def _clock_step(step: ClockStep) -> Document:
    return {
        "step": step.step, "latest": instant(step.latest), "latest_known": "computed",
        "latest_from": step.why, "advised": instant(step.advised), "advised_known": "computed",
        "advised_from": step.why, **amount_document("minutes", step.minutes, 2), "why": step.why,
        "done_at": instant(step.done_at),
    }  # fmt: skip


def _choice(choice: Choice) -> Document:
    return {
        "sort": choice.sort, "text": choice.text, "needs_yes": choice.needs_yes,
        "litres": [figure(each, 3) for each in choice.litres], "litres_known": "computed",
        "litres_from": choice.text,
        "prices": [
            {
                "body": price.body,
                **worked_out("fraction", price.fraction, "what this choice leaves of the change"),
                **worked_out("was_fraction", price.was_fraction, "the body's change as planned"),
                **worked_out("tanks_fraction", price.tanks_fraction, "of each of its tanks"),
                **worked_out("settles_mg_per_l", price.settles_mg_per_l,
                             "production over the fraction, above the source", 3),
                **worked_out("was_mg_per_l", price.was_mg_per_l,
                             "production over the planned fraction, above the source", 3),
            }
            for price in choice.prices
        ],
    }  # fmt: skip


def _need(draw: Draw) -> Document:
    return {
        "id": draw.due_id, "place": draw.place, "tank": draw.tank or None, "body": draw.body,
        "recipe": draw.recipe or None, "need": draw.need, "reason": draw.need_reason or None,
        **worked_out("from_reservoir_litres", draw.from_reservoir,
                     "litres and their share of the loss in hoses", 3),
    }  # fmt: skip


def _reservoirs(plan: ChangePlan) -> list[Document]:
    held = {contents.reservoir: contents for contents in plan.contents}
    return [
        {**_vessel(vessel), "contents": contents_document(held.get(vessel.code))}
        for vessel in plan.vessels
    ]


def _vessel(vessel: Vessel) -> Document:
    return {
        "reservoir": vessel.code, "recipes": list(vessel.recipes),
        **worked_out("most_litres", vessel.most_litres, "full less dead volume and keep-back", 3),
        **worked_out("left_litres", vessel.left_litres, "dead volume and keep-back", 3),
        "holds_recipe": vessel.holds_recipe or None,
        "holds_litres": figure(vessel.holds_litres, 3), "holds_litres_known": "by the book",
        "holds_litres_from": "the steps and marks of this reservoir",
        **amount_document("celsius", vessel.celsius, 3),
        **worked_out("ready_litres", vessel.ready_litres, "what is ready, less what stays", 3),
    }  # fmt: skip


def contents_document(held: Contents | None) -> Document | None:
    """What a reservoir holds now, by its steps."""
    if held is None:
        return None
    return {
        "litres": figure(held.litres, 3), "litres_known": "by the book",
        "litres_from": "the steps and marks of this reservoir", "recipe": held.recipe or None,
        "state": held.state, "state_known": held.known,
        "state_from": "the steps at this reservoir", "for_day": day(held.for_day),
        **worked_out("raw_litres", held.raw_litres, "what ran in since it was conditioned", 3),
        **_instants(
            hose_at=held.hose_at, filling_since=held.filling_since, full_at=held.full_at,
            treated_at=held.treated_at, heat_since=held.heat_since, mixed_at=held.mixed_at,
            ready_at=held.ready_at,
        ),
        **amount_document("celsius", held.celsius, 3),
    }  # fmt: skip


def _instants(**found: datetime | None) -> dict[str, Any]:
    return {name: instant(at) for name, at in found.items()}


def _forecast(each: Forecast) -> Document:
    return {
        "body": each.body, **amount_document("reading_mg_per_l", each.reading, 3),
        **amount_document("production_mg_per_l_per_week", each.production_per_week, 3),
        **amount_document("now_mg_per_l", each.now, 3),
        **amount_document("before_next_mg_per_l", each.before_next, 3),
        **amount_document("settles_mg_per_l", each.settles, 3), "limit_mg_per_l": each.limit,
        **amount_document("least_fraction", each.least_fraction),
        "crosses_on": day(each.crosses_on),
        "crosses_on_known": "forecast" if each.crosses_on else None,
        "crosses_on_from": "now, the production and the limit" if each.crosses_on else None,
        "change_now": each.change_now, "told": [note_document(note) for note in each.notes],
    }  # fmt: skip


def _sump(each: SumpLevels) -> Document:
    glass = "the running mark and the sump's floor"
    return {
        "system": each.system, "running_cm": each.running_cm,
        **amount_document("back_litres", each.back_litres, 3),
        **worked_out("rise_cm", each.rise_cm, "what runs back over the sump's floor", 2),
        **worked_out("resting_cm", each.resting_cm, glass, 2),
        **worked_out("highest_running_cm", each.highest_running_cm,
                     "the rim, less the rise and the margin", 2),
        "overflows": each.overflows,
    }  # fmt: skip


def all_draws(plan: ChangePlan) -> Sequence[Draw]:
    """Every draw of the plan in walking order."""
    draws = [draw for demand in plan.demands for draw in demand.draws]
    return sorted(draws, key=lambda draw: (draw.order, draw.due_id))
