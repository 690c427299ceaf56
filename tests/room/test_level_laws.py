"""Laws of levelling that must hold for any work: days, gaps, pins, order of what is given."""

import os
import random
from dataclasses import replace
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.level import level
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_task import Placement, Span
from tests.room.level_measure import clashes, in_time, loads, measured
from tests.room.level_rooms import generated, small, with_limits, with_setups

SPANS = int(os.environ.get("ROOMTASKS_SPANS", "12"))
seeds = st.integers(0, 10**6)


def room(seed: int) -> Span:
    """A generated room of a size that is quick to lay, of any of the sorts there are."""
    rng = random.Random(seed)
    days = rng.randint(7, 28)
    ratio = rng.choice((1.0, 1.1, 1.3))
    span = generated(seed, jobs=rng.randint(1, 40), days=days, away=rng.randint(0, 3),
                     litres_ratio=ratio)  # fmt: skip
    if rng.random() < 0.5:
        span = with_setups(span, seed, kinds=rng.randint(1, 8), cost=rng.randint(0, 12))
    if rng.random() < 0.5:
        mean = sum(task.size for task in span.tasks) // days + 1
        span = with_limits(span, int(mean * rng.uniform(0, 1.2)), int(mean * rng.uniform(0.5, 2)))
    return span


def accounted(span: Span, placed: Placement) -> None:
    """Each task lies on a day of its own, is left with a word, or fell off the end of its chain."""
    left = {one.id for one in placed.left}
    by_id = {task.id: task for task in span.tasks}
    for task in span.tasks:
        if task.id in left:
            assert task.id not in placed.days
        elif task.id in placed.days:
            day = placed.days[task.id]
            assert day in task.days or day == task.pinned
            assert day <= task.closes or placed.late.get(task.id, 0) >= day - task.closes
            if task.after in placed.days and by_id[task.after].id not in left:
                gap = day - placed.days[task.after]
                assert gap >= task.min_gap
                assert gap <= task.max_gap + placed.late.get(task.id, 0) + task.catch_up
        else:
            assert task.after


@settings(max_examples=SPANS, deadline=None)
@given(seeds)
def test_every_task_is_in_time_or_accounted_for_and_sums_are_right(seed: int) -> None:
    span = room(seed)
    placed = level(span)
    accounted(span, placed)
    if len(placed.days) == len(span.tasks) and not placed.late:
        assert in_time(span, placed.days)
    assert list(placed.loads) == loads(span, placed.days)
    found = measured(span, placed.days)
    assert found[0] == 0
    assert found[1:] == (
        sum(placed.supply_over.values()), placed.over, placed.worst, placed.busiest
    )  # fmt: skip


@settings(max_examples=SPANS, deadline=None)
@given(seeds)
def test_nothing_is_below_a_bound(seed: int) -> None:
    span = room(seed)
    placed = level(span)
    bounds = placed.bounds
    if not placed.put_late:
        assert placed.over >= bounds.over
        assert placed.worst >= bounds.worst
        assert placed.busiest >= bounds.busiest
        assert all(placed.supply_over[name] >= least for name, least in bounds.supplies.items())


@settings(max_examples=max(4, SPANS // 2), deadline=None)
@given(seeds, seeds)
def test_the_order_in_which_tasks_come_changes_nothing(seed: int, shuffle: int) -> None:
    span = room(seed)
    tasks = list(span.tasks)
    random.Random(shuffle).shuffle(tasks)
    placed = level(span)
    assert level(replace(span, tasks=tuple(tasks))) == placed
    assert level(span) == placed


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_pairs_and_chains_of_small_spans_are_never_broken(seed: int) -> None:
    span = small(seed)
    placed = level(span)
    accounted(span, placed)
    assert clashes(span, placed.days) == 0


@settings(max_examples=SPANS, deadline=None)
@given(seeds, st.data())
def test_a_pinned_task_stays_on_its_day_whatever_it_costs(seed: int, data: st.DataObject) -> None:
    span = small(seed)
    free = [task for task in span.tasks if not task.after]
    chosen = data.draw(st.sampled_from(free))
    day = data.draw(st.integers(0, span.n_days - 1))
    tasks = tuple(
        replace(task, days=(day,), closes=max(task.closes, day), pinned=day)
        if task is chosen
        else task
        for task in span.tasks
    )
    placed = level(replace(span, tasks=tasks, clashes=()))
    assert placed.days[chosen.id] == day


@settings(max_examples=SPANS, deadline=None)
@given(seeds)
def test_an_earlier_plan_that_still_does_stands_as_it_is(seed: int) -> None:
    span = room(seed)
    first = level(span)
    again = level(span, first.days)
    good = (
        first.busiest <= first.bounds.busiest * 1.01
        and (first.over, first.worst) == (first.bounds.over, first.bounds.worst)
        and first.supply_over == first.bounds.supplies
        and not (first.put_late or first.left)
    )
    if good:
        assert again.days == first.days


@settings(max_examples=100, deadline=None)
@given(seeds)
def test_a_chain_by_itself_is_laid_as_near_its_usual_days_as_can_be(seed: int) -> None:
    for chain in chains_of(small(seed)).chains:
        for ranged in chain:
            assert ranged.day in ranged.days
            assert list(ranged.days) == sorted(set(ranged.days))
        for before, ranged in pairwise(chain):
            assert ranged.lo[before.day] <= ranged.day <= ranged.hi[before.day]
