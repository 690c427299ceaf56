"""The pasts the store picks out of the journal are those of folding every mark."""

from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.journal import Mark
from roomtasks.room.past import Past, fold
from roomtasks.store import read
from tests.rooms import at, small_room, store_with

START = date(2027, 3, 1)
TASKS = [("look", "B1"), ("look", "B2"), ("change-alone", "B1")]
drawn = st.lists(
    st.tuples(
        st.sampled_from(TASKS),
        st.sampled_from(["done", "left-out", "partly", "put-off", "blocked"]),
        st.integers(0, 20), st.integers(0, 20),
    ),
    max_size=25,
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(drawn, st.integers(0, 21))
def test_the_store_and_the_fold_agree(
    found: list[tuple[tuple[str, str], str, int, int]], before: int
) -> None:
    marks = [
        Mark(
            id=n, job=task[0], target=task[1], slot=START + timedelta(days=slot), outcome=outcome,
            day=START + timedelta(days=day), at=at("2027-03-30 08:00"), fraction=0.1,
            until=START + timedelta(days=day + 1), reason="other",
        )
        for n, (task, outcome, slot, day) in enumerate(found, start=1)
    ]  # fmt: skip
    with TemporaryDirectory() as folder:
        sheets = small_room()
        sheets["marks"] = marks
        store = store_with(Path(folder), sheets)
        picked = read.pasts(store, TASKS)
        cut = START + timedelta(days=before)
        earlier = read.pasts(store, TASKS, before=cut)
        store.close()
    assert picked == folded(marks)
    assert earlier == folded([mark for mark in marks if mark.day < cut])


def folded(marks: list[Mark]) -> dict[tuple[str, str], Past]:
    """Every past that says anything."""
    pasts = {
        task: fold(mark for mark in marks if (mark.job, mark.target) == task) for task in TASKS
    }
    return {task: past for task, past in pasts.items() if past.closing or past.since}
