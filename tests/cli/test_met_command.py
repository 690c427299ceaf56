"""`met`, `watch-met` and `contact`: who met whom, and what follows."""

from pathlib import Path

import pytest

from tests.cli.conftest import Ask

LATER = "2027-03-08T09:00"


def test_tanks_on_one_sump_met_and_the_way_is_told(ask: Ask) -> None:
    found = ask("met", "A1", "--json").json
    assert {met["tank"] for met in found["tanks"]} == {"A1", "A2", "A3", "A4", "A5", "A6"}
    second = next(met for met in found["tanks"] if met["tank"] == "A2")
    assert second["by"] == "system"
    assert "by the water of S" in second["path"][-1]
    assert found["known"] == "computed"


def test_a_move_carries_it_on_and_a_sale_is_listed(ask: Ask) -> None:
    assert ask("move", "calvus", "2", "B3").status == 0
    assert ask("out", "calvus.2", "1", "sold", "--at", LATER).status == 0
    found = ask("met", "B1", "--at", LATER, "--json").json
    assert [(met["tank"], met["by"]) for met in found["tanks"]] == [
        ("B1", "start"), ("B3", "move"),
    ]  # fmt: skip
    assert found["left_the_room"][0]["how"] == "sold"
    assert "calvus.2" in found["groups"]
    back = ask("met", "B3", "--back", "--at", LATER)
    assert "B1" in back.out
    assert all(len(line) <= 60 for line in back.out.splitlines())


def test_a_net_carries_it_one_way(ask: Ask) -> None:
    assert ask("contact", "Q1", "B3", "--by", "net").status == 0
    ahead = ask("met", "Q1", "--at", LATER, "--json").json
    assert {met["tank"] for met in ahead["tanks"]} == {"Q1", "B3"}
    other = ask("met", "B3", "--at", LATER, "--json").json
    assert {met["tank"] for met in other["tanks"]} == {"B3"}


def test_watch_on_all_that_met_is_one_act_and_holds_moves_and_sales(ask: Ask) -> None:
    said = ask("watch-met", "A1", "--reason", "white spots")
    assert said.status == 0
    assert "6 tanks" in said.flat
    page = ask("tank", "A3", "--json").json
    assert page["class"] == "under watch" or "watch" in str(page)
    move = ask("move", "young-calvus", "2", "B3", "--at", LATER)
    assert (move.status, "[held]" in move.err) == (1, True)
    sale = ask("out", "young-calvus", "2", "sold", "--at", LATER)
    assert (sale.status, "[held]" in sale.err) == (1, True)
    assert ask("undo", "--at", LATER).status == 0
    assert ask("out", "young-calvus", "2", "sold", "--at", LATER).status == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("met", "ZZ"), "no such tank"),
        (("met", "A1", "--from", "2027-04-01"), "is after"),
        (("contact", "A1", "A1"), "same tank"),
        (("contact", "A1", "ZZ"), "no such tank"),
        (("watch-met", "A1", "--reason", " "), "reason"),
    ],
)
def test_what_cannot_be_is_said(
    ask: Ask, words: tuple[str, ...], told: str
) -> None:  # fmt: skip
    said = ask(*words)
    assert said.status == 2
    assert told in said.err


def test_moves_of_a_journal_without_transfers_count_too(ask: Ask, say: Ask, tmp_path: Path) -> None:
    assert ask("move", "calvus", "2", "B3").status == 0
    assert ask("export", str(tmp_path / "out")).status == 0
    (tmp_path / "out" / "transfers.csv").unlink()
    changes = tmp_path / "out" / "changes.csv"
    kept = [line for line in changes.read_text("utf-8").splitlines() if ",transfers," not in line]
    changes.write_text("\n".join(kept) + "\n", "utf-8")
    again = str(tmp_path / "again.room")
    assert say("import", str(tmp_path / "out"), "-r", again).status == 0
    found = say("met", "B1", "--at", LATER, "--json", "-r", again).json
    assert {met["tank"] for met in found["tanks"]} == {"B1", "B3"}
