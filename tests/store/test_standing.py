"""Which act a plain undo takes back: the newest in force, whoever put it in force again."""

from pathlib import Path

from roomtasks.room.problem import Problem
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.work.undoing import undo
from tests.store.made import MORNING, a_store


def _taken(store: Store, number: int | None = None) -> int:
    answer = undo(store, MORNING, "mk", number)
    assert not isinstance(answer, Problem)
    return answer.took_back.id


def _standing(store: Store) -> int | None:
    act = search.last_standing(store)
    return act.id if act is not None else None


def test_an_act_put_back_in_force_is_the_next_to_be_taken_back(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path, acts=2)) as store:
        assert _taken(store) == 2
        assert _standing(store) == 1
        assert _taken(store, 3) == 3
        assert _standing(store) == 4
        assert _taken(store) == 4
        assert _standing(store) == 1
        assert _taken(store) == 1
        assert _standing(store) is None


def test_only_what_one_person_did_is_looked_at(tmp_path: Path) -> None:
    with Store.open(a_store(tmp_path, acts=1)) as store:
        assert search.last_standing(store, "tb") is None
        assert search.last_standing(store, "mk") is not None
