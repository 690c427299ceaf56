"""A seed sponge: what the target gets, what is refused, what the journal has, taking it back."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.arrival import arrival_refusals
from roomtasks.room.course import Course, CourseStep
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.seed import needs_seed
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.work import course_acts
from roomtasks.work.fish import Told
from roomtasks.work.seed_acts import seeds, take_seed
from roomtasks.work.stay_acts import readiness
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

NOW = at("2027-03-06 08:00")
TODAY = NOW.date()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """B3 is a quarantine tank without a filter; B1-2 was hung in on the first of March."""
    sheets = small_room()
    sheets["tanks"] = [
        replace(tank, role="quarantine") if tank.code == "B3" else tank for tank in sheets["tanks"]
    ]
    sheets["filters"] = [
        replace(item, since=date(2027, 3, 1)) if item.code == "B1-2" else item
        for item in sheets["filters"]
        if item.tank != "B3"
    ]
    with store_with(tmp_path, sheets) as made:
        yield made


def there(store: Store) -> Room:
    room = read.room(store)
    assert not isinstance(room, Problem)
    return room


def test_the_target_has_a_ripe_filter_at_once_and_the_arrival_is_let_in_by_it(
    store: Store,
) -> None:
    def unripe() -> bool:
        known = readiness(store, there(store), "B3", TODAY)
        found = arrival_refusals(there(store), "B3", NOW, known)
        return any(no.rule == "no-ripe-filter" for no in found)

    assert needs_seed(there(store), "B3", TODAY)
    assert unripe()
    before = there(store)
    done = take_seed(store, NOW, "mk", "B2-1", "B3")
    assert isinstance(done, Told)
    assert done.words == (
        "seed sponge B2-1 from B2 to B3, running since Tue 1 Sep 2026: B3 has a ripe filter now; "
        "B2 keeps B2-2, ripe"
    )
    assert not needs_seed(there(store), "B3", TODAY)
    assert not unripe()
    assert search.acts(store)[0].words == done.words
    assert isinstance(undo(store, NOW, "mk"), Undone)
    assert there(store) == before


def test_an_unripe_one_is_refused_even_when_said_again(store: Store) -> None:
    answer = take_seed(store, NOW, "mk", "B1-2", "B3", anyway=True)
    assert isinstance(answer, Problem)
    assert answer.rule == "seed-not-ripe"
    assert "Mon 1 Mar" in answer.what


def test_a_tank_under_treatment_gives_none_and_is_asked_about_as_target(store: Store) -> None:
    course = Course(code="dips", name="Three days", product="remedy", amount=5.0, unit="ml",
                    per_litres=100.0)  # fmt: skip
    steps = [CourseStep(course="dips", day=n, action="dose") for n in (0, 1, 2)]
    assert isinstance(course_acts.keep_course(store, NOW, "mk", course, steps), Told)
    assert isinstance(course_acts.start_course(store, NOW, "mk", "B1", "dips"), Told)
    out = take_seed(store, NOW, "mk", "B1-1", "B3", anyway=True)
    assert isinstance(out, Problem)
    assert out.rule == "seed-under-treatment"
    into = take_seed(store, NOW, "mk", "B2-1", "B1")
    assert isinstance(into, Problem)
    assert into.rule == "seed-under-treatment"
    assert "--anyway" in into.remedy
    assert isinstance(take_seed(store, NOW, "mk", "B2-1", "B1", anyway=True), Told)


def test_every_filter_is_told_with_what_stands_against_it(store: Store) -> None:
    found = {seed.item.code: seed.refused and seed.refused.rule
             for seed in seeds(store, there(store), TODAY)}  # fmt: skip
    assert found["B2-1"] is None
    assert found["B1-2"] == "seed-not-ripe"
    assert found["Q1-1"] == "seed-from-apart"


@pytest.mark.parametrize("item", ["Q1-1", "B1-2", "X9"])
def test_a_refusal_leaves_all_as_it_was(store: Store, item: str) -> None:
    before = there(store)
    assert isinstance(take_seed(store, NOW, "mk", item, "B3"), Problem)
    assert there(store) == before
