"""One fill by the clock: back from the change, within the hours somebody is there."""

import math
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any

import pytest

from roomtasks.room.amount import ASSUMED, MEASURED, Amount
from roomtasks.room.quantity import IMPOSSIBLE
from roomtasks.room.ready import ChainedFill, chain, clock, emptied_at
from roomtasks.room.ready_words import NOT_WATCHED, TOO_SOON
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.setup import WEEKDAYS, Hours
from roomtasks.room.warming import NO_RATE, TOO_COLD, TOO_WARM, FillNeed, Warming, warm
from roomtasks.room.water_plan import Clock
from tests.room.scene import at

INVENTED = "worked here, invented room"
NOON = at("2027-03-12T12:00")
SATURDAY, SUNDAY = at("2027-03-13T09:00"), at("2027-03-14T09:00")


def celsius(value: float) -> Amount:
    return Amount(value, "C", MEASURED)


def reservoir(**facts: Any) -> Reservoir:
    base: dict[str, Any] = {
        "code": "R1", "full_litres": 700.0, "dead_litres": 40.0, "keep_back_litres": 100.0,
        "fill_litres_per_min": 6.0, "heater_watts": 2850.0, "rest_hours": 12.0,
        "check_minutes": 30.0, "hose_minutes": 10.0, "pump_litres_per_min": 20.0,
    }  # fmt: skip
    return Reservoir(**{**base, **facts})


def need(added: float = 560.0, left_at: float = 18.0, **facts: Any) -> FillNeed:
    """A fill of the invented room; facts of the reservoir among them go to it."""
    of_need = {name: facts.pop(name) for name in list(facts) if name in FillNeed.__slots__}
    base: dict[str, Any] = {
        "reservoir": reservoir(**facts), "added_litres": added, "left_litres": 140.0,
        "left_celsius": celsius(left_at), "source_celsius": celsius(12), "target_celsius": 25.0,
        "room_celsius": celsius(20),
    }  # fmt: skip
    return FillNeed(**{**base, **of_need})


def warmed(of: FillNeed) -> tuple[Amount, Amount, Amount]:
    """What it mixes to, the energy and the minutes."""
    found = warm(of)
    assert isinstance(found, Warming)
    assert found.mix is not None
    assert found.kwh is not None
    assert found.minutes is not None
    return found.mix, found.kwh, found.minutes


def every_day(start: int, end: int) -> tuple[Hours, ...]:
    """The same hours every day; 24 is midnight."""
    return tuple(
        Hours(weekday=day, from_time=time(start), until_time=time(end % 24)) for day in WEEKDAYS
    )


def latest(planned: Clock) -> dict[str, str]:
    return {step.step: f"{step.latest:%a %H:%M}" for step in planned.steps}


def advised(planned: Clock) -> dict[str, str]:
    return {step.step: f"{step.advised:%a %H:%M}" for step in planned.steps}


# --- back from the change ---------------------------------------------------------------


def test_the_first_batch_back_from_nine_on_saturday() -> None:
    planned = clock(need(), (), SATURDAY, NOON)
    assert planned.refused is None
    assert latest(planned) == {
        "hose-out": "Fri 18:46", "fill-start": "Fri 18:56", "full": "Fri 20:30",
        "treated": "Fri 20:30", "rest": "Fri 20:30", "heat-on": "Sat 05:07",
        "mixed": "Sat 07:30", "ready-check": "Sat 08:30", "change": "Sat 09:00",
    }, INVENTED  # fmt: skip
    assert advised(planned)["heat-on"] == "Sat 03:26", INVENTED
    heating = next(step for step in planned.steps if step.step == "heat-on")
    assert heating.minutes.value == pytest.approx(3 * 60 + 22, abs=0.5), INVENTED


def test_it_counts_what_is_left_in_it() -> None:
    assert warmed(need(left_litres=0.0))[2].value == pytest.approx(178, abs=0.5), INVENTED
    mix, kwh, minutes = warmed(need())
    assert mix.value == pytest.approx(13.2), INVENTED
    assert kwh.value == pytest.approx(9.61, abs=0.005), INVENTED
    assert minutes.value == pytest.approx(202, abs=0.5), INVENTED


def test_a_day_of_rest_from_noon_is_too_late_and_says_when_it_can_be() -> None:
    planned = clock(need(rest_hours=24.0), (), SATURDAY, NOON)
    assert planned.refused is not None
    assert planned.refused.rule == TOO_SOON
    assert latest(planned)["full"] == "Fri 08:30", INVENTED
    earliest = advised(planned)
    assert earliest["hose-out"] == "Fri 12:00", INVENTED
    assert (earliest["fill-start"], earliest["full"]) == ("Fri 12:10", "Fri 13:43"), INVENTED
    assert planned.ready_at == at("2027-03-13T13:43"), INVENTED
    assert earliest["change"] == "Sat 14:13", INVENTED
    told = planned.refused.remedy
    assert "Sat 13 Mar 14:13" in told
    assert "fill Fri 12 Mar 12:10 to 13:43" in told


def test_the_hour_that_a_refusal_names_is_kept() -> None:
    planned = clock(need(rest_hours=24.0), (), at("2027-03-13T14:13"), NOON)
    assert planned.refused is None
    assert latest(planned)["hose-out"] == "Fri 12:00"


def test_a_second_batch_waits_for_the_first_to_be_used() -> None:
    free, early = at("2027-03-13T10:40"), at("2027-03-13T08:00")
    second = need(359, 24.5)
    mix, _, minutes = warmed(second)
    assert mix.value == pytest.approx(15.5, abs=0.05), INVENTED
    assert minutes.value == pytest.approx(116, abs=0.5), INVENTED
    planned = clock(second, (), SUNDAY, early, free)
    assert planned.refused is None, INVENTED
    assert planned.ready_at == at("2027-03-13T23:40"), INVENTED
    today = clock(second, (), at("2027-03-13T15:00"), early, free)
    assert today.refused is not None
    assert (advised(today)["fill-start"], advised(today)["full"]) == ("Sat 10:40", "Sat 11:40")
    longer = clock(need(359, 24.5, rest_hours=24.0), (), SUNDAY, early, free)
    assert longer.refused is not None, INVENTED
    assert longer.ready_at == at("2027-03-14T11:40"), INVENTED


def test_advised_leaves_a_fifth_of_the_fill_and_half_the_heating() -> None:
    planned = clock(need(), (), SATURDAY, NOON)
    assert advised(planned)["fill-start"] == "Fri 18:38"  # 0.2 of 93 min before 18:56
    late = clock(need(), (), SATURDAY, at("2027-03-12T18:40"))
    assert late.refused is None
    assert advised(late)["hose-out"] == "Fri 18:40"
    assert latest(late)["hose-out"] == "Fri 18:46"


def test_no_temperature_wanted_is_no_heating() -> None:
    planned = clock(need(target_celsius=None), (), SATURDAY, NOON)
    assert "heat-on" not in latest(planned)
    assert latest(planned)["full"] == "Fri 20:30"
    bare = need(target_celsius=None, source_celsius=None, left_celsius=None, room_celsius=None)
    assert clock(bare, (), SATURDAY, NOON).refused is None


def test_without_rest_the_heating_sets_the_hour() -> None:
    planned = clock(need(rest_hours=0.0), (), SATURDAY, NOON)
    assert "rest" not in latest(planned)
    assert latest(planned)["full"] == latest(planned)["heat-on"] == "Sat 05:07"


def test_water_that_is_not_dosed_is_not_treated() -> None:
    assert "treated" not in latest(clock(need(dosed=False), (), SATURDAY, NOON))


def test_an_ro_unit_slower_than_the_hose_sets_the_fill() -> None:
    planned = clock(need(180.0, ro_hours=13 + 4 / 60, rest_hours=0.0, target_celsius=None,
                         mix_minutes=0.0), (), SATURDAY, NOON)  # fmt: skip
    assert latest(planned)["full"] == "Sat 08:30"
    assert latest(planned)["fill-start"] == "Fri 19:26"


# --- the nights on which the clocks change ------------------------------------------------


def test_twelve_hours_over_the_night_the_clocks_go_forward() -> None:
    planned = clock(need(), (), at("2027-03-28T09:00"), at("2027-03-27T12:00"))
    assert latest(planned)["full"] == "Sat 19:30"  # an hour earlier on the clock
    assert planned.steps[-1].latest.utcoffset() == timedelta(hours=1)
    short = clock(need(), (), at("2027-03-28T09:00"), at("2027-03-27T18:00"))
    assert short.refused is not None
    assert advised(short)["change"] == "Sun 09:13"  # 18:10 + 93 min + 12 h + 30 min + 1 h


def test_twelve_hours_over_the_night_the_clocks_go_back() -> None:
    planned = clock(need(), (), at("2026-10-25T09:00"), at("2026-10-24T12:00"))
    assert latest(planned)["full"] == "Sat 21:30"
    heat_on = next(step for step in planned.steps if step.step == "heat-on")
    assert latest(planned)["heat-on"] == "Sun 05:07"
    assert heat_on.latest.utcoffset() == timedelta(0)
    early = clock(need(), (), at("2026-10-25T04:40"), at("2026-10-24T12:00"))
    fold = next(step for step in early.steps if step.step == "heat-on").latest
    assert f"{fold:%H:%M}" == "01:47"  # 04:10 less 3 h 22 min, on the clock's first 01:47
    assert fold.utcoffset() == timedelta(hours=1)


# --- somebody there -----------------------------------------------------------------------


def test_a_fill_that_must_be_watched_moves_to_the_last_hours_that_hold_it() -> None:
    planned = clock(need(), every_day(7, 20), SATURDAY, NOON)
    assert planned.refused is None
    assert latest(planned)["full"] == "Fri 20:00"
    assert latest(planned)["hose-out"] == "Fri 18:16"
    split = (*every_day(7, 9), *every_day(18, 20))
    narrow = clock(need(540.0), split, SATURDAY, NOON)
    assert latest(narrow)["full"] == "Fri 20:00"
    assert latest(narrow)["hose-out"] == "Fri 18:20"


def test_a_float_valve_lets_it_fill_alone() -> None:
    hours = (*every_day(7, 9), *every_day(17, 18))
    kept = clock(need(), hours, SATURDAY, at("2027-03-12T06:00"))
    assert latest(kept)["hose-out"] == "Fri 07:16"  # the last span that holds it all
    alone = clock(need(unattended=True), hours, SATURDAY, at("2027-03-12T06:00"))
    assert latest(alone)["treated"] == "Fri 18:00"  # somebody is there to dose it
    assert latest(alone)["hose-out"] == "Fri 08:50"
    assert latest(alone)["full"] == "Fri 10:33"


def test_the_earliest_plan_keeps_to_the_hours_too() -> None:
    planned = clock(need(), every_day(18, 22), at("2027-03-12T23:00"), NOON)
    assert planned.refused is not None
    earliest = advised(planned)
    assert (earliest["hose-out"], earliest["full"]) == ("Fri 18:00", "Fri 19:43")
    assert earliest["ready-check"] == "Sat 18:00"
    assert earliest["change"] == "Sat 18:30"
    assert clock(need(), every_day(18, 22), at("2027-03-13T18:30"), NOON).refused is None


def test_a_check_with_nobody_there_moves_back_and_is_told() -> None:
    planned = clock(need(), every_day(9, 22), SUNDAY, NOON)
    assert latest(planned)["ready-check"] == "Sat 21:30"
    assert latest(planned)["full"] == "Fri 22:00"
    assert any("nobody is there just before" in note.text for note in planned.notes)


def test_the_heater_is_advised_while_somebody_is_there() -> None:
    planned = clock(need(), every_day(7, 23), SATURDAY, NOON)
    assert advised(planned)["heat-on"] == "Fri 23:00"
    assert latest(planned)["heat-on"] == "Sat 05:07"


def test_a_fill_longer_than_any_hours_is_refused_with_what_would_help() -> None:
    planned = clock(need(), every_day(18, 19), SATURDAY, NOON)
    assert planned.refused is not None
    assert planned.refused.rule == NOT_WATCHED
    assert planned.ready_at is None
    assert [step.step for step in planned.steps] == ["change"]
    assert "1 h 33 min" in planned.refused.what
    assert "float valve" in planned.refused.remedy
    assert "11.2 L/min" in planned.refused.remedy  # 560 L in the 50 min beside the hose
    assert "300 L" in planned.refused.remedy
    helped = need(fill_rate=11.2)
    assert clock(helped, every_day(18, 19), SUNDAY, NOON).refused is None


def test_hours_that_meet_at_midnight_are_one_span() -> None:
    through = (*every_day(22, 24), *every_day(0, 2))
    planned = clock(need(1200.0, full_litres=1400.0), through, SUNDAY, NOON)
    assert planned.refused is None
    assert planned.steps[0].minutes.value == 10
    assert latest(planned)["hose-out"] == "Fri 22:30"  # 210 min over by two


def test_hours_round_the_clock_are_as_none() -> None:
    always = every_day(0, 24)
    assert latest(clock(need(), always, SATURDAY, NOON)) == latest(
        clock(need(), (), SATURDAY, NOON)
    )


def test_a_check_longer_than_any_hours_is_refused() -> None:
    hours = (Hours(weekday="friday", from_time=time(8), until_time=time(8, 20)),)
    planned = clock(need(unattended=True), hours, SATURDAY, NOON)
    assert planned.refused is not None
    assert planned.refused.rule == NOT_WATCHED
    assert "check" in planned.refused.what


# --- several fills of one reservoir -------------------------------------------------------


def test_two_fills_in_a_chain() -> None:
    fills = (
        ChainedFill(need=need(), wanted_at=SATURDAY, used_litres=560, job_minutes=100),
        ChainedFill(need=need(359, 24.5), wanted_at=at("2027-03-13T15:00"), used_litres=359),
    )
    first, second = chain(fills, (), NOON)
    assert first.refused is None
    assert emptied_at(fills[0], first) == at("2027-03-13T10:40"), INVENTED
    assert second.refused is not None
    assert second.ready_at == at("2027-03-13T23:40"), INVENTED
    assert "Sun 14 Mar 00:10" in second.refused.remedy
    pumped = replace(fills[0], job_minutes=0.0)
    assert emptied_at(pumped, first) == at("2027-03-13T09:28")  # 560 L at 20 L/min
    told = replace(fills[1], free_at=at("2027-03-13T12:00"))
    assert chain((fills[0], told), (), NOON)[1].ready_at == at("2027-03-14T01:00")


def test_after_a_fill_that_never_gets_ready_the_next_is_refused_with_it() -> None:
    cold = ChainedFill(need=need(heater_watts=None), wanted_at=SATURDAY)
    first, second = chain((cold, ChainedFill(need=need(), wanted_at=SUNDAY)), (), NOON)
    assert emptied_at(cold, first) is None
    assert second.refused is not None
    assert second.refused.rule == TOO_COLD
    assert second.refused.what.startswith("the fill before it never gets ready")


# --- what cannot be -----------------------------------------------------------------------


def test_a_heater_that_never_gets_there_says_how_warm_it_can() -> None:
    colder = need(heater_watts=150.0, loss_watts_per_kelvin=40.0)
    refused = clock(colder, (), SATURDAY, NOON).refused
    assert refused is not None
    assert refused.where == "R1 heater_watts"
    assert "come near 23.75 C" in refused.remedy
    assert refused.rule == IMPOSSIBLE


def test_water_warmer_than_wanted_is_refused_by_how_much() -> None:
    refused = clock(need(target_celsius=12.5, left_at=24.0), (), SATURDAY, NOON).refused
    assert refused is not None
    assert refused.rule == TOO_WARM
    assert "14.4 C" in refused.what
    assert "1.9 K above the 12.5 C" in refused.what
    assert "12 C run in" in refused.remedy


def test_water_a_hair_warmer_than_wanted_is_let_be() -> None:
    planned = clock(need(target_celsius=13.0), (), SATURDAY, NOON)
    assert planned.refused is None
    assert "heat-on" not in latest(planned)
    assert any("0.2 K warmer" in note.text for note in planned.notes)


def test_no_heater_for_cold_water_is_refused() -> None:
    refused = clock(need(heater_watts=None), (), SATURDAY, NOON).refused
    assert refused is not None
    assert (refused.where, refused.rule) == ("R1 heater_watts", TOO_COLD)


def test_a_fill_rate_that_was_never_measured_is_asked_for() -> None:
    refused = clock(need(fill_litres_per_min=None), (), SATURDAY, NOON).refused
    assert refused is not None
    assert (refused.where, refused.rule) == ("R1 fill_litres_per_min", NO_RATE)
    assert clock(need(fill_litres_per_min=None, fill_rate=6.0), (), SATURDAY, NOON).refused is None


def test_an_unknown_temperature_of_the_tap_is_asked_for() -> None:
    refused = clock(need(source_celsius=None), (), SATURDAY, NOON).refused
    assert refused is not None
    assert refused.where == "R1 source_celsius"


def test_what_is_left_is_thought_as_warm_as_the_room() -> None:
    mix, _, _ = warmed(need(left_celsius=None))
    assert mix.value == pytest.approx(13.6)
    assert mix.known == ASSUMED


BAD: list[tuple[str, dict[str, Any]]] = [
    *[("fill_litres_per_min", {"fill_rate": bad}) for bad in (0.0, -6.0, math.nan, 1e308)],
    *[("rest_hours", {"rest_hours": bad}) for bad in (-1.0, math.nan, math.inf, 1e308)],
    *[("mix_minutes", {"mix_minutes": bad}) for bad in (-1.0, math.nan, 1e308)],
    *[("check_minutes", {"check_minutes": bad}) for bad in (-1.0, math.nan, 1e308)],
    *[("hose_minutes", {"hose_minutes": bad}) for bad in (-1.0, math.nan, 1e308)],
    *[("heater_watts", {"heater_watts": bad}) for bad in (0.0, -3.0, math.nan, 1e308)],
    ("heater_watts", {"heater_watts": 5.0}),
    *[("loss_watts_per_kelvin", {"loss_watts_per_kelvin": bad}) for bad in (-1.0, math.nan)],
    *[("ro_hours", {"ro_hours": bad}) for bad in (-1.0, math.nan, 1e308)],
    *[("added_litres", {"added_litres": bad}) for bad in (-1.0, math.nan, 561.0, 1e308)],
    ("added_litres", {"added_litres": 0.0, "left_litres": 0.0}),
    *[("left_litres", {"left_litres": bad}) for bad in (-1.0, math.nan)],
    ("added_litres", {"left_litres": 150.0}),
    *[("full_litres", {"full_litres": bad}) for bad in (0.0, math.nan)],
    *[("target_celsius", {"target_celsius": bad}) for bad in (0.0, 41.0, math.nan)],
    *[("source_celsius", {"source_celsius": celsius(bad)}) for bad in (-1.0, 61.0, math.nan)],
    *[("left_celsius", {"left_celsius": celsius(bad)}) for bad in (-1.0, math.inf)],
    ("room_celsius", {"room_celsius": celsius(math.nan)}),
    ("room_celsius", {"room_celsius": None, "loss_watts_per_kelvin": 5.0}),
    ("target_celsius", {"source_celsius": celsius(30.0)}),
]


@pytest.mark.parametrize(("field", "facts"), BAD)
def test_a_number_that_cannot_be_is_named_by_its_field(field: str, facts: dict[str, Any]) -> None:
    planned = clock(need(**facts), (), SATURDAY, NOON)
    assert planned.refused is not None
    assert planned.refused.where == f"R1 {field}"
    assert planned.refused.what
    assert planned.ready_at is None


def test_an_hour_without_a_zone_is_a_slip_of_the_programmer() -> None:
    with pytest.raises(ValueError, match="zone"):
        clock(need(), (), datetime(2027, 3, 13, 9), NOON)
