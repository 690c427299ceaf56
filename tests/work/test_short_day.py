"""A short day: what must be done is kept, all else has one day each, and undo takes it back."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from roomtasks.room.ahead_plan import Ahead
from roomtasks.room.job import Job
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import State
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.room.short_day import ShortDay, due_today
from roomtasks.room.short_day_choice import never_put_off
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.care import check
from roomtasks.work.ahead_view import AheadScene, ahead_view, scene
from roomtasks.work.marking import How, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.short_day import ShortDone, short_day_view, take_short_day
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

SATURDAY = at("2027-03-06 07:30")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    sheets = small_room()
    sheets["jobs"].append(
        Job(code="fry", name="Feed the fry", kind="feed-fry", where="tank B1",
            rule="every 1 days", minutes=9.0)
    )  # fmt: skip
    with store_with(tmp_path, sheets) as made:
        yield made
    assert check(made.path).whole


def dump(store: Store) -> dict[str, list[Any]]:
    return {
        name: [sheet.plain(row) for row in read.rows(store, sheet)]
        for name, sheet in SHEET.items()
        if name not in ("acts", "changes")
    }


def seen(store: Store, when: str = "2027-03-06 07:30") -> Picture:
    found = picture(store, at(when))
    assert isinstance(found, Picture)
    return found


def shown(store: Store, minutes: float, when: str = "2027-03-06 07:30") -> ShortDay:
    found = short_day_view(store, at(when), minutes)
    assert isinstance(found, ShortDay), found
    return found


def taken(store: Store, minutes: float) -> ShortDone:
    found = take_short_day(store, SATURDAY, "mk", minutes)
    assert isinstance(found, ShortDone), found
    return found


def test_what_is_put_off_goes_to_its_own_days_in_one_act(store: Store) -> None:
    done = taken(store, 20)
    assert done.act == 1
    assert len(read.rows(store, SHEET["acts"])) == 1
    after = seen(store)
    for each in done.day.put_off:
        due = after.due[each.due.id]
        assert due.put_off_to == each.until
        assert not due.on_walk
    days = {each.until for each in done.day.put_off if not each.daily}
    assert len(days) > 1, "all on one day"
    marks = read.rows(store, SHEET["marks"])
    assert {mark.outcome for mark in marks} == {"put-off"}
    assert all(mark.reason == "short day of 20 min" for mark in marks)


def test_fry_are_fed_on_the_shortest_day_and_what_is_over_is_said(store: Store) -> None:
    found = shown(store, 1)
    kept = {stop.due.id for stop in found.kept.stops}
    assert "fry@B1" in kept
    assert kept == set(found.must)
    assert found.over_minutes == pytest.approx(found.must_minutes - 1)
    assert {stop.due.job.kind for stop in found.kept.stops} <= {"look", "check", "feed-fry"}


def test_each_comes_back_on_the_day_it_was_put_off_to(store: Store) -> None:
    done = taken(store, 20)
    for each in done.day.put_off:
        if each.daily:
            continue
        morning = seen(store, f"{each.until} 07:30")
        due = morning.due[each.due.id]
        assert due.put_off_to is None
        assert due.on_walk or due.blocked is not None or due.waits_for
        assert due.state is not State.LATE or each.late_days or due.slot.missed


def test_what_is_late_is_told_with_its_days(store: Store) -> None:
    found = shown(store, 20)
    for each in found.put_off:
        if not each.daily:
            assert each.late_days == max(0, (each.until - each.due.closes).days)
    assert found.late
    assert f"{len(found.late)} of them late then" in found.words


def test_a_daily_job_is_given_up_for_today(store: Store) -> None:
    found = shown(store, 1)
    fed = [each for each in found.put_off if each.due.job.code == "feed"]
    assert fed
    assert all(each.daily and each.words.endswith("today's is not made up for") for each in fed)
    assert {each.until for each in fed} == {date(2027, 3, 7)}


def test_showing_changes_nothing_and_is_what_the_act_does(store: Store) -> None:
    before = dump(store)
    found = shown(store, 20)
    assert dump(store) == before
    assert taken(store, 20).words == found.words


def test_one_undo_takes_it_all_back(store: Store) -> None:
    before, walk = dump(store), seen(store).walk
    taken(store, 20)
    assert isinstance(undo(store, SATURDAY, "mk"), Undone)
    assert dump(store) == before
    assert seen(store).walk == walk


def test_where_all_fits_nothing_is_changed(store: Store) -> None:
    before = dump(store)
    done = taken(store, 1440)
    assert (done.act, done.day.fits) == (None, True)
    assert "all of today's work fits" in done.words
    assert dump(store) == before


def test_after_a_short_day_the_same_minutes_fit(store: Store) -> None:
    taken(store, 20)
    assert taken(store, 20).act is None


@pytest.mark.parametrize("minutes", [-5, 0, 0.5, 1441, float("nan"), float("inf")])
def test_minutes_that_are_no_day_are_refused(store: Store, minutes: float) -> None:
    before = dump(store)
    no = take_short_day(store, SATURDAY, "mk", minutes)
    assert isinstance(no, Problem)
    assert no.where == "minutes"
    assert dump(store) == before


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture],
          deadline=None)  # fmt: skip
@given(minutes=st.integers(1, 200), later=st.integers(0, 40))
def test_no_must_do_is_put_off_and_kept_and_put_off_are_all_that_is_due(
    store: Store, minutes: int, later: int
) -> None:
    when = SATURDAY + timedelta(days=later)
    found = short_day_view(store, when, minutes)
    now = picture(store, when)
    assert isinstance(found, ShortDay)
    assert isinstance(now, Picture)
    kept = [stop.due.id for stop in found.kept.stops]
    off = [each.due.id for each in found.put_off]
    today = {due.id for due in due_today(now.dues)}
    assert len(kept + off) == len({*kept, *off})
    assert {*kept, *off} >= today
    assert not set(kept) - today
    for each in found.put_off:  # the rest comes up only because another is put off
        assert each.due.id in today or now.due[each.due.id].blocked is not None
    assert not any(never_put_off(each.due) for each in found.put_off)
    assert not any(KINDS[each.due.job.kind].never_cut for each in found.put_off)
    assert all(each.until > now.today for each in found.put_off)
    assert found.kept.minutes <= max(minutes, found.must_minutes) + 1e-6


@pytest.mark.parametrize("minutes", [1, 20, 45, 90])
@pytest.mark.parametrize("later", [0, 1, 18, 30])
def test_the_walk_takes_just_the_minutes_that_were_said_to_be_kept(
    store: Store, minutes: int, later: int
) -> None:
    """What opened later today was counted in one place and not in the other."""
    when = SATURDAY + timedelta(days=later)
    done = take_short_day(store, when, "mk", minutes)
    assert isinstance(done, ShortDone), done
    after = picture(store, when)
    assert isinstance(after, Picture)
    assert after.walk.minutes == pytest.approx(done.day.now_minutes)
    assert done.day.kept.minutes == pytest.approx(done.day.now_minutes + done.day.later_minutes)
    if done.act is not None:
        assert after.walk.minutes_there_are == minutes
    later_today = {due.id for due in after.dues if due.later_today is not None}
    kept = {stop.due.id for stop in done.day.kept.stops}
    assert {stop.due.id for stop in after.walk.stops} == kept - later_today
    again = take_short_day(store, when, "mk", minutes)
    assert isinstance(again, ShortDone)
    assert again.act is None


def test_what_opens_later_today_is_told_apart(tmp_path: Path) -> None:
    sheets = small_room()
    sheets["jobs"].append(
        Job(code="evening", name="Evening", kind="look", where="room", rule="every 1 days",
            minutes=6.0, from_time=time(18, 30))
    )  # fmt: skip
    with store_with(tmp_path, sheets) as store:
        found = shown(store, 5)
        assert found.later_minutes == pytest.approx(6)
        assert f"{round(found.now_minutes, 1):g} min now, 6 later today, of 5" in found.words


def test_the_day_has_so_many_minutes_for_the_plan_too_and_undo_gives_them_back(
    store: Store,
) -> None:
    def there_are() -> tuple[float, float]:
        plan = ahead_view(store, SATURDAY, 7)
        assert isinstance(plan, Ahead)
        return plan.days[0].minutes_there_are, plan.days[1].minutes_there_are

    before = there_are()
    taken(store, 20)
    assert there_are() == (20, before[1])
    assert isinstance(undo(store, SATURDAY, "mk"), Undone)
    assert there_are() == before
    assert seen(store).walk.minutes_there_are == before[0]


def test_a_job_is_told_with_one_word_wherever_it_is_told(store: Store) -> None:
    """A daily job was "given up" where it was shown and "put off" in the walk and the journal."""
    found = taken(store, 1)
    after = seen(store)
    for each in found.day.put_off:
        due = after.due[each.due.id]
        assert due.put_off_to == each.until
        assert f"to {day_words(each.until)}" in each.words
        assert "given up" not in each.words
    assert "given up" not in found.words
    journal = read.rows(store, SHEET["acts"])[-1]
    assert found.words in journal.words
    assert f"{sum(each.daily for each in found.day.put_off)} daily, not made up for" in found.words


def test_what_was_written_meanwhile_is_seen_under_the_lock(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Worked out before the lock, and again where another screen marked something since."""
    first = shown(store, 20).put_off[0].due

    def looked_at_then_marked(store_: Store, now: datetime) -> AheadScene | Problem:
        found = scene(store_, now)
        if not read.rows(store, SHEET["marks"]):
            mark(store, now, [first.id], "done", How(who="tb"))
        return found

    monkeypatch.setattr("roomtasks.work.short_day.scene", looked_at_then_marked)
    done = taken(store, 20)
    assert first.id not in {each.due.id for each in done.day.put_off}
