"""The undo of any act after any sequence, in a small size."""

from pathlib import Path

import pytest

from tests.reliability.undo import Shelf, properties


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


def test_acts_undone_last_first_give_the_facts_of_the_start(shelf: Shelf) -> None:
    properties(shelf, 25)[0]()


def test_any_act_undone_is_as_if_it_had_not_been_or_refused(shelf: Shelf) -> None:
    properties(shelf, 30)[1]()
    assert shelf.seen["as on a store without it"] >= 5
