"""Living a plan day by day: what was planned must be what is due, on the day it was planned for.

Every planned job is marked done on its day and the due dates worked out anew, so
that a plan is held to the same rules as today's walk. Rooms out of a seed too.
"""

import random
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from roomtasks.room.ahead_plan import KEEPER, Ahead, PlannedDay, WhatIfAhead
from roomtasks.room.due import all_due
from roomtasks.room.job import Between, Hold, Job
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Past, fold
from roomtasks.room.plan_ahead import AS_IT_IS, NO_PINS, plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.walk import order_key, priced, stop_of
from tests.room import scene

MONDAY = date(2027, 3, 1)


def pasts_of(marks: Iterable[Mark]) -> dict[tuple[str, str], Past]:
    by: dict[tuple[str, str], list[Mark]] = {}
    for mark in marks:
        by.setdefault((mark.job, mark.target), []).append(mark)
    return {key: fold(values) for key, values in by.items()}


def planned(
    room: Room, marks: Sequence[Mark] = (), now: str = "2027-03-01T08:00", days: int = 28,
    pins: Mapping[str, date] = NO_PINS, what_if: WhatIfAhead = AS_IT_IS,
    last: Ahead | None = None,
) -> Ahead:  # fmt: skip
    """The plan of a room at an instant; a refusal fails the test."""
    found = asked(room, marks, now, days, pins, what_if, last)
    assert isinstance(found, Ahead), found
    return found


def asked(
    room: Room, marks: Sequence[Mark] = (), now: str = "2027-03-01T08:00", days: int = 28,
    pins: Mapping[str, date] = NO_PINS, what_if: WhatIfAhead = AS_IT_IS,
    last: Ahead | None = None,
) -> Ahead | Problem:  # fmt: skip
    at, pasts = scene.at(now), pasts_of(marks)
    return plan_ahead(
        room, all_due(room, pasts, at), pasts, at, days, pins=pins, what_if=what_if, last=last
    )


def lived(room: Room, plan: Ahead, marks: Sequence[Mark] = ()) -> list[str]:
    """Do each planned job on its day; what was wrong with any of them."""
    wrong: list[str] = []
    known = list(marks)
    for day in plan.days:
        wrong += _lived_day(room, day, known)
    return wrong


def _lived_day(room: Room, day: PlannedDay, known: list[Mark]) -> list[str]:
    wrong: list[str] = []
    at = datetime.combine(day.day, time(20), room.zone)
    stops: list[Due] = []
    found = {one.id: one for one in all_due(room, pasts_of(known), at)}
    for job in day.jobs:
        if job.id not in found:  # what follows another is there once that is done
            found |= {one.id: one for one in all_due(room, pasts_of(known), at)}
        due = found.get(job.id)
        if due is None:
            wrong.append(f"{day.day}: {job.id} is not there")
            continue
        held = [
            block
            for block in due.blocks
            if block.first <= day.day
            and (block.last is None or day.day <= block.last)
            and not block.reason.endswith("goes first")  # which of two open ones is advice
        ]
        if held and not job.late_days:
            wrong.append(f"{day.day}: {job.id} is held, {held[0].reason}")
        if day.day < due.opens and not job.pinned:
            wrong.append(f"{day.day}: {job.id} opens only {due.opens}")
        paired = any(block.rule in ("apart", "not-same-day") for block in due.blocks)
        if day.day > due.closes and not job.late_days and not paired:
            wrong.append(f"{day.day}: {job.id} closed on {due.closes}")
        stops.append(due)
        known.append(scene.mark(job.job, job.target, due.slot.day.isoformat(), day.day.isoformat()))
    wrong += _weighed(room, day, stops)
    return wrong


def _weighed(room: Room, day: PlannedDay, dues: Sequence[Due]) -> list[str]:
    """Whether the minutes of the day are those of its walk, to a tenth a job."""
    ordered = sorted(dues, key=lambda due: order_key(room, due))
    walked = sum(stop.total_minutes for stop in priced(room, [stop_of(d, {}) for d in ordered]))
    said = day.stand_in_minutes if day.away else day.minutes
    if abs(walked - said) > 0.05 * (len(dues) + 1):
        return [f"{day.day}: {said} minutes planned, {walked} walked"]
    return []


def usual_work(plan: Ahead) -> dict[tuple[str, int], date]:
    """The planned days of everything that has a choice of day."""
    return {(job.id, job.n): job.day for job in plan.jobs if len(job.may) > 1 and job.by == KEEPER}


def a_room(seed: int, jobs: int = 14) -> Room:
    """A room of rack D out of a seed: jobs of all sorts, pairs, holds, days away."""
    rng = random.Random(seed)
    made = tuple(_job(rng, n) for n in range(jobs))
    holds = tuple(
        Hold(code=f"h{n}", target=f"D{rng.randint(1, 8)}", kinds=rng.choice(("filter", "all")),
             reason="r", since=first, until=first + timedelta(days=rng.randint(0, 9)))
        for n in range(rng.randint(0, 2))
        for first in [MONDAY + timedelta(days=rng.randint(0, 24))]
    )  # fmt: skip
    away: tuple[Away, ...] = ()
    if rng.random() < 0.4:
        first = MONDAY + timedelta(days=rng.randint(2, 20))
        away = (Away(first=first, last=first + timedelta(days=rng.randint(0, 6)),
                     stand_in=rng.choice(("", "sam"))),)  # fmt: skip
    return scene.room(jobs=made, holds=holds, away=away, between=_between(rng),
                      change_day=rng.choice(("saturday", "wednesday", "none")))  # fmt: skip


def _job(rng: random.Random, n: int) -> Job:
    kind = rng.choice(("change", "vac", "wipe", "test", "look", "measure", "other"))
    every = rng.choice((1, 2, 3, 5, 7, 7, 10, 14, 14, 28))
    if n == 0:  # one filter job, seldom enough for the days apart its pairs ask for
        kind, every = "filter", rng.choice((14, 21, 28))
    early = rng.randint(0, (every - 1) // 3)
    late = rng.randint(0, (every - 1) // 3)
    rule = f"every {every} days" + rng.choice(("", "", " keeps-slot"))
    if rng.random() < 0.15:
        weekday = rng.choice(("MO", "TU", "SA"))
        rule, early, late = f"calendar FREQ=WEEKLY;BYDAY={weekday}", rng.randint(0, 2), 1
    elif rng.random() < 0.1:
        rule = f"once {MONDAY + timedelta(days=rng.randint(0, 27))}"
    facts: dict[str, Any] = {
        "kind": kind, "window": f"-{early}/+{late}", "minutes": rng.randint(1, 20) / 2,
        "setup_minutes": float(rng.choice((0, 0, 2, 8))), "stand_in": rng.random() < 0.3,
        "starts": MONDAY + timedelta(days=rng.randint(0, 6)),
        "where": "filters on tank D5" if kind == "filter" else rng.choice(
            ("tank D3", "tank D1 D2", "tanks in rack D", "room")),
    }  # fmt: skip
    if kind in ("look", "wipe", "change", "vac", "measure") and facts["where"] == "room":
        facts["where"] = "tank D4"
    return scene.job(f"j{n:02d}", rule, **facts)


def _between(rng: random.Random) -> tuple[Between, ...]:
    known = (
        Between(code="apart", first="kind filter", relation="apart", second="kind filter", days=5),
        Between(code="never", first="kind filter", relation="not-same-day", second="kind vac"),
        Between(code="with", first="kind change", relation="together", second="kind vac"),
    )
    return tuple(rule for rule in known if rng.random() < 0.6)
