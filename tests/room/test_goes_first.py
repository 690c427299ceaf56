"""Which of two jobs goes first: the walk, and a plan that never offers what the walk refuses."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from roomtasks.room.job import Between
from roomtasks.room.occurrence import State
from roomtasks.room.room import Room
from tests.room.scene import dues, job, mark, morning, room
from tests.room.weeks_lived import MONDAY, planned

NEVER = Between(code="never", first="kind filter", relation="not-same-day", second="kind vac")
APART = Between(code="two", first="kind filter", relation="apart", second="kind filter", days=7)


def test_what_is_held_itself_does_not_go_first() -> None:
    """The second sponge is held all week by the first: the vac need not wait for it."""
    made = room(
        change_day="none", between=(NEVER, APART),
        jobs=(
            job("sponge", "every 28 days", kind="filter", where="filters on tank D3",
                window="-4/+9", starts=MONDAY),
            job("vac", "every 7 days", kind="vac", window="-0/+2", starts=MONDAY + timedelta(2)),
        ),
    )  # fmt: skip
    marks = (mark("sponge", "D3-1", "2027-03-01", "2027-03-01"),)
    found = dues(made, marks, morning("2027-03-03"))
    assert found["sponge@D3-2"].state is State.HELD
    assert found["vac@D3"].state is State.DUE
    assert not any("goes first" in block.reason for block in found["vac@D3"].blocks
                   if block.first == date(2027, 3, 3))  # fmt: skip


def test_a_third_keeps_clear_of_a_second_that_was_moved_on() -> None:
    """Of three sponges a week apart each, none stands within a week of another."""
    three = tuple(
        job(f"s{n}", "every 60 days", kind="filter", where=f"filter D3-{1 + n % 2}",
            window="-0/+30", starts=MONDAY + timedelta(days=2 * n))
        for n in range(4)
    )  # fmt: skip
    found = dues(room(change_day="none", between=(APART,), jobs=three), (), morning("2027-03-01"))
    days = sorted(due.placed for due in found.values())
    assert all((b - a).days >= 7 for a, b in pairwise(days))


def two(lead: dict[str, Any], second: dict[str, Any], rule: Between) -> Room:
    jobs = (job("lead", **{"rule": "every 7 days", "window": "-1/+3", **lead}),
            job("behind", **{"rule": "every 7 days", "window": "-1/+3", **second}))  # fmt: skip
    return room(change_day="none", jobs=jobs, between=(rule,))


BEFORE = Between(code="b", first="job lead", relation="before", second="job behind")


def test_every_second_is_planned_behind_its_first() -> None:
    """Not only the two that are open now: each turn of the two."""
    made = two({"starts": MONDAY + timedelta(days=1), "minutes": 50.0},
               {"starts": MONDAY + timedelta(days=2), "minutes": 50.0}, BEFORE)  # fmt: skip
    full = job("full", "every 7 days", starts=MONDAY + timedelta(days=1), window="-0/+0",
               minutes=60.0)  # fmt: skip
    plan = planned(replace(made, jobs=(*made.jobs, full)))
    leads = [one.day for one in plan.jobs if one.job == "lead"]
    behind = [one.day for one in plan.jobs if one.job == "behind"]
    assert len(leads) == len(behind) == 4
    assert all(a <= b for a, b in zip(leads, behind, strict=True))
    assert not any(one.waits for one in plan.jobs)


def test_what_the_walk_holds_today_is_told_as_waiting() -> None:
    made = two({"starts": MONDAY}, {"starts": MONDAY}, BEFORE)
    plan = planned(made, pins={"lead@D3": MONDAY + timedelta(days=2), "behind@D3": MONDAY})
    found = next(one for one in plan.days[0].jobs if one.job == "behind")
    assert found.waits == "lead at D3, planned for Wed 3 Mar"
    assert found.why.endswith("; waits for lead at D3, planned for Wed 3 Mar.")


def test_one_that_is_kept_before_its_first_is_told_as_waiting_on_a_later_day() -> None:
    made = two({"starts": MONDAY + timedelta(days=2)}, {"starts": MONDAY + timedelta(days=3)},
               BEFORE)  # fmt: skip
    pins = {"lead@D3": MONDAY + timedelta(days=5), "behind@D3": MONDAY + timedelta(days=3)}
    plan = planned(made, pins=pins)
    found = next(one for one in plan.jobs if one.job == "behind")
    assert found.waits == "lead at D3, planned for Sat 6 Mar"


def test_of_two_that_must_be_apart_the_held_one_is_told_as_waiting() -> None:
    made = room(
        change_day="none", between=(APART,),
        jobs=(job("sponge", "every 28 days", kind="filter", where="filters on tank D3",
                  window="-4/+9", starts=MONDAY),),
    )  # fmt: skip
    pins = {"sponge@D3-1": MONDAY + timedelta(days=7), "sponge@D3-2": MONDAY}
    plan = planned(made, pins=pins)
    kept = [one for one in plan.days[0].jobs if one.target == "D3-2"]
    assert all(one.waits == "sponge at D3-1" for one in kept)
    assert kept or any(note.rule in ("pin", "days-apart") for note in plan.cannot)


def test_where_nothing_stands_between_nothing_waits() -> None:
    plan = planned(two({"starts": MONDAY}, {"starts": MONDAY}, BEFORE))
    assert plan.jobs[0].job == "lead"
    assert not any(one.waits for one in plan.jobs)
