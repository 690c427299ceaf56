"""The complete reference of the room folder, made from the sheets themselves.

`markdown` is what docs/room-folder.md holds; a test compares the two. What is
no table of columns stands in `reference_words`, the example in `example`.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from roomtasks.files.cells import longest_text
from roomtasks.files.example import EXAMPLE
from roomtasks.files.folder import file_of
from roomtasks.files.reference_words import CHECKED, LINES, START, WRITING
from roomtasks.files.setup_file import NAME, TABLES, place_of
from roomtasks.files.sheet_file import CODED, left_to_the_program
from roomtasks.room.column import Column, Sheet, Value, to_text
from roomtasks.room.kind import KINDS
from roomtasks.room.room import SHEET, SHEETS
from roomtasks.room.trigger import FORMS as RULES
from roomtasks.room.where import FORMS as PLACES

_KIND_WORDS = {
    "text": "text",
    "code": "code",
    "word": "word",
    "int": "whole number",
    "number": "number",
    "day": "date",
    "instant": "date and time",
    "time": "time of day",
    "yesno": "yes or no",
}


def markdown() -> str:
    """The whole of docs/room-folder.md."""
    parts = [START, *_files(), "## A small room", *_example(), WRITING, "## The files"]
    parts += [*_settings(), *(part for sheet in SHEETS if sheet.key for part in _sheet(sheet))]
    parts += ["## Lines of text with a meaning", *_lines(), CHECKED]
    return "\n\n".join(part.strip() for part in parts) + "\n"


def _files() -> Iterator[str]:
    rows = [(f"`{NAME}`", "yes", SHEET["setup"].doc)]
    rows += [(f"`{file_of(s.name)}`", "", s.doc) for s in SHEETS if s.key]
    yield _table(("file", "must be there", "what it holds"), rows)


def _example() -> Iterator[str]:
    for name, text in EXAMPLE.items():
        yield f"`{name}`"
        yield f"```{'toml' if name == NAME else 'csv'}\n{text}```"


def _settings() -> Iterator[str]:
    sheet = SHEET["setup"]
    yield f"### {NAME}"
    yield f"{sheet.doc} Text and times of day stand in quotation marks (TOML 1.0)."
    rows = [
        (f"`[{table}]`", f"`{place_of(name)[1]}`", *_told(sheet, name, spec))
        for table in TABLES
        for name, spec in sheet.columns.items()
        if place_of(name)[0] == table
    ]
    yield _table(("table", "setting", "meaning", "value", "if left out"), rows)


def _sheet(sheet: Sheet[Any]) -> Iterator[str]:
    yield f"### {file_of(sheet.name)}"
    key = " and ".join(f"`{name}`" for name in sheet.key)
    yield f"{sheet.doc} One row for each {key}."
    rows = [(f"`{name}`", *_told(sheet, name, spec)) for name, spec in sheet.columns.items()]
    yield _table(("column", "meaning", "value", "if blank"), rows)


def _told(sheet: Sheet[Any], name: str, spec: Column) -> tuple[str, str, str]:
    """Meaning, value and default of one column."""
    if name == left_to_the_program(sheet):
        blank = f"{CODED[sheet.name]}1, {CODED[sheet.name]}2 …" if sheet.name in CODED else ""
        blank = blank or "the next number"
    elif not spec.optional:
        blank = "**must be given**"
    else:
        blank = _default(spec, sheet.defaults[name])
    return spec.doc, _value(spec, longest_text(sheet.name)), blank


def _default(spec: Column, value: Value) -> str:
    text = to_text(spec, value)
    return f"{text}{f' {spec.unit}' if spec.unit and text else ''}" or "nothing"


def _value(spec: Column, longest: int) -> str:
    if spec.words == tuple(KINDS):
        return "a kind of job, see below"
    if spec.words:
        return ", ".join(spec.words)
    words = _KIND_WORDS[spec.kind]
    if spec.kind == "text" and "JSON" in spec.doc:
        words = f"JSON, up to {longest:,} characters"
    words += f" in {spec.unit}" if spec.unit else ""
    if spec.low is not None and spec.high is not None:
        return f"{words}, {spec.low:,.10g} to {spec.high:,.10g}"
    if spec.low is not None:
        return f"{words}, {spec.low:,.10g} or more"
    return words


def _lines() -> Iterator[str]:
    for heading, intro, forms in LINES:
        listed = {"rules": RULES, "places": PLACES}.get(heading, forms)
        yield f"### {intro}"
        yield "\n".join(f"- `{form}`" for form in listed)
    yield "### Kinds of job"
    yield _table(("kind", "in words"), [(f"`{kind.code}`", kind.label) for kind in KINDS.values()])


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(_safe(cell) for cell in line) + " |" for line in lines)


def _safe(cell: str) -> str:
    return cell.replace("|", "\\|")
