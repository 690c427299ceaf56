"""`figure` as a command: the list, an answer, refusals, and the room's zone. Sums: test_figures."""

import pytest

from tests.cli.conftest import Ask


def test_the_list_can_be_read_and_names_every_sum(say: Ask) -> None:
    listed = say("figure", "--json").json["figures"]
    text = say("figure").out
    assert max(len(line) for line in text.splitlines()) <= 60
    for figure in listed:
        assert figure["name"] in text
        assert figure["formula"]
        assert figure["source"]
        assert all(key["what"] for key in figure["keys"])


def test_an_answer_as_json_and_text(say: Ask) -> None:
    words = ("figure", "tank-volume", "length=60", "width=30", "water=30")
    document = say(*words, "--json").json
    assert (document["name"], document["value"], document["unit"]) == ("tank-volume", 54.0, "L")
    assert document["inputs"]["length"] == 60
    text = say(*words).out
    assert text.startswith("tank-volume: 54 L\n")
    assert "length=60" in text
    assert max(len(line) for line in text.splitlines()) <= 60


def test_no_store_is_needed_or_made(say: Ask, home: object) -> None:
    said = say("figure", "convert", "value=1", "from=ft", "to=cm", "--json")
    assert (said.status, said.json["value"], said.err) == (0, pytest.approx(30.48), "")


def test_the_zone_is_the_rooms_own_unless_given(ask: Ask, say: Ask) -> None:
    words = ("figure", "dates", "rule=FREQ=DAILY;COUNT=1", "start=2027-07-01T08:00", "--json")
    assert ask(*words).json["values"] == ["2027-07-01T08:00:00+01:00"]
    other = ask(*words, "zone=Europe/Rome")
    assert other.json["values"] == ["2027-07-01T08:00:00+02:00"]
    nowhere = say(*words)
    assert nowhere.json["values"] == ["2027-07-01T08:00:00+00:00"]
    assert "the zone is UTC" in nowhere.err


def test_what_cannot_come_out_ends_with_1(say: Ask) -> None:
    words = ("heat-time", "volume=100", "from=10", "to=30", "power=100", "loss=10", "room=15")
    said = say("figure", *words)
    assert (said.status, said.out, said.err.count("\n")) == (1, "", 1)
    assert "it can come near 25 C" in said.err


@pytest.mark.parametrize(
    "words",
    [
        ("no-such-sum",), ("tank-volume",), ("tank-volume", "length=NaN", "width=1", "water=1"),
        ("tank-volume", "length"), ("tank-volume", "lenght=3"), ("tank-volume", "\x1b[2J=3"),
        ("dates", "rule=FREQ=SOMETIMES", "start=2027-01-01"),
        ("fit-growth", "file=/nowhere/x.csv"),
    ],
)  # fmt: skip
def test_bad_words_end_with_2_in_one_line(say: Ask, words: tuple[str, ...]) -> None:
    said = say("figure", *words)
    assert (said.status, said.out) == (2, "")
    lines = [line for line in said.err.splitlines() if "the zone is UTC" not in line]
    assert len(lines) == 1
    assert "\x1b" not in said.err
