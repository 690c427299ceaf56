"""What a reservoir holds now, folded from the steps noted at it, and the next thing to do there.

The litres are what the book says (`holds_litres`, which every step and every
mark keeps), and while a hose runs what has run in since. How steps change the
water is in `contents_fold`. Litres, degrees C, instants with an offset.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime

from roomtasks.room.amount import ASSUMED, MEASURED, SET, Amount
from roomtasks.room.contents_fold import PLAIN, Fold, Surroundings
from roomtasks.room.naming import many, spaced
from roomtasks.room.readings import NO_READINGS, Readings, as_amount
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import Clock, ClockStep, Contents, NextStep
from roomtasks.room.why import day_words

TEMPERATURE, THE_ROOM = "temperature", "room"
_TO_DO = {
    "hose-out": "lay the hose at {}", "fill-start": "start the fill of {}",
    "full": "{} is full: stop the hose", "treated": "condition the water of {}",
    "heat-on": "heater on at {}", "mixed": "start mixing {}",
    "ready-check": "check that {} is ready", "change": "change water out of {}",
}  # fmt: skip


def to_do_words(step: str, reservoir: str) -> str:
    """What is to be done at a reservoir, of a step of its clock."""
    return _TO_DO.get(step, spaced(step) + " at {}").format(reservoir)


def contents_of(
    room: Room, vessel: Reservoir, at: datetime, readings: Readings = NO_READINGS
) -> Contents:
    """What a reservoir of the room holds at an instant, by its steps until then."""
    steps = [step for step in room.vessel_steps if step.reservoir == vessel.code]
    recipe = next(
        (
            step.recipe
            for step in sorted(steps, key=_when_done, reverse=True)
            if step.recipe and step.at.astimezone(UTC) <= at.astimezone(UTC)
        ),
        _only_recipe(room, vessel),
    )
    today = room.day_at(at)
    around = surroundings_of(room, recipe, readings, today)
    return contents(vessel, steps, readings, at, today, around)


def _only_recipe(room: Room, vessel: Reservoir) -> str:
    """The one water a reservoir may hold, "" where it may hold several or it is not said."""
    named = vessel.recipes.split() or [recipe.code for recipe in room.recipes]
    return named[0] if len(named) == 1 else ""


def contents(
    vessel: Reservoir,
    steps: Sequence[VesselStep],
    readings: Readings,
    now: datetime,
    today: date,
    around: Surroundings = PLAIN,
) -> Contents:
    """The fold of a reservoir's steps up to `now`; what comes later is not looked at.

    A reservoir without any step is taken as ready with what it holds, "assumed",
    so that a room which notes no steps goes on as it was. The newest of a
    reading and what the steps make of the temperature counts.
    """
    # in UTC: two times in one zone compare by the clock on the wall, which comes twice
    end = now.astimezone(UTC)
    all_ours = [step for step in steps if step.reservoir == vessel.code]
    ours = sorted((step for step in all_ours if step.at.astimezone(UTC) <= end), key=_when_done)
    told = [
        (reading.at.astimezone(UTC), as_amount(reading, "C", today))
        for reading in reversed(readings.all(vessel.code, TEMPERATURE))
        if reading.at.astimezone(UTC) <= end
    ]
    if not ours:
        return _unnoted(vessel, told[-1][1] if told else None)
    fold = Fold(vessel, around, _before(vessel, ours), ours[0].at)
    for step in ours:
        while told and told[0][0] <= step.at.astimezone(UTC):
            fold.read(*told.pop(0))
        fold.take(step)
    for at, amount in told:
        fold.read(at, amount)
    return fold.held(now, booked=len(ours) == len(all_ours))


def _when_done(step: VesselStep) -> tuple[datetime, int]:
    return step.at.astimezone(UTC), step.id


def _unnoted(vessel: Reservoir, celsius: Amount | None) -> Contents:
    state = "ready" if vessel.holds_litres > vessel.dead_litres else "empty"
    return Contents(reservoir=vessel.code, litres=vessel.holds_litres, state=state,
                    celsius=celsius, known=ASSUMED)  # fmt: skip


def _before(vessel: Reservoir, steps: Sequence[VesselStep]) -> float:
    """What stood there before the first step: as the book says where no step does, else at rest."""
    if all(step.litres is None and step.step not in ("full", "emptied") for step in steps):
        return vessel.holds_litres
    return min(vessel.dead_litres + vessel.keep_back_litres, vessel.full_litres)


# --- what is around it ------------------------------------------------------------------


def surroundings_of(room: Room, recipe: str, readings: Readings, today: date) -> Surroundings:
    """The water that would run in, the room's temperature, and how warm the recipe is wanted."""
    source, wanted = room.source_of(recipe), room.recipe.get(recipe)
    return Surroundings(
        source_celsius=source_celsius(room, recipe, readings, today),
        room_celsius=room_celsius(room, readings, today),
        wanted_celsius=None if wanted is None else wanted.celsius,
        dosed=(source is None or source.kind != "ro")
        and any(rate.recipe == recipe or not recipe for rate in room.rates),
    )


def source_celsius(room: Room, recipe: str, readings: Readings, today: date) -> Amount | None:
    """The temperature of a recipe's source: read there, else as typed; None where nothing tells."""
    source = room.source_of(recipe)
    if source is None:
        return None
    read = readings.amount(source.code, TEMPERATURE, "C", today)
    if read is not None or source.celsius is None:
        return read
    if source.measured_on is None:
        return Amount(source.celsius, "C", SET, source=f"source {source.code}, as typed")
    days = (today - source.measured_on).days
    when = f"measured {day_words(source.measured_on)} ({many(days, 'day')} old)"
    return Amount(source.celsius, "C", MEASURED, source=when)


def room_celsius(room: Room, readings: Readings, today: date) -> Amount:
    """The room's own temperature: read there, else as set."""
    read = readings.amount(THE_ROOM, TEMPERATURE, "C", today)
    return read or Amount(room.setup.room_celsius, "C", SET, source="the room's settings")


# --- the next step ----------------------------------------------------------------------


def next_step_of(clock: Clock, held: Contents, now: datetime) -> NextStep | None:
    """The first step of a plan that is still to be done by somebody; None where all are.

    By the latest instant, or by the earliest there is where the hour wanted
    cannot be kept. Late once that has gone by. A hose that runs on past full comes
    before all. A plan that never gets ready has none.
    """
    left = [step for step in clock.steps if step.done_at is None and step.step in _TO_DO]
    if held.filling_since is not None and all(step.step != "full" for step in left):
        text = f"{held.reservoir} is full by its rate: stop the hose"
        return NextStep(reservoir=held.reservoir, step="full", at=now, late=True, text=text)
    if clock.ready_at is None or not left:
        return None
    first = min(left, key=lambda step: _by(clock, step).astimezone(UTC))
    at = _by(clock, first)
    text = _TO_DO[first.step].format(held.reservoir)
    if first.advised.astimezone(UTC) < first.latest.astimezone(UTC):
        text += f", better by {_when(first.advised)}"
    return NextStep(reservoir=held.reservoir, step=first.step, at=at, text=text,
                    late=now.astimezone(UTC) > at.astimezone(UTC))  # fmt: skip


def _by(clock: Clock, step: ClockStep) -> datetime:
    return step.latest if clock.refused is None else step.advised


def _when(at: datetime) -> str:
    return f"{day_words(at.date())} {at:%H:%M}"
