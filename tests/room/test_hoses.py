"""How many hoses one person can watch: common practice, no published source."""

from dataclasses import replace
from datetime import timedelta

from roomtasks.room.hoses import TOO_MANY_HOSES, hose_notes
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Batch
from tests.room.example_room import example_room, with_setup
from tests.room.test_change import planned, steps, with_vessel


def with_hoses(most: int) -> Room:
    """The example room with no float valve anywhere."""
    return with_setup(with_vessel(example_room(), unattended=False), hoses_watched=most)


def filled_at_once(*codes: str) -> list[Batch]:
    """The first batch of the example room as if it were made in so many reservoirs."""
    first = planned().batches[0]
    return [replace(first, reservoir=code, emptied_at=None) for code in codes]


def told(room: Room, batches: list[Batch]) -> list[str]:
    return [note.text for note in hose_notes(room, batches) if note.rule == TOO_MANY_HOSES]


def test_as_many_fills_as_can_be_watched_run_at_once_and_one_more_is_told() -> None:
    start = steps(planned())["fill-start"].advised
    assert told(with_hoses(2), filled_at_once("R1", "R2")) == []
    [text] = told(with_hoses(2), filled_at_once("R1", "R2", "R3"))
    assert text.startswith(f"3 hoses would run at {start:%a} {start.day} {start:%b %H:%M} (")
    assert "the fill of R1, the fill of R2, the fill of R3) and you watch 2" in text


def test_a_float_valve_or_a_fill_that_is_over_is_no_hose_to_watch() -> None:
    room = with_hoses(1)
    assert len(told(room, filled_at_once("R1", "R2"))) == 1
    assert told(with_vessel(room, unattended=True), filled_at_once("R1", "R2")) == []
    clock = planned().batches[0].clock
    assert clock is not None
    over = replace(clock, steps=tuple(
        replace(step, done_at=step.advised) if step.step in ("fill-start", "full") else step
        for step in clock.steps
    ))  # fmt: skip
    batches = [replace(batch, clock=over) for batch in filled_at_once("R1", "R2")]
    assert told(room, batches) == []


def test_a_fill_during_the_change_is_a_second_hose() -> None:
    first = planned().batches[0]
    assert first.clock is not None
    assert first.emptied_at is not None
    hour = first.clock.wanted_at
    moved = replace(first.clock, steps=tuple(
        replace(step, advised=hour + timedelta(minutes=5)) if step.step == "fill-start" else step
        for step in first.clock.steps
    ))  # fmt: skip
    late = replace(first, reservoir="R2", clock=moved, emptied_at=None)
    [text] = told(with_hoses(1), [first, late])
    assert "(the change, the fill of R2) and you watch 1" in text
    assert told(with_hoses(2), [first, late]) == []


def test_the_plan_of_a_change_day_with_two_reservoirs_says_it() -> None:
    room = with_hoses(1)
    first = room.reservoirs[0]
    both = replace(room, reservoirs=(first, replace(first, code="R3")),
                   jobs=tuple(replace(job, reservoir="") for job in room.jobs))  # fmt: skip
    found = {
        most: [note.about for note in planned(with_setup(both, hoses_watched=most)).notes
               if note.rule == TOO_MANY_HOSES]
        for most in (1, 2)
    }  # fmt: skip
    assert found == {1: ["hoses"], 2: []}
