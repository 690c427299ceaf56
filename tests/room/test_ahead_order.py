"""Jobs that must be days apart: what no plan can be below holds whichever goes first."""

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import product

import pytest

from roomtasks.room.ahead_plan import Ahead
from roomtasks.room.job import Between, Job
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from tests.room.scene import job, room
from tests.room.weeks_lived import MONDAY, lived, planned

DAYS = 9


def apart(first: str, second: str, days: int) -> Between:
    return Between(
        code="P1", first=f"job {first}", relation="apart", second=f"job {second}", days=days
    )  # fmt: skip


def once(code: str, day: int, early: int, late: int, minutes: float) -> Job:
    due = MONDAY + timedelta(days=day)
    return job(code, f"once {due}", window=f"-{early}/+{late}", minutes=minutes)


def there(jobs: Sequence[Job], *between: Between, **minutes: int) -> Room:
    made = room(change_day="none", jobs=tuple(jobs), between=between)
    known = {f"{day}_minutes": there_are for day, there_are in minutes.items()}
    return replace(made, setup=replace(made.setup, **known))  # type: ignore[arg-type]


def where(plan: Ahead) -> dict[str, date]:
    return {one.id: one.day for one in plan.jobs}


def test_a_bound_holds_also_where_what_is_due_later_goes_first() -> None:
    """On Wednesday nobody has time: the other order has 3 minutes over there and not 12."""
    jobs = (once("late", 3, 1, 0, 3.0), once("early", 2, 0, 4, 12.0))
    made = there(jobs, apart("late", "early", 3), wednesday=0, sunday=0)
    plan = planned(made, days=DAYS)
    assert plan.over_minutes == 12.0  # what is due on Wednesday holds the other off
    assert plan.over_bound_minutes == 3.0
    assert lived(made, plan) == []


def test_what_is_done_before_the_other_is_due_may_go_first() -> None:
    """Behind the first seal, and two days before the next, there is no day for the test."""
    due = MONDAY + timedelta(days=4)
    seal = job("seal", "every 3 days", window="-1/+0", starts=due, minutes=15.0)
    test = job("test", "every 10 days", window="-4/+3", starts=due, minutes=5.0)
    away = Away(first=due + timedelta(days=1), last=due + timedelta(days=1))
    made = replace(there((seal, test), apart("seal", "test", 2)), away=(away,))
    plan = planned(made, days=8)
    assert plan.cannot == ()
    days = [one.day for one in plan.jobs if one.id == "seal@D3"]
    assert where(plan)["test@D3"] + timedelta(days=2) <= min(days) <= due
    assert lived(made, plan) == []


@pytest.mark.parametrize("seed", range(30))
def test_no_order_of_a_few_jobs_is_better_than_the_bounds(seed: int) -> None:
    chance = random.Random(seed)
    facts = [
        (f"j{n}", chance.randrange(2, 7), chance.randrange(3), chance.randrange(4),
         chance.choice((5.0, 12.0, 20.0, 31.0)))
        for n in range(4)
    ]  # fmt: skip
    gap = chance.choice((2, 3))
    minutes = {"monday": 30, "tuesday": 20, "wednesday": 10, "thursday": 25, "saturday": 12}
    minutes[chance.choice(("wednesday", "friday"))] = 0
    made = there([once(*one) for one in facts], apart("j0", "j1", gap), **minutes)
    plan = planned(made, days=DAYS)
    best: list[tuple[float, float]] = []
    for days in product(*(range(day - early, day + late + 1) for _, day, early, late, _ in facts)):
        if max(days) < DAYS and abs(days[0] - days[1]) >= gap:
            load = [sum(one[4] for one, on in zip(facts, days, strict=True) if on == n)
                    for n in range(DAYS)]  # fmt: skip
            over = sum(max(0.0, own - day.minutes_there_are)
                       for own, day in zip(load, plan.days, strict=True))  # fmt: skip
            best.append((over, max(load)))
    if not best or any(note.rule == "days-apart" for note in plan.cannot):
        return
    assert plan.over_bound_minutes <= min(over for over, _ in best)
    same = [busiest for over, busiest in best if over <= plan.over_minutes]
    if same:
        assert plan.bound_minutes <= min(same)
    assert lived(made, plan) == []


def test_a_bound_holds_also_for_big_filter_work_in_the_last_days_before_days_away() -> None:
    """Kept off those days it lies where nobody has time; on them it would not be over."""
    media = job(
        "media", f"once {MONDAY + timedelta(days=4)}", kind="media", window="-3/+2", minutes=11.0
    )  # fmt: skip
    gone = MONDAY + timedelta(days=4)
    made = replace(there((media,), saturday=0, sunday=0), away=(Away(first=gone, last=gone),))
    plan = planned(made, days=DAYS)
    assert plan.over_minutes == 11.0
    assert plan.over_bound_minutes == 0.0
