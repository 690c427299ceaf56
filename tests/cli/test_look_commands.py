"""Looking things up: tank pages, racks, jobs, the journal, and who shared whose water."""

import pytest

from tests.cli.conftest import Ask


def test_a_tank_page_as_json(ask: Ask) -> None:
    ask("read", "B1", "nitrate", "20", "mg/L", "--at", "2027-03-04T08:00")
    page = ask("tank", "B1", "--json").json
    assert (page["tank"], page["class"], page["count"]) == ("B1", "clean", 6)
    assert (page["litres"], page["litres_known"]) == (83.52, "computed")
    assert page["groups"][0]["males_known"] == "likely"
    assert [item["filter"] for item in page["filters"]] == ["B1-1", "B1-2"]
    assert page["drain_marks"] == [{"fraction": 0.3, "drain_cm": 10.44, "known": "computed"}]
    assert {job["id"] for job in page["jobs"]} >= {"look@B1", "change-alone@B1", "squeeze-1@B1-1"}
    reading = page["readings"][0]
    assert (reading["value"], reading["unit"], reading["age_days"]) == (20.0, "mg/L", 2)


def test_a_measured_volume_stands_beside_that_of_the_sizes(say: Ask) -> None:
    """Geometry: 98.8 x 43.8 x 36 cm = 155.788 L, less 1.5 L of gear; 152 L by the clock."""
    page = say("tank", "L12", "--demo", "--json").json
    assert (page["litres"], page["litres_known"]) == (152.0, "measured")
    assert page["computed_litres"] == 154.288
    assert "by its sizes 154.3 L, not used" in say("tank", "L12", "--demo").flat
    # the change of its system drains 25 %: 38 L of 98.8 x 43.8 cm are 8.78 cm
    assert page["drain_marks"] == [{"fraction": 0.25, "drain_cm": 8.78, "known": "computed"}]
    assert "not used" not in say("tank", "L11", "--demo").flat


def test_a_tank_page_as_text(ask: Ask) -> None:
    ask("done", "look@Q1", "--note", "eating")
    text = ask("tank", "Q1").flat
    assert "Q1 quarantine quarantine" in text
    assert "quarantine day 14 of 42" in text
    assert "8 brevis [new-1], adult, since Sat 20 Feb 2027" in text
    assert "Look over at Q1: done by Maeve: eating" in text
    assert "arrival of 8" in text


def test_a_tank_on_a_system_says_whose_water_it_shares(ask: Ask) -> None:
    assert "shares the water of S since Tue 1 Sep 2026" in ask("tank", "A1").flat
    ask("valve", "A1", "shut")
    assert "valve shut, cut off from S since Sat 6 Mar 2027" in ask("tank", "A1").flat
    assert ask("tank", "A1", "--json").json["cut_off_from"] == "S"


def test_there_is_no_such_tank(ask: Ask) -> None:
    said = ask("tank", "Z9")
    assert (said.status, said.err) == (
        2, "roomtasks: Z9: there is no such tank; 'roomtasks racks' shows them\n",
    )  # fmt: skip


def test_racks_stand_in_the_keeper_s_order(ask: Ask) -> None:
    racks = ask("racks", "--json").json["racks"]
    assert [rack["rack"] for rack in racks] == ["A", "B"]
    assert [tank["tank"] for tank in racks[0]["tanks"]] == ["A1", "A2", "A3", "A4", "A5", "A6"]
    assert racks[0]["tanks"][4]["class"] == "under watch"
    text = ask("racks").out
    assert "Rack A  By the door" in text
    assert "System S Long side: 713 L with its sump and pipes" in text


def test_jobs_are_listed_and_found(ask: Ask) -> None:
    every = ask("jobs", "--json").json["jobs"]
    assert len(every) == 13
    found = ask("jobs", "--find", "SPONGE", "--json").json["jobs"]
    assert [job["job"] for job in found] == ["squeeze-1", "squeeze-2"]
    assert found[0]["targets"] == ["B1-1", "B2-1", "B3-1"]
    assert "There is no such job." in ask("jobs", "--find", "zz").out


def test_the_journal_newest_first_found_by_text_day_and_doer(ask: Ask) -> None:
    ask("done", "check", "--at", "2027-03-05T07:30")
    ask("done", "look@A1", "--who", "Ann")
    ask("undo")
    lines = ask("journal", "--json").json["acts"]
    assert [line["act"] for line in lines] == [3, 2, 1]
    assert (lines[0]["undoes"], lines[1]["undone_by"]) == (2, 3)
    by_day = ask("journal", "--day", "2027-03-05", "--json").json["acts"]
    assert [line["act"] for line in by_day] == [1]
    assert [line["act"] for line in ask("journal", "--find", "Ann", "--json").json["acts"]] == [2]
    assert [line["act"] for line in ask("journal", "--most", "1", "--json").json["acts"]] == [3]
    assert "(taken back by act 3)" in ask("journal").flat
    assert "no such line" in ask("journal", "--find", "%").out


def test_shared_water_follows_the_valves(ask: Ask) -> None:
    now = ask("shared", "A1", "--json").json
    assert now["systems"] == ["S"]
    assert [each["tank"] for each in now["tanks"]] == ["A2", "A3", "A4", "A5", "A6"]
    ask("valve", "A1", "shut", "--at", "2027-03-05T12:00")
    assert ask("shared", "A1", "--json").json["tanks"] == []
    earlier = ask("shared", "A1", "--from", "2027-03-01", "--to", "2027-03-05", "--json").json
    assert [each["tank"] for each in earlier["tanks"]] == ["A2", "A3", "A4", "A5", "A6"]
    assert "A1 shared its water with no tank, Sat 6 Mar 2027." in ask("shared", "A1").flat


def test_a_tank_shut_at_noon_shared_water_with_one_opened_after(ask: Ask) -> None:
    """Water that stood in the sump links them, though the valves were never open at once."""
    ask("valve", "A2", "shut", "--at", "2027-03-01T10:00")
    ask("valve", "A1", "shut", "--at", "2027-03-05T12:00")
    ask("valve", "A2", "open", "--at", "2027-03-05T14:00")
    found = ask("shared", "A1", "--to", "2027-03-05", "--json").json
    assert "A2" in [each["tank"] for each in found["tanks"]]


def test_a_span_that_runs_backwards(ask: Ask) -> None:
    said = ask("shared", "A1", "--from", "2027-03-05", "--to", "2027-03-01")
    assert (said.status, "give the earlier day first" in said.err) == (2, True)


@pytest.mark.parametrize("words", [("tank",), ("shared", "A1", "--from", "yesterday")])
def test_bad_words(ask: Ask, words: tuple[str, ...]) -> None:
    assert ask(*words).status == 2


@pytest.mark.parametrize("words", [("shared", "Z9"), ("journal", "--most", "0")])
def test_what_is_not_there(ask: Ask, words: tuple[str, ...]) -> None:
    assert ask(*words).status == 2
