"""How much water a day wants: the demand of each kind of water, and who comes first.

Demand is what is drained, topped off and taken in jugs and bags, and the share
lost in hoses and spills. The order of need is that of giving out water that
does not do for all; the walk keeps its own order.
Does not live here: the draws themselves (`draw`), batches (`batches`), doses
and temperatures.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from roomtasks.room.amount import COMPUTED, SET, Amount, Input, weakest
from roomtasks.room.draw import AS_PLANNED, CHANGE, OTHER, TOP_OFF, Drawn, draws_on
from roomtasks.room.nitrate import grown
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Draw, Forecast, RecipeDemand

__all__ = ["AS_PLANNED", "Drawn", "by_need", "demands", "drained", "draws_on"]

NEAR_LIMIT = 3
_NEVER = 10**9


def demands(room: Room, draws: Sequence[Draw]) -> tuple[RecipeDemand, ...]:
    """What each kind of water is wanted for, in the room's order of recipes."""
    by: dict[str, list[Draw]] = defaultdict(list)
    for draw in draws:
        by[draw.recipe].append(draw)
    known = [recipe.code for recipe in room.recipes]
    ordered = sorted(by, key=lambda code: known.index(code) if code in known else len(known))
    return tuple(_demand(room, code, tuple(by[code])) for code in ordered)


def _demand(room: Room, recipe: str, draws: tuple[Draw, ...]) -> RecipeDemand:
    sums = {
        sort: sum(draw.litres.value for draw in draws if draw.sort == sort)
        for sort in (CHANGE, TOP_OFF, OTHER)
    }
    out = sum(draw.from_reservoir for draw in draws)
    known = weakest((COMPUTED, *(draw.litres.known for draw in draws)))
    inputs = (
        Input("drained", sums[CHANGE], "L", _known_of(draws, CHANGE)),
        Input("top-off", sums[TOP_OFF], "L", _known_of(draws, TOP_OFF)),
        Input("jugs and bags", sums[OTHER], "L", _known_of(draws, OTHER)),
        Input("loss", room.setup.water_loss, "", SET, "share lost in hoses and spills"),
    )
    formula = f"drained + top-off + jugs and bags, and {100 * room.setup.water_loss:g} % loss"
    return RecipeDemand(
        recipe=recipe, draws=draws, drained_litres=sums[CHANGE], top_off_litres=sums[TOP_OFF],
        other_litres=sums[OTHER], loss_litres=out - sum(sums.values()),
        litres=Amount(out, "L", known, formula, inputs),
    )  # fmt: skip


def _known_of(draws: Iterable[Draw], sort: str) -> str:
    return weakest(draw.litres.known for draw in draws if draw.sort == sort)


def by_need(
    draws: Sequence[Draw], forecasts: Iterable[Forecast], wait_days: float = 1.0
) -> tuple[Draw, ...]:
    """The draws in the order in which water that does not do for all is given out.

    1 inside a course of treatment; 2 fry and nursery; 3 a body that would pass its
    nitrate limit by the time the next batch can be ready, `wait_days` after the
    change that `before_next` of its forecast looks to; 4 missed last time; 5 days
    since it was done; then the walk. Common practice, no published source.
    """
    of_body = {forecast.body: forecast for forecast in forecasts}
    ranked = [_with_forecast(draw, of_body.get(draw.body), wait_days) for draw in draws]
    return tuple(sorted(ranked, key=_rank))


def _rank(draw: Draw) -> tuple[int, int, int]:
    return draw.need, -(_NEVER if draw.days_since is None else draw.days_since), draw.order


def _with_forecast(draw: Draw, forecast: Forecast | None, wait_days: float) -> Draw:
    if forecast is None or draw.need <= NEAR_LIMIT or draw.sort != CHANGE:
        return draw
    reason = _near_limit(forecast, wait_days)
    return replace(draw, need=NEAR_LIMIT, need_reason=reason) if reason else draw


def _near_limit(forecast: Forecast, wait_days: float) -> str:
    """Why the body cannot wait, "" where it can."""
    if forecast.change_now:
        return "a reading is above its nitrate limit"
    limit, made, then = forecast.limit, forecast.production_per_week, forecast.before_next
    if limit is None or made is None or then is None:
        return ""
    waited = grown(then.value, made.value, wait_days)
    if waited <= limit:
        return ""
    return f"its nitrate would come to {waited:.3g} mg/L, above {limit:g}, before the next batch"


def drained(draws: Iterable[Draw]) -> dict[str, float]:
    """Litres that leave each tank on the day; a top-off only makes up for what evaporated."""
    found: dict[str, float] = defaultdict(float)
    for draw in draws:
        if draw.tank and draw.sort != TOP_OFF:
            found[draw.tank] += draw.litres.value
    return dict(found)
