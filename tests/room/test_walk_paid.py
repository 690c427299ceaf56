"""What a set-up cost was asked for again after each mark: it is paid once a day."""

from collections.abc import Sequence
from datetime import date

import pytest

from roomtasks.room.due import all_due
from roomtasks.room.fit import fit
from roomtasks.room.journal import Mark
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.room import Room
from roomtasks.room.stock import Condition, Stay
from roomtasks.room.walk import Walk, paid_on, walk
from tests.room.scene import job, mark, morning, room, tank
from tests.room.weeks_lived import pasts_of

TODAY = "2027-03-13"
NOW = morning(TODAY)


def three_classes() -> Room:
    """A, B: clean, B on high shelves; C: under watch; Q1 in quarantine. Two kinds at each."""
    there = room(
        tanks=(tank("A1"), tank("B1"), tank("B2"), tank("C1"), tank("Q1", role="quarantine")),
        conditions=(Condition(tank="C1", since=NOW.date(), state="watch"),),
        stays=(Stay(code="q1", tank="Q1", since=date(2027, 3, 9)),),
        jobs=(
            job("wipe", "every 7 days", kind="wipe", where="all tanks", starts=NOW.date(),
                setup_minutes=5.0, minutes=4.0, window="-0/+3"),
            job("test", "every 7 days", kind="test", where="all tanks", starts=NOW.date(),
                setup_minutes=3.0, minutes=2.0, window="-0/+3"),
        ),
        racks=tuple(Rack(code=code, path=n) for n, code in enumerate("ABCQ")),
        shelves=tuple(
            Shelf(rack=code, shelf=1, places=9, reach="steps" if code == "B" else "standing")
            for code in "ABCQ"
        ),
    )  # fmt: skip
    assert there.setup.hands_minutes
    assert there.setup.steps_minutes
    return there


def left(there: Room, marks: Sequence[Mark]) -> Walk:
    pasts = pasts_of(marks)
    return walk(there, all_due(there, pasts, NOW), {}, 60.0, pasts)


def test_marked_in_walking_order_each_mark_takes_away_just_what_its_stop_cost() -> None:
    there = three_classes()
    marks: list[Mark] = []
    now = left(there, marks)
    assert now.minutes == pytest.approx(5 + 3 + 5 * 6 + 2 * 2 + 2)
    while now.stops:
        stop = now.stops[0]
        marks.append(mark(stop.due.job.code, stop.due.target, TODAY, TODAY))
        after = left(there, marks)
        assert after.minutes == pytest.approx(now.minutes - stop.total_minutes)
        now = after
    assert len(marks) == 10


@pytest.mark.parametrize("first", ["wipe", "test"])
@pytest.mark.parametrize("target", ["A1", "B1", "C1", "Q1"])
def test_in_whatever_order_what_is_done_and_what_is_left_are_the_whole(
    first: str, target: str
) -> None:
    there = three_classes()
    whole = left(there, [])
    after = left(there, [mark(first, target, TODAY, TODAY)])
    alone = next(stop for stop in whole.stops if stop.due.id == f"{first}@{target}")
    steps = 2.0 if target == "B1" else 0.0
    setup = 5.0 if first == "wipe" else 3.0
    assert after.minutes == pytest.approx(whole.minutes - alone.minutes - steps - setup)


def test_a_part_done_has_paid_the_set_up_and_yesterday_has_not() -> None:
    there = three_classes()
    part = mark("wipe", "A1", TODAY, TODAY, "partly", fraction=0.5)
    before = left(there, [])
    assert before.minutes - left(there, [part]).minutes == pytest.approx(5 + 2)
    earlier = mark("wipe", "A1", "2027-03-06", "2027-03-12")
    assert left(there, [earlier]).minutes == pytest.approx(before.minutes - 4)
    for outcome in ("put-off", "left-out", "blocked"):
        other = mark("wipe", "A1", TODAY, TODAY, outcome, until=date(2027, 3, 14))
        assert paid_on(there, pasts_of([other]), NOW.date()) == frozenset()


def test_hands_are_washed_again_on_the_way_from_what_was_done_to_another_class() -> None:
    """The first class that was left had cost nothing, though hands came from another."""
    there = three_classes()
    clean = [
        mark(code, target, TODAY, TODAY)
        for code in ("wipe", "test")
        for target in ("A1", "B1", "B2")
    ]
    assert [stop.way_minutes for stop in left(there, clean).stops] == [2, 0, 2, 0]


def test_work_done_at_a_place_that_is_gone_pays_nothing_but_its_set_up() -> None:
    there = three_classes()
    gone = mark("wipe", "X9", TODAY, TODAY)
    unknown = mark("no-such-job", "A1", TODAY, TODAY)
    assert paid_on(there, pasts_of([gone, unknown]), NOW.date()) == {("kind", "wipe")}


def test_a_short_walk_does_not_pay_again_and_takes_one_more_job() -> None:
    there = three_classes()
    done = mark("test", "A1", TODAY, TODAY)
    fresh, after = left(there, []), left(there, [done])
    assert len(fit(there, fresh, 10.0).walk.stops) == 2
    fitted = fit(there, after, 10.0)
    assert [stop.due.id for stop in fitted.walk.stops] == ["test@B1", "test@B2", "test@C1"]
    assert fitted.walk.minutes == pytest.approx(2 + 2 + 2 + 2 + 2)
    assert fit(there, fitted.walk, 10.0).walk == fitted.walk


def test_a_set_up_is_only_again_where_today_has_paid_for_it() -> None:
    there = three_classes()
    costs = [each.cost for each in fit(there, left(there, []), 0.0).left]
    assert len(costs) == 10
    assert not any("set-up again" in cost for cost in costs)
    after = left(there, [mark("wipe", "A1", TODAY, TODAY)])
    costs = [each.cost for each in fit(there, after, 0.0).left]
    assert [cost for cost in costs if "set-up again" in cost] == [
        "3 days of window left, 5 min of set-up again"
    ]
