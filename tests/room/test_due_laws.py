"""Laws of due dates that must hold for any job, any marks, any holds."""

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.blocks import first_free
from roomtasks.room.job import Between, Hold
from roomtasks.room.occurrence import Block, State
from roomtasks.room.water import owed_after_part
from tests.room.scene import dues, job, mark, morning, room

START = date(2027, 3, 1)
days = st.integers(0, 60)


def on(n: int) -> date:
    return START + timedelta(days=n)


holds = st.lists(
    st.builds(
        lambda first, length, code: Hold(
            code=f"H{code}", target="D3", kinds="all", reason="r", since=on(first),
            until=on(first + length),
        ),
        days, st.integers(0, 12), st.integers(0, 9),
    ),
    max_size=4,
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(st.integers(2, 40), st.integers(0, 5), st.integers(0, 5), days, days, holds)
def test_a_held_job_is_never_late_and_never_placed_on_a_forbidden_day(
    every: int, early: int, late: int, done: int, today: int, found: list[Hold]
) -> None:
    wipe = job("wipe", f"every {every} days", kind="wipe", window=f"-{early}/+{late}")
    scene = room(jobs=(wipe,), holds=tuple(found), change_day="none")
    last = mark("wipe", "D3", str(on(done)), str(on(done)))
    due = dues(scene, [last], morning(str(max(on(today), on(done)))))["wipe@D3"]
    assert due.slot.first == on(done) + timedelta(days=every)
    forbidden = [hold for hold in found if hold.on(due.today)]
    if forbidden and due.today >= due.opens:
        assert due.state is State.HELD
    if due.state is not State.LATE and due.placed >= due.today:
        assert not any(hold.on(due.placed) for hold in found)
    free = [
        due.opens + timedelta(days=n)
        for n in range((due.closes - due.opens).days + 1)
        if not any(hold.on(due.opens + timedelta(days=n)) for hold in found)
    ]
    assert free, "a job keeps at least one day on which it can be done in time"


@given(st.lists(st.tuples(days, st.integers(0, 9)), max_size=6), days)
def test_the_first_free_day_is_free_and_none_before_it_is(
    spans: list[tuple[int, int]], day: int
) -> None:
    blocks = [Block(on(first), on(first + length), "r", "hold") for first, length in spans]

    def forbidden(when: date) -> bool:
        return any(b.first <= when and (b.last is None or when <= b.last) for b in blocks)

    found = first_free(blocks, on(day)).day
    assert found is not None
    assert not forbidden(found)
    assert all(forbidden(on(day) + timedelta(days=n)) for n in range((found - on(day)).days))


@settings(max_examples=100, deadline=None)
@given(days, days, st.integers(1, 20), days)
def test_two_filters_are_never_both_doable_within_the_gap(
    one: int, two: int, gap: int, today: int
) -> None:
    sponge = job("sponge", "every 28 days", where="filters on tank D5", kind="filter")
    rule = Between(code="P", first="kind filter", relation="apart", second="kind filter", days=gap)
    scene = room(jobs=(sponge,), between=(rule,), change_day="none")
    marks = [
        mark("sponge", "D5-1", str(on(one)), str(on(one))),
        mark("sponge", "D5-2", str(on(two)), str(on(two))),
    ]
    found = dues(scene, marks, morning(str(on(max(one, two, today)))))
    first, second = found["sponge@D5-1"], found["sponge@D5-2"]
    assert abs((first.placed - second.placed).days) >= gap or State.LATE in (
        first.state, second.state,
    )  # fmt: skip
    for due, other in ((first, two), (second, one)):
        if due.today < on(other) + timedelta(days=gap) and due.today >= due.opens:
            assert due.state is State.HELD


@given(st.floats(0.05, 0.9), st.floats(0.0, 1.0))
def test_parts_come_to_the_whole_change(wanted: float, share: float) -> None:
    done = wanted * share
    owed = owed_after_part(done, wanted)
    assert abs((1 - (1 - done) * (1 - owed)) - wanted) < 1e-9


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 200), st.sampled_from(["MO", "WE", "SA,SU"]), st.integers(0, 60))
def test_a_calendar_job_never_forgets_a_day(late: int, weekday: str, done: int) -> None:
    weekly = job("weekly", f"calendar FREQ=WEEKLY;BYDAY={weekday}", starts=START)
    scene = room(jobs=(weekly,))
    first = dues(scene, [], morning(str(on(done))))["weekly@D3"]
    served = mark("weekly", "D3", str(first.slot.day), str(on(done)))
    today = max(on(late), on(done))
    due = dues(scene, [served], morning(str(today)))["weekly@D3"]
    assert due.slot.day > first.slot.day
    wanted = {"MO": {0}, "WE": {2}, "SA,SU": {5, 6}}[weekday]
    between = [
        first.slot.day + timedelta(days=n)
        for n in range(1, (due.slot.day - first.slot.day).days)
        if (first.slot.day + timedelta(days=n)).weekday() in wanted
    ]
    assert due.slot.missed == len(between)
