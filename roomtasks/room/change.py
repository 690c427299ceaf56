"""The whole plan of a change day: draws, bodies, batches by the clock, what must not be done.

Puts together what the modules beside it work out: `draw` and `demand` the
litres, `body` the fractions, `batches` and `change_batches` the fills,
`shortage` the ways out, `forecast` nitrate, `shock` temperatures, `dosing` what
goes back into dosed tanks. Pure: a scene of facts in, a plan out.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.body import Body, bodies, body_change, sump_levels
from roomtasks.room.change_batches import Making
from roomtasks.room.change_notes import (
    before_draws,
    caught_up,
    from_the_tap,
    gathered,
    leak_notes,
    redosed,
    sump_notes,
    with_match,
)
from roomtasks.room.change_waters import Waters
from roomtasks.room.contents import contents_of, next_step_of
from roomtasks.room.day import resolve
from roomtasks.room.demand import by_need, demands, drained, draws_on
from roomtasks.room.draw import CHANGE, LARGEST_CHANGE, Drawn, too_large
from roomtasks.room.forecast import forecast
from roomtasks.room.hoses import hose_notes
from roomtasks.room.journal import Mark
from roomtasks.room.naming import day_words
from roomtasks.room.nitrate import source_nitrate
from roomtasks.room.occurrence import Due
from roomtasks.room.pool import vessels_of
from roomtasks.room.problem import Problem
from roomtasks.room.readings import NO_READINGS, Readings
from roomtasks.room.room import Room
from roomtasks.room.sump import SUMP_LEVEL, level_note
from roomtasks.room.water_plan import (
    Batch,
    BodyChange,
    ChangePlan,
    Contents,
    Draw,
    Forecast,
    NextStep,
    Note,
    SumpLevels,
    Vessel,
    WhatIf,
)

DAYS_AHEAD = 14
LARGEST_SIZE = 370  # days ahead a change may be planned


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterScene:
    """The room, what is due, and the past that water hangs on.

    `changes` are marks with litres or a fraction of some sixty days, `tops` those
    of top-offs.
    """

    room: Room
    dues: Sequence[Due]
    now: datetime
    readings: Readings = NO_READINGS
    changes: Sequence[Mark] = ()
    tops: Sequence[Mark] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """What is asked, settled: which day, from when, with the keeper's choice taken in."""

    day: date
    wanted_at: datetime
    what_if: WhatIf


def plan_change(scene: WaterScene, what_if: WhatIf) -> ChangePlan | Problem:
    """The plan of the change that is asked for, the next one where no day is.

    Numbers that cannot be and days gone by are a Problem; what must not be done
    as planned stands in the plan, in `refused`.
    """
    asked = _day(scene, what_if)
    if isinstance(asked, Problem):
        return asked
    room, now, what_if = scene.room, scene.now, asked.what_if
    drawn = draws_on(room, scene.dues, asked.day, now, what_if)
    if isinstance(drawn, Problem):
        return drawn
    held = {vessel.code: contents_of(room, vessel, now, scene.readings)
            for vessel in room.reservoirs}  # fmt: skip
    vessels = vessels_of(room, held, what_if)
    if isinstance(vessels, Problem):
        return vessels
    every = {body.code: body for body in bodies(room, now)}
    draws, notes = _settled(scene, asked, drawn, vessels)
    changed, told_bodies = _bodies(every, draws)
    forecasts = _forecasts(scene, every, changed, asked.day)
    sumps, told_sumps = _sumps(room, every, now, scene.readings)
    needs = by_need(draws, forecasts)
    making = Making(room=room, now=now, wanted_at=asked.wanted_at, what_if=what_if,
                    readings=scene.readings, contents=held, vessels=vessels)  # fmt: skip
    parts = Waters.of(making, demands(room, draws), changed, forecasts, needs)
    return ChangePlan(
        day=asked.day, wanted_at=asked.wanted_at, now=now, what_if=what_if,
        demands=parts.demands, bodies=changed, vessels=vessels, contents=tuple(held.values()),
        by_litres=parts.by_litres, walking=parts.walking, any_order=parts.any_order,
        batches=parts.batches, choices=parts.choices, needs=needs, forecasts=forecasts,
        sumps=sumps, next_step=_next_step(parts.batches, held, now),
        notes=gathered((
            *notes, *told_bodies, *told_sumps,
            *(note for each in forecasts for note in each.notes if note.sort != "told"),
            *parts.notes, *hose_notes(room, parts.batches),
            *leak_notes(room, scene.tops, scene.readings, room.day_at(now)),
        )),
    )  # fmt: skip


def _settled(
    scene: WaterScene, asked: _Day, drawn: Drawn, vessels: Sequence[Vessel]
) -> tuple[tuple[Draw, ...], list[Note]]:
    """Draws with what was missed made up for, their doses and their steps in temperature."""
    room, now, what_if = scene.room, scene.now, asked.what_if
    draws, notes = before_draws(room, drawn.draws)
    planned: Iterable[Note] = drawn.notes
    if what_if.fraction is None and what_if.share is None:
        draws, told = caught_up(room, draws, now)
        notes += told
        kept = (note for note in drawn.notes if note.rule != LARGEST_CHANGE)
        planned = (*kept, *too_large(room, draws))
    draws, dosed = redosed(room, draws, asked.day)
    draws, by_tap = from_the_tap(room, draws, vessels)
    draws, matched = with_match(room, draws, scene.readings, what_if, room.day_at(now))
    return draws, [*planned, *notes, *dosed, *by_tap, *matched]


# --- which day ----------------------------------------------------------------------------


def _day(scene: WaterScene, what_if: WhatIf) -> _Day | Problem:
    room, today = scene.room, scene.room.day_at(scene.now)
    day = what_if.day or next_change_day(scene)
    if day < today:
        return Problem("day", f"{day_words(day)} is past", "give today or a later day")
    if (day - today).days > LARGEST_SIZE:
        return Problem("day", f"{day_words(day)} is more than a year ahead", "give a nearer day")
    bad = next((pair for pair in what_if.fill_rates if not 0.01 <= pair[1] <= 1000), None)
    if bad is not None:
        return Problem(f"fill rate of {bad[0]}", f"{bad[1]:g} L/min fills nothing",
                       "give 0.01 to 1000 L/min")  # fmt: skip
    unknown = next(
        (code for code, _ in (*what_if.fill_rates, *what_if.free_at) if code not in room.reservoir),
        None,
    )
    if unknown is not None:
        known = ", ".join(room.reservoir) or "none is entered yet"
        return Problem(unknown, "there is no such reservoir", f"reservoirs: {known}")
    chosen = next((choice for choice in room.choices if choice.day == day), None)
    if chosen is not None:
        what_if = replace(
            what_if, hour=what_if.hour or chosen.hour,
            share=chosen.share if what_if.share is None and what_if.fraction is None
            else what_if.share,
            keep_back=chosen.keep_back if what_if.keep_back is None else what_if.keep_back,
        )  # fmt: skip
    hour = what_if.hour or room.setup.change_hour
    wanted = resolve(datetime.combine(day, hour), room.zone)
    if what_if.hour is None and day == today:
        wanted = max(wanted, scene.now.astimezone(room.zone))
    return _Day(day=day, wanted_at=wanted, what_if=replace(what_if, day=day))


def next_change_day(scene: WaterScene) -> date:
    """The next change day with a change still to do; without one, the next day that has one."""
    room, today = scene.room, scene.room.day_at(scene.now)
    weekday = room.setup.change_weekday
    ahead = [today + timedelta(days=n) for n in range(DAYS_AHEAD)]
    wanted = [day for day in ahead if weekday is None or day.weekday() == weekday]
    for day in wanted:
        drawn = draws_on(room, scene.dues, day, scene.now)
        if not isinstance(drawn, Problem) and any(draw.sort == CHANGE for draw in drawn.draws):
            return day
    return wanted[0]


# --- bodies and what is forecast for them ---------------------------------------------------


def _bodies(
    every: Mapping[str, Body], draws: Sequence[Draw]
) -> tuple[tuple[BodyChange, ...], list[Note]]:
    by_body: dict[str, list[Draw]] = defaultdict(list)
    for draw in draws:
        if draw.tank and draw.body in every:
            by_body[draw.body].append(draw)
    found, notes = [], []
    for code, body in every.items():
        litres = drained(by_body.get(code, ()))
        if not litres:
            continue
        change = body_change(body, litres)
        if isinstance(change, Problem):
            notes.append(Note(about=code, text=change.sentence(), sort="refused",
                              rule=change.rule or "volume"))  # fmt: skip
        else:
            found.append(change)
    return tuple(found), notes


def _forecasts(
    scene: WaterScene, every: Mapping[str, Body], changed: Sequence[BodyChange], day: date
) -> tuple[Forecast, ...]:
    """Forecasts of bodies that something is known of: a reading, their feed, or a limit."""
    room, today = scene.room, scene.room.day_at(scene.now)
    fractions = {change.body: change.fraction.value for change in changed}
    found = []
    for code, body in every.items():
        source = source_nitrate(room, body.recipe, today)
        made = forecast(
            body, room, scene.readings, scene.changes, today,
            day if code in fractions else None, fractions.get(code), source,
        )  # fmt: skip
        if isinstance(made, Problem):
            continue
        if made.reading is not None or made.production_per_week is not None:
            found.append(made)
    return tuple(found)


def _sumps(
    room: Room, every: Mapping[str, Body], now: datetime, readings: Readings
) -> tuple[tuple[SumpLevels, ...], list[Note]]:
    found, notes = [], []
    for code in every:
        if code not in room.system:
            continue
        levels = sump_levels(room, code, now)
        if isinstance(levels, Problem):
            notes.append(Note(about=code, text=levels.sentence(), sort="refused",
                              rule=levels.rule or "sump-level"))  # fmt: skip
        elif levels is not None:
            found.append(levels)
            notes += sump_notes(levels)
            read = readings.newest(code, SUMP_LEVEL)
            told = level_note(room, read) if read is not None else None
            if read is not None and told is not None:
                text = f"sump of {code}: read {day_words(read.day)}, {told.text}"
                notes.append(replace(told, text=text))
    return tuple(found), notes


def _next_step(
    batches: Iterable[Batch], held: Mapping[str, Contents], now: datetime
) -> NextStep | None:
    """The next thing to do about water: the first step to come at any reservoir."""
    found: list[NextStep] = []
    seen: set[str] = set()
    for batch in batches:
        if batch.reservoir in seen or batch.clock is None:
            continue
        seen.add(batch.reservoir)
        step = next_step_of(batch.clock, held[batch.reservoir], now)
        if step is not None:
            found.append(step)
    return min(found, key=lambda step: (step.at, step.reservoir), default=None)
