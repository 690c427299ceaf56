"""The demo room's journal, day by day: facts on the first day, then the keeper's work.

Lives here: the order of a day, and the notebook the journal was begun from.
The same call always gives the same values.
"""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from docs.demo_parts.apart_story import MESSAGES
from docs.demo_parts.fish import fish
from docs.demo_parts.jobs import between, jobs
from docs.demo_parts.keeper import KEEPER, STAND_IN, Chance, Keeper
from docs.demo_parts.last_morning import LEAVE, last_evening, last_morning
from docs.demo_parts.lines import lines
from docs.demo_parts.places import FIRST_DAY, OPENS, ZONE, places
from docs.demo_parts.story import happenings
from roomtasks.room.due import all_due
from roomtasks.room.job import Job
from roomtasks.room.journal import Mark
from roomtasks.room.past import fold
from roomtasks.room.rebase import Interval
from roomtasks.room.room import SHEETS, Room
from roomtasks.room.slots import trigger_of
from roomtasks.room.targets import targets
from roomtasks.room.trigger import Every
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.write import replace_all

SEED = "the old wash-house"
DAYS = (OPENS.date() - FIRST_DAY).days
ONE_DAY = timedelta(days=1)
BEGINS = datetime.combine(FIRST_DAY, time(6, 30), ZONE)


def first_day() -> dict[str, list[Any]]:
    """Every sheet as it stands when the journal begins."""
    facts = {**places(), **fish(), **lines(), "jobs": jobs(), "between": between(),
             "messages": list(MESSAGES)}  # fmt: skip
    room = Room(facts["setup"][0], **{k: tuple(v) for k, v in facts.items() if k != "setup"})
    marks = list(_rounds_before(room))
    marks += _dated_before(room, marks)
    return {**facts, "marks": marks}


def _rounds_before(room: Room) -> Iterator[Mark]:
    """When each job of an interval was last done, as carried over from the paper notebook."""
    chance = Chance(f"{SEED}, notebook")
    number = 0
    for job in room.jobs:
        trigger = trigger_of(job)
        if not isinstance(trigger, Every):
            continue
        for target in targets(room, job, BEGINS):
            number += 1
            yield _noted(number, job, target, _last_done(job, target, trigger.interval, chance))


def _dated_before(room: Room, marks: list[Mark]) -> list[Mark]:
    """What was dated before the first day is done, and stands in the notebook too."""
    pasts = {(mark.job, mark.target): fold([mark]) for mark in marks}
    gone_by = [due for due in all_due(room, pasts, BEGINS) if due.slot.day < FIRST_DAY]
    dated = [due for due in gone_by if not isinstance(due.trigger, Every)]
    return [
        _noted(len(marks) + number, due.job, due.target, due.slot.day)
        for number, due in enumerate(dated, start=1)
    ]


def _noted(number: int, job: Job, target: str, day: date) -> Mark:
    return Mark(
        id=number, job=job.code, target=target, slot=day, outcome="done", day=day,
        at=datetime.combine(day, time(8, 0), ZONE), who=KEEPER, note="from the notebook",
    )  # fmt: skip


def _last_done(job: Job, target: str, interval: Interval, chance: Chance) -> date:
    """A day before the first: changes on the last change day, the rest spread out."""
    back = 1 + int(chance.roll() * interval.days)
    if interval.days == 1:
        back = 1
    if job.kind == "change" and interval.days == 7:
        back = 7
    if job.kind == "filter" and interval.days == 28:
        back = 3 + back % 11 + (14 if target.endswith("-2") else 0)
    return FIRST_DAY - timedelta(days=back)


def simulate(store: Store, days: int = DAYS) -> Keeper:
    """Work the room for so many days from the first; all of them end at the demo's morning."""
    replace_all(store, first_day())
    keeper = Keeper(store, Chance(SEED), LEAVE, BEGINS)
    away = [(row.first, row.last) for row in places()["away"]]
    for number in range(days):
        day = FIRST_DAY + number * ONE_DAY
        keeper.who = STAND_IN if any(a <= day <= b for a, b in away) else KEEPER
        one_day(keeper, day)
    if days == DAYS:
        last_morning(keeper)
    return keeper


def one_day(keeper: Keeper, day: date) -> None:
    """The morning round, what happens by day, the evening round."""
    weekday, chance = day.weekday(), keeper.chance
    begins = time(8, 30) if weekday == 6 else time(8, 10) if weekday == 5 else time(6, 50)
    morning = datetime.combine(day, begins, ZONE) + timedelta(minutes=int(chance.roll() * 12))
    evening = datetime.combine(day, time(18, 30), ZONE) + timedelta(minutes=int(chance.roll() * 9))
    dated = list(happenings(day))
    for when, act in dated:
        if when < morning:
            keeper.wait_until(when)
            act(keeper)
    keeper.wait_until(morning)
    keeper.walk_round(minutes_on(day))
    for when, act in dated:
        if morning <= when < evening:
            keeper.wait_until(when)
            act(keeper)
    keeper.wait_until(evening)
    keeper.evening_round()
    for when, act in dated:
        if when >= evening:
            keeper.wait_until(when)
            act(keeper)
    if day == OPENS.date() - ONE_DAY:
        last_evening(keeper)


TAKEN = (115.5, 115.5, 137.5, 115.5, 115.5, 165.0, 189.0)  # minutes, Monday first


def minutes_on(day: date) -> float:
    """The minutes the keeper took: in the spring there were fewer than the room says now."""
    return TAKEN[day.weekday()]


def in_folder(folder: Path, days: int = DAYS) -> dict[str, list[Any]]:
    """Simulate in a store in this folder and give every row, by sheet name."""
    with Store.create(folder / "demo.sqlite") as store:
        simulate(store, days)
        return {sheet.name: read.rows(store, sheet) for sheet in SHEETS}
