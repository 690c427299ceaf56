"""`message` and `message-off`: words to the stand-in, on their sheet."""

import pytest

from tests.cli.conftest import Ask

SPAN = ("2027-03-12", "2027-03-15")


def test_a_message_stands_on_the_sheet_until_it_is_taken_off(ask: Ask) -> None:
    assert "There are no messages" in ask("message").out
    said = ask("message", "B1", "The pair is guarding eggs: no hands in.")
    assert (said.status, "message m1 at B1" in said.flat) == (0, True)
    assert ask("message", "room", "Key under the mat").status == 0
    assert ask("message", "--json").json["messages"] == [
        {"code": "m1", "target": "B1", "text": "The pair is guarding eggs: no hands in."},
        {"code": "m2", "target": "room", "text": "Key under the mat"},
    ]
    sheet = ask("sheet", "away", *SPAN).out
    assert "To know" in sheet
    assert "B1: The pair is guarding eggs: no hands in." in sheet
    assert ask("message-off", "m1").status == 0
    assert "guarding" not in ask("sheet", "away", *SPAN).out


def test_each_is_one_act_and_is_taken_back(ask: Ask) -> None:
    first = ask("message", "A", "Top shelf: use the steps", "--json").json
    assert first["changed"] is True
    assert ask("undo").status == 0
    assert ask("message", "--json").json["messages"] == []
    assert ask("message", "A", "Top shelf: use the steps").status == 0
    assert ask("message-off", "m1").status == 0
    assert ask("undo").status == 0
    assert [row["code"] for row in ask("message", "--json").json["messages"]] == ["m1"]
    assert "message m1 at A" in ask("journal").flat


def test_control_signs_never_reach_the_terminal(ask: Ask) -> None:
    said = ask("message", "B1", "red \x1b[31m and \u202e back")
    assert "\x1b" not in said.out + said.err + ask("message").out
    assert "\u202e" not in ask("message").out


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("message", "B9", "hello"), 2, "no place “B9”"),
        (("message", "Bl", "hello"), 2, "did you mean"),
        (("message", "B1"), 2, "the words are missing"),
        (("message", "B1", "  "), 2, "reason"),
        (("message", "B1", "x" * 301), 2, "too many for a line"),
        (("message-off", "m7"), 2, "there are none"),
        (("message-off",), 2, "CODE"),
    ],
)
def test_what_cannot_be_is_said(ask: Ask, words: tuple[str, ...], status: int, told: str) -> None:
    said = ask(*words)
    assert (said.status, told in said.err) == (status, True), said.err
    assert ask("message", "--json").json["messages"] == []


def test_the_same_word_twice_and_a_hundred_words_are_refused(ask: Ask) -> None:
    assert ask("message", "B1", "hello").status == 0
    again = ask("message", "B1", "hello")
    assert (again.status, "[no-change]" in again.err) == (1, True)
    assert "there are: m1" in ask("message-off", "m2").err
    for n in range(98):
        assert ask("message", "B1", f"word {n}").status == 0
    full = ask("message", "B1", "one more")
    assert (full.status, "99 messages already" in full.err) == (2, True)
    assert ask("message-off", "m5").status == 0
    assert "message m5" in ask("message", "B1", "one more").flat
