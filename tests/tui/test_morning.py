"""A morning on the number pad: what the keys do is in the store, and the screen says so."""

from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.room import SHEET
from roomtasks.store import read, search
from roomtasks.store.base import Store
from tests.rooms import at
from tests.tui.desk import flat, in_hand, new_store, opened, press, screen_text, settle


def marks_in(path: Path) -> list[tuple[str, str, str]]:
    with Store.open(path) as store:
        return [(m.job, m.target, m.outcome) for m in read.rows(store, SHEET["marks"])]


async def test_one_key_marks_the_job_in_hand_done_and_goes_on(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        first = in_hand(app)
        await press(app, pilot, "5")
        assert in_hand(app) != first
        assert "Heaters and air: done" in flat(app)
        assert "next Sun 7 Mar" in flat(app)
    assert marks_in(path) == [("check", "room", "done")]


async def test_a_key_hit_twice_within_a_second_counts_once(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (_app, pilot, _):
        await pilot.press("5", "5")
        await settle(pilot)
    assert len(marks_in(path)) == 1


async def test_a_morning_with_the_number_pad_alone(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "2")
        assert in_hand(app) == "change-s@S"
        await press(app, pilot, "6", "1", "0", "enter")
        assert "partly done (10 %)" in flat(app)
        for _ in range(8):
            await press(app, pilot, "5")
        await press(app, pilot, "7", "2")
        await press(app, pilot, "3", "2", "enter")
        await press(app, pilot, "1")
        before = marks_in(path)
        await press(app, pilot, "5")
        await press(app, pilot, "0")
        assert "Taken back" in flat(app)
    outcomes = [outcome for _, _, outcome in marks_in(path)]
    assert outcomes.count("done") == 9
    assert outcomes.count("partly") == 1
    assert outcomes.count("left-out") == 1
    assert outcomes.count("put-off") == 2
    assert marks_in(path) == before
    with Store.open(path) as store:
        assert [act.verb for act in search.acts(store, most=2)] == ["undo", "done"]


async def test_what_was_taken_back_is_in_hand_again(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "2", "2", "0")
        assert in_hand(app) == "check@room"
        line = app.walk.round.in_hand
        assert line is not None
        assert line.waits


async def test_the_screen_and_the_command_walk_the_same_jobs(tmp_path: Path) -> None:
    import json

    from roomtasks.cli.main import main

    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "2", "6", "1", "0", "enter", "1", "7", "2")
        shown = [line.id for line in app.walk.round.lines if line.waits]
        minutes = app.walk.round.minutes_left
    from contextlib import redirect_stdout
    from io import StringIO

    said = StringIO()
    with redirect_stdout(said):
        assert main(["walk", "--json", "-r", str(path), "--at", "2027-03-06T07:30"]) == 0
    told = json.loads(said.getvalue())
    assert [stop["id"] for stop in told["stops"]] == shown
    assert told["minutes_needed"] == pytest.approx(minutes, abs=0.06)


async def test_the_list_does_not_move_under_the_finger(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        before = [line.id for line in app.walk.round.lines]
        await press(app, pilot, "5", "2", "5", "5")
        assert [line.id for line in app.walk.round.lines][: len(before)] == before
        assert sum(not line.waits for line in app.walk.round.lines) == 3


async def test_a_change_made_elsewhere_shows_within_two_seconds(tmp_path: Path) -> None:
    from roomtasks.work.marking import How, mark

    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        hand = in_hand(app)
        with Store.open(path) as store:
            mark(store, at("2027-03-06 07:31"), ["look@B1"], "done", How(who="Tom"))
        await pilot.pause(1.6)
        await settle(pilot)
        line = next(line for line in app.walk.round.lines if line.id == "look@B1")
        assert line.said == "done 07:31 Tom"
        assert in_hand(app) == hand


async def test_the_same_job_from_two_screens_is_one_act(tmp_path: Path) -> None:
    from roomtasks.work.marking import How, mark

    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, clock):
        app.set_interval = lambda *_, **__: None  # type: ignore[assignment,method-assign]
        clock.pass_by(minutes=4)
        with Store.open(path) as store:
            mark(store, at("2027-03-06 07:30"), ["check"], "done", How(who="Tom"))
        await press(app, pilot, "5")
        assert "done at 07:30 by Tom already" in flat(app)
    assert marks_in(path) == [("check", "room", "done")]


async def test_hands_are_asked_once_and_the_answer_is_kept(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "asterisk", "q", "1", "enter")
        assert in_hand(app) == "look@Q1"
        await press(app, pilot, "5")
        await press(app, pilot, "asterisk", "b", "1", "enter")
        await press(app, pilot, "5")
        assert "hands and gear clean? 5 = yes" in flat(app)
        assert ("look", "B1", "done") not in marks_in(path)
        await press(app, pilot, "5")
        assert ("look", "B1", "done") in marks_in(path)
        await press(app, pilot, "5")
        assert "hands and gear" not in flat(app)
    with Store.open(path) as store:
        events = [event.event for event in read.rows(store, SHEET["events"])]
    assert events.count("hands-clean") == 1


async def test_what_is_seen_is_noted_and_dead_fish_leave_the_count(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "asterisk", "b", "2", "enter", "4", "7", "2", "enter")
        assert "2 of lelupi (lelupi) in B2: died" in flat(app)
        await press(app, pilot, "4", "5")
        await press(app, pilot, "4", "9", "5")
    with Store.open(path) as store:
        room = read.room(store)
        groups = {group.code: group.count for group in room.groups}  # type: ignore[union-attr]
        holds = [hold.cause for hold in room.holds]  # type: ignore[union-attr]
        events = [event.event for event in room.events]  # type: ignore[union-attr]
    assert groups["lelupi"] == 10
    assert holds == ["blocked"]
    assert "spawn" in events


async def test_a_question_can_be_left_and_a_wrong_answer_is_told(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "2", "2", "6", "escape")
        assert app.walk.question is None
        await press(app, pilot, "6", "4", "0", "0", "enter")
        assert "is no share" in flat(app)
        await press(app, pilot, "asterisk", "z", "9", "enter")
        assert "There is no tank" in flat(app)
    assert marks_in(path) == []


async def test_a_new_room_day_comes_without_a_key(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, clock):
        await press(app, pilot, "5")
        clock.pass_by(hours=21)
        await pilot.pause(1.3)
        await settle(pilot)
        assert app.picture is not None
        assert app.picture.today == date(2027, 3, 7)
        assert "Sun 7 Mar" in flat(app)


async def test_a_clock_set_back_is_said_and_nothing_is_lost(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, clock):
        await press(app, pilot, "5")
        await pilot.pause(1.2)
        clock.jump(hours=-3)
        await pilot.pause(1.3)
        await settle(pilot)
        assert "The clock went back 3 h" in flat(app)
        assert "CLOCK BEHIND THE JOURNAL" in flat(app)
    assert marks_in(path) == [("check", "room", "done")]


async def test_a_job_that_opens_at_a_time_shows_when_it_comes(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, when="2027-03-06 17:59:57") as (app, pilot, clock):
        assert not any(line.id == "feed@B1" for line in app.walk.round.lines)
        await pilot.pause(0.4)
        assert app.alarms is not None
        assert app.alarms.armed >= 2
        clock.pass_by(seconds=4)
        await pilot.pause(3.6)
        await settle(pilot)
        assert any(line.id == "feed@B1" for line in app.walk.round.lines)
        assert "Now: Feed at" in flat(app)


async def test_a_locked_store_keeps_the_entry_and_tries_again(tmp_path: Path) -> None:
    import sqlite3

    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        await pilot.press("5")
        await pilot.pause(1.4)
        await settle(pilot)
        assert "kept and tried again" in flat(app)
        other.execute("ROLLBACK")
        other.close()
        await pilot.pause(2.6)
        await settle(pilot)
        assert "done" in flat(app)
    assert marks_in(path) == [("check", "room", "done")]


async def test_a_vanished_store_is_told_and_not_made_again(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        path.rename(tmp_path / "elsewhere.db")
        await press(app, pilot, "5")
        assert "NOT marked" in flat(app)
        assert not path.exists()


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 45), (20, 5)])
async def test_every_size_shows_the_job_in_hand(tmp_path: Path, size: tuple[int, int]) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        await press(app, pilot, "2")
        lines = screen_text(app).split("\n")
        assert all(len(line) <= size[0] for line in lines)
        if size[1] >= 20:
            assert "Fill R1" in flat(app)
            assert "Sat 6 Mar" in lines[0]


async def test_fit_marks_what_is_left_and_what_that_costs(tmp_path: Path) -> None:
    from dataclasses import replace

    from tests.rooms import small_room

    sheets = small_room()
    sheets["setup"] = [replace(sheets["setup"][0], saturday_minutes=60)]
    path = new_store(tmp_path, sheets)
    async with opened(path, size=(140, 45)) as (app, pilot, _):
        await press(app, pilot, "plus")
        assert "jobs fit" in flat(app)
        assert "of window left" in flat(app)
        await press(app, pilot, "plus")
        assert "All of the walk" in flat(app)


async def test_a_shelf_is_marked_as_one_act(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "asterisk", "b", "1", "enter", "a")
        assert {line.id for line in app.walk.round.lines if line.said} >= {"look@B1", "look@B2"}
        await press(app, pilot, "0")
        assert not any(line.said for line in app.walk.round.lines)
    with Store.open(path) as store:
        assert [act.verb for act in search.acts(store)] == ["undo", "done"]


async def test_done_last_night_is_entered_in_the_morning(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, when="2027-03-08 07:30") as (app, pilot, _):
        await press(app, pilot, "asterisk", "b", "1", "enter", "2")
        while in_hand(app) != "change-alone@B1":
            await press(app, pilot, "2")
        await press(app, pilot, "b", "2", "5", "0", "0", "enter")
        assert "no day has a 2500" in flat(app)
        await press(app, pilot, "b", "2", "0", "0", "0", "enter")
    with Store.open(path) as store:
        mark = read.rows(store, SHEET["marks"])[0]
    assert (mark.job, mark.at, mark.day) == (
        "change-alone", at("2027-03-07 20:00"), date(2027, 3, 7),
    )  # fmt: skip


async def test_readings_and_notes_are_kept_and_odd_ones_asked(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "asterisk", "b", "1", "enter", "r", "5", "7", "7", "enter")
        assert "Type it once more to keep it" in flat(app)
        await press(app, pilot, "r", "1", "2", "5", "full_stop", "4", "enter")
        await press(app, pilot, "i", "f", "i", "n", "space", "t", "o", "r", "n", "enter")
        assert "fin torn" in flat(app)
        await press(app, pilot, "r", "5", "7", "7", "enter", "r", "5", "7", "7", "enter")
    with Store.open(path) as store:
        readings = [(r.what, r.value, r.unit) for r in read.rows(store, SHEET["readings"])]
        notes = [e.note for e in read.rows(store, SHEET["events"]) if e.event == "note"]
    assert readings == [("temperature", 25.4, "C"), ("ph", 77.0, "")]
    assert notes == ["fin torn"]


async def test_the_mouse_works_too(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await pilot.click("#racks", offset=(34, 2))
        assert in_hand(app) == "look@B1"
        await pilot.click("#lines", offset=(10, 0))
        assert in_hand(app) == "check@room"
