"""A vac that goes with a change was sent off to the next change once this one was marked done."""

from roomtasks.room.occurrence import State
from tests.room.scene import Between, dues, job, mark, morning, room

WITH = Between(code="with", first="kind change", relation="together", second="kind vac")
NEVER = Between(
    code="never", first="kind filter", relation="not-same-day", second="kind vac"
)  # fmt: skip
TODAY = morning("2027-03-13")
JOBS = (
    job("change", "every 7 days", kind="change", window="-1/+2", starts=TODAY.date()),
    job("vac", "every 14 days", kind="vac", window="-3/+9", starts=morning("2027-03-11").date()),
)


def test_the_vac_of_a_visit_stays_due_when_its_change_is_marked() -> None:
    there = room(jobs=JOBS, between=(WITH,))
    before = dues(there, [], TODAY)["vac@D3"]
    assert before.on_walk
    assert before.placed == TODAY.date()
    done = mark("change", "D3", "2027-03-13", "2027-03-13")
    after = dues(there, [done], TODAY)["vac@D3"]
    assert after.on_walk
    assert after.placed == TODAY.date()
    assert after.mates == ("change@D3",)


def test_a_filter_of_next_week_does_not_forbid_the_vac_of_this_visit() -> None:
    filter_ = job(
        "squeeze", "every 28 days", kind="filter", where="filter D3-1", window="-4/+4",
        starts=morning("2027-03-20").date(),
    )  # fmt: skip
    there = room(jobs=(*JOBS, filter_), between=(WITH, NEVER))
    done = mark("change", "D3", "2027-03-13", "2027-03-13")
    found = dues(there, [done], TODAY)
    assert found["vac@D3"].state is State.DUE
    assert found["vac@D3"].blocked is None


def test_a_vac_left_over_from_the_visit_goes_with_the_next_change() -> None:
    there = room(jobs=JOBS, between=(WITH,))
    done = mark("change", "D3", "2027-03-11", "2027-03-11")
    found = dues(there, [done], TODAY)["vac@D3"]
    assert str(found.placed) == "2027-03-20"


def test_what_goes_with_another_day_is_no_more_onto_the_change_day() -> None:
    """The change is on Wednesdays, the change day is Saturday: the vac goes with the change."""
    wednesdays = job(
        "change", "calendar FREQ=WEEKLY;BYDAY=WE", kind="change", window="-1/+1",
        starts=morning("2027-03-17").date(),
    )  # fmt: skip
    there = room(jobs=(wednesdays, JOBS[1]), between=(WITH,))
    found = dues(there, [], TODAY)["vac@D3"]
    assert str(found.placed) == "2027-03-17"
    assert found.moved == ("with change",)
