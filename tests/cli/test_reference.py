"""docs/commands.md is what the program says of itself, whole."""

import ast
import re
from pathlib import Path

import pytest

from roomtasks.cli.parser import TABLE, command_named, make_parser
from roomtasks.cli.reference import RULES, reference
from roomtasks.cli.words import Parser

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "commands.md"


def test_the_page_is_the_programs_own() -> None:
    assert PAGE.read_text("utf-8") == reference(), (
        "write it anew: python -m roomtasks.cli.reference > docs/commands.md"
    )


@pytest.mark.parametrize("name", TABLE)
def test_every_command_and_option_is_on_the_page(name: str) -> None:
    page = PAGE.read_text("utf-8")
    section = page.split(f"\n## {name}\n")[1].split("\n## ")[0]
    parser = Parser(prog=name, add_help=False)
    command_named(name).words(parser)
    for action in parser.noted:
        assert action.help
        for option in action.option_strings:
            assert f"`{option}" in section
    help_text = make_parser([name]).format_help()
    assert re.search(rf"^    {name}\b", help_text, re.MULTILINE)


def test_every_rule_that_refuses_is_on_the_page() -> None:
    """Rules are the fourth words of a Problem in the layers that act."""
    found = set()
    for layer in ("work", "cli"):
        for path in (ROOT / "roomtasks" / layer).glob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                    rule = node.args[3] if len(node.args) == 4 else None
                    if node.func.id == "Problem" and isinstance(rule, ast.Constant):
                        found.add(rule.value)
    assert len(found) > 5
    assert found <= {rule for rule, _, _ in RULES}
