"""Nitrate of each body in the days ahead, and the change that makes up for missed ones.

mg/L as NO3. From the newest reading, the changes since and what is made a week:
where it stands, goes and settles. A reading says that the limit is passed; a
forecast only asks for a reading. Fractions are of the body unless a line says
of each tank.
Does not live here: readings, changes and production (`nitrate`).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from roomtasks.room.amount import ASSUMED, COMPUTED, FORECAST, MEASURED, Amount, Input, weakest
from roomtasks.room.body import Body
from roomtasks.room.journal import Mark
from roomtasks.room.naming import day_words
from roomtasks.room.nitrate import (
    NITRATE,
    WEEK,
    Step,
    Tested,
    carried,
    diluted,
    grown,
    production,
    readings_of,
    steps_of,
)
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import (
    SMALLEST,
    above_zero,
    first,
    share_above_zero,
    within,
    zero_or_more,
)
from roomtasks.room.readings import Readings, as_amount
from roomtasks.room.room import Room
from roomtasks.room.water import (
    CatchUp,
    catch_up,
    catch_up_for_gap,
    change_needed,
    least_fraction,
    owed_after_part,
    steady,
)
from roomtasks.room.water_plan import Forecast, Note

OLD_DAYS = 14  # a reading older than this is told of; common practice, no published source
LONG_MISSED = 3.0  # usual intervals gone by, from which the water is tested first; as above
LOOK_AHEAD_DAYS = 366
MOST_DAYS = 3660.0
_ROUNDING = 1e-9


def forecast(
    body: Body,
    room: Room,
    readings: Readings,
    changes: Sequence[Mark],
    today: date,
    next_change: date | None,
    fraction: float | None,
    source_nitrate: Amount,
    every_days: float = WEEK,
) -> Forecast | Problem:
    """Nitrate of a body from its newest reading on.

    `changes` are marks of any place, back to the oldest reading that may count
    (two months do); `fraction` is what a usual change replaces of the body,
    `every_days` how often, `source_nitrate` that of the new water. What nothing
    tells is None. Refuses a body whose volume is not known, and numbers that
    cannot be.
    """
    fault = _fault_of(body, fraction, source_nitrate, every_days)
    if fault is not None:
        return fault
    tests = readings_of(body, room, readings, today)
    steps = steps_of(body, room, changes, today)
    made = production(body, room, tests, steps, source_nitrate.value)
    newest = tests[0] if tests else None
    now = _now(newest, steps, made, source_nitrate, today)
    upcoming = None if next_change is None else max(next_change, today)
    ahead = _Ahead(body, now, made, source_nitrate, today, upcoming, fraction, every_days)
    settles, least = ahead.settles(), ahead.least()
    told = [*_told(body, newest, made, today), *ahead.told(settles, least)]
    return Forecast(
        body=body.code, reading=None if newest is None else _as_read(newest, today),
        production_per_week=made, now=now, before_next=ahead.before_next(), settles=settles,
        limit=body.nitrate_limit, least_fraction=None if isinstance(least, Problem) else least,
        crosses_on=ahead.crosses_on(), notes=tuple(told),
        change_now=_read_above(newest, steps, source_nitrate.value, body.nitrate_limit, today),
    )  # fmt: skip


def _fault_of(
    body: Body, fraction: float | None, source: Amount, every_days: float
) -> Problem | None:
    return first(
        *body.faults[:1],
        above_zero(f"{body.code} volume", body.litres.value, "L"),
        None if fraction is None else share_above_zero("fraction", fraction),
        zero_or_more("source_nitrate", source.value, "mg/L"),
        within("every_days", every_days, 1.0, MOST_DAYS, "days"),
    )


def _as_read(test: Tested, today: date) -> Amount:
    found = as_amount(test.reading, "mg/L", today)
    return Amount(test.mg_per_l, "mg/L", MEASURED, f"at {test.reading.target}", (), found.source)


def _since(test: Tested, steps: Sequence[Step]) -> list[Step]:
    return [step for step in steps if step.at > test.reading.at]


def _now(
    newest: Tested | None, steps: Sequence[Step], made: Amount | None, source: Amount, today: date
) -> Amount | None:
    """The newest reading, carried on through the changes since."""
    if newest is None:
        return None
    after, read = _since(newest, steps), _as_read(newest, today)
    per_week = made.value if made is not None else 0.0
    value = carried(newest.mg_per_l, newest.reading.day, after, today, per_week, source.value)
    if newest.reading.day == today and not after:
        return read
    inputs = (
        Input("reading", newest.mg_per_l, "mg/L", MEASURED, read.source),
        Input("made a week", per_week, "mg/L", made.known if made is not None else ASSUMED),
        *(Input(f"change {day_words(s.day)}", s.fraction, "", COMPUTED) for s in after),
        Input("new water", source.value, "mg/L", source.known, source.source),
    )
    formula = "the reading, what was made since, less what changes took out"
    return Amount(value, "mg/L", FORECAST, formula, inputs, read.source)


def _read_above(
    newest: Tested | None, steps: Sequence[Step], source: float, limit: float | None, today: date
) -> bool:
    """Whether a reading is above the limit, and no change since has taken it down."""
    if newest is None or limit is None or newest.mg_per_l <= limit:
        return False
    day = newest.reading.day
    return carried(newest.mg_per_l, day, _since(newest, steps), today, 0.0, source) > limit


def _told(body: Body, newest: Tested | None, made: Amount | None, today: date) -> Iterator[Note]:
    if newest is None:
        yield Note(about=body.code, text="no nitrate was read here yet: read it", rule=NITRATE)
    elif (days := (today - newest.reading.day).days) > OLD_DAYS:
        text = f"its newest nitrate reading is {days} days old: read it again"
        yield Note(about=body.code, text=text, sort="warned", rule=NITRATE)
    if made is None:
        text = (
            "what is made a week is not known: write down the food, or read nitrate twice a week "
            "or more apart"
        )
        yield Note(about=body.code, text=text, rule=NITRATE)


@dataclass(frozen=True, slots=True)
class _Ahead:
    """From now on: so much made a week, a usual change on the next day and at each interval."""

    body: Body
    now: Amount | None
    made: Amount | None
    source: Amount
    today: date
    next_change: date | None
    fraction: float | None
    every_days: float

    def before_next(self) -> Amount | None:
        """Nitrate just before the next change."""
        if self.now is None or self.made is None or self.next_change is None:
            return None
        days = (self.next_change - self.today).days
        if days == 0:
            return self.now
        return Amount(
            grown(self.now.value, self.made.value, days), "mg/L", FORECAST,
            "now + what is made until then",
            (Input("now", self.now.value, "mg/L", self.now.known, self.now.source),
             Input("made a week", self.made.value, "mg/L", self.made.known),
             Input("days", days, "", COMPUTED)), self.now.source,
        )  # fmt: skip

    def _each(self) -> float:
        """What is made between two changes."""
        return grown(0.0, self.made.value if self.made is not None else 0.0, self.every_days)

    def _inputs(self) -> tuple[Input, ...]:
        return (
            Input("made between changes", self._each(), "mg/L", self._known()),
            Input("new water", self.source.value, "mg/L", self.source.known, self.source.source),
        )

    def _known(self) -> str:
        return weakest((COMPUTED, self.made.known if self.made is not None else ASSUMED))

    def settles(self) -> Amount | None:
        """Where it settles with the usual change, just before each."""
        if self.made is None or self.fraction is None:
            return None
        found = steady(self._each(), self.fraction, self.source.value)
        if isinstance(found, Problem):
            return None
        inputs = (*self._inputs(), Input("fraction", self.fraction, "", COMPUTED))
        formula = "new water + what is made between changes / fraction, just before a change"
        return Amount(found.before_mg_per_l, "mg/L", FORECAST, formula, inputs)

    def least(self) -> Amount | Problem | None:
        """The least usual change that keeps it at or under the limit."""
        if self.made is None or self.body.nitrate_limit is None:
            return None
        found = least_fraction(self._each(), self.body.nitrate_limit, self.source.value)
        if isinstance(found, Problem):
            return found
        inputs = (*self._inputs(), Input("limit", self.body.nitrate_limit, "mg/L"))
        formula = "what is made between changes / (limit - new water)"
        return Amount(found, "", self._known(), formula, inputs)

    def crosses_on(self) -> date | None:
        """The first day of the year ahead on which it stands above the limit."""
        limit = self.body.nitrate_limit
        if self.now is None or limit is None:
            return None
        if self.now.value > limit:
            return self.today
        if self.made is None:
            return None
        value, day = self.now.value, 0.0
        while day <= LOOK_AHEAD_DAYS:
            end = self._change_after(day)
            if grown(value, self.made.value, end - day) > limit:
                days = day + (limit - value) * WEEK / self.made.value
                return self.today + timedelta(days=math.floor(days + _ROUNDING) + 1)
            value = diluted(grown(value, self.made.value, end - day), self.fraction or 0.0,
                            self.source.value)  # fmt: skip
            if value > limit:  # the new water itself is above it
                return self.today + timedelta(days=math.ceil(end))
            day = end + _ROUNDING
        return None

    def _change_after(self, day: float) -> float:
        """Days from today to the first change at or after a day; past the year where none is."""
        if self.next_change is None or self.fraction is None:
            return LOOK_AHEAD_DAYS + 1.0
        first_day = (self.next_change - self.today).days
        if day <= first_day:
            return float(first_day)
        return first_day + math.ceil((day - first_day) / self.every_days) * self.every_days

    def told(self, settles: Amount | None, least: Amount | Problem | None) -> Iterator[Note]:
        """What the usual change does not hold, or only just."""
        limit, about = self.body.nitrate_limit, self.body.code
        if isinstance(least, Problem):
            yield Note(about=about, text=least.sentence(), sort="warned", rule=NITRATE)
        if limit is None or settles is None or self.fraction is None:
            return
        missed = settles.value + self._each()
        if settles.value > limit and isinstance(least, Amount):
            text = (
                f"changes of {100 * self.fraction:.3g} % settle at {settles.value:.3g} mg/L, above "
                f"its limit of {limit:g}; at least {100 * least.value:.3g} % of it each"
            )
            yield Note(about=about, text=text, sort="warned", rule=NITRATE)
        elif settles.value <= limit < missed:
            text = f"one missed change would take it to {missed:.3g} mg/L, above its limit of"
            yield Note(about=about, text=f"{text} {limit:g}", rule=NITRATE)


# --- making up for missed changes -------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class CatchUpPlan:
    """The change that brings a body back to its usual level, in one go or in parts.

    Fractions are of each tank's own water, litres of all its tanks together.
    `refused`: in one go it is more than its largest change, so it takes `changes`
    of `each_fraction`, a day apart. `by`: missed changes, or a reading.
    """

    body: str
    by: str  # missed or reading
    one_fraction: Amount
    one_litres: float
    limit: float
    refused: bool
    changes: int
    each_fraction: float
    each_litres: float
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A test: what was read, what it shall come to, and the new water, in mg/L of one thing."""

    now: Amount
    target_mg_per_l: float
    source_mg_per_l: float = 0.0


def catch_up_plan(
    room: Room,
    body: Body,
    usual_fraction: float,
    *,
    ratio: float,
    limit: float | None = None,
    tested: Wanted | None = None,
    done: float = 0.0,
) -> CatchUpPlan | Problem:
    """How much to change after missed ones, never their plain sum.

    `usual_fraction` is of each tank's own water. `ratio` is the time gone by over
    the usual: 2.0 after one missed change, 4/7 after four days of seven. A test
    beats it. `limit` is the largest change of a day; blank is the strictest of
    the body's tanks. `done` is what was changed of each tank since, in parts of it
    (`water.owed_after_part`). Refuses numbers that cannot be, and a level that changes
    cannot reach, saying what they can.
    """
    most = _largest_change(room, body) if limit is None else limit
    fault = _cannot_make_up(body, usual_fraction, ratio, most)
    if fault is not None:
        return fault
    in_tanks = body.tanks_litres / body.litres.value  # the share of the body that can be drained
    one = _one_change(usual_fraction * in_tanks, ratio, tested)
    if isinstance(one, Problem):
        return one
    if tested is None:
        one = owed_after_part(min(1.0, done) * in_tanks, one)
    split = catch_up(one, 0, most * in_tanks) if one > SMALLEST else CatchUp(0.0, 1, 0.0)
    if isinstance(split, Problem):
        return split
    whole, each = one / in_tanks, split.each_fraction / in_tanks
    return CatchUpPlan(
        body=body.code, by="missed" if tested is None else "reading", limit=most,
        one_fraction=_one_amount(whole, usual_fraction, ratio, tested, in_tanks < 1, done),
        one_litres=whole * body.tanks_litres, refused=split.changes > 1, changes=split.changes,
        each_fraction=each, each_litres=each * body.tanks_litres,
        notes=tuple(_first_test(body, ratio)),
    )  # fmt: skip


def _cannot_make_up(body: Body, fraction: float, ratio: float, limit: float) -> Problem | None:
    return first(
        *body.faults[:1],
        above_zero(f"{body.code} tanks", body.tanks_litres, "L"),
        share_above_zero("fraction", fraction),
        within("ratio", ratio, 0.0, MOST_DAYS),
        share_above_zero("limit", limit),
    )


def _largest_change(room: Room, body: Body) -> float:
    own = (room.tank[code].largest_change for code in body.tanks)
    return min((most or room.setup.largest_change for most in own),
               default=room.setup.largest_change)  # fmt: skip


def _one_change(fraction: float, ratio: float, tested: Wanted | None) -> float | Problem:
    if tested is None:
        return catch_up_for_gap(ratio, fraction)
    return change_needed(tested.now.value, tested.target_mg_per_l, tested.source_mg_per_l)


def _one_amount(
    whole: float, fraction: float, ratio: float, tested: Wanted | None, shared: bool, done: float
) -> Amount:
    """The one change with what it was worked out from."""
    tail = ", of the body, over its tanks' share of it" if shared else ""
    if tested is None:
        usual: tuple[Input, ...] = (
            Input("f, the usual change", fraction), Input("r, time gone by / usual", ratio),
        )  # fmt: skip
        if done:
            usual = (*usual, Input("done of it", done))
            tail = f", less what is done, 1 - (1 - whole) / (1 - done){tail}"
        return Amount(whole, "", COMPUTED, f"r f / (1 + (r - 1) f){tail}", usual)
    inputs = (
        Input("now", tested.now.value, "mg/L", tested.now.known, tested.now.source),
        Input("target", tested.target_mg_per_l, "mg/L"),
        Input("new water", tested.source_mg_per_l, "mg/L"),
    )
    return Amount(whole, "", COMPUTED, f"(now - target) / (now - new water){tail}", inputs)


def _first_test(body: Body, ratio: float) -> Iterator[Note]:
    if ratio >= LONG_MISSED:
        text = "long without a change: test pH, hardness and ammonia first, then several small ones"
        yield Note(about=body.code, text=text, sort="warned", rule="catch-up")
