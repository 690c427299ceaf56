"""What is planned for each kind of water of a change day: its fills, its ways out, who waits.

Waters cannot help each other out, so each is shared out for itself. Litres out
of the reservoir, the loss in hoses counted in.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from roomtasks.room.batches import split_any_order, split_by_litres, split_walking
from roomtasks.room.change_batches import Made, Making, batches_of
from roomtasks.room.pool import pool_of, vessels_of
from roomtasks.room.problem import Problem
from roomtasks.room.shortage import Means, ways_out, who_goes_first
from roomtasks.room.water_plan import (
    Batch,
    BodyChange,
    Choice,
    Draw,
    Forecast,
    Note,
    RecipeDemand,
    Share,
    Split,
    Vessel,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waters:
    """What is planned for every kind of water together."""

    demands: tuple[RecipeDemand, ...]
    by_litres: tuple[tuple[str, tuple[float, ...]], ...]
    walking: tuple[tuple[str, Split], ...]
    any_order: tuple[tuple[str, Split], ...]
    batches: tuple[Batch, ...]
    choices: tuple[Choice, ...]
    notes: tuple[Note, ...]

    @classmethod
    def of(
        cls, making: Making, wanted: tuple[RecipeDemand, ...], changed: Sequence[BodyChange],
        forecasts: Sequence[Forecast], needs: Sequence[Draw],
    ) -> "Waters":  # fmt: skip
        each = [_Water.of(making, demand, changed, forecasts, needs) for demand in wanted]
        return cls(
            demands=wanted,
            by_litres=tuple((w.recipe, w.by_litres) for w in each if w.by_litres),
            walking=tuple((w.recipe, w.walking) for w in each if w.walking is not None),
            any_order=tuple((w.recipe, w.any_order) for w in each if w.any_order is not None),
            batches=tuple(batch for w in each for batch in w.batches),
            choices=tuple(choice for w in each for choice in w.choices),
            notes=tuple(note for w in each for note in w.notes),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Water:
    """What is planned for one kind of water."""

    recipe: str
    by_litres: tuple[float, ...] = ()
    walking: Split | None = None
    any_order: Split | None = None
    batches: tuple[Batch, ...] = ()
    choices: tuple[Choice, ...] = ()
    notes: tuple[Note, ...] = ()

    @classmethod
    def of(
        cls, making: Making, demand: RecipeDemand, changed: Sequence[BodyChange],
        forecasts: Sequence[Forecast], needs: Sequence[Draw],
    ) -> "_Water":  # fmt: skip
        recipe = demand.recipe
        walking = split_walking(demand.draws, making.vessels)
        if isinstance(walking, Problem):
            return cls(recipe=recipe, notes=(_refused(recipe, walking, "no-reservoir"),))
        anyhow = split_any_order(demand.draws, making.vessels)
        named = {draw.reservoir for draw in demand.draws}
        pool = pool_of(making.vessels, recipe, named.pop() if len(named) == 1 else "")
        litres = split_by_litres(demand.litres.value, pool)
        made = batches_of(making, recipe, walking)
        late = _late(made.batches)
        if late and any(vessel.ready_litres > 0 for vessel in pool):
            again = _as_it_stands(making, demand, pool)
            if again is not None and not _late(again[1].batches[:1]):
                walking, made = again
        choices, notes = _ways_out(
            making, demand, changed, forecasts, _ready_by(making, made.batches) if late else None
        )
        return cls(
            recipe=recipe, by_litres=litres if isinstance(litres, tuple) else (),
            walking=walking, any_order=None if isinstance(anyhow, Problem) else anyhow,
            batches=made.batches, choices=choices,
            notes=(*made.notes, *notes, *_without(making, demand, made.batches, needs)),
        )  # fmt: skip


def _refused(about: str, problem: Problem, rule: str) -> Note:
    return Note(about=about, text=problem.sentence(), sort="refused", rule=problem.rule or rule)


def _late(batches: Iterable[Batch]) -> bool:
    """Whether the first fill of some reservoir cannot be ready by the hour."""
    seen: set[str] = set()
    for batch in batches:
        if batch.reservoir not in seen and batch.clock and batch.clock.refused is not None:
            return True
        seen.add(batch.reservoir)
    return False


def _as_it_stands(
    making: Making, demand: RecipeDemand, pool: Sequence[Vessel]
) -> tuple[Split, Made] | None:
    """The fills where the first gives all that stands ready, without filling up before.

    In walking order, as far as it goes; the rest is shared out as ever.
    """
    ready = [vessel for vessel in pool if vessel.ready_litres > 0]
    if len(ready) != 1:
        return None
    first: list[Share] = []
    left = ready[0].ready_litres
    for draw in demand.draws:
        if draw.from_reservoir > left + 1e-6:
            break
        first.append(Share(draw=draw, litres=draw.from_reservoir))
        left -= draw.from_reservoir
    rest = demand.draws[len(first) :]
    if not first:
        return None
    after = split_walking(rest, making.vessels) if rest else None
    if isinstance(after, Problem):
        return None
    split = Split(
        order="walking", fills=(tuple(first), *(after.fills if after else ())),
        reservoirs=(ready[0].code, *(after.reservoirs if after else ())),
        litres=(ready[0].ready_litres - left, *(after.litres if after else ())),
        lower_bound=1 + (after.lower_bound if after else 0),
        proven=after.proven if after else True,
    )  # fmt: skip
    return split, batches_of(making, demand.recipe, split, as_it_stands=True)


def _ways_out(
    making: Making, demand: RecipeDemand, changed: Sequence[BodyChange],
    forecasts: Sequence[Forecast], ready: float | None,
) -> tuple[tuple[Choice, ...], tuple[Note, ...]]:  # fmt: skip
    room = making.room
    roomy = vessels_of(room, making.contents, replace(making.what_if, keep_back=True))
    limits = {
        draw.tank: room.tank[draw.tank].largest_change or room.setup.largest_change
        for draw in demand.draws
        if draw.tank
    }
    means = Means(ready_litres=ready, with_keep_back=() if isinstance(roomy, Problem) else roomy,
                  limits=limits)  # fmt: skip
    found = ways_out(demand, making.vessels, changed, forecasts, means)
    if isinstance(found, Problem):
        return (), (_refused(demand.recipe, found, "ways-out"),)
    return found.choices, found.notes


def _ready_by(making: Making, batches: Iterable[Batch]) -> float:
    """Litres that can be had at the hour wanted: what is run in, and what stands above what stays.

    Never less than what is planned out of them.
    """
    given: dict[str, float] = {}
    used: dict[str, float] = defaultdict(float)
    stays = {vessel.code: vessel.left_litres for vessel in making.vessels}
    for batch in batches:
        code = batch.reservoir
        if not _on_the_day(making, batch):
            continue
        if code not in given:
            given[code] = batch.left_litres - stays[code]
        given[code] += batch.added_litres
        used[code] += batch.used_litres
    return sum(max(given[code], used[code]) for code in given)


def _on_the_day(making: Making, batch: Batch) -> bool:
    planned = batch.clock
    return (
        planned is not None
        and planned.refused is None
        and planned.wanted_at.date() == making.wanted_at.date()
    )


def _without(
    making: Making, demand: RecipeDemand, batches: Sequence[Batch], needs: Sequence[Draw]
) -> tuple[Note, ...]:
    """Who goes without on the day where its water does not do for all, by need."""
    ready = _ready_by(making, batches)
    if ready >= demand.litres.value - 1e-6:
        return ()
    ours = {(draw.due_id, draw.place) for draw in demand.draws}
    ranked = [draw for draw in needs if (draw.due_id, draw.place) in ours]
    found = who_goes_first(ranked, ready)
    if isinstance(found, Problem):
        return ()
    served = [given.draw.place for given in found[0]]
    first = f"first {', '.join(served)}" if served else "nobody"
    text = (f"as planned, {ready:.0f} of {demand.litres.value:.0f} L can be had that day: by need "
            f"{first}; without: {', '.join(given.draw.place for given in found[1])}")  # fmt: skip
    return (Note(about=demand.recipe or "water", text=text, sort="warned", rule="short"),)
