"""Any words in any order: one document or readable lines, a known status, and a whole room after.

Commands are made up from what each command's own parser asks for, so that a
new command is tried without a line here. Seeded: the same calls every time.
"""

import argparse
import random
from pathlib import Path

import pytest

from roomtasks.cli.parser import TABLE, command_named
from roomtasks.cli.words import Parser
from roomtasks.room.room import SHEETS
from roomtasks.store.base import Store
from roomtasks.store.read import rows
from tests.cli.conftest import Ask, Said

CALLS = 160
DAYS = ["2027-03-05", "2027-03-06", "2027-03-28", "2998-12-31", "1901-01-01"]
JOBS = [
    "look@A1", "look@Q1", "feed@B1", "check", "change-s", "change-alone@B1", "strip@B3",
    "service", "fill-r1", "carbon", "test-q", "squeeze-1@B1-1", "squeeze-2@B1-2",
]  # fmt: skip
POOLS: dict[str, list[str]] = {
    "jobs": JOBS, "tank": ["A1", "A3", "B1", "Q1"], "group": ["calvus", "young-calvus", "g9"],
    "count": ["1", "3", "18"], "target": ["A1", "room", "S", "R1", "B1-1"], "system": ["S"],
    "value": ["7", "25.5", "-3"], "what": ["ph", "temperature"], "event": ["spawn", "x"],
    "act": ["1", "2"], "hold": ["hold-1", "hold-2"], "amount": ["15%", "8L", "1"],
    "minutes": ["0", "60", "1.5"], "when": ["08:00", "yesterday 20:00", "2027-03-05T10:00"],
    "share": ["0.3"], "litres": ["5", "1000"], "reason": ["no water", "[red]\x1b[2J"],
    "note": ["\u202e", "=cmd()"], "most": ["5"], "find": ["%", "look"], "line": ["L"],
    "name": ["tank-volume"], "inputs": ["length=60", "width=30", "water=30"],
    "to": DAYS, "until": DAYS, "day": DAYS, "first": DAYS, "last": DAYS, "born": DAYS,
}  # fmt: skip
INSTANTS = ["2027-03-06T07:30"] * 6 + ["2027-03-28T01:30", "1901-01-01T00:00", "2998-12-31T23:59"]
ODD = ["", "-", "--", "NaN", "１２", "1e308", "\ud800", "\x00", "--nonsense", "x" * 200]


@pytest.mark.parametrize("seed", range(4))
def test_any_words(
    say: Ask, store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    monkeypatch.chdir(tmp_path)  # words such as `--html 1` write where they are said
    dice = random.Random(seed)
    for number in range(CALLS):
        words = some_words(dice, tmp_path, number)
        said = say("-r", str(store), "--at", dice.choice(INSTANTS), *words)
        assert said.status in (0, 1, 2, 3), words
        readable(said, "--json" in words)
    checked = say("-r", str(store), "check")
    assert checked.status == 0, checked.out
    carried(say, store, tmp_path)


def some_words(dice: random.Random, folder: Path, number: int) -> list[str]:
    """One command with words it may take, one in ten with something odd among them."""
    name = dice.choice([name for name in TABLE if name != "open"])
    parser = Parser(prog=name, add_help=False)
    command_named(name).words(parser)
    words = [name]
    for action in parser.noted:
        words += _word(dice, action, folder, number)
    if dice.random() < 0.1:
        words.insert(dice.randint(1, len(words)), dice.choice(ODD))
    return [*words, "--json"] if dice.random() < 0.4 else words


def _word(dice: random.Random, action: argparse.Action, folder: Path, number: int) -> list[str]:
    optional = bool(action.option_strings)
    if (optional and not action.required and dice.random() < 0.65) or (
        action.nargs == "?" and dice.random() < 0.4
    ):
        return []
    lead = list(action.option_strings[-1:])
    if action.nargs == 0:
        return lead
    pool = [str(choice) for choice in action.choices or ()] or POOLS.get(action.dest, ["1"])
    if action.dest in ("file", "folder"):
        pool = [str(folder / f"{action.dest}{n}") for n in (1, 2)]
    many = dice.randint(1, 3) if action.nargs in ("+", "*") else 1
    return [*lead, *(dice.choice(pool) for _ in range(many))]


def readable(said: Said, as_json: bool) -> None:
    """Nothing but visible signs, and one document where one was asked for."""
    for sign in said.out + said.err:
        assert sign == "\n" or ord(sign) >= 0x20
    assert "Traceback" not in said.err
    if as_json:
        assert isinstance(said.json, dict)
    elif said.status == 0:
        assert max((len(line) for line in said.out.splitlines()), default=0) <= 60


def carried(say: Ask, store: Path, folder: Path) -> None:
    """Out to a folder and in again: the same facts."""
    assert say("-r", str(store), "export", str(folder / "out")).status == 0
    taken = say("-r", str(folder / "in.db"), "import", str(folder / "out"))
    assert taken.status == 0, taken.err
    with Store.open(store) as one, Store.open(folder / "in.db") as other:
        for sheet in SHEETS:
            assert rows(one, sheet) == rows(other, sheet)
