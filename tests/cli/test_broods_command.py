"""`broods`, `places` and the acts on broods and moves, by the words typed."""

from pathlib import Path

import pytest

from roomtasks.room.line import LineFacts
from tests.cli.conftest import Ask
from tests.rooms import small_room, store_with


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The small room with a line book, B3 ready for fish."""
    sheets = small_room()
    sheets["lines"] = [LineFacts(name="calvus", adult_cm=5.0, eats="none", spawns_again_days=30)]
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "B3"]
    with store_with(tmp_path, sheets) as made:
        return made.path


def raised(ask: Ask) -> None:
    for words, when in (
        (("spawn", "c1", "B1"), "2027-03-09T19:00"),
        (("stage", "c1", "hatch"), "2027-03-12T07:30"),
        (("stage", "c1", "free-swimming"), "2027-03-17T07:30"),
        (("stage", "c1", "first-count", "--count", "120"), "2027-03-23T09:00"),
        (("sample", "c1", "12mm", "1.4", "1.7", "--n", "12"), "2027-04-08T10:00"),
        (("sample", "c1", "1.7", "1.9", "2.1"), "2027-04-22T10:00"),
        (("sample", "c1", "2.2", "2.5", "2.9"), "2027-05-06T10:00"),
    ):
        said = ask(*words, "--at", when)
        assert said.status == 0, said.err


LATER = "2027-05-06T12:00"


def test_a_brood_is_told_with_its_forecast_and_how_it_came(ask: Ask) -> None:
    raised(ask)
    found = ask("broods", "--at", LATER, "--json").json
    brood = found["broods"][0]
    assert brood["size_cm"] == pytest.approx(2.483)
    assert (brood["size_known"], brood["size_from"]) == ("forecast", "straight line")
    assert brood["growth_mm_per_day"] == pytest.approx(0.3929)
    sale = brood["at_sale_size"]
    assert sale["earliest"] < sale["date"] < sale["latest"]
    part = brood["tanks"][0]
    assert part["move_cause"] == "next spawn"
    assert "spawn again" in part["move_why"]
    assert part["came_from"] == ["calvus"]
    assert part["g_per_l_from"]
    assert part["destination"]["refused"] > 0
    assert len({week["week"] for week in found["weeks"]}) == 16


def test_text_can_be_read_at_sixty_columns(ask: Ask) -> None:
    assert "No brood is open" in ask("broods").out
    raised(ask)
    for words in (("broods",), ("places", "c1")):
        said = ask(*words, "--at", LATER)
        assert said.status == 0
        assert all(len(line) <= 60 for line in said.out.splitlines())
    assert "Tanks wanted and there, by week" in ask("broods", "--at", LATER).out


def test_what_if_a_pair_rests_or_a_brood_is_sold(ask: Ask) -> None:
    raised(ask)

    def wanted(*words: str) -> int:
        weeks = ask("broods", *words, "--at", LATER, "--json").json["weeks"]
        return sum(week["tanks_wanted"] for week in weeks)

    usual = wanted()
    assert wanted("--rests", "calvus") < usual
    assert wanted("--sold", "c1=1") < usual
    assert ask("broods", "--rests", "nobody", "--at", LATER).status == 2
    assert ask("broods", "--sold", "c1=17", "--at", LATER).status == 2
    assert ask("broods", "--sold", "c1", "--at", LATER).status == 2


def test_places_names_the_rule_of_each_refused_tank(ask: Ask) -> None:
    raised(ask)
    found = ask("places", "c1", "--at", LATER, "--json").json
    refused = {item["tank"]: [rule["rule"] for rule in item["rules"]] for item in found["refused"]}
    assert "kept-apart" in refused["Q1"]
    assert "other-class" in refused["A5"]
    assert found["leaving_cm"] == pytest.approx(3.5)
    assert ask("places", "c1", "--leaving", "90mm", "--at", LATER, "--json").json["leaving_cm"] == 9


def test_a_move_is_planned_done_and_told(ask: Ask) -> None:
    raised(ask)
    assert ask("grade", "c1", "40:B3", "--at", LATER).status == 0
    said = ask("chain", "c1=A3,A4", "--at", LATER)
    assert said.status == 0, said.err
    assert "chain-9, 1 link (no shorter one can be)" in said.flat
    moves = ask("broods", "--at", LATER, "--json").json["moves"]
    assert (moves[0]["state"], moves[0]["date"]) == ("planned", "2027-05-08")
    assert "Moves of chain-9" in ask("broods", "--at", LATER).out
    assert ask("slip", "chain-9", "1", "2027-05-15", "--at", LATER).status == 0
    walk = ask("walk", "--at", "2027-05-15T08:00", "--json").out
    assert "chain-9-1@B1" in walk
    assert ask("link", "chain-9", "1", "--in", "79", "--at", "2027-05-15T09:00").status == 0
    assert ask("settle", "chain-9", "1", "79", "--at", "2027-05-15T09:10").status == 0
    assert ask("drop", "chain-9", "--at", "2027-05-15T09:20").status == 1
    closed = ask("close", "c1", "--at", "2027-05-16T09:00")
    assert closed.status == 0
    assert "120 counted = 0 sold + 119 kept + 1 died + 0 given" in closed.flat


def test_a_tank_is_made_over_by_command(ask: Ask) -> None:
    assert ask("make-over", "B3", "2027-03-13", "--for", "brevis").status == 0
    assert ask("step-done", "over-1", "2").status == 1
    assert ask("step-done", "over-1", "1", "--note", "nobody in it").status == 0
    made = ask("broods", "--json").json["make_overs"][0]
    assert (made["tank"], made["done"]) == ("B3", [1])
    assert "B3 is being made over" in ask("broods").out
    assert ask("end-over", "over-1").status == 0
    assert ask("end-over", "over-1").status == 2


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("sample", "c1", "-1.4"), 2, "-1.4"),
        (("sample", "c1", "nan"), 2, "no amount"),
        (("sample", "c1", "1.4kg"), 2, "unit of length"),
        (("sample", "c1", "25"), 1, "[ask]"),
        (("sample", "c9", "1.4"), 2, "no such brood"),
        (("stage", "c1", "hatch", "--day", "2027-03-01"), 2, "before the spawn"),
        (("stage", "c1", "born"), 2, "born"),
        (("stage", "c1", "first-count", "--count", "0"), 2, "0 fish"),
        (("split", "c1", "500:B3"), 1, "[counts-add-up]"),
        (("split", "c1", "B3"), 2, "COUNT:TANK"),
        (("chain", "c1=ZZ"), 2, "no such tank"),
        (("chain", "c1="), 2, "GROUP=TANK"),
        (("chain", "new-1"), 1, "[no-chain]"),
        (("link", "chain-1", "1"), 2, "no such chain"),
        (("spawn", "c1", "B2"), 2, "in use"),
        (("close", "c1"), 1, "[counts-add-up]"),
    ],
)
def test_what_cannot_be_is_said_by_status_and_word(
    ask: Ask, words: tuple[str, ...], status: int, told: str
) -> None:
    raised(ask)
    if words[0] == "close":
        assert ask("count", "c1", "110", "--at", LATER).status == 0
    said = ask(*words, "--at", "2027-05-07T12:00")
    assert (said.status, told in said.err) == (status, True), said.err


def test_fish_holds_the_broods_too(ask: Ask) -> None:
    raised(ask)
    found = ask("fish", "--at", LATER, "--json").json
    assert [brood["brood"] for brood in found["broods"]] == ["c1"]
    assert found["weeks"]
    assert found["stays"]
    assert "c1: calvus, of calvus, day 58" in ask("fish", "--all", "--at", LATER).out
    short = ask("fish", "--at", LATER)
    assert "c1 calvus, day 58" in short.flat
    assert "Tanks wanted and there, by week" not in short.out
    assert "'roomtasks fish --all' has every date" in short.flat
