"""`back` and `catch-up`: what was missed on days away, and the way back."""

from datetime import date
from typing import Any

import pytest

from tests.cli.conftest import Ask

GONE = ("2027-03-08", "2027-03-26")
BACK = ("--at", "2027-03-27T08:00")


@pytest.fixture
def gone(ask: Ask) -> Ask:
    """The small room after nineteen days away on which Tom looked on the first."""
    assert ask("keep-away", *GONE, "--stand-in", "Tom").status == 0
    tom = ("--who", "tb", "--hands-clean", "--at", "2027-03-08T09:00")
    assert ask("done", "look@B1", "check@room", *tom).status == 0
    return ask


def test_each_missed_occurrence_is_named_with_its_days_late(gone: Ask) -> None:
    """change-alone at B1 was due first on 6 March, every 7 days, three days late at most."""
    found = gone("back", *BACK, "--json").json
    assert (found["from"], found["to"], found["stand_in"]) == (*GONE, "tb")
    mine = [one for one in found["missed"] if one["id"] == "change-alone@B1"]
    assert [one["fell_due"] for one in mine] == ["2027-03-06", "2027-03-13", "2027-03-20"]
    assert [one["lapsed"] for one in mine] == [True, True, False]
    for one in mine:
        late = (date(2027, 3, 27) - date.fromisoformat(one["closes"])).days
        assert one["days_late"] == late > 0
    looks = [one for one in found["missed"] if one["id"] == "look@B1"]
    assert len(looks) == 18  # nineteen days, the first of them ticked
    assert {one["id"] for one in found["ticked"]} == {"look@B1", "check@room"}
    assert {one["who"] for one in found["ticked"]} == {"Tom"}


def test_all_that_is_late_has_a_day_to_come(gone: Ask) -> None:
    found = gone("back", *BACK, "--json").json
    open_now = {one["id"] for one in found["missed"] if not one["lapsed"]}
    assert {job["id"] for job in found["overdue"]} | set(found["later"]) == open_now
    assert set(found["later"]) == {"squeeze-2@B1-2", "squeeze-2@B2-2", "squeeze-2@B3-2"}
    assert all(job["day"] >= "2027-03-27" for job in found["overdue"])
    assert found["plan"]["days_count"] == 14


def test_a_missed_change_is_never_made_up_for_by_its_sum(gone: Ask) -> None:
    """30 % missed twice besides the open one: 56 % in one go, so twice 33.9 %, worked by hand."""
    found = gone("back", *BACK, "--json").json
    change = next(one for one in found["changes"] if one["id"] == "change-alone@B1")
    missed = change["missed"]
    one_go = (missed + 1) * 0.3 / (1 + missed * 0.3)
    assert change["one_fraction"] == pytest.approx(one_go, abs=1e-5)
    assert change["changes"] == 2
    assert change["each_fraction"] == pytest.approx(1 - (1 - one_go) ** 0.5, abs=1e-5)
    parts = [part for part in found["parts"] if part["id"].endswith("@B1")]
    assert [part["id"] for part in parts] == ["change-alone.B1.p2@B1"]
    first = next(job for job in found["overdue"] if job["id"] == "change-alone@B1")["day"]
    assert parts[0]["day"] > first
    assert change["each_litres"] == pytest.approx(
        change["each_fraction"] * _tank_litres(gone, "B1"), abs=0.01
    )


def test_a_reading_taken_since_beats_the_count_of_missed_ones(gone: Ask) -> None:
    """30 before, 21 after a usual change; 40 read now: (40 - 21) / 40 of it, 47.5 %."""
    assert gone("read", "B1", "nitrate", "30", "mg/L", "--at", "2027-03-07T08:00").status == 0
    assert gone("read", "B1", "nitrate", "40", "mg/L", "--anyway", "--at",
                "2027-03-27T07:30").status == 0  # fmt: skip
    found = gone("back", *BACK, "--json").json
    change = next(one for one in found["changes"] if one["id"] == "change-alone@B1")
    assert change["by"] == "reading"
    assert change["one_fraction"] == pytest.approx(19 / 40, abs=1e-5)
    assert not any("nitrate of B1" in step["text"] for step in found["first"])


def test_look_count_and_read_come_before_the_work(gone: Ask) -> None:
    found = gone("back", *BACK, "--json").json
    sorts = [step["sort"] for step in found["first"]]
    assert sorts == sorted(sorts, key=["look", "count", "read"].index)
    assert {"look", "count", "read"} <= set(sorts)
    assert any("B1 6" in step["text"] for step in found["first"] if step["sort"] == "count")


def test_a_death_while_away_is_counted_first(gone: Ask) -> None:
    assert gone("out", "calvus", "1", "died", "--at", "2027-03-10T09:00").status == 0
    found = gone("back", *BACK, "--json").json
    counts = [step for step in found["first"] if step["sort"] == "count"]
    assert "1 died on Wed 10 Mar" in counts[0]["text"]
    assert any(one["event"] == "died" for one in found["noted"])


def test_the_page_keeps_to_60_columns(gone: Ask) -> None:
    said = gone("back", *BACK)
    assert said.status == 0
    assert all(len(line) <= 60 for line in said.out.splitlines())
    for head in ("First", "Missed", "Done meanwhile", "Changes that were missed", "Catching up"):
        assert f"\n{head}\n" in said.out
    assert "Mon 8 Mar, Tom: Look over, Heaters and air" in said.flat


def test_the_plan_is_kept_in_one_act_and_taken_back(gone: Ask) -> None:
    before = gone("back", *BACK, "--json").json
    walk = _walk(gone)
    said = gone("catch-up", *BACK)
    assert (said.status, "put off to their days" in said.flat) == (0, True)
    today = {job["id"] for job in before["overdue"] if job["day"] == "2027-03-27"}
    later = {job["id"] for job in before["overdue"]} - today | set(before["later"])
    assert not later & _walk(gone)
    assert today <= _walk(gone)
    assert _part_there(gone)
    again = gone("catch-up", *BACK)
    assert (again.status, "[no-change]" in again.err) == (1, True)
    assert gone("undo", *BACK).status == 0
    assert _walk(gone) == walk
    assert not _part_there(gone)


def test_each_job_comes_back_to_the_walk_on_its_day(gone: Ask) -> None:
    found = gone("back", *BACK, "--json").json
    assert gone("catch-up", *BACK).status == 0
    for day in sorted({job["day"] for job in found["overdue"]}):
        due = {job["id"] for job in found["overdue"] if job["day"] <= day}
        assert due <= _walk(gone, f"{day}T20:00")


def test_on_the_last_day_away_the_work_begins_tomorrow(gone: Ask) -> None:
    found = gone("back", "--at", "2027-03-26T20:00", "--json").json
    mine = [job for job in found["overdue"] if job["by"] == "keeper"]
    assert mine
    assert all(job["day"] >= "2027-03-27" for job in mine)


@pytest.mark.parametrize(
    ("when", "rule", "told"),
    [
        ("2027-03-07T08:00", "not-away", "none are entered"),
        ("2027-03-09T08:00", "still-away", "away until Fri 26 Mar"),
        ("2027-05-20T08:00", "not-away", "the last ended on Fri 26 Mar"),
    ],
)
@pytest.mark.parametrize("command", ["back", "catch-up"])
def test_asked_at_another_time_it_is_refused(
    gone: Ask, command: str, when: str, rule: str, told: str
) -> None:
    said = gone(command, "--at", when)
    assert (said.status, f"[{rule}]" in said.err, told in said.err) == (1, True, True), said.err


def test_after_a_day_away_no_change_is_made_up_for(ask: Ask) -> None:
    assert ask("keep-away", "2027-03-07", "2027-03-07", "--stand-in", "Tom").status == 0
    found = ask("back", "--at", "2027-03-07T20:00", "--json").json
    assert (found["changes"], found["parts"]) == ([], [])
    assert "Nothing." in ask("back", "--at", "2027-03-07T20:00").out


def _walk(ask: Ask, when: str = "2027-03-27T08:00") -> set[str]:
    document = ask("walk", "--at", when, "--json").json
    return {stop["id"] for stop in _stops(document)}


def _stops(document: Any) -> list[Any]:
    return [*document["stops"], *document.get("left_out", [])]


def _tank_litres(ask: Ask, tank: str) -> float:
    litres: float = ask("tank", tank, "--json").json["litres"]
    return litres


def _part_there(ask: Ask) -> bool:
    return "change-alone.B1.p2" in ask("jobs", "--json").out
