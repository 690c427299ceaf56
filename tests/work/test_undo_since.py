"""What later acts leave behind decides whether an act can be taken back, and what comes back."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.room.stock import Group, Stocked
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.store.care import check
from roomtasks.work import fish, room_acts
from roomtasks.work.editing import put_fact
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.met import contact
from roomtasks.work.undoing import Undone, undo
from roomtasks.work.water import choose, end_level, set_level, step
from tests.rooms import at, small_room, store_with

DAYS = [at("2027-03-06 10:00") + timedelta(days=n) for n in range(9)]
LATER = at("2027-03-20 10:00")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with store_with(tmp_path, small_room()) as made:
        yield made
    assert check(made.path).whole


def facts(store: Store) -> dict[str, list[Any]]:
    return {
        name: read.rows(store, sheet)
        for name, sheet in SHEET.items()
        if name not in ("acts", "changes")
    }


def one(store: Store, sheet: str, code: str) -> Any:
    return read.one_row(store, SHEET[sheet], [code])


def noted(store: Store, note: str, **more: Any) -> None:
    tank = replace(one(store, "tanks", "B1"), note=note, **more)
    assert not isinstance(put_fact(store, DAYS[0], "mk", "tanks", tank), Problem)


def back(store: Store, number: int) -> Undone:
    answer = undo(store, LATER, "mk", number)
    assert isinstance(answer, Undone), answer
    return answer


def leans(store: Store, number: int, on: int) -> str:
    """The undo is refused, names the act that leans on it, and changes nothing."""
    before = facts(store)
    answer = undo(store, LATER, "mk", number)
    assert isinstance(answer, Problem)
    assert answer.rule == "undo"
    assert answer.remedy.startswith(f"take back act {on} first")
    assert facts(store) == before
    return answer.what


def test_a_row_that_was_changed_and_changed_back_has_been_changed(store: Store) -> None:
    before = facts(store)
    for note in ("one", "two", "one"):
        noted(store, note)
    assert "tanks B1 changed" in leans(store, 1, on=3)
    leans(store, 2, on=3)
    for number in (3, 2, 1):
        back(store, number)
    assert facts(store) == before


def test_what_was_taken_back_since_is_no_change_and_what_was_put_back_again_is(
    store: Store,
) -> None:
    noted(store, "one")
    noted(store, "two")
    back(store, 2)
    back(store, 3)
    assert one(store, "tanks", "B1").note == "two"
    assert "taken back: taken back: tanks B1" in leans(store, 1, on=4)
    back(store, 4)
    back(store, 1)
    assert one(store, "tanks", "B1").note == ""


def test_an_act_put_back_is_told_with_what_put_it_back(store: Store) -> None:
    noted(store, "one")
    back(store, 1)
    twice = undo(store, LATER, "mk", 1)
    assert isinstance(twice, Problem)
    assert (twice.what, twice.remedy) == ("it was taken back already, by act 2", "nothing to do")
    back(store, 2)
    again = undo(store, LATER, "mk", 1)
    assert isinstance(again, Problem)
    assert again.what == "it was taken back already, by act 2, and act 3 put it back"
    assert again.remedy == "take back act 3"
    back(store, 3)
    assert one(store, "tanks", "B1").note == ""


def test_other_cells_of_the_row_may_have_changed(store: Store) -> None:
    noted(store, "one")
    noted(store, "one", feed_g_per_day=2.0)
    noted(store, "one", feed_g_per_day=3.0)
    back(store, 1)
    tank = one(store, "tanks", "B1")
    assert (tank.note, tank.feed_g_per_day) == ("", 3.0)
    leans(store, 2, on=3)


def test_a_row_that_was_made_may_not_have_changed_in_any_cell(store: Store) -> None:
    assert not isinstance(choose(store, DAYS[0], "mk", date(2027, 3, 13), share=0.5), Problem)
    assert not isinstance(choose(store, DAYS[0], "mk", date(2027, 3, 13), share=0.6), Problem)
    assert not isinstance(choose(store, DAYS[0], "mk", date(2027, 3, 13), share=0.5), Problem)
    leans(store, 1, on=3)


def test_a_hold_lifted_and_put_back_by_undo_leaves_no_mark(store: Store) -> None:
    room_acts.set_hold(store, DAYS[0], "mk", "B1", "filter", "eggs")
    room_acts.lift_hold(store, DAYS[1], "mk", "hold-1")
    back(store, 2)
    back(store, 1)
    assert read.rows(store, SHEET["holds"]) == []


# --- since when a tank has had fish ------------------------------------------------------


def moved(store: Store, n: int, group: str, count: int, to: str) -> None:
    answer = fish.move(store, DAYS[n], "mk", group, count, to, anyway=True)
    assert not isinstance(answer, Problem), answer


def days(store: Store, tank: str) -> list[tuple[int, str]]:
    """Day of March and state, of what is written since the 6th."""
    rows = read.rows(store, SHEET["stocked"], 'WHERE "tank" = ? AND "since" >= ?',
                     (tank, "2027-03-06"))  # fmt: skip
    return [(row.since.day, row.state) for row in rows]


def test_without_the_first_arrival_a_tank_has_had_fish_since_the_second(store: Store) -> None:
    moved(store, 0, "calvus", 2, "B3")
    moved(store, 2, "lelupi", 3, "B3")
    moved(store, 4, "young-calvus", 3, "B3")
    assert days(store, "B3") == [(6, "fish")]
    first = back(store, 1)
    assert days(store, "B3") == [(8, "fish")]
    second = back(store, 2)
    assert days(store, "B3") == [(10, "fish")]
    back(store, second.act)
    assert days(store, "B3") == [(8, "fish")]
    back(store, first.act)
    assert days(store, "B3") == [(6, "fish")]


def test_without_those_who_stayed_a_tank_is_empty_since_the_others_left(store: Store) -> None:
    moved(store, 0, "calvus", 2, "B3")
    moved(store, 1, "lelupi", 3, "B3")
    moved(store, 3, "calvus.2", 2, "A5")
    assert days(store, "B3") == [(6, "fish")]
    taken = back(store, 2)
    assert days(store, "B3") == [(6, "fish"), (9, "empty")]
    back(store, taken.act)
    assert days(store, "B3") == [(6, "fish")]


def test_a_tank_that_was_never_emptied_was_never_filled_again(store: Store) -> None:
    before = facts(store)["stocked"]
    moved(store, 0, "calvus", 6, "B3")
    moved(store, 2, "lelupi", 3, "B1")
    assert days(store, "B1") == [(6, "empty"), (8, "fish")]
    back(store, 1)
    assert days(store, "B1") == []
    assert facts(store)["stocked"] == before


def test_fish_that_came_and_went_on_the_way_tell_their_days(store: Store) -> None:
    moved(store, 0, "calvus", 2, "B3")
    moved(store, 1, "lelupi", 3, "B3")
    moved(store, 2, "lelupi.2", 3, "A5")
    moved(store, 4, "young-calvus", 3, "B3")
    back(store, 1)
    assert days(store, "B3") == [(7, "fish"), (8, "empty"), (10, "fish")]


def test_a_day_written_by_hand_stays_by_hand(store: Store) -> None:
    moved(store, 0, "calvus", 2, "B3")
    moved(store, 2, "lelupi", 3, "B3")
    row = Stocked(tank="B3", since=date(2027, 3, 7), state="fish")
    assert not isinstance(put_fact(store, DAYS[2], "mk", "stocked", row), Problem)
    back(store, 1)
    assert days(store, "B3") == [(7, "fish"), (8, "fish")]
    by_hand = back(store, 3)
    assert days(store, "B3") == [(8, "fish")]
    back(store, by_hand.act)
    assert days(store, "B3") == [(7, "fish"), (8, "fish")]


def test_a_group_put_in_and_counted_to_none_tells_its_days(store: Store) -> None:
    new = Group(code="new-2", line="multi", tank="A6", count=4, since=date(2027, 3, 6))
    put = fish.put_in(store, DAYS[0], "mk", new)
    assert not isinstance(put, Problem)
    assert not isinstance(fish.recount(store, DAYS[2], "mk", "new-2", 0), Problem)
    assert days(store, "A6") == [(6, "fish"), (8, "empty")]
    back(store, 2)
    assert days(store, "A6") == [(6, "fish")]
    back(store, 1)
    assert days(store, "A6") == []


# --- litres in a reservoir ---------------------------------------------------------------


def changed(store: Store, n: int, name: str, **told: Any) -> Marked:
    how = How(who="mk", anyway=True, hands_clean=True, **told)
    answer = mark(store, DAYS[n], [name], "done", how)
    assert isinstance(answer, Marked), answer
    return answer


def level(store: Store, n: int, litres: float) -> None:
    told = step(store, DAYS[n], "mk", "R1", "treated", litres=litres, anyway=True)
    assert not isinstance(told, Problem), told


def held(store: Store) -> float:
    return float(one(store, "reservoirs", "R1").holds_litres)


def test_a_draw_comes_back_as_a_difference_while_nobody_noted_a_level(store: Store) -> None:
    level(store, 0, 800.0)
    changed(store, 1, "change-alone@B1", litres=20.0)
    changed(store, 1, "change-alone@B2", litres=30.0)
    assert held(store) == 750.0
    taken = back(store, 2)
    assert held(store) == 770.0
    back(store, taken.act)
    assert held(store) == 750.0


def test_a_level_noted_since_stays_though_a_draw_before_it_is_taken_back(store: Store) -> None:
    changed(store, 0, "change-alone@B1", litres=20.0)
    level(store, 1, 700.0)
    changed(store, 2, "change-alone@B2", litres=30.0)
    taken = back(store, 1)
    assert held(store) == 670.0
    back(store, taken.act)
    assert held(store) == 670.0
    back(store, 3)
    assert held(store) == 700.0
    back(store, 2)
    assert held(store) == 880.0


def test_a_level_told_late_is_under_the_draws_after_it(store: Store) -> None:
    changed(store, 2, "change-alone@B1", litres=20.0)
    told = step(store, DAYS[3], "mk", "R1", "treated", litres=500.0, when=DAYS[1], anyway=True)
    assert not isinstance(told, Problem), told
    under = held(store)
    assert under < 500.0
    back(store, 1)
    assert held(store) == pytest.approx(under + 20.0)


# --- the sheets of water and of who met whom ---------------------------------------------


def test_acts_of_the_newer_sheets_are_taken_back_and_put_back(store: Store) -> None:
    states = [facts(store)]
    acts: tuple[Callable[[], fish.Told | Problem], ...] = (
        lambda: step(store, DAYS[0], "mk", "R1", "hose-out"),
        lambda: step(store, DAYS[1], "mk", "R1", "full", anyway=True),
        lambda: step(store, DAYS[2], "mk", "R1", "used", litres=100.0),
        lambda: choose(store, DAYS[3], "mk", date(2027, 3, 13), share=0.5),
        lambda: choose(store, DAYS[3], "mk", date(2027, 3, 13), keep_back=True),
        lambda: set_level(store, DAYS[4], "mk", "B1", "salt", 1.0),
        lambda: set_level(store, DAYS[5], "mk", "B1", "salt", 2.0),
        lambda: end_level(store, DAYS[6], "mk", "B1", "salt"),
        lambda: contact(store, DAYS[7], "mk", "Q1", "B1", "net"),
        lambda: fish.move(store, DAYS[8], "mk", "calvus", 2, "A5", anyway=True),
    )
    for do in acts:
        answer = do()
        assert not isinstance(answer, Problem), answer
        states.append(facts(store))
    undos = []
    for number in range(len(acts), 0, -1):
        undos.append(back(store, number).act)
        assert facts(store) == states[number - 1]
    for number, taken in enumerate(reversed(undos), start=1):
        back(store, taken)
        assert facts(store) == states[number]


def test_a_level_that_another_replaced_is_not_taken_back_from_under_it(store: Store) -> None:
    assert not isinstance(set_level(store, DAYS[0], "mk", "B1", "salt", 1.0), Problem)
    assert not isinstance(set_level(store, DAYS[2], "mk", "B1", "salt", 2.0), Problem)
    leans(store, 1, on=2)
    assert [act.id for act in search.acts(store)] == [2, 1]
