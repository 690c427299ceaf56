"""Big filter jobs before days away: the plan keeps them off the last three, and the note agrees."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from roomtasks.room.ahead_spared import big_filter_job, last_days_before
from roomtasks.room.away_plan import AwayPlan, away_plan
from roomtasks.room.due import all_due
from roomtasks.room.job import Job
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from tests.room.scene import at, job, mark, room
from tests.room.weeks_lived import MONDAY, pasts_of, planned

NOW = at("2027-03-01T08:00")
RULE = "filter-before-away"


def sponge(rule: str = "every 28 days", window: str = "-4/+4", **facts: Any) -> Job:
    base: dict[str, Any] = {"kind": "filter", "where": "filter D3-1", "minutes": 3.0}
    return job("sponge", rule, window=window, **{**base, **facts})


def a_room(*jobs: Job) -> Room:
    return room(change_day="none", jobs=jobs)


def away(made: Room, first: date, days: int = 7) -> AwayPlan:
    dues = list(all_due(made, pasts_of(()), NOW))
    found = away_plan(made, dues, pasts_of(()), NOW, first, first + timedelta(days=days - 1))
    assert not isinstance(found, Problem)
    return found


def in_last_days(plan: AwayPlan) -> set[str]:
    days = last_days_before(plan.first)
    return {one.id for one in plan.ahead.jobs if one.day in days and one.kind == "filter"}


@pytest.mark.parametrize("due", range(8, 20))
def test_the_plan_and_the_note_agree_whenever_it_falls_due(due: int) -> None:
    first = MONDAY + timedelta(days=14)
    plan = away(a_room(sponge(starts=MONDAY + timedelta(days=due))), first)
    near = in_last_days(plan)
    assert bool(near) == any(note.rule == RULE for note in plan.notes)
    decide = {moved.job.id for moved in plan.no_place if "last three days" in moved.why}
    assert decide == near
    before = {moved.job.id for moved in plan.before}
    assert not before & near


def test_one_due_before_the_days_away_is_done_before_the_last_three() -> None:
    first = MONDAY + timedelta(days=14)
    for due in (9, 11, 12, 13):
        plan = away(a_room(sponge(starts=MONDAY + timedelta(days=due))), first)
        (one, *_) = plan.ahead.jobs
        assert one.day < first - timedelta(days=3)
        assert not one.late_days


def test_one_with_no_other_day_is_to_be_decided_with_both_ways_out() -> None:
    plan = away(a_room(sponge(window="-2/+2", starts=MONDAY + timedelta(days=13))),
                MONDAY + timedelta(days=14))  # fmt: skip
    (moved,) = plan.no_place
    assert moved.why.startswith("it has no better day than")
    assert "before you go, or do it when back" in moved.why


def test_floss_and_the_like_are_no_big_job() -> None:
    floss = sponge("every 4 days", "-1/+1", kind="media", starts=MONDAY)
    assert not big_filter_job(floss)
    assert big_filter_job(sponge("calendar FREQ=WEEKLY;BYDAY=MO"))
    assert not big_filter_job(sponge(kind="wipe"))
    plan = away(a_room(floss), MONDAY + timedelta(days=14))
    assert not [note for note in plan.notes if note.rule == RULE]


def test_the_weeks_keep_off_the_last_days_before_days_that_are_entered() -> None:
    first = MONDAY + timedelta(days=14)
    made = a_room(sponge(starts=MONDAY + timedelta(days=12)))
    at_home, gone = planned(made), planned(replace(made, away=(Away(first=first, last=first),)))
    assert at_home.jobs[0].day == MONDAY + timedelta(days=12)
    assert gone.jobs[0].day == MONDAY + timedelta(days=10)


def test_a_day_the_keeper_keeps_is_kept_and_told() -> None:
    first = MONDAY + timedelta(days=14)
    made = replace(a_room(sponge(starts=MONDAY + timedelta(days=12))),
                   away=(Away(first=first, last=first),))  # fmt: skip
    dues = list(all_due(made, pasts_of(()), NOW))
    kept = MONDAY + timedelta(days=12)
    plan = plan_ahead(made, dues, pasts_of(()), NOW, 28, {"sponge@D3-1": kept})
    assert not isinstance(plan, Problem)
    assert plan.jobs[0].day == kept
    assert plan.jobs[0].pinned


def test_one_that_is_late_already_is_not_hurried_into_the_last_days() -> None:
    made = a_room(sponge())
    marks = (mark("sponge", "D3-1", "2027-01-20", "2027-01-20"),)
    plan = planned(replace(made, away=(Away(first=date(2027, 3, 6), last=date(2027, 3, 7)),)),
                   marks)  # fmt: skip
    assert plan.jobs[0].day not in last_days_before(date(2027, 3, 6))


def test_no_change_is_advised_on_a_day_gone_by() -> None:
    made = a_room(sponge(starts=MONDAY + timedelta(days=20)))
    for days, words in ((1, ["on the morning of Mon 1 Mar"]),
                        (2, ["on Mon 1 Mar or on the morning of Tue 2 Mar"]), (0, [])):  # fmt: skip
        notes = [note.text for note in away(made, MONDAY + timedelta(days=days)).notes]
        found = [text for text in notes if text.startswith("the full change")]
        assert found == [f"the full change {text}, not the last evening: somebody must see the leak"
                         for text in words]  # fmt: skip
