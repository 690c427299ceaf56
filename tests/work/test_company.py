"""Fish moved among others: what nobody can undo is asked about, a tank half made over too.

Worked here, an invented room.
"""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.room.stock import Group
from roomtasks.store.base import Store
from roomtasks.work import fish, move_acts
from roomtasks.work.fish import Told
from tests.rooms import at, small_room, store_with

NOW = at("2027-03-06 08:10")
SINCE = date(2027, 1, 1)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    sheets = small_room()
    sheets["lines"] = [
        LineFacts(name="banded", looks_like="barred", adult_cm=6.0),
        LineFacts(name="barred", adult_cm=6.0), LineFacts(name="pike", eats="dwarf", adult_cm=9.0),
        LineFacts(name="dwarf", adult_cm=3.5),
    ]  # fmt: skip
    places = {"banded": "A1", "barred": "A2", "pike": "A3", "dwarf": "A4"}
    sheets["groups"] = [
        replace(Group(code=line, line=line, tank=tank, count=4, since=SINCE), stage="adult")
        for line, tank in places.items()
    ]
    return store_with(tmp_path, sheets)


@pytest.mark.parametrize(
    ("group", "to", "rule"),
    [("banded", "A2", "look-alike"), ("barred", "A1", "look-alike"), ("dwarf", "A3", "eaten"),
     ("pike", "A4", "eaten")],
)  # fmt: skip
def test_fish_go_not_among_those_they_must_never_meet_unless_it_is_meant(
    store: Store, group: str, to: str, rule: str
) -> None:
    refused = fish.move(store, NOW, "", group, 2, to)
    assert isinstance(refused, Problem)
    assert refused.rule == rule
    assert "--anyway" in refused.remedy
    assert isinstance(fish.move(store, NOW, "", group, 2, to, anyway=True), Told)


def test_others_go_together(store: Store) -> None:
    assert isinstance(fish.move(store, NOW, "", "pike", 2, "A1"), Told)


def test_no_fish_go_into_a_tank_half_made_over_until_its_pump_is_on(store: Store) -> None:
    assert isinstance(fish.move(store, NOW, "", "banded", 4, "A3", anyway=True), Told)
    begun = move_acts.begin_make_over(store, NOW, "", "A1", NOW.date(), to="A3")
    assert isinstance(begun, Told)
    code = f"over-{begun.act}"
    refused = fish.move(store, NOW, "", "dwarf", 2, "A1")
    assert isinstance(refused, Problem)
    assert refused.rule == "being-made-over"
    for step in range(1, 13):
        assert isinstance(move_acts.tick(store, NOW, "", code, step), Told)
    assert isinstance(fish.move(store, NOW, "", "dwarf", 2, "A1"), Told)


def test_a_make_over_says_who_is_still_in_the_tank_once_its_fish_were_caught(store: Store) -> None:
    begun = move_acts.begin_make_over(store, NOW, "", "A1", NOW.date(), to="B1")
    assert isinstance(begun, Told)
    code = f"over-{begun.act}"
    for step in range(1, 7):
        assert isinstance(move_acts.tick(store, NOW, "", code, step), Told)
    caught = move_acts.tick(store, NOW, "", code, 7)
    assert isinstance(caught, Told)
    assert "by the book 4 banded (banded) are still in A1" in caught.words
    same = move_acts.begin_make_over(store, NOW, "", "A2", NOW.date(), to="A2")
    assert isinstance(same, Problem)
