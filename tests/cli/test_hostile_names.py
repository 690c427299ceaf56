"""Names and notes a person typed, or a file held: shown as typed, and harmless.

Every text of the room is made hostile in turn, and every command is asked. The
store is filled directly, past the checks that files and forms go through.
"""

import unicodedata
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.column import LONGEST_TEXT
from roomtasks.room.job import Hold
from roomtasks.room.journal import Reading
from tests.cli.conftest import SATURDAY, Ask
from tests.rooms import FIRST_DAY, at, small_room, store_with

HOSTILE = {
    "markup": "[red]a[/]b",
    "link": "[@click=app.quit]go[/]",
    "escape": "\x1b[31mred\x1b]0;title\x07",
    "sum": "=cmd()|' /C calc'!A0",
    "right to left": "\u202egnirts\u2066",
    "line ends": "two\nlines\r\nand\u2028more\x85",
    "tab and bell": "a\tb\x07\x08c\x7f",
    "c1": "\x9b31mred\x9d",
    "emoji": "🐟👨‍👩‍👧 e\u0301 Ｆｕｌｌ",
    "long": "word " * 400,
    "one long word": "x" * LONGEST_TEXT,
    "percent": "%s %(x)s {0} \\n",
}
COMMANDS = [
    ("walk", "--why", "--all"), ("walk", "--minutes", "20"), ("tank", "Q1"), ("tank", "B1"),
    ("racks",), ("jobs",), ("journal",), ("shared", "A1"), ("water",), ("water", "--why"),
    ("step", "R1", "hose-out"), ("top-off", "S", "3"),
    ("done", "look@B2"), ("move", "young-calvus", "3", "A3"), ("lift", "h1"), ("undo",),
]  # fmt: skip


def hostile_room(text: str) -> dict[str, list[Any]]:
    """The small room with this text wherever a text may stand, but in its rules."""
    sheets = small_room()
    sheets["holds"] = [
        Hold(code="h1", target="Q1", kinds="change", reason="x", since=FIRST_DAY),
    ]
    sheets["readings"] = [
        Reading(id=1, target="Q1", what="ph", value=7.0, unit="x", day=FIRST_DAY,
                at=at("2027-03-01 08:00"), note="x"),
    ]  # fmt: skip
    kept = {"zone", "where", "rule", "window", "effects", "kinds", "first", "second", "reservoir",
            "demo_opens_at", "recipe", "recipes"}  # fmt: skip
    texts: Callable[[Any], dict[str, str]] = lambda row: {  # noqa: E731
        field.name: text
        for field in fields(row)
        if field.metadata["column"].kind == "text" and field.name not in kept
    }
    return {name: [replace(row, **texts(row)) for row in rows] for name, rows in sheets.items()}


@pytest.mark.parametrize("sort", HOSTILE)
def test_every_command_shows_them_harmless(say: Ask, tmp_path: Path, sort: str) -> None:
    text = HOSTILE[sort]
    with store_with(tmp_path, hostile_room(text)) as made:
        room = ("-r", str(made.path), "--at", SATURDAY, "--who", "Ann")
    for words in COMMANDS:
        said = say(*room, *words)
        assert said.status == 0, (words, said.err)
        harmless(said.out)
        harmless(said.err)
        assert max(width(line) for line in said.out.splitlines()) <= 60


@pytest.mark.parametrize("sort", HOSTILE)
def test_json_keeps_them_as_typed(say: Ask, tmp_path: Path, sort: str) -> None:
    text = HOSTILE[sort]
    with store_with(tmp_path, hostile_room(text)) as made:
        room = ("-r", str(made.path), "--at", SATURDAY)
    said = say(*room, "walk", "--json")
    assert said.json["room"] == text
    assert {stop["name"] for stop in said.json["stops"]} == {text}
    assert said.json["held"][0]["reason"] == text
    assert said.out.isascii()
    harmless(said.out)


@pytest.mark.parametrize("sort", ["markup", "escape", "right to left", "line ends"])
def test_a_note_typed_on_the_command_line(ask: Ask, sort: str) -> None:
    assert ask("done", "look@B1", "--note", HOSTILE[sort]).status == 0
    assert ask("tank", "B1", "--json").json["marks"][0]["note"] == HOSTILE[sort].strip()
    harmless(ask("tank", "B1").out)


def harmless(text: str) -> None:
    """Nothing but lines of visible signs."""
    for sign in text:
        assert sign == "\n" or not control(sign), f"U+{ord(sign):04X}"


def control(sign: str) -> bool:
    kind = unicodedata.category(sign)
    return kind in ("Cc", "Zl", "Zp", "Cs") or (kind == "Cf" and sign != "\u200d")


def width(line: str) -> int:
    """Cells as a terminal counts them, at the most."""
    return sum(
        2 if unicodedata.east_asian_width(sign) in "WF" else 0
        if unicodedata.combining(sign) or sign == "\u200d" else 1
        for sign in line
    )  # fmt: skip
