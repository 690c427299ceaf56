"""Nitrate of each body over the days of a plan: the highest it comes to, and when. mg/L as NO3.

From where it stands today, what is made a week is added day by day, and each
planned change dilutes it on its planned day. A top-off takes none out.
Does not live here: where it stands and what is made a week (`forecast`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.ahead_plan import Ahead, PlannedJob
from roomtasks.room.body import Body, bodies
from roomtasks.room.forecast import forecast
from roomtasks.room.journal import Mark
from roomtasks.room.nitrate import diluted, grown, nitrate_from_feed, source_nitrate
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room

TOP_OFF = "top-off"
NO_READING = "no nitrate was read"
NO_PRODUCTION = "what is made a week is not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The highest a body's nitrate comes to over the days of a plan, just before a change.

    None where it is not known, and `why` says what is missing. `above_days` are
    days on which it begins above the limit.
    """

    body: str
    mg_per_l: float | None = None
    day: date | None = None
    limit: float | None = None
    above_days: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NitrateScene:
    """What the nitrate of the room is worked out from: its readings and the changes so far."""

    room: Room
    now: datetime
    readings: Readings
    changes: Sequence[Mark] = ()


@dataclass(frozen=True, slots=True)
class _Made:
    """Where a body stands, and what is made in it a week."""

    now: float | None
    per_week: float | None
    source: float


def peaks(
    scene: NitrateScene, ahead: Ahead, room: Room, like: Mapping[str, str]
) -> tuple[Peak, ...]:
    """The peak of each body of water over a plan made for `room`.

    `room` is the scene's, or one with tanks more; `like` then names for each new
    tank the one it is like. A new tank that stands alone begins as that one
    stands; one on a system is filled with its water, and makes what its food
    makes, else as much a litre as the system does.
    """
    stand = {body.code: _stands(scene, body) for body in bodies(scene.room, scene.now)}
    found = bodies(room, scene.now)
    place = {tank: body.code for body in found for tank in body.tanks}
    place |= {body.code: body.code for body in found}
    fractions = _fractions(room, ahead, {body.code: body for body in found}, place)
    return tuple(
        _peak(body, _with_more(room, stand[like.get(body.code, body.code)], body, like), ahead,
              fractions)
        for body in found
    )  # fmt: skip


def _stands(scene: NitrateScene, body: Body) -> _Made:
    today = scene.room.day_at(scene.now)
    source = source_nitrate(scene.room, body.recipe, today)
    found = forecast(
        body, scene.room, scene.readings, scene.changes, today, None, None, source
    )  # fmt: skip
    if isinstance(found, Problem):
        return _Made(None, None, source.value)
    now, made = found.now, found.production_per_week
    return _Made(now.value if now else None, made.value if made else None, source.value)


def _with_more(room: Room, made: _Made, body: Body, like: Mapping[str, str]) -> _Made:
    """What is made a week once tanks more share the body's water."""
    holds = dict(body.each)
    new = [tank for tank in body.tanks if tank in like]
    if made.per_week is None or not new or len(new) == len(body.tanks):
        return made
    before = body.litres.value - sum(holds[tank] for tank in new)
    total = made.per_week * before
    for tank in new:
        own = _by_food(room, tank, holds[tank])
        total += (made.per_week if own is None else own) * holds[tank]
    return _Made(made.now, total / body.litres.value, made.source)


def _by_food(room: Room, tank: str, litres: float) -> float | None:
    grams = room.tank[tank].feed_g_per_day
    if grams is None:
        return None
    found = nitrate_from_feed(grams, room.setup.feed_protein, litres)
    return None if isinstance(found, Problem) else found


def _fractions(
    room: Room, ahead: Ahead, body: Mapping[str, Body], place: Mapping[str, str]
) -> dict[tuple[str, date], list[float]]:
    """The share of each body's water that is changed on each day, change by change."""
    found: dict[tuple[str, date], list[float]] = {}
    for job in ahead.jobs:
        code = place.get(job.tank or job.target)
        if code is None or job.kind == TOP_OFF or job.litres <= 0:
            continue
        share = _net_litres(room, job) / body[code].litres.value
        found.setdefault((code, job.day), []).append(min(1.0, share))
    return found


def _net_litres(room: Room, job: PlannedJob) -> float:
    """Litres that go in at the place: without what is lost in hoses."""
    return job.litres / (1 + room.setup.water_loss)


def _peak(
    body: Body, made: _Made, ahead: Ahead, fractions: Mapping[tuple[str, date], list[float]]
) -> Peak:
    limit = body.nitrate_limit
    if made.now is None or made.per_week is None:
        why = NO_READING if made.now is None else NO_PRODUCTION
        return Peak(body=body.code, limit=limit, why=why)
    value, highest, on, above = made.now, -1.0, ahead.first, 0
    for n, planned in enumerate(ahead.days):
        value = grown(value, made.per_week, 1) if n else value
        if value > highest:
            highest, on = value, planned.day
        above += limit is not None and value > limit
        for share in fractions.get((body.code, planned.day), ()):
            value = diluted(value, share, made.source)
    return Peak(body=body.code, mg_per_l=highest, day=on, limit=limit, above_days=above)
