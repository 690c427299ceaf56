"""The values of a planned water change, from what is drained to when the hose goes in.

Only values: who makes which stands beside each. Litres, degrees C, real
instants in the room's zone; a fraction is of the tank's own water unless it
says so. `draw` makes draws, `demand` sums them, `batches` makes fills, `ready`
clocks, `dosing` doses, `shock` the match of temperatures, `shortage` the choices
when it does not fit; `change` puts a plan together.
"""

from dataclasses import dataclass, field
from datetime import date, datetime, time

from roomtasks.room.amount import COMPUTED, Amount
from roomtasks.room.health import Health
from roomtasks.room.problem import Problem

NO_HEAT_KWH = 0.005  # less would be said as 0.00


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """What is asked besides the facts. Blank is as the room has it.

    `share` scales every draw, so that the demand is that share of what it was;
    `fill_rates` are L/min by reservoir; `free_at` says when a reservoir is
    emptied; `extra` adds a change of a fraction at tanks that have none that
    day; `celsius` is the new water's temperature.
    """

    day: date | None = None
    hour: time | None = None
    share: float | None = None
    fraction: float | None = None
    keep_back: bool | None = None
    fill_rates: tuple[tuple[str, float], ...] = ()
    free_at: tuple[tuple[str, datetime], ...] = ()
    extra: tuple[tuple[str, float], ...] = ()
    celsius: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something to be told: what about, in a sentence, and which sort.

    `sort`: refused (never plan on it), warned, or told. `rule` names the rule.
    """

    about: str
    text: str
    sort: str = "told"
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """So much of a product, by the rate typed from its label."""

    product: str
    amount: Amount
    where: str
    why: str
    caution: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How new water meets one tank: its step in temperature, by its own fraction."""

    tank: str
    before_celsius: Amount
    new_celsius: float
    after_celsius: float
    step: float
    limit: float
    coldest_new_celsius: float
    warmest_new_celsius: float
    most_fraction: float
    allowed: bool
    deliberate: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """Water one place takes on the day: a tank's refill, a system's sump, a jug.

    `litres` is what goes in at the place; `from_reservoir` counts its share of
    the loss in hoses. `order` is its place in the walk. `need` ranks it when
    water is short: 1 first, with the reason.
    """

    due_id: str
    name: str
    sort: str  # change, top-off or other
    place: str  # the tank, or the system where it goes to the sump
    tank: str
    body: str
    recipe: str
    reservoir: str  # as the job names it; blank: any that can hold the recipe
    litres: Amount
    from_reservoir: float
    fraction: float | None = None
    drain_cm: float | None = None
    health: Health = Health.CLEAN
    order: int = 0
    missed: int = 0
    part_done: float = 0.0  # of the tank's own water, in parts of this change
    part_that_day: float = 0.0  # of these, what was changed on the day that is planned
    days_since: int | None = None  # since it was last done, None where it never was
    need: int = 5
    need_reason: str = ""
    doses: tuple[Dose, ...] = ()
    match: Match | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyChange:
    """What the day does to one body of water: drained litres and its own fraction."""

    body: str
    sort: str  # system, alone or cut-off
    tanks: tuple[str, ...]
    litres: Amount
    drained_litres: float
    fraction: Amount
    tanks_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeDemand:
    """What one kind of water is wanted for, and how much out of the reservoir."""

    recipe: str
    draws: tuple[Draw, ...]
    drained_litres: float
    top_off_litres: float
    other_litres: float
    loss_litres: float
    litres: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A reservoir as a plan sees it. `most_litres` is what one fill can give.

    `left_litres` stands in it at rest (dead volume and keep-back, unless the
    keep-back may be used); `holds_litres`, `holds_recipe` (blank: not known) and
    `celsius` are now. `ready_litres` may be used now without another fill.
    `spare_litres` is keep-back that may be used, and is kept where a fill does.
    """

    code: str
    recipes: tuple[str, ...]  # none: any
    most_litres: float
    left_litres: float
    holds_litres: float
    celsius: Amount | None = None
    ready_litres: float = 0.0
    holds_recipe: str = ""
    spare_litres: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """So much of one draw out of one fill; a part only where a draw is larger than a fill."""

    draw: Draw
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """One way of sharing draws among fills. `litres` are what each fill gives.

    `lower_bound` fills are needed whatever the order. `proven`: no fewer can do;
    in walking order, none in as few rounds, a round being each reservoir once.
    """

    order: str  # walking or any
    fills: tuple[tuple[Share, ...], ...]
    reservoirs: tuple[str, ...]
    litres: tuple[float, ...]
    lower_bound: int
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """RO and tap water for one fill, with the hours at the unit's rate and the waste."""

    ro_fraction: Amount
    ro_litres: float
    source_litres: float
    hours: Amount
    waste_litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockStep:
    """One step of making water ready. `latest` still makes it, `advised` leaves a margin.

    `done_at` is when it was done in truth. `minutes` is how long it lasts.
    """

    step: str  # a word of vessel.STEPS, or ready-check, rest, change
    latest: datetime
    advised: datetime
    minutes: Amount
    why: str
    done_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The plan of one fill by the clock. `refused` says why the wanted hour cannot be."""

    steps: tuple[ClockStep, ...]
    wanted_at: datetime
    ready_at: datetime | None  # at the earliest, beginning now or when free; None is never
    refused: Problem | None = None
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One fill of a reservoir: who gets it, what goes in, when.

    `added_litres` run in on top of `left_litres`; 0 where it is ready already.
    """

    n: int
    reservoir: str
    recipe: str
    shares: tuple[Share, ...]
    used_litres: float
    added_litres: float
    left_litres: float
    mix_celsius: Amount | None
    target_celsius: float | None
    heat_kwh: Amount | None
    heat_minutes: Amount | None
    doses: tuple[Dose, ...]
    blend: Blend | None
    clock: Clock | None
    emptied_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What one choice costs one body: its fraction, and where its nitrate settles above the tap.

    `tanks_fraction` is of each of its tanks, None where they differ.
    """

    body: str
    fraction: float
    settles_mg_per_l: float | None
    was_mg_per_l: float | None
    was_fraction: float | None = None
    tanks_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A way out when the water does not do for the day, with its price."""

    sort: str  # two-days, smaller, parts, keep-back
    text: str
    needs_yes: bool
    litres: tuple[float, ...]
    prices: tuple[Price, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What a reservoir holds now, folded from its steps. Blank is not known.

    `filling_since` while a hose runs; `state`: empty, filling, raw, treated,
    heating, mixed or ready, and `known` says how that is known. `raw_litres` of
    it have had no conditioner.
    """

    reservoir: str
    litres: float
    recipe: str = ""
    state: str = "empty"
    filling_since: datetime | None = None
    full_at: datetime | None = None
    treated_at: datetime | None = None
    heat_since: datetime | None = None
    mixed_at: datetime | None = None
    ready_at: datetime | None = None
    celsius: Amount | None = None
    for_day: date | None = None
    hose_at: datetime | None = None
    begun_at: datetime | None = None  # when the hose of the fill that is in it began to run
    raw_litres: float = 0.0
    known: str = COMPUTED


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Where one body's nitrate stands, goes and settles, in mg/L as NO3.

    `before_next` and `settles` are just before a change; `least_fraction` is of
    the body. `crosses_on` is the day the limit is passed with changes as
    planned. `change_now` only where a reading is above the limit.
    """

    body: str
    reading: Amount | None
    production_per_week: Amount | None
    now: Amount | None
    before_next: Amount | None
    settles: Amount | None
    limit: float | None
    least_fraction: Amount | None
    crosses_on: date | None
    change_now: bool = False
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SumpLevels:
    """A sump's two right levels in cm above its bottom, and the most that is safe running."""

    system: str
    running_cm: float
    back_litres: Amount
    rise_cm: float
    resting_cm: float
    highest_running_cm: float
    overflows: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """The next thing to do about water, for the alarm and the top of the screen."""

    reservoir: str
    step: str
    at: datetime
    late: bool
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangePlan:
    """The whole plan of one change day."""

    day: date
    wanted_at: datetime
    now: datetime
    what_if: WhatIf
    demands: tuple[RecipeDemand, ...]
    bodies: tuple[BodyChange, ...]
    vessels: tuple[Vessel, ...]
    contents: tuple[Contents, ...]
    by_litres: tuple[tuple[str, tuple[float, ...]], ...]  # recipe, litres of each fill
    walking: tuple[tuple[str, Split], ...]
    any_order: tuple[tuple[str, Split], ...]
    batches: tuple[Batch, ...]
    choices: tuple[Choice, ...]
    needs: tuple[Draw, ...]  # in order of need
    forecasts: tuple[Forecast, ...]
    sumps: tuple[SumpLevels, ...]
    next_step: NextStep | None
    notes: tuple[Note, ...] = field(default=())

    @property
    def refused(self) -> tuple[Note, ...]:
        """What must not be done as planned."""
        return tuple(note for note in self.notes if note.sort == "refused")
