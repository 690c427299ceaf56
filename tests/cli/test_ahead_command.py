"""`ahead`, `pin` and `unpin`: the coming days, levelled."""

import json
from datetime import date, timedelta

import pytest

from tests.cli.conftest import Ask

FIRST = date(2027, 3, 6)


def test_each_day_has_its_minutes_litres_and_jobs(ask: Ask) -> None:
    found = ask("ahead", "--days", "14", "--json").json
    days = [date.fromisoformat(each["day"]) for each in found["days"]]
    assert days == [FIRST + timedelta(days=n) for n in range(14)]
    assert found["busiest_minutes"] == max(each["minutes"] for each in found["days"])
    assert found["busiest_minutes"] >= found["cannot_be_below_minutes"] > 0
    for each in found["days"]:
        parts = each["minutes_from"]
        assert sum(parts.values()) == pytest.approx(each["minutes"])
        for job in each["jobs"]:
            assert job["late_days"] or job["opens"] <= job["day"] <= job["closes"] or (
                job["day"] > job["closes"]
            )  # fmt: skip


def test_the_text_says_how_far_it_is_from_the_best_and_keeps_to_60_columns(ask: Ask) -> None:
    said = ask("ahead", "--days", "10")
    assert said.status == 0
    assert "busiest day" in said.out
    assert "cannot be below" in said.out or "no plan can have less" in said.out
    assert all(len(line) <= 60 for line in said.out.splitlines())
    assert "daily round" in said.out
    assert len(ask("ahead", "--days", "10", "--all").out) > len(said.out)


def test_the_same_words_give_the_same_plan(ask: Ask) -> None:
    assert ask("ahead", "--json").out == ask("ahead", "--json").out


def test_a_pin_keeps_a_job_on_its_day_until_taken_off(ask: Ask) -> None:
    said = ask("pin", "change-alone@B1", "2027-03-08")
    assert (said.status, "kept on Mon 8 Mar" in said.flat) == (0, True)
    pinned = _day_of(ask, "change-alone@B1")
    assert pinned == ("2027-03-08", True)
    assert ask("unpin", "change-alone@B1").status == 0
    assert _day_of(ask, "change-alone@B1")[1] is False
    again = ask("unpin", "change-alone@B1")
    assert (again.status, "[no-change]" in again.err) == (1, True)


def _day_of(ask: Ask, name: str) -> tuple[str, bool]:
    for each in ask("ahead", "--json").json["days"]:
        for job in each["jobs"]:
            if job["id"] == name and job["n"] == 0:
                return job["day"], job["pinned"]
    raise AssertionError(name)


def test_a_pin_outside_the_window_is_refused_by_rule(ask: Ask) -> None:
    said = ask("pin", "change-alone@B1", "2027-03-20")
    assert (said.status, "[window]" in said.err) == (1, True)
    assert ask("pin", "change-alone@B1", "2027-03-20", "--anyway").status == 0
    assert ask("undo").status == 0


def test_what_if_is_shown_beside_the_plan_as_it_is(ask: Ask) -> None:
    said = ask("ahead", "--minutes", "saturday=-150", "--compare")
    assert "as it is, and as asked" in said.out
    found = ask("ahead", "--minutes", "saturday=-150", "--compare", "--json").json
    assert found["over_minutes"] >= found["as_it_is"]["over_minutes"]
    less = ask("ahead", "--without", "B1", "--json").json
    assert "change-alone@B1" not in json.dumps(less)


def test_tanks_more_a_second_reservoir_and_a_helper_are_compared(ask: Ask) -> None:
    words = ("--more", "B1=2", "--second", "R1", "--helper", "sunday=30", "--compare")
    said = ask("ahead", *words)
    assert all(len(line) <= 60 for line in said.out.splitlines())
    assert "difference" in said.out
    assert "2 tanks more like B1, with its fish and jobs" in said.flat
    assert "litres of both count as R1's" in said.flat
    assert "a helper on sundays for 30 minutes" in said.flat
    found = ask("ahead", *words, "--json").json
    rows = {row["name"]: row for row in found["compared"]}
    for name, key in (("busiest_minutes", "busiest_minutes"), ("late_jobs", "late")):
        assert rows[name]["asked"] == found[key]
        assert rows[name]["as_it_is"] == found["as_it_is"][key]
    assert rows["over_minutes"]["difference"] == pytest.approx(
        rows["over_minutes"]["asked"] - rows["over_minutes"]["as_it_is"]
    )
    assert "look@B1.2" in json.dumps(found["days"])
    assert "B1.2" not in json.dumps(found["as_it_is"])
    assert {peak["body"] for peak in found["nitrate"]} >= {"S", "B1", "B1.2"}
    assert ask("tank", "B1.2").status == 2  # nothing of it is kept


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("ahead", "--more", "ZZ=2"), 2, "no tank “ZZ”"),
        (("ahead", "--more", "B1=0"), 2, "1 to 50"),
        (("ahead", "--more", "B1=1000"), 2, "1 to 50"),
        (("ahead", "--more", "B1=2.5", "--compare"), 2, "1 to 50"),
        (("ahead", "--more", "B1"), 2, "no such pair"),
        (("ahead", "--second", "R8"), 2, "no reservoir “R8”"),
        (("ahead", "--helper", "caturday=30"), 2, "did you mean saturday"),
        (("ahead", "--helper", "saturday=-5"), 1, "help on saturday"),
        (("ahead", "--days", "0"), 2, "7"),
        (("ahead", "--days", "5000"), 2, "56"),
        (("ahead", "--minutes", "someday=5"), 2, "someday"),
        (("ahead", "--minutes", "sunday"), 2, "sunday=-60"),
        (("ahead", "--minutes", "sunday=nan"), 2, "no such pair"),
        (("ahead", "--litres", "V9=5"), 2, "V9"),
        (("ahead", "--without", "ZZ"), 2, "ZZ"),
        (("pin", "nothing@B1", "2027-03-08"), 2, "ahead"),
        (("pin", "change-alone@B1", "2027-03-01"), 2, "is past"),
    ],
)
def test_what_cannot_be_is_said(ask: Ask, words: tuple[str, ...], status: int, told: str) -> None:
    said = ask(*words)
    assert (said.status, told in said.err) == (status, True), said.err
