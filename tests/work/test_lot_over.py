"""A lot whose last fish died: it is over, its tank wants stripping, and its date lives on.

Worked here, an invented room.
"""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from roomtasks.store.base import Store
from roomtasks.work import fish, stay_acts
from roomtasks.work.met import contact
from roomtasks.work.undoing import Undone, undo
from tests.work.test_stay_acts import CAME, a_store, arrived, lot, on, refused, told, view


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with a_store(tmp_path) as made:
        arrived(made)
        yield made


def test_a_lot_is_over_once_none_of_it_are_left_and_nothing_joins_it(store: Store) -> None:
    told(stay_acts.look(store, on(9), "mk", "Q1", "dead", 7))
    assert len(view(store, 9).stays) == 1
    last = told(stay_acts.look(store, on(10), "mk", "Q1", "dead", 1))
    assert "none of it are left: strip and dry Q1" in last.words
    assert view(store, 10).stays == ()
    refused(stay_acts.arrive(store, on(11), "mk", lot("new-10", since=CAME)), "not-stripped")
    assert isinstance(undo(store, on(11), "mk", last.act), Undone)
    assert len(view(store, 11).stays) == 1


def test_a_count_of_none_ends_it_too(store: Store) -> None:
    told(fish.recount(store, on(9), "mk", "new-9", 0))
    assert view(store, 9).stays == ()


def test_a_lot_that_shared_a_net_with_it_still_waits_for_its_clear_days(store: Store) -> None:
    """The younger one died out on day 40; 14 clear days later the other is free of it."""
    told(stay_acts.arrive(store, on(30), "mk", lot("new-11", "B3", since=CAME + timedelta(30))))
    told(contact(store, on(31), "mk", "Q1", "B3", "net"))
    told(stay_acts.look(store, on(40), "mk", "Q1", "dead", 8))
    (young,) = view(store, 41).stays
    assert young.now.stay.tank == "B3"
    shared = [c.day for c in young.now.candidates if c.cause == "shared"]
    assert shared == [CAME + timedelta(54)]
