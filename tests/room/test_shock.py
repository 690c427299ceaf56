"""How new water meets a tank: temperature, pH, hardness and ammonia."""

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from roomtasks.room.amount import ASSUMED, MEASURED, Amount
from roomtasks.room.demand import draws_on
from roomtasks.room.draw import Drawn
from roomtasks.room.heat import mix_temp
from roomtasks.room.job import Job
from roomtasks.room.journal import Reading
from roomtasks.room.problem import Problem
from roomtasks.room.readings import NO_READINGS, Readings
from roomtasks.room.room import Room
from roomtasks.room.shock import (
    Meeting,
    Usable,
    ammonia_note,
    chemistry_notes,
    coldest_usable,
    hardness_note,
    match,
    match_note,
    ph_note,
    span_for_all,
    step_of,
    wanted_cool,
)
from roomtasks.room.water_plan import Draw, Match, Note
from tests.room.example_room import CHANGE_DAY, at, example_room, with_setup, with_tank
from tests.room.scene import dues

NOW = at("2027-03-13T08:00")
INVENTED = "worked here, invented room"
EMERSON = "Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Board Can. 32:2379-2383"
IAPWS = "IAPWS R6-95(2018) formulation for ordinary water"
VETERINARY = "Fundamentals of Aquatic Veterinary Medicine, section 1.3.2.3 pH"


def draws(room: Room) -> dict[str, Draw]:
    made = draws_on(room, tuple(dues(room, [], NOW).values()), CHANGE_DAY, NOW)
    assert isinstance(made, Drawn)
    return {draw.tank: draw for draw in made.draws if draw.tank}


def read(target: str, what: str, value: float, day: str = "2027-03-12") -> Reading:
    when = at(f"{day}T20:00")
    return Reading(id=1, target=target, what=what, value=value, day=when.date(), at=when)


def meets(
    room: Room, tank: str, new: float, *readings: Reading, fraction: float | None = None
) -> Match:
    found = match(room, draws(room)[tank], new, Readings.of(readings), CHANGE_DAY, fraction)
    assert isinstance(found, Match), found
    return found


def stepped(before: float, fraction: float, new: float, limit: float = 1.0) -> Match:
    found = step_of("D3", Meeting(Amount(before, "C", MEASURED), fraction, limit), new)
    assert isinstance(found, Match), found
    return found


def text(note: Note | Problem | None) -> str:
    assert isinstance(note, Note), note
    return note.text


# --- temperature ---------------------------------------------------------------------------


def test_too_cold_is_refused_and_says_what_would_do() -> None:
    found = meets(example_room(), "D3", 21.0, read("D3", "temperature", 25.0))
    assert found.after_celsius == pytest.approx(23.8), INVENTED
    assert found.step == pytest.approx(-1.2), INVENTED
    assert found.coldest_new_celsius == pytest.approx(21.7, abs=0.05), INVENTED
    assert found.most_fraction == pytest.approx(0.25), INVENTED
    assert not found.allowed
    note = match_note(found, 0.30)
    assert note is not None
    assert (note.about, note.sort, note.rule) == ("D3", "refused", "temperature")
    for said in ("30 %", "21.0 C", "25.0 to 23.8 C", "drop of 1.2 K", "at least 21.7 C", "25 %"):
        assert said in note.text, INVENTED


def test_what_a_refusal_names_is_not_refused() -> None:
    assert stepped(25.0, 0.30, 21.7).allowed
    assert stepped(25.0, 0.25, 21.0).allowed
    assert match_note(stepped(25.0, 0.25, 21.0), 0.25) is None


def test_too_warm_is_refused_the_other_way() -> None:
    found = stepped(25.0, 0.30, 29.0)
    assert "a rise of 1.2 K" in text(match_note(found, 0.30))
    assert "at most 28.3 C" in text(match_note(found, 0.30))


def test_the_tanks_own_fraction_decides_and_not_its_systems() -> None:
    """Until the pumps run again the new water stays where it was run in."""
    found = meets(example_room(), "A1", 22.0, read("A1", "temperature", 25.0))
    assert found.after_celsius == pytest.approx(25.0 - 0.30 * 3.0)
    assert found.allowed
    system = 25.0 - 660 / 2412 * 3.0
    assert found.after_celsius < system


def test_the_limit_is_a_tanks_own_before_the_rooms() -> None:
    warm = read("D3", "temperature", 25.0)
    assert meets(
        with_tank(example_room(), "D3", largest_step_celsius=1.5), "D3", 21.0, warm
    ).allowed
    strict = meets(with_setup(example_room(), largest_step_celsius=0.5), "D3", 23.0, warm)
    assert (strict.limit, strict.allowed) == (0.5, False)


def test_where_the_temperature_before_is_from() -> None:
    room = example_room()
    shared, own = read("S", "temperature", 25.4), read("A1", "temperature", 26.1)
    assert meets(room, "A1", 25.0, shared, own).before_celsius.value == 26.1
    by_system = meets(room, "A1", 25.0, shared).before_celsius
    assert (by_system.value, by_system.known, by_system.formula) == (25.4, MEASURED, "read at S")
    assert by_system.source == "read Fri 12 Mar (1 day old)"
    assumed = meets(room, "A1", 25.0).before_celsius
    assert (assumed.value, assumed.known) == (25.0, ASSUMED)
    found = match(replace(room, recipes=()), draws(room)["D3"], 25.0, NO_READINGS, CHANGE_DAY)
    assert isinstance(found, Problem)
    assert "read it" in found.remedy


def test_a_top_off_of_the_sump_meets_no_tank() -> None:
    room = example_room()
    made = draws_on(room, tuple(dues(room, [], NOW).values()), CHANGE_DAY, NOW)
    assert isinstance(made, Drawn)
    (top,) = [draw for draw in made.draws if draw.sort == "top-off"]
    assert isinstance(match(room, top, 25.0, NO_READINGS, CHANGE_DAY), Problem)


@pytest.mark.parametrize(
    ("facts", "wanted"),
    [
        ({"effects": "event triggered"}, True),
        ({"name": "Cool change for spawning"}, True),
        ({"code": "cool-d3"}, True),
        ({"name": "Change the cooler"}, False),
        ({"effects": "event spawn"}, False),
        ({"effects": "event"}, False),
    ],
)
def test_a_cool_change_on_purpose_is_known(facts: dict[str, str], wanted: bool) -> None:
    job = Job(**{"code": "c", "name": "Change", "kind": "change", "where": "tank D3",
                 "rule": "every 7 days", **facts})  # type: ignore[arg-type]  # fmt: skip
    assert wanted_cool(job) is wanted


def test_a_cool_change_on_purpose_is_confirmed_and_not_blocked() -> None:
    cool = Job(code="cool-d3", name="Cool change", kind="change", where="tank D3",
               rule="once 2027-03-13", fraction=0.30, effects="event triggered")  # fmt: skip
    room = replace(example_room(), jobs=(cool,))
    found = meets(room, "D3", 19.0, read("D3", "temperature", 25.0))
    assert (found.allowed, found.deliberate) == (True, True)
    note = match_note(found, 0.30)
    assert note is not None
    assert note.sort == "warned"
    assert "confirm it" in note.text
    assert coldest_usable(room, [draws(room)["D3"]], NO_READINGS, CHANGE_DAY) == ()


@given(before=st.floats(4, 40), fraction=st.floats(0.01, 1), new=st.floats(1, 60),
       limit=st.floats(0.1, 20))  # fmt: skip
def test_the_step_the_span_and_the_most_tell_the_same(
    before: float, fraction: float, new: float, limit: float
) -> None:
    found = stepped(before, fraction, new, limit)
    assume(abs(abs(found.step) - limit) > 1e-6)
    within = found.coldest_new_celsius <= new <= found.warmest_new_celsius
    assert found.allowed is within
    assert found.allowed is (fraction <= found.most_fraction)
    assert min(before, new) - 1e-9 <= found.after_celsius <= max(before, new) + 1e-9
    assert found.after_celsius == pytest.approx(mix_temp(1 - fraction, before, fraction, new))
    if not found.allowed:
        assert stepped(before, found.most_fraction, new, limit).allowed


@given(before=st.floats(10, 35), fraction=st.floats(0.05, 1), new=st.floats(2, 45))
def test_what_is_named_as_possible_is_possible(before: float, fraction: float, new: float) -> None:
    found = stepped(before, fraction, new)
    note = match_note(found, fraction)
    assume(note is not None)
    said = text(note).split("; new water of ")[1]
    named = float(said.split()[2])
    most = float(said.split("no more than ")[1].split(" %")[0]) / 100
    if 1 <= named <= 90:
        assert stepped(before, fraction, named).allowed
    if most > 0:
        assert stepped(before, most, new).allowed


def test_mixing_as_published() -> None:
    found = stepped(26.0, 0.20, 10.0, limit=5.0)
    assert found.after_celsius == pytest.approx(22.8, abs=0.02), IAPWS
    hot = stepped(12.0, 0.30, 55.0, limit=20.0)
    assert hot.after_celsius == pytest.approx(24.9, abs=0.2), IAPWS


@pytest.mark.parametrize(
    ("new", "fraction", "where"),
    [(-5.0, 0.3, "new"), (math.nan, 0.3, "new"), (1e308, 0.3, "new"), (21.0, 0.0, "fraction"),
     (21.0, 30.0, "fraction"), (21.0, math.nan, "fraction")],
)  # fmt: skip
def test_meetings_that_cannot_be(new: float, fraction: float, where: str) -> None:
    found = match(
        example_room(), draws(example_room())["D3"], new, NO_READINGS, CHANGE_DAY, fraction
    )
    assert isinstance(found, Problem)
    assert found.where == where


# --- one new water for all -------------------------------------------------------------------


def usable(room: Room, *readings: Reading) -> tuple[Usable, ...]:
    return coldest_usable(room, draws(room).values(), Readings.of(readings), CHANGE_DAY)


def test_the_tank_that_wants_the_warmest_comes_first() -> None:
    found = usable(example_room(), read("G1", "temperature", 27.5), read("D3", "temperature", 24.0))
    assert found[0].tank == "G1"
    assert found[0].coldest_celsius == pytest.approx(27.5 - 1 / 0.30)
    assert found[1].tank == "Q1"  # 40 % bears less than 30 %
    assert found[-1].tank == "D3"
    assert span_for_all(found) == pytest.approx((27.5 - 1 / 0.30, 24.0 + 1 / 0.30))


def test_where_no_one_water_suits_all_it_is_said() -> None:
    found = span_for_all(
        usable(example_room(), read("G1", "temperature", 29.0), read("D3", "temperature", 22.0))
    )
    assert isinstance(found, Problem)
    assert "G1 bears no colder than 25.7 C and D3 no warmer than 25.3 C" in found.what
    assert isinstance(span_for_all(()), Problem)


# --- pH, hardness and ammonia -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("ph", "percent"), [(6.8, 0.38), (7.2, 0.96), (7.8, 3.7)]
)  # fmt: skip
def test_the_toxic_share_at_26_degrees(ph: float, percent: float) -> None:
    said = text(ammonia_note("D3", 6.0, ph, 26.0, None))
    assert f"{percent:g} % at pH {ph:g}" in said, EMERSON


def test_one_unit_of_ph_is_ten_times_the_ammonia() -> None:
    said = text(ammonia_note("D3", 6.8, 7.8, 26.0, None))
    assert "0.38 % at pH 6.8 to 3.7 % at pH 7.8" in said, INVENTED
    assert "9.7 times as much" in said, VETERINARY  # ten, were it all ammonium
    assert "test ammonia first" in said
    assert "several small changes" in said


def test_a_test_of_ammonia_is_told_in_mg_per_litre() -> None:
    said = text(ammonia_note("D3", 6.8, 7.8, 26.0, 2.0))
    assert "0.0076 to 0.074 mg/L" in said
    assert ammonia_note("D3", 6.8, 7.8, 26.0, 0.0) is None
    assert ammonia_note("D3", 7.8, 6.8, 26.0, 2.0) is None


@given(ph=st.floats(5, 9), more=st.floats(0.01, 2), celsius=st.floats(5, 40))
def test_a_higher_ph_never_makes_less_ammonia(ph: float, more: float, celsius: float) -> None:
    said = text(ammonia_note("D3", ph, ph + more, celsius, None))
    assert float(said.split(", ")[1].split(" times")[0]) >= 1.0


@pytest.mark.parametrize(
    ("before", "after", "celsius", "total", "where", "possible"),
    [
        (77.0, 7.8, 26.0, 1.0, "ph", "from 0 to 14"),
        (6.8, math.nan, 26.0, 1.0, "ph", "plain number"),
        (6.8, 7.8, 80.0, 1.0, "temp", "from 0 to 50"),
        (6.8, 7.8, 26.0, -1.0, "tan", "below 0"),
    ],
)
def test_ammonia_that_cannot_be(
    before: float, after: float, celsius: float, total: float, where: str, possible: str
) -> None:
    found = ammonia_note("D3", before, after, celsius, total)
    assert isinstance(found, Problem)
    assert found.where == where
    assert possible in found.sentence()


def test_a_step_in_ph_above_the_rooms_is_warned_of() -> None:
    found = ph_note("D3", 6.8, 7.8, 0.3)
    assert isinstance(found, Note)
    assert (found.sort, found.rule) == ("warned", "ph-step")
    assert "from 6.8 to 7.8" in found.text
    assert ph_note("D3", 7.5, 7.8, 0.3) is None
    for bad in (77.0, math.nan, -1.0, 1e308):
        for fault in (ph_note("D3", bad, 7.8, 0.3), ph_note("D3", 7.8, bad, 0.3)):
            assert isinstance(fault, Problem)
            assert "pH" in fault.where


def test_a_step_in_hardness_is_warned_of_and_says_what_would_do() -> None:
    said = text(hardness_note("D3", 4.0, 16.0, 0.30))
    assert "from 4 to 7.6 dGH, a step of 3.6; at 25 % it is 3" in said
    assert hardness_note("D3", 4.0, 16.0, 0.25) is None
    assert hardness_note("D3", 14.0, 14.0, 1.0) is None
    for bad in (-1.0, math.nan, 1e308):
        assert isinstance(hardness_note("D3", bad, 14.0, 0.3), Problem)
    assert isinstance(hardness_note("D3", 4.0, 14.0, 0.0), Problem)


def notes(room: Room, tank: str, *readings: Reading) -> list[Note]:
    return list(chemistry_notes(room, draws(room)[tank], Readings.of(readings), CHANGE_DAY))


def test_a_tank_gone_sour_is_warned_of_before_hard_water_comes() -> None:
    found = notes(example_room(), "D3", read("D3", "ph", 6.4), read("D3", "gh", 3.0))
    assert [note.rule for note in found] == ["hardness-step", "ph-step", "ammonia"]
    assert all(note.about == "D3" for note in found)
    shared = notes(example_room(), "A1", read("S", "ph", 6.4), read("S", "ammonia", 0.5))
    assert [note.rule for note in shared] == ["ph-step", "ammonia"]
    assert "mg/L" in shared[1].text


@pytest.mark.parametrize("readings", [(), (read("D3", "ph", 7.7), read("D3", "gh", 13.0))])
def test_nothing_is_said_where_nothing_is_known_or_wrong(readings: Iterable[Reading]) -> None:
    assert notes(example_room(), "D3", *readings) == []
