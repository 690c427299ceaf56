"""Acts on a real store: what they change, what they refuse, and how they are taken back."""

from dataclasses import replace
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.health import Health
from roomtasks.room.job import Job
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.room.stock import Group
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.work import fish, room_acts
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

NOW = at("2027-03-06 08:10")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    sheets = small_room()
    sheets["jobs"].append(
        Job(code="after-move", name="Look after a move", kind="look", where="all tanks",
            rule="event moved +1 +2 +3 +7", minutes=2.0)
    )  # fmt: skip
    sheets["groups"].append(
        Group(code="g24", line="brevis", tank="B2", count=24, since=date(2027, 1, 1), stage="young")
    )
    sheets["tanks"] = [
        replace(tank, measured_litres=52.5) if tank.code == "B3" else tank
        for tank in sheets["tanks"]
    ]
    sheets["groups"].append(Group(code="b3", line="x", tank="B3", count=2, since=date(2026, 9, 8)))
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "B3"]
    return store_with(tmp_path, sheets)


def the_room(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def seen(store: Store, when: str = "2027-03-06 08:10") -> Picture:
    found = picture(store, at(when))
    assert isinstance(found, Picture)
    return found


def counts(store: Store) -> dict[str, int]:
    return {group.code: group.count for group in the_room(store).groups}


def facts(store: Store) -> dict[str, Any]:
    return {
        name: read.rows(store, sheet)
        for name, sheet in SHEET.items()
        if name not in ("acts", "changes")
    }


def marked(store: Store, name: str, outcome: str = "done", when: str = "2027-03-06 08:10",
           **how: Any) -> Marked:  # fmt: skip
    answer = mark(store, at(when), [name], outcome, How(**how))
    assert isinstance(answer, Marked), answer
    return answer


def refused(store: Store, name: str, outcome: str = "done", **how: Any) -> Problem:
    before = facts(store)
    answer = mark(store, NOW, [name], outcome, How(**how))
    assert isinstance(answer, Problem)
    assert facts(store) == before
    return answer


def test_a_move_is_undone_with_its_follow_up_looks(store: Store) -> None:
    before = facts(store)
    moved = fish.move(store, at("2027-03-06 08:10"), "Ann", "g24", 24, "A4")
    assert not isinstance(moved, Problem)
    assert {g.tank for g in the_room(store).groups if g.code == "g24"} == {"A4"}
    tomorrow = seen(store, "2027-03-07 08:10")
    assert "after-move@A4" in tomorrow.due
    assert isinstance(undo(store, at("2027-03-06 08:20"), "Ann"), Undone)
    assert facts(store) == before
    assert "after-move@A4" not in seen(store, "2027-03-07 08:10").due
    assert [act.verb for act in search.acts(store)] == ["undo", "move"]


def test_an_undo_that_something_leans_on_is_refused_and_the_way_back_is_offered(
    store: Store,
) -> None:
    fish.move(store, at("2027-03-06 08:10"), "Ann", "g24", 24, "A4")
    fish.take_out(store, at("2027-03-06 10:00"), "Ann", "g24", 6, "sold")
    before = facts(store)
    answer = undo(store, at("2027-03-06 10:30"), "Ann", 1)
    assert isinstance(answer, Problem)
    assert "move 18 back to B2: 'roomtasks move g24 18 B2'" in answer.remedy
    assert "act 2 leans on it" in answer.what
    assert facts(store) == before


def test_two_people_mark_one_change_and_it_is_one(store: Store) -> None:
    first = marked(store, "change-alone@B3", when="2027-03-06 08:30", who="helper")
    assert first.marks[0].litres == pytest.approx(15.75)
    held = {r.code: r.holds_litres for r in the_room(store).reservoirs}
    second = marked(store, "change-alone@B3", when="2027-03-06 08:34", who="keeper")
    assert second.act is None
    assert "done at 08:30 by helper" in second.words
    assert {r.code: r.holds_litres for r in the_room(store).reservoirs} == held
    assert held["R1"] == pytest.approx(900 - 15.75)


def test_a_part_leaves_what_is_owed_and_the_rest_starts_the_interval(store: Store) -> None:
    answer = marked(store, "change-alone@B3", "partly", fraction=0.15)
    assert answer.marks[0].litres == pytest.approx(7.875)
    due = seen(store).due["change-alone@B3"]
    assert due.owed_fraction == pytest.approx(0.1765, abs=5e-5)
    assert due.litres == pytest.approx(9.26, abs=0.01)
    rest = marked(store, "change-alone@B3", when="2027-03-08 08:00")
    assert rest.next_due["change-alone@B3"] == date(2027, 3, 13)
    assert rest.marks[0].fraction == pytest.approx(0.1765, abs=5e-5)


def test_a_part_as_large_as_the_whole_is_done(store: Store) -> None:
    assert marked(store, "change-alone@B3", "partly", fraction=0.3).marks[0].outcome == "done"


def test_the_pump_waits_for_the_change_and_opens_fifteen_minutes_later(store: Store) -> None:
    assert "refill@S" not in seen(store).due
    marked(store, "change-s@S", when="2027-03-06 08:10")
    waiting = seen(store, "2027-03-06 08:20").due["refill@S"]
    assert waiting.later_today == at("2027-03-06 08:25")
    assert not waiting.on_walk
    assert seen(store, "2027-03-06 08:25").due["refill@S"].on_walk
    room_acts.turn_pump(store, at("2027-03-06 08:26"), "", "S", "off")
    marked(store, "refill@S", when="2027-03-06 08:30")
    turn = the_room(store).pump_state("S", at("2027-03-06 08:31"))
    assert turn is not None
    assert turn.state == "running"


def test_refusals_name_the_rule_and_change_nothing(store: Store) -> None:
    room_acts.set_hold(store, NOW, "", "B1", "filter", "eggs on the sponge")
    held = refused(store, "squeeze-1@B1-1")
    assert (held.rule, held.what) == ("held", "it is held (eggs on the sponge)")
    assert "lift the hold first" in held.remedy
    assert refused(store, "service@room").rule == "not-yet-open"
    assert refused(store, "nothing@B1").rule == ""
    assert refused(store, "look@Z9").rule == ""
    assert refused(store, "look").what.startswith("it has")
    assert refused(store, "look@B1", when=at("2027-03-06 08:11")).rule == "not-in-the-future"
    assert refused(store, "look@B1", "left-out").remedy == "say why with --reason"
    assert refused(store, "look@B1", "put-off", until=date(2027, 3, 6)).where == "until"
    assert "missing" in refused(store, "change-alone@B3", "partly").what
    marked(store, "look@Q1")
    assert refused(store, "look@B1").rule == "hands"


def test_several_at_once_are_all_or_none(store: Store) -> None:
    before = facts(store)
    answer = mark(store, NOW, ["look@B1", "look@B2", "service@room"], "done", How())
    assert isinstance(answer, Problem)
    assert facts(store) == before
    both = mark(store, NOW, ["look@B1", "look@B2"], "done", How())
    assert isinstance(both, Marked)
    assert len(both.marks) == 2
    assert len(search.acts(store)) == 1


def test_done_last_night_counts_from_last_night(store: Store) -> None:
    answer = marked(store, "change-alone@B3", when="2027-03-06 08:10", who="Ann")
    assert answer.next_due["change-alone@B3"] == date(2027, 3, 13)
    undo(store, NOW, "Ann")
    late = mark(store, NOW, ["change-alone@B3"], "done", How(when=at("2027-03-06 00:30")))
    assert isinstance(late, Marked)
    assert late.marks[0].day == date(2027, 3, 5)


def test_cannot_holds_the_job_and_makes_one_to_see_to_it(store: Store) -> None:
    marked(store, "change-alone@B3", "blocked", reason="broken")
    due = seen(store).due["change-alone@B3"]
    assert str(due.state) == "held"
    assert due.blocked is not None
    assert due.blocked.reason == "broken"
    assert any(job.code.startswith("see-to") for job in the_room(store).jobs)
    hold = the_room(store).holds[0].code
    room_acts.lift_hold(store, NOW, "", hold)
    assert str(seen(store).due["change-alone@B3"].state) == "due"


def test_counts_must_add_up_and_riskier_fish_stay_out_of_cleaner_water(store: Store) -> None:
    too_many = fish.move(store, NOW, "", "g24", 25, "A4")
    assert isinstance(too_many, Problem)
    assert too_many.rule == "counts-add-up"
    room_acts.set_class(store, NOW, "", "B3", "watch", "pale gills")
    risky = fish.move(store, NOW, "", "b3", 2, "A4")
    assert isinstance(risky, Problem)
    assert risky.rule == "riskier-to-cleaner"
    lot = fish.move(store, NOW, "", "new-1", 8, "A4")
    assert isinstance(lot, Problem)
    assert lot.rule == "not-released"
    part = fish.move(store, NOW, "", "g24", 10, "A4")
    assert not isinstance(part, Problem)
    assert counts(store)["g24"] == 14
    assert counts(store)["g24.2"] == 10


def test_the_last_fish_out_leaves_a_tank_empty_and_its_jobs_rest(store: Store) -> None:
    fish.take_out(store, NOW, "", "b3", 2, "given")
    later = seen(store, "2027-03-13 08:00")
    assert not {name for name in later.due if name.endswith("@B3") and name[:4] != "stri"}
    assert the_room(store).empty_since("B3") == date(2027, 3, 6)


def test_a_shut_valve_moves_a_tank_out_of_the_system(store: Store) -> None:
    before = seen(store).room.open_litres("S", NOW)
    room_acts.turn_valve(store, NOW, "Ann", "A3", "shut")
    room = the_room(store)
    later = at("2027-03-06 09:00")
    assert room.open_litres("S", later) == pytest.approx(before - room.tank_litres("A3"))
    assert "A3" in room.valve.cut_off("S", later)
    day, end = at("2027-03-06 04:00"), at("2027-03-07 04:00")
    assert "A3" in room.valve.shared_between("A1", day, end)
    assert "A3" not in room.valve.shared_between("A1", end, at("2027-03-08 04:00"))
    again = room_acts.turn_valve(store, later, "Ann", "A3", "shut")
    assert isinstance(again, Problem)


def test_readings_far_out_are_asked_and_taken_when_said_again(store: Store) -> None:
    asked = room_acts.read_off(store, NOW, "", "B1", "ph", 77.0)
    assert isinstance(asked, Problem)
    assert asked.rule == "ask"
    assert not isinstance(
        room_acts.read_off(store, NOW, "", "B1", "ph", 77.0, anyway=True), Problem
    )


def test_undo_puts_reservoir_litres_back_though_others_drew_since(store: Store) -> None:
    marked(store, "change-alone@B3")
    marked(store, "change-alone@B1")
    held = {r.code: r.holds_litres for r in the_room(store).reservoirs}["R1"]
    assert isinstance(undo(store, NOW, "", 1), Undone)
    assert {r.code: r.holds_litres for r in the_room(store).reservoirs}["R1"] == pytest.approx(
        held + 15.75
    )


def test_nothing_to_take_back_and_twice_are_told(store: Store) -> None:
    assert isinstance(undo(store, NOW, ""), Problem)
    marked(store, "look@B1")
    undo(store, NOW, "", 1)
    again = undo(store, NOW, "", 1)
    assert isinstance(again, Problem)
    assert "taken back already" in again.what
    assert isinstance(undo(store, NOW, "", 99), Problem)


def test_the_class_touched_is_remembered_for_the_day(store: Store) -> None:
    marked(store, "look@Q1")
    assert seen(store).touched is Health.QUARANTINE
    marked(store, "look@B1", hands_clean=True)
    assert seen(store).touched is Health.CLEAN
    assert seen(store, "2027-03-07 08:00").touched is None


def test_evening_jobs_wait_for_their_hour(store: Store) -> None:
    assert time(18, 0) in {job.from_time for job in the_room(store).jobs}
    assert seen(store, "2027-03-06 17:59").due["feed@B1"].later_today == at("2027-03-06 18:00")
    assert seen(store, "2027-03-06 18:00").due["feed@B1"].on_walk


def test_names_that_no_file_could_hold_are_refused(store: Store) -> None:
    for answer in (
        room_acts.seen(store, NOW, "", "B1", "two words"),
        room_acts.seen(store, NOW, "", "B1", ""),
        room_acts.read_off(store, NOW, "", "B1", "=cmd()", 1.0),
    ):
        assert isinstance(answer, Problem)
        assert answer.rule == ""


def test_an_undo_leaves_a_tank_stocked_that_others_came_to_since(store: Store) -> None:
    fish.take_out(store, NOW, "", "b3", 2, "given")
    fish.move(store, at("2027-03-07 08:00"), "", "calvus", 1, "B3")
    fish.move(store, at("2027-03-07 08:05"), "", "lelupi", 1, "B3")
    assert isinstance(undo(store, at("2027-03-07 08:10"), "", 2), Undone)
    room = the_room(store)
    assert room.heads_in("B3") == 1
    assert room.restocked("B3") == (date(2027, 3, 7), 1)


def test_a_share_and_litres_agree_in_the_record(store: Store) -> None:
    share = marked(store, "change-alone@B3", fraction=0.10).marks[0]
    assert share.litres == pytest.approx(5.25)
    undo(store, NOW, "")
    litres = marked(store, "change-alone@B3", litres=5.25).marks[0]
    assert litres.fraction == pytest.approx(0.10)
    undo(store, NOW, "")
    asked = refused(store, "change-alone@B3", fraction=0.9)
    assert asked.rule == "largest-change"
    assert marked(store, "change-alone@B3", fraction=0.9, anyway=True).marks[0].fraction == 0.9
