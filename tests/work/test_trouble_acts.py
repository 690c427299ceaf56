"""Troubles begun and over on a real store: what they change, what is refused, and undo."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from roomtasks.room.pin import TROUBLES
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.care import check
from roomtasks.work import fish, room_acts
from roomtasks.work.fish import Told
from roomtasks.work.marking import How, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.trouble_acts import tick_step, trouble_begin, trouble_over
from roomtasks.work.trouble_view import TroublesView, troubles_view
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

NOW = at("2027-03-17 10:00")
OFF, ON = at("2027-03-17 02:10"), at("2027-03-17 09:40")
PLACES = {"power-cut": "room", "pump": "S", "heater": "B1", "leak": "B1", "outbreak": "A1",
          "reservoir": "R1"}  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with store_with(tmp_path, small_room()) as made:
        yield made
    assert check(made.path).whole


def dump(store: Store) -> dict[str, list[Any]]:
    """Every row that is no history of acts."""
    return {
        name: [sheet.plain(row) for row in read.rows(store, sheet)]
        for name, sheet in SHEET.items()
        if name not in ("acts", "changes")
    }


def told(answer: Told | Problem) -> str:
    assert isinstance(answer, Told), answer
    return answer.words


def refused(store: Store, answer: Told | Problem, before: dict[str, list[Any]]) -> Problem:
    """It is refused, and nothing was changed."""
    assert isinstance(answer, Problem)
    assert answer.what
    assert answer.remedy
    assert dump(store) == before
    return answer


def room_of(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def view(store: Store, now: datetime = NOW) -> TroublesView:
    found = troubles_view(store, now)
    assert isinstance(found, TroublesView)
    return found


def seen(store: Store, now: datetime) -> Picture:
    found = picture(store, now)
    assert isinstance(found, Picture)
    return found


# --- begun and over -------------------------------------------------------------------------


def test_a_power_cut_is_open_until_it_is_over(store: Store) -> None:
    words = told(trouble_begin(store, NOW, "mk", "power-cut", "", OFF, "the whole street"))
    assert words == ("power cut since Wed 17 Mar 02:10, not over; return pump of S off: "
                     "the whole street")  # fmt: skip
    assert [plan.trouble.code for plan in view(store).open] == ["power-cut-1"]
    words = told(trouble_over(store, NOW, "mk", "power-cut", ON))
    assert words == ("power cut of Wed 17 Mar 02:10, over 09:40; no food until Thu 18 Mar "
                     "09:40, then half of it to Sat 20 Mar; no filter cleaned before "
                     "Wed 24 Mar")  # fmt: skip
    found = view(store)
    assert found.open == ()
    assert [plan.trouble.code for plan in found.recent] == ["power-cut-1"]
    assert {step.code for _, step in found.steps_now} >= {"sump", "run", "ammonia-0"}


def test_the_pump_step_is_done_by_starting_the_pump(store: Store) -> None:
    trouble_begin(store, NOW, "mk", "power-cut", "", OFF)
    trouble_over(store, NOW, "mk", "power-cut", ON)
    told(room_acts.read_off(store, NOW, "mk", "S", "sump-level", 36.0, "cm"))
    told(room_acts.turn_pump(store, NOW, "mk", "S", "running"))
    steps = {step.code: step for step in view(store).recent[0].steps}
    assert steps["sump"].done
    assert steps["run"].done
    assert not steps["outlets"].done


def test_a_step_is_ticked_once(store: Store) -> None:
    trouble_begin(store, NOW, "mk", "power-cut", "", OFF)
    trouble_over(store, NOW, "mk", "power-cut", ON)
    told(tick_step(store, NOW, "mk", "power-cut-1", "timers"))
    before = dump(store)
    again = refused(store, tick_step(store, NOW, "mk", "power-cut-1", "timers"), before)
    assert again.rule == "no-change"
    unknown = refused(store, tick_step(store, NOW, "mk", "power-cut-1", "valve"), before)
    assert "timers" in unknown.remedy
    refused(store, tick_step(store, NOW, "mk", "power-cut-9", "timers"), before)


def test_what_a_power_cut_holds_is_refused_and_may_be_insisted_on(store: Store) -> None:
    trouble_begin(store, NOW, "mk", "power-cut", "", OFF)
    no = mark(store, NOW, ["squeeze-1@B1-1"], "done", How())
    assert isinstance(no, Problem)
    assert (no.rule, no.remedy) == ("held", "end the trouble first, or say --anyway")
    trouble_over(store, NOW, "mk", "power-cut", ON)
    no = mark(store, at("2027-03-18 08:00"), ["feed@A1"], "done", How())
    assert isinstance(no, Problem)
    assert no.what == "no food until 24 h after the power is back"
    assert not isinstance(
        mark(store, at("2027-03-18 08:00"), ["feed@A1"], "done", How(anyway=True)), Problem
    )
    assert not isinstance(mark(store, at("2027-03-18 18:30"), ["feed@A2"], "done", How()), Problem)


def test_a_failed_pump_is_off_and_runs_again_when_it_is_over(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "pump", "", OFF))
    turn = room_of(store).pump_state("S", NOW)
    assert turn is not None
    assert (turn.state, turn.at) == ("off", OFF)
    assert told(trouble_over(store, NOW, "mk", "pump")).startswith("pump failed at S of")
    turn = room_of(store).pump_state("S", NOW)
    assert turn is not None
    assert turn.state == "running"


def test_no_fish_go_into_a_tank_that_leaks(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "leak", "B3"))
    before = dump(store)
    no = refused(store, fish.move(store, NOW, "mk", "calvus", 2, "B3"), before)
    assert (no.rule, no.where) == ("held", "B3")
    told(trouble_over(store, NOW, "mk", "leak"))
    told(fish.move(store, NOW, "mk", "calvus", 2, "B3"))


def test_an_outbreak_freezes_whom_it_reached_and_the_walk_changes_at_once(store: Store) -> None:
    words = told(trouble_begin(store, NOW, "mk", "outbreak", "A1"))
    assert "moves and sales held at 6 tanks: A1, A2, A3, A4, A5, A6" in words
    room = room_of(store)
    classes = {tank: room.health_of(tank, room.day_at(NOW)).word for tank in ("A1", "A2", "B1")}
    assert classes == {"A1": "sick", "A2": "under watch", "B1": "clean"}
    no = fish.take_out(store, NOW, "mk", "young-lelupi", 2, "sold")
    assert isinstance(no, Problem)
    assert no.rule == "held"
    walked = [stop.due.tank for stop in seen(store, NOW).walk.stops if stop.due.tank]
    assert walked.index("B1") < walked.index("A2") < walked.index("A1")
    told(trouble_over(store, at("2027-03-19 10:00"), "mk", "outbreak"))
    later = at("2027-03-19 11:00")
    told(fish.take_out(store, later, "mk", "young-lelupi", 2, "sold"))
    assert room_of(store).health_of("A1", date(2027, 3, 19)).word == "sick"


# --- refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sort", "target", "began", "rule", "says"),
    [
        ("power-cut", "", at("2027-03-17 10:01"), "not-in-the-future", "lies ahead"),
        ("power-cut", "Z9", None, "", "no such place"),
        ("leak", "B9", None, "", "no such place"),
        ("leak", "S", None, "trouble-place", "cannot be there"),
        ("leak", "", None, "trouble-place", "which tank is not said"),
        ("heater", "room", None, "trouble-place", "cannot be there"),
        ("reservoir", "", None, "trouble-place", "which reservoir is not said"),
        ("flood", "", None, "", "no sort"),
        ("leek", "B1", None, "", "no sort"),
    ],
)
def test_what_cannot_begin_is_refused_whole(
    store: Store, sort: str, target: str, began: datetime | None, rule: str, says: str
) -> None:
    before = dump(store)
    no = refused(store, trouble_begin(store, NOW, "mk", sort, target, began), before)
    assert no.rule == rule
    assert says in no.what


def test_two_of_a_sort_at_one_place_are_refused_and_others_are_not(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "leak", "B1"))
    before = dump(store)
    no = refused(store, trouble_begin(store, NOW, "mk", "leak", "B1"), before)
    assert (no.rule, "trouble-over leak-1" in no.remedy) == ("trouble-open", True)
    told(trouble_begin(store, NOW, "mk", "leak", "B2"))
    told(trouble_begin(store, NOW, "mk", "heater", "B1"))
    told(trouble_over(store, NOW, "mk", "leak-1"))
    before = dump(store)
    again = trouble_begin(store, NOW, "mk", "leak", "B1", at("2027-03-17 09:00"))
    assert refused(store, again, before).rule == "trouble-open"
    told(trouble_begin(store, NOW, "mk", "leak", "B1"))


def test_what_cannot_be_over_is_refused_whole(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "power-cut", "", OFF))
    before = dump(store)

    def no(code: str, ended: datetime | None) -> str:
        return refused(store, trouble_over(store, NOW, "mk", code, ended), before).rule

    assert no("power-cut", at("2027-03-17 02:09")) == "over-before-begun"
    assert no("power-cut", at("2027-03-17 10:01")) == "not-in-the-future"
    assert no("leak", None) == ""
    assert no("power-cut-7", None) == ""
    told(trouble_over(store, NOW, "mk", "power-cut-1", OFF))
    before = dump(store)
    assert no("power-cut-1", None) == "no-change"


def test_of_two_open_ones_the_sort_alone_does_not_say_which(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "leak", "B1"))
    told(trouble_begin(store, NOW, "mk", "leak", "B2"))
    before = dump(store)
    no = refused(store, trouble_over(store, NOW, "mk", "leak"), before)
    assert no.remedy == "say which: leak-1 (leak at B1), leak-2 (leak at B2)"


# --- undo -----------------------------------------------------------------------------------


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture],
          deadline=None)  # fmt: skip
@given(sorts=st.lists(st.sampled_from(TROUBLES), min_size=1, max_size=4, unique=True))
def test_undo_puts_every_row_back(store: Store, sorts: list[str]) -> None:
    first = dump(store)
    states = []
    for sort in sorts:
        states.append(dump(store))
        told(trouble_begin(store, NOW, "mk", sort, PLACES[sort], OFF))
        states.append(dump(store))
        told(trouble_over(store, NOW, "mk", sort, ON))
    for state in reversed(states):
        assert isinstance(undo(store, NOW, "mk"), Undone)
        assert dump(store) == state
    assert dump(store) == first


def test_a_tick_is_taken_back(store: Store) -> None:
    told(trouble_begin(store, NOW, "mk", "heater", "B1"))
    told(tick_step(store, NOW, "mk", "heater", "unplug"))
    assert isinstance(undo(store, NOW, "mk"), Undone)
    assert "unplug" in [step.code for _, step in view(store).steps_now]


def test_idle_hours_that_cannot_be_are_refused(store: Store) -> None:
    no = troubles_view(store, NOW, -1.0)
    assert isinstance(no, Problem)


def test_a_room_without_water_still_shows_its_trouble(tmp_path: Path) -> None:
    sheets = {**small_room(), "jobs": []}
    sheets["tanks"] = [replace(tank, recipe="") for tank in sheets["tanks"]]
    with store_with(tmp_path, sheets) as bare:
        told(trouble_begin(bare, NOW, "mk", "reservoir", "R1"))
        plan = view(bare).open[0]
        assert plan.shared == ()
        assert plan.today


def test_feeding_goes_on_elsewhere(store: Store) -> None:
    """A pump that stands at one system says nothing of tanks that stand alone."""
    told(trouble_begin(store, NOW, "mk", "pump", "S"))
    held = {due.target for due in seen(store, NOW).dues if due.blocked and due.job.code == "feed"}
    assert held == {"A1", "A2"}
