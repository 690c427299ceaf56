"""Which occurrences that take water fall on a day: today, and on days ahead."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.ahead import OnDay, on_day, takes_water
from roomtasks.room.job import Hold, Job
from roomtasks.room.journal import Mark
from roomtasks.room.room import Room
from tests.room.example_room import at, example_room, jugs
from tests.room.scene import dues, event, mark

SATURDAY = date(2027, 3, 13)
NOW = "2027-03-13T08:00"


def falls(room: Room, day: str, now: str = NOW, marks: Iterable[Mark] = ()) -> OnDay:
    found = tuple(dues(room, marks, at(now)).values())
    return on_day(room, found, date.fromisoformat(day), at(now))


def ids(found: OnDay) -> list[str]:
    return [due.id for due in found.dues]


def only(*jobs: Job) -> Room:
    return replace(example_room(), jobs=jobs)


def change(rule: str = "every 7 days", **facts: object) -> Job:
    base: dict[str, object] = {
        "code": "change", "name": "Change", "kind": "change", "where": "tank D3", "rule": rule,
        "window": "-1/+2", "starts": SATURDAY, "fraction": 0.3,
    }  # fmt: skip
    return Job(**{**base, **facts})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "litres", "fraction", "takes"),
    [
        ("change", None, 0.3, True),
        ("top-off", 24.0, None, True),
        ("other", 5.0, None, True),
        ("filter", None, None, False),
        ("fill", 560.0, None, False),
        ("treat", 560.0, None, False),
    ],
)
def test_what_takes_water(
    kind: str, litres: float | None, fraction: float | None, takes: bool
) -> None:
    job = Job(code="j", name="J", kind=kind, where="room", rule="every 7 days", litres=litres,
              fraction=fraction)  # fmt: skip
    assert takes_water(job) is takes


def test_today_takes_what_is_due_and_what_is_late() -> None:
    assert ids(falls(only(change()), "2027-03-13")) == ["change@D3"]
    late = falls(only(change()), "2027-03-18", now="2027-03-18T08:00")
    assert ids(late) == ["change@D3"]
    assert ids(falls(only(change()), "2027-03-12", now="2027-03-12T08:00")) == []  # open, not due


def test_what_is_done_takes_no_more_today() -> None:
    done = [mark("change", "D3", "2027-03-13", "2027-03-13", fraction=0.3)]
    assert ids(falls(only(change()), "2027-03-13", marks=done)) == []
    assert ids(falls(only(change()), "2027-03-20", marks=done)) == ["change@D3"]


def test_what_is_put_off_counts_on_its_new_day() -> None:
    off = [mark("change", "D3", "2027-03-13", "2027-03-13", "put-off", until=date(2027, 3, 15))]
    assert ids(falls(only(change()), "2027-03-13", marks=off)) == []
    assert ids(falls(only(change()), "2027-03-15", marks=off)) == ["change@D3"]


def test_what_opens_later_today_counts_today() -> None:
    from_noon = change(from_time=at("2027-03-13T12:00").time())
    assert ids(falls(only(from_noon), "2027-03-13")) == ["change@D3"]


def test_a_weekly_change_stands_on_every_change_day_ahead_and_on_no_other() -> None:
    for days in range(1, 40):
        day = SATURDAY + timedelta(days=days)
        expected = ["change@D3"] if day.weekday() == 5 else []
        assert ids(falls(only(change()), day.isoformat())) == expected, day


def test_a_change_done_off_its_day_is_pulled_back_onto_it_ahead() -> None:
    done = [mark("change", "D3", "2027-03-13", "2027-03-14", fraction=0.3)]
    assert ids(falls(only(change()), "2027-03-20", "2027-03-15T08:00", done)) == ["change@D3"]
    assert ids(falls(only(change()), "2027-03-21", "2027-03-15T08:00", done)) == []


def test_a_late_change_counts_as_done_today_when_a_day_ahead_is_asked() -> None:
    now = "2027-03-18T08:00"  # Thursday; the change of the 13th is late
    assert ids(falls(only(change()), "2027-03-18", now)) == ["change@D3"]
    assert ids(falls(only(change()), "2027-03-20", now)) == []
    assert ids(falls(only(change()), "2027-03-27", now)) == ["change@D3"]  # 25 + 2 is a Saturday


def test_a_missed_number_is_of_the_occurrence_that_is_open_now() -> None:
    now = "2027-03-22T08:00"
    (open_now,) = falls(only(change()), "2027-03-22", now).dues
    (ahead,) = falls(only(change()), "2027-03-29", now).dues
    assert (open_now.slot.missed, ahead.slot.missed) == (1, 0)


def test_a_daily_jug_comes_every_day() -> None:
    room = only(jugs())
    for days in (0, 1, 2, 30, 400):
        day = (SATURDAY + timedelta(days=days)).isoformat()
        assert ids(falls(room, day)) == ["jug@N1", "jug@N2"], day
    done = [mark("jug", "N1", "2027-03-13", "2027-03-13")]
    assert ids(falls(room, "2027-03-13", marks=done)) == ["jug@N2"]
    assert ids(falls(room, "2027-03-14", marks=done)) == ["jug@N1", "jug@N2"]


def test_a_calendar_change_stands_on_its_days() -> None:
    room = only(change("calendar FREQ=WEEKLY;BYDAY=TU,FR", starts=date(2027, 3, 2)))
    assert ids(falls(room, "2027-03-30")) == ["change@D3"]
    assert ids(falls(room, "2027-04-02")) == ["change@D3"]
    assert ids(falls(room, "2027-04-03")) == []


def test_days_after_an_event_each_count() -> None:
    room = replace(
        only(change("event moved +2 +4 +6", window="")),
        events=(event("moved", "D3", "2027-03-12"),),
    )
    days = [(SATURDAY + timedelta(days=n)).isoformat() for n in range(8)]
    assert [bool(falls(room, day).dues) for day in days] == [
        False, True, False, True, False, True, False, False,
    ]  # fmt: skip


def test_what_happens_once_does_not_come_again() -> None:
    room = only(change("once 2027-03-20", window=""))
    assert ids(falls(room, "2027-03-20")) == ["change@D3"]
    assert ids(falls(room, "2027-03-27")) == []


def test_a_top_off_that_follows_a_change_comes_on_its_day() -> None:
    after = Job(code="refill", name="Refill the sump", kind="top-off", where="system S",
                rule="follows change-system 15 min", litres=24.0)  # fmt: skip
    base = example_room()
    room = replace(base, jobs=(base.jobs[0], after))
    assert ids(falls(room, "2027-03-13")) == ["change-system@S", "refill@S"]
    assert ids(falls(room, "2027-03-20")) == ["change-system@S", "refill@S"]
    assert ids(falls(room, "2027-03-19")) == []


def test_a_change_held_until_lifted_is_told_and_takes_none() -> None:
    hold = Hold(code="h", target="D3", kinds="change", reason="eggs on the glass",
                since=date(2027, 3, 10))  # fmt: skip
    room = replace(only(change()), holds=(hold,))
    for day in ("2027-03-13", "2027-03-20"):
        found = falls(room, day)
        assert found.dues == ()
        assert [note.about for note in found.notes] == ["change@D3"]
        assert "eggs on the glass" in found.notes[0].text
    assert falls(room, "2027-03-12", now="2027-03-12T08:00").notes == ()


def test_a_hold_that_ends_moves_the_change_behind_it() -> None:
    hold = Hold(code="h", target="D3", kinds="change", reason="eggs", since=date(2027, 3, 19),
                until=date(2027, 3, 22))  # fmt: skip
    room = replace(only(change()), holds=(hold,))
    assert ids(falls(room, "2027-03-20")) == []
    assert [note.about for note in falls(room, "2027-03-20").notes] == ["change@D3"]
    assert ids(falls(room, "2027-03-23")) == ["change@D3"]


def test_an_empty_tank_rests() -> None:
    room = replace(only(change()), groups=())
    assert ids(falls(room, "2027-03-13")) == ids(falls(room, "2027-03-20")) == []


@given(period=st.integers(2, 20), early=st.integers(0, 3), late=st.integers(0, 4))
def test_the_days_ahead_are_those_of_doing_each_when_it_stands(
    period: int, early: int, late: int
) -> None:
    """What is told today of the days ahead is what comes about when each is done on its day."""
    room = only(change(f"every {period} days", window=f"-{early}/+{late}"))
    foretold = [
        day
        for n in range(40)
        if falls(room, (day := SATURDAY + timedelta(days=n)).isoformat()).dues
    ]
    marks: list[Mark] = []
    lived = []
    for n in range(40):
        day = SATURDAY + timedelta(days=n)
        for due in falls(room, str(day), f"{day}T08:00", marks).dues:
            lived.append(day)
            marks.append(mark("change", "D3", str(due.slot.day), str(day), fraction=0.3))
    assert foretold == lived
