"""What a trouble forbids: which jobs, where, from which day until which, with its reason."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.due import all_due
from roomtasks.room.occurrence import Due, State
from roomtasks.room.pin import Trouble
from roomtasks.room.rack import Rack
from roomtasks.room.room import Room
from roomtasks.room.system import System, ValveTurn
from roomtasks.room.trouble_holds import Place as At
from roomtasks.room.trouble_holds import food_again, reaches
from roomtasks.room.why import why
from tests.room.scene import at, job, room

OFF, ON = at("2027-03-17T02:10"), at("2027-03-17T09:40")
JOBS = (
    job("squeeze", "every 14 days", kind="filter", where="filter D3-1", window="-2/+3",
        starts=date(2027, 3, 18)),
    job("feed", "every 1 days", kind="feed", where="tank D3", starts=date(2027, 3, 1)),
    job("look", "every 1 days", kind="look", where="tank D3", starts=date(2027, 3, 1)),
    job("top", "every 3 days", kind="top-off", where="tank D3", starts=date(2027, 3, 1)),
)  # fmt: skip


def trouble(sort: str = "power-cut", ended: datetime | None = ON, **facts: object) -> Trouble:
    base = Trouble(code="t-1", sort=sort, began=OFF, ended=ended)
    return replace(base, **facts)  # type: ignore[arg-type]


def with_trouble(*troubles: Trouble, **facts: object) -> Room:
    return replace(room(jobs=JOBS, troubles=troubles), **facts)  # type: ignore[arg-type]


def due(seen: Room, name: str, when: str | datetime) -> Due:
    now = at(when) if isinstance(when, str) else when
    found = [each for each in all_due(seen, {}, now) if each.job.code == name]
    assert found
    return found[0]


def test_filters_rest_seven_days_after_a_power_cut() -> None:
    seen = with_trouble(trouble())
    held = due(seen, "squeeze", "2027-03-18T08:00")
    assert held.state is State.HELD
    assert held.blocked is not None
    assert (held.blocked.until, held.placed) == (date(2027, 3, 23), date(2027, 3, 24))
    assert why(held) == (
        "every 14 days, counted from the day done; never marked yet; due Thu 18 Mar, may be done "
        "Tue 16 Mar to Wed 24 Mar; after its window because of the trouble; held: filters rest 7 "
        "days after it: power cut of Wed 17 Mar 02:10, over 09:40, free from Wed 24 Mar."
    )
    assert due(seen, "squeeze", "2027-03-23T23:00").state is State.HELD
    free = due(seen, "squeeze", "2027-03-24T04:00")
    assert (free.state, free.blocked) == (State.DUE, None)


def test_while_the_power_is_off_nothing_tells_when_they_are_free() -> None:
    held = due(with_trouble(trouble(ended=None)), "squeeze", "2027-03-18T08:00")
    assert held.blocked is not None
    assert held.blocked.until is None
    assert "power cut since Wed 17 Mar 02:10, not over" in why(held)


def test_no_food_for_24_hours_then_half_to_the_third_day() -> None:
    seen = with_trouble(trouble())
    held = due(seen, "feed", "2027-03-17T20:00")
    assert held.state is State.HELD
    assert held.placed == date(2027, 3, 18)
    waits = due(seen, "feed", "2027-03-18T09:39")
    assert (waits.state, waits.on_walk) == (State.DUE, False)
    assert waits.later_today == at("2027-03-18T09:40")
    fed = due(seen, "feed", "2027-03-18T09:40")
    assert fed.on_walk
    assert fed.moved == ("half the usual food to Sat 20 Mar (after the power cut)",)
    assert due(seen, "feed", "2027-03-20T10:00").moved
    assert not due(seen, "feed", "2027-03-21T10:00").moved
    assert due(seen, "look", "2027-03-17T10:00").on_walk


def test_a_night_on_which_the_clocks_change_is_as_long_as_it_is() -> None:
    back = at("2027-03-27T09:00")
    assert food_again(room(), back) == at("2027-03-28T10:00")


def test_a_trouble_at_a_tank_reaches_no_other() -> None:
    seen = with_trouble(trouble(target="D4"))
    assert due(seen, "feed", "2027-03-17T20:00").on_walk
    assert not due(with_trouble(trouble(target="D3")), "feed", "2027-03-17T20:00").on_walk
    by_rack = with_trouble(trouble(target="D"), racks=(Rack(code="D", name="", path=1),))
    assert not due(by_rack, "feed", "2027-03-17T20:00").on_walk


def test_a_failed_pump_stops_food_and_filters_of_its_tanks_only_while_it_stands() -> None:
    facts = {
        "systems": (System(code="S", sump_litres=200.0),),
        "valves": (ValveTurn(tank="D3", at=at("2027-01-01T10:00"), system="S", state="open"),),
    }
    seen = with_trouble(trouble("pump", None, target="S"), **facts)
    assert due(seen, "feed", "2027-03-17T12:00").state is State.HELD
    assert due(seen, "squeeze", "2027-03-18T12:00").state is State.HELD
    over = with_trouble(trouble("pump", ON, target="S"), **facts)
    assert due(over, "feed", "2027-03-17T12:00").on_walk
    assert not reaches(seen, trouble("pump", None, target="S"), At("D4", "D4"), ON)


def test_a_leaking_tank_rests_and_what_its_fish_need_goes_on() -> None:
    leak = trouble("leak", None, target="D3")
    seen = with_trouble(leak)
    assert due(seen, "top", "2027-03-19T12:00").state is State.HELD
    assert due(seen, "look", "2027-03-19T12:00").on_walk
    dry = replace(seen, groups=tuple(g for g in seen.groups if g.tank != "D3"))
    assert all(each.state is State.HELD or each.job.kind == "look"
               for each in all_due(dry, {}, at("2027-03-19T12:00")))  # fmt: skip
    mended = with_trouble(replace(leak, ended=at("2027-03-20T12:00")))
    assert due(mended, "top", "2027-03-20T13:00").state is not State.HELD


def test_after_a_heater_looks_say_what_to_look_for_for_fourteen_days() -> None:
    seen = with_trouble(trouble("heater", ON, target="D3"))
    said = ("look for white spot, to Wed 31 Mar (heater failed)",)
    assert due(seen, "look", "2027-03-31T10:00").moved == said
    assert due(seen, "look", "2027-04-01T10:00").moved == ()


def test_what_has_not_begun_yet_forbids_nothing() -> None:
    seen = with_trouble(trouble(ended=None))
    assert due(seen, "feed", "2027-03-16T12:00").on_walk


INSTANTS = st.integers(0, 60 * 24 * 200).map(
    lambda n: (datetime(2027, 3, 5, tzinfo=UTC) + timedelta(minutes=n)).astimezone(OFF.tzinfo)
)


@given(began=INSTANTS, hours=st.integers(0, 100), days=st.integers(0, 12))
def test_a_hold_lifts_exactly_seven_days_after_it_was_over(
    began: datetime, hours: int, days: int
) -> None:
    ended = (began.astimezone(UTC) + timedelta(hours=hours)).astimezone(OFF.tzinfo)
    seen = with_trouble(trouble(began=began, ended=ended))
    over = seen.day_at(ended)
    on = over + timedelta(days=days)
    end = on + timedelta(days=1)
    now = datetime(end.year, end.month, end.day, 3, 59, 59, tzinfo=OFF.tzinfo)
    blocked = due(seen, "squeeze", now).blocks
    assert blocked[0].last == over + timedelta(days=6)
    forbidden = any(b.first <= on and (b.last is None or on <= b.last) for b in blocked)
    assert forbidden == (days < 7)


@given(ended=INSTANTS, minutes=st.integers(0, 48 * 60))
def test_food_waits_24_real_hours_to_the_minute(ended: datetime, minutes: int) -> None:
    seen = with_trouble(trouble(began=ended, ended=ended))
    now = (ended.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(OFF.tzinfo)
    assert due(seen, "feed", now).on_walk == (minutes >= 24 * 60)
