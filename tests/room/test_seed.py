"""Which filter would do as a seed for another tank, and what stands against one."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from roomtasks.room.arrival import RIPE_DAYS
from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.room import Room
from roomtasks.room.seed import dosed_in, is_ripe, left_words, needs_seed, seed_refusals
from roomtasks.room.tank import Filter
from roomtasks.room.treatment import Level
from tests.room.scene import room

TODAY = date(2027, 3, 6)
OLD = TODAY - timedelta(days=RIPE_DAYS)
COURSE = Course(code="dips", name="Three days", product="remedy")
STEPS = tuple(CourseStep(course="dips", day=n, action="dose") for n in (0, 1, 2))


def with_filters(*items: Filter) -> Room:
    return room(filters=items, courses=(COURSE,), course_steps=STEPS)


def sponge(code: str = "D3-1", since: date | None = OLD, kind: str = "sponge") -> Filter:
    return Filter(code=code, tank=code.split("-")[0], since=since, kind=kind)


def rules(made: Room, item: Filter) -> list[str]:
    return [no.rule for no in seed_refusals(made, item, TODAY)]


@pytest.mark.parametrize(
    ("item", "ripe"),
    [
        (sponge(), True),
        (sponge(since=OLD + timedelta(days=1)), False),
        (sponge(since=None), False),
        (sponge(kind="box"), True),
        (sponge(kind="other"), False),
    ],
)
def test_a_filter_is_ripe_once_it_has_run_its_weeks(item: Filter, *, ripe: bool) -> None:
    assert is_ripe(item, TODAY) is ripe
    assert rules(with_filters(item), item) == ([] if ripe else ["seed-not-ripe"])


def test_an_unripe_one_says_from_which_day_it_would_do() -> None:
    item = sponge(since=TODAY - timedelta(days=10))
    (no,) = seed_refusals(with_filters(item), item, TODAY)
    assert no.what == "it runs only since Wed 24 Feb; it is ripe after 28 days"
    assert no.remedy == "wait until Wed 24 Mar, or take another"


@pytest.mark.parametrize(
    ("run", "words"),
    [
        (Run(code="r", course="dips", tank="D3", since=TODAY), "is under treatment, Three days"),
        (Run(code="r", course="dips", tank="D3", since=date(2027, 2, 20), state="ended",
             ended=date(2027, 2, 22)), "was under treatment until Mon 22 Feb, Three days"),
        (Run(code="r", course="dips", tank="D3", since=date(2027, 2, 10), state="ended",
             ended=date(2027, 2, 20)), ""),
        (Run(code="r", course="dips", tank="D4", since=TODAY), ""),
        (Run(code="r", course="dips", tank="D3", since=date(2027, 2, 20), state="interrupted"),
         "was under treatment until Mon 22 Feb, Three days"),
    ],
)  # fmt: skip
def test_a_dosed_tank_gives_no_seed(run: Run, words: str) -> None:
    item = sponge()
    made = replace(with_filters(item), runs=(run,))
    assert dosed_in(made, "D3", TODAY) == words
    assert rules(made, item) == (["seed-under-treatment"] if words else [])


def test_what_is_dissolved_counts_where_it_is_a_medicine() -> None:
    item = sponge()
    for medicine, many in ((True, 1), (False, 0)):
        level = Level(tank="D3", product="remedy", since=TODAY, per_litre=0.1, medicine=medicine)
        assert len(rules(replace(with_filters(item), levels=(level,)), item)) == many


def test_what_a_tank_keeps_is_said() -> None:
    made = with_filters(sponge(), sponge("D3-2"), sponge("D4-1", since=TODAY))
    assert left_words(made, "D3", "D3-1", TODAY) == "D3 keeps D3-2, ripe"
    assert left_words(made, "D4", "D3-1", TODAY) == "D4 keeps D4-1, not ripe yet"
    assert left_words(made, "D5", "D3-1", TODAY) == "D5 keeps no filter of its own"
    assert [tank for tank in ("D3", "D4", "D5") if needs_seed(made, tank, TODAY)] == ["D4", "D5"]
