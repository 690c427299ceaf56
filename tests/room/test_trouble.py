"""What a trouble asks for: clocks by oxygen and heat, ordered steps, what counts as done."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.change import WaterScene, plan_change
from roomtasks.room.due import all_due
from roomtasks.room.heat import temp_after
from roomtasks.room.job import Hold
from roomtasks.room.journal import Event, Reading
from roomtasks.room.line import LineFacts
from roomtasks.room.met import History, reached_from
from roomtasks.room.pin import TROUBLES, Trouble
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.stock import Condition
from roomtasks.room.system import PumpTurn
from roomtasks.room.tank import Filter
from roomtasks.room.trouble import TroublePlan, matters, trouble_plan
from roomtasks.room.trouble_clock import Told
from roomtasks.room.trouble_steps import Step
from roomtasks.room.vessel import VesselStep
from roomtasks.room.water_plan import ChangePlan, WhatIf
from tests.room.example_room import example_room, shut
from tests.room.scene import at, group

OFF, ON = at("2027-03-10T02:10"), at("2027-03-10T09:40")


def cut(**facts: Any) -> Trouble:
    return replace(Trouble(code="t-1", sort="power-cut", began=OFF), **facts)


def plan(room: Room, trouble: Trouble, when: str, **told: Any) -> TroublePlan:
    found = trouble_plan(room, trouble, at(when), Told(**told))
    assert isinstance(found, TroublePlan)
    return found


def step(found: TroublePlan, code: str) -> Step:
    return next(each for each in found.steps if each.code == code)


def reading(target: str, what: str, value: float, when: str, id_: int = 1) -> Reading:
    there = at(when)
    return Reading(id=id_, target=target, what=what, value=value, day=there.date(), at=there)


# --- the clocks -----------------------------------------------------------------------------


def with_lines(room: Room) -> Room:
    line = LineFacts(name="line", adult_cm=8.0, celsius_from=21.0)
    return replace(room, lines=(line,))


def test_air_is_brought_in_the_one_order_the_oxygen_list_has() -> None:
    for trouble in (cut(), cut(sort="pump", target="S")):
        found = plan(example_room(), trouble, "2027-03-10T05:00")
        order = [clock.tank for clock in found.clocks]
        loads = [clock.grams_per_litre.value for clock in found.clocks]
        assert loads == sorted(loads, reverse=True)
        first = found.steps[0]
        assert first.places
        assert list(first.places) == [tank for tank in order if tank in first.places]


def test_oxygen_goes_by_grams_to_the_litre_and_heat_by_who_is_cold_first() -> None:
    found = plan(with_lines(example_room()), cut(), "2027-03-10T05:00")
    by = {clock.tank: clock for clock in found.clocks}
    assert by["D1"].grams_per_litre.value == pytest.approx(9 * 0.01 * 8**3 / 52.5)
    assert [clock.tank for clock in found.clocks][:1] == ["H1"]
    assert by["N1"].grams_per_litre.known == "assumed"
    assert [clock.tank for clock in found.heat][:2] == ["N1", "N2"]
    assert found.heat[-1].tank[0] == "G"
    assert found.weakened == ()


def test_a_crowded_tank_of_unknown_length_is_not_last() -> None:
    room = example_room()
    groups = (*(g for g in room.groups if g.tank != "D5"),
              group("crowd", "D5", 400, stage="young", line="unknown"))  # fmt: skip
    found = plan(replace(room, groups=groups), cut(), "2027-03-10T05:00")
    assert found.clocks[0].tank == "D5"


def test_the_time_constant_seen_in_this_very_cut_beats_the_one_from_the_faces() -> None:
    """25.5 to 24.6 C in 2 h at 17: tau 17.9 h, and 21 C after 13.5 h."""
    readings = Readings.of([
        reading("room", "temperature", 17.0, "2027-03-10T02:00", 1),
        reading("D1", "temperature", 25.5, "2027-03-10T02:10", 2),
        reading("D1", "temperature", 24.6, "2027-03-10T04:10", 3),
    ])  # fmt: skip
    found = plan(with_lines(example_room()), cut(), "2027-03-10T05:00", readings=readings)
    clock = next(each for each in found.clocks if each.tank == "D1")
    assert clock.tau_hours.value == pytest.approx(17.9, abs=0.05)
    assert clock.tau_hours.known == "measured"
    assert clock.cold_at is not None
    hours = (clock.cold_at - OFF).total_seconds() / 3600
    assert hours == pytest.approx(13.5, abs=0.05)


def test_a_room_as_warm_as_the_limit_never_gets_it_cold() -> None:
    room = example_room()
    warm = replace(room, setup=replace(room.setup, room_celsius=24.0))
    assert all(each.cold_at is None for each in plan(warm, cut(), "2027-03-10T05:00").clocks)


@given(litres=st.floats(5, 900), hours=st.floats(0.5, 30))
def test_cooling_by_the_faces_agrees_with_the_heat_that_is_lost(
    litres: float, hours: float
) -> None:
    room = with_lines(example_room())
    tanks = tuple(replace(t, measured_litres=litres) if t.code == "D1" else t for t in room.tanks)
    found = plan(replace(room, tanks=tanks), cut(), "2027-03-10T05:00")
    clock = next(each for each in found.clocks if each.tank == "D1")
    loss = litres * 1.163 / clock.tau_hours.value
    assert clock.cold_in_hours is not None
    there = temp_after(litres, 25.0, clock.cold_in_hours, loss_watts_per_kelvin=loss,
                       room_celsius=20.0)  # fmt: skip
    assert there == pytest.approx(21.0)


def test_filters_that_stood_longer_than_the_setting_are_weakened_save_on_battery_air() -> None:
    room = example_room()
    air = Event(id=9, event="battery-air", target="D1", day=date(2027, 3, 9),
                at=at("2027-03-10T03:00"))  # fmt: skip
    aired = replace(room, events=(air,))
    assert plan(aired, cut(), "2027-03-10T06:10").weakened == ()
    late = plan(aired, cut(), "2027-03-10T06:11")
    assert late.weakened[0] == "S"
    assert "D1" not in late.weakened
    assert "D2" in late.weakened
    assert plan(aired, cut(), "2027-03-10T06:11", weak_after_hours=6.0).weakened == ()
    assert step(late, "battery").left == tuple(
        clock.tank for clock in late.clocks if not clock.battery_air
    )
    assert "D1" not in step(late, "battery").left


def test_a_canister_on_battery_air_stands_all_the_same() -> None:
    room = example_room()
    air = Event(id=9, event="battery-air", target="D1", day=date(2027, 3, 9),
                at=at("2027-03-10T03:00"))  # fmt: skip
    seen = replace(room, events=(air,), filters=(Filter(code="D1-1", tank="D1", kind="canister"),))
    assert "D1" in plan(seen, cut(), "2027-03-10T08:00").weakened


# --- power back -----------------------------------------------------------------------------


def test_power_back_sump_before_pump_then_outlets_air_heaters_timers_and_tests() -> None:
    found = plan(example_room(), cut(ended=ON), "2027-03-10T10:00")
    assert [each.code for each in found.steps] == [
        "battery", "warm", "sump", "run", "outlets", "air", "heaters", "timers",
        "ammonia-0", "ammonia-1", "ammonia-3",
    ]  # fmt: skip
    assert next(each.code for each in found.today) == "sump"
    assert "runs dry" in step(found, "sump").caution
    assert step(found, "run").where == ("S",)
    assert step(found, "ammonia-1").state == "to-come"
    assert found.lifts == date(2027, 3, 17)
    assert found.changes == (
        "no food until Thu 11 Mar 09:40, then half of it to Sat 13 Mar",
        "no filter cleaned before Wed 17 Mar",
    )  # fmt: skip


def test_carbon_monoxide_is_said_while_the_power_is_off() -> None:
    found = plan(example_room(), cut(), "2027-03-10T05:00")
    assert all("carbon monoxide" in each.caution for each in found.steps)


def test_steps_are_done_by_what_is_noted_anyway() -> None:
    room = example_room()
    pumped = replace(room, pumps=(*room.pumps, PumpTurn(system="S", at=ON, state="running")))
    level = Readings.of([reading("S", "sump-level", 34.0, "2027-03-10T09:41")])
    found = plan(pumped, cut(ended=ON), "2027-03-10T10:00", readings=level)
    assert step(found, "sump").done
    assert step(found, "run").done
    before = Readings.of([reading("S", "sump-level", 34.0, "2027-03-10T01:00")])
    assert not step(plan(room, cut(ended=ON), "2027-03-10T10:00", readings=before), "sump").done
    tick = Event(id=1, event="trouble-step", target="room", day=ON.date(), at=ON,
                 note="t-1 timers")  # fmt: skip
    ticked = plan(replace(room, events=(tick,)), cut(ended=ON), "2027-03-10T10:00")
    assert step(ticked, "timers").done
    assert not step(ticked, "outlets").done


def test_ammonia_is_wanted_of_each_water_on_day_0_1_and_3() -> None:
    room = example_room()
    first = step(plan(room, cut(ended=ON), "2027-03-10T10:00"), "ammonia-0")
    assert first.left.count("S") == 1
    assert {"D1", "D8", "N1", "Q1", "H1"} <= set(first.left)
    assert not {"A1", "G1"} & set(first.left)
    taken = Readings.of([reading("A3", "ammonia", 0.0, "2027-03-11T08:00")])
    second = step(plan(room, cut(ended=ON), "2027-03-11T10:00", readings=taken), "ammonia-1")
    assert "S" not in second.left
    assert "D1" in second.left
    every = [reading(place, "ammonia", 0.0, "2027-03-11T08:00", n)
             for n, place in enumerate(first.places)]  # fmt: skip
    done = plan(room, cut(ended=ON), "2027-03-11T10:00", readings=Readings.of(every))
    assert step(done, "ammonia-1").done
    assert step(done, "ammonia-0").state == "gone-by"


def test_a_test_of_day_1_is_late_on_day_2_and_gone_by_on_day_3() -> None:
    room = example_room()
    assert step(plan(room, cut(ended=ON), "2027-03-12T10:00"), "ammonia-1").state == "late"
    assert step(plan(room, cut(ended=ON), "2027-03-13T10:00"), "ammonia-1").state == "gone-by"
    assert step(plan(room, cut(ended=ON), "2027-03-13T10:00"), "ammonia-3").state == "due"


# --- the other sorts ------------------------------------------------------------------------


def test_a_failed_pump_puts_tanks_without_air_of_their_own_first() -> None:
    room = example_room()
    sponge = Filter(code="G1-1", tank="G1")
    seen = replace(room, filters=(*room.filters, sponge))
    found = plan(seen, cut(sort="pump", target="S"), "2027-03-10T05:00")
    air = step(found, "air")
    assert "G1" not in air.left
    assert len(air.left) == 15
    assert not any(tank.startswith("D") for tank in air.left)
    assert "heater" in step(found, "heater").words
    assert found.changes == (
        "no food and no filter cleaned in tanks on S until it runs",
    )  # fmt: skip
    shut_off = plan(shut(seen, "G2", when=at("2027-03-01T10:00")),
                    cut(sort="pump", target="S"), "2027-03-10T05:00")  # fmt: skip
    assert "G2" not in {clock.tank for clock in shut_off.clocks}


def test_a_heater_says_the_hours_of_warming_slowly_and_watches_fourteen_days() -> None:
    read = Readings.of([reading("D1", "temperature", 20.5, "2027-03-10T05:00")])
    found = plan(example_room(), cut(sort="heater", target="D1"), "2027-03-10T06:00", readings=read)
    assert "20.5 to 25 C takes 4.5 h or more" in step(found, "slowly").words
    assert "Unplug" in step(found, "unplug").words
    over = cut(sort="heater", target="D1", ended=ON)
    assert step(plan(example_room(), over, "2027-03-24T10:00"), "watch").state == "due"
    assert step(plan(example_room(), over, "2027-03-25T10:00"), "watch").state == "gone-by"
    assert plan(example_room(), over, "2027-03-24T10:00").lifts == date(2027, 3, 25)


def test_a_leak_lists_free_litres_by_class_and_where_each_group_goes() -> None:
    room = example_room()
    free = replace(
        room,
        groups=tuple(g for g in room.groups if g.tank not in ("G6", "Q3")),
        filters=tuple(replace(f, since=date(2026, 9, 1)) for f in room.filters),
    )
    found = plan(free, cut(sort="leak", target="A1"), "2027-03-10T05:00")
    assert [(each.health.word, each.tanks) for each in found.free] == [
        ("clean", ("G6",)), ("quarantine", ("Q3",)),
    ]  # fmt: skip
    assert found.ways[0].tanks[0] == "G6"
    assert [each.code for each in found.steps] == [
        "floor", "where-from", "valve", "drain", "fish-out", "sump-S",
    ]  # fmt: skip
    assert "R1 keeps back 100 L" in step(found, "sump-S").words
    shut_off = plan(shut(free, "A1", when=at("2027-03-10T04:00")),
                    cut(sort="leak", target="A1"), "2027-03-10T05:00")  # fmt: skip
    assert step(shut_off, "valve").done


def test_fish_with_no_tank_that_would_do_are_told_so() -> None:
    ill = Condition(tank="H1", since=date(2027, 3, 1), state="sick", reason="spots")
    room = replace(example_room(), conditions=(ill,))
    found = plan(room, cut(sort="leak", target="H1"), "2027-03-10T05:00")
    assert "no tank would do" in found.ways[0].words
    assert found.free == ()


def test_an_outbreak_names_the_exposed_set_and_freezes_it() -> None:
    room = example_room()
    history = History(turns=room.valves)
    reached = reached_from(history, "A1", at("2027-02-08T04:00"), at("2027-03-10T05:00"))
    ill = cut(sort="outbreak", target="A1")
    found = plan(room, ill, "2027-03-10T05:00", reached=reached)
    assert found.exposed[0] == "A1"
    assert len(found.exposed) == 16
    assert len(step(found, "freeze").left) == 16
    assert "2412 L" in step(found, "litres").words
    holds = tuple(Hold(code=f"h-{t}", target=t, kinds="move", reason="x", since=OFF.date())
                  for t in found.exposed)  # fmt: skip
    assert step(plan(replace(room, holds=holds), ill, "2027-03-10T05:00", reached=reached),
                "freeze").done  # fmt: skip
    assert all("vet" not in each.words for each in found.steps)
    assert "vet" in step(found, "litres").caution


def water(room: Room, when: str) -> ChangePlan:
    now = at(when)
    scene = WaterScene(room=room, dues=all_due(room, {}, now), now=now)
    found = plan_change(scene, WhatIf())
    assert isinstance(found, ChangePlan)
    return found


def test_an_untreated_reservoir_counts_as_empty_until_it_is_checked() -> None:
    room, when = example_room(), "2027-03-13T08:30"
    trouble = cut(sort="reservoir", target="R1", began=at("2027-03-13T08:00"))
    found = plan(room, trouble, when, water=water(room, when))
    by = {each.recipe: each for each in found.shared}
    assert by["hard"].litres == 0
    assert by["hard"].served == ()
    assert by["hard"].without
    assert "untreated" in step(found, "shut").why
    began, ready = at("2027-03-13T08:05"), at("2027-03-13T08:20")
    steps = tuple(
        VesselStep(id=n, reservoir="R1", step=word, at=then, litres=700.0, recipe="hard")
        for n, (word, then) in enumerate(
            [("full", began), ("treated", began), ("mixed", ready), ("ready", ready)], start=1
        )
    )  # fmt: skip
    full = tuple(replace(r, holds_litres=r.full_litres) for r in room.reservoirs)
    cold = replace(room, vessel_steps=steps[:2], reservoirs=full)
    less = plan(cold, trouble, when, water=water(cold, when))
    assert "D1 9 %" in less.shared[0].smaller  # 1 K of 25 - 13.6
    made = replace(room, vessel_steps=steps, reservoirs=full)
    again = plan(made, trouble, when, water=water(made, when))
    assert step(again, "treated").done
    assert {each.recipe: each.litres for each in again.shared}["hard"] > 500
    needs = [each.draw.need for each in again.shared[0].served]
    assert needs == sorted(needs)


def test_one_that_has_not_begun_is_refused() -> None:
    answer = trouble_plan(example_room(), cut(), at("2027-03-10T02:09"))
    assert isinstance(answer, Problem)
    assert answer.rule == "not-in-the-future"


def test_what_is_over_says_something_for_fourteen_days() -> None:
    room = example_room()
    over = cut(ended=ON)
    assert matters(room, over, at("2027-03-24T23:00"))
    assert not matters(room, over, at("2027-03-25T05:00"))
    assert not matters(room, over, at("2027-03-10T01:00"))


@given(sort=st.sampled_from(TROUBLES), hours=st.integers(0, 800), over=st.booleans())
def test_every_step_is_ready_words_with_a_way_to_note_it(sort: str, hours: int, over: bool) -> None:
    places = {"power-cut": "room", "pump": "S", "heater": "D1", "leak": "A1", "outbreak": "A1",
              "reservoir": "R1"}  # fmt: skip
    trouble = cut(sort=sort, target=places[sort], ended=ON if over else None)
    now = ON + timedelta(hours=hours)
    found = trouble_plan(example_room(), trouble, now)
    assert isinstance(found, TroublePlan)
    codes = [each.code for each in found.steps]
    assert len(codes) == len(set(codes))
    for each in found.steps:
        assert each.words
        assert "roomtasks " in each.note_with
        assert each.state in ("done", "due", "late", "to-come", "gone-by")
        assert not each.done or not each.left
