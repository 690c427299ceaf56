"""What a column of a sheet is: the one description that the store, the room
folder, the forms and the docs all read.

Each fact of the room is a frozen value whose fields are declared with
`column(...)`; `Sheet` lists them in order. Lives here: kinds of column, their
limits, text to value and back. Does not live here: files, SQL, rules between
rows (`check`).
"""

import math
import re
from collections.abc import Sequence
from dataclasses import MISSING, dataclass, field, fields
from datetime import date, datetime, time, timedelta, timezone
from decimal import Decimal
from functools import cached_property
from typing import Any, Generic, Literal, TypeVar
from zoneinfo import ZoneInfo

from roomtasks.room.problem import Problem

KindOfColumn = Literal["text", "code", "word", "int", "number", "day", "instant", "time", "yesno"]
Value = str | int | float | date | datetime | time | bool | None

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,31}")
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_HALF_SIGN = re.compile("[\ud800-\udfff]")
_TIME = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
LONGEST_TEXT = 10_000
LONGEST_NUMBER = 400
LARGEST_NUMBER = 1e9
FIRST_YEAR = 1900
LAST_YEAR = 2999


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its kind, unit, limits (both included) and a line for the docs."""

    kind: KindOfColumn
    doc: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    words: tuple[str, ...] = ()
    optional: bool = False


def column(
    kind: KindOfColumn,
    doc: str,
    *,
    default: object = MISSING,
    unit: str = "",
    low: float | None = None,
    high: float | None = None,
    words: Sequence[str] = (),
) -> Any:
    """A dataclass field that is also a column; with a default it may be left blank."""
    spec = Column(kind, doc, unit, low, high, tuple(words), default is not MISSING)
    if default is MISSING:
        return field(metadata={"column": spec})
    return field(default=default, metadata={"column": spec})


T = TypeVar("T")


@dataclass(frozen=True)
class Sheet(Generic[T]):
    """A kind of fact: its name (table and file), value class, key and columns."""

    name: str
    cls: type[T]
    key: tuple[str, ...]
    doc: str
    history: bool = False

    @cached_property
    def columns(self) -> dict[str, Column]:
        return {f.name: f.metadata["column"] for f in fields(self.cls)}  # type: ignore[arg-type]

    @cached_property
    def defaults(self) -> dict[str, Value]:
        return {
            f.name: None if f.default is MISSING else f.default
            for f in fields(self.cls)  # type: ignore[arg-type]
        }

    def key_of(self, value: T) -> tuple[Value, ...]:
        return tuple(getattr(value, name) for name in self.key)

    def plain(self, value: T) -> dict[str, str | int | float | None]:
        """The value as JSON- and SQL-ready scalars, by column name."""
        return {name: to_plain(getattr(value, name)) for name in self.columns}

    def filled(self, plain: dict[str, Any]) -> dict[str, Any]:
        """Scalars of a row, as the journal keeps them, with the default of each column they lack.

        Rows written before a column was added have no cell of it. A column
        without a default is left out, as it was.
        """
        return plain | {
            name: to_plain(self.defaults[name])
            for name, spec in self.columns.items()
            if spec.optional and name not in plain
        }

    def value(self, plain: dict[str, Any]) -> T:
        """The value from scalars written by `plain`."""
        return self.cls(
            **{name: from_plain(spec.kind, plain[name]) for name, spec in self.columns.items()}
        )


def to_plain(value: Value) -> str | int | float | None:
    """Scalars keep; dates and times become ISO text; yes/no becomes 1/0."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, date):
        return value.isoformat()
    return value


def from_plain(kind: KindOfColumn, plain: Any) -> Value:
    """Undo `to_plain` for a column of this kind."""
    if plain is None:
        return None
    match kind:
        case "day":
            return date.fromisoformat(plain)
        case "instant":
            return datetime.fromisoformat(plain)
        case "time":
            return time.fromisoformat(plain)
        case "yesno":
            return bool(plain)
        case "number":
            return float(plain)
        case _:
            return plain  # type: ignore[no-any-return]


def to_text(spec: Column, value: Value) -> str:
    """The value as written in a CSV cell or a form."""
    if value is None:
        return ""
    if spec.kind == "yesno":
        return "yes" if value else "no"
    if spec.kind == "number" and isinstance(value, int | float):
        return number_text(value)
    return str(to_plain(value))


def number_text(value: float) -> str:
    """The shortest digits that read back as the same number, never with an exponent."""
    digits = format(Decimal(repr(float(value) + 0.0)), "f")
    return digits[:-2] if digits.endswith(".0") else digits


def from_text(
    spec: Column, text: str, *, decimal_comma: bool = False, zone: ZoneInfo | None = None
) -> Value | Problem:
    """Read one cell. Blank gives None where the column may be blank.

    An instant without an offset is local to `zone`, and a fault where no zone
    is given. A fault comes back as a Problem with an empty `where`: the caller
    knows the file and line, or the field of the form.
    """
    stripped = text.strip()
    if not stripped:
        if spec.optional:
            return None
        return Problem("", "it is blank", f"give {spec.doc}")
    match spec.kind:
        case "text":
            return exact_text(text.strip())
        case "code":
            return _code(stripped)
        case "word":
            return _word(spec, stripped)
        case "int" | "number":
            return _number(spec, stripped, decimal_comma)
        case "day":
            return _day(stripped)
        case "instant":
            return _instant(stripped, zone)
        case "time":
            if not _TIME.fullmatch(stripped):
                return Problem("", f"“{shown(text)}” is no time of day", "write it as 07:30")
            return time.fromisoformat(stripped)
        case "yesno":
            return _yesno(stripped)


def exact_text(text: str, longest: int = LONGEST_TEXT) -> str | Problem:
    """A text as it is, blanks at its ends too, if a file and a screen can hold it."""
    if len(text) > longest:
        return Problem("", f"it is {len(text):,} characters long", f"keep to {longest:,}")
    if "\x00" in text:
        return Problem("", "it holds a NUL character", "take it out")
    if _HALF_SIGN.search(text):
        return Problem("", "it holds half a sign, which is no text", "type it anew")
    return text


def _code(text: str) -> str | Problem:
    if not _CODE.fullmatch(text):
        return Problem(
            "", f"“{shown(text)}” is no code",
            "use 1 to 32 letters, digits, '-', '_' or '.', beginning with a letter or digit",
        )  # fmt: skip
    return text


def _word(spec: Column, text: str) -> str | Problem:
    if text.lower() in spec.words:
        return text.lower()
    return Problem("", f"“{shown(text)}” is not one of the words", "use " + ", ".join(spec.words))


def _number(spec: Column, text: str, decimal_comma: bool) -> int | float | Problem:
    if decimal_comma and "." not in text and text.count(",") == 1:
        text = text.replace(",", ".")
    unit = f" ({spec.unit})" if spec.unit else ""
    if len(text) > LONGEST_NUMBER or not _NUMBER.fullmatch(text):
        return Problem("", f"“{shown(text)}” is no number", f"write digits such as 12.5{unit}")
    number = float(text)
    if math.isinf(number) or abs(number) > LARGEST_NUMBER:
        return Problem("", f"{shown(text)} is too large", f"give at most {LARGEST_NUMBER:g}{unit}")
    if spec.low is not None and number < spec.low:
        return Problem("", f"{text} is too small", f"give at least {spec.low:g}{unit}")
    if spec.high is not None and number > spec.high:
        return Problem("", f"{text} is too large", f"give at most {spec.high:g}{unit}")
    if spec.kind == "number":
        return number + 0.0
    if number != int(number):
        return Problem("", f"{text} is not a whole number", f"give a whole number{unit}")
    return int(number)


def _day(text: str) -> date | Problem:
    if not _DAY.fullmatch(text):
        return Problem("", f"“{shown(text)}” is no date", "write it as 2027-03-14")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return Problem("", f"the date {text} does not exist", "look at the day and the month")
    return day if _in_reach(day) else _out_of_reach(text)


def _instant(text: str, zone: ZoneInfo | None) -> datetime | Problem:
    try:
        instant = datetime.fromisoformat(text) if text.isascii() else None
    except ValueError:
        instant = None
    if instant is None or ("T" not in text and " " not in text):
        return Problem(
            "", f"“{shown(text)}” is no time that exists", "write it as 2027-03-14T07:30+00:00"
        )
    if not _in_reach(instant):
        return _out_of_reach(text)
    instant = instant.replace(microsecond=0)
    if instant.tzinfo is not None:
        return instant
    if zone is None:
        return Problem("", f"{text} has no offset from UTC", "add it, as in 2027-03-14T07:30+00:00")
    from roomtasks.room.day import resolve  # `day` shows foreign text through this module

    local = resolve(instant, zone)
    # An offset instead of the zone, so that the same moment is equal wherever it was read.
    return local.replace(tzinfo=timezone(local.utcoffset() or timedelta()))


def _in_reach(day: date) -> bool:
    return FIRST_YEAR <= day.year <= LAST_YEAR


def _out_of_reach(text: str) -> Problem:
    return Problem(
        "", f"{shown(text)} is out of reach", f"use the years {FIRST_YEAR} to {LAST_YEAR}"
    )


def _yesno(text: str) -> bool | Problem:
    if text.lower() in ("yes", "no"):
        return text.lower() == "yes"
    return Problem("", f"“{shown(text)}” is neither yes nor no", "write yes or no")


def shown(text: str, longest: int = 40) -> str:
    """Foreign text made harmless for a message: control signs visible, cut short."""
    return harmless(text if len(text) <= longest else text[: longest - 1] + "…")


def harmless(text: str) -> str:
    """The text with control and direction signs made visible, whole."""
    return text if text.isprintable() else "".join(map(visible, text))


_HIDDEN = {0x200E, 0x200F, 0x061C, 0xFEFF, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}


def visible(sign: str) -> str:
    """Control and direction characters as visible signs; all others as typed."""
    number = ord(sign)
    if number < 0x20:
        return chr(0x2400 + number)
    if number == 0x7F:
        return "␡"
    if 0x80 <= number < 0xA0 or number in _HIDDEN or 0xD800 <= number < 0xE000:
        return "�"
    if number in (0x2028, 0x2029, 0x85):
        return "␤"
    return sign
