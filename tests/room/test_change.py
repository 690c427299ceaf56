"""The whole plan of a change day, on the example room. Worked here, invented room."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.change import WaterScene, plan_change
from roomtasks.room.due import all_due
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.past import Past
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.setup import Hours
from roomtasks.room.treatment import Choice, Level
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import ChangePlan, ClockStep, WhatIf
from tests.room.example_room import CHANGE_DAY, at, example_room, shut, with_setup, with_tank

FRIDAY = at("2027-03-12T18:00")


def read(what: str, target: str, value: float, when: datetime = FRIDAY) -> Reading:
    return Reading(id=1, target=target, what=what, value=value, day=when.date(), at=when)


def planned(
    room: Room | None = None, now: datetime = FRIDAY, what_if: WhatIf | None = None,
    *readings: Reading,
) -> ChangePlan:  # fmt: skip
    room = room or example_room()
    known = Readings.of([read("temperature", "R1", 18.0, at("2027-03-12T07:00")), *readings])
    scene = WaterScene(room=room, dues=all_due(room, {}, now), now=now, readings=known)
    plan = plan_change(scene, what_if or WhatIf())
    assert isinstance(plan, ChangePlan), plan
    return plan


def steps(plan: ChangePlan, n: int = 0) -> dict[str, ClockStep]:
    clock = plan.batches[n].clock
    assert clock is not None
    return {step.step: step for step in clock.steps}


def with_vessel(room: Room, code: str = "R1", **facts: object) -> Room:
    vessels = tuple(
        replace(vessel, **facts) if vessel.code == code else vessel  # type: ignore[arg-type]
        for vessel in room.reservoirs
    )
    return replace(room, reservoirs=vessels)


def test_demand_batches_and_doses_of_the_change_day() -> None:
    plan = planned()
    assert plan.day == CHANGE_DAY
    assert plan.demands[0].litres.value == pytest.approx(918.84, abs=0.01)
    recipe, litres = plan.by_litres[0]
    assert (recipe, [round(each) for each in litres]) == ("hard", [560, 359])
    assert [batch.added_litres for batch in plan.batches] == pytest.approx([560, 358.84], abs=0.01)
    doses = [batch.doses[0].amount.value for batch in plan.batches]
    assert doses == pytest.approx([28.0, 17.94], abs=0.01)
    smaller = next(choice for choice in plan.choices if choice.sort == "smaller")
    assert "18.3 % instead of 30 %" in smaller.text
    system = next(body for body in plan.bodies if body.body == "S")
    assert (round(system.tanks_fraction, 3), round(system.fraction.value, 3)) == (0.3, 0.274)


def test_the_clock_runs_back_from_the_hour() -> None:
    found = steps(planned())
    assert {name: f"{step.latest:%a %H:%M}" for name, step in found.items()} == {
        "hose-out": "Fri 18:46", "fill-start": "Fri 18:56", "full": "Fri 20:30",
        "treated": "Fri 20:30", "rest": "Fri 20:30", "heat-on": "Sat 05:07",
        "mixed": "Sat 07:30", "ready-check": "Sat 08:30", "change": "Sat 09:00",
    }  # fmt: skip
    assert f"{found['heat-on'].advised:%a %H:%M}" == "Sat 03:26"


def test_a_rest_that_is_too_long_refuses_with_the_earliest_change() -> None:
    room = with_vessel(example_room(), rest_hours=24.0)
    plan = planned(room, at("2027-03-12T12:00"))
    refused = [note for note in plan.refused if note.about == "R1"]
    assert refused
    assert "14:13" in refused[0].text
    found = steps(plan)
    assert f"{found['fill-start'].advised:%a %H:%M}" == "Fri 12:10"
    assert f"{found['full'].advised:%a %H:%M}" == "Fri 13:43"


def test_a_fill_an_hour_late_moves_the_rest_of_the_plan() -> None:
    late = at("2027-03-12T19:57")
    started = VesselStep(
        id=1, reservoir="R1", at=late, step="fill-start", litres=140.0, recipe="hard",
        for_day=CHANGE_DAY,
    )  # fmt: skip
    plan = planned(replace(example_room(), vessel_steps=(started,)), late + timedelta(minutes=3))
    first = plan.batches[0].clock
    assert first is not None
    assert first.refused is not None
    found = steps(plan)
    assert found["fill-start"].done_at == late
    assert f"{found['full'].advised:%H:%M}" == "21:30"
    assert f"{found['change'].advised:%a %H:%M}" == "Sat 10:00"


def test_the_second_batch_waits_for_the_first_and_goes_to_the_next_day() -> None:
    second = planned().batches[1].clock
    assert second is not None
    assert second.refused is None
    assert f"{second.wanted_at:%a %H:%M}" == "Sun 09:00"
    long = planned(with_vessel(example_room(), rest_hours=24.0), at("2027-03-11T12:00"),
                   WhatIf(day=CHANGE_DAY, free_at=(("R1", at("2027-03-13T10:40")),)))  # fmt: skip
    third = long.batches[1].clock
    assert third is not None
    assert f"{third.wanted_at:%a %H:%M}" == "Mon 09:00"
    # free 10:40, 359 L at 6 L/min and 24 h of rest (worked here, invented room)
    told = next(note.text for note in long.notes if "batch 2 out of R1" in note.text)
    assert told.endswith("planned for Mon 15 Mar 09:00, ready at the earliest Sun 14 Mar 11:40")


def test_water_that_stands_ready_is_used_as_it_stands_where_no_more_can_be_made() -> None:
    room = with_vessel(example_room(), holds_litres=400.0)
    now = at("2027-03-13T08:30")
    plan = planned(room, now, WhatIf(), read("temperature", "R1", 25.0, now))
    first = plan.batches[0]
    assert first.added_litres == 0
    assert first.used_litres <= 260
    assert any(note.rule == "short" for note in plan.notes)


def test_all_that_the_first_fill_gives_is_there_for_the_day() -> None:
    """One fill gives 700 - 40 - 100 L, whatever part of it the walk takes (invented room)."""
    plan = planned()
    assert plan.batches[0].used_litres < 560
    told = next(note.text for note in plan.notes if note.rule == "short")
    assert told.startswith("as planned, 560 of 919 L can be had that day")


def test_what_if_asks_and_stores_nothing() -> None:
    rates = planned(what_if=WhatIf(fill_rates=(("R1", 12.0),)))
    assert steps(rates)["fill-start"].latest > steps(planned())["fill-start"].latest
    share = planned(what_if=WhatIf(share=0.5))
    assert share.demands[0].litres.value == pytest.approx(918.84 / 2, abs=0.01)
    more = planned(what_if=WhatIf(extra=(("H1", 0.25),)))
    assert more.demands[0].litres.value == pytest.approx(918.84 + 13 * 1.03, abs=0.01)
    hour = planned(what_if=WhatIf(hour=time(15, 0)))
    assert f"{hour.wanted_at:%H:%M}" == "15:00"


def test_the_keepers_choice_of_the_day_counts() -> None:
    chosen = Choice(day=CHANGE_DAY, hour=time(11, 0), share=0.6, keep_back=True)
    plan = planned(replace(example_room(), choices=(chosen,)))
    assert f"{plan.wanted_at:%H:%M}" == "11:00"
    assert plan.demands[0].litres.value == pytest.approx(918.84 * 0.6, abs=0.01)
    assert plan.vessels[0].most_litres == 660.0


def test_new_water_too_cold_is_refused_with_what_would_do() -> None:
    plan = planned(None, FRIDAY, WhatIf(celsius=21.0), read("temperature", "D1", 25.0))
    note = next(note for note in plan.refused if "D1" in note.about.split(", "))
    assert "23.8" in note.text
    assert "21.7" in note.text
    assert "25 %" in note.text


def test_a_dosed_tank_gets_back_what_leaves() -> None:
    level = Level(tank="H1", product="salt", since=date(2027, 3, 1), per_litre=2.0)
    plan = planned(replace(example_room(), levels=(level,)), FRIDAY,
                   WhatIf(extra=(("H1", 0.25),)))  # fmt: skip
    draw = next(draw for draw in plan.demands[0].draws if draw.place == "H1")
    assert draw.doses[0].amount.value == pytest.approx(26.0)
    assert plan.needs[0].place == "H1"
    assert "salt" in plan.needs[0].need_reason


def left_out_once(*parts: Mark) -> dict[tuple[str, str], Past]:
    """Each D tank's change given up on 6 March, and parts of it done since."""
    weeks = [date(2027, 2, 27), date(2027, 3, 6)]
    return {
        ("change-d", f"D{n}"): Past(
            Mark(
                id=2, job="change-d", target=f"D{n}", slot=weeks[1], outcome="left-out",
                day=weeks[1], at=at("2027-03-06T10:00"), reason="no water",
            ),
            Mark(id=1, job="change-d", target=f"D{n}", slot=weeks[0], outcome="done",
                 day=weeks[0], at=at("2027-02-27T10:00")),
            parts, 1,
        )
        for n in range(1, 9)
    }  # fmt: skip


def test_a_missed_week_is_caught_up_in_two_days() -> None:
    room, now = example_room(), FRIDAY
    pasts = left_out_once()
    plan = plan_change(WaterScene(room=room, dues=all_due(room, pasts, now), now=now), WhatIf())
    assert isinstance(plan, ChangePlan)
    draws = [draw for draw in plan.demands[0].draws if draw.place.startswith("D")]
    assert [round(draw.litres.value, 1) for draw in draws] == [14.0] * 8
    assert sum(draw.litres.value for draw in draws) == pytest.approx(111.8, abs=0.1)
    told = next(
        note.text
        for note in plan.notes
        if note.rule == "catch-up" and "D3" in note.about.split(", ")
    )
    assert "46.2 % (24.2 L)" in told
    assert "2 changes of 26.6 % (14.0 L)" in told
    assert "60 %" not in told


def test_the_second_part_of_a_catch_up_is_what_the_first_left() -> None:
    """Mass balance: 1 - (1 - 0.4615) / (1 - 0.2662) = 0.2662 (worked here, invented room)."""
    room, now = example_room(), at("2027-03-13T18:00")
    part = Mark(id=3, job="change-d", target="D3", slot=CHANGE_DAY, outcome="partly",
                day=CHANGE_DAY, at=at("2027-03-13T10:00"), fraction=0.2662)  # fmt: skip
    scene = WaterScene(room=room, dues=all_due(room, left_out_once(part), now), now=now)
    again = plan_change(scene, WhatIf(day=CHANGE_DAY))
    assert isinstance(again, ChangePlan)
    refused = next(note.text for note in again.notes if note.rule == "largest-change")
    assert "46.2 % (24.2 L) in one day is more than the largest change" in refused
    assert "with what was changed that day already; do the rest the day after" in refused
    sunday = at("2027-03-14T07:00")
    scene = WaterScene(room=room, dues=all_due(room, left_out_once(part), sunday), now=sunday)
    plan = plan_change(scene, WhatIf(day=sunday.date()))
    assert isinstance(plan, ChangePlan)
    assert not [note for note in plan.notes if note.rule == "largest-change"]
    draw = next(draw for draw in plan.demands[0].draws if draw.place == "D3")
    assert draw.fraction == pytest.approx(0.2662, abs=1e-4)
    told = next(note.text for note in plan.notes if note.rule == "catch-up")
    assert "missed once and 26.6 % of it done, so 26.6 % (14.0 L)" in told


def test_a_catch_up_within_the_limit_is_not_refused_for_the_usual_share() -> None:
    room = with_setup(example_room(), largest_change=0.29)
    dues = all_due(room, left_out_once(), FRIDAY)
    plan = plan_change(WaterScene(room=room, dues=dues, now=FRIDAY), WhatIf())
    assert isinstance(plan, ChangePlan)
    draws = [draw for draw in plan.demands[0].draws if draw.place.startswith("D")]
    assert all(draw.fraction == pytest.approx(0.26620, abs=1e-5) for draw in draws)
    refused = {note.about for note in plan.notes if note.rule == "largest-change"}
    assert refused
    assert not any(about.startswith("D") for about in refused)


def test_a_shut_valve_changes_volumes_and_demand() -> None:
    plan = planned(shut(example_room(), "G3"))
    system = next(body for body in plan.bodies if body.body == "S")
    assert system.litres.value == pytest.approx(2197)
    assert system.drained_litres == pytest.approx(595.5)
    assert system.fraction.value == pytest.approx(0.271, abs=5e-4)


def test_a_fill_needs_somebody_there_without_a_float_valve() -> None:
    evenings = tuple(
        Hours(weekday=day, from_time=time(19, 0), until_time=time(22, 0))
        for day in ("thursday", "friday", "saturday")
    )
    room = with_vessel(replace(example_room(), hours=evenings), unattended=False)
    found = steps(planned(room, at("2027-03-11T12:00")))
    assert 19 <= found["fill-start"].latest.hour < 22
    assert f"{found['full'].latest:%a}" == "Thu"


@pytest.mark.parametrize(
    ("what_if", "words"),
    [
        (WhatIf(day=date(2027, 3, 1)), "is past"),
        (WhatIf(fill_rates=(("R1", 0.0),)), "fills nothing"),
        (WhatIf(fill_rates=(("R9", 5.0),)), "no such reservoir"),
        (WhatIf(extra=(("ZZ", 0.3),)), "no tank"),
        (WhatIf(share=0.0), "share"),
        (WhatIf(fraction=float("nan")), "fraction"),
        (WhatIf(fill_rates=(("R1", 1e308),)), "L/min"),
        (WhatIf(day=date(2030, 1, 1)), "more than a year"),
    ],
)
def test_what_cannot_be_is_said(what_if: WhatIf, words: str) -> None:
    room = example_room()
    scene = WaterScene(room=room, dues=all_due(room, {}, FRIDAY), now=FRIDAY)
    found = plan_change(scene, what_if)
    assert isinstance(found, Problem)
    assert words in found.sentence()


@settings(max_examples=25, deadline=None)
@given(
    share=st.floats(0.05, 1.0), most=st.integers(200, 900), rate=st.floats(0.5, 40.0),
    rest=st.integers(0, 30), hour=st.integers(0, 23),
)  # fmt: skip
def test_every_litre_wanted_is_in_a_batch_and_nothing_is_planned_in_the_past(
    share: float, most: int, rate: float, rest: int, hour: int
) -> None:
    room = with_vessel(
        example_room(), full_litres=float(most), fill_litres_per_min=rate,
        rest_hours=float(rest),
    )  # fmt: skip
    plan = planned(with_setup(room, change_hour=time(hour, 0)), FRIDAY, WhatIf(share=share))
    used = sum(batch.used_litres for batch in plan.batches)
    assert used == pytest.approx(sum(demand.litres.value for demand in plan.demands))
    for batch in plan.batches:
        assert batch.left_litres + batch.added_litres >= batch.used_litres - 1e-6
        assert batch.left_litres + batch.added_litres <= most + 1e-6
        assert batch.clock is not None
        if batch.clock.ready_at is not None:
            assert all(step.advised >= FRIDAY for step in batch.clock.steps)


def test_a_room_without_reservoirs_says_so() -> None:
    plan = planned(replace(example_room(), reservoirs=()))
    assert plan.batches == ()
    assert plan.refused


def test_water_run_straight_from_the_tap_is_conditioned_for_the_whole_tank() -> None:
    """5 ml per 100 L of the tank's litres, not of those run in: 52.5 L take 2.6 ml."""
    jobs = tuple(replace(job, reservoir="") for job in example_room().jobs)
    plan = planned(replace(example_room(), reservoirs=(), jobs=jobs))
    draw = next(d for demand in plan.demands for d in demand.draws if d.place == "D1")
    (dose,) = draw.doses
    assert dose.amount.value == pytest.approx(52.5 * 5 / 100)
    assert dose.why == "for the whole tank, before the hose runs"
    assert any("for the whole tank, before the hose runs" in note.text for note in plan.notes)
    assert not [d for demand in planned().demands for d in demand.draws if d.doses]


def test_a_tank_of_impossible_water_is_never_planned_on() -> None:
    plan = planned(with_tank(example_room(), "D1", measured_litres=None, water_cm=90.0))
    assert any(note.about == "D1" and note.sort == "refused" for note in plan.notes)
