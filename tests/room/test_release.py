"""The lines of a release, one by one, and why a lot may not leave. Worked here, invented room."""

from datetime import date, timedelta
from typing import Any

import pytest

from roomtasks.room.journal import Reading
from roomtasks.room.naming import day_words
from roomtasks.room.release import (
    LINES,
    Line,
    checklist,
    lot_refusal,
    release_refusals,
    started_anew,
)
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.stay_facts import Seen, stays_now
from roomtasks.room.stock import RELEASE_LINES, Condition, Stay, Tick
from roomtasks.room.tank import Filter
from tests.room.scene import at, event, group, room, tank

CAME = date(2027, 3, 6)
FREE = CAME + timedelta(days=42)
EVERY_DAY = {"Q1": frozenset(CAME + timedelta(days=n) for n in range(90))}
LOT = Stay(code="lot", tank="Q1", since=CAME)
TANKS = (tank("Q1", role="quarantine"), tank("D1"), tank("D2"))


def the_room(**facts: Any) -> Room:
    base: dict[str, Any] = {
        "tanks": TANKS, "stays": (LOT,), "groups": (group("new", "Q1", 8),),
        "filters": (Filter(code="D1-1", tank="D1", since=date(2026, 1, 1)),),
        "events": (event("put-in", "Q1", str(CAME), count=8),),
    }  # fmt: skip
    return room(**{**base, **facts})


def lines(
    made: Room, to: str = "D1", readings: tuple[Reading, ...] = (), today: date = FREE,
    looked: dict[str, frozenset[date]] | None = None,
) -> dict[str, Line]:  # fmt: skip
    seen = Seen(looked=EVERY_DAY if looked is None else looked, readings=readings)
    (now,) = stays_now(made, seen, today)
    return {line.code: line for line in checklist(made, now, today, readings, to)}


def reading(what: str, value: float, day: int, tank_code: str = "Q1") -> Reading:
    when = at(f"{FREE - timedelta(days=day)}T08:00")
    return Reading(id=100 - day, target=tank_code, what=what, value=value, day=when.date(), at=when)


def test_there_are_twelve_lines_in_their_order() -> None:
    found = lines(the_room())
    assert tuple(LINES) == RELEASE_LINES == tuple(found)
    assert [line.number for line in found.values()] == list(range(1, 13))


def test_what_the_journal_knows_is_known_and_the_rest_waits_for_the_keeper() -> None:
    found = lines(the_room())
    known = [code for code, line in found.items() if line.state == "known"]
    assert known == ["dates", "looked", "doses", "away", "watch", "strip"]
    assert {line.code for line in found.values() if line.may_tick} == {
        "eating", "tests", "count", "destination", "bag-water", "net",
    }  # fmt: skip


def test_every_open_line_refuses_by_name() -> None:
    found = lines(the_room(), today=FREE - timedelta(days=1))
    first, *rest = release_refusals(found.values(), LOT)
    assert first.rule == "not-released"
    assert "line 1 is open" in first.what
    assert {problem.rule for problem in rest} == {"release-open"}
    assert len(rest) == 6


def test_ticks_settle_only_what_the_keeper_may_say() -> None:
    ticks = tuple(
        Tick(stay="lot", line=line, day=FREE, who="mk", note="D1" if line == "destination" else "")
        for line in LINES
    )
    found = lines(the_room(ticks=ticks))
    assert list(release_refusals(found.values(), LOT)) == []
    early = lines(the_room(ticks=ticks), today=FREE - timedelta(days=2))
    assert [code for code, line in early.items() if line.state == "open"] == ["dates"]


def destination(note: str, to: str = "") -> Line:
    tick = Tick(stay="lot", line="destination", day=FREE, who="mk", note=note)
    return lines(the_room(ticks=(tick,)), to)["destination"]


def test_the_tick_of_a_destination_is_for_the_tank_that_was_meant() -> None:
    assert destination("D1", "D1").state == "ticked"
    assert destination("D1: shaded side", "D1").evidence.endswith("mk D1: shaded side")
    other = destination("D1", "Q1")
    assert (other.state, other.may_tick) == ("open", True)
    assert other.evidence.startswith("the tick was for D1, not for Q1; they stay in Q1")


def test_the_tank_that_was_meant_is_looked_at_where_none_is_named() -> None:
    assert destination("D1").state == "ticked"
    unknown = destination("X9")
    assert (unknown.state, unknown.evidence) == ("open", "no destination is named")


@pytest.mark.parametrize("note", ["", "looks well", "X9"])
def test_a_tick_that_names_no_tank_is_asked_again(note: str) -> None:
    found = destination(note, "D1")
    assert found.state == "open"
    assert found.evidence.startswith("the tick named no tank; D1: ")


def test_a_destination_that_will_not_do_any_more_is_told_though_it_was_ticked() -> None:
    tick = Tick(stay="lot", line="destination", day=FREE, who="mk", note="D1")
    watch = Condition(tank="D1", since=CAME, state="watch")
    made = the_room(ticks=(tick,), conditions=(watch,))
    assert lines(made, "")["destination"].evidence == "D1 is under watch"


def test_a_day_nobody_looked_in_the_last_14_keeps_the_lot() -> None:
    missed = FREE - timedelta(days=3)
    found = lines(the_room(), looked={"Q1": EVERY_DAY["Q1"] - {missed}})
    assert found["looked"].state == "open"
    assert day_words(missed) in found["looked"].evidence
    assert day_words(missed + timedelta(days=15)) in found["looked"].evidence
    old = lines(the_room(), looked={"Q1": EVERY_DAY["Q1"] - {FREE - timedelta(days=15)}})
    assert old["looked"].state == "known"


@pytest.mark.parametrize(
    ("readings", "state", "may_tick"),
    [
        ([("ammonia", 0, 1), ("ammonia", 0, 2), ("nitrite", 0, 1), ("nitrite", 0, 2)],
         "known", False),
        ([("ammonia", 0, 1), ("nitrite", 0, 1)], "open", True),
        ([("ammonia", 0.25, 1), ("ammonia", 0, 2), ("nitrite", 0, 1), ("nitrite", 0, 2)],
         "open", False),
    ],
)  # fmt: skip
def test_two_tests_at_nought(
    readings: list[tuple[str, float, int]], state: str, may_tick: bool
) -> None:
    found = lines(the_room(), readings=tuple(reading(*row) for row in readings))["tests"]
    assert (found.state, found.may_tick) == (state, may_tick)


def test_the_count_is_arrivals_less_deaths() -> None:
    events = [
        event("put-in", "Q1", str(CAME), count=8), event("died", "Q1", "2027-03-20", count=2),
        event("counted", "Q1", str(FREE), count=6, note="new: +0"),
    ]  # fmt: skip
    made = the_room(events=tuple(events), groups=(group("new", "Q1", 6),))
    assert lines(made)["count"].state == "known"
    short = the_room(
        events=(*events[:2], event("counted", "Q1", str(FREE), count=5, note="new: -1")),
        groups=(group("new", "Q1", 5),),
    )
    assert lines(short)["count"].state == "open"
    assert lines(short)["count"].evidence == "5 counted today, 8 came, 2 died or were lost"


def test_destinations_that_will_not_do_are_told() -> None:
    watch = Condition(tank="D1", since=CAME, state="watch")
    assert "under watch" in lines(the_room(conditions=(watch,)))["destination"].evidence
    assert "no destination" in lines(the_room(), to="")["destination"].evidence
    assert "no tank X" in lines(the_room(), to="X")["destination"].evidence
    unripe = lines(the_room(), to="D2")["destination"]
    assert not unripe.may_tick
    assert "28 days" in unripe.evidence
    cold = (reading("temperature", 26, 1), reading("temperature", 22, 1, "D1"))
    assert "a step of 4.0 K" in lines(the_room(), readings=cold)["destination"].evidence


def test_the_day_before_being_away_is_none_to_release_on() -> None:
    away = Away(first=FREE + timedelta(days=1), last=FREE + timedelta(days=5))
    assert lines(the_room(away=(away,)))["away"].state == "open"
    later = Away(first=FREE + timedelta(days=2), last=FREE + timedelta(days=5))
    assert lines(the_room(away=(later,)))["away"].state == "known"


@pytest.mark.parametrize(
    ("count", "how", "to", "rule"),
    [
        (8, "sold", "", "not-released"),
        (1, "given", "", "not-released"),
        (3, "moved", "D1", "part-of-a-lot"),
        (8, "moved", "D1", "not-released"),
        (1, "died", "", None),
        (1, "lost", "", None),
    ],
)
def test_who_may_not_leave_a_lot(count: int, how: str, to: str, rule: str | None) -> None:
    made = the_room()
    found = lot_refusal(made, made.groups[0], count, how, CAME, to)
    assert (found.rule if found else None) == rule


def test_nobody_joins_a_lot_unasked_and_joining_begins_it_anew() -> None:
    made = the_room(groups=(group("new", "Q1", 8), group("old", "D1", 3)))
    found = lot_refusal(made, made.groups[1], 3, "moved", CAME, "Q1")
    assert found is not None
    assert found.rule == "two-lots"
    again = started_anew(LOT, CAME + timedelta(days=20))
    assert (again.since, again.first_day) == (CAME + timedelta(days=20), CAME)
    third = started_anew(again, CAME + timedelta(days=30))
    assert third.first_day == CAME
