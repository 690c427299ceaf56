"""Marking: what each command writes, says and refuses, and how it is taken back."""

from dataclasses import replace
from pathlib import Path

import pytest

from roomtasks.room.job import Between
from tests.cli.conftest import SATURDAY, Ask
from tests.rooms import FIRST_DAY, small_room, store_with


def test_done_says_what_it_changed_and_the_next_day(ask: Ask) -> None:
    said = ask("done", "change-alone@B1")
    assert (said.status, said.err) == (0, "")
    assert said.flat == ("Act 1: Change at B1: done, 25.1 L Change at B1: next due Sat 13 Mar 2027")


def test_done_as_json(ask: Ask) -> None:
    document = ask("done", "change-alone@B1", "look@B1", "--json").json
    assert (document["changed"], document["act"]) == (True, 1)
    assert [made["id"] for made in document["marks"]] == ["change-alone@B1", "look@B1"]
    assert document["marks"][0]["litres"] == pytest.approx(25.056)
    assert document["marks"][0]["who"] == "Maeve"
    assert document["next_due"] == {"change-alone@B1": "2027-03-13", "look@B1": "2027-03-07"}


def test_a_job_with_one_place_needs_no_place(ask: Ask) -> None:
    assert ask("done", "check", "--json").json["marks"][0]["id"] == "check@room"


def test_done_twice_changes_nothing_and_says_who_and_when(ask: Ask) -> None:
    ask("done", "check", "--who", "Ann", "--at", "2027-03-06T08:30")
    said = ask("done", "check", "--at", "2027-03-06T09:00")
    assert said.status == 0
    assert said.flat == "Heaters and air: done at 08:30 by Ann already, nothing changed"
    document = ask("done", "check", "--json", "--at", "2027-03-06T09:00").json
    assert (document["changed"], document["act"]) == (False, None)
    assert len(ask("journal", "--json").json["acts"]) == 1


def test_who_is_the_only_keeper_or_as_told_or_by_code(ask: Ask) -> None:
    def who(*words: str) -> str:
        return str(ask("done", *words, "--json").json["marks"][0]["who"])

    assert who("look@A1") == "Maeve"
    assert who("look@A2", "--who", "Ann") == "Ann"
    assert who("look@B1", "--who", "tb") == "Tom"


def test_partly_leaves_the_rest_by_the_dilution_sum(ask: Ask) -> None:
    """15 % done of 30 % wanted leaves 1 - 0.70 / 0.85 = 17.647 % (mass balance)."""
    said = ask("partly", "change-alone@B1", "15%")
    assert "partly done (15 %)" in said.flat
    assert "17.6 % still owed" in said.flat
    stops = ask("walk", "--json").json["stops"]
    left = next(each for each in stops if each["id"] == "change-alone@B1")
    assert left["owed_fraction"] == pytest.approx(1 - 0.70 / 0.85, abs=1e-6)
    assert left["owed_fraction_known"] == "computed"
    assert left["litres"] == pytest.approx((1 - 0.70 / 0.85) * 83.52, abs=0.001)


@pytest.mark.parametrize("amount", ["15%", "0.15", "15 %"])
def test_a_share_may_be_written_either_way(ask: Ask, amount: str) -> None:
    document = ask("partly", "change-alone@B1", amount, "--json").json
    assert document["marks"][0]["fraction"] == pytest.approx(0.15)
    assert document["owed"]["change-alone@B1"]["owed_fraction"] == pytest.approx(0.176471)


def test_litres_make_a_share(ask: Ask) -> None:
    mark = ask("partly", "change-alone@B1", "8L", "--json").json["marks"][0]
    assert mark["litres"] == 8.0
    assert mark["fraction"] == pytest.approx(8 / 83.52, abs=1e-6)


def test_a_part_that_is_all_is_done(ask: Ask) -> None:
    mark = ask("partly", "change-alone@B1", "30%", "--json").json["marks"][0]
    assert mark["outcome"] == "done"


def test_put_off_is_to_tomorrow_unless_said(ask: Ask) -> None:
    document = ask("put-off", "strip@B3", "service", "--json").json
    assert {made["until"] for made in document["marks"]} == {"2027-03-07"}
    later = ask("put-off", "change-s", "--to", "2027-03-08", "--json").json
    assert later["marks"][0]["until"] == "2027-03-08"
    assert later["next_due"] == {"change-s@S": "2027-03-08"}


def test_put_off_past_the_window_is_remarked(ask: Ask) -> None:
    said = ask("put-off", "change-s", "--to", "2027-03-12")
    assert said.status == 0
    assert "Fri 12 Mar is past its window" in said.err


def test_put_off_to_a_day_gone_by_is_bad_input(ask: Ask) -> None:
    said = ask("put-off", "change-s", "--to", "2027-03-05")
    assert (said.status, said.out) == (2, "")
    assert "it can only be put off to a day ahead" in said.err


def test_leave_out_needs_a_reason(ask: Ask) -> None:
    said = ask("leave-out", "squeeze-1@B1-1")
    assert said.status == 2
    assert "--reason" in said.err
    document = ask("leave-out", "squeeze-1@B1-1", "--reason", "not needed", "--json").json
    assert (document["marks"][0]["outcome"], document["marks"][0]["reason"]) == (
        "left-out", "not needed",
    )  # fmt: skip
    assert document["next_due"] == {"squeeze-1@B1-1": "2027-03-29"}


def test_cannot_holds_each_job_and_adds_one_to_see_to_it(ask: Ask) -> None:
    said = ask("cannot", "fill-r1", "strip@B3", "--reason", "no water", "--json")
    assert said.json["next_due"] == {"fill-r1@R1": None, "strip@B3": None}
    walk = ask("walk", "--all", "--json").json
    held = {each["id"]: each["reason"] for each in walk["held"]}
    assert held == {"fill-r1@R1": "no water", "strip@B3": "no water"}
    follow_up = [job for job in ask("jobs", "--json").json["jobs"] if job["kind"] == "other"]
    assert len(follow_up) == 2
    codes = [remark.split("roomtasks lift ")[1].split("'")[0] for remark in said.json["remarks"]]
    assert len(set(codes)) == 2
    assert ask("lift", codes[0]).status == 0
    left = {each["id"] for each in ask("walk", "--json").json["held"]}
    assert left == {"strip@B3"}


def test_back_entry_counts_from_the_time_told(ask: Ask) -> None:
    early = ask("done", "check", "--when", "06:10", "--json").json["marks"][0]
    assert early["at"] == "2027-03-06T06:10:00+00:00"
    before = ask("done", "look@A1", "--when", "20:00", "--json").json["marks"][0]
    assert (before["at"], before["day"]) == ("2027-03-05T20:00:00+00:00", "2027-03-05")
    told = ask("done", "look@A2", "--when", "yesterday 20:15", "--json").json["marks"][0]
    assert told["at"] == "2027-03-05T20:15:00+00:00"
    night = ask("done", "look@B1", "--when", "last night 21:00", "--json").json["marks"][0]
    assert night["at"] == "2027-03-05T21:00:00+00:00"
    exact = ask("done", "look@B2", "--when", "2027-03-04T20:00", "--json").json["marks"][0]
    assert exact["day"] == "2027-03-04"


def test_yesterday_after_midnight_is_the_room_day_before(ask: Ask) -> None:
    """At 01:00 the room day of the 5th still runs, so yesterday is the 4th."""
    words = ("--when", "yesterday 20:00", "--at", "2027-03-06T01:00", "--json")
    mark = ask("done", "check", *words).json["marks"][0]
    assert (mark["at"], mark["day"]) == ("2027-03-04T20:00:00+00:00", "2027-03-04")


def test_minutes_note_and_litres_are_kept(ask: Ask) -> None:
    words = ("--minutes", "7.5", "--note", "cloudy", "--litres", "30", "--share", "35%")
    mark = ask("done", "change-alone@B1", *words, "--json").json["marks"][0]
    kept = mark["minutes"], mark["note"], mark["litres"], mark["fraction"]
    assert kept == (7.5, "cloudy", 30.0, 0.35)


REFUSALS = [
    ("held", ("done", "look@B2"), (("hold", "B2", "all", "--reason", "spawning"),)),
    ("not-yet-open", ("done", "squeeze-2@B1-2"), ()),
    ("hands", ("done", "look@A1"), (("done", "look@Q1"),)),
    ("not-in-the-future", ("done", "look@A1", "--when", "2027-03-06T07:31"), ()),
]


@pytest.mark.parametrize(("rule", "words", "before"), REFUSALS, ids=[row[0] for row in REFUSALS])
def test_refusals_name_their_rule_and_change_nothing(
    ask: Ask, rule: str, words: tuple[str, ...], before: tuple[tuple[str, ...], ...]
) -> None:
    for earlier in before:
        assert ask(*earlier).status == 0
    acts = len(ask("journal", "--json").json["acts"])
    said = ask(*words)
    assert (said.status, said.out) == (1, "")
    assert f"[{rule}]" in said.err
    refused = ask(*words, "--json")
    assert (refused.status, refused.json["problem"]["rule"]) == (1, rule)
    assert len(ask("journal", "--json").json["acts"]) == acts


def test_a_job_waits_for_the_one_it_follows(say: Ask, tmp_path: Path) -> None:
    sheets = small_room()
    sheets["between"] = [
        Between(code="a", first="job change-alone", relation="before", second="job strip")
    ]
    sheets["jobs"] = [
        replace(job, where="tank B1", rule="every 7 days", starts=FIRST_DAY)
        if job.code == "strip"
        else job
        for job in sheets["jobs"]
    ]
    with store_with(tmp_path, sheets, "after.db") as made:
        where = ("-r", str(made.path), "--at", SATURDAY)
    said = say(*where, "done", "strip")
    assert (said.status, "[after]" in said.err) == (1, True)
    assert "change-alone@B1" in said.err
    assert say(*where, "done", "change-alone@B1").status == 0
    assert say(*where, "done", "strip").status == 0


@pytest.mark.parametrize(
    ("before", "words"),
    [
        (("hold", "B2", "all", "--reason", "spawning"), ("done", "look@B2", "--anyway")),
        (("journal",), ("done", "squeeze-2@B1-2", "--anyway")),
        (("done", "look@Q1"), ("done", "look@A1", "--hands-clean")),
        (("done", "look@Q1"), ("done", "look@A1", "--anyway")),
    ],
)
def test_what_a_refusal_offers_works(
    ask: Ask, before: tuple[str, ...], words: tuple[str, ...]
) -> None:
    ask(*before)
    assert ask(*words).status == 0


def test_hands_are_asked_once_and_the_answer_kept(ask: Ask) -> None:
    ask("done", "look@Q1")
    assert ask("done", "look@A1", "--hands-clean").status == 0
    assert ask("done", "look@A2").status == 0


def test_names_that_are_none(ask: Ask) -> None:
    near = ask("done", "loook@A1")
    assert (near.status, "did you mean look" in near.err) == (2, True)
    nowhere = ask("done", "look@Z9")
    assert (nowhere.status, "no place" in nowhere.err) == (2, True)
    many = ask("done", "look")
    assert (many.status, "say which, as look@PLACE" in many.err) == (2, True)


def test_all_or_none(ask: Ask) -> None:
    said = ask("done", "look@A1", "squeeze-2@B1-2")
    assert said.status == 1
    assert ask("journal", "--json").json["acts"] == []


def test_undo_takes_the_newest_act_back(ask: Ask) -> None:
    before = ask("walk", "--json").json
    ask("done", "change-alone@B1")
    said = ask("undo")
    assert said.status == 0
    assert said.flat == "Act 2: taken back: Change at B1: done, 25.1 L"
    assert ask("walk", "--json").json == before


def test_undo_of_an_act_by_number_and_twice(ask: Ask) -> None:
    ask("done", "check")
    ask("done", "look@A1")
    document = ask("undo", "1", "--json").json
    assert (document["act"], document["took_back"]["act"]) == (3, 1)
    again = ask("undo", "1")
    assert (again.status, "[undo]" in again.err) == (1, True)
    assert "taken back already, by act 3" in again.err


def test_undo_is_refused_where_something_leans_on_it(ask: Ask) -> None:
    ask("move", "young-calvus", "18", "A3")
    ask("move", "young-calvus", "18", "A4")
    said = ask("undo", "1")
    assert (said.status, "[undo]" in said.err) == (1, True)


def test_undo_with_nothing_to_take_back(ask: Ask) -> None:
    said = ask("undo")
    assert (said.status, "nothing to take back" in said.err) == (1, True)


@pytest.mark.parametrize(
    "words",
    [
        ("partly", "change-alone@B1", "0"),
        ("partly", "change-alone@B1", "150%"),
        ("partly", "change-alone@B1", "lots"),
        ("partly", "change-alone@B1", "0L"),
        ("done", "check", "--minutes", "NaN"),
        ("done", "check", "--minutes", "1,5"),
        ("done", "check", "--minutes", "１２"),
        ("done", "check", "--minutes", "1e308"),
        ("done", "check", "--minutes", "inf"),
        ("done", "check", "--minutes", ""),
        ("done", "check", "--minutes", "-1"),
        ("done", "check", "--when", "25:00"),
        ("done", "check", "--when", "tomorrow"),
        ("done", "check", "--when", "1900-01-01T00:00"),
        ("done", "check", "--note", "half \ud800 sign"),
        ("done", "check", "--share", "130%"),
        ("put-off", "check", "--to", "2027-02-30"),
        ("done", ""),
        ("done", "look@A1\x1b[2J"),
        ("done",),
        ("undo", "0"),
        ("undo", "one"),
    ],
)
def test_bad_words_end_with_2_and_say_what_would_do(ask: Ask, words: tuple[str, ...]) -> None:
    said = ask(*words)
    assert (said.status, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert "\x1b" not in said.err
    assert ask("journal", "--json").json["acts"] == []
