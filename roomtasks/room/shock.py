"""How new water meets a tank: its steps in temperature, pH and hardness, and ammonia.

With the pumps off the new water stays in the tank it was run into, so a step is
worked out by the tank's own fraction, never by its system's. Degrees C, kelvin.
Does not live here: the limits (the keeper's settings) and the heating of a batch.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from roomtasks.room.amount import ASSUMED, Amount
from roomtasks.room.chemistry import ammonia
from roomtasks.room.heat import (
    largest_fraction_for_step,
    new_water_span,
    temp_after_change,
)
from roomtasks.room.job import Job, parse_effects
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import first, share_above_zero, within, zero_or_more
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.water import after_change
from roomtasks.room.water_plan import Draw, Match, Note

TOO_FAR, PH_STEP, HARDNESS_STEP, AMMONIA = "temperature", "ph-step", "hardness-step", "ammonia"
WANTED_COOL = "triggered"  # the event of a job that cools a tank on purpose
LARGEST_HARDNESS_STEP = 3.0  # dGH, above which a change is warned of; common practice
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Usable:
    """The new water one tank bears at its own fraction, from coldest to warmest."""

    tank: str
    fraction: float
    coldest_celsius: float
    warmest_celsius: float
    before: Amount


# --- temperature ------------------------------------------------------------------------


def wanted_cool(job: Job) -> bool:
    """Whether a job is a cool change on purpose: by the event it makes, or by its name."""
    effects = parse_effects(job.effects)
    if not isinstance(effects, Problem) and WANTED_COOL in effects.events:
        return True
    words = f"{job.code} {job.name}".lower().replace("-", " ").replace("_", " ").split()
    return "cool" in words


def tank_celsius(
    room: Room, tank: str, system: str, recipe: str, readings: Readings, today: date
) -> Amount | None:
    """A tank's temperature: read there, else in its system, else its recipe's, assumed."""
    own = readings.amount(tank, "temperature", "C", today)
    if own is not None:
        return own
    shared = readings.amount(system, "temperature", "C", today) if system else None
    if shared is not None:
        return Amount(shared.value, "C", shared.known, f"read at {system}", (), shared.source)
    wanted = room.recipe.get(recipe)
    if wanted is None or wanted.celsius is None:
        return None
    return Amount(wanted.celsius, "C", ASSUMED, f"as its water is wanted ({recipe})")


def match(
    room: Room,
    draw: Draw,
    new_celsius: float,
    readings: Readings,
    today: date,
    fraction: float | None = None,
) -> Match | Problem:
    """The step a tank is given by a draw, or by another fraction of its own water.

    A cool change on purpose is allowed and `deliberate`: it is to be confirmed.
    Refuses a draw at no tank, a tank whose temperature nothing tells, and
    temperatures at which water is not liquid.
    """
    meeting = _meeting(room, draw, readings, today, fraction)
    if isinstance(meeting, Problem):
        return meeting
    job = room.job.get(draw.due_id.split("@")[0])
    deliberate = job is not None and wanted_cool(job)
    return step_of(draw.tank, meeting, new_celsius, deliberate=deliberate)


@dataclass(frozen=True, slots=True)
class Meeting:
    """A tank before its change: its temperature, the fraction, its largest step in kelvin."""

    before: Amount
    fraction: float
    limit: float


def _meeting(
    room: Room, draw: Draw, readings: Readings, today: date, fraction: float | None = None
) -> Meeting | Problem:
    tank = room.tank.get(draw.tank)
    part = draw.fraction if fraction is None else fraction
    if tank is None or part is None:
        return Problem(draw.place, "no tank's water is changed here", "ask about a tank's change")
    system = draw.body if draw.body in room.system else ""
    before = tank_celsius(room, tank.code, system, draw.recipe, readings, today)
    if before is None:
        what = "its temperature is not known"
        return Problem(f"tank {tank.code}", what, "read it, or give its recipe a temperature")
    return Meeting(before, part, tank.largest_step_celsius or room.setup.largest_step_celsius)


def step_of(
    tank: str, meeting: Meeting, new_celsius: float, *, deliberate: bool = False
) -> Match | Problem:
    """The match by plain numbers; `step` is negative where the tank is cooled."""
    before, fraction, limit = meeting.before.value, meeting.fraction, meeting.limit
    span = new_water_span(before, fraction, limit)
    after = temp_after_change(before, new_celsius, fraction)
    most = largest_fraction_for_step(before, new_celsius, limit)
    if isinstance(after, Problem):
        return after
    if isinstance(span, Problem):
        return span
    if isinstance(most, Problem):
        return most
    step = after - before
    return Match(
        tank=tank, before_celsius=meeting.before, new_celsius=new_celsius, after_celsius=after,
        step=step, limit=limit, coldest_new_celsius=span[0], warmest_new_celsius=span[1],
        most_fraction=most, allowed=deliberate or abs(step) <= limit + _ROUNDING,
        deliberate=deliberate,
    )  # fmt: skip


def match_note(found: Match, fraction: float) -> Note | None:
    """What is told of a step above the tank's limit: refused, or to be confirmed where wanted.

    What it names as possible is rounded to the safe side, so that doing just
    that is not refused again.
    """
    if abs(found.step) <= found.limit + _ROUNDING:
        return None
    way = "drop" if found.step < 0 else "rise"
    text = (
        f"{found.tank}: {100 * fraction:.3g} % of new water at {found.new_celsius:.1f} C takes it "
        f"from {found.before_celsius.value:.1f} to {found.after_celsius:.1f} C, a {way} of "
        f"{abs(found.step):.1f} K where {found.limit:g} is the most"
    )
    if found.deliberate:
        text += "; it is a cool change on purpose: confirm it"
        return Note(about=found.tank, text=text, sort="warned", rule=TOO_FAR)
    if found.step < 0:
        bound = f"at least {_up(found.coldest_new_celsius):.1f}"
    else:
        bound = f"at most {_down(found.warmest_new_celsius):.1f}"
    text += (
        f"; new water of {bound} C for {100 * fraction:.3g} %, or no more than "
        f"{_down(100 * found.most_fraction):.3g} % at {found.new_celsius:.1f} C"
    )
    return Note(about=found.tank, text=text, sort="refused", rule=TOO_FAR)


def _up(value: float) -> float:
    return math.ceil(value * 10 - 1e-6) / 10


def _down(value: float) -> float:
    return math.floor(value * 10 + 1e-6) / 10


def coldest_usable(
    room: Room, draws: Iterable[Draw], readings: Readings, today: date
) -> tuple[Usable, ...]:
    """What new water each tank bears, the one that wants the warmest first.

    Cool changes on purpose, and tanks whose temperature nothing tells, are left
    out.
    """
    found = []
    for draw in draws:
        job = room.job.get(draw.due_id.split("@")[0])
        meeting = _meeting(room, draw, readings, today)
        if isinstance(meeting, Problem) or (job is not None and wanted_cool(job)):
            continue
        span = new_water_span(meeting.before.value, meeting.fraction, meeting.limit)
        if not isinstance(span, Problem):
            found.append(
                Usable(tank=draw.tank, fraction=meeting.fraction, before=meeting.before,
                       coldest_celsius=span[0], warmest_celsius=span[1])
            )  # fmt: skip
    return tuple(sorted(found, key=lambda one: (-one.coldest_celsius, one.tank)))


def span_for_all(usable: Iterable[Usable]) -> tuple[float, float] | Problem:
    """Coldest and warmest new water that every tank bears; refused where no one water does."""
    tanks = tuple(usable)
    if not tanks:
        return Problem("new water", "no tank's temperature is known", "read the tanks")
    cold = max(tanks, key=lambda one: one.coldest_celsius)
    warm = min(tanks, key=lambda one: one.warmest_celsius)
    if cold.coldest_celsius > warm.warmest_celsius + _ROUNDING:
        what = (
            f"{cold.tank} bears no colder than {_up(cold.coldest_celsius):.1f} C and {warm.tank} "
            f"no warmer than {_down(warm.warmest_celsius):.1f} C"
        )
        return Problem("new water", what, "change less of them, or use two batches", TOO_FAR)
    return cold.coldest_celsius, warm.warmest_celsius


# --- pH, hardness, ammonia ----------------------------------------------------------------


def hardness_note(
    tank: str, before_dgh: float, new_dgh: float, fraction: float
) -> Note | Problem | None:
    """A warning where a change moves the hardness far; it mixes along a line."""
    fault = first(
        within("before hardness", before_dgh, 0.0, 100.0, "dGH"),
        within("new hardness", new_dgh, 0.0, 100.0, "dGH"),
        share_above_zero("fraction", fraction),
    )
    if fault is not None:
        return fault
    after = after_change(before_dgh, fraction, new_dgh)
    if isinstance(after, Problem):
        return after
    if abs(after - before_dgh) <= LARGEST_HARDNESS_STEP + _ROUNDING:
        return None
    most = LARGEST_HARDNESS_STEP / abs(new_dgh - before_dgh)
    text = (
        f"{tank}: hardness goes from {before_dgh:.3g} to {after:.3g} dGH, a step of "
        f"{abs(after - before_dgh):.2g}; at {_down(100 * most):.3g} % it is "
        f"{LARGEST_HARDNESS_STEP:g}"
    )
    return Note(about=tank, text=text, sort="warned", rule=HARDNESS_STEP)


def ph_note(
    tank: str, before_ph: float, new_ph: float, largest_step: float
) -> Note | Problem | None:
    """A warning where the new water may move the pH further than its limit.

    pH does not mix along a line: soft water is carried nearly all the way by a
    little hard water, so the whole difference counts until it is measured.
    """
    fault = first(
        within("before pH", before_ph, 3.0, 11.0),
        within("new pH", new_ph, 3.0, 11.0),
        zero_or_more("largest step", largest_step),
    )
    if fault is not None:
        return fault
    gap = abs(new_ph - before_ph)
    if gap <= largest_step + _ROUNDING:
        return None
    text = (
        f"{tank}: pH may go as far as from {before_ph:.3g} to {new_ph:.3g}, {gap:.2g} where "
        f"{largest_step:g} is the most; change little, measure, and go on"
    )
    return Note(about=tank, text=text, sort="warned", rule=PH_STEP)


def ammonia_note(
    tank: str, ph_before: float, ph_after: float, celsius: float, total_mg_per_l: float | None
) -> Note | Problem | None:
    """A warning where rising pH turns harmless ammonium into toxic ammonia.

    The share before and after by Emerson and others 1975 (see `chemistry`);
    `total_mg_per_l` is a test's total, None where none was made. None where the
    pH does not rise.
    """
    tan = 1.0 if total_mg_per_l is None else total_mg_per_l
    before, after = ammonia(ph_before, celsius, tan), ammonia(ph_after, celsius, tan)
    if isinstance(before, Problem):
        return before
    if isinstance(after, Problem):
        return after
    if ph_after <= ph_before or total_mg_per_l == 0:
        return None
    text = (
        f"{tank}: the toxic share of its ammonia goes from {_percent(before.fraction)} at pH "
        f"{ph_before:.3g} to {_percent(after.fraction)} at pH {ph_after:.3g} ({celsius:.3g} C), "
        f"{after.fraction / before.fraction:.2g} times as much"
    )
    if total_mg_per_l is None:
        text += "; test ammonia first, and make several small changes"
    else:
        text += (
            f": {before.unionised_mg_per_l:.2g} to {after.unionised_mg_per_l:.2g} mg/L at most; "
            "make several small changes"
        )
    return Note(about=tank, text=text, sort="warned", rule=AMMONIA)


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"


def chemistry_notes(room: Room, draw: Draw, readings: Readings, today: date) -> Iterator[Note]:
    """What readings at a draw's tank or system and its recipe say of pH, hardness, ammonia.

    Nothing where one of the two is not known. The pH counts as rising only where
    it may rise by more than the room's largest step.
    """
    wanted = room.recipe.get(draw.recipe)
    if wanted is None or not draw.tank or draw.fraction is None:
        return
    system = draw.body if draw.body in room.system else ""

    def read(what: str) -> float | None:
        found = readings.newest(draw.tank, what)
        found = found or (readings.newest(system, what) if system else None)
        return found.value if found is not None else None

    ph, hardness = read("ph"), read("gh")
    notes: list[Note | Problem | None] = []
    if hardness is not None and wanted.hardness_dgh is not None:
        notes.append(hardness_note(draw.tank, hardness, wanted.hardness_dgh, draw.fraction))
    if ph is not None and wanted.ph is not None:
        notes.append(ph_note(draw.tank, ph, wanted.ph, room.setup.largest_ph_step))
        warm = tank_celsius(room, draw.tank, system, draw.recipe, readings, today)
        if warm is not None and wanted.ph - ph > room.setup.largest_ph_step:
            notes.append(ammonia_note(draw.tank, ph, wanted.ph, warm.value, read("ammonia")))
    yield from (note for note in notes if isinstance(note, Note))
