"""Steps at a reservoir on a real store: what each keeps true, what is refused, what goes back."""

import random
from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.contents import contents_of
from roomtasks.room.problem import Problem
from roomtasks.room.setup import Hours
from roomtasks.room.vessel import STEPS
from roomtasks.room.water_plan import Contents
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.work.fish import Told
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.undoing import Undone, undo
from roomtasks.work.water_steps import step
from tests.room.example_room import CHANGE_DAY, at, example_room
from tests.work.water_store import example_store, facts, holds, the_room

FRIDAY = "2027-03-12T"
NOW = at(f"{FRIDAY}21:00")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return example_store(tmp_path)


def said(store: Store, word: str, when: str = "", **more: Any) -> Told:
    """A step said at a time of that Friday, or now."""
    answer = step(store, at(f"{FRIDAY}{when}") if when else NOW, "Ann", "R1", word, **more)
    assert isinstance(answer, Told), answer
    return answer


def no(store: Store, word: str, rule: str, now: str = "", **more: Any) -> Problem:
    """A step that is refused by this rule, "" for bad input, and leaves all as it was."""
    before = facts(store)
    answer = step(store, at(f"{FRIDAY}{now}") if now else NOW, "Ann", "R1", word, **more)
    assert isinstance(answer, Problem), answer
    assert (answer.rule, facts(store)) == (rule, before), answer
    assert answer.remedy
    return answer


def held(store: Store, when: str = "23:00") -> Contents:
    room = the_room(store)
    return contents_of(room, room.reservoir["R1"], at(f"{FRIDAY}{when}"))


def filled(store: Store, treated: bool = True) -> None:
    """The evening's fill: full at 20:30, conditioned, as the worked plan has it."""
    said(store, "fill-start", "18:56", for_day=CHANGE_DAY, recipe="hard")
    said(store, "full", "20:30")
    if treated:
        said(store, "treated", "20:30")


def test_an_evening_at_the_reservoir_in_the_journal(store: Store) -> None:
    said(store, "hose-out", "18:46")
    said(store, "fill-start", "18:56", for_day=CHANGE_DAY, recipe="hard")
    said(store, "full", "20:30")
    said(store, "treated", "20:30")
    said(store, "heat-on", "20:40", celsius=13.2)
    assert [act.words for act in search.acts(store)][::-1] == [
        "R1: hose laid out",
        "R1: fill started, hard, for Sat 13 Mar; all of it counts as untreated until dosed and "
        "mixed",
        "R1: full, 700 L in it",
        "R1: conditioned",
        "R1: heater on, 13.2 C",
    ]
    assert [row.step for row in the_room(store).vessel_steps] == [
        "hose-out", "fill-start", "full", "treated", "heat-on",
    ]  # fmt: skip
    assert holds(store) == 700.0


PREPARED: dict[str, tuple[str, ...]] = {
    "hose-out": (), "fill-start": (), "full": ("fill-start",), "treated": ("fill-start", "full"),
    "heat-on": (), "heat-off": ("heat-on",), "mixed": ("fill-start", "full"),
    "ready": ("fill-start", "full", "treated"), "not-ready": (), "used": (), "emptied": (),
    "raw-in": (),
}  # fmt: skip


@pytest.mark.parametrize("word", STEPS)
def test_each_step_is_one_act_and_goes_back(store: Store, word: str) -> None:
    for before in PREPARED[word]:
        said(store, before, "07:00")
    was = facts(store)
    more: dict[str, Any] = {"litres": 30.0} if word in ("used", "raw-in") else {}
    told = said(store, word, "20:00", **more)
    assert told.act == len(PREPARED[word]) + 1
    assert len(the_room(store).vessel_steps) == told.act
    assert isinstance(undo(store, NOW, "Ann"), Undone)
    assert facts(store) == was


LEVELS = [
    ("full", {}, 700.0), ("full", {"litres": 650.0}, 650.0), ("used", {"litres": 100.0}, 40.0),
    ("used", {"litres": 200.0}, 0.0), ("emptied", {}, 40.0), ("emptied", {"litres": 0.0}, 0.0),
    ("raw-in", {"litres": 60.0}, 200.0), ("raw-in", {}, 140.0), ("mixed", {"litres": 137.5}, 137.5),
    ("fill-start", {"litres": 150.0}, 150.0), ("treated", {}, 140.0),
]  # fmt: skip


@pytest.mark.parametrize(("word", "more", "level"), LEVELS)
def test_what_it_holds_is_kept_true(
    store: Store, word: str, more: dict[str, Any], level: float
) -> None:
    if word == "full":
        said(store, "fill-start", "18:56")
    said(store, word, "20:30", **more)
    assert holds(store) == level


def test_used_counts_what_the_tanks_were_marked_with_only_once(store: Store) -> None:
    filled(store)
    morning = at("2027-03-13T09:30")
    names = [f"change-d@D{n}" for n in range(1, 9)]
    assert isinstance(mark(store, morning, names, "done", How(who="Ann")), Marked)
    assert holds(store) == pytest.approx(700 - 126 * 1.03, abs=0.01)
    told = step(store, at("2027-03-13T11:00"), "Ann", "R1", "used", 560.0)
    assert isinstance(told, Told)
    assert holds(store) == 140.0
    assert isinstance(undo(store, at("2027-03-13T11:01"), "Ann"), Undone)
    assert holds(store) == pytest.approx(700 - 126 * 1.03, abs=0.01)


def test_less_used_than_marked_takes_no_more(store: Store) -> None:
    filled(store)
    morning = at("2027-03-13T09:30")
    assert isinstance(mark(store, morning, ["change-d@D1"], "done", How()), Marked)
    was = holds(store)
    assert isinstance(step(store, at("2027-03-13T11:00"), "", "R1", "used", 10.0), Told)
    assert holds(store) == was


def test_a_full_told_late_leaves_out_what_was_drawn_since(store: Store) -> None:
    said(store, "fill-start", "18:56")
    morning = at("2027-03-13T09:30")
    assert isinstance(mark(store, morning, ["change-d@D1"], "done", How()), Marked)
    late = step(store, at("2027-03-13T10:00"), "", "R1", "full", when=at(f"{FRIDAY}20:30"))
    assert isinstance(late, Told)
    assert "at Fri 12 Mar 20:30" in late.words
    assert holds(store) == pytest.approx(700 - 15.75 * 1.03, abs=0.001)


def test_a_change_marked_late_takes_nothing_from_a_level_noted_since(store: Store) -> None:
    filled(store)
    told = mark(
        store, at("2027-03-13T09:30"), ["change-d@D1"], "done",
        How(when=at("2027-03-12T17:00"), anyway=True),
    )  # fmt: skip
    assert isinstance(told, Marked)
    assert holds(store) == 700.0
    assert any("700 L were noted there after that" in remark for remark in told.remarks)


def test_litres_the_keeper_told_are_taken_as_they_are(store: Store) -> None:
    filled(store)
    told = mark(store, at("2027-03-13T09:30"), ["change-d@D1"], "done", How(litres=20.0))
    assert isinstance(told, Marked)
    assert holds(store) == 680.0


BAD: list[tuple[str, str, dict[str, Any]]] = [
    ("swirled", "is no step", {}),
    ("full", "more than R1 holds", {"litres": 701.0}),
    ("full", "no amount of water", {"litres": -1.0}),
    ("full", "no amount of water", {"litres": float("nan")}),
    ("full", "no amount of water", {"litres": float("inf")}),
    ("mixed", "no water's temperature", {"celsius": float("nan")}),
    ("mixed", "no water's temperature", {"celsius": 61.0}),
    ("used", "how much was used", {}),
    ("raw-in", "do not go into 700 L", {"litres": 600.0}),
    ("fill-start", "no recipe", {"recipe": "brackish"}),
    ("fill-start", "has gone by", {"for_day": date(2027, 3, 11)}),
]


@pytest.mark.parametrize(("word", "words", "more"), BAD)
def test_bad_words_are_bad_input_even_anyway(
    store: Store, word: str, words: str, more: dict[str, Any]
) -> None:
    assert words in no(store, word, "", **more).what
    assert words in no(store, word, "", anyway=True, **more).what


def test_a_reservoir_that_is_not_there_names_those_that_are(store: Store) -> None:
    answer = step(store, NOW, "", "R9", "full")
    assert isinstance(answer, Problem)
    assert "R1, R2" in answer.remedy


def test_the_hose_comes_before_full_and_only_once(store: Store) -> None:
    assert "no fill was started" in no(store, "full", "step-order").what
    said(store, "fill-start", "18:56")
    assert "18:56" in no(store, "fill-start", "step-order").what
    for word in ("treated", "mixed", "ready", "used"):
        more: dict[str, Any] = {"litres": 5.0} if word == "used" else {}
        assert "its hose has run since 18:56" in no(store, word, "step-order", **more).what
    said(store, "full", "20:30")
    said(store, "full", "20:31", anyway=True)


def test_a_heater_is_not_turned_on_dry_or_twice(tmp_path: Path) -> None:
    dry = example_store(tmp_path, holds_litres=40.0)
    assert "do not cover its heater" in no(dry, "heat-on", "step-order").what
    said(dry, "fill-start", "18:56")
    said(dry, "full", "20:30")
    said(dry, "heat-on", "20:40")
    assert "on since 20:40" in no(dry, "heat-on", "step-order").what
    said(dry, "heat-off", "20:50")
    assert "not on" in no(dry, "heat-off", "step-order").what


def test_nothing_is_conditioned_mixed_or_ready_in_an_empty_reservoir(tmp_path: Path) -> None:
    empty = example_store(tmp_path, holds_litres=0.0)
    for word in ("treated", "mixed"):
        assert "empty" in no(empty, word, "step-order").what


def test_raw_water_is_never_ready(store: Store) -> None:
    filled(store, treated=False)
    no(store, "ready", "untreated")
    no(store, "ready", "untreated", anyway=True)
    said(store, "treated", "20:35")
    said(store, "raw-in", "20:40", litres=0.0)
    no(store, "ready", "untreated", anyway=True)


def test_water_without_a_label_dose_is_ready_without_one(tmp_path: Path) -> None:
    plain = example_store(tmp_path, replace(example_room(), rates=()), rest_hours=0.0)
    filled(plain, treated=False)
    said(plain, "ready", "20:40")


def test_ready_water_is_near_what_the_recipe_wants(tmp_path: Path) -> None:
    """Largest step 1 K; hard water is wanted at 25 C. Common practice, no published source."""
    store = example_store(tmp_path, rest_hours=0.0)
    filled(store)
    cold = no(store, "ready", "cold", celsius=23.9)
    assert "1.1 K from the 25 C that Hard is wanted at, and 1 K is the most" in cold.what
    no(store, "ready", "hot", celsius=26.1)
    said(store, "ready", "20:50", celsius=24.0)
    said(store, "not-ready", "20:51")
    said(store, "ready", "20:52", celsius=22.0, anyway=True)


def test_water_that_has_not_stood_is_asked_about(store: Store) -> None:
    filled(store)
    early = no(store, "ready", "resting")
    assert "Sat 13 Mar 08:30" in early.what
    said(store, "ready", anyway=True)


def test_raw_water_onto_conditioned_makes_all_of_it_raw(store: Store) -> None:
    filled(store)
    told = said(store, "raw-in", "20:40", litres=0.0)
    assert "all of it counts as untreated until dosed and mixed" in told.words
    said(store, "treated", "20:45")
    again = said(store, "fill-start", "20:50")
    assert "all of it counts as untreated until dosed and mixed" in again.words
    assert held(store).treated_at is None


def test_a_step_of_another_water_is_refused(store: Store) -> None:
    assert "it is for hard" in no(store, "fill-start", "other-water", recipe="soft").remedy
    no(store, "fill-start", "other-water", recipe="soft", anyway=True)


def test_a_time_ahead_is_refused_and_one_before_the_last_step_asked_about(store: Store) -> None:
    no(store, "hose-out", "not-in-the-future", when=at("2027-03-12T21:01"))
    said(store, "fill-start", "18:56")
    earlier = no(store, "hose-out", "ask", when=at("2027-03-12T18:46"))
    assert "“fill started” was noted for Fri 12 Mar 18:56" in earlier.what
    late = step(store, NOW, "", "R1", "hose-out", when=at("2027-03-12T18:46"), anyway=True)
    assert isinstance(late, Told)


def test_a_hose_runs_alone_only_with_a_float_valve(tmp_path: Path) -> None:
    """Somebody is there on Friday from 18:00 to 20:00; 560 L at 6 L/min take 93 minutes."""
    there = (Hours(weekday="friday", from_time=time(18, 0), until_time=time(20, 0)),)
    room = replace(example_room(), hours=there)
    store = example_store(tmp_path, room, unattended=False)
    no(store, "fill-start", "unattended", "12:00")
    late = no(store, "fill-start", "unattended", "18:56")
    assert "float valve" in late.what + late.remedy
    said(store, "fill-start", "18:10")
    said(store, "full", "19:45")
    said(store, "fill-start", "20:30", anyway=True)


def test_a_float_valve_watches_for_itself(tmp_path: Path) -> None:
    there = (Hours(weekday="sunday", from_time=time(18, 0), until_time=time(20, 0)),)
    store = example_store(tmp_path, replace(example_room(), hours=there), unattended=True)
    said(store, "fill-start", "12:00")


def test_a_step_is_not_taken_back_from_under_a_later_one(store: Store) -> None:
    filled(store)
    answer = undo(store, NOW, "Ann", 2)
    assert isinstance(answer, Problem)
    assert (answer.rule, answer.remedy) == ("undo", "take that back first (act 3)")
    for _ in range(3):
        assert isinstance(undo(store, NOW, "Ann"), Undone)
    assert the_room(store).vessel_steps == ()
    assert holds(store) == 140.0


def test_water_stands_real_hours_on_the_night_the_clocks_go_forward(store: Store) -> None:
    """Full Sat 27 March 20:30; 12 h later the clock shows 09:30, as 01:00 to 02:00 is not there."""
    for word in ("fill-start", "full", "treated"):
        assert isinstance(step(store, at("2027-03-27T20:30"), "", "R1", word), Told)
    early = step(store, at("2027-03-28T09:00"), "", "R1", "ready")
    assert isinstance(early, Problem)
    assert (early.rule, "Sun 28 Mar 09:30" in early.what) == ("resting", True)
    assert isinstance(step(store, at("2027-03-28T09:30"), "", "R1", "ready"), Told)


def test_a_step_in_the_hour_that_comes_twice_is_not_ahead(store: Store) -> None:
    """01:30 comes twice on 31 October; the first of the two is an hour before the second."""
    second = at("2027-10-31T01:10").replace(fold=1)
    assert isinstance(step(store, second, "", "R1", "hose-out", when=at("2027-10-31T01:30")), Told)
    ahead = step(store, at("2027-10-31T01:30"), "", "R1", "hose-out", when=second)
    assert isinstance(ahead, Problem)
    assert ahead.rule == "not-in-the-future"


CHOICES: list[tuple[str, dict[str, Any]]] = [
    *((word, {}) for word in STEPS if word != "used"),
    ("used", {"litres": 25.0}), ("raw-in", {"litres": 40.0}), ("full", {"litres": 512.5}),
    ("mixed", {"litres": 333.3, "celsius": 21.0}), ("fill-start", {"anyway": True}),
    ("ready", {"anyway": True}), ("full", {"anyway": True}), ("heat-on", {"anyway": True}),
]  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_whatever_is_said_in_any_order_keeps_the_book_and_goes_back(
    tmp_path: Path, seed: int
) -> None:
    store, dice = example_store(tmp_path, rest_hours=0.0), random.Random(seed)
    before, acts = facts(store), 0
    when = at("2027-03-13T07:00")
    for n in range(14):
        when += timedelta(minutes=dice.randint(1, 90))
        if dice.random() < 0.2:
            told: object = mark(store, when, [f"change-d@D{n % 8 + 1}"], "done", How(anyway=True))
            acts += isinstance(told, Marked) and told.act is not None
        else:
            word, more = dice.choice(CHOICES)
            told = step(store, when, "Ann", "R1", word, **more)
            acts += isinstance(told, Told)
            assert isinstance(told, Told) or told.rule or "do not go into" in told.what
        room = the_room(store)
        found = contents_of(room, room.reservoir["R1"], when)
        assert 0 <= holds(store) <= 700
        assert 0 <= found.raw_litres <= found.litres <= 700
        assert not (found.state == "ready" and found.raw_litres and found.treated_at is None)
    for _ in range(acts):
        assert isinstance(undo(store, when, "Ann"), Undone)
    assert facts(store) == before
