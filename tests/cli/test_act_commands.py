"""Acts on fish, water and places: what they say, what they refuse, and what they change."""

import pytest

from tests.cli.conftest import Ask

ACTS = [
    (("move", "young-calvus", "5", "A3"), "5 of young calvus (young-calvus) moved A1 to A3"),
    (("out", "young-calvus", "2", "sold", "--note", "to Kate"), "sold, to Kate"),
    (("out", "young-calvus", "1", "died"), "1 of young calvus (young-calvus) in A1: died"),
    (("put-in", "new-2", "6", "A4", "--line", "brevis", "--males", "2"), "6 brevis (new-2) put"),
    (("count", "young-calvus", "17"), "counted: 17, 1 fewer"),
    (("count", "young-calvus", "20", "--about"), "counted: about 20, 2 more"),
    (("valve", "A1", "shut"), "valve of A1 on S shut"),
    (("valve", "B1", "open", "--system", "S"), "valve of B1 on S opened"),
    (("pump", "S", "off"), "return pump of S off"),
    (
        ("hold", "B1", "filter", "vac", "--reason", "eggs"),
        "squeeze filter, vac the bottom held at B1",
    ),
    (("hold", "B1", "all", "--reason", "salt", "--cause", "medicine"), "all jobs held at B1"),
    (("read", "A1", "temperature", "25.5", "C"), "temperature at A1: 25.5 C"),
    (("read", "A1", "sump-level", "-3.5", "cm"), "sump level at A1: -3.5 cm"),
    (("read", "A1", "ph", "77", "--anyway"), "pH at A1: 77"),
    (("seen", "B1", "spawn", "--count", "40", "--note", "in the shell"), "B1: spawn of 40"),
    (("seen", "B1", "hatch", "--day", "2027-03-09"), "B1: hatch on Tue 9 Mar"),
    (("class", "A2", "watch", "--reason", "flicking"), "A2 is under watch: flicking"),
    (("seed", "B1-1", "B2"), "seed sponge B1-1 from B1 to B2"),
]


@pytest.mark.parametrize(("words", "told"), ACTS, ids=[" ".join(row[0][:2]) for row in ACTS])
def test_each_act_says_what_it_changed_and_can_be_taken_back(
    ask: Ask, words: tuple[str, ...], told: str
) -> None:
    before = facts(ask)
    said = ask(*words)
    assert (said.status, said.err) == (0, "")
    assert said.flat.startswith("Act 1: ")
    assert told in said.flat
    acts = ask("journal", "--json").json["acts"]
    assert [(act["act"], act["who"]) for act in acts] == [(1, "Maeve")]
    assert ask("undo").status == 0
    assert facts(ask) == before


@pytest.mark.parametrize(("words", "told"), ACTS, ids=[" ".join(row[0][:2]) for row in ACTS])
def test_each_act_as_json(ask: Ask, words: tuple[str, ...], told: str) -> None:
    said = ask(*words, "--json")
    document = said.json
    assert (said.status, document["changed"], document["act"]) == (0, True, 1)
    assert told in document["words"]


def facts(ask: Ask) -> list[object]:
    """Everything the reading commands say, but the journal."""
    return [
        ask("walk", "--all", "--json").json,
        ask("racks", "--json").json,
        *(ask("tank", code, "--json").json for code in ("A1", "A2", "A3", "A4", "B1")),
    ]


REFUSALS = [
    ("part-of-a-lot", ("move", "new-1", "3", "A1")),
    ("not-released", ("move", "new-1", "8", "A1")),
    ("counts-add-up", ("move", "young-calvus", "19", "A3")),
    ("counts-add-up", ("out", "young-calvus", "19", "sold")),
    ("counts-add-up", ("put-in", "x", "3", "A3", "--line", "y", "--males", "2", "--females", "2")),
    ("no-change", ("move", "young-calvus", "1", "A1")),
    ("no-change", ("valve", "A1", "open")),
    ("no-change", ("pump", "S", "running")),
    ("ask", ("read", "A1", "ph", "77")),
    ("seed-from-apart", ("seed", "Q1-1", "B1")),
    ("no-change", ("seed", "B1-1", "B1")),
]


@pytest.mark.parametrize(("rule", "words"), REFUSALS)
def test_refusals_name_their_rule(ask: Ask, rule: str, words: tuple[str, ...]) -> None:
    said = ask(*words)
    assert (said.status, said.out) == (1, "")
    assert said.err.rstrip().endswith(f"[{rule}]")
    assert ask(*words, "--json").json["problem"]["rule"] == rule
    assert ask("journal", "--json").json["acts"] == []


def test_riskier_fish_go_when_it_is_said_anyway(ask: Ask) -> None:
    assert ask("class", "B1", "watch", "--reason", "pale gills").status == 0
    refused = ask("move", "calvus", "3", "A1", "--json")
    assert refused.json["problem"]["rule"] == "riskier-to-cleaner"
    assert ask("move", "calvus", "3", "A1", "--anyway").status == 0


def test_a_part_of_a_lot_does_not_go_though_it_is_said_anyway(ask: Ask) -> None:
    refused = ask("move", "new-1", "3", "A1", "--anyway", "--json")
    assert refused.status == 1
    assert refused.json["problem"]["rule"] == "part-of-a-lot"


@pytest.mark.parametrize(
    "words",
    [
        ("move", "nobody", "1", "A1"),
        ("move", "young-calvus", "1", "Z9"),
        ("move", "young-calvus", "1.5", "A3"),
        ("move", "young-calvus", "0", "A3"),
        ("out", "young-calvus", "1", "eaten"),
        ("put-in", "calvus", "1", "A3", "--line", "x"),
        ("put-in", "two words", "1", "A3", "--line", "x"),
        ("put-in", "ok", "1", "A3"),
        ("valve", "B1", "shut"),
        ("valve", "A1", "half"),
        ("pump", "T", "off"),
        ("hold", "B1", "sleeping", "--reason", "x"),
        ("hold", "Z9", "all", "--reason", "x"),
        ("hold", "B1", "all"),
        ("hold", "B1", "all", "--reason", " "),
        ("hold", "B1", "all", "--reason", "x", "--until", "2027-03-05"),
        ("lift", "no-such"),
        ("read", "A1", "ph", "seven"),
        ("read", "A1", "ph", "7,2"),
        ("read", "Z9", "ph", "7"),
        ("seen", "Z9", "spawn"),
        ("seen", "A1", "spawn", "--count", "-1"),
        ("class", "A1", "quarantine", "--reason", "x"),
        ("class", "A1", "sick"),
    ],
)
def test_bad_words_change_nothing(ask: Ask, words: tuple[str, ...]) -> None:
    said = ask(*words)
    assert (said.status, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert ask("journal", "--json").json["acts"] == []


def test_a_hold_is_lifted(ask: Ask) -> None:
    ask("hold", "B1", "change", "--reason", "eggs")
    assert ask("walk", "--json").json["held"]
    assert ask("lift", "hold-1").flat == "Act 2: hold on water change at B1 lifted"
    assert ask("walk", "--json").json["held"] == []


def test_medicine_makes_the_tank_sick(ask: Ask) -> None:
    ask("hold", "B1", "filter", "--reason", "salt", "--cause", "medicine")
    assert ask("tank", "B1", "--json").json["class"] == "sick"


def test_a_negative_reading_is_a_value_not_an_option(ask: Ask) -> None:
    reading = ask("read", "room", "temperature", "-4", "C", "--anyway", "--json")
    assert reading.status == 0


def test_a_sump_that_would_flood_is_told_with_its_reading(say: Ask) -> None:
    """A glass of 48 cm, and 38 L run back to a floor of 118 x 48 cm (geometry)."""
    low = say("read", "LOOP", "sump-level", "31.4", "cm", "--demo")
    assert low.flat.endswith("sump level at LOOP: 31.4 cm")
    high = say("read", "LOOP", "sump-level", "42", "cm", "--demo")
    assert "at 42 cm running it would stand at" in high.flat
