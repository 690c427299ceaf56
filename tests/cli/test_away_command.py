"""`away`, `keep-away` and `home`: days away sorted into before, after, stand-in and no place."""

from datetime import date

import pytest

from tests.cli.conftest import Ask

SPAN = ("2027-03-12", "2027-03-15")


def test_what_falls_on_days_away_goes_somewhere(ask: Ask) -> None:
    found = ask("away", *SPAN, "--json").json
    assert found["stand_in"] == "tb"
    first, last = (date.fromisoformat(day) for day in SPAN)
    assert [each["day"] for each in found["stand_in_days"]] == [
        "2027-03-12", "2027-03-13", "2027-03-14", "2027-03-15",
    ]  # fmt: skip
    for planned in found["stand_in_days"]:
        assert planned["jobs"]
        assert {job["by"] for job in planned["jobs"]} == {"stand-in"}
        assert all(job["id"].startswith(("look@", "feed@", "check@")) for job in planned["jobs"])
    for name, inside in (("before", -1), ("can_wait", 1)):
        for job in found[name]:
            day = date.fromisoformat(job["day"])
            assert (day < first) if inside < 0 else (day > last)
    moved = {job["id"] for job in (*found["before"], *found["can_wait"], *found["no_place"])}
    assert {"change-s@S", "change-alone@B1"} <= moved
    assert any("full change" in note["text"] for note in found["notes"])


def test_the_page_keeps_to_60_columns_and_names_the_stand_in(ask: Ask) -> None:
    said = ask("away", *SPAN)
    assert said.status == 0
    assert "The stand-in (Tom)" in said.out
    assert all(len(line) <= 60 for line in said.out.splitlines())


def test_a_release_inside_is_named_two_weeks_ahead(ask: Ask) -> None:
    """The lot in Q1 came on 20 February: 42 days are over on 3 April."""
    far = ask("away", "2027-04-01", "2027-04-05", "--json").json
    assert not any(note["rule"] == "release-while-away" for note in far["notes"])
    near = ask("away", "2027-04-01", "2027-04-05", "--at", "2027-03-20T08:00", "--json").json
    note = next(note for note in near["notes"] if note["rule"] == "release-while-away")
    assert "Sat 3 Apr" in note["text"]


def test_days_away_are_kept_joined_and_taken_out(ask: Ask) -> None:
    assert ask("keep-away", *SPAN, "--stand-in", "Tom").status == 0
    again = ask("keep-away", "2027-03-14", "2027-03-18")
    assert "Fri 12 Mar to Thu 18 Mar, joined with 1" in again.flat
    found = ask("away", "2027-03-16", "2027-03-17", "--json").json
    assert (found["from"], found["to"]) == ("2027-03-12", "2027-03-18")
    assert any("joined" in note["text"] for note in found["notes"])
    plan = ask("ahead", "--json").json
    gone = [each for each in plan["days"] if each["away"]]
    assert next(each["day"] for each in gone) == "2027-03-12"
    assert all(each["minutes"] == 0 for each in gone)
    assert ask("home", "2027-03-15").status == 0
    assert (ask("home", "2027-03-15").status) == 1
    assert ask("undo").status == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("away", "2027-03-15", "2027-03-12"), "is before"),
        (("away", "2027-02-01", "2027-02-03"), "is past"),
        (("away", "2027-08-01", "2027-08-20"), "days ahead"),
        (("away", *SPAN, "--stand-in", "nobody"), "there is nobody"),
        (("keep-away", "2027-03-15", "2027-03-12"), "is before"),
        (("keep-away", "2027-02-01", "2027-02-03"), "is past"),
    ],
)
def test_what_cannot_be_is_said(ask: Ask, words: tuple[str, ...], told: str) -> None:
    said = ask(*words)
    assert (said.status, told in said.err) == (2, True), said.err
