"""The links of a chain of moves go in their order, and not too many of them on one day."""

from datetime import date
from itertools import pairwise

import pytest

from roomtasks.room.job import Between
from roomtasks.room.occurrence import State
from roomtasks.room.planned_move import PlannedMove, links_in_order
from roomtasks.room.room import Room
from tests.room.scene import dues, job, mark, morning, room
from tests.room.weeks_lived import planned

TANKS = ("D1", "D2", "D3", "D4", "D5")


def link(n: int, state: str = "planned", day: date = date(2027, 3, 6)) -> PlannedMove:
    return PlannedMove(chain="c", n=n, group=f"g{n}", count=1, from_tank=TANKS[-n],
                       to_tank=TANKS[-n - 1], day=day, state=state)  # fmt: skip


def test_each_waits_for_the_one_before_and_three_a_day_are_no_more() -> None:
    found = links_in_order([link(n) for n in (4, 2, 1, 3)], a_day=3)
    said = {(rule.first, rule.relation, rule.second) for rule in found}
    assert said == {
        ("job c-1", "before", "job c-2"), ("job c-2", "before", "job c-3"),
        ("job c-3", "before", "job c-4"), ("job c-1", "not-same-day", "job c-4"),
    }  # fmt: skip
    assert all(isinstance(rule, Between) and rule.scope == "room" for rule in found)
    assert links_in_order([link(1, "done"), link(2)], a_day=3) == ()


def with_chain(a_day: int = 50, window: str = "-0/+3") -> Room:
    """Four links, spread over days as a chain is planned: so many a day."""
    days = {n: date(2027, 3, 6 + (n - 1) // a_day) for n in (1, 2, 3, 4)}
    made = room(
        planned_moves=tuple(link(n, day=days[n]) for n in days),
        jobs=tuple(
            job(f"c-{n}", f"once {days[n]}", kind="move", where=f"tank {TANKS[-n]}",
                window=window, minutes=10.0)
            for n in (1, 2, 3, 4)
        ),
    )  # fmt: skip
    object.__setattr__(made.setup, "net_jobs_a_day", a_day)
    return made


def test_on_one_day_the_plan_has_them_in_order_against_the_path() -> None:
    plan = planned(with_chain(window="-0/+0"), now="2027-03-06T08:00")
    (day,) = (each for each in plan.days if each.jobs)
    assert [one.job for one in day.jobs] == ["c-1", "c-2", "c-3", "c-4"]


@pytest.mark.parametrize("a_day", [1, 2, 3])
def test_the_plan_has_no_more_of_them_on_a_day_than_there_may_be(a_day: int) -> None:
    plan = planned(with_chain(a_day), now="2027-03-06T08:00")
    days = {one.job: one.day for one in plan.jobs}
    assert len(days) == 4
    assert all(days[f"c-{n}"] <= days[f"c-{n + 1}"] for n in (1, 2, 3))
    per_day = [list(days.values()).count(day) for day in set(days.values())]
    assert max(per_day) <= a_day
    assert all(a <= b for a, b in pairwise(days[f"c-{n}"] for n in (1, 2, 3, 4)))


def test_a_link_waits_on_the_walk_until_the_one_before_is_done() -> None:
    made = with_chain()
    now = morning("2027-03-06")
    assert dues(made, (), now)["c-2@D4"].waits_for
    done = mark("c-1", "D5", "2027-03-06", "2027-03-06")
    after = dues(made, (done,), now)["c-2@D4"]
    assert not after.waits_for
    assert after.state is State.DUE
