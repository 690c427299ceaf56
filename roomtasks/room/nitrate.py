"""What is known of a body's nitrate: readings, changes, what is made a week. mg/L as NO3.

Readings and changes count by the water a tank was part of on that day, so a
tank cut off yesterday keeps its history in the system. Fractions are of the
body, not of a tank.
Does not live here: what follows for the days ahead (`forecast`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED, SET, Amount, Input
from roomtasks.room.body import Body
from roomtasks.room.chemistry import blend
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, convert, finished, first, share, zero_or_more
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.water import after_change

NITRATE = "nitrate"
NITROGEN_IN_PROTEIN = 0.16  # from memory
EXCRETED = 0.65  # share of the food's nitrogen that ends as nitrate; from memory
LEAST_DAYS_BETWEEN = 7  # nearer readings drown in a test's steps; common practice
MOST_DAYS_BETWEEN = 60  # further back, other fish ate other food; common practice
WEEK = 7
PER_WEEK = "mg/L a week"
_AS_NO3 = ("", "mg/l", "ppm", "no3")


@dataclass(frozen=True, slots=True)
class Tested:
    """A nitrate reading of a body's water, as NO3."""

    reading: Reading
    mg_per_l: float


@dataclass(frozen=True, slots=True)
class Step:
    """One change as it was: when, and the fraction of the body's water it replaced."""

    day: date
    at: datetime
    fraction: float


def nitrate_from_feed(
    feed_g_per_day: float, protein: float, volume_litres: float
) -> float | Problem:
    """mg/L of nitrate that dry food makes in a week.

    Food x protein x 0.16 N x 0.65 excreted x 4.43 x 7 / V, from memory. Nothing is
    taken off for plants, so it is on the high side.
    """
    fault = first(
        zero_or_more("feed_g_per_day", feed_g_per_day, "g"),
        share("protein", protein),
        above_zero("volume", volume_litres, "L"),
    )
    if fault is not None:
        return fault
    nitrogen = feed_g_per_day * protein * NITROGEN_IN_PROTEIN * EXCRETED
    grams = convert(nitrogen, "no3_n", "no3")
    if isinstance(grams, Problem):
        return grams
    return finished("nitrate-from-feed", grams * WEEK * 1000 / volume_litres)


def source_nitrate(room: Room, recipe: str, today: date) -> Amount:
    """Nitrate of a recipe's new water, blended by hardness; 0 assumed where nobody wrote it."""
    wanted = room.recipe.get(recipe)
    tap = room.source_of(recipe) if wanted is not None else None
    mg_per_l = tap.nitrate_mg_per_l if tap is not None else None
    if wanted is None or tap is None or mg_per_l is None:
        return Amount(0.0, "mg/L", ASSUMED, "none, as no nitrate of the source is written down")
    days = (today - tap.measured_on).days if tap.measured_on else None
    known = ASSUMED if days is None else MEASURED
    age = "no day of measuring" if days is None else f"measured {days} days ago"
    own = Input(tap.code, mg_per_l, "mg/L", known, age)
    ro = room.source.get(wanted.ro)
    if ro is None or tap.hardness_dgh is None or wanted.hardness_dgh is None:
        return Amount(mg_per_l, "mg/L", known, "as the source", (own,), age)
    part = blend(tap.hardness_dgh, wanted.hardness_dgh, ro.hardness_dgh or 0.0)
    if isinstance(part, Problem):
        return Amount(mg_per_l, "mg/L", ASSUMED, "as the source, unblended", (own,), age)
    pure = ro.nitrate_mg_per_l or 0.0
    return Amount(
        diluted(mg_per_l, part, pure), "mg/L", COMPUTED,
        "blend of source and RO by hardness",
        (own, Input(ro.code, pure, "mg/L"), Input("RO share", part, "", COMPUTED)),
    )  # fmt: skip


def readings_of(body: Body, room: Room, readings: Readings, today: date) -> tuple[Tested, ...]:
    """Every nitrate reading of this body's water, newest first."""
    places = {body.code}
    if body.system:  # tanks that were open then and are shut now were the same water
        places |= {body.system, *room.valve.turns}
    found = [
        Tested(reading, mg_per_l)
        for place in places
        for reading in readings.all(place, NITRATE)
        if reading.day <= today and _same_water(body, room, place, reading.at)
        if (mg_per_l := _as_no3(reading)) is not None
    ]
    return tuple(sorted(found, key=lambda t: (t.reading.at, t.reading.id), reverse=True))


def _as_no3(reading: Reading) -> float | None:
    """The reading as mg/L of NO3; None where its unit or number tells nothing."""
    value: float | Problem = reading.value
    if reading.unit.lower() not in _AS_NO3:
        value = convert(reading.value, reading.unit, "no3")
    if isinstance(value, Problem) or zero_or_more(NITRATE, value) is not None:
        return None
    return value


def steps_of(body: Body, room: Room, marks: Iterable[Mark], today: date) -> tuple[Step, ...]:
    """The changes of this body's water among marks of any place, oldest first."""
    found = []
    for mark in sorted(marks, key=lambda mark: (mark.at, mark.id)):
        if mark.outcome not in ("done", "partly") or mark.day > today:
            continue
        job = room.job.get(mark.job)
        if job is not None and job.kind == "top-off":
            continue  # what evaporated took no nitrate along
        if _same_water(body, room, mark.target, mark.at):
            fraction = _of_the_water(room, mark, job is None or job.fraction is not None)
            if fraction > 0:
                found.append(Step(mark.day, mark.at, fraction))
    return tuple(found)


def _water_at(room: Room, place: str, at: datetime) -> str:
    """The system or tank whose water a place was part of at an instant; "" for none."""
    if place in room.system:
        return place
    tank = room.tank_of(place)
    return (room.valve.open_to(tank, at) or tank) if tank else ""


def _same_water(body: Body, room: Room, place: str, at: datetime) -> bool:
    there = _water_at(room, place, at)
    return bool(there) and there == _water_at(room, body.code, at)


def _of_the_water(room: Room, mark: Mark, by_share: bool) -> float:
    """The fraction a mark replaced of the whole water its place was part of.

    `by_share`: the mark's fraction is of the tanks' water, not of the work.
    """
    water = _water_at(room, mark.target, mark.at)
    tank = room.tank_of(mark.target)
    if water in room.system:
        held = room.tank_litres(tank) if tank else room.open_litres(water, mark.at)
        whole = room.system_litres(water, mark.at)
    else:
        held = whole = room.tank_litres(tank)
    share_done = mark.fraction if by_share else None
    out = share_done * held if share_done is not None else mark.litres or 0.0
    return min(1.0, out / whole) if whole > 0 else 0.0


def carried(
    mg_per_l: float, since: date, steps: Sequence[Step], until: date, per_week: float,
    source_mg_per_l: float,
) -> float:  # fmt: skip
    """Nitrate on a later day: what was made in the days between, less what changes took."""
    day = since
    for step in steps:
        mg_per_l = diluted(grown(mg_per_l, per_week, (step.day - day).days), step.fraction,
                           source_mg_per_l)  # fmt: skip
        day = step.day
    return grown(mg_per_l, per_week, (until - day).days)


def grown(mg_per_l: float, per_week: float, days: float) -> float:
    """Nitrate after so many days without a change."""
    return mg_per_l + per_week * days / WEEK


def diluted(mg_per_l: float, fraction: float, source_mg_per_l: float) -> float:
    """Nitrate after one change. Numbers that cannot be are a ValueError: callers checked them."""
    after = after_change(mg_per_l, fraction, source_mg_per_l)
    if isinstance(after, Problem):
        raise ValueError(after.sentence())
    return after


def production(
    body: Body, room: Room, tests: Sequence[Tested], steps: Sequence[Step], source_mg_per_l: float
) -> Amount | None:
    """What is made in a week: from two readings where they allow it, else from the food."""
    return _solved(tests, steps, source_mg_per_l) or _by_food(body, room)


def _solved(
    tests: Sequence[Tested], steps: Sequence[Step], source_mg_per_l: float
) -> Amount | None:
    """The production that leads from an earlier reading to the newest one."""
    if not tests:
        return None
    newest, last = tests[0], tests[0].reading
    for earlier in tests[1:]:
        days = (last.day - earlier.reading.day).days
        if not LEAST_DAYS_BETWEEN <= days <= MOST_DAYS_BETWEEN:
            continue
        between = [step for step in steps if earlier.reading.at < step.at <= last.at]
        span = (earlier.mg_per_l, earlier.reading.day, between, last.day)
        with_none = carried(*span, 0.0, source_mg_per_l)
        each = carried(*span, 1.0, source_mg_per_l) - with_none
        found = (newest.mg_per_l - with_none) / each if each > 0 else -1.0
        if found < 0:
            return None  # the water lost nitrate by some other way: no change explains it
        inputs = (
            Input(f"read {day_words(earlier.reading.day)}", earlier.mg_per_l, "mg/L", MEASURED),
            Input(f"read {day_words(last.day)}", newest.mg_per_l, "mg/L", MEASURED),
            *(Input(f"change {day_words(s.day)}", s.fraction, "", COMPUTED) for s in between),
        )
        formula = "what leads from one reading to the other through the changes between"
        return Amount(found, PER_WEEK, COMPUTED, formula, inputs, f"readings {days} days apart")
    return None


def _by_food(body: Body, room: Room) -> Amount | None:
    fed = [room.tank[code].feed_g_per_day for code in body.tanks]
    if all(grams is None for grams in fed):
        return None
    total, protein = sum(grams or 0.0 for grams in fed), room.setup.feed_protein
    found = nitrate_from_feed(total, protein, body.litres.value)
    if isinstance(found, Problem):
        return None
    inputs = (
        Input("dry food", total, "g/day"),
        Input("protein", protein, "", SET),
        Input(body.code, body.litres.value, "L", body.litres.known),
    )
    formula = "food x protein x 0.16 x 0.65 x 4.43 x 7 / litres"
    return Amount(found, PER_WEEK, ASSUMED, formula, inputs, "shares from memory")
