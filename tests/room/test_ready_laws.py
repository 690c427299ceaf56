"""Laws of a fill by the clock, on random fills, hours and nights of a clock change."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.contents import contents
from roomtasks.room.contents_fold import Surroundings
from roomtasks.room.in_hand import done_of
from roomtasks.room.readings import NO_READINGS
from roomtasks.room.ready import clock
from roomtasks.room.setup import Hours
from roomtasks.room.vessel import STEPS, VesselStep
from roomtasks.room.warming import FillNeed
from roomtasks.room.water_plan import Clock
from tests.room.scene import ZONE, at
from tests.room.test_ready import celsius, every_day, need, warmed

MINUTE = timedelta(minutes=1)
# a week about each change of the clocks, and one without
STARTS = (at("2027-03-25T00:00"), at("2026-10-22T00:00"), at("2027-06-01T00:00"))
HOURS: tuple[tuple[Hours, ...], ...] = (
    (), every_day(7, 22), (*every_day(6, 9), *every_day(17, 24)), every_day(0, 24),
    (*every_day(22, 24), *every_day(0, 6)),
)  # fmt: skip


def moments(first_minute: int, last_minute: int) -> st.SearchStrategy[datetime]:
    return st.builds(
        lambda start, minutes: (start.astimezone(UTC) + minutes * MINUTE).astimezone(ZONE),
        st.sampled_from(STARTS), st.integers(first_minute, last_minute),
    )  # fmt: skip


@st.composite
def needs(draw: st.DrawFn, /, **fixed: Any) -> FillNeed:
    facts: dict[str, Any] = {
        "rest_hours": draw(st.sampled_from((0.0, 2.5, 12.0, 24.0))),
        "mix_minutes": draw(st.sampled_from((0.0, 60.0))),
        "check_minutes": draw(st.sampled_from((0.0, 30.0))),
        "hose_minutes": draw(st.sampled_from((0.0, 10.0))),
        "fill_litres_per_min": draw(st.floats(3, 30)),
        "heater_watts": draw(st.floats(1500, 6000)),
        "loss_watts_per_kelvin": draw(st.sampled_from((0.0, 8.0, 30.0))),
        "unattended": draw(st.booleans()),
        "room_celsius": celsius(draw(st.sampled_from((10.0, 17.0, 22.0)))),
        "source_celsius": celsius(draw(st.floats(5, 20))),
        "target_celsius": draw(st.sampled_from((None, 24.0, 26.0))),
        "ro_hours": draw(st.sampled_from((0.0, 0.0, 3.0))),
        "left_at": draw(st.floats(10, 24)),
    }
    return need(draw(st.floats(20, 560)), **{**facts, **fixed})


def seen(planned: Clock, step: str) -> datetime | None:
    found = next((each.latest for each in planned.steps if each.step == step), None)
    return None if found is None else found.astimezone(UTC)  # the wall's clock comes twice


@given(fill=needs(), wanted=moments(2880, 7000), hours=st.sampled_from(HOURS),
       lead=st.integers(0, 4000), later=st.integers(0, 3000))  # fmt: skip
@settings(deadline=None)
def test_a_later_hour_never_makes_a_step_earlier(
    fill: FillNeed, wanted: datetime, hours: tuple[Hours, ...], lead: int, later: int
) -> None:
    now = wanted.astimezone(UTC) - lead * MINUTE
    moved = (wanted.astimezone(UTC) + later * MINUTE).astimezone(ZONE)
    one, two = clock(fill, hours, wanted, now), clock(fill, hours, moved, now)
    assert one.ready_at == two.ready_at
    for step in one.steps:
        after = seen(two, step.step)
        assert after is None or step.latest.astimezone(UTC) <= after, step.step


@given(fill=needs(target_celsius=25.0), wanted=moments(2880, 7000), hours=st.sampled_from(HOURS),
       more=st.floats(0, 300))  # fmt: skip
@settings(deadline=None)
def test_more_litres_never_take_less_time(
    fill: FillNeed, wanted: datetime, hours: tuple[Hours, ...], more: float
) -> None:
    now = wanted.astimezone(UTC) - timedelta(days=2)
    larger = replace(fill, added_litres=min(560.0, fill.added_litres + more))
    one, two = clock(fill, hours, wanted, now), clock(larger, hours, wanted, now)
    if one.ready_at is None or two.ready_at is None:
        assert two.ready_at is None
        return
    assert two.ready_at.astimezone(UTC) >= one.ready_at.astimezone(UTC)
    for step in ("hose-out", "fill-start"):
        first, second = seen(one, step), seen(two, step)
        assert first is not None
        assert second is not None
        assert second <= first


@given(fill=needs(), wanted=moments(0, 7000), hours=st.sampled_from(HOURS), now=moments(0, 7000),
       wait=st.integers(0, 3000))  # fmt: skip
@settings(deadline=None)
def test_nothing_is_ready_before_now_and_the_hour_refused_with_is_kept(
    fill: FillNeed, wanted: datetime, hours: tuple[Hours, ...], now: datetime, wait: int
) -> None:
    free = now.astimezone(UTC) + wait * MINUTE
    planned = clock(fill, hours, wanted, now, free)
    if planned.ready_at is None:
        assert planned.refused is not None
        return
    assert planned.ready_at.astimezone(UTC) >= now.astimezone(UTC)
    earliest = planned.steps[-1].advised
    if planned.refused is None:
        for step in planned.steps:
            latest = step.latest.astimezone(UTC)
            assert now.astimezone(UTC) - MINUTE <= latest
            assert step.advised.astimezone(UTC) <= latest
        return
    assert planned.steps[-1].step == "change"
    assert earliest.astimezone(UTC) > wanted.astimezone(UTC)
    asked_again = clock(fill, hours, earliest, now, free)
    assert asked_again.refused is None
    assert asked_again.ready_at == planned.ready_at


@given(fill=needs(), wanted=moments(0, 7000))
@settings(deadline=None)
def test_hours_are_real_hours_on_every_night(fill: FillNeed, wanted: datetime) -> None:
    planned = clock(fill, (), wanted, wanted.astimezone(UTC) - timedelta(days=3))
    assert planned.refused is None
    at_ = {step.step: step.latest.astimezone(UTC) for step in planned.steps}
    minutes = {step.step: step.minutes.value for step in planned.steps}
    facts = fill.reservoir
    check = at_.get("ready-check", at_["change"])
    near = MINUTE + timedelta(seconds=1)
    assert at_["change"] - check == timedelta(minutes=facts.check_minutes)
    assert abs(at_["full"] - at_["fill-start"] - minutes["fill-start"] * MINUTE) < near
    assert at_["fill-start"] - at_["hose-out"] == timedelta(minutes=facts.hose_minutes)
    assert check - at_["full"] >= timedelta(hours=facts.rest_hours)
    assert all(step.latest.tzinfo is ZONE for step in planned.steps)


def attended(hours: tuple[Hours, ...], first: datetime, last: datetime) -> bool:
    """Minute by minute: whether the clock on the wall is within the hours."""
    moment = first.astimezone(UTC)
    while moment < last.astimezone(UTC):
        wall = moment.astimezone(ZONE)
        name = f"{wall:%A}".lower()
        if not any(
            row.weekday == name
            and row.from_time <= wall.time()
            and (wall.time() < row.until_time or f"{row.until_time:%H%M}" == "0000")
            for row in hours
        ):
            return False
        moment += MINUTE
    return True


@given(fill=needs(unattended=False), wanted=moments(2880, 7000), hours=st.sampled_from(HOURS[1:]),
       lead=st.integers(1000, 4000))  # fmt: skip
@settings(deadline=None, max_examples=60)
def test_a_watched_fill_lies_within_the_hours_somebody_is_there(
    fill: FillNeed, wanted: datetime, hours: tuple[Hours, ...], lead: int
) -> None:
    whole = replace(fill, fill_rate=fill.added_litres / 77, ro_hours=0.0)
    planned = clock(whole, hours, wanted, wanted.astimezone(UTC) - lead * MINUTE)
    if planned.refused is not None:
        return
    for name in ("latest", "advised"):
        at_ = {step.step: getattr(step, name) for step in planned.steps}
        assert attended(hours, at_["hose-out"], at_["full"])
        check = at_.get("ready-check")
        if check is not None:
            length = timedelta(minutes=whole.reservoir.check_minutes)
            assert attended(hours, check, check.astimezone(UTC) + length)


@given(fill=needs(loss_watts_per_kelvin=0.0, ro_hours=0.0), wanted=moments(2880, 7000),
       count=st.integers(1, 6))  # fmt: skip
@settings(deadline=None)
def test_steps_marked_at_their_latest_leave_the_plan_as_it_was(
    fill: FillNeed, wanted: datetime, count: int
) -> None:
    early = wanted.astimezone(UTC) - timedelta(days=3)
    before = clock(fill, (), wanted, early)
    todo = [step for step in before.steps if step.step in STEPS][:count]
    around = Surroundings(
        source_celsius=fill.source_celsius, room_celsius=fill.room_celsius,
        wanted_celsius=fill.target_celsius, dosed=True,
    )  # fmt: skip
    steps = [
        VesselStep(
            id=number, reservoir="R1", at=each.latest, step=each.step,
            litres=fill.litres if each.step == "full" else None,
            celsius=fill.left_celsius.value
            if each.step == "fill-start" and fill.left_celsius else None,
        )
        for number, each in enumerate(todo, 1)
    ]  # fmt: skip
    now = todo[-1].latest
    full = any(each.step == "full" for each in todo)
    vessel = replace(fill.reservoir, holds_litres=fill.litres if full else fill.left_litres)
    found = contents(vessel, steps, NO_READINGS, now, date(2027, 3, 13), around)
    done = done_of(replace(fill, reservoir=vessel), found)
    assert (done.full is not None) == full
    after = clock(replace(fill, reservoir=vessel), (), wanted, now, None, found)
    assert after.refused is None
    marked = {step.step for step in todo}
    for one, two in zip(before.steps, after.steps, strict=True):
        assert one.step == two.step
        gap = one.latest.astimezone(UTC) - two.latest.astimezone(UTC)
        assert abs(gap) <= MINUTE, one.step
        assert (two.done_at is not None) == (two.step in marked)


@pytest.mark.parametrize("room", [8, 13, 24, 30])
def test_the_heater_goes_on_as_long_before_the_check_as_its_minutes_say(room: float) -> None:
    """Heat balance: V (wanted - mixed) 1.163 Wh / P at least, and what a cold room takes."""
    fill = need(loss_watts_per_kelvin=25.0, room_celsius=celsius(room), rest_hours=24.0)
    steps = {
        step.step: step
        for step in clock(fill, (), at("2027-03-14T09:00"), at("2027-03-12T12:00")).steps
    }
    minutes = steps["heat-on"].minutes.value
    gone = (steps["ready-check"].latest - steps["heat-on"].latest) / MINUTE
    assert 0 <= gone - minutes < 1
    at_once = warmed(fill)[2].value
    assert (minutes > at_once) == (room < 13.2)
    assert minutes >= at_once
