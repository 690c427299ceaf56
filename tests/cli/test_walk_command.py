"""`walk`: the morning as JSON and as text, what a short walk leaves, how numbers are known."""

import sqlite3
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.job import Hold
from tests.cli.conftest import SATURDAY, Ask
from tests.rooms import FIRST_DAY, small_room, store_with


def stop(document: Any, name: str) -> Any:
    return next(each for each in document["stops"] if each["id"] == name)


def test_the_morning_as_json(ask: Ask) -> None:
    said = ask("walk", "--json")
    walk = said.json
    assert (said.status, said.err) == (0, "")
    assert (walk["room"], walk["day"]) == ("Small room", "2027-03-06")
    assert walk["at"] == "2027-03-06T07:30:00+00:00"
    assert walk["stops"][0]["id"] == "check@room"
    assert walk["pumps"][0]["state"] == "running"
    assert [each["id"] for each in walk["later_today"]] == [
        "feed@A1", "feed@A2", "feed@B1", "feed@B2", "feed@Q1",
    ]  # fmt: skip
    assert walk["later_today"][0]["opens_at"] == "2027-03-06T18:00:00+00:00"


def test_quarantine_comes_last_and_washing_is_counted_there(ask: Ask) -> None:
    stops = ask("walk", "--json").json["stops"]
    tanks = [each["tank"] for each in stops if each["tank"]]
    assert tanks[-3:] == ["Q1"] * 3
    first_in_quarantine = next(each for each in stops if each["tank"] == "Q1")
    assert first_in_quarantine["class"] == "quarantine"
    assert first_in_quarantine["way_minutes"] == 2.0


def test_litres_and_drain_mark_stand_with_their_inputs(ask: Ask) -> None:
    """60 x 40 x 36 cm less 2 cm sand of porosity 0.40: 86.4 - 0.6 * 4.8 = 83.52 L; 30 % of it."""
    change = stop(ask("walk", "--json").json, "change-alone@B1")
    assert change["litres"] == pytest.approx(0.30 * 83.52, abs=0.001)
    assert change["litres_known"] == "computed"
    assert change["litres_from"]["body_litres"] == pytest.approx(83.52, abs=0.001)
    assert change["litres_from"]["fraction"] == 0.3
    assert change["drain_cm"] == pytest.approx(0.30 * 83.52 * 1000 / 2400, abs=0.01)
    assert change["drain_cm_known"] == "computed"
    assert change["drain_cm_from"] == {
        "fraction": 0.3, "litres": 83.52, "litres_known": "computed", "length_cm": 60.0,
        "width_cm": 40.0,
    }  # fmt: skip
    assert (change["minutes"], change["minutes_known"]) == (6.0, "as the job says")


def test_a_system_change_names_its_open_tanks(ask: Ask) -> None:
    change = stop(ask("walk", "--json").json, "change-s@S")
    assert change["litres"] == pytest.approx(0.20 * 6 * 86.4, abs=0.001)
    assert change["litres_from"]["tanks"] == ["A1", "A2", "A3", "A4", "A5", "A6"]
    assert [each["tank"] for each in change["drain_by_tank"]] == change["litres_from"]["tanks"]
    assert change["drain_by_tank"][0]["cm"] == pytest.approx(0.20 * 36, abs=0.01)


def test_the_text_with_why_tells_the_drain_marks_of_a_system(ask: Ask) -> None:
    assert "Lower by cm: A1 7.2, A2 7.2, A3 7.2," in ask("walk", "--why").flat


def test_a_step_back_tells_how_its_share_was_worked_out(say: Ask, tmp_path: Path) -> None:
    """Done Mon 1 Mar, every 14 days (-1/+1): due Mon 15 Mar, no Saturday in its window.

    One step back is Sat 13 Mar, r = 12/14 of the usual days; r f / (1 + (r - 1) f) with
    f = 0.30 gives 0.268657 (steady state of a repeated change).
    """
    sheets = small_room()
    job = next(job for job in sheets["jobs"] if job.code == "change-alone")
    sheets["jobs"] = [replace(job, rule="every 14 days", window="-1/+1", starts=FIRST_DAY)]
    sheets["between"] = []
    with store_with(tmp_path, sheets, "step.db") as made:
        room = ("-r", str(made.path))
    assert say(*room, "done", "change-alone@B1", "--at", "2027-03-01T08:00").status == 0
    walk = say(*room, "walk", "--all", "--json", "--at", "2027-03-13T08:00").json
    due = next(each for each in walk["not_yet_open"] if each["id"] == "change-alone@B1")
    assert due["step_back"] == {
        "day": "2027-03-13", "fraction": 0.268657, "fraction_known": "computed",
        "fraction_from": {"fraction": 0.3, "usual_days": 14, "days": 12},
    }  # fmt: skip


def test_reservoirs_say_what_is_usable_and_why(ask: Ask) -> None:
    vessel = ask("walk", "--json").json["reservoirs"][0]
    assert vessel["usable_litres"] == 900 - 30 - 50
    assert vessel["usable_litres_from"] == {
        "holds_litres": 900.0, "dead_litres": 30.0, "keep_back_litres": 50.0,
    }  # fmt: skip


def test_the_sum_of_the_stops_is_the_minutes_needed(ask: Ask) -> None:
    walk = ask("walk", "--json").json
    parts = ("minutes", "setup_minutes", "way_minutes")
    total = sum(each[part] for each in walk["stops"] for part in parts)
    assert walk["minutes_needed"] == pytest.approx(total)
    assert walk["minutes_there_are"] == 180.0
    assert walk["minutes_there_are_known"] == "the room's setting for saturday"


def test_recorded_minutes_stand_with_the_times_they_came_from(ask: Ask) -> None:
    for day, minutes in (("2027-03-03", "5"), ("2027-03-04", "9"), ("2027-03-05", "7")):
        assert ask("done", "check", "--minutes", minutes, "--at", f"{day}T07:30").status == 0
    check = stop(ask("walk", "--json").json, "check@room")
    assert (check["minutes"], check["minutes_known"]) == (7.0, "recorded")
    assert check["minutes_from"]["recorded_minutes"] == [7.0, 9.0, 5.0]


def test_a_short_walk_says_what_it_leaves_and_what_that_costs(ask: Ask) -> None:
    whole = ask("walk", "--json").json
    short = ask("walk", "--minutes", "70", "--json").json
    assert short["minutes_there_are_known"] == "as asked"
    kept = {each["id"] for each in short["stops"]}
    left = {each["id"] for each in short["left_out"]}
    assert kept | left == {each["id"] for each in whole["stops"]}
    assert not kept & left
    assert "change-s@S" in left
    assert all(each["cost"] for each in short["left_out"])
    assert all(not each["id"].startswith("look") for each in short["left_out"])
    text = ask("walk", "--minutes", "70").flat
    assert "Left out for want of time" in text
    assert "days of window left" in text


def test_must_do_jobs_that_are_over_the_time_are_said_to_be(ask: Ask) -> None:
    short = ask("walk", "--minutes", "5", "--json").json
    assert short["over_minutes"] == pytest.approx(short["must_minutes"] - 5)
    assert "over." in ask("walk", "--minutes", "5").out


def test_every_occurrence_stands_in_one_list_only(ask: Ask, store: Path) -> None:
    ask("put-off", "strip@B3")
    ask("hold", "B2", "change", "--reason", "spawning")
    walk = ask("walk", "--all", "--json").json
    lists = ("stops", "held", "put_off", "later_today", "open", "not_yet_open")
    names = [each["id"] for name in lists for each in walk[name]]
    assert len(names) == len(set(names))
    assert [each["id"] for each in walk["put_off"]] == ["strip@B3"]
    assert walk["put_off"][0]["put_off_to"] == "2027-03-07"
    held = {each["id"]: each for each in walk["held"]}
    assert held["change-alone@B2"]["reason"] == "spawning"
    assert held["change-alone@B2"]["until"] is None


def test_the_text_says_why(ask: Ask) -> None:
    ask("hold", "B2", "change", "--reason", "spawning", "--until", "2027-03-09")
    text = ask("walk").flat
    assert "every 7 days" in text
    assert "spawning, free from Wed 10 Mar" in text
    full = ask("walk", "--why").flat
    assert "never marked yet; due Sat 6 Mar, may be done Thu 4 Mar to Tue" in full


def test_the_text_lists_what_was_marked_when_all_is_asked_for(ask: Ask) -> None:
    ask("done", "check", "--who", "Ann")
    assert "Marked today: 1" in ask("walk").out
    assert "07:30 Heaters and air: done by Ann" in ask("walk", "--all").out


def test_nothing_due_is_said(ask: Ask, tmp_path: Path, say: Ask) -> None:
    sheets = {**small_room(), "jobs": [], "between": []}
    with store_with(tmp_path, sheets, "quiet.db") as quiet:
        path = quiet.path
    said = say("-r", str(path), "walk", "--at", SATURDAY)
    assert (said.status, "Nothing is due now." in said.out) == (0, True)


def test_a_stopped_pump_is_told_in_capitals(ask: Ask) -> None:
    ask("pump", "S", "off")
    assert "S PUMP OFF since Sat 6 Mar 07:30" in ask("walk").out


def test_a_hold_that_has_ended_holds_nothing(say: Ask, tmp_path: Path) -> None:
    sheets = small_room()
    sheets["holds"] = [
        Hold(code="h", target="B1", kinds="all", reason="x", since=date(2027, 3, 1),
             until=date(2027, 3, 5))
    ]  # fmt: skip
    with store_with(tmp_path, sheets, "held.db") as held:
        path = held.path
    assert say("-r", str(path), "walk", "--json", "--at", SATURDAY).json["held"] == []


def test_on_is_four_hours_into_the_room_day(ask: Ask) -> None:
    assert ask("walk", "--on", "2027-03-06", "--json").json["at"] == "2027-03-06T08:00:00+00:00"
    summer = ask("walk", "--on", "2027-03-28", "--json").json
    assert summer["at"] == "2027-03-28T08:00:00+01:00"


def test_at_with_an_offset_is_shown_in_the_room_s_zone(ask: Ask) -> None:
    said = ask("walk", "--json", "--at", "2027-07-01T07:30+05:00").json
    assert (said["at"], said["day"]) == ("2027-07-01T03:30:00+01:00", "2027-06-30")


def test_same_store_same_words_same_at_same_bytes(ask: Ask) -> None:
    for words in (("walk",), ("walk", "--json"), ("walk", "--all", "--why"), ("racks", "--json")):
        assert ask(*words).out == ask(*words).out


def test_reading_writes_nothing(ask: Ask, store: Path) -> None:
    before = dump(store)
    for words in (("walk",), ("tank", "A1"), ("racks",), ("jobs",), ("journal",), ("shared", "A1")):
        assert ask(*words).status == 0
    assert dump(store) == before


def dump(store: Path) -> list[str]:
    connection = sqlite3.connect(store)
    lines = list(connection.iterdump())
    connection.close()
    return lines


def test_today_by_the_plan_is_said_beside_the_walk(ask: Ask) -> None:
    planned = ask("walk", "--planned", "--json").json["planned"]
    first = ask("ahead", "--days", "14", "--json").json["days"][0]
    assert planned["jobs"] == [job["id"] for job in first["jobs"]]
    assert planned["minutes"] == first["minutes"]
    assert planned["overdue"] == first["overdue"]
    could = {job["id"] for job in first["could_be_pulled_forward"]}
    assert {job["id"] for job in planned["could_be_pulled_forward"]} <= could
    assert "planned" not in ask("walk", "--json").json
    text = ask("walk", "--planned").out
    assert f"Planned for today: {len(first['jobs'])} jobs" in text


def test_before_the_day_begins_the_head_names_the_clocks_own_date(ask: Ask) -> None:
    told = ask("walk", "--at", "2027-03-07T02:30").out.splitlines()[0]
    assert told.endswith("Sat 6 Mar 2027 (Sun 7 Mar 02:30)")
    assert ask("walk").out.splitlines()[0].endswith("Sat 6 Mar 2027 07:30")
