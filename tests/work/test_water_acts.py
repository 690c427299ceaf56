"""Choices for a change day, levels in a tank's water, and top-offs: kept, refused, taken back."""

from collections.abc import Callable
from datetime import date, time
from pathlib import Path

import pytest

from roomtasks.room.journal import Reading
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.room.treatment import Choice, Level
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.work.fish import Told
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.room_acts import read_off
from roomtasks.work.undoing import Undone, undo
from roomtasks.work.water_acts import choose, end_level, set_level, top_off
from tests.room.example_room import CHANGE_DAY, at, example_room, shut
from tests.work.water_store import example_store, facts, holds, the_room

NOW = at("2027-03-12T18:00")
TODAY = date(2027, 3, 12)
Act = Callable[[Store], Told | Problem]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return example_store(tmp_path)


def told(answer: object) -> Told:
    assert isinstance(answer, Told), answer
    return answer


ACTS: dict[str, Act] = {
    "choose": lambda s: choose(s, NOW, "Ann", CHANGE_DAY, hour=time(10, 0), share=0.6),
    "set": lambda s: set_level(s, NOW, "Ann", "H1", "salt", 2.0),
    "top-off": lambda s: top_off(s, NOW, "Ann", "S", 9.0),
}


@pytest.mark.parametrize("name", ACTS)
def test_each_act_is_one_line_of_the_journal_and_goes_back(store: Store, name: str) -> None:
    before = facts(store)
    said = told(ACTS[name](store))
    assert facts(store) != before
    assert [(act.id, act.words, act.who) for act in search.acts(store)] == [
        (said.act, said.words, "Ann")
    ]
    assert isinstance(undo(store, NOW, "Ann"), Undone)
    assert facts(store) == before


def test_a_choice_keeps_what_was_chosen_before(store: Store) -> None:
    told(choose(store, NOW, "", CHANGE_DAY, hour=time(10, 0)))
    said = told(choose(store, NOW, "", CHANGE_DAY, share=0.6))
    assert said.words == (
        "change of Sat 13 Mar 2027: begins 10:00, every change at 60 % of what is planned, "
        "the keep-back stays"
    )
    assert the_room(store).choices == (Choice(day=CHANGE_DAY, hour=time(10, 0), share=0.6),)


def test_the_keep_back_is_used_only_after_a_yes(store: Store) -> None:
    told(choose(store, NOW, "", CHANGE_DAY, share=0.9))
    assert not the_room(store).choices[0].keep_back
    told(choose(store, NOW, "", CHANGE_DAY, keep_back=True))
    assert the_room(store).choices[0].keep_back
    told(choose(store, NOW, "", CHANGE_DAY, keep_back=False))
    assert not the_room(store).choices[0].keep_back


def test_a_choice_taken_back_whole_leaves_the_plan(store: Store) -> None:
    told(choose(store, NOW, "", CHANGE_DAY, share=0.6))
    told(choose(store, NOW, "", CHANGE_DAY, as_planned=True))
    assert the_room(store).choices == ()
    again = choose(store, NOW, "", CHANGE_DAY, as_planned=True)
    assert isinstance(again, Problem)
    assert again.rule == "no-change"


REFUSED: dict[str, tuple[Act, str]] = {
    "a day gone by": (lambda s: choose(s, NOW, "", date(2027, 3, 11), share=0.5), "gone by"),
    "no share": (lambda s: choose(s, NOW, "", CHANGE_DAY, share=0.0), "no share"),
    "more than all": (lambda s: choose(s, NOW, "", CHANGE_DAY, share=1.5), "no share"),
    "no number": (lambda s: choose(s, NOW, "", CHANGE_DAY, share=float("nan")), "no share"),
    "nothing chosen": (lambda s: choose(s, NOW, "", CHANGE_DAY), "nothing was chosen"),
    "both": (lambda s: choose(s, NOW, "", CHANGE_DAY, share=0.5, as_planned=True), "both"),
    "no tank": (lambda s: set_level(s, NOW, "", "H9", "salt", 2.0), "no such tank"),
    "no product": (lambda s: set_level(s, NOW, "", "H1", "  ", 2.0), "blank"),
    "no level": (lambda s: set_level(s, NOW, "", "H1", "salt", 0.0), "no level"),
    "below nought": (lambda s: set_level(s, NOW, "", "H1", "salt", -2.0), "no level"),
    "too much": (lambda s: set_level(s, NOW, "", "H1", "salt", 1e308), "no level"),
    "no amount": (lambda s: set_level(s, NOW, "", "H1", "salt", float("nan")), "no level"),
    "no unit": (lambda s: set_level(s, NOW, "", "H1", "salt", 2.0, unit="cup"), "no unit"),
    "until the past": (
        lambda s: set_level(s, NOW, "", "H1", "salt", 2.0, until=date(2027, 3, 1)), "gone by",
    ),
    "no tank to end": (lambda s: end_level(s, NOW, "", "H9", "salt"), "no such tank"),
    "no place": (lambda s: top_off(s, NOW, "", "R1", 3.0), "no such tank or system"),
    "no litres": (lambda s: top_off(s, NOW, "", "S", 0.0), "no top-off"),
    "endless litres": (lambda s: top_off(s, NOW, "", "S", float("inf")), "no top-off"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_refused_and_nothing_is_written(store: Store, name: str) -> None:
    act, words = REFUSED[name]
    before = facts(store)
    answer = act(store)
    assert isinstance(answer, Problem)
    assert words in answer.what
    assert answer.rule == ""
    assert answer.remedy
    assert facts(store) == before
    assert search.acts(store) == []


def test_a_new_level_ends_the_old_one_the_day_before(store: Store) -> None:
    told(set_level(store, at("2027-03-01T08:00"), "", "H1", "Salt", 1.0))
    said = told(
        set_level(store, NOW, "", "H1", "salt", 2.0, until=date(2027, 3, 20), medicine=True)
    )
    assert said.words == "salt in H1: 2 g in each litre until Sat 20 Mar"
    levels = {row.product: row for row in the_room(store).levels}
    assert levels["Salt"].until == date(2027, 3, 11)
    assert levels["salt"] == Level(
        tank="H1", product="salt", since=TODAY, per_litre=2.0, until=date(2027, 3, 20),
        medicine=True,
    )  # fmt: skip


def test_a_level_set_twice_a_day_stands_once_and_the_same_again_is_no_act(store: Store) -> None:
    told(set_level(store, NOW, "", "H1", "salt", 1.0))
    told(set_level(store, NOW, "", "H1", "salt", 2.0))
    assert [row.per_litre for row in the_room(store).levels] == [2.0]
    again = set_level(store, NOW, "", "H1", "salt", 2.0)
    assert isinstance(again, Problem)
    assert again.rule == "no-change"


def test_a_level_ends_and_its_end_goes_back(store: Store) -> None:
    told(set_level(store, at("2027-03-01T08:00"), "", "H1", "salt", 2.0))
    before = facts(store)
    assert told(end_level(store, NOW, "", "H1", "SALT")).words == "salt in H1: kept up no longer"
    assert the_room(store).levels[0].until == date(2027, 3, 11)
    gone = end_level(store, NOW, "", "H1", "salt")
    assert isinstance(gone, Problem)
    assert gone.rule == "no-change"
    assert isinstance(undo(store, NOW, ""), Undone)
    assert facts(store) == before


def test_a_level_that_began_today_never_was(store: Store) -> None:
    told(set_level(store, NOW, "", "H1", "salt", 2.0))
    told(end_level(store, NOW, "", "H1", "salt"))
    assert the_room(store).levels == ()


def test_ending_another_product_names_those_that_are_kept(store: Store) -> None:
    told(set_level(store, NOW, "", "H1", "salt", 2.0))
    answer = end_level(store, NOW, "", "H1", "tannin")
    assert isinstance(answer, Problem)
    assert "it has salt" in answer.remedy


def readings(store: Store) -> list[Reading]:
    return read.rows(store, SHEET["readings"])


@pytest.mark.parametrize(("place", "body"), [("S", "S"), ("A3", "S"), ("D3", "D3"), ("G3", "G3")])
def test_a_top_off_is_read_at_the_body_of_water(tmp_path: Path, place: str, body: str) -> None:
    store = example_store(tmp_path, shut(example_room(), "G3"))
    told(top_off(store, NOW, "", place, 9.5))
    found = readings(store)
    assert [(row.target, row.what, row.value, row.unit) for row in found] == [
        (body, "top-off", 9.5, "L")
    ]


def test_a_top_off_over_what_the_sump_takes_at_rest_is_told(store: Store) -> None:
    """9.5 L over 7.104 L/cm are 1.3 cm, and 8.96 cm run back: 34.0 cm are safe (geometry)."""
    told(read_off(store, NOW, "", "S", "sump-level", 33.0, "cm"))
    said = told(top_off(store, at("2027-03-12T18:05"), "", "S", 9.5)).words
    assert "with the 33 cm read today, at 34.3 cm running it would stand at 43.3 cm" in said
    assert "at most 34 cm while it runs" in said
    assert "read today" not in told(top_off(store, at("2027-03-13T18:05"), "", "S", 3.0)).words


def test_twice_the_usual_top_off_over_two_days_asks_for_a_leak(store: Store) -> None:
    """Usual 24 L a week by the system's facts; common practice, no published source."""
    assert "leak" not in told(top_off(store, at("2027-03-10T08:00"), "", "S", 3.0)).words
    said = told(top_off(store, NOW, "", "A1", 14.0))
    assert said.words == (
        "topped off A1, which is on S: 14 L; S took 14 L in 2 days where 6.86 L is usual: look "
        "for a leak or an open lid"
    )


def test_a_marked_top_off_counts_once_and_asks_for_a_leak_too(store: Store) -> None:
    told(top_off(store, at("2027-03-11T08:00"), "", "S", 3.0))
    quiet = mark(store, at("2027-03-13T10:00"), ["top-off@S"], "done", How(litres=13.0))
    assert isinstance(quiet, Marked)
    assert not any("leak" in remark for remark in quiet.remarks)
    assert isinstance(undo(store, at("2027-03-13T10:05"), ""), Undone)
    marked = mark(store, at("2027-03-13T10:10"), ["top-off@S"], "done", How(litres=14.0))
    assert isinstance(marked, Marked)
    assert any("look for a leak" in remark for remark in marked.remarks)


def test_a_marked_top_off_is_read_too_and_goes_back(store: Store) -> None:
    before = facts(store)
    marked = mark(store, at("2027-03-13T10:00"), ["top-off@S"], "done", How(litres=31.0))
    assert isinstance(marked, Marked)
    assert [(row.target, row.value, row.act) for row in readings(store)] == [("S", 31.0, 1)]
    assert holds(store) == 140.0 - 31.0
    assert isinstance(undo(store, at("2027-03-13T10:05"), ""), Undone)
    assert facts(store) == before


def test_water_is_read_at_its_source(store: Store) -> None:
    assert told(read_off(store, NOW, "", "tap", "temperature", 9.5, "C"))
    assert readings(store)[0].target == "tap"
    nowhere = read_off(store, NOW, "", "well", "temperature", 9.5, "C")
    assert isinstance(nowhere, Problem)


def test_the_newest_readings_of_each_sort_come_none_too_old(store: Store) -> None:
    for day in range(1, 13):
        told(read_off(store, at(f"2027-03-{day:02}T08:00"), "", "A1", "nitrate", float(day)))
    told(read_off(store, at("2025-01-01T08:00"), "", "A1", "ph", 7.0))
    told(read_off(store, at("2027-01-01T08:00"), "", "tap", "nitrate", 8.0))
    found = read.newest_readings(store)
    assert [(row.target, row.what, row.value) for row in found] == [
        *(("A1", "nitrate", float(day)) for day in range(7, 13)), ("tap", "nitrate", 8.0),
    ]  # fmt: skip
    assert [row.value for row in read.newest_readings(store, each=1)] == [12.0, 8.0]
    early = read.newest_readings(store, until=date(2027, 3, 2))
    assert [row.value for row in early] == [1.0, 2.0, 8.0]
    assert [row.value for row in read.newest_readings(store, days=3)] == [9.0, 10.0, 11.0, 12.0]


def test_a_store_without_readings_has_no_newest(store: Store) -> None:
    assert read.newest_readings(store) == []


def test_marks_of_water_are_those_that_say_how_much(store: Store) -> None:
    for name in ("change-d@D1", "change-d@D2"):
        assert isinstance(mark(store, at("2027-03-13T10:00"), [name], "done", How()), Marked)
    left = How(reason="no water")
    assert isinstance(mark(store, at("2027-03-13T10:00"), ["change-d@D3"], "left-out", left),
                      Marked)  # fmt: skip
    found = read.water_marks(store, CHANGE_DAY)
    assert [(row.target, row.fraction, row.litres) for row in found] == [
        ("D1", 0.3, 15.75), ("D2", 0.3, 15.75),
    ]  # fmt: skip
    assert read.water_marks(store, date(2027, 3, 14)) == []


def test_levels_and_choices_of_a_room_that_is_not_there(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "empty.db")
    for act in ACTS.values():
        answer = act(store)
        assert isinstance(answer, Problem)
        assert answer.rule == "no-room"
