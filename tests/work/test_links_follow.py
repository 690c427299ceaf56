"""Links of a chain follow the fish that are to go: fewer, more, none, or gone already."""

from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.work import brood_acts, fish, move_acts
from roomtasks.work.fish import Told
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at
from tests.work.test_brood_acts import MONDAY, chain, full_store, job, planned, the_room, told

LATER = at("2027-03-06 09:00")


@pytest.fixture
def full(tmp_path: Path) -> Store:
    return full_store(tmp_path)


def middle(store: Store) -> int:
    return int(next(m for m in chain(store) if m.n == 2).count)


def test_a_link_moves_as_many_as_are_left_of_the_group(full: Store) -> None:
    code = planned(full)
    whole = middle(full)
    told(fish.take_out(full, MONDAY, "mk", "half", 3, "died"))
    assert middle(full) == whole - 3
    assert job(full, f"{code}-2").name.startswith(f"Move {whole - 3} ")
    told(fish.recount(full, MONDAY, "mk", "half", whole + 2))
    assert middle(full) == whole + 2
    told(move_acts.do_link(full, LATER, "mk", code, 1))
    told(move_acts.do_link(full, LATER, "mk", code, 2))
    where = {group.code: (group.tank, group.count) for group in the_room(full).groups}
    assert where["half"] == ("A3", whole + 2)
    assert "half.2" not in where


def test_a_link_is_given_up_where_none_of_its_fish_are_left(full: Store) -> None:
    code = planned(full)
    told(fish.take_out(full, MONDAY, "mk", "half", middle(full), "died"))
    assert [move.state for move in chain(full)] == ["planned", "dropped", "planned"]
    told(move_acts.do_link(full, LATER, "mk", code, 1))
    told(move_acts.do_link(full, LATER, "mk", code, 3))


def test_a_link_whose_fish_went_there_by_another_way_is_done(full: Store) -> None:
    code = planned(full)
    told(move_acts.do_link(full, LATER, "mk", code, 1))
    told(fish.move(full, LATER, "mk", "half", middle(full), "A3"))
    assert "is in A3 already" in told(move_acts.do_link(full, LATER, "mk", code, 2))
    told(move_acts.do_link(full, LATER, "mk", code, 3))


def test_taking_a_death_back_gives_the_link_its_count_again(full: Store) -> None:
    planned(full)
    whole = middle(full)
    died = fish.take_out(full, MONDAY, "mk", "half", 3, "died")
    assert isinstance(died, Told)
    assert isinstance(undo(full, MONDAY, "mk", died.act), Undone)
    assert middle(full) == whole


def test_fish_that_are_where_they_should_be_need_no_chain(full: Store) -> None:
    answer = move_acts.plan_chain(full, MONDAY, "mk", [("half", ("A2",))])
    assert isinstance(answer, Problem)
    assert (answer.rule, answer.what) == ("no-change", "it is in A2 already")


def test_a_split_of_more_than_there_are_or_to_one_tank_twice_is_refused_whole(full: Store) -> None:
    more = brood_acts.part(full, MONDAY, "mk", "half", [(60, "A3"), (60, "B1")], anyway=True)
    assert isinstance(more, Problem)
    assert (more.rule, more.what) == ("counts-add-up", "there are 90, not 120")
    twice = brood_acts.part(full, MONDAY, "mk", "half", [(6, "A3"), (6, "A3")], anyway=True)
    assert isinstance(twice, Problem)
    assert twice.what == "it is named twice"
