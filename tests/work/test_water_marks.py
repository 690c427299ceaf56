"""Jobs at a reservoir that are marked: each writes the step it stands for, and goes back."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.job import Job
from roomtasks.room.vessel import VesselStep
from roomtasks.store.base import Store
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.undoing import Undone, undo
from tests.room.example_room import at, example_room
from tests.work.water_store import example_store, facts, holds, the_room

WEDNESDAY = at("2027-03-10T18:00")


def a_job(code: str, **more: Any) -> Job:
    made: dict[str, Any] = {
        "code": code, "name": f"{code} R1", "kind": code, "where": "reservoir R1",
        "rule": "every 7 days", "starts": date(2027, 3, 10),
    } | more  # fmt: skip
    return Job(**made)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    jobs = (a_job("fill"), a_job("treat"), a_job("heat"), a_job("mix"),
            a_job("part", kind="fill", litres=200.0))  # fmt: skip
    room = example_room()
    return example_store(tmp_path, replace(room, jobs=(*room.jobs, *jobs)))


def done(store: Store, job: str, outcome: str = "done", **how: Any) -> Marked:
    answer = mark(store, WEDNESDAY, [f"{job}@R1"], outcome, How(who="Ann", **how))
    assert isinstance(answer, Marked), answer
    return answer


def steps(store: Store) -> list[VesselStep]:
    return list(the_room(store).vessel_steps)


@pytest.mark.parametrize(
    ("job", "word", "litres", "level"),
    [("fill", "full", 700.0, 700.0), ("part", "full", 340.0, 340.0),
     ("treat", "treated", None, 140.0),
     ("heat", "heat-on", None, 140.0), ("mix", "mixed", None, 140.0)],
)  # fmt: skip
def test_a_job_at_a_reservoir_writes_its_step(
    store: Store, job: str, word: str, litres: float | None, level: float
) -> None:
    before = facts(store)
    done(store, job)
    (found,) = steps(store)
    assert (found.step, found.litres, found.who, found.at) == (word, litres, "Ann", WEDNESDAY)
    assert found.note == f"{job} R1"
    assert holds(store) == level
    assert isinstance(undo(store, WEDNESDAY, "Ann"), Undone)
    assert facts(store) == before


def test_a_part_of_a_fill_is_raw_water_in(store: Store) -> None:
    told = done(store, "part", "partly", fraction=0.5)
    (found,) = steps(store)
    assert (found.step, found.litres) == ("raw-in", 240.0)
    assert any("counts as untreated" in remark for remark in told.remarks)


def test_a_part_of_a_fill_without_litres_is_its_share_of_what_is_wanting(store: Store) -> None:
    done(store, "fill", "partly", fraction=0.5)
    assert (steps(store)[0].step, holds(store)) == ("raw-in", 420.0)


def test_a_part_of_mixing_is_no_step(store: Store) -> None:
    done(store, "mix", "partly", fraction=0.5)
    assert steps(store) == []


def test_a_fill_past_the_brim_is_full(store: Store) -> None:
    done(store, "part", litres=900.0)
    assert (steps(store)[0].litres, holds(store)) == (700.0, 700.0)


def test_water_for_the_tanks_is_taken_as_ever_where_no_steps_are_kept(store: Store) -> None:
    answer = mark(store, at("2027-03-13T10:00"), ["change-d@D1"], "done", How())
    assert isinstance(answer, Marked)
    assert holds(store) == 140 - 15.75
    assert steps(store) == []


def test_the_loss_in_hoses_goes_with_it_where_steps_are_kept(store: Store) -> None:
    done(store, "fill")
    answer = mark(store, at("2027-03-13T10:00"), ["change-d@D1"], "done", How())
    assert isinstance(answer, Marked)
    assert answer.marks[0].litres == 15.75
    assert holds(store) == pytest.approx(700 - 15.75 * 1.03, abs=0.001)
