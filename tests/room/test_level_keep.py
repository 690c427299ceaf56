"""An earlier plan stands, is repaired by few moves, and gives way to a much better one."""

from dataclasses import replace

import pytest

from roomtasks.room.level import level
from roomtasks.room.level_chain import chains_of, nearest
from roomtasks.room.level_keep import worth_it
from roomtasks.room.level_score import Score
from roomtasks.room.level_task import Span, Task
from tests.room.level_measure import in_time, measured
from tests.room.level_rooms import generated, with_limits


def tight(seed: int) -> Span:
    """A room of forty jobs with fewer minutes than it needs."""
    span = generated(seed, jobs=40, days=14, away=1, litres_ratio=1.3)
    mean = sum(task.size for task in span.tasks) // 13
    return with_limits(span, int(mean * 0.8), int(mean * 1.1))


@pytest.mark.parametrize("seed", range(2, 4))
def test_a_plan_given_back_moves_next_to_nothing(seed: int) -> None:
    span = tight(seed)
    first = level(span)
    assert first.over > 0
    again = level(span, first.days)
    moved = sum(again.days[name] != day for name, day in first.days.items())
    assert moved <= len(first.days) / 50


@pytest.mark.parametrize("seed", range(2, 4))
def test_one_task_kept_on_its_day_moves_few_others(seed: int) -> None:
    span = tight(seed)
    first = level(span)
    done = next(task for task in span.tasks if len(task.days) > 1 and not task.after)
    day = first.days[done.id]
    tasks = tuple(
        replace(task, days=(day,), closes=day, pinned=day) if task is done else task
        for task in span.tasks
    )
    again = level(replace(span, tasks=tasks), first.days)
    assert sum(again.days[name] != was for name, was in first.days.items()) <= len(tasks) / 50


def test_usual_days_given_as_a_plan_are_levelled_all_the_same() -> None:
    span = generated(1)
    placed = level(span, {task.id: task.usual for task in span.tasks})
    assert in_time(span, placed.days)
    assert measured(span, placed.days) == (0, 0, 0, 0, placed.busiest)
    assert placed.busiest <= 1.02 * placed.bounds.busiest  # as given 1.26


def test_days_that_do_not_do_any_more_are_mended_chain_by_chain() -> None:
    here = tuple(range(14))
    chain = (
        Task(id="c0", size=5, days=here, usual=1),
        Task(id="c1", size=5, days=(6, 7, 9), usual=7, after="c0", min_gap=5, max_gap=8),
    )
    other = Task(id="other", size=5, days=here, usual=4)
    span = Span(tasks=(*chain, other), limits=(60,) * 14)
    placed = level(span, {"c0": 2, "c1": 8, "other": 11})
    assert placed.days == {"c0": 2, "c1": 7, "other": 11}


def test_a_chain_is_laid_nearest_the_wanted_days_with_as_many_as_can_be_unmoved() -> None:
    tasks = tuple(
        Task(id=f"c{n}", size=5, days=tuple(range(28)), usual=7 * n,
             after=f"c{n - 1}" if n else "", min_gap=6, max_gap=8)
        for n in range(3)
    )  # fmt: skip
    chain = chains_of(Span(tasks=tasks, limits=(60,) * 28)).chains[0]
    assert nearest(chain, {"c0": 1, "c1": 8, "c2": 15}) == [1, 8, 15]
    assert nearest(chain, {"c0": 1, "c1": 12, "c2": 15}) == [1, 9, 15]
    assert nearest(chain, {}) == [0, 7, 14]


@pytest.mark.parametrize(
    ("found", "worth"),
    [
        (Score(0, 0, 1000, 60, 200), False),
        (Score(0, 0, 991, 60, 200), False),  # less than one part in 100 of what is over
        (Score(0, 0, 989, 60, 200), True),
        (Score(0, 0, 1011, 60, 100), False),
        (Score(0, 0, 1000, 57, 200), True),
        (Score(0, 0, 1000, 60, 198), False),
        (Score(0, 0, 1000, 60, 197), True),
        (Score(1, 0, 0, 0, 0), False),
    ],
)
def test_what_days_may_change_for(found: Score, worth: bool) -> None:
    assert worth_it(found, Score(0, 0, 1000, 60, 200), 2) == worth


def test_a_clash_and_a_litre_count_in_full() -> None:
    than = Score(1, 5, 0, 0, 100)
    assert worth_it(Score(0, 9, 50, 50, 150), than, 1)
    assert worth_it(Score(1, 4, 50, 50, 150), than, 1)
