"""Tanks an arrival could go to, valves and what stands against them, seeds that stay apart."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.room.stock import Stay
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work import room_acts, stay_acts
from roomtasks.work.apart_view import ApartView, apart_view, release_words, turn_words
from roomtasks.work.fish import Told
from roomtasks.work.seed_acts import take_seed
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

NOW = at("2027-03-06 08:00")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    sheets = small_room()
    sheets["tanks"] = [
        replace(tank, role="quarantine") if tank.code == "B3" else tank for tank in sheets["tanks"]
    ]
    with store_with(tmp_path, sheets) as made:
        yield made


def seen(store: Store, to: dict[str, str] | None = None) -> ApartView:
    found = apart_view(store, NOW, to or {})
    assert isinstance(found, ApartView)
    return found


def seed(store: Store, item: str, to: str, *, anyway: bool = False) -> Told | Problem:
    return take_seed(store, NOW, "mk", item, to, anyway)


def test_tanks_for_an_arrival_are_told_with_the_first_rule_against_each(store: Store) -> None:
    rules = {taker.tank: taker.refused and taker.refused.rule for taker in seen(store).takers}
    assert rules == {"Q1": "two-lots", "B3": "not-stripped"}


def test_a_tank_cut_off_from_its_system_is_a_taker_once_its_water_is_changed(store: Store) -> None:
    assert isinstance(room_acts.turn_valve(store, NOW, "mk", "A4", "shut"), Told)
    rules = {taker.tank: taker.refused and taker.refused.rule for taker in seen(store).takers}
    assert rules["A4"] == "water-of-the-system"
    (cut,) = seen(store).cuts
    assert (cut.tank, cut.system, cut.changed, cut.refused) == ("A4", "S", 0.0, ())
    assert f"{cut.since:%Y-%m-%d %H:%M}" == "2027-03-06 08:00"


def test_the_first_turn_of_a_valve_names_its_system(store: Store) -> None:
    bare = room_acts.turn_valve(store, NOW, "mk", "B1", "open")
    assert isinstance(bare, Problem)
    assert "--system" in bare.remedy
    words = turn_words(store, NOW, "B1", "open", "S")
    assert not isinstance(words, Problem)
    assert words[0] == "B1 joins the water of S"
    done = room_acts.turn_valve(store, NOW, "mk", "B1", "open", system="S")
    assert isinstance(done, Told)
    assert "valve of B1 on S opened" in done.words
    room = read.room(store)
    assert not isinstance(room, Problem)
    assert "B1" in room.valve.members("S", NOW)
    undone = undo(store, NOW, "mk")
    assert isinstance(undone, Undone)
    room = read.room(store)
    assert not isinstance(room, Problem)
    assert room.valve.last("B1", NOW) is None


@pytest.mark.parametrize(
    ("tank", "system", "what"),
    [
        ("B1", "T", "there is no such system"),
        ("X9", "S", "there is no such tank"),
        ("A1", "S", "its valve is open already"),
    ],
)
def test_a_turn_that_cannot_be_is_refused(store: Store, tank: str, system: str, what: str) -> None:
    refused = room_acts.turn_valve(store, NOW, "mk", tank, "open", system=system)
    assert isinstance(refused, Problem)
    assert refused.what == what


def test_a_turn_is_told_before_it_is_made(store: Store) -> None:
    """A tank of 60 x 40 x 36 cm holds 86.4 L; the sump and pipes 195 L."""
    words = turn_words(store, NOW, "A1", "shut")
    assert not isinstance(words, Problem)
    assert words[:2] == ("A1 leaves the water of S", "S then holds 627 L, not 713")
    again = turn_words(store, NOW, "A1", "open")
    assert isinstance(again, Problem)
    assert again.rule == "no-change"
    none = turn_words(store, NOW, "B1", "shut")
    assert isinstance(none, Problem)
    assert "no valve" in none.what


def test_release_lines_are_looked_at_for_the_destination_named(store: Store) -> None:
    plain = {line.code: line for line in seen(store).lines["stay-1"]}
    assert plain["destination"].evidence == "no destination is named"
    named = {line.code: line for line in seen(store, {"stay-1": "A5"}).lines["stay-1"]}
    assert named["destination"].evidence == "A5 is under watch"
    refused = release_words(store, NOW, "stay-1", "A5")
    assert isinstance(refused, Problem)
    assert refused.rule == "not-released"
    assert "open besides: 2 looked, 3 eating" in refused.remedy
    unknown = release_words(store, NOW, "lot-99", "A1")
    assert isinstance(unknown, Problem)
    assert "no such lot" in unknown.what


def test_the_last_day_looked_at_is_known_by_tank(store: Store) -> None:
    assert seen(store).looked == {}
    assert isinstance(stay_acts.look(store, NOW, "mk", "A5"), Told)
    assert {tank: str(day) for tank, day in seen(store).looked.items()} == {"A5": "2027-03-06"}


@pytest.mark.parametrize(("item", "why"), [("Q1-1", "kept for quarantine")])
def test_no_seed_leaves_a_tank_kept_apart(store: Store, item: str, why: str) -> None:
    answer = seed(store, item, "B1", anyway=True)
    assert isinstance(answer, Problem)
    assert answer.rule == "seed-from-apart"
    assert why in answer.what


def test_no_seed_leaves_a_tank_under_watch(store: Store) -> None:
    assert isinstance(room_acts.set_class(store, NOW, "mk", "B1", "watch", "pale"), Told)
    answer = seed(store, "B1-1", "B2")
    assert isinstance(answer, Problem)
    assert "B1 is under watch" in answer.what


def test_no_seed_leaves_a_tank_that_held_a_lot_until_it_is_stripped(tmp_path: Path) -> None:
    sheets = small_room()
    day = at("2027-03-01 08:00").date()
    old = Stay(code="old", tank="B1", since=day.replace(month=1), ended=day, released_to="A1")
    sheets["stays"].append(old)
    with store_with(tmp_path, sheets) as store:
        answer = seed(store, "B1-1", "B2")
        assert isinstance(answer, Problem)
        assert "was not stripped since" in answer.what


def test_a_seed_of_a_clean_tank_hangs_in_the_other_and_is_gear_shared(store: Store) -> None:
    before = read.room(store)
    done = seed(store, "B1-1", "B3")
    assert isinstance(done, Told), done
    room = read.room(store)
    assert not isinstance(room, Problem)
    assert room.filter["B1-1"].tank == "B3"
    (contact,) = room.contacts
    assert (contact.from_tank, contact.to_tank, contact.by) == ("B1", "B3", "filter")
    asked = seed(store, "B1-2", "B3")
    assert isinstance(asked, Problem)
    assert (asked.rule, "only filter" in asked.what) == ("ask", True)
    assert isinstance(seed(store, "B1-2", "B3", anyway=True), Told)
    for _ in range(2):
        assert isinstance(undo(store, NOW, "mk"), Undone)
    assert read.room(store) == before


@pytest.mark.parametrize(("item", "to"), [("X9", "B3"), ("B1-1", "X9"), ("B1-1", "B1")])
def test_seeds_that_cannot_be_say_what_would_do(store: Store, item: str, to: str) -> None:
    answer = seed(store, item, to)
    assert isinstance(answer, Problem)
    assert answer.remedy
