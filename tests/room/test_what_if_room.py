"""Tanks and reservoirs more: what the changed room holds, and what the plan makes of it."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.ahead_hands import help_fault
from roomtasks.room.ahead_nitrate import NitrateScene, peaks
from roomtasks.room.ahead_plan import Ahead, WhatIfAhead
from roomtasks.room.ahead_replay import Replay, replay
from roomtasks.room.due import all_due
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.past import Past
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.targets import targets
from roomtasks.room.what_if_room import MOST_TANKS, WhatIfRoom, what_if_room, what_if_room_fault
from tests.rooms import at, small_room

NOW = at("2027-03-06 07:30")
DONE = Past(
    *(Mark(id=1, job="change-alone", target="B1", slot=date(2027, 2, 27), outcome="done",
           day=date(2027, 2, 27), at=at("2027-02-27 09:00")),) * 2
)  # fmt: skip
PASTS = {("change-alone", "B1"): DONE}


def room(**facts: Any) -> Room:
    sheets = {name: tuple(rows) for name, rows in small_room().items()}
    setup = sheets.pop("setup")[0]
    return Room(setup, **{**sheets, **facts})


def changed(what_if: WhatIfAhead, of: Room | None = None, times: Any = None) -> WhatIfRoom:
    found = what_if_room(of or room(), PASTS, times or {}, what_if)
    assert isinstance(found, WhatIfRoom)
    return found


def plan(what_if: WhatIfAhead, days: int = 14, of: Room | None = None) -> Ahead:
    before = of or room()
    found = plan_ahead(before, all_due(before, PASTS, NOW), PASTS, NOW, days, what_if=what_if)
    assert isinstance(found, Ahead)
    return found


def both(what_if: WhatIfAhead, scene: NitrateScene, days: int = 14) -> Replay:
    dues = all_due(scene.room, PASTS, NOW)
    found = replay(scene, dues, PASTS, days, what_if)
    assert isinstance(found, Replay)
    return found


# --- the room ----------------------------------------------------------------------------


def test_a_tank_more_has_the_sizes_filters_fish_and_jobs_of_the_one_it_is_like() -> None:
    found = changed(WhatIfAhead(more=(("B1", 2.0),)))
    there = found.room
    assert [tank.code for tank in there.tanks if found.like.get(tank.code) == "B1"] == [
        "B1.2", "B1.3",
    ]  # fmt: skip
    assert there.tank_litres("B1.2") == there.tank_litres("B1")
    assert there.heads_in("B1.3") == there.heads_in("B1") == 6
    assert [item.code for item in there.filters if item.tank == "B1.2"] == ["B1.2-1", "B1.2-2"]
    assert {"B1.2-1", "B1.3-1"} <= set(targets(there, there.job["squeeze-1"], NOW))
    assert "B1.2" in targets(there, there.job["change-alone"], NOW)
    place = there.tank["B1.3"]
    assert (place.rack, place.shelf) == ("B", 1)
    assert place.place > there.tank["B1.2"].place > there.tank["B3"].place


def test_a_tank_more_begins_where_the_one_it_is_like_stands() -> None:
    found = changed(WhatIfAhead(more=(("B1", 1.0),)), times={("change-alone", "B1"): [7.5]})
    due = {due.id: due for due in all_due(found.room, found.pasts, NOW)}
    one, two = due["change-alone@B1"], due["change-alone@B1.2"]
    assert (one.placed, one.opens, one.closes, one.state) == (
        two.placed, two.opens, two.closes, two.state,
    )  # fmt: skip
    assert found.times["change-alone", "B1.2"] == [7.5]


def test_a_tank_more_on_a_system_shares_its_water() -> None:
    found = changed(WhatIfAhead(more=(("A1", 3.0),)))
    added = 3 * found.room.tank_litres("A1")
    assert found.room.open_litres("S", NOW) == pytest.approx(room().open_litres("S", NOW) + added)
    before = plan(WhatIfAhead())
    after = plan(WhatIfAhead(more=(("A1", 3.0),)))
    assert _litres(after, "change-s@S") == pytest.approx(
        _litres(before, "change-s@S") * 9 / 6, 0.01
    )


def test_the_change_of_a_system_takes_longer_by_its_tanks_and_a_pump_does_not() -> None:
    found = changed(WhatIfAhead(more=(("A1", 3.0),)))
    assert found.times["change-s", "S"] == [60.0]  # 40 minutes for six tanks
    assert ("refill", "S") not in found.times
    assert any("take longer" in note.text for note in found.notes)


def test_a_quarantine_tank_more_is_kept_apart_as_the_first() -> None:
    there = changed(WhatIfAhead(more=(("Q1", 1.0),))).room
    assert there.health_of("Q1.2", NOW.date()) == there.health_of("Q1", NOW.date())
    assert len({stay.code for stay in there.stays}) == len(there.stays) == 2
    assert len({event.id for event in there.events}) == len(there.events) == 2
    assert len({group.code for group in there.groups}) == len(there.groups)


def test_filters_on_one_tank_are_named_once_there_are_more() -> None:
    jobs = [
        replace(job, where="filters on tank B1") if job.code == "squeeze-1" else job
        for job in small_room()["jobs"]
    ]
    there = changed(WhatIfAhead(more=(("B1", 1.0),)), room(jobs=tuple(jobs))).room
    assert targets(there, there.job["squeeze-1"], NOW) == ("B1-1", "B1-2", "B1.2-1", "B1.2-2")


def test_a_full_shelf_is_told_of() -> None:
    told = [note.text for note in changed(WhatIfAhead(more=(("B1", 1.0),))).notes]
    assert any("shelf 1 of rack B has 3 places and 3 tanks" in text for text in told)


def test_a_second_reservoir_is_filled_too_and_its_litres_count_with_the_first() -> None:
    found = changed(WhatIfAhead(second=("R1",)))
    assert targets(found.room, found.room.job["fill-r1"], NOW) == ("R1", "R1.2")
    litres = dict(found.litres)
    assert litres["R1"] == -litres["R1.2"] > 0
    before, after = plan(WhatIfAhead()), plan(WhatIfAhead(second=("R1",)))
    assert _most(after, "R1") == pytest.approx(2 * _most(before, "R1"))
    ids = [job.id for job in after.jobs]
    assert ids.count("fill-r1@R1.2") == ids.count("fill-r1@R1") > 0
    assert sum(day.minutes for day in after.days) > sum(day.minutes for day in before.days)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["A1", "A5", "B1", "B3", "Q1"]), st.integers(1, 4)),
             min_size=1, max_size=4)
)  # fmt: skip
def test_whatever_tanks_are_added_codes_stay_single_and_nothing_old_changes(
    more: list[tuple[str, int]],
) -> None:
    before = room()
    found = changed(WhatIfAhead(more=tuple((name, float(many)) for name, many in more)))
    there = found.room
    for sheet in ("tanks", "filters", "groups", "stays", "holds", "events", "jobs"):
        was, rows = before.rows(sheet), there.rows(sheet)
        if sheet != "jobs":
            assert rows[: len(was)] == was
        keys = [getattr(row, "code", None) or row.id for row in rows]
        assert len(keys) == len(set(keys))
    assert len(there.tanks) == len(before.tanks) + sum(many for _, many in more)
    for job in before.jobs:
        was_at, now_at = targets(before, job, NOW), targets(there, there.job[job.code], NOW)
        assert set(was_at) <= set(now_at)
        assert all(found.like[place] in was_at for place in set(now_at) - set(was_at))


# --- what is refused ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what_if", "told"),
    [
        (WhatIfAhead(more=(("B9", 1.0),)), "no tank “B9”"),
        (WhatIfAhead(more=(("B1", 0.0),)), "0 is no number of tanks"),
        (WhatIfAhead(more=(("B1", 1000.0),)), "1000 is no number of tanks"),
        (WhatIfAhead(more=(("B1", 1.5),)), "1.5 is no number of tanks"),
        (WhatIfAhead(more=(("B1", -1.0),)), "-1 is no number of tanks"),
        (WhatIfAhead(more=(("B1", 30.0), ("B2", 21.0))), f"more than {MOST_TANKS} tanks"),
        (WhatIfAhead(second=("R9",)), "no reservoir “R9”"),
        (WhatIfAhead(second=("R1",) * 10), "more than 9 reservoirs"),
        (WhatIfAhead(helper=(("someday", 90.0),)), "“someday” is no weekday"),
        (WhatIfAhead(helper=(("2027-03-07", 90.0),)), "is no weekday"),
        (WhatIfAhead(helper=(("saturday", 0.0),)), "help on saturday"),
        (WhatIfAhead(helper=(("saturday", 2000.0),)), "help on saturday"),
    ],
)
def test_what_cannot_be_asked_is_refused(what_if: WhatIfAhead, told: str) -> None:
    here = room()
    fault = help_fault(what_if) or what_if_room_fault(here, what_if)
    assert isinstance(fault, Problem)
    assert told in fault.sentence()
    assert plan_ahead(here, all_due(here, {}, NOW), {}, NOW, 14, what_if=what_if) == fault


# --- a helper ----------------------------------------------------------------------------


def test_help_counts_no_further_than_the_jobs_a_helper_may_do() -> None:
    """Six tanks with fish take 0.5 + 0.5 minutes each, and the room's check 3."""
    before, after = plan(WhatIfAhead()), plan(WhatIfAhead(helper=(("sunday", 90.0),)))
    for one, two in zip(before.days, after.days, strict=True):
        more = two.minutes_there_are - one.minutes_there_are
        theirs = sum(job.minutes for job in two.jobs if room().job[job.job].stand_in)
        assert more == pytest.approx(theirs if one.day.weekday() == 6 else 0.0)
    assert any("of them count" in note.text for note in after.notes)


def test_help_with_nothing_to_do_says_so() -> None:
    jobs = tuple(replace(job, stand_in=False) for job in small_room()["jobs"])
    after = plan(WhatIfAhead(helper=(("sunday", 90.0),)), of=room(jobs=jobs))
    assert any("nothing counts" in note.text for note in after.notes)
    assert after.days == plan(WhatIfAhead(), of=room(jobs=jobs)).days


# --- both side by side -------------------------------------------------------------------


def scene(**facts: Any) -> NitrateScene:
    fed = tuple(
        replace(tank, feed_g_per_day=2.0 if tank.code in ("A1", "B1") else None,
                nitrate_limit_mg_per_l=40.0)
        for tank in small_room()["tanks"]
    )  # fmt: skip
    read = [
        Reading(id=n, target=place, what="nitrate", value=20.0, unit="mg/L", day=NOW.date(),
                at=NOW - timedelta(hours=1))
        for n, place in enumerate(("S", "B1"), start=1)
    ]  # fmt: skip
    here = room(tanks=fed, **facts)
    return NitrateScene(room=here, now=NOW, readings=Readings.of(read))


def test_nothing_asked_is_twice_the_same() -> None:
    found = both(WhatIfAhead(), scene())
    assert found.as_it_is == found.asked
    assert all(row.difference in (0.0, None) for row in found.rows)


def test_an_hour_less_is_never_better_and_an_hour_more_never_worse() -> None:
    less = both(WhatIfAhead(minutes=(("saturday", -150.0),)), scene())
    more = both(WhatIfAhead(minutes=(("saturday", 60.0),)), scene())
    assert _row(less, "over_minutes") >= 0
    assert _row(more, "over_minutes") <= 0


def test_nitrate_goes_up_a_day_at_a_time_and_down_with_each_planned_change() -> None:
    """B1 by hand: 2 g of food a day into its litres, 30 % out on each planned change."""
    here = scene()
    ahead = both(WhatIfAhead(), here).as_it_is.ahead
    litres = here.room.tank_litres("B1")
    a_day = 2.0 * 0.45 * 0.16 * 0.65 * (62.0049 / 14.0067) * 1000 / litres
    value, highest = 20.0, 20.0
    for n, planned in enumerate(ahead.days):
        value += a_day if n else 0.0
        highest = max(highest, value)
        if any(job.id == "change-alone@B1" for job in planned.jobs):
            value *= 0.7
    found = next(p for p in peaks(here, ahead, here.room, {}) if p.body == "B1")
    assert found.mg_per_l == pytest.approx(highest, rel=2e-3)
    unread = next(p for p in peaks(here, ahead, here.room, {}) if p.body == "B2")
    assert (unread.mg_per_l, unread.why) == (None, "no nitrate was read")


def test_a_tank_more_with_food_brings_its_nitrate_into_the_system() -> None:
    """Only A1 is fed, so more like it put more food a litre into S; an alone one stands as B1."""
    found = both(WhatIfAhead(more=(("A1", 4.0), ("B1", 1.0))), scene())
    assert _row(found, "nitrate_peak S") > 0
    after = {peak.body: peak.mg_per_l for peak in found.asked.peaks}
    assert after["B1.2"] == pytest.approx(after["B1"], rel=0.3)


def test_a_tank_less_is_left_out_of_the_peaks() -> None:
    found = both(WhatIfAhead(without=("B1",)), scene())
    assert "B1" in {peak.body for peak in found.as_it_is.peaks}
    assert "B1" not in {peak.body for peak in found.asked.peaks}


def test_changes_put_off_by_days_away_raise_the_peak() -> None:
    from roomtasks.room.setup import Away

    away = (Away(first=date(2027, 3, 11), last=date(2027, 3, 28)),)
    gone = both(WhatIfAhead(), scene(away=away), 28).as_it_is
    home = both(WhatIfAhead(), scene(away=()), 28).as_it_is
    one, two = ({p.body: p.mg_per_l or 0.0 for p in side.peaks} for side in (home, gone))
    assert two["B1"] > one["B1"]
    above = next(p for p in gone.peaks if p.body == "B1")
    assert above.above_days > 0
    assert above.day is not None


def test_the_same_question_gives_the_same_answer() -> None:
    asked = WhatIfAhead(more=(("B1", 2.0),), second=("R1",), helper=(("sunday", 30.0),))
    one, two = plan(asked), plan(asked)
    assert one == two
    assert all(a.day < b.day for a, b in pairwise(one.days))


def _litres(ahead: Ahead, name: str) -> float:
    return next(job.litres for job in ahead.jobs if job.id == name)


def _most(ahead: Ahead, reservoir: str) -> float:
    return next(use.most_litres or 0.0 for use in ahead.litres if use.reservoir == reservoir)


def _row(found: Replay, name: str) -> float:
    return next(row.difference or 0.0 for row in found.rows if row.name == name)
