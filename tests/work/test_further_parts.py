"""A missed change made up for in parts: the first at the walk, the others as jobs of one day.

Mass balance: one missed 30 % is 2 x 0.3 / 1.3 = 46.15 % in one change, above 40 % a day two
of 1 - (1 - 0.4615)^(1/2) = 26.62 %, a day apart (worked here, invented room).
"""

from datetime import date, datetime
from pathlib import Path

import pytest

from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.undoing import Undone, undo
from tests.room.example_room import at
from tests.work.water_store import example_store, the_room

MISSED, LATER = at("2027-03-13T10:00"), at("2027-03-20T10:00")
D3, PART = "change-d@D3", "change-d.D3.p2"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """The worked room, D3's change of 13 March given up."""
    made = example_store(tmp_path)
    marked(mark(made, MISSED, [D3], "left-out", How(reason="no water")))
    return made


def marked(answer: Marked | Problem) -> Marked:
    assert isinstance(answer, Marked), answer
    return answer


def due_of(store: Store, name: str, now: datetime) -> Due:
    seen = picture(store, now)
    assert isinstance(seen, Picture)
    return seen.due[name]


def test_the_walk_has_the_first_part_and_done_enters_the_second(store: Store) -> None:
    first = due_of(store, D3, LATER)
    assert first.owed_fraction == pytest.approx(0.26620, abs=1e-5)
    assert first.litres == pytest.approx(13.98, abs=0.01)
    said = marked(mark(store, LATER, [D3], "done", How()))
    assert said.marks[0].fraction == pytest.approx(0.26620, abs=1e-5)
    assert any("26.6 % (14.0 L) more on Sun 21 Mar" in remark for remark in said.remarks)
    part = the_room(store).job[PART]
    assert part.rule == "once 2027-03-21"
    assert part.fraction == pytest.approx(0.26620, abs=1e-5)
    assert said.next_due[D3] == date(2027, 3, 27)


def test_what_was_really_done_sets_what_is_left(store: Store) -> None:
    """40 % done of 46.15 % leaves 1 - 0.5385 / 0.6 = 10.26 %."""
    said = marked(mark(store, LATER, [D3], "done", How(litres=21.0)))
    assert said.marks[0].fraction == pytest.approx(0.40)
    assert the_room(store).job[PART].fraction == pytest.approx(0.10256, abs=1e-5)


def test_a_part_done_by_hand_leaves_one_change_within_the_limit(store: Store) -> None:
    """15 % done leaves 1 - 0.5385 / 0.85 = 36.65 %, which is no more than 40 %."""
    marked(mark(store, LATER, [D3], "partly", How(fraction=0.15)))
    assert due_of(store, D3, LATER).owed_fraction == pytest.approx(0.36652, abs=1e-5)
    marked(mark(store, at("2027-03-21T10:00"), [D3], "done", How()))
    assert PART not in the_room(store).job


def test_taking_it_back_takes_the_further_part_too(store: Store) -> None:
    marked(mark(store, LATER, [D3], "done", How()))
    assert isinstance(undo(store, at("2027-03-20T10:05"), ""), Undone)
    assert PART not in the_room(store).job
    assert due_of(store, D3, LATER).owed_fraction == pytest.approx(0.26620, abs=1e-5)


def test_nothing_missed_is_the_usual_change_and_no_part(tmp_path: Path) -> None:
    made = example_store(tmp_path)
    usual = due_of(made, D3, MISSED)
    assert usual.owed_fraction is None
    assert usual.litres == pytest.approx(15.75)
    said = marked(mark(made, MISSED, [D3], "done", How()))
    assert PART not in the_room(made).job
    assert not any("missed" in remark for remark in said.remarks)
