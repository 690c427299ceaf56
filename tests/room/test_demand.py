"""What a day takes of each kind of water, what is refused of it, and who comes first."""

import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import COMPUTED, MEASURED, SET, Amount
from roomtasks.room.body import bodies, body_change, body_of
from roomtasks.room.demand import by_need, demands, drained, draws_on
from roomtasks.room.draw import Drawn
from roomtasks.room.health import Health
from roomtasks.room.job import Hold, Job
from roomtasks.room.journal import Mark
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stock import Stocked
from roomtasks.room.treatment import Level
from roomtasks.room.water_plan import BodyChange, Draw, Forecast, RecipeDemand, WhatIf
from tests.room.example_room import (
    CHANGE_DAY,
    at,
    example_room,
    jugs,
    shut,
    with_jobs,
    with_setup,
    with_tank,
)
from tests.room.scene import dues, mark

NOW = at("2027-03-13T08:00")
INVENTED = "worked here, invented room"


def drawn(
    room: Room, *, marks: Iterable[Mark] = (), day: date = CHANGE_DAY, **asked: object
) -> Drawn:  # fmt: skip
    found = dues(room, marks, NOW).values()
    made = draws_on(room, tuple(found), day, NOW, WhatIf(**asked))  # type: ignore[arg-type]
    assert isinstance(made, Drawn), made
    return made


def demand(room: Room, recipe: str = "hard", **asked: object) -> RecipeDemand:
    found = {d.recipe: d for d in demands(room, drawn(room, **asked).draws)}  # type: ignore[arg-type]
    return found[recipe]


def refusals(made: Drawn) -> dict[str, str]:
    return {note.about: note.text for note in made.notes if note.sort == "refused"}


# --- the demand of the change day --------------------------------------------------------


def test_the_demand_of_the_change_day() -> None:
    found = demand(example_room())
    by = {"S": 0.0, "D": 0.0, "Q": 0.0}
    for draw in found.draws:
        if draw.sort == "change":
            by["S" if draw.body == "S" else draw.tank[0]] += draw.litres.value
    assert by["S"] == pytest.approx(660.0), INVENTED
    assert by["D"] == pytest.approx(126.0), INVENTED
    assert by["Q"] == pytest.approx(82, abs=0.1), INVENTED
    assert found.drained_litres == pytest.approx(868.0, abs=0.1), INVENTED
    assert (found.top_off_litres, found.other_litres) == (24.0, 0.0), INVENTED
    assert found.loss_litres == pytest.approx(26.8, abs=0.05), INVENTED
    assert found.litres.value == pytest.approx(919, abs=0.5), INVENTED


def test_every_part_of_the_demand_says_where_it_is_from() -> None:
    found = demand(example_room()).litres
    assert found.formula == "drained + top-off + jugs and bags, and 3 % loss"
    assert [part.name for part in found.inputs] == ["drained", "top-off", "jugs and bags", "loss"]
    assert (found.unit, found.known, found.inputs[0].known) == ("L", COMPUTED, MEASURED)
    draw = drawn(example_room()).at("D3")[0]
    assert [(part.name, part.value, part.known) for part in draw.litres.inputs] == [
        ("fraction", 0.3, SET), ("D3", 52.5, MEASURED),
    ]  # fmt: skip


def test_a_system_is_drawn_tank_by_tank_and_topped_off_in_its_sump() -> None:
    made = drawn(example_room())
    system = [draw for draw in made.draws if draw.due_id == "change-system@S"]
    assert len(system) == 16
    a1 = made.at("A1")[0]
    assert (a1.place, a1.body, a1.recipe, a1.reservoir) == ("A1", "S", "hard", "R1")
    assert a1.litres.value == pytest.approx(27.3), INVENTED
    assert a1.drain_cm == pytest.approx(8.9, abs=0.05), INVENTED
    assert a1.from_reservoir == pytest.approx(27.3 * 1.03), INVENTED
    (top,) = [draw for draw in made.draws if draw.sort == "top-off"]
    assert (top.place, top.tank, top.body, top.fraction) == ("S", "", "S", None)


def test_what_is_drained_gives_the_two_fractions_of_the_body() -> None:
    room = example_room()
    out = drained(drawn(room).draws)
    body = body_of(room, "A1", NOW)
    change = body_change(body, {tank: out[tank] for tank in body.tanks})
    assert isinstance(change, BodyChange)
    assert change.drained_litres == pytest.approx(660.0), INVENTED
    assert change.fraction.value == pytest.approx(0.274, abs=5e-4), INVENTED


def test_a_shut_valve_takes_its_tank_out_of_the_systems_demand() -> None:
    room = shut(example_room(), "G3")
    cut = Job(code="change-cut", name="Change what is cut off", kind="change",
              where="tanks cut off from S", rule="every 7 days", window="-1/+2",
              starts=CHANGE_DAY, fraction=0.30, reservoir="R1")  # fmt: skip
    made = drawn(with_jobs(room, cut))
    system = sum(d.litres.value for d in made.draws if d.due_id == "change-system@S")
    assert system == pytest.approx(595.5), INVENTED
    (g3,) = made.at("G3")
    assert g3.body == "G3"
    assert g3.litres.value == pytest.approx(64.5), INVENTED
    (note,) = [note for note in made.notes if note.about == "G3"]
    assert "never to S's sump" in note.text


def test_draws_come_in_the_order_of_the_walk() -> None:
    room = with_tank(with_jobs(example_room(), jugs()), "D3", role="stock")
    room = replace(room, conditions=())
    made = drawn(room)
    assert [draw.order for draw in made.draws] == list(range(len(made.draws)))
    tanks = [draw.tank or draw.place for draw in made.draws]
    assert tanks[:4] == ["N1", "N2", "G1", "G2"]  # fry first, then the top shelf's trip
    assert tanks[-3:] == ["Q1", "Q2", "Q3"]  # quarantine last
    assert tanks.index("S") == tanks.index("B5") + 1  # the sump when its tanks are full
    assert made.draws[0].health is Health.FRY


def test_jugs_bags_and_stripping_count() -> None:
    jobs = (
        jugs(),
        Job(code="bags", name="Pack bags", kind="other", where="room", rule="once 2027-03-13",
            litres=12.0, reservoir="R1"),
        Job(code="strip-a3", name="Give A3 to another line", kind="strip", where="tank A3",
            rule="once 2027-03-13", litres=72.8),
    )  # fmt: skip
    room = with_jobs(example_room(), *jobs)
    made = drawn(room)
    found = demand(room)
    assert found.other_litres == pytest.approx(12.0 + 72.8)
    assert found.drained_litres == pytest.approx(868.08 + 8.0)
    (jug,) = made.at("N1")
    assert (jug.litres.value, jug.sort) == (4.0, "change")
    assert jug.fraction == pytest.approx(0.20)
    (bags,) = [draw for draw in made.draws if draw.place == "room"]
    assert (bags.tank, bags.body, bags.recipe) == ("", "", "hard")
    assert drained(made.draws)["A3"] == pytest.approx(27.3 + 72.8)


def test_a_change_by_litres_at_a_system_is_shared_by_its_tanks() -> None:
    job = Job(code="by-litres", name="Change by litres", kind="change", where="system S",
              rule="once 2027-03-13", litres=220.0)  # fmt: skip
    made = drawn(replace(example_room(), jobs=(job,)))
    assert len(made.draws) == 16
    assert {round(draw.fraction or 0, 9) for draw in made.draws} == {0.1}
    assert sum(draw.litres.value for draw in made.draws) == pytest.approx(220.0)


def test_what_fills_a_reservoir_takes_no_water_out_of_it() -> None:
    fill = Job(code="fill", name="Fill R1", kind="fill", where="reservoir R1",
               rule="once 2027-03-13", litres=560.0)  # fmt: skip
    assert drawn(replace(example_room(), jobs=(fill,))).draws == ()


def test_each_kind_of_water_has_a_demand_of_its_own() -> None:
    room = with_tank(example_room(), "D1", recipe="soft")
    found = demands(room, drawn(room).draws)
    assert [(d.recipe, len(d.draws)) for d in found] == [("hard", 27), ("soft", 1)]
    assert found[1].litres.value == pytest.approx(15.75 * 1.03)
    total = sum(d.litres.value for d in found)
    assert total == pytest.approx(demand(example_room()).litres.value)


def test_no_draws_no_demand() -> None:
    assert demands(example_room(), ()) == ()


# --- parts, and what is asked besides ---------------------------------------------------------


def test_only_what_is_owed_of_a_part_done_change_is_drawn() -> None:
    half = mark("change-d", "D2", "2027-03-13", "2027-03-13", "partly", fraction=0.15)
    (d2,) = drawn(example_room(), marks=[half]).at("D2")
    assert d2.fraction == pytest.approx(0.176, abs=5e-4), INVENTED
    assert d2.litres.value == pytest.approx(9.3, abs=0.05), INVENTED
    (more,) = drawn(example_room(), marks=[half], fraction=0.20).at("D2")
    assert more.fraction == pytest.approx((0.20 - 0.15) / 0.85)


def test_one_batch_for_all_scales_every_fraction() -> None:
    whole = demand(example_room()).litres.value
    made = drawn(example_room(), share=560 / whole)
    assert demands(example_room(), made.draws)[0].litres.value == pytest.approx(560.0), INVENTED
    fractions = {round(100 * (made.at(tank)[0].fraction or 0), 1) for tank in ("A1", "G1", "D3")}
    assert fractions == {18.3}, INVENTED


def test_another_fraction_is_for_changes_by_fraction_only() -> None:
    made = drawn(with_jobs(example_room(), jugs()), fraction=0.20)
    assert {round(draw.fraction or 0, 9) for draw in made.draws if draw.sort == "change"} == {0.2}
    assert made.at("N1")[0].litres.value == 4.0


def test_an_extra_change_is_added_where_there_is_none() -> None:
    made = drawn(example_room(), extra=(("H1", 0.25), ("D3", 0.10)))
    (h1,) = made.at("H1")
    assert (h1.due_id, h1.sort) == ("extra@H1", "change")
    assert h1.litres.value == pytest.approx(13.0)
    assert len(made.at("D3")) == 1
    assert [note.about for note in made.notes] == ["D3"]


def test_an_emptied_tank_may_be_drained_as_far_as_one_likes() -> None:
    room = replace(
        example_room(),
        groups=tuple(g for g in example_room().groups if g.tank != "A3"),
        stocked=(Stocked(tank="A3", since=date(2027, 3, 5), state="empty"),),
    )
    made = drawn(replace(room, jobs=()), extra=(("A3", 0.80),))
    (a3,) = made.at("A3")
    assert a3.litres.value == pytest.approx(73, abs=0.5), INVENTED
    assert refusals(made) == {}


@given(share=st.floats(0.01, 1))
def test_a_share_of_every_draw_is_that_share_of_the_demand(share: float) -> None:
    room = with_jobs(example_room(), jugs())
    whole, part = demand(room), demand(room, share=share)
    assert part.litres.value == pytest.approx(share * whole.litres.value)


@given(fraction=st.floats(0.01, 1), off=st.sets(st.sampled_from(["A1", "B5", "G2", "G3"])))
def test_the_demand_is_never_less_than_what_is_drained(fraction: float, off: set[str]) -> None:
    room = shut(with_jobs(example_room(), jugs()), *sorted(off))
    made = drawn(room, fraction=fraction)
    (found,) = demands(room, made.draws)
    assert found.litres.value >= found.drained_litres + found.top_off_litres + found.other_litres
    out = drained(made.draws)
    assert sum(out.values()) == pytest.approx(found.drained_litres)
    assert all(0 < (draw.fraction or 1) <= 1 for draw in made.draws)
    for body in bodies(room, NOW):
        tanks = {tank: out[tank] for tank in body.tanks if tank in out}
        assert isinstance(body_change(body, tanks), BodyChange)


# --- refusals ---------------------------------------------------------------------------------


def test_more_than_the_largest_change_is_refused_with_what_is_possible() -> None:
    made = drawn(replace(example_room(), jobs=()), extra=(("D3", 6 / 13),))
    text = refusals(made)["D3"]
    assert "46.2 % (24.2 L)" in text, INVENTED
    assert "40 % (21.0 L)" in text, INVENTED
    assert "2 of 26.6 % (14.0 L), a day apart" in text, INVENTED
    assert "60" not in text
    assert made.at("D3")[0].litres.value == pytest.approx(24.2, abs=0.05)  # not quietly left out


def test_a_tank_may_have_a_limit_of_its_own() -> None:
    room = with_tank(example_room(), "D3", largest_change=0.25)
    assert set(refusals(drawn(room))) == {"D3"}
    loose = with_tank(with_setup(example_room(), largest_change=0.25), "D3", largest_change=0.35)
    assert "D3" not in refusals(drawn(loose))


def test_a_system_is_refused_once_and_not_for_each_tank() -> None:
    found = refusals(drawn(example_room(), fraction=0.45))
    assert set(found) == {"S", *(f"D{n}" for n in range(1, 9)), "Q1", "Q2", "Q3"}
    assert "A1, A2" in found["S"]


def test_two_jobs_at_one_tank_are_one_change_of_the_day() -> None:
    vac = Job(code="vac", name="Vac", kind="vac", where="tank D3", rule="once 2027-03-13",
              fraction=0.20)  # fmt: skip
    found = refusals(drawn(with_jobs(example_room(), vac)))
    assert "44 %" in found["D3"]  # 1 - 0.7 x 0.8, never 50


def test_all_of_a_tank_cannot_be_had_in_parts() -> None:
    found = refusals(drawn(replace(example_room(), jobs=()), extra=(("D3", 1.0),)))
    assert "do 40 % (21.0 L) and look again the next day" in found["D3"]


def test_a_tank_without_a_volume_is_refused_and_never_left_out_quietly() -> None:
    found = refusals(drawn(with_tank(example_room(), "D3", water_cm=50.0)))
    assert "at most 36" in found["D3"]


def test_a_share_of_a_place_without_water_is_refused() -> None:
    odd = Job(code="odd", name="Change the air", kind="change", where="room",
              rule="once 2027-03-13", fraction=0.30)  # fmt: skip
    made = drawn(replace(example_room(), jobs=(odd,)))
    assert made.draws == ()
    assert "holds no water" in refusals(made)["odd@room"]


@pytest.mark.parametrize(
    ("asked", "where", "possible"),
    [
        ({"share": 0.0}, "share", "above 0"),
        ({"share": math.nan}, "share", "plain number"),
        ({"share": -0.5}, "share", "from 0 to 1"),
        ({"share": 1e308}, "share", "check the number"),
        ({"fraction": 0.0}, "fraction", "above 0"),
        ({"fraction": 30.0}, "fraction", "30 % is written 0.3"),
        ({"extra": (("D33", 0.2),)}, "extra", "did you mean D3?"),
        ({"extra": (("D3", 0.0),)}, "extra D3", "above 0"),
    ],
)
def test_what_cannot_be_asked(asked: dict[str, object], where: str, possible: str) -> None:
    room = example_room()
    found = draws_on(room, (), CHANGE_DAY, NOW, WhatIf(**asked))  # type: ignore[arg-type]
    assert isinstance(found, Problem)
    assert found.where == where
    assert possible in found.sentence()


def test_a_day_gone_by_cannot_be_planned() -> None:
    found = draws_on(example_room(), (), date(2027, 3, 12), NOW)
    assert isinstance(found, Problem)
    assert (found.where, found.remedy) == ("day", "give today or a later day")


# --- who comes first when water is short --------------------------------------------------------


def near(body: str, limit: float, before: float, *, change_now: bool = False) -> Forecast:
    made = Amount(7.0, "mg/L a week", COMPUTED)
    return Forecast(
        body=body, reading=None, production_per_week=made, now=None,
        before_next=Amount(before, "mg/L", COMPUTED), settles=None, limit=limit,
        least_fraction=None, crosses_on=None, change_now=change_now,
    )  # fmt: skip


def ranked(room: Room, marks: Iterable[Mark], *forecasts: Forecast) -> list[Draw]:
    return list(by_need(drawn(room, marks=marks).draws, forecasts))


def test_the_order_of_need_is_not_that_of_the_walk() -> None:
    course = Level(tank="Q2", product="salt", since=date(2027, 3, 10), per_litre=2.0)
    room = replace(with_jobs(example_room(), jugs()), levels=(course,))
    marks = [
        *(mark("change-d", f"D{n}", "2027-03-06", "2027-03-06") for n in range(1, 9) if n != 5),
        mark("change-d", "D5", "2027-02-27", "2027-02-27"),
        mark("change-d", "D5", "2027-03-06", "2027-03-06", "left-out"),
        mark("change-system", "S", "2027-03-06", "2027-03-04"),
        mark("top-off", "S", "2027-03-06", "2027-03-06"),
        *(mark("change-q", f"Q{n}", "2027-03-06", "2027-03-06") for n in (1, 2, 3)),
    ]
    found = ranked(room, marks, near("D7", 35.0, 34.5), near("D8", 35.0, 30.0))
    tanks = [draw.tank or draw.place for draw in found]
    assert tanks[:5] == ["Q2", "N1", "N2", "D7", "D5"]
    assert tanks[5] == "G1"  # nine days since, before the seven of the rest
    assert [draw.need for draw in found[:6]] == [1, 2, 2, 3, 4, 5]
    assert found[0].need_reason == "inside a course of salt"
    assert "35.5 mg/L, above 35" in found[3].need_reason
    assert found[4].need_reason == "missed last time"
    assert found[5].need_reason == "9 days since it was done"


def test_a_reading_above_the_limit_needs_no_forecast() -> None:
    found = ranked(example_room(), [], near("D7", 35.0, 20.0, change_now=True))
    assert found[0].tank == "D7"
    assert found[0].need_reason == "a reading is above its nitrate limit"


def test_how_long_the_next_batch_takes_decides() -> None:
    draws = drawn(example_room()).draws
    forecast = near("D7", 35.0, 33.5)
    assert by_need(draws, [forecast], 1.0)[0].tank != "D7"
    assert by_need(draws, [forecast], 2.0)[0].tank == "D7"


def test_needs_leave_nothing_out() -> None:
    draws = drawn(with_jobs(example_room(), jugs())).draws
    assert sorted(d.order for d in by_need(draws, ())) == [d.order for d in draws]


# --- which occurrences ------------------------------------------------------------------------


def test_a_hold_leaves_the_change_out_and_tells_of_it() -> None:
    hold = Hold(code="h", target="Q2", kinds="change", cause="medicine", reason="course of dips",
                since=date(2027, 3, 10), until=date(2027, 3, 16))  # fmt: skip
    made = drawn(replace(example_room(), holds=(hold,)))
    assert made.at("Q2") == ()
    (note,) = [note for note in made.notes if note.about == "change-q@Q2"]
    assert "held until Tue 16 Mar: course of dips" in note.text
    assert len(drawn(replace(example_room(), holds=(hold,)), day=date(2027, 3, 17)).at("Q2")) == 1
