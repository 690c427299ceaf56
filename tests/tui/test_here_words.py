"""Commands are for the command line: a screen names its own keys and pages instead."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import roomtasks
from roomtasks.room.problem import Problem
from roomtasks.tui.here_words import NOTED, ON_SCREEN, noted_here, on_screen, said_here
from roomtasks.tui.water_items import Item, Part, laid
from tests.tui.desk import flat, new_store, opened
from tests.tui.side_keys import hit

SOURCES = Path(roomtasks.__file__).parent
OUTSIDE = {"restore", "check", "open", "import"}  # what is put right outside the interface
COMMAND = re.compile(r"\broomtasks ([a-z][a-z-]+)")


def texts(path: Path) -> Iterator[str]:
    """Every text of a module but its docstrings."""
    tree = ast.parse(path.read_text("utf-8"))
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            node.body = [  # type: ignore[attr-defined]
                each for each in body
                if not (isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant))
            ]  # fmt: skip
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def commands() -> set[str]:
    found = set()
    for layer in ("room", "work", "store", "tui"):
        for path in sorted((SOURCES / layer).rglob("*.py")):
            if path.name != "here_words.py":
                for text in texts(path):
                    found.update(COMMAND.findall(text))
    return found


def test_every_command_that_a_text_names_has_words_of_the_screen() -> None:
    notes = {*NOTED, "seen", "pump", "read", "trouble-tick"}
    missing = commands() - OUTSIDE - set(ON_SCREEN) - notes
    assert not missing


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("'roomtasks racks' shows them", "the walk shows them"),
        ("or move 3 back: roomtasks move g1 3 A1", "'plan move' at its tank in the list of broods"),
        ("or wait: 'roomtasks water' says when", "or wait: the water says when"),
    ],
)
def test_a_command_is_said_as_what_the_screen_has(text: str, there: str) -> None:
    assert there in on_screen(text)
    assert "roomtasks" not in on_screen(text)


def test_what_is_done_outside_stays_a_command() -> None:
    text = "leave, then run 'roomtasks restore FILE' with your newest backup"
    assert on_screen(text) == text


def test_a_problem_and_a_line_of_a_list_say_no_command() -> None:
    problem = Problem("B9", "there is no such tank", "'roomtasks racks' shows them")
    assert "roomtasks" not in said_here(problem)
    rows = laid([Part("See 'roomtasks fish'", (Item(key="a", text="or 'roomtasks step'"),))], 60)
    assert not any("roomtasks" in row.text for row in rows.rows)


@pytest.mark.parametrize("command", ["roomtasks read A1 ammonia MG mg/L", "roomtasks seen A1 x"])
def test_a_step_is_noted_by_6(command: str) -> None:
    assert noted_here(command).startswith("6 at its line")
    assert "roomtasks" not in noted_here(command)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 45)])
async def test_no_page_of_a_power_cut_names_a_command(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "z", "1", "6", "5", "enter")
        for _step in range(6):
            await hit(app, pilot, "5")
            assert "roomtasks" not in flat(app)
            await hit(app, pilot, *(["0"] if app.side.screen is not app.screen else []), "2")
