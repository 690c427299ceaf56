"""A fill as it happens: the plan by the clock goes on from what was done at the reservoir."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.contents import contents, next_step_of
from roomtasks.room.readings import NO_READINGS, Readings
from roomtasks.room.ready import clock
from roomtasks.room.ready_words import NOT_WATCHED
from roomtasks.room.setup import Hours
from roomtasks.room.vessel import STEPS, VesselStep
from roomtasks.room.warming import FillNeed
from roomtasks.room.water_plan import Clock, Contents
from tests.room.scene import at
from tests.room.test_contents import AROUND, held, read_at, step
from tests.room.test_ready import (
    NOON,
    SATURDAY,
    advised,
    celsius,
    every_day,
    latest,
    need,
    reservoir,
)


def plan(now: str, found: Contents, wanted: datetime = SATURDAY, **facts: Any) -> Clock:
    return clock(need(**facts), (), wanted, at(now), None, found)


BEGUN = step("2027-03-12T18:46", "fill-start", celsius=18.0)


def test_a_fill_begun_an_hour_late_moves_what_follows_and_names_the_new_earliest() -> None:
    late = step("2027-03-12T19:56", "fill-start", celsius=18.0)
    planned = plan("2027-03-12T20:26", held("2027-03-12T20:26", late))
    assert planned.refused is not None
    assert planned.steps[1].done_at == at("2027-03-12T19:56")
    assert latest(planned)["full"] == "Fri 20:30"
    moved = advised(planned)
    assert (moved["full"], moved["rest"]) == ("Fri 21:29", "Fri 21:29")
    assert (moved["ready-check"], moved["change"]) == ("Sat 09:29", "Sat 09:59")
    assert "Sat 13 Mar 09:59" in planned.refused.remedy
    kept = plan("2027-03-12T20:26", held("2027-03-12T20:26", late), at("2027-03-13T10:00"))
    assert kept.refused is None


def test_steps_done_carry_when_and_the_heating_goes_on_from_the_water_as_it_is() -> None:
    steps = (
        BEGUN, step("2027-03-12T20:20", "full"), step("2027-03-12T20:25", "treated"),
        step("2027-03-12T23:00", "heat-on"),
    )  # fmt: skip
    now = "2027-03-13T01:00"
    planned = plan(now, held(now, *steps, holds=700.0))
    done = {each.step: each.done_at for each in planned.steps if each.done_at is not None}
    assert done == {
        "hose-out": BEGUN.at, "fill-start": BEGUN.at, "full": at("2027-03-12T20:20"),
        "treated": at("2027-03-12T20:25"), "heat-on": at("2027-03-12T23:00"),
    }  # fmt: skip
    heating = next(each for each in planned.steps if each.step == "heat-on")
    assert heating.minutes.value == pytest.approx(202.24 - 120, abs=0.5)
    assert planned.ready_at == at("2027-03-13T08:25")  # rested since it was treated


def test_rest_counts_from_the_later_of_full_and_treated() -> None:
    steps = (BEGUN, step("2027-03-12T20:20", "full"), step("2027-03-12T22:00", "treated"))
    planned = plan("2027-03-12T22:01", held("2027-03-12T22:01", *steps, holds=700.0))
    assert planned.refused is not None
    assert planned.ready_at == at("2027-03-13T10:00")


def test_ready_water_wants_only_the_change() -> None:
    steps = (
        BEGUN, step("2027-03-12T20:20", "full"), step("2027-03-12T20:20", "treated"),
        step("2027-03-13T08:30", "ready", celsius=25.0),
    )  # fmt: skip
    now = "2027-03-13T08:45"
    found = held(now, *steps, holds=700.0)
    planned = plan(now, found)
    assert planned.refused is None
    assert planned.ready_at == at(now)
    following = next_step_of(planned, found, at(now))
    assert following is not None
    assert (following.step, following.at, following.late) == ("change", SATURDAY, False)


def test_water_left_from_the_last_fill_is_not_this_one() -> None:
    steps = (
        step("2027-03-05T20:20", "full"), step("2027-03-05T20:20", "treated"),
        step("2027-03-06T08:30", "ready"),
    )  # fmt: skip
    now = "2027-03-12T12:00"
    planned = plan(now, held(now, *steps, holds=140.0))
    assert planned.refused is None
    assert all(each.done_at is None for each in planned.steps)
    assert latest(planned)["full"] == "Fri 20:30"


def test_the_hose_and_the_heater_of_the_last_fill_are_not_those_of_this_one() -> None:
    last_week = (
        step("2027-03-05T18:46", "hose-out"), step("2027-03-05T20:20", "full"),
        step("2027-03-05T20:20", "treated"), step("2027-03-05T21:00", "heat-on"),
    )  # fmt: skip
    left = held("2027-03-12T12:00", *last_week)
    planned = plan("2027-03-12T12:00", left)
    assert all(each.done_at is None for each in planned.steps)
    again = held("2027-03-12T19:00", *last_week, BEGUN)
    going = plan("2027-03-12T19:00", again)
    assert latest(going)["full"] == "Fri 20:30"  # not a week's heating before
    assert next(each for each in going.steps if each.step == "heat-on").done_at is not None


def test_a_hose_that_runs_until_nobody_is_there_is_warned_of() -> None:
    late = step("2027-03-12T21:00", "fill-start", celsius=18.0)
    found = held("2027-03-12T21:05", late)
    planned = clock(
        need(), every_day(7, 22), at("2027-03-14T09:00"), at("2027-03-12T21:05"), None, found
    )
    assert [(note.sort, note.rule) for note in planned.notes] == [("warned", NOT_WATCHED)]
    assert "Fri 22:33" in planned.notes[0].text


def test_water_that_stands_ready_by_no_step_is_only_checked() -> None:
    found = held("2027-03-13T07:00", holds=700.0)
    planned = clock(
        need(0.0, left_litres=700.0, target_celsius=None), (), SATURDAY, at("2027-03-13T07:00"),
        None, found,
    )  # fmt: skip
    assert list(latest(planned)) == ["ready-check", "change"]
    assert planned.refused is None


def test_water_ready_but_since_read_cold_is_heated_again() -> None:
    steps = (
        BEGUN, step("2027-03-12T20:20", "full"), step("2027-03-12T20:20", "treated"),
        step("2027-03-13T07:00", "ready", celsius=25.0),
    )  # fmt: skip
    now = "2027-03-13T08:45"
    read = Readings.of([read_at("2027-03-13T08:40", 20.0)])
    planned = plan(now, held(now, *steps, holds=700.0, readings=read))
    assert planned.refused is not None
    assert "heat-on" in latest(planned)


def test_the_next_step_is_the_first_not_done_and_says_if_it_is_late() -> None:
    empty = held("2027-03-12T12:00")
    planned = clock(need(), (), SATURDAY, NOON)
    following = next_step_of(planned, empty, NOON)
    assert following is not None
    assert (following.step, following.late) == ("hose-out", False)
    assert following.at == at("2027-03-12T18:46")
    assert following.text == "lay the hose at R1, better by Fri 12 Mar 18:28"
    late = next_step_of(planned, empty, at("2027-03-12T18:50"))
    assert late is not None
    assert late.late
    too_soon = clock(need(rest_hours=24.0), (), SATURDAY, NOON)
    now_then = next_step_of(too_soon, empty, NOON)
    assert now_then is not None
    assert now_then.at == NOON
    never = clock(need(heater_watts=None), (), SATURDAY, NOON)
    assert next_step_of(never, empty, NOON) is None


def test_a_hose_past_full_is_the_next_thing_whatever_else_is_due() -> None:
    now = at("2027-03-12T21:30")
    found = held("2027-03-12T21:30", BEGUN)
    assert found.litres == 700.0
    planned = clock(need(0.0, left_litres=700.0), (), SATURDAY, now, None, found)
    following = next_step_of(planned, found, now)
    assert following is not None
    assert (following.step, following.late) == ("full", True)
    assert "stop the hose" in following.text


def test_a_fill_over_the_hour_that_comes_twice_grows_by_real_minutes() -> None:
    begun = VesselStep(id=1, reservoir="R1", at=at("2026-10-25T01:30"), step="fill-start")
    second = at("2026-10-25T01:15").replace(fold=1)  # 45 min later, an hour's earlier hand
    vessel = reservoir(holds_litres=140.0)
    found = contents(vessel, [begun], NO_READINGS, second, date(2026, 10, 25), AROUND)
    assert found.litres == pytest.approx(140 + 45 * 6)
    spring = VesselStep(id=1, reservoir="R1", at=at("2027-03-28T00:30"), step="fill-start")
    after = at("2027-03-28T02:15")  # 45 min on, an hour jumped over
    moved = contents(vessel, [spring], NO_READINGS, after, date(2027, 3, 28), AROUND)
    assert moved.litres == pytest.approx(140 + 45 * 6)


@given(
    words=st.lists(st.tuples(st.sampled_from(STEPS), st.integers(0, 400),
                             st.one_of(st.none(), st.floats(0, 700)),
                             st.one_of(st.none(), st.floats(5, 25))), max_size=8),
    gone=st.integers(0, 900), holds=st.floats(0, 700), loss=st.sampled_from((0.0, 15.0)),
    alone=st.booleans(), hours=st.sampled_from(((), every_day(7, 22), every_day(18, 19))),
    target=st.sampled_from((None, 25.0)), wait=st.sampled_from((0, 180)),
)  # fmt: skip
@settings(deadline=None)
def test_whatever_was_done_a_plan_goes_on_from_it(
    words: list[tuple[str, int, float | None, float | None]], gone: int, holds: float,
    loss: float, alone: bool, hours: tuple[Hours, ...], target: float | None, wait: int,
) -> None:  # fmt: skip
    now, steps = at("2027-03-26T08:00").astimezone(UTC), []
    for number, (word, minutes, litres, warmth) in enumerate(words, 1):
        now += timedelta(minutes=minutes)
        steps.append(VesselStep(id=number, reservoir="R1", at=now, step=word, litres=litres,
                                celsius=warmth))  # fmt: skip
    now += timedelta(minutes=gone)
    vessel = reservoir(holds_litres=holds, loss_watts_per_kelvin=loss, unattended=alone)
    found = contents(vessel, steps, NO_READINGS, now, date(2027, 3, 27), AROUND)
    fill = FillNeed(
        reservoir=vessel, added_litres=700 - found.litres, left_litres=found.litres,
        left_celsius=found.celsius, source_celsius=celsius(12), room_celsius=celsius(18),
        target_celsius=target,
    )  # fmt: skip
    wanted, free = at("2027-03-28T09:00"), now + timedelta(minutes=wait)
    planned = clock(fill, hours, wanted, now, free, found)
    if planned.ready_at is None:
        assert planned.refused is not None
        return
    assert planned.ready_at >= now
    if planned.refused is None:
        assert all(
            each.done_at or each.advised.astimezone(UTC) <= each.latest.astimezone(UTC)
            for each in planned.steps
        )
        return
    earliest = planned.steps[-1].advised
    assert earliest.astimezone(UTC) > wanted.astimezone(UTC)
    assert clock(fill, hours, earliest, now, free, found).refused is None
