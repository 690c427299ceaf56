"""The room's settings as room.toml: both ways (TOML 1.0).

The columns of the setup are grouped in tables: [minutes] for those of the
weekdays, [limits] for other numbers, [room] for all else. A column added to
the setup finds its table by itself.
"""

import re
import tomllib
from datetime import date, time
from typing import Any, BinaryIO

from roomtasks.files.faults import FaultsOfFile
from roomtasks.room.column import Column, Value, exact_text, from_text, number_text, shown
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.room.setup import WEEKDAYS, Setup

NAME = "room.toml"
MOST_BYTES = 256_000
TABLES = ("room", "minutes", "limits")
MOST_DOTS = 8
LONGEST_INT_BITS = 1_000
_OF_DAY = {f"{day}_minutes": day for day in WEEKDAYS}
_STRINGS = re.compile(
    r'"""(?:\\?.)*?(?:"""|\Z)'
    r"|'''.*?(?:'''|\Z)"
    r'|"(?:\\.|[^"\\\n])*+"?'
    r"|'[^'\n]*+'?"
    r"|#[^\n]*",
    re.DOTALL,
)
_DOTTED = re.compile(rf"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){{{MOST_DOTS + 1}}}")
_TABLE = re.compile(r"\s*\[\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*\]")
_KEY = re.compile(r"\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*(?:\.\s*[\"']?([A-Za-z0-9_-]+)[\"']?\s*)?=")
_AT_LINE = re.compile(r" \(at line (\d+), column \d+\)$")
_NOT_PLAIN = re.compile(r'["\\\x00-\x1f\x7f]')


def place_of(column: str) -> tuple[str, str]:
    """The table and the key of a column of the setup."""
    if column in _OF_DAY:
        return "minutes", _OF_DAY[column]
    kind = SHEET["setup"].columns[column].kind
    return "limits" if kind in ("number", "int") else "room", column


def dotted(column: str) -> str:
    """Table and key as one name; "" stays."""
    return ".".join(place_of(column)) if column else ""


def setup_text(setup: Setup) -> str:
    """The whole of room.toml. Settings that are blank are left out."""
    lines = [f"# {SHEET['setup'].doc} The zone decides what day it is."]
    for table in TABLES:
        lines += ["", f"[{table}]"]
        for column, spec in SHEET["setup"].columns.items():
            value = getattr(setup, column)
            if place_of(column)[0] == table and value not in ("", None):
                lines.append(f"{place_of(column)[1]} = {_toml(spec, value)}")
    return "\n".join(lines) + "\n"


def _toml(spec: Column, value: Value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return number_text(value)
    text = value.strftime("%H:%M") if isinstance(value, time) else str(value)
    return '"' + _NOT_PLAIN.sub(lambda found: _escaped(found[0]), text) + '"'


def _escaped(sign: str) -> str:
    return "\\" + sign if sign in '"\\' else f"\\u{ord(sign):04X}"


def read_setup(file: BinaryIO, faults: FaultsOfFile) -> tuple[Setup | None, dict[str, int]]:
    """The setup and the line of each of its columns.

    Settings with a fault, told, stand at their default, so that the others
    can still be looked at; None where one has no default.
    """
    text = _decoded(file.read(), faults)
    tables = _parsed(text, faults) if text is not None else None
    if text is None or tables is None:
        return None, {}
    lines = _key_lines(text)
    given = _given(tables, lines, faults)
    sheet = SHEET["setup"]
    columns = sheet.columns.items()
    values: dict[str, Any] = {n: sheet.defaults[n] for n, spec in columns if spec.optional}
    for column, spec in columns:
        value = _value(spec, given.get(column), sheet.defaults[column])
        line = lines.get(dotted(column), lines.get(place_of(column)[0], 1))
        if isinstance(value, Problem):
            faults.tell(line, dotted(column), value.what, value.remedy)
        else:
            values[column] = value
    placed = {column: lines.get(dotted(column), 1) for column in sheet.columns}
    whole = values.keys() == sheet.columns.keys()
    return Setup(**values) if whole else None, placed


def _decoded(raw: bytes, faults: FaultsOfFile) -> str | None:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        faults.tell(1, "", "the file is UTF-16 or UTF-32, not UTF-8", "save the file as UTF-8")
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        begin = raw.rfind(b"\n", 0, error.start) + 1
        place = f"byte {error.start - begin + 1} of the line, 0x{raw[error.start]:02X}"
        line = raw.count(b"\n", 0, error.start) + 1
        faults.tell(line, "", f"{place}, is not UTF-8", "save the file as UTF-8")
        return None
    return re.sub("\r\n?", "\n", text)


def _parsed(text: str, faults: FaultsOfFile) -> dict[str, Any] | None:
    """The tables of a TOML document, None and a fault told where it is none."""
    bare = _STRINGS.sub(lambda found: "x" + "\n" * found[0].count("\n"), text)
    deep = _DOTTED.search(bare)
    if deep is not None:
        line = bare.count("\n", 0, deep.start()) + 1
        faults.tell(line, "", "a name has too many dots", "write a table such as [room] and a key")
        return None
    try:
        return tomllib.loads(text)
    except RecursionError:
        faults.tell(1, "", "its lists are nested too deeply", "write plain settings")
    except ValueError as error:
        at = _AT_LINE.search(str(error))
        line = int(at[1]) if at else max(1, text.count("\n"))
        what = shown(_AT_LINE.sub("", str(error)), 120)
        faults.tell(
            line, "", f"it is not TOML: {what}",
            'write each setting as name = "text" or name = 45, under a [table]',
        )  # fmt: skip
    return None


def _key_lines(text: str) -> dict[str, int]:
    """The line of every table and key, by its dotted name; the first where there are two."""
    found: dict[str, int] = {}
    table = ""
    for number, line in enumerate(text.split("\n"), start=1):
        opened, key = _TABLE.match(line), _KEY.match(line)
        if opened:
            table = opened[1]
            found.setdefault(table, number)
        elif key:
            name = f"{key[1]}.{key[2]}" if key[2] else key[1]
            found.setdefault(f"{table}.{name}" if table else name, number)
    return found


def _given(tables: dict[str, Any], lines: dict[str, int], faults: FaultsOfFile) -> dict[str, Any]:
    """What is written, by column; tables and keys that are none are told."""
    columns = {place_of(column): column for column in SHEET["setup"].columns}
    given: dict[str, Any] = {}
    for table, keys in tables.items():
        if table not in TABLES or not isinstance(keys, dict):
            _tell_table(table, keys, lines, faults, columns)
            continue
        for key, value in keys.items():
            if (table, key) in columns:
                given[columns[table, key]] = value
                continue
            known = [name for place, name in columns if place == table]
            elsewhere = [f"{name} of [{place}]" for place, name in columns if name == key]
            guess = elsewhere or near(key, known)
            faults.tell(
                lines.get(f"{table}.{key}", lines.get(table, 1)), shown(f"{table}.{key}"),
                f"there is no setting “{shown(key)}” in [{table}]",
                or_words(guess) if guess else "use " + ", ".join(known),
            )  # fmt: skip
    return given


def _tell_table(
    table: str, keys: object, lines: dict[str, int], faults: FaultsOfFile,
    columns: dict[tuple[str, str], str],
) -> None:  # fmt: skip
    line = lines.get(table, 1)
    if isinstance(keys, dict | list):
        guess = near(table, TABLES)
        found = f"there is no table [{shown(table)}]"
        if table in TABLES:
            found, guess = f"[{table}] is written as a list of tables", []
        remedy = or_words([f"[{name}]" for name in guess])
    else:
        guess = [f"{key} of [{place}]" for place, key in columns if key == table]
        found, remedy = f"“{shown(table)}” stands outside any table", or_words(guess)
    use = "use " + ", ".join(f"[{name}]" for name in TABLES)
    faults.tell(line, shown(table), found, remedy if guess else use)


def _value(spec: Column, given: object, default: Value) -> Value | Problem:
    if given is None:
        if spec.optional:
            return default
        return Problem("", "it is missing", f"give {spec.doc}")
    if isinstance(given, str) and spec.kind == "text":
        if not given.strip() and not spec.optional:
            return Problem("", "it is blank", f"give {spec.doc}")
        return exact_text(given)
    text = _plain_text(given)
    if text is None:
        return Problem("", "it is a table or a list", f"give one value: {spec.doc}")
    value = from_text(spec, text)
    return default if value is None else value


def _plain_text(given: object) -> str | None:
    """A TOML value as the text a cell would hold."""
    match given:
        case bool():
            return "yes" if given else "no"
        case int():
            return str(given) if given.bit_length() <= LONGEST_INT_BITS else hex(given)
        case float():
            return number_text(given) if abs(given) < 1e18 else str(given)
        case time():
            return f"{given:%H:%M}" if given.second == 0 else given.isoformat()
        case str():
            return given
        case date():
            return given.isoformat()
    return None
