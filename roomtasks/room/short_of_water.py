"""A demand that is too much for one day: what there is against it, and what fractions cost.

Lives here: the means, one round of fills, the fractions that draws make of
bodies, prices, and the words the ways out are told in. Litres are out of the
reservoir, the loss in hoses counted in; a fraction is of the body.
Does not live here: the ways out themselves (`ways_out`).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import fsum, prod

from roomtasks.room.batches import pool_of, split_walking
from roomtasks.room.draw import TOP_OFF
from roomtasks.room.nitrate import WEEK, grown
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import first, share_above_zero, within, zero_or_more
from roomtasks.room.water import steady
from roomtasks.room.water_plan import (
    BodyChange,
    Draw,
    Forecast,
    Price,
    RecipeDemand,
    Split,
    Vessel,
)

TOLERANCE = 1e-6
_LONGEST = 3660.0  # days between two changes, ten years
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven")


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What ways out are worked out with, besides the demand and the reservoirs.

    `ready_litres` are what there is for the day where no more can be made ready,
    None for a full fill of each reservoir. `with_keep_back` are the reservoirs as
    they would be if the keep-back might be used. `limits` are the largest change
    of a tank in one day, where it is not the usual one; `every_days` is how often
    a change is done.
    """

    ready_litres: float | None = None
    with_keep_back: tuple[Vessel, ...] = ()
    limits: Mapping[str, float] = field(default_factory=dict)
    every_days: float = WEEK

    def fault(self) -> Problem | None:
        """Numbers that cannot be."""
        return first(
            None if self.ready_litres is None
            else zero_or_more("ready_litres", self.ready_litres, "L"),
            within("every_days", self.every_days, 1.0, _LONGEST, "days"),
            *(share_above_zero(f"{tank} largest_change", most)
              for tank, most in self.limits.items()),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """A demand, what there is for the day and for each further one, and what is known of bodies.

    Where `means.ready_litres` is None, `once` and `later` are both one fill of
    each reservoir of the pool.
    """

    demand: RecipeDemand
    pool: tuple[Vessel, ...]
    once: float
    later: float
    bodies: Mapping[str, BodyChange]
    forecasts: Mapping[str, Forecast]
    means: Means

    @property
    def total(self) -> float:
        """Litres wanted."""
        return fsum(draw.from_reservoir for draw in self.demand.draws)

    @property
    def walk(self) -> list[Draw]:
        """The draws in walking order."""
        return sorted(self.demand.draws, key=lambda draw: draw.order)

    @property
    def about(self) -> str:
        """What a note of it is about."""
        return self.demand.recipe or "water"

    def in_one(self, draws: Sequence[Draw], day: int = 1) -> bool:
        """Whether draws are done with what is ready, or with one fill of each reservoir."""
        total = fsum(draw.from_reservoir for draw in draws)
        if total > (self.once if day == 1 else self.later) + TOLERANCE:
            return False
        if day == 1 and self.means.ready_litres is not None:
            return True
        return one_round(draws, self.pool)

    def each(self, draws: Iterable[Draw]) -> dict[str, float]:
        """The fraction of each body that draws change, by the body's code."""
        litres: dict[str, float] = defaultdict(float)
        for draw in draws:
            if draw.tank and draw.sort != TOP_OFF and draw.body in self.bodies:
                litres[draw.body] += draw.litres.value
        return {
            code: min(1.0, each / self.bodies[code].litres.value)
            for code, each in litres.items()
            if self.bodies[code].litres.value > 0
        }

    def over_days(self, days: Sequence[Sequence[Draw]]) -> dict[str, float]:
        """What each body gets in all: parts of one body add up to less than their sum."""
        each_day = [self.each(day) for day in days]
        codes = dict.fromkeys(code for day in each_day for code in day)
        return {code: 1 - prod(1 - day.get(code, 0.0) for day in each_day) for code in codes}

    def prices(
        self, fractions: Mapping[str, float], share: float | None = 1.0
    ) -> tuple[Price, ...]:
        """What fractions of the bodies cost, against those of the whole demand.

        `share` of each tank's own fraction is taken, None where tanks differ.
        """
        return tuple(
            Price(
                body=code, fraction=fractions.get(code, 0.0), was_fraction=was,
                tanks_fraction=self._of_tanks(code, share),
                settles_mg_per_l=self._settles(code, fractions.get(code, 0.0)),
                was_mg_per_l=self._settles(code, was),
            )
            for code, was in self.each(self.demand.draws).items()
        )  # fmt: skip

    def _of_tanks(self, body: str, share: float | None) -> float | None:
        """The fraction of each tank of a body, None where they differ."""
        known = [d.fraction for d in self.demand.draws
                 if d.body == body and d.tank and d.sort != TOP_OFF]  # fmt: skip
        least, most = min(known, key=_or_none), max(known, key=_or_none)
        if share is None or least is None or most is None or most - least > TOLERANCE:
            return None
        return most * share

    def _settles(self, body: str, fraction: float) -> float | None:
        """mg/L above the new water just before a change: what is made over the fraction."""
        known = self.forecasts.get(body)
        if known is None or known.production_per_week is None:
            return None
        made = grown(0.0, known.production_per_week.value, self.means.every_days)
        found = steady(made, fraction)
        return None if isinstance(found, Problem) else found.before_mg_per_l


def _or_none(fraction: float | None) -> float:
    return -1.0 if fraction is None else fraction


def short_of(
    demand: RecipeDemand, vessels: Sequence[Vessel], bodies: Sequence[BodyChange],
    forecasts: Sequence[Forecast], means: Means,
) -> Short:  # fmt: skip
    """A demand beside what there is for it. The demand has draws, and a reservoir can hold it."""
    pool = eligible(demand.draws, vessels)
    later = fsum(vessel.most_litres for vessel in pool)
    return Short(
        demand=demand, pool=pool, later=later, means=means,
        once=later if means.ready_litres is None else means.ready_litres,
        bodies={body.body: body for body in bodies},
        forecasts={each.body: each for each in forecasts},
    )  # fmt: skip


def eligible(draws: Sequence[Draw], vessels: Sequence[Vessel]) -> tuple[Vessel, ...]:
    """The reservoirs that draws may come from, as if nothing stood above what is to be left."""
    names = {draw.reservoir for draw in draws}
    pool = pool_of(vessels, draws[0].recipe, names.pop() if len(names) == 1 else "")
    return tuple(replace(v, holds_litres=v.left_litres) for v in pool if v.most_litres > 0)


def one_round(draws: Sequence[Draw], pool: Sequence[Vessel]) -> bool:
    """Whether one fill of each reservoir serves draws in walking order."""
    found = split_walking(draws, pool)
    return isinstance(found, Split) and len(set(found.reservoirs)) == len(found.reservoirs)


def scaled(draw: Draw, share: float) -> Draw:
    """So much of a draw."""
    return replace(
        draw, litres=replace(draw.litres, value=draw.litres.value * share),
        from_reservoir=draw.from_reservoir * share,
        fraction=None if draw.fraction is None else draw.fraction * share,
    )  # fmt: skip


# --- words ------------------------------------------------------------------------------


def litres_words(litres: float) -> str:
    """Whole litres, or a tenth below ten."""
    return f"{litres:.0f} L" if litres >= 10 else f"{litres:.1f} L"


def percent_words(fraction: float) -> str:
    """A fraction in per cent, to three figures."""
    return f"{100 * fraction:.3g} %"


def joined(parts: Sequence[str]) -> str:
    """Parts as a list in a sentence."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def count_words(many: int) -> str:
    """A small count as a word."""
    return _WORDS[many] if many < len(_WORDS) else str(many)


def stretch(draws: Sequence[Draw]) -> str:
    """Where a part of the walk begins and ends."""
    places = list(dict.fromkeys(draw.place or draw.name for draw in draws))
    return places[0] if len(places) == 1 else f"{places[0]} to {places[-1]}"
