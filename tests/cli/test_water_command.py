"""`water` on the example room, from a folder to the plan; and the acts on water by command.

The worked day: 919 L wanted on Saturday 13 March 2027, 560 L a fill out of R1,
140 L at 18 C left in it, tap water of 12 C. Worked here, invented room.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from roomtasks.cli.page import cells
from roomtasks.cli.reference import RULES
from roomtasks.files import write_folder
from roomtasks.room.journal import Reading
from roomtasks.room.room import Room
from tests.cli.conftest import Ask, Said
from tests.cli.plan_documents import faults
from tests.room.example_room import at, example_room
from tests.work.water_store import sheets_of

FRIDAY = "2027-03-12T18:00"
Made = Callable[..., Ask]


def with_r1(room: Room, **facts: Any) -> Room:
    vessels = tuple(replace(row, **facts) if row.code == "R1" else row for row in room.reservoirs)
    return replace(room, reservoirs=vessels)


@pytest.fixture
def made(say: Ask, tmp_path: Path) -> Made:
    """A room, written as a folder and imported; asked on Friday 18:00 unless --at is said."""

    def make(room: Room | None = None, **vessel: Any) -> Ask:
        sheets = sheets_of(with_r1(room or example_room(), **vessel))
        warm = at("2027-03-12T07:00")
        sheets["readings"] = [
            Reading(id=1, target="R1", what="temperature", value=18.0, unit="C", day=warm.date(),
                    at=warm)
        ]  # fmt: skip
        folder, store = tmp_path / "folder", tmp_path / "room.sqlite"
        assert isinstance(write_folder(sheets, folder), list)
        assert say("--room", str(store), "import", str(folder)).status == 0

        def ask(*words: str) -> Said:
            when = () if "--at" in words else ("--at", FRIDAY)
            return say("--room", str(store), *when, *words)

        return ask

    return make


@pytest.fixture
def ask(made: Made) -> Ask:
    return made()


def plan(ask: Ask, *words: str, status: int = 0) -> Any:
    said = ask("water", "--json", *words)
    assert said.status == status, said.err
    assert list(faults(said.json)) == []
    return said.json


def latest(batch: Any) -> dict[str, str]:
    return {step["step"]: step["latest"] for step in batch["clock"]}


def advised(batch: Any) -> dict[str, str]:
    return {step["step"]: step["advised"] for step in batch["clock"]}


def test_demand_batches_doses_and_the_one_batch_choice(ask: Ask) -> None:
    document = plan(ask)
    (demand,) = document["demands"]
    assert demand["litres"] == pytest.approx(918.842, abs=0.1)
    assert demand["drained_litres"] == pytest.approx(660 + 126 + 82.08, abs=0.1)
    assert demand["top_off_litres"] == 24.0
    (litres,) = document["by_litres"]
    assert (litres["recipe"], [round(each) for each in litres["litres"]]) == ("hard", [560, 359])
    assert [batch["added_litres"] for batch in document["batches"]] == pytest.approx(
        [560, 359], abs=0.2
    )
    doses = [batch["doses"][0]["ml"] for batch in document["batches"]]
    assert doses == pytest.approx([28.0, 18.0], abs=0.1)
    smaller = next(each for each in document["choices"] if each["sort"] == "smaller")
    assert "18.3 % instead of 30 %" in smaller["text"]
    assert smaller["litres"] == [560.0]
    fractions = {price["body"]: price["tanks_fraction"] for price in smaller["prices"]}
    assert fractions["S"] == pytest.approx(0.183, abs=0.0005)
    assert fractions["D1"] == pytest.approx(0.183, abs=0.0005)


def test_one_batch_is_what_the_share_makes_of_it(ask: Ask) -> None:
    document = plan(ask, "--share", "0.6094")
    assert [round(each) for each in document["by_litres"][0]["litres"]] == [560]
    assert document["asked"]["share_fraction"] == 0.6094


def test_the_clock_runs_back_from_the_change_by_the_minute(ask: Ask) -> None:
    first = plan(ask)["batches"][0]
    assert latest(first) == {
        "hose-out": "2027-03-12T18:46:00+00:00", "fill-start": "2027-03-12T18:56:00+00:00",
        "full": "2027-03-12T20:30:00+00:00", "treated": "2027-03-12T20:30:00+00:00",
        "rest": "2027-03-12T20:30:00+00:00", "heat-on": "2027-03-13T05:07:00+00:00",
        "mixed": "2027-03-13T07:30:00+00:00", "ready-check": "2027-03-13T08:30:00+00:00",
        "change": "2027-03-13T09:00:00+00:00",
    }  # fmt: skip
    assert advised(first)["heat-on"] == "2027-03-13T03:26:00+00:00"
    assert first["mix_celsius"] == pytest.approx(13.2, abs=0.05)
    assert first["heat_kwh"] == pytest.approx(9.61, abs=0.01)
    assert first["heat_minutes"] == pytest.approx(3 * 60 + 22, abs=1)
    minutes = {step["step"]: step["minutes"] for step in first["clock"]}
    assert minutes["fill-start"] == pytest.approx(93.3, abs=0.1)


def test_a_rest_of_a_day_is_refused_on_friday_noon_and_the_earliest_change_named(
    made: Made,
) -> None:
    ask = made(rest_hours=24.0)
    said = ask("water", "--json", "--at", "2027-03-12T12:00")
    assert said.status == 1
    assert "Sat 13 Mar 14:13" in said.err
    assert "[not-ready-in-time]" in said.err
    document = said.json
    (refused,) = (note for note in document["refused"] if note["about"] == "R1")
    assert refused["rule"] == "not-ready-in-time"
    first = document["batches"][0]
    assert latest(first)["full"] == "2027-03-12T08:30:00+00:00"
    assert {
        name: when[:16] for name, when in advised(first).items() if name in
        ("fill-start", "full", "change")
    } == {"fill-start": "2027-03-12T12:10", "full": "2027-03-12T13:43",
          "change": "2027-03-13T14:13"}  # fmt: skip
    assert list(faults(document)) == []
    text = ask("water", "--at", "2027-03-12T12:00")
    assert text.status == 1
    assert "REFUSED" in text.out


def test_a_salted_tank_gets_back_what_leaves_it(ask: Ask) -> None:
    assert ask("level", "H1", "salt", "2").status == 0
    document = plan(ask, "--with", "H1=0.25")
    draws = {draw["tank"]: draw for draw in document["demands"][0]["draws"]}
    (dose,) = draws["H1"]["doses"]
    assert (dose["product"], dose["g"]) == ("salt", 26.0)
    assert draws["H1"]["litres"] == 13.0
    low = ask("figure", "redose", "target=2", "volume=52", "drained=11.5", "short=1.5", "--json")
    assert low.json["value"] == pytest.approx(23.7, abs=0.05)
    assert low.json["refill_litres"] == 13.0
    none = ask("figure", "redose", "target=2", "volume=52", "drained=0", "short=1.5", "--json")
    assert none.json["value"] == 0.0


def test_text_is_readable_at_sixty_columns(ask: Ask) -> None:
    for more in ((), ("--why",), ("--celsius", "21")):
        said = ask("water", *more)
        assert all(cells(line) <= 60 for line in said.out.splitlines())
    top = ask("water").out.splitlines()
    assert top[:2] == ["Change of Sat 13 Mar 2027, 09:00", "Wanted: hard 919c L"]


def test_why_opens_numbers_to_their_formula(ask: Ask) -> None:
    plain, opened = ask("water").flat, ask("water", "--why").flat
    assert "filled by the clock" not in plain
    assert len(opened) > 2 * len(plain)
    assert "filled by the clock on Tue 1 Sep 2026" in opened


def test_the_walk_and_the_need_are_two_orders_and_both_are_shown(ask: Ask) -> None:
    document = plan(ask)
    walked = [draw["order"] for draw in document["demands"][0]["draws"]]
    assert walked == sorted(walked)
    assert {need["id"] for need in document["needs"]} == {
        draw["id"] for draw in document["demands"][0]["draws"]
    }
    (walking,), (anyhow,) = document["walking"], document["any_order"]
    assert sum(walking["litres"]) == pytest.approx(918.842, abs=0.01)
    assert len(anyhow["fills"]) <= len(walking["fills"])
    assert document["batches"][0]["tanks"][:2] == ["G1", "G2"]


def test_the_same_words_give_the_same_bytes(made: Made, tmp_path: Path) -> None:
    made()
    said = {
        subprocess.run(
            [sys.executable, "-m", "roomtasks", "-r", str(tmp_path / "room.sqlite"), "water",
             *more, "--at", FRIDAY],
            capture_output=True, check=False, env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
        for more in (("--json",),)
    }  # fmt: skip
    assert len(said) == 1
    assert said.pop()


WHAT_IF: list[tuple[tuple[str, ...], Callable[[Any], Any], Any]] = [
    (("--hour", "15:00"), lambda d: d["wanted_at"], "2027-03-13T15:00:00+00:00"),
    (("--day", "2027-03-20"), lambda d: d["day"], "2027-03-20"),
    (("--fraction", "25%"), lambda d: d["bodies"][0]["tanks_fraction"], 0.25),
    (("--share", "50%"), lambda d: round(d["demands"][0]["litres"], 1), 459.4),
    (("--fill-rate", "R1=12"), lambda d: latest(d["batches"][0])["fill-start"][11:16], "19:43"),
    (("--keep-back",), lambda d: d["reservoirs"][0]["most_litres"], 660.0),
    (("--with", "H1=0.25"), lambda d: round(d["demands"][0]["litres"], 1), 932.2),
    (("--free", "R1=10:40"), lambda d: d["asked"]["free_at"][0]["at"],
     "2027-03-13T10:40:00+00:00"),
    (("--free", "R1=2027-03-14T10:40"), lambda d: d["asked"]["free_at"][0]["at"],
     "2027-03-14T10:40:00+00:00"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "look", "found"), WHAT_IF)
def test_what_if_asks_and_keeps_nothing(
    ask: Ask, words: tuple[str, ...], look: Callable[[Any], Any], found: Any
) -> None:
    before = ask("water", "--json").out
    assert look(plan(ask, *words)) == found
    assert ask("water", "--json").out == before
    assert ask("journal", "--json").json["acts"] == []


def test_cold_new_water_is_refused_with_the_least_and_the_most(ask: Ask) -> None:
    """25 C and 30 % by 21 C: 23.8 C, least 21.7 C, or 25 %. Largest step 1 K."""
    assert ask("read", "D1", "temperature", "25", "C", "--at", FRIDAY).status == 0
    document = plan(ask, "--celsius", "21", status=1)
    draws = {draw["tank"]: draw["match"] for draw in document["demands"][0]["draws"]}
    match = draws["D1"]
    assert match["before_celsius_known"] == "measured"
    assert match["after_celsius"] == pytest.approx(23.8)
    assert match["coldest_new_celsius"] == pytest.approx(21.667, abs=0.001)
    assert match["most_fraction"] == pytest.approx(0.25)
    assert not match["allowed"]
    assert {note["rule"] for note in document["refused"]} == {"temperature"}
    assert "21.7 C" in ask("water", "--celsius", "21").err


BAD = [
    ("--fill-rate", "R1=0"), ("--fill-rate", "R1=-3"), ("--fill-rate", "R1=nan"),
    ("--fill-rate", "R1=inf"), ("--fill-rate", "R1=1e308"), ("--fill-rate", "R1"),
    ("--fill-rate", "R1="), ("--fill-rate", "=9"), ("--fill-rate", "R9=9"),
    ("--with", "Z9=0.3"), ("--with", "H1=0"), ("--with", "H1=1.01"), ("--with", "H1=nan"),
    ("--free", "R1=99"), ("--free", "R9=10:40"), ("--free", "R1=2027-02-30T10:40"),
    ("--day", "2027-03-11"), ("--day", "2027-02-30"), ("--day", "2999-01-01"),
    ("--hour", "25:00"), ("--hour", "9"), ("--share", "0"), ("--share", "nan"), ("--share", "2"),
    ("--fraction", "0"), ("--fraction", "1e308"), ("--celsius", "nan"), ("--celsius", "1e308"),
    ("--celsius", "-5"), ("--celsius", "41"), ("--nonsense",), ("extra",),
]  # fmt: skip


@pytest.mark.parametrize("words", BAD, ids=[" ".join(row) for row in BAD])
def test_bad_words_are_named_and_end_with_two(ask: Ask, words: tuple[str, ...]) -> None:
    said = ask("water", *words)
    assert (said.status, said.out) == (2, "")
    assert words[0] in said.err or "day" in said.err
    assert "Traceback" not in said.err
    problem = ask("water", "--json", *words)
    assert problem.status == 2
    assert problem.json["problem"]["what"]


def test_a_store_without_a_room_says_so(say: Ask, tmp_path: Path) -> None:
    said = say("--room", str(tmp_path / "none.sqlite"), "water", "--json")
    assert said.status == 3
    assert said.json["problem"]["store_fault"]


def test_water_that_no_reservoir_holds_has_a_plan_all_the_same(made: Made) -> None:
    room = example_room()
    jobs = tuple(replace(job, reservoir="") for job in room.jobs)
    ask = made(replace(room, jobs=jobs), recipes="soft")
    said = ask("water", "--json")
    assert said.status == 1
    assert {note["rule"] for note in said.json["refused"]} == {"no-reservoir"}
    assert said.json["batches"] == []
    assert list(faults(said.json)) == []


def test_every_rule_a_plan_may_be_refused_by_is_in_the_reference() -> None:
    told = {rule for rule, _, _ in RULES}
    assert told >= {
        "not-ready-in-time", "not-watched", "no-reservoir", "no-fill-rate", "too-warm", "cold",
        "temperature", "volume", "sump-level", "blend", "dose", "largest-change", "impossible",
    }  # fmt: skip


ACTS: list[tuple[tuple[str, ...], str]] = [
    (("step", "R1", "fill-start", "--for", "2027-03-13", "--recipe", "hard"),
     "R1: fill started, hard, for Sat 13 Mar"),
    (("step", "R1", "hose-out", "--when", "17:40"), "R1: hose laid out at Fri 12 Mar 17:40"),
    (("step", "R1", "mixed", "--litres", "135", "--celsius", "18.5"),
     "R1: mixed, 135 L in it, 18.5 C"),
    (("step", "R1", "full", "--anyway"), "R1: full, 700 L in it"),
    (("choose", "--share", "0.6", "--hour", "10:00"),
     "change of Sat 13 Mar 2027: begins 10:00, every change at 60 %"),
    (("choose", "--day", "2027-03-20", "--keep-back"),
     "change of Sat 20 Mar 2027: the keep-back may be used"),
    (("level", "H1", "salt", "2", "--until", "2027-03-20", "--medicine"),
     "salt in H1: 2 g in each litre until Sat 20 Mar"),
    (("level", "H1", "tonic", "0.5", "--unit", "ml"), "tonic in H1: 0.5 ml in each litre"),
    (("top-off", "S", "9.5"), "topped off S: 9.5 L"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "told"), ACTS, ids=[" ".join(row[0][:4]) for row in ACTS])
def test_each_act_says_what_it_changed_and_what_comes_next(
    ask: Ask, words: tuple[str, ...], told: str
) -> None:
    before = facts(ask)
    said = ask(*words)
    assert (said.status, said.err) == (0, "")
    assert said.flat.startswith("Act 1: ")
    assert told in said.flat
    assert "Next: " in said.flat
    assert facts(ask) != before
    assert ask("undo").status == 0
    assert facts(ask) == before


@pytest.mark.parametrize(("words", "told"), ACTS, ids=[" ".join(row[0][:4]) for row in ACTS])
def test_each_act_as_json(ask: Ask, words: tuple[str, ...], told: str) -> None:
    document = ask(*words, "--json").json
    assert (document["changed"], document["act"]) == (True, 1)
    assert told in document["words"]
    assert document["next_step"]["reservoir"] == "R1"
    assert document["next_step"]["at"][10] == "T"


def facts(ask: Ask) -> tuple[object, ...]:
    """What acts on water can change, as exported rows would tell it."""
    plan_ = ask("water", "--json", "--day", "2027-03-20").json
    today = ask("water", "--json", "--with", "H1=0.25").json
    return plan_, today, ask("tank", "H1", "--json").json, ask("racks", "--json").json, _folder(ask)


def _folder(ask: Ask) -> dict[str, str]:
    """The tables an export writes, but those of the journal."""
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        assert ask("export", f"{folder}/out").status == 0
        return {
            path.name: path.read_text("utf-8")
            for path in sorted(Path(folder, "out").iterdir())
            if path.stem not in ("acts", "changes")
        }


REFUSALS = [
    ("step-order", ("step", "R1", "full")),
    ("step-order", ("step", "R1", "heat-off")),
    ("other-water", ("step", "R1", "fill-start", "--recipe", "soft")),
    ("not-in-the-future", ("step", "R1", "hose-out", "--when", "2027-03-12T18:01")),
    ("no-change", ("level", "H1", "salt", "--end")),
    ("no-change", ("choose", "--as-planned")),
]


@pytest.mark.parametrize(("rule", "words"), REFUSALS)
def test_acts_that_the_room_refuses_name_the_rule(
    ask: Ask, rule: str, words: tuple[str, ...]
) -> None:
    said = ask(*words)
    assert (said.status, said.out) == (1, "")
    assert said.err.rstrip().endswith(f"[{rule}]")
    assert ask(*words, "--json").json["problem"]["rule"] == rule
    assert ask("journal", "--json").json["acts"] == []


BAD_ACTS = [
    ("step", "R9", "full"), ("step", "R1", "swirl"), ("step", "R1"), ("step", "R1", "used"),
    ("step", "R1", "mixed", "--litres", "nan"), ("step", "R1", "mixed", "--litres", "701"),
    ("step", "R1", "mixed", "--celsius", "1e308"), ("step", "R1", "mixed", "--when", "never"),
    ("step", "R1", "fill-start", "--recipe", "nothing"), ("choose",),
    ("choose", "--keep-back", "--no-keep-back"), ("choose", "--share", "0"),
    ("choose", "--day", "2027-03-01", "--share", "0.5"), ("choose", "--hour", "24:00"),
    ("level", "H9", "salt", "2"), ("level", "H1", "salt"), ("level", "H1", "salt", "0"),
    ("level", "H1", "salt", "2", "--end"), ("level", "H1", "salt", "nan"),
    ("level", "H1", "salt", "2", "--unit", "cup"), ("level", "H1", " ", "2"),
    ("level", "H1", "salt", "2", "--until", "2027-03-01"), ("top-off", "R1", "3"),
    ("top-off", "S", "0"), ("top-off", "S", "inf"), ("top-off", "S"),
]  # fmt: skip


@pytest.mark.parametrize("words", BAD_ACTS, ids=[" ".join(row) for row in BAD_ACTS])
def test_bad_words_of_an_act_end_with_two_and_change_nothing(
    ask: Ask, words: tuple[str, ...]
) -> None:
    said = ask(*words)
    assert (said.status, said.out) == (2, "")
    assert said.err.strip()
    assert ask("journal", "--json").json["acts"] == []


def test_a_choice_counts_in_the_next_plan_and_the_keep_back_needs_its_yes(ask: Ask) -> None:
    assert ask("choose", "--share", "0.5", "--hour", "11:00").status == 0
    document = plan(ask)
    assert document["wanted_at"] == "2027-03-13T11:00:00+00:00"
    assert document["demands"][0]["litres"] == pytest.approx(459.4, abs=0.1)
    assert document["reservoirs"][0]["most_litres"] == 560.0
    assert ask("choose", "--keep-back").status == 0
    assert plan(ask)["reservoirs"][0]["most_litres"] == 660.0


def test_steps_done_stand_in_the_plan_and_the_next_one_follows(ask: Ask) -> None:
    for words, when in (
        (("hose-out",), "18:46"), (("fill-start", "--for", "2027-03-13"), "18:56"),
    ):  # fmt: skip
        said = ask("step", "R1", *words, "--at", f"2027-03-12T{when}", "--json")
        assert said.status == 0, said.err
    assert said.json["next_step"]["step"] == "full"
    document = plan(ask, "--at", "2027-03-12T19:00")
    done = {step["step"]: step["done_at"] for step in document["batches"][0]["clock"]}
    assert done["fill-start"] == "2027-03-12T18:56:00+00:00"
    assert done["full"] is None
    assert document["reservoirs"][0]["contents"]["state"] == "filling"
