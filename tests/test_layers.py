"""The import rule: which layer may import what, held against every file and a fresh interpreter.

A new package without a row fails. `room` may not ask the time, open a file,
print or throw dice. The rule itself is tried on broken examples below.
"""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "roomtasks"


def names(text: str) -> set[str]:
    return set(text.split())


PURE = names(
    "dataclasses datetime zoneinfo math typing enum collections itertools functools fractions "
    "decimal re bisect statistics heapq difflib textwrap calendar contextlib operator "
    "unicodedata"
)
PLAIN = PURE | names(
    "sqlite3 sqlite_utils json pathlib contextlib os importlib tempfile hashlib shutil stat array "
    "urllib itertools time errno"
)
LAYERS: dict[str, tuple[set[str], set[str]]] = {
    "room": ({"room"}, PURE),
    "store": ({"room", "store"}, PLAIN),
    "files": (
        {"room", "files"},
        PLAIN | {"csv", "tomllib", "html", "io", "codecs", "random", "secrets", "segno"},
    ),
    "clock": ({"room", "clock"}, PURE | {"time", "apscheduler", "asyncio", "logging"}),
    "work": ({"room", "store", "files", "work"}, PLAIN | {"uuid", "logging", "platformdirs"}),
    "tui": (
        {"room", "store", "work", "clock", "tui"},
        PLAIN | names("abc asyncio rich textual gc sys time concurrent signal threading"),
    ),
    "cli": (
        {"room", "store", "files", "work", "clock.now", "tui", "cli"},
        PLAIN
        | {
            "argparse",
            "sys",
            "platformdirs",
            "signal",
            "logging",
            "time",
            "io",
            "unicodedata",
            "csv",
        },
    ),
}
LATE_ONLY = {"cli": {"tui"}}
DATEUTIL_HOMES = {"recurrence"}
FORBIDDEN_CALLS = {"now", "today", "utcnow", "open", "print", "random", "input"}


def layer_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0] if path.parent != PACKAGE else ""


def faults_of(layer: str, stem: str, source: str) -> list[str]:
    """What a file of this layer does that its row forbids."""
    tree = ast.parse(source)
    ours, outside = LAYERS[layer]
    top = set(tree.body)
    found = []
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        for name in names:
            found += _import_faults(layer, stem, name, ours, outside, node in top)
        if layer == "room" and isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else (
                node.func.id if isinstance(node.func, ast.Name) else ""
            )  # fmt: skip
            if called in FORBIDDEN_CALLS:
                found.append(f"{stem} calls {called}()")
    return found


def _import_faults(
    layer: str, stem: str, name: str, ours: set[str], outside: set[str], at_top: bool
) -> list[str]:  # fmt: skip
    parts = name.split(".")
    if parts[0] == "roomtasks":
        if len(parts) == 1:
            return []
        allowed = parts[1] in ours or ".".join(parts[1:3]) in ours
        if not allowed:
            return [f"{stem} imports {name}"]
        if at_top and parts[1] in LATE_ONLY.get(layer, set()):
            return [f"{stem} imports {name} at the top, not inside the function that needs it"]
        return []
    if parts[0] == "dateutil" and layer == "room":
        return [] if stem in DATEUTIL_HOMES else [f"{stem} imports {name}"]
    return [] if parts[0] in outside else [f"{stem} imports {name}"]


def test_every_file_keeps_to_its_layer() -> None:
    found = []
    for path in PACKAGE.rglob("*.py"):
        layer = layer_of(path)
        if not layer:
            continue
        assert layer in LAYERS, f"the package {layer} has no row in the import rule"
        found += [
            f"{path.relative_to(ROOT)}: {fault}"
            for fault in faults_of(layer, path.stem, path.read_text("utf-8"))
        ]
    assert found == []


@pytest.mark.parametrize(
    ("layer", "source"),
    [
        ("room", "import sqlite3"),
        ("room", "from roomtasks.store.base import Store"),
        ("room", "import dateutil.rrule"),
        ("room", "from datetime import datetime\ndatetime.now()"),
        ("room", "open('x')"),
        ("store", "from roomtasks.work.marking import mark"),
        ("work", "import textual"),
        ("cli", "from roomtasks.tui.app import run"),
        ("cli", "def f():\n    from roomtasks.clock.alarm import Alarms"),
        ("tui", "from roomtasks.cli.main import main"),
        ("clock", "import textual"),
    ],
)
def test_the_rule_sees_what_it_forbids(layer: str, source: str) -> None:
    assert faults_of(layer, "broken", source)


def test_a_command_loads_neither_interface_nor_scheduler(tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "from roomtasks.cli.main import main\n"
        f"main(['-r', {str(tmp_path / 'none.db')!r}, 'walk', '--json'])\n"
        "heavy = {'textual', 'apscheduler', 'sqlite_utils', 'numpy', 'pandas'} & set(sys.modules)\n"
        "sys.exit(', '.join(sorted(heavy)) or 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_one_broad_except_at_the_most() -> None:
    broad = 0
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ExceptHandler):
                kind = node.type
                bare = kind is None or (isinstance(kind, ast.Name) and kind.id == "Exception")
                broad += bare
    assert broad <= 1
