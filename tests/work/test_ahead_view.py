"""The weeks from one look at the store: marking a job leaves the days of the morning standing."""

from pathlib import Path

from roomtasks.room.ahead_plan import Ahead
from roomtasks.room.due import all_due
from roomtasks.room.problem import Problem
from roomtasks.work.ahead_view import AheadScene, planned, scene
from roomtasks.work.marking import How
from roomtasks.work.marking import mark as marked
from tests.room.scene import at, mark
from tests.room.weeks_lived import a_room, pasts_of
from tests.rooms import at as instant
from tests.rooms import small_room, store_with

NOW = at("2027-03-01T08:00")


def seen_after(seed: int, *names: str) -> tuple[AheadScene, AheadScene]:
    """A generated room in the morning, and once these jobs are done."""
    room = a_room(seed, jobs=24)
    dues = all_due(room, {}, NOW)
    before = AheadScene(room=room, now=NOW, dues=dues, pasts={}, times={})
    slots = {due.id: due for due in dues}
    marks = [
        mark(slots[name].job.code, slots[name].target, str(slots[name].slot.day), "2027-03-01")
        for name in names
    ]  # fmt: skip
    pasts = pasts_of(marks)
    after = AheadScene(room=room, now=NOW, dues=all_due(room, pasts, NOW), pasts=pasts, times={},
                       morning={})  # fmt: skip
    return before, after


def plan_of(seen: AheadScene) -> Ahead:
    found = planned(seen, 28)
    assert not isinstance(found, Problem)
    return found


def test_marking_a_job_moves_few_others_though_no_plan_was_kept() -> None:
    """Over six generated rooms no more than one in twenty."""
    moved = counted = 0
    for seed in range(6):
        plan = plan_of(seen_after(seed)[0])
        done_one = plan.days[0].jobs[0].id
        after = plan_of(seen_after(seed, done_one)[1])
        here = {(job.id, job.n): job.day for job in after.jobs}
        for job in plan.jobs:
            if job.id != done_one and job.opens != job.closes:
                counted += 1
                moved += here.get((job.id, job.n)) != job.day
    assert counted > 200
    assert moved <= counted / 20


def test_the_morning_is_what_was_known_before_the_marks_of_today(tmp_path: Path) -> None:
    store = store_with(tmp_path, small_room())
    now = instant("2027-03-06 08:00")
    first = scene(store, now)
    assert not isinstance(first, Problem)
    assert first.morning is None
    name = next(due.id for due in first.dues if due.on_walk)
    assert not isinstance(marked(store, now, [name], "done", How()), Problem)
    later = scene(store, now)
    store.close()
    assert not isinstance(later, Problem)
    assert later.pasts != first.pasts
    assert later.morning == first.pasts
