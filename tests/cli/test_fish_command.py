"""`fish` and the acts on lots kept apart by command, on the small room.

Its lot of 20 February 2027 is worked here, an invented room.
"""

from pathlib import Path

import pytest

from roomtasks.cli.page import cells
from roomtasks.cli.reference import RULES
from roomtasks.cli.stay import read_step
from roomtasks.room.course import CourseStep
from roomtasks.room.problem import Problem
from tests.cli.conftest import Ask, Said
from tests.rooms import small_room, store_with

MORNING = "2027-03-06T07:30"


@pytest.fixture
def ask(say: Ask, tmp_path: Path) -> Ask:
    store_with(tmp_path, small_room(), "fish.sqlite").close()

    def call(*words: str) -> Said:
        when = () if "--at" in words else ("--at", MORNING)
        return say("--room", str(tmp_path / "fish.sqlite"), "--who", "mk", *when, *words)

    return call


def test_a_stay_is_shown_with_its_day_and_what_sets_it(ask: Ask) -> None:
    (stay,) = ask("fish", "--json").json["stays"]
    assert (stay["stay"], stay["tank"], stay["count"]) == ("stay-1", "Q1", 8)
    assert (stay["day"], stay["days"], stay["release_on"]) == (14, 42, "2027-04-03")
    assert stay["set_by"]["cause"] == "arrival"
    assert stay["unlooked_days"][0] == "2027-02-21"
    assert len(stay["unlooked_days"]) == 13
    assert [line["number"] for line in stay["release"]] == list(range(1, 13))


def test_a_watch_is_shown_with_the_day_its_clear_days_are_over(ask: Ask) -> None:
    """Under watch since 1 February, and nobody has looked at it since: all 28 are owed."""
    (row,) = ask("fish", "--json").json["watches"]
    assert (row["tank"], row["state"], row["since"]) == ("A5", "watch", "2027-02-01")
    assert row["clear_on"] == "2027-04-02"
    assert len(row["unlooked_days"]) == 32
    assert row["next_act"] == "look daily until Fri 2 Apr"


def test_the_text_can_be_read_at_60_columns(ask: Ask) -> None:
    assert ask("looked", "Q1", "sign", "--note", "white spots on two of them").status == 0
    late = ask("--at", "2027-06-01T08:00", "fish", "--to", "A1")
    assert late.status == 0
    assert max(cells(line) for line in late.out.splitlines()) <= 60
    assert "white spots" in late.flat
    today = ask("fish").flat
    assert "Q1 day 14 of 42 stay-1" in today
    assert "next: look daily until Sat 3 Apr" in today


def test_the_short_text_has_what_is_next_and_the_whole_has_every_date(ask: Ask) -> None:
    short, whole = ask("fish"), ask("fish", "--all")
    assert len(short.out.splitlines()) < len(whole.out.splitlines())
    assert "nobody looked on 13 days, the last Fri 5 Mar" in short.flat
    assert "A5 under watch since Mon 1 Feb" in short.flat
    assert "nobody looked on 13 days: " in whole.flat
    assert ask("fish", "--json").out == ask("fish", "--all", "--json").out


def test_the_open_lines_are_shown_for_a_destination_that_is_asked_for(ask: Ask) -> None:
    text = ask("fish", "--to", "A1").flat
    assert "of 12 lines of its release hold" in text
    assert "-- 7 destination: A1: " in text
    assert "ok 4 doses" not in text
    assert "lines of its release" not in ask("fish").flat


def test_done_looks_count_as_looked(ask: Ask) -> None:
    assert ask("--at", "2027-03-05T08:00", "done", "look@Q1").status == 0
    (stay,) = ask("fish", "--json").json["stays"]
    assert "2027-03-05" not in stay["unlooked_days"]


def test_more_fish_are_asked_about_and_start_all_anew(ask: Ask) -> None:
    asked = ask("arrive", "new-2", "2", "Q1", "--line", "brevis", "--json")
    assert asked.status == 1
    assert asked.json["problem"]["rule"] == "ask"
    assert ask("arrive", "new-2", "2", "Q1", "--line", "brevis", "--anyway").status == 0
    (stay,) = ask("fish", "--json").json["stays"]
    assert (stay["day"], stay["release_on"], stay["count"]) == (0, "2027-04-17", 10)
    assert ask("undo").status == 0
    (again,) = ask("fish", "--json").json["stays"]
    assert (again["day"], again["release_on"]) == (14, "2027-04-03")


def test_a_course_is_kept_begun_and_shown(ask: Ask) -> None:
    kept = ask(
        "keep-course", "dips", "Three days", "--product", "remedy", "--amount", "5", "--unit",
        "ml", "--per-litres", "100", "--step", "0 dose", "--step", "2 dose 50%", "--step",
        "2 change 25%",
    )  # fmt: skip
    assert kept.status == 0, kept.err
    begun = ask("course", "start", "Q1", "dips")
    assert begun.status == 0, begun.err
    assert "no veterinary advice" in begun.flat
    (course,) = ask("fish", "--json").json["courses"]
    litres = 86.4  # 60 x 40 x 36 cm
    assert course["day"] == 0
    assert course["today"]["dose"]["amount"] == pytest.approx(0.05 * litres)
    third = ask("--at", "2027-03-08T08:00", "fish", "--json").json["courses"][0]
    assert third["today"]["words"] == ["change 25 %", "2.16 ml of remedy"]
    assert third["today"]["dose"]["why"].startswith("after the change")
    (stay,) = ask("fish", "--json").json["stays"]
    assert stay["under_medicine"]
    missed = ask("--at", "2027-03-10T08:00", "fish", "--json").json["courses"][0]
    assert missed["missed_doses"] == ["2027-03-08"]
    assert "starts again at its first day" in ask("--at", "2027-03-10T08:00", "fish").flat


@pytest.mark.parametrize(
    ("words", "status", "rule"),
    [
        (("release", "stay-1", "A1"), 1, "not-released"),
        (("release", "nothing", "A1"), 2, None),
        (("confirm", "stay-1", "dates"), 1, "known-line"),
        (("arrive", "new-2", "2", "A4", "--line", "brevis"), 1, "shared-water"),
        (("arrive", "new-2", "0", "Q1", "--line", "brevis"), 2, None),
        (
            ("arrive", "new-2", "2", "Q1", "--line", "brevis", "--came", "2027-03-09"),
            1,
            "not-in-the-future",
        ),
        (("put-in", "new-2", "2", "Q1", "--line", "brevis"), 1, "two-lots"),
        (("move", "new-1", "2", "B3", "--anyway"), 1, "part-of-a-lot"),
        (("out", "new-1", "8", "sold"), 1, "not-released"),
        (("keep-course", "x", "X", "--amount", "5", "--product", "r", "--step", "0 dose"), 2, None),
        (("keep-course", "x", "X", "--step", "0 sing"), 2, None),
        (("course", "start", "Q1", "none"), 2, None),
        (("course", "dose", "Q1"), 2, None),
        (("looked", "Q1", "fine", "--explained", "jumped"), 2, None),
    ],
)
def test_what_is_refused_changes_nothing(
    ask: Ask, words: tuple[str, ...], status: int, rule: str | None
) -> None:
    before = ask("fish", "--json").out
    answer = ask(*words, "--json")
    assert answer.status == status, answer.out + answer.err
    assert answer.json["problem"]["rule"] == rule
    assert rule is None or rule in {name for name, _, _ in RULES}
    assert answer.json["problem"]["what"]
    assert ask("fish", "--json").out == before


@pytest.mark.parametrize(
    ("given", "step"),
    [
        ("0 dose", CourseStep(course="c", day=0, action="dose")),
        ("3 change 25%", CourseStep(course="c", day=3, action="change", share=0.25)),
        ("1 dose 0.5", CourseStep(course="c", day=1, action="dose", share=0.5)),
        ("0 heat 28C", CourseStep(course="c", day=0, action="heat", celsius=28.0)),
    ],
)
def test_steps_are_read(given: str, step: CourseStep) -> None:
    assert read_step("c", given) == step


@pytest.mark.parametrize(
    "given", ["dose", "0 sing", "401 dose", "0 change 150%", "0 dose 0%", "0 heat 90C", "0 heat 2",
              "0 dose 28C", "٣ dose"],
)  # fmt: skip
def test_steps_that_cannot_be_are_refused(given: str) -> None:
    assert isinstance(read_step("c", given), Problem)
