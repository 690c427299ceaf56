"""The batches of a change day: each fill with what goes in, its doses, its clock, its tanks.

The draws of one water are shared out over fills (`batches`); here each fill is
given its litres, warmth, doses and hours. A fill of a reservoir waits until the
one before it is used up; what cannot be ready in the same visit is planned for
the change hour of a day after. Litres, degrees C, instants in the room's zone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta

from roomtasks.room.amount import ASSUMED, Amount
from roomtasks.room.batches import filled_split
from roomtasks.room.contents import room_celsius, source_celsius
from roomtasks.room.day import resolve
from roomtasks.room.dosing import blend_for, doses_for_fill, litres_to_treat, missing_rate
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.ready import ChainedFill, clock, emptied_at
from roomtasks.room.room import Room
from roomtasks.room.setup import WEEKDAYS
from roomtasks.room.warming import FillNeed, Warming, warm
from roomtasks.room.water_plan import (
    Batch,
    Blend,
    Clock,
    Contents,
    Dose,
    Note,
    Share,
    Split,
    Vessel,
    WhatIf,
)

DAYS_TRIED = 7
NOT_READY = "not-ready-in-time"


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """All that batches are made from, besides the draws."""

    room: Room
    now: datetime
    wanted_at: datetime
    what_if: WhatIf
    readings: Readings
    contents: Mapping[str, Contents]
    vessels: Sequence[Vessel]


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """Batches, and what must be told of them."""

    batches: tuple[Batch, ...] = ()
    notes: tuple[Note, ...] = ()


@dataclass(slots=True)
class _Standing:
    """What stands in one reservoir as the plan goes on from fill to fill."""

    litres: float
    celsius: Amount | None
    first: bool = True
    free_at: datetime | None = None
    never: Problem | None = None
    notes: list[Note] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fill:
    """One fill to be planned: which, out of what, with how much run in."""

    n: int
    recipe: str
    code: str
    shares: tuple[Share, ...]
    used: float
    added: float


def batches_of(making: Making, recipe: str, split: Split, as_it_stands: bool = False) -> Made:
    """Every fill of one water's sharing-out, in order, with its clock."""
    added = filled_split(split, making.vessels, as_it_stands)
    standing = {
        vessel.code: _Standing(_stands(vessel, recipe), vessel.celsius)
        for vessel in making.vessels
    }  # fmt: skip
    for vessel in making.vessels:
        free = dict(making.what_if.free_at).get(vessel.code)
        if free is not None and split.reservoirs.count(vessel.code) == 1:
            standing[vessel.code] = _Standing(vessel.left_litres, vessel.celsius, free_at=free)
    made: list[Batch] = []
    notes: list[Note] = []
    for n, (shares, code) in enumerate(zip(split.fills, split.reservoirs, strict=True)):
        fill = _Fill(
            n=n + 1, recipe=recipe, code=code, shares=shares, used=split.litres[n], added=added[n]
        )
        batch, told = _batch(making, fill, standing[code])
        made.append(batch)
        notes += told
    return Made(batches=tuple(made), notes=tuple(notes))


def _stands(vessel: Vessel, recipe: str) -> float:
    """What may be counted on in a reservoir: nothing where it holds another water."""
    return vessel.holds_litres if vessel.holds_recipe in ("", recipe) else 0.0


def _batch(making: Making, fill: _Fill, stands: _Standing) -> tuple[Batch, list[Note]]:
    in_use = stands.free_at is not None or not stands.first
    contents = None if in_use else making.contents.get(fill.code)
    blend, notes = _blend(making, fill)
    need = _need(making, fill, stands, blend)
    planned = _clock(making, need, fill, stands, contents)
    if not isinstance(stands.never, Problem) and planned.ready_at is None:
        stands.never = planned.refused
    doses, told = _doses(making, fill, stands.litres, contents)
    warming = warm(need, contents)
    warming = Warming(mix=None) if isinstance(warming, Problem) else warming
    chained = ChainedFill(
        need=need, wanted_at=planned.wanted_at, used_litres=fill.used,
        job_minutes=_job_minutes(making.room, fill.shares, making.now),
    )  # fmt: skip
    free = emptied_at(chained, planned)
    batch = Batch(
        n=fill.n, reservoir=fill.code, recipe=fill.recipe, shares=fill.shares,
        used_litres=fill.used, added_litres=fill.added, left_litres=stands.litres,
        mix_celsius=warming.mix, target_celsius=need.target_celsius, heat_kwh=warming.kwh,
        heat_minutes=warming.minutes, doses=doses, blend=blend, clock=planned, emptied_at=free,
    )  # fmt: skip
    notes += [*told, *_clock_notes(making, fill, planned)]
    stands.litres = max(0.0, stands.litres + fill.added - fill.used)
    stands.celsius = _after_use(need)
    stands.free_at, stands.first = free, False
    return batch, notes


def _need(making: Making, fill: _Fill, stands: _Standing, blend: Blend | None) -> FillNeed:
    room = making.room
    recipe = room.recipe.get(fill.recipe)
    today = room.day_at(making.now)
    source = room.source_of(fill.recipe)
    rates = dict(making.what_if.fill_rates)
    target = recipe.celsius if recipe is not None else None
    if making.what_if.celsius is not None:
        target = making.what_if.celsius
    return FillNeed(
        reservoir=room.reservoir[fill.code], added_litres=fill.added, left_litres=stands.litres,
        left_celsius=stands.celsius,
        source_celsius=source_celsius(room, fill.recipe, making.readings, today),
        target_celsius=target, room_celsius=room_celsius(room, making.readings, today),
        fill_rate=rates.get(fill.code), ro_hours=blend.hours.value if blend else 0.0,
        dosed=(source is None or source.kind != "ro")
        and any(rate.recipe == fill.recipe and rate.when == "fill" for rate in room.rates),
    )  # fmt: skip


def _clock(
    making: Making, need: FillNeed, fill: _Fill, stands: _Standing, contents: Contents | None
) -> Clock:
    """The first hour that can be kept: the wanted one, this visit still, or a day after."""
    told_free = dict(making.what_if.free_at).get(fill.code)
    if stands.first:
        return clock(need, making.room.hours, making.wanted_at, making.now, stands.free_at,
                     contents)  # fmt: skip
    free = told_free or stands.free_at
    if stands.never is not None or free is None:
        why = stands.never or Problem(fill.code, "it is never free for this fill", "look at it")
        blocked = replace(why, what=f"the fill before it never gets ready: {why.what}")
        base = clock(need, making.room.hours, making.wanted_at, making.now)
        return Clock(steps=base.steps[-1:], wanted_at=making.wanted_at, ready_at=None,
                     refused=blocked)  # fmt: skip
    tried: Clock | None = None
    for wanted in _hours_after(making, free):
        found = clock(need, making.room.hours, wanted, making.now, free)
        if found.refused is None:
            return found
        tried = tried or found
        if found.ready_at is None:
            return found
    if tried is None:
        raise RuntimeError("no hour was tried")
    return tried


def _hours_after(making: Making, free: datetime) -> Iterator[datetime]:
    """The same visit, then the change hour of each day after."""
    zone = making.room.zone
    free = free.astimezone(zone)
    yield free
    first = max(making.room.day_at(free), making.room.day_at(making.wanted_at))
    for n in range(DAYS_TRIED + 1):
        day = first + timedelta(days=n)
        at = resolve(datetime.combine(day, _hour_on(making, day)), zone)
        if at > free:
            yield at


def _hour_on(making: Making, day: date) -> time:
    """The change hour, or where nobody is there then, half an hour into the day's longest span."""
    hour = making.what_if.hour or making.room.setup.change_hour
    weekday = WEEKDAYS[day.weekday()]
    spans = [
        (_minutes(span.from_time), _minutes(span.until_time) or 24 * 60)
        for span in making.room.hours
        if span.weekday == weekday
    ]
    if not spans or any(start <= _minutes(hour) < end for start, end in spans):
        return hour
    start, end = max(spans, key=lambda span: (span[1] - span[0], span[0]))
    begin = min(start + 30, end - 1)
    return time(begin // 60, begin % 60)


def _minutes(at: time) -> int:
    return 60 * at.hour + at.minute


def _after_use(need: FillNeed) -> Amount | None:
    """How warm what is left over stands: as the fill was wanted, since nobody has read it."""
    if need.target_celsius is None:
        return need.left_celsius
    return Amount(need.target_celsius, "C", ASSUMED, source="as the fill before was wanted")


def _job_minutes(room: Room, shares: Sequence[Share], now: datetime) -> float:
    """Minutes of the jobs these shares are part of: set-up once a kind, a share of the rest."""
    share_of = {
        share.draw.due_id: max(1, len(room.valve.members(share.draw.body, now)))
        for share in shares
        if share.draw.tank and share.draw.due_id.endswith(f"@{share.draw.body}")
        and share.draw.body in room.system
    }  # fmt: skip
    jobs = [(room.job.get(share.draw.due_id.split("@")[0]), share) for share in shares]
    setup: dict[str, float] = {}
    minutes = 0.0
    for job, share in jobs:
        if job is None:
            continue
        setup[job.kind] = max(setup.get(job.kind, 0.0), job.setup_minutes)
        minutes += job.minutes / share_of.get(share.draw.due_id, 1)
    return minutes + sum(setup.values())


def _blend(making: Making, fill: _Fill) -> tuple[Blend | None, list[Note]]:
    recipe = making.room.recipe.get(fill.recipe)
    if recipe is None or fill.added <= 0:
        return None, []
    today = making.room.day_at(making.now)
    celsius = source_celsius(making.room, fill.recipe, making.readings, today)
    if recipe.ro and not recipe.source:
        source = making.room.source_of(fill.recipe)
        recipe = replace(recipe, source=source.code if source else "")
    found = blend_for(recipe, making.room.source, fill.added, celsius)
    if isinstance(found, Problem):
        note = Note(about=fill.code, text=found.sentence(), sort="refused",
                    rule=found.rule or "blend")  # fmt: skip
        return None, [note]
    return found, []


def _doses(
    making: Making, fill: _Fill, stands: float, contents: Contents | None
) -> tuple[tuple[Dose, ...], list[Note]]:
    recipe, source = making.room.recipe.get(fill.recipe), making.room.source_of(fill.recipe)
    litres = litres_to_treat(fill.added, stands, contents)
    found = doses_for_fill(making.room.rates, litres, recipe, fill.code) if recipe else ()
    missing = missing_rate(making.room.rates, recipe, source, fill.code) if litres > 0 else None
    notes = [missing] if missing is not None else []
    if isinstance(found, Problem):
        return (), [*notes, Note(about=fill.code, text=found.sentence(), sort="refused",
                                 rule=found.rule or "dose")]  # fmt: skip
    return found, notes


def _clock_notes(making: Making, fill: _Fill, planned: Clock) -> list[Note]:
    notes = list(planned.notes)
    if planned.refused is not None:
        text = f"batch {fill.n} out of {fill.code}: {planned.refused.sentence()}"
        notes.append(Note(about=fill.code, text=text, sort="refused",
                          rule=planned.refused.rule or NOT_READY))  # fmt: skip
    elif planned.wanted_at.date() != making.wanted_at.date():
        text = (f"batch {fill.n} out of {fill.code} cannot be ready that day; it is planned for "
                f"{planned.wanted_at:%a %d %b %H:%M}")  # fmt: skip
        if planned.ready_at is not None:
            text += f", ready at the earliest {planned.ready_at:%a %d %b %H:%M}"
        notes.append(Note(about=fill.code, text=text))
    return notes
