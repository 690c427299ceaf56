"""room.toml: the settings of the room in readable groups, both ways.

Kinds and limits of each setting are in `room.setup`; a setting that stands in
no group below stands in [room].
"""

import re
import tomllib
from collections.abc import Iterator
from datetime import date, datetime, time
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from roomtasks.files.fault import FaultList
from roomtasks.files.lines import opened, text_lines
from roomtasks.room.column import Column, Value, exact_text, from_text, number_text, shown, to_text
from roomtasks.room.problem import Problem
from roomtasks.room.setup import SETUP, WEEKDAYS, Setup

FILE = "room.toml"
LARGEST_SETUP = 1024 * 1024
_OTHER_GROUPS: dict[str, dict[str, str]] = {
    "minutes": {day: f"{day}_minutes" for day in WEEKDAYS},
    "walk": {name: name for name in ("hands_minutes", "steps_minutes")},
    "limits": {"largest_change": "largest_change"},
}


def groups() -> dict[str, dict[str, str]]:
    """Each group of the file: its keys, and the column of the setup each one is."""
    placed = {column for keys in _OTHER_GROUPS.values() for column in keys.values()}
    return {"room": {name: name for name in SETUP.columns if name not in placed}, **_OTHER_GROUPS}


def write_setup(setup: Setup) -> Iterator[str]:
    """The lines of room.toml."""
    for number, (group, keys) in enumerate(groups().items()):
        yield f"\n[{group}]\n" if number else f"[{group}]\n"
        for key, column in keys.items():
            value = getattr(setup, column)
            if value is not None:
                yield f"{key} = {_toml(SETUP.columns[column], value)}\n"


def _toml(spec: Column, value: Value) -> str:
    if spec.kind == "yesno":
        return "true" if value else "false"
    text = to_text(spec, value)
    if spec.kind in ("int", "number"):
        return text
    return '"' + "".join(_escaped(sign) for sign in text) + '"'


_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def _escaped(sign: str) -> str:
    if sign in _SHORT:
        return _SHORT[sign]
    return f"\\u{ord(sign):04X}" if ord(sign) < 0x20 or ord(sign) == 0x7F else sign


def read_setup(path: Path, faults: FaultList) -> tuple[Setup, int] | None:
    """The setup and the line its name stands on; None, and faults noted, where it is wrong."""
    before = faults.counts[FILE]

    def note(line: int, column: str, found: str, would_do: str) -> None:
        faults.add(FILE, line, column, found, would_do)

    with opened(path, LARGEST_SETUP, note) as file:
        text = "" if file is None else "".join(text_lines(file, note))
    if faults.counts[FILE] > before:
        return None
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        line, found = _toml_fault(error)
        note(line, "", found, 'write settings as name = "Fish room", in groups such as [room]')
        return None
    lines = key_lines(text)
    values = _settings(document, lines, faults)
    if faults.counts[FILE] > before:
        return None
    return Setup(**values), lines.get(("room", "name"), 1)


_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


def _toml_fault(error: Exception) -> tuple[int, str]:
    if isinstance(error, RecursionError):
        return 1, "its brackets are nested too deep"
    words = str(error)
    where = _AT_LINE.search(words)
    line = int(where[1]) if where and where[1] else 1
    return line, "it is no TOML: " + shown(_AT_LINE.sub("", words), 100)


_GROUP = re.compile(r"\s*\[\s*([A-Za-z0-9_-]+)\s*\]")
_KEY = re.compile(r"\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*=")


def key_lines(text: str) -> dict[tuple[str, str], int]:
    """The line of each key by group and key; of a group by group and ""."""
    found: dict[tuple[str, str], int] = {}
    group = ""
    for number, line in enumerate(text.split("\n"), start=1):
        opens, key = _GROUP.match(line), _KEY.match(line)
        if opens:
            group = opens[1]
            found.setdefault((group, ""), number)
        elif key:
            found.setdefault((group, key[1]), number)
    return found


def _settings(
    document: dict[str, Any], lines: dict[tuple[str, str], int], faults: FaultList
) -> dict[str, Any]:
    values: dict[str, Any] = dict(SETUP.defaults)
    there: set[str] = set()
    known = groups()
    for group, keys in document.items():
        line = lines.get((group, ""), lines.get(("", group), 1))
        if group not in known or not isinstance(keys, dict):
            faults.add(FILE, line, shown(group), "there is no such group of settings",
                       _near(group, known))  # fmt: skip
            continue
        for key, raw in keys.items():
            at = lines.get((group, key), line)
            column = known[group].get(key)
            if column is None:
                told = f"there is no such setting in [{group}]"
                faults.add(FILE, at, shown(key), told, _near(key, known[group]))
                continue
            there.add(column)
            value = _setting(SETUP.columns[column], raw)
            if isinstance(value, Problem):
                faults.add(FILE, at, key, value.what, value.remedy)
            elif value is not None:
                values[column] = value
    for column, spec in SETUP.columns.items():
        if column not in there and not spec.optional:
            faults.add(FILE, lines.get(("room", ""), 1), column, "the setting is missing",
                       f"add {column} to [room]: {spec.doc}")  # fmt: skip
    return values


def _near(name: str, known: dict[str, Any]) -> str:
    home = next((group for group, keys in groups().items() if name in keys), "")
    if home:
        return f"it belongs into [{home}]"
    near = get_close_matches(name[:64], list(known), 3, 0.5)
    return f"did you mean {' or '.join(near)}?" if near else "use " + ", ".join(known)


def _setting(spec: Column, raw: Any) -> Value | Problem:
    match raw:
        case bool():
            text = "yes" if raw else "no"
        case int():
            text = f"{raw:d}" if abs(raw) < 10**15 else "1" + "0" * 15
        case float():
            text = number_text(raw) if abs(raw) < 1e15 else repr(raw)
        case time():
            text = raw.isoformat() if raw.second or raw.microsecond else f"{raw:%H:%M}"
        case datetime() | date():
            text = raw.isoformat()
        case str():
            if spec.kind == "text" and raw.strip():
                return exact_text(raw)
            text = raw
        case _:
            return Problem("", "it is a list or a group", "give one value")
    if spec.kind in ("text", "word", "code") and not isinstance(raw, str):
        return Problem(
            "", f"{shown(text)} is no text", f'write it in quotation marks: "{spec.doc}"'
        )
    return from_text(spec, text)
