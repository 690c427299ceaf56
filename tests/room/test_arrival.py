"""Newcomers are put apart only where apart is apart. Worked here, invented room."""

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.arrival import Readiness, arrival_refusals
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.stock import Stay, Stocked
from roomtasks.room.tank import Filter
from tests.room.example_room import at, example_room, shut

NOW = at("2027-03-13T10:00")
CLEAN = Readiness(stripped_on=date(2027, 3, 12), changed_since_shut=1.0)


def emptied(room: Room, tank: str) -> Room:
    groups = tuple(group for group in room.groups if group.tank != tank)
    rows = (Stocked(tank=tank, since=date(2027, 3, 1), state="empty"),)
    sponge = Filter(code=f"{tank}-9", tank=tank, since=date(2026, 9, 1))
    return replace(room, groups=groups, stocked=rows, filters=(*room.filters, sponge))


def rules(room: Room, tank: str, known: Readiness = CLEAN) -> list[str]:
    return [problem.rule for problem in arrival_refusals(room, tank, NOW, known)]


def test_a_tank_that_shares_water_is_refused_with_how_many_it_shares_with() -> None:
    found = next(iter(arrival_refusals(example_room(), "A4", NOW, CLEAN)))
    assert found.rule == "shared-water"
    assert "shares water with 15 tanks and the sump" in found.sentence()


def test_a_tank_cut_off_with_fish_of_the_system_is_refused() -> None:
    room = shut(example_room(), "G3")
    assert "fish-of-the-system" in rules(room, "G3")


def test_a_tank_cut_off_empty_ripe_and_changed_is_allowed() -> None:
    room = emptied(shut(example_room(), "G3"), "G3")
    assert rules(room, "G3") == []
    assert rules(room, "G3", replace(CLEAN, changed_since_shut=0.3)) == ["water-of-the-system"]


def test_a_second_lot_a_wet_tank_and_no_ripe_sponge_are_refused() -> None:
    room = example_room()
    stays = (Stay(code="stay-1", tank="Q1", since=date(2027, 3, 1)),)
    assert "two-lots" in rules(replace(room, stays=stays), "Q1")
    empty = emptied(room, "Q2")
    assert rules(empty, "Q2") == []
    assert rules(empty, "Q2", Readiness()) == ["not-stripped"]
    young = replace(empty, filters=(Filter(code="Q2-9", tank="Q2", since=date(2027, 3, 1)),))
    assert rules(young, "Q2") == ["no-ripe-filter"]
    assert "not-empty" in rules(room, "Q3")


def test_nothing_arrives_in_the_week_before_going_away() -> None:
    away = (Away(first=date(2027, 3, 20), last=date(2027, 3, 28)),)
    room = replace(emptied(example_room(), "Q2"), away=away)
    assert rules(room, "Q2") == ["before-away"]
    later = replace(room, away=(Away(first=date(2027, 3, 21), last=date(2027, 3, 28)),))
    assert rules(later, "Q2") == []


@given(share=st.floats(0, 1), stripped=st.none() | st.dates(date(2027, 2, 1), date(2027, 3, 13)))
def test_every_refusal_names_its_rule_and_what_would_do(
    share: float, stripped: date | None
) -> None:
    known = Readiness(stripped_on=stripped, changed_since_shut=share)
    for tank in ("A1", "G3", "Q1", "H1"):
        for problem in arrival_refusals(shut(example_room(), "G3"), tank, NOW, known):
            assert problem.rule
            assert problem.remedy
