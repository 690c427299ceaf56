"""The facts of the room sheet by sheet: look, add, change, in forms that check as you type."""

import textwrap
from dataclasses import dataclass
from typing import Any

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from roomtasks.room.check import faults_of_change
from roomtasks.room.column import Column, from_text, to_text
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.tui.screens.form import FieldsScreen
from roomtasks.tui.screens.page import PageScreen, PickScreen
from roomtasks.tui.signs import clean
from roomtasks.tui.widgets.lines_view import LinesView, Row
from roomtasks.work.editing import sheets_of
from roomtasks.work.picture import Picture

OFFERED = (
    "jobs", "tanks", "filters", "groups", "reservoirs", "holds", "between", "lines", "stages",
    "courses", "course_steps", "recipes", "rates", "sources", "people", "hours", "racks", "shelves",
    "systems", "setup",
)  # fmt: skip
WORDS = {"setup": "settings"}


class FactsScreen(PageScreen):
    """The rows of one sheet after the other; Enter opens a row, + adds one."""

    BINDINGS = [  # noqa: RUF012
        Binding("5,enter", "open", "change", show=False, id="facts.open"),
        Binding("plus,a", "add", "add", show=False, id="facts.add"),
        Binding("6,right,tab", "turn", "next sheet", show=False, id="facts.turn"),
        Binding("4,left", "turn_back", "sheet before", show=False, id="facts.turn_back"),
        Binding("asterisk,g", "pick", "choose a sheet", show=False, id="facts.pick"),
    ]

    def __init__(self, picture: Picture) -> None:
        super().__init__(
            "", self._rows, "5 change  + add  6 4 sheet  * all sheets  2 8 move  0 back"
        )
        self.picture = picture
        self.sheet = 0
        self.value_of: list[Any] = []

    @property
    def sheet_name(self) -> str:
        return OFFERED[self.sheet]

    def show(self, picture: Picture, said: str = "") -> None:
        """The facts as they stand now."""
        self.picture = picture
        self.query_one("#said", Static).update(Text(clean(said)))
        self.redraw()

    def _values(self) -> tuple[Any, ...]:
        return self.picture.room.rows(self.sheet_name)

    def _rows(self, width: int) -> list[Row]:
        self.query_one("#title", Static).update(Text(_title(self.sheet, width)))
        rows: list[Row] = []
        self.value_of = []
        for value in self._values():
            lines = textwrap.wrap(clean(_summary(self.sheet_name, value)), width - 1,
                                  subsequent_indent="    ", break_on_hyphens=False)  # fmt: skip
            rows += [Row(line) for line in lines]
            self.value_of += [value] * len(lines)
        return rows or [Row("None yet; + adds one.", "quiet")]

    def _step(self, step: int) -> None:
        """What was said of the last change goes with the move."""
        self.query_one("#said", Static).update("")
        super()._step(step)

    def action_turn(self) -> None:
        self._turn(1)

    def action_turn_back(self) -> None:
        self._turn(-1)

    def _turn(self, step: int) -> None:
        self.query_one("#said", Static).update("")
        self.sheet = (self.sheet + step) % len(OFFERED)
        self.query_one(LinesView).at = 0
        self.redraw()

    def action_pick(self) -> None:
        rows = [Row(f"{_words(name):<13} {SHEET[name].doc}") for name in OFFERED]

        def picked(at: int) -> None:
            self.sheet = at
            self._turn(0)

        self.app.push_screen(PickScreen("Facts", lambda _: rows, picked))

    def action_open(self) -> None:
        at = self.query_one(LinesView).at
        if at < len(self.value_of):
            self.app.push_screen(FormScreen(self.picture, self.sheet_name, self.value_of[at]))

    def action_add(self) -> None:
        if not SHEET[self.sheet_name].key:
            self.show(self.picture, "There is one row of settings; 5 changes it.")
            return
        self.app.push_screen(FormScreen(self.picture, self.sheet_name, None))


def _words(name: str) -> str:
    return WORDS.get(name, name.replace("_", " "))


def _title(sheet: int, width: int) -> str:
    """The sheet in hand with those after it, as many as fit."""
    text = f"Facts {sheet + 1} of {len(OFFERED)}: [{_words(OFFERED[sheet])}]"
    for step in range(1, len(OFFERED)):
        more = f"{text}  {_words(OFFERED[(sheet + step) % len(OFFERED)])}"
        if cell_len(more) > width:
            break
        text = more
    return text


def _summary(sheet: str, value: Any) -> str:
    match sheet:
        case "jobs":
            rest = "" if value.active else "  (rests)"
            return f"{value.code:<14} {value.name}: {value.rule}, {value.where}{rest}"
        case "tanks":
            size = f"{value.length_cm:g}x{value.width_cm:g}x{value.water_cm:g} cm water"
            return f"{value.code:<6} {value.role}, {size}"
        case "filters":
            return f"{value.code:<8} {value.kind} in {value.tank}"
        case "groups":
            return f"{value.code:<12} {value.count} {value.line} in {value.tank}, {value.stage}"
        case "reservoirs":
            return f"{value.code:<6} holds {value.holds_litres:g} of {value.full_litres:g} L"
        case "holds":
            until = f" to {value.until}" if value.until else " until lifted"
            return f"{value.code:<10} {value.target}: {value.kinds}{until}, {value.reason}"
        case "between":
            return f"{value.code:<6} {value.first} {value.relation} {value.second}"
        case "setup":
            return f"{value.name}, {value.zone}"
    return _plain(sheet, value)


def _plain(sheet: str, value: Any) -> str:
    """The row's key, then what it says besides."""
    spec = SHEET[sheet]
    said = [
        f"{name.replace('_', ' ')} {text}"
        for name, column in spec.columns.items()
        if name not in spec.key
        and (held := getattr(value, name)) != spec.defaults[name]
        and (text := to_text(column, held))
    ]
    return f"{' '.join(str(part) for part in spec.key_of(value)):<14} {', '.join(said)}"


class Fields(VerticalScroll, can_focus=False, inherit_bindings=False):
    """The fields. No keys of its own: down goes to the next field in a long form, too."""


class FormScreen(FieldsScreen[None]):
    """One row in fields. Every field is checked while it is typed, the row before it is saved."""

    @dataclass
    class Saved(Message):
        """The row as it was filled in, without fault as far as the form knows."""

        form: "FormScreen"
        sheet: str
        value: Any

    def __init__(self, picture: Picture, sheet: str, value: Any | None) -> None:
        super().__init__()
        self.picture, self.sheet, self.value = picture, sheet, value
        self.spec = SHEET[sheet]

    def compose(self) -> ComposeResult:
        word = "Change" if self.value is not None else "Add to"
        yield Static(f"{word} {_words(self.sheet)}", id="title", markup=False)
        with Fields(id="fields"):
            for name, column in self.spec.columns.items():
                with Horizontal(classes="field"):
                    yield Static(name.replace("_", " "), classes="label", markup=False)
                    field = Input(self._text(name, column), placeholder=_hint(column), compact=True)
                    field.id = f"f-{name}"
                    field.disabled = self.value is not None and name in self.spec.key
                    yield field
                yield Static("", classes="fault", id=f"p-{name}", markup=False)
        yield Static("", id="said", markup=False)
        yield Static("F2 save  ↓ ↑ field  Esc back, nothing saved", id="foot", markup=False)

    def _text(self, name: str, column: Column) -> str:
        value = self.spec.defaults[name] if self.value is None else getattr(self.value, name)
        return clean(to_text(column, value))

    def on_mount(self) -> None:
        for line in self.query(".fault"):
            line.display = False
        first = next(field for field in self.query(Input) if not field.disabled)
        first.focus()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """What the field in hand is, whole, until something else is to be said."""
        self._say_hint(event.widget)

    def _say_hint(self, field: Widget) -> None:
        name = (field.id or "")[2:]
        if name in self.spec.columns:
            self.refuse(f"{name.replace('_', ' ')}: {_hint(self.spec.columns[name])}")

    def refuse(self, text: str) -> None:
        """Why it was not saved; what was typed stays."""
        self.query_one("#said", Static).update(Text(clean(text)))

    def on_input_changed(self, event: Input.Changed) -> None:
        name = (event.input.id or "f-")[2:]
        answer = from_text(self.spec.columns[name], event.value)
        fault = f"{answer.what}; {answer.remedy}" if isinstance(answer, Problem) else ""
        self._say_fault(name, fault)
        if not fault:
            self._check_row(name)
        if event.input is self.focused:
            self._say_hint(event.input)

    def _say_fault(self, name: str, text: str) -> None:
        line = self.query_one(f"#p-{name}", Static)
        line.update(Text(clean(text)))
        line.display = bool(text)

    def _check_row(self, name: str) -> None:
        value = self._read()
        if value is None:
            return
        sheets = sheets_of(self.picture.room)
        for fault in faults_of_change(sheets, self.sheet, value):
            if fault.column == name and fault.sheet == self.sheet:
                self._say_fault(name, f"{fault.found}; {fault.remedy}")

    def _read(self) -> Any | None:
        """The row, None while any field has a fault."""
        values: dict[str, Any] = {}
        for name, column in self.spec.columns.items():
            text = self.query_one(f"#f-{name}", Input).value
            answer = from_text(column, text)
            if isinstance(answer, Problem):
                return None
            values[name] = self.spec.defaults[name] if answer is None else answer
        return self.spec.cls(**values)

    def save(self) -> None:
        value = self._read()
        if value is None:
            for field in self.query(Input):
                self.on_input_changed(Input.Changed(field, field.value))
            self.refuse("Not saved: mend the fields marked below them.")
            return
        self.post_message(self.Saved(self, self.sheet, value))

    def action_close(self) -> None:
        self.dismiss(None)


def _hint(column: Column) -> str:
    parts = [column.doc]
    if column.unit:
        parts.append(f"in {column.unit}")
    if column.words:
        parts.append("one of " + ", ".join(column.words))
    return "; ".join(parts)
