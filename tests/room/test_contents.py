"""What a reservoir holds, folded from its steps."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, COMPUTED, MEASURED, SET, Amount
from roomtasks.room.contents import contents, contents_of, room_celsius
from roomtasks.room.contents_fold import Surroundings
from roomtasks.room.journal import Reading
from roomtasks.room.readings import NO_READINGS, Readings
from roomtasks.room.recipe import Rate, Recipe, Source
from roomtasks.room.vessel import STEPS, VesselStep
from roomtasks.room.water_plan import Contents
from tests.room.scene import at, room
from tests.room.test_ready import NOON, celsius, reservoir

INVENTED = "worked here, invented room"
TODAY = date(2027, 3, 13)
AROUND = Surroundings(
    source_celsius=celsius(12), room_celsius=celsius(20), wanted_celsius=25.0, dosed=True
)


def step(when: str, word: str, **facts: Any) -> VesselStep:
    return VesselStep(id=len(facts) + 1, reservoir="R1", at=at(when), step=word, **facts)


def held(
    now: str,
    *steps: VesselStep,
    holds: float = 140.0,
    readings: Readings = NO_READINGS,
    around: Surroundings = AROUND,
    **facts: Any,
) -> Contents:
    vessel = reservoir(holds_litres=holds, **facts)
    return contents(vessel, steps, readings, at(now), TODAY, around)


def read_at(when: str, value: float, what: str = "temperature", target: str = "R1") -> Reading:
    moment = at(when)
    return Reading(id=1, target=target, what=what, value=value, unit="C", day=moment.date(),
                   at=moment)  # fmt: skip


def warmth(found: Contents) -> Amount:
    assert found.celsius is not None
    return found.celsius


# --- the water --------------------------------------------------------------------------


def test_a_reservoir_without_steps_is_taken_as_ready() -> None:
    found = held("2027-03-13T08:00", holds=700.0)
    assert (found.litres, found.state, found.known) == (700.0, "ready", ASSUMED)
    assert held("2027-03-13T08:00", holds=40.0).state == "empty"


def test_steps_at_another_reservoir_and_later_steps_do_not_count() -> None:
    other = VesselStep(id=1, reservoir="R2", at=NOON, step="emptied")
    later = step("2027-03-13T09:00", "emptied")
    assert held("2027-03-13T08:00", other, holds=700.0).known == ASSUMED
    assert held("2027-03-13T08:00", later, holds=700.0).known == ASSUMED


def test_litres_grow_while_the_hose_runs_and_never_past_full() -> None:
    begun = step("2027-03-12T18:56", "fill-start", celsius=18.0)
    half = held("2027-03-12T19:26", begun)
    assert (half.litres, half.state, half.raw_litres) == (320.0, "filling", 180.0)
    assert half.filling_since == at("2027-03-12T18:56")
    assert warmth(half).value == pytest.approx((140 * 18 + 180 * 12) / 320)
    assert warmth(half).known == COMPUTED
    over = held("2027-03-12T23:26", begun)
    assert over.litres == 700.0
    assert held("2027-03-12T19:26", begun, fill_litres_per_min=None).litres == 140.0


def test_a_fill_from_the_hose_to_ready() -> None:
    steps = [
        step("2027-03-12T18:46", "hose-out"),
        step("2027-03-12T18:56", "fill-start", celsius=18.0, for_day=TODAY, recipe="hard"),
        step("2027-03-12T20:30", "full"),
    ]
    raw = held("2027-03-12T20:31", *steps, holds=700.0)
    assert (raw.litres, raw.state) == (700.0, "raw")
    assert raw.raw_litres == pytest.approx(560.0)
    assert (raw.recipe, raw.for_day) == ("hard", TODAY)
    assert warmth(raw).value == pytest.approx(13.2, abs=0.01), INVENTED
    steps.append(step("2027-03-12T20:35", "treated"))
    assert held("2027-03-12T20:36", *steps, holds=700.0).state == "treated"
    steps.append(step("2027-03-12T23:00", "heat-on"))
    warming = held("2027-03-13T00:41", *steps, holds=700.0)
    assert warming.state == "heating"
    assert warmth(warming).value == pytest.approx(13.2 + 101 / 202.24 * 11.8, abs=0.02), INVENTED
    warm = held("2027-03-13T04:00", *steps, holds=700.0)
    assert warmth(warm).value == 25.0  # the thermostat
    steps.append(step("2027-03-13T07:30", "mixed"))
    assert held("2027-03-13T07:31", *steps, holds=700.0).state == "mixed"
    steps.append(step("2027-03-13T08:30", "ready", celsius=24.8))
    ready = held("2027-03-13T08:31", *steps, holds=700.0)
    assert (ready.state, ready.known) == ("ready", COMPUTED)
    steps.append(step("2027-03-13T10:40", "used", litres=140.0))
    used = held("2027-03-13T10:41", *steps)
    assert (used.litres, used.state, used.full_at, used.for_day) == (140.0, "ready", None, None)
    steps.append(step("2027-03-13T11:00", "emptied", litres=0.0))
    empty = held("2027-03-13T11:01", *steps, holds=0.0)
    assert (empty.litres, empty.state, empty.treated_at, empty.recipe) == (0.0, "empty", None, "")


def test_raw_water_onto_treated_makes_it_all_untreated_until_dosed_and_mixed() -> None:
    steps = [
        step("2027-03-12T18:00", "full", litres=500.0),
        step("2027-03-12T18:05", "treated"),
        step("2027-03-12T19:00", "mixed"),
        step("2027-03-12T19:30", "ready"),
        step("2027-03-12T20:00", "raw-in", litres=600.0),
    ]
    raw = held("2027-03-12T20:01", *steps, holds=600.0)
    assert raw.state == "raw"
    assert raw.raw_litres == pytest.approx(100.0)
    assert raw.treated_at is raw.ready_at is raw.mixed_at is None
    told = step("2027-03-12T20:02", "ready")
    assert held("2027-03-12T20:03", *steps, told, holds=600.0).state == "raw"
    steps.append(step("2027-03-12T20:05", "treated"))
    dosed = held("2027-03-12T20:06", *steps, holds=600.0)
    assert (dosed.state, dosed.raw_litres, dosed.mixed_at) == ("treated", 0.0, None)
    steps.append(step("2027-03-12T21:05", "mixed"))
    assert held("2027-03-12T21:06", *steps, holds=600.0).state == "mixed"


def test_a_hose_on_treated_water_makes_it_untreated_too() -> None:
    steps = (
        step("2027-03-12T18:00", "full", litres=500.0), step("2027-03-12T18:05", "treated"),
        step("2027-03-12T20:00", "fill-start"),
    )  # fmt: skip
    found = held("2027-03-12T20:10", *steps, holds=500.0)
    assert found.treated_at is None
    assert found.raw_litres == pytest.approx(60.0)


def test_a_fill_dosed_while_it_runs_stays_treated() -> None:
    steps = (
        step("2027-03-12T18:56", "fill-start"), step("2027-03-12T19:30", "treated"),
        step("2027-03-12T20:30", "full", litres=700.0),
    )  # fmt: skip
    found = held("2027-03-12T20:31", *steps, holds=700.0)
    assert (found.state, found.raw_litres) == ("treated", 0.0)


def test_water_without_a_label_rate_may_be_ready_undosed() -> None:
    around = Surroundings(room_celsius=celsius(20))
    steps = (step("2027-03-12T20:30", "full"), step("2027-03-13T08:30", "ready"))
    assert held("2027-03-13T08:31", *steps, holds=700.0, around=around).state == "ready"
    assert held("2027-03-13T08:31", *steps, holds=700.0).state == "raw"


def test_water_found_cold_is_no_longer_ready() -> None:
    steps = (
        step("2027-03-12T20:30", "full"), step("2027-03-12T20:31", "treated"),
        step("2027-03-13T08:30", "ready"), step("2027-03-13T08:40", "not-ready", celsius=19.0),
    )  # fmt: skip
    found = held("2027-03-13T08:41", *steps, holds=700.0)
    assert (found.state, found.ready_at) == ("treated", None)
    assert (warmth(found).value, warmth(found).known) == (19.0, MEASURED)
    found_cold = step("2027-03-13T08:40", "not-ready", celsius=19.0)
    assert held("2027-03-13T08:41", found_cold, holds=700.0).state != "ready"


def test_marks_that_took_water_count_by_the_book() -> None:
    steps = (step("2027-03-12T20:30", "full", litres=700.0), step("2027-03-12T20:31", "treated"))
    assert held("2027-03-13T10:00", *steps, holds=410.0).litres == 410.0


def test_a_look_back_goes_by_the_steps_alone() -> None:
    steps = (
        step("2027-03-12T20:30", "full", litres=700.0),
        step("2027-03-13T10:00", "used", litres=140.0),
    )
    assert held("2027-03-12T21:00", *steps).litres == 700.0


# --- temperature ------------------------------------------------------------------------


def test_a_newer_reading_wins_and_says_its_age() -> None:
    steps = (
        step("2027-03-12T20:30", "full"), step("2027-03-12T20:31", "treated"),
        step("2027-03-12T23:00", "heat-on"),
    )  # fmt: skip
    read = Readings.of([read_at("2027-03-13T00:00", 15.0)])
    found = held("2027-03-13T00:00", *steps, holds=700.0, readings=read)
    assert (warmth(found).value, warmth(found).known) == (15.0, MEASURED)
    assert "Sat 13 Mar (today)" in warmth(found).source
    on = held("2027-03-13T01:00", *steps, holds=700.0, readings=read)
    assert warmth(on).value == pytest.approx(15 + 2850 / (700 * 1.163))
    assert warmth(on).known == COMPUTED
    older = Readings.of([read_at("2027-03-12T12:00", 18.0)])
    assert warmth(held("2027-03-12T20:30", steps[0], holds=700.0, readings=older)).known == COMPUTED


def test_a_loss_lets_it_drift_and_the_heater_come_no_further_than_it_can() -> None:
    steps = (
        step("2027-03-10T20:30", "full", celsius=24.0), step("2027-03-10T20:31", "treated"),
    )  # fmt: skip
    drift = held("2027-03-13T20:30", *steps, holds=700.0, loss_watts_per_kelvin=20.0)
    assert 20.0 < warmth(drift).value < 21.0
    heat = step("2027-03-10T20:31", "heat-on")
    weak = held("2027-03-20T20:30", *steps, heat, holds=700.0, loss_watts_per_kelvin=20.0,
                heater_watts=60.0)  # fmt: skip
    assert warmth(weak).value == pytest.approx(23.0, abs=0.01)  # 20 C and 60 W over 20 W/K
    off = step("2027-03-10T20:32", "heat-off")
    assert held("2027-03-13T20:30", *steps, heat, off, holds=700.0).heat_since is None


def test_an_unknown_source_leaves_the_temperature_unknown() -> None:
    found = held("2027-03-12T20:31", step("2027-03-12T20:30", "full"), holds=700.0,
                 around=Surroundings())  # fmt: skip
    assert found.celsius is None


# --- from the room ----------------------------------------------------------------------


def test_the_rooms_own_facts_are_taken() -> None:
    steps = (step("2027-03-12T18:56", "fill-start", celsius=18.0, recipe="hard"),)
    facts = room(
        sources=(Source(code="tap", celsius=12.0, measured_on=date(2027, 3, 1)),),
        recipes=(Recipe(code="hard", source="tap", celsius=25.0),),
        rates=(Rate(recipe="hard", product="conditioner", amount=5.0),),
        reservoirs=(reservoir(holds_litres=140.0),),
        vessel_steps=steps,
    )
    found = contents_of(facts, facts.reservoirs[0], at("2027-03-12T19:26"))
    assert (found.litres, found.state, found.recipe) == (320.0, "filling", "hard")
    assert warmth(found).value == pytest.approx(14.625)
    assert room_celsius(facts, NO_READINGS, TODAY) == Amount(
        20.0, "C", SET, source="the room's settings"
    )
    read = Readings.of([read_at("2027-03-12T08:00", 22.5, target="room")])
    assert room_celsius(facts, read, TODAY).value == 22.5


# --- any steps ---------------------------------------------------------------------------


def test_every_word_of_a_step_is_folded() -> None:
    for word in STEPS:
        found = held("2027-03-12T20:00", step("2027-03-12T19:00", word, litres=300.0), holds=300.0)
        assert found.reservoir == "R1"
        assert 0 <= found.raw_litres <= found.litres


@given(
    words=st.lists(st.tuples(st.sampled_from(STEPS), st.integers(0, 300),
                             st.one_of(st.none(), st.floats(0, 700))), max_size=12),
    holds=st.floats(0, 700),
)  # fmt: skip
def test_any_order_of_steps_leaves_water_that_can_be(
    words: list[tuple[str, int, float | None]], holds: float
) -> None:
    moment, steps = at("2027-03-10T08:00"), []
    for number, (word, minutes, litres) in enumerate(words, 1):
        moment += timedelta(minutes=minutes)
        steps.append(VesselStep(id=number, reservoir="R1", at=moment, step=word, litres=litres))
    vessel = reservoir(holds_litres=holds, loss_watts_per_kelvin=5.0)
    found = contents(vessel, steps, NO_READINGS, moment, TODAY, AROUND)
    assert 0 <= found.litres <= 700
    assert 0 <= found.raw_litres <= found.litres + 1e-9
    if found.celsius is not None:
        assert 0 <= found.celsius.value <= 40
    if found.state == "ready" and found.known == COMPUTED:
        assert found.treated_at is not None or found.ready_at is not None
