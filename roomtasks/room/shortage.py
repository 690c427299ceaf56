"""When there is too little water for the day: the ways out with their price, and who goes first.

Lives here: what is offered, what is not and why, and giving out water by need.
Litres are out of the reservoir, the loss in hoses counted in.
Does not live here: the ways themselves (`ways_out`), how draws are shared out
over fills (`batches`), the order of need (`demand.by_need`), when a batch can
be ready (`ready`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.batches import split_walking
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import first, zero_or_more
from roomtasks.room.short_of_water import TOLERANCE, Means, litres_words, short_of
from roomtasks.room.water_plan import (
    BodyChange,
    Choice,
    Draw,
    Forecast,
    Note,
    RecipeDemand,
    Vessel,
)
from roomtasks.room.ways_out import keep_back, parts, second_part, several_days, smaller

__all__ = ["Given", "Means", "WaysOut", "choices", "second_part", "ways_out", "who_goes_first"]

AS_IT_IS = Means()


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """What is offered, and of each way that is not, why."""

    choices: tuple[Choice, ...] = ()
    notes: tuple[Note, ...] = ()


def choices(
    demand: RecipeDemand,
    vessels: Sequence[Vessel],
    bodies: Sequence[BodyChange],
    forecasts: Sequence[Forecast],
    means: Means = AS_IT_IS,
) -> tuple[Choice, ...] | Problem:
    """The ways out where a demand is more than one fill of each reservoir; () where it is not."""
    found = ways_out(demand, vessels, bodies, forecasts, means)
    return found if isinstance(found, Problem) else found.choices


def ways_out(
    demand: RecipeDemand,
    vessels: Sequence[Vessel],
    bodies: Sequence[BodyChange],
    forecasts: Sequence[Forecast],
    means: Means = AS_IT_IS,
) -> WaysOut | Problem:
    """As `choices`, with the reasons of what is not offered.

    Prices are the fraction each body gets, and where its nitrate settles above
    the new water's when each change is so, where what is made is known. Refuses
    draws and reservoirs as `batches.split_walking`, and means that cannot be.
    """
    fault = means.fault()
    if fault is not None:
        return fault
    walked = split_walking(demand.draws, vessels)
    if isinstance(walked, Problem):
        return walked
    short = short_of(demand, vessels, bodies, forecasts, means)
    if short.in_one(demand.draws):
        return WaysOut()
    found = (several_days(short), smaller(short), parts(short), keep_back(short))
    return WaysOut(
        choices=tuple(each for each in found if isinstance(each, Choice)),
        notes=tuple(each for each in found if isinstance(each, Note)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A draw that gets its water, or goes without, and why."""

    draw: Draw
    reason: str


def who_goes_first(
    draws_by_need: Sequence[Draw], litres: float
) -> tuple[tuple[Given, ...], tuple[Given, ...]] | Problem:
    """Give out so many litres by need, whole draws only: who is served, who goes without.

    Draws come in order of need, as `demand.by_need` puts them. One that is too
    large for what is left goes without, and a later one that goes in is served.
    Refuses litres below zero, and a draw of less than nothing.
    """
    fault = first(
        zero_or_more("litres", litres, "L"),
        *(zero_or_more(f"{d.due_id} litres", d.from_reservoir, "L") for d in draws_by_need),
    )
    if fault is not None:
        return fault
    served: list[Given] = []
    without: list[Given] = []
    left = litres
    for draw in draws_by_need:
        if draw.from_reservoir <= left + TOLERANCE:
            served.append(Given(draw=draw, reason=draw.need_reason))
            left = max(0.0, left - draw.from_reservoir)
        else:
            what = f"it takes {litres_words(draw.from_reservoir)}, and those before it leave "
            after = f"; {draw.need_reason}" if draw.need_reason else ""
            without.append(Given(draw=draw, reason=f"{what}{litres_words(left)}{after}"))
    return tuple(served), tuple(without)
