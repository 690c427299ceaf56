"""A short day put off what was at its limit, and a fast that tomorrow's bagging leaned on."""

from collections.abc import Sequence
from datetime import date

import pytest

from roomtasks.room.due import all_due
from roomtasks.room.job import Between
from roomtasks.room.journal import Mark
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.short_day import PutOff, ShortDay, short_day
from roomtasks.room.short_day_choice import event_of, makes_ready, must_not_slip
from tests.room.scene import dues, event, job, mark, morning, room, tank
from tests.room.weeks_lived import pasts_of

TODAY = "2027-03-10"  # a Wednesday
NOW = morning(TODAY)
DAY = NOW.date()


def short(there: Room, minutes: float, marks: Sequence[Mark] = ()) -> ShortDay:
    pasts = pasts_of(marks)
    found = short_day(there, all_due(there, pasts, NOW), pasts, NOW, minutes, {})
    assert isinstance(found, ShortDay), found
    return found


def kept(found: ShortDay) -> list[str]:
    return [stop.due.id for stop in found.kept.stops]


def put_off(found: ShortDay, name: str) -> PutOff:
    return next(each for each in found.put_off if each.due.id == name)


def limits() -> Room:
    """A look; a test 3 days late, one on its last day, one with days left; food every day."""
    return room(
        tanks=(tank("D1"),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("feed", "every 1 days", kind="feed", where="tank D1", minutes=3.0),
            job("late", f"once {date(2027, 3, 7)}", kind="record", where="tank D1", minutes=3.0),
            job("last", f"once {DAY}", kind="record", where="tank D1", minutes=3.0),
            job("loose", f"once {DAY}", kind="change", where="tank D1", minutes=3.0,
                window="-0/+4"),
        ),
    )  # fmt: skip


def test_late_and_last_day_are_what_must_not_slip_and_a_daily_job_is_not() -> None:
    there = dues(limits(), [], NOW)
    assert {name for name, due in there.items() if must_not_slip(due)} == {"late@D1", "last@D1"}


@pytest.mark.parametrize(
    ("minutes", "also"),
    [
        (4, []), (6, []), (7, ["late@D1"]), (9, ["late@D1"]), (10, ["late@D1", "last@D1"]),
        (13, ["late@D1", "last@D1", "feed@D1"]),
        (16, ["late@D1", "last@D1", "feed@D1", "loose@D1"]),
    ],
)  # fmt: skip
def test_after_the_looks_what_is_late_comes_first_then_the_last_day_then_the_rest(
    minutes: float, also: list[str]
) -> None:
    """A change weighs seven times a record: it came first though it had four days left."""
    found = short(limits(), minutes)
    assert set(kept(found)) == {"look@D1", *also}
    assert {each.due.id for each in found.slipping} == {"late@D1", "last@D1"} - set(also)


def test_what_must_not_slip_and_has_no_time_is_named_with_what_would_hold_it() -> None:
    found = short(limits(), 7)
    assert found.slipping_words == (
        "no time for 1 that must not slip: last at D1, today is its last day. 10 min would hold "
        "them"
    )
    assert "no time for 1 that must not slip" in found.words
    assert set(kept(short(limits(), found.limit_minutes))) >= {"look@D1", "late@D1", "last@D1"}
    both = short(limits(), 4)
    assert "late at D1, 3 days late; last at D1, today is its last day" in both.slipping_words
    assert short(limits(), 10).slipping_words == ""


def a_sale(last: str = "-0/+0") -> Room:
    """Fish are to be bagged tomorrow in D1 and next week in D2; D1 fasts the day before."""
    return room(
        tanks=(tank("D1"), tank("D2")),
        events=(event("sale", "D1", "2027-03-11"), event("sale", "D2", "2027-03-17")),
        jobs=(
            job("look", "every 1 days", kind="look", where="all tanks", minutes=4.0),
            job("fast", "event sale -1", where="all tanks", minutes=1.0, window=last),
            job("bag", "event sale +0", kind="move", where="all tanks", minutes=12.0),
        ),
    )  # fmt: skip


def test_a_fast_is_kept_for_the_sale_of_tomorrow_however_few_the_minutes() -> None:
    there = a_sale()
    found = dues(there, [], NOW)
    assert event_of(there, found["fast@D1"]) == ("sale", date(2027, 3, 11))
    assert {name for name, due in found.items() if makes_ready(there, due)} == {"fast@D1"}
    day = short(there, 1)
    assert set(kept(day)) == {"look@D1", "look@D2", "fast@D1"}
    assert day.must["fast@D1"] == "for the sale dated Thu 11 Mar"
    assert day.must["look@D1"] == ""
    assert day.over_minutes == pytest.approx(8)
    assert day.fits


def test_on_the_day_itself_a_sale_without_time_is_told_and_not_kept_above_the_minutes() -> None:
    there = a_sale()
    tomorrow = morning("2027-03-11")
    found = short_day(there, all_due(there, {}, tomorrow), {}, tomorrow, 9, {})
    assert isinstance(found, ShortDay)
    bag = put_off(found, "bag@D1")
    assert bag.must_not_slip
    assert bag.words == "bag at D1: to Fri 12 Mar, 1 day late then; the sale is dated today"


def test_with_days_left_what_makes_ready_may_still_go_to_another_day() -> None:
    there = room(
        tanks=(tank("D1"),),
        events=(event("arrival", "D1", "2027-03-12"),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("ready", "event arrival -2", where="tank D1", minutes=15.0, window="-2/+1"),
        ),
    )
    ready = put_off(short(there, 5), "ready@D1")
    assert not ready.must_not_slip
    assert ready.words == "ready at D1: to Thu 11 Mar; the arrival is dated Fri 12 Mar"


def test_what_comes_after_a_job_that_is_put_off_goes_with_it_or_is_told() -> None:
    def there(window: str) -> Room:
        return room(
            tanks=(tank("D1"),),
            jobs=(
                job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
                job("hoses", f"once {DAY}", kind="change", where="tank D1", minutes=30.0,
                    window="-0/+4"),
                job("mop", f"once {DAY}", where="tank D1", minutes=2.0, window=window),
            ),
            between=(Between(code="b", first="job hoses", relation="before", second="job mop"),),
        )  # fmt: skip

    assert kept(short(there("-0/+4"), 10)) == ["look@D1"]
    found = short(there("-0/+0"), 10)
    assert kept(found) == ["look@D1", "mop@D1"]
    assert put_off(found, "hoses@D1").brings == (
        "mop at D1, which comes after it, is done without it today",
    )


def test_one_visit_is_not_taken_apart() -> None:
    there = room(
        tanks=(tank("D1"),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("change", f"once {DAY}", kind="change", where="tank D1", minutes=30.0,
                window="-0/+4"),
            job("vac", f"once {DAY}", kind="vac", where="tank D1", minutes=2.0, window="-0/+4"),
        ),
        between=(
            Between(code="b", first="job change", relation="together", second="job vac"),
        ),
    )  # fmt: skip
    assert kept(short(there, 10)) == ["look@D1"]
    assert len(kept(short(there, 36))) == 3


def water(fill_done: bool) -> tuple[Room, list[Mark]]:
    """A vat that is filled, then treated, today for a change tomorrow."""
    there = room(
        tanks=(tank("D1"),),
        reservoirs=(Reservoir(code="V1", full_litres=100.0, dead_litres=5.0,
                              holds_litres=95.0 if fill_done else 10.0),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("fill", f"once {DAY}", kind="fill", where="reservoir V1", minutes=5.0,
                window="-0/+3", litres=85.0),
            job("treat", "follows fill", kind="treat", where="reservoir V1", minutes=5.0),
            job("change", f"once {date(2027, 3, 11)}", kind="change", where="tank D1",
                minutes=5.0, window="-0/+0", fraction=0.5, reservoir="V1"),
        ),
    )  # fmt: skip
    return there, [mark("fill", "V1", TODAY, TODAY)] if fill_done else []


def test_what_tomorrows_water_waits_for_is_told() -> None:
    there, marks = water(fill_done=True)
    brings = put_off(short(there, 4, marks), "treat@V1").brings
    assert brings == (
        "the water of V1 is not ready before; change at D1 is planned for Thu 11 Mar",
    )
    there, marks = water(fill_done=False)
    brings = put_off(short(there, 4, marks), "fill@V1").brings
    assert len(brings) == 1
    assert "would stand there: fill it before" in brings[0]


def test_what_only_comes_up_because_another_is_put_off_is_put_off_too() -> None:
    """Two filters of one tank: with the first put off, the second would stand on today's walk."""
    there = room(
        tanks=(tank("D1"),),
        jobs=(
            job("look", "every 1 days", kind="look", where="tank D1", minutes=4.0),
            job("squeeze", "every 28 days", kind="filter", where="filters on tank D1",
                minutes=3.0, starts=DAY),
        ),
        between=(
            Between(code="b", first="kind filter", relation="apart", second="kind filter", days=7),
        ),
    )  # fmt: skip
    found = short(there, 4)
    assert {each.due.id for each in found.put_off} == {"squeeze@D1-1", "squeeze@D1-2"}
    assert abs((found.put_off[0].until - found.put_off[1].until).days) >= 7
