"""Back from days away: what must hold of the return, whatever was done before and meanwhile."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from math import prod
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.ahead_nitrate import NitrateScene
from roomtasks.room.away_back import Back, BackScene, back, kept_days, span_back
from roomtasks.room.away_catch_up import part_code
from roomtasks.room.due import all_due
from roomtasks.room.job import Job
from roomtasks.room.journal import Mark
from roomtasks.room.past import fold
from roomtasks.room.problem import Problem
from roomtasks.room.readings import NO_READINGS
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.water import catch_up_for_gap
from tests.rooms import ZONE, small_room

FIRST = date(2027, 3, 8)


def gone(days: int, ticked: frozenset[int], after: int = 0, **facts: Any) -> BackScene:
    """The small room `after` days after so many away; a look at B1 was ticked on some of them."""
    sheets = {name: tuple(rows) for name, rows in small_room().items()}
    setup = sheets.pop("setup")[0]
    last = FIRST + timedelta(days=days - 1)
    away = (Away(first=FIRST, last=last, stand_in="tb"),)
    room = Room(setup, **{**sheets, "away": away, **facts})
    today = last + timedelta(days=1 + after)
    now = datetime.combine(today, time(8)).replace(tzinfo=ZONE)
    marks = [_mark(n + 1, FIRST + timedelta(days=n)) for n in sorted(ticked) if n < days]
    pasts = {("look", "B1"): fold(marks)} if marks else {}
    return BackScene(
        water=NitrateScene(room=room, now=now, readings=NO_READINGS),
        dues=all_due(room, pasts, now), pasts=pasts, marks=tuple(marks),
    )  # fmt: skip


def _mark(number: int, day: date) -> Mark:
    at = datetime.combine(day, time(9)).replace(tzinfo=ZONE)
    return Mark(id=number, job="look", target="B1", slot=day, outcome="done", day=day, at=at,
                who="Tom")  # fmt: skip


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 30), st.frozensets(st.integers(0, 29), max_size=12), st.integers(0, 6))
def test_whatever_was_missed_has_a_day_and_every_day_away_is_ticked_or_missed(
    days: int, ticked: frozenset[int], after: int
) -> None:
    scene = gone(days, ticked, after)
    found = back(scene)
    assert isinstance(found, Back)
    open_now = {one.id for one in found.missed if not one.lapsed}
    assert open_now == {job.id for job in found.late} | {one.id for one in found.later}
    assert all(job.day >= scene.today for job in found.late)
    kept = kept_days(found, scene.today)
    assert all(day > scene.today for day in kept.values())
    assert kept.keys() <= open_now
    looks = {one.fell_due for one in found.missed if one.id == "look@B1"}
    done = {mark.day for mark in found.ticked}
    assert looks.isdisjoint(done)
    assert looks | done == {FIRST + timedelta(days=n) for n in range(days)}


@settings(max_examples=20, deadline=None)
@given(st.integers(8, 45), st.sampled_from([0.05, 0.1, 0.2, 0.3, 0.4]),
       st.sampled_from([0.15, 0.25, 0.4, 1.0]))  # fmt: skip
def test_a_change_is_made_up_for_in_equal_parts_on_days_of_their_own(
    days: int, fraction: float, limit: float
) -> None:
    """What is left after all parts is what one change of r f / (1 + (r - 1) f) would leave."""
    jobs = tuple(
        replace(job, fraction=fraction) if job.code == "change-alone" else job
        for job in small_room()["jobs"]
    )
    tanks = tuple(replace(tank, largest_change=limit) for tank in small_room()["tanks"])
    scene = gone(days, frozenset(), jobs=jobs, tanks=tanks)
    found = back(scene)
    assert isinstance(found, Back)
    mine = [one for one in found.changes if one.due.id == "change-alone@B1"]
    for one in mine:
        if one.fraction > fraction:
            assert one.fraction <= limit + 1e-9
            wanted = catch_up_for_gap(one.missed + 1.0, fraction)
            assert abs(prod([1 - one.fraction] * one.changes) - (1 - wanted)) < 1e-9
        first = [job.day for job in found.late if job.id == one.due.id]
        own = [job.day for job in found.of_parts if job.target == "B1"]
        assert all(later > sooner for sooner, later in pairwise([*first, *sorted(own)]))
        assert len(own) <= one.changes - 1


def test_a_part_has_a_code_of_its_own_that_is_a_code_and_stays_the_same() -> None:
    due = gone(20, frozenset()).dues
    one = next(one for one in due if one.id == "change-alone@B1")
    long = replace(one, job=Job(code="c" * 32, name="x", kind="change", where="room", rule="x"),
                   target="t" * 32)  # fmt: skip
    assert part_code(one, 2) == "change-alone.B1.p2"
    assert part_code(long, 2) == part_code(long, 2)
    assert len(part_code(long, 2)) <= 32
    assert part_code(long, 2) != part_code(replace(long, target="t" * 31 + "u"), 2)
    assert part_code(one, 2) != part_code(one, 3)


def test_the_newest_span_that_has_begun_is_the_one_come_back_from() -> None:
    room = gone(5, frozenset()).room
    spans = (Away(first=date(2027, 2, 1), last=date(2027, 2, 3)), *room.away,
             Away(first=date(2027, 8, 2), last=date(2027, 8, 9)))  # fmt: skip
    found = span_back(replace(room, away=spans), date(2027, 3, 14))
    assert isinstance(found, Away)
    assert found.first == FIRST
    for day, rule in ((date(2027, 3, 10), "still-away"), (date(2027, 6, 1), "not-away")):
        refused = span_back(replace(room, away=spans), day)
        assert isinstance(refused, Problem)
        assert refused.rule == rule


def test_the_same_return_gives_the_same_plan() -> None:
    assert back(gone(20, frozenset({3}))) == back(gone(20, frozenset({3})))
