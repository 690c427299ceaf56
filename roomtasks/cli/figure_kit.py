"""What a figure is made of: its keys, how typed values are read, and its answer.

Lives here: `Key`, `Figure`, `Answer`, and reading `key=value` words into numbers
of the key's own unit.
Does not live here: the figures (`figure_water` and its kin) and files
(`figure_files`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from roomtasks.room.column import shown
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import LARGEST, Measure, read_quantity, refuse

LEFT_OUT = ""  # the default of a key that may be left out


class Kind(Enum):
    """What a key takes: a number, a whole number, or words."""

    NUMBER = "number"
    WHOLE = "whole number"
    WORDS = "words"


Value = float | int | str


@dataclass(frozen=True, slots=True)
class Key:
    """One input of a figure.

    `unit` is shown, and is what a bare number means; `bare` names the same unit
    to `quantity` where a suffix may name another. `default` None means the key
    must be given, "" that it may be left out.
    """

    name: str
    doc: str
    unit: str = ""
    kind: Kind = Kind.NUMBER
    measure: Measure = Measure.PLAIN
    bare: str = ""
    default: Value | None = None


class Values(dict[str, Value]):
    """The inputs of one run by key, in the order of the figure's keys."""

    def num(self, name: str) -> float:
        """A number that is there."""
        value = self[name]
        if isinstance(value, str):
            raise TypeError(f"{name} takes words")
        return float(value)

    def whole(self, name: str) -> int:
        """A whole number that is there."""
        return int(self.num(name))

    def maybe(self, name: str) -> float | None:
        """A number, or None where it was left out."""
        return self.num(name) if name in self else None

    def words(self, name: str) -> str:
        """Words, empty where they were left out."""
        return str(self.get(name, ""))


@dataclass(frozen=True, slots=True)
class Answer:
    """What a figure comes to; `unit` only where it hangs on the inputs."""

    value: float | int
    more: Mapping[str, object] = field(default_factory=dict)
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """One bench sum: its name, what it answers, its keys, and where it comes from."""

    name: str
    doc: str
    keys: tuple[Key, ...]
    unit: str
    formula: str
    source: str
    work: Callable[[Values], Answer | Problem]


def length(name: str, doc: str, unit: str = "cm", default: float | None = None) -> Key:
    """A key for a length."""
    return Key(name, doc, unit, measure=Measure.LENGTH, bare=unit, default=default)


def litres(name: str, doc: str, default: float | str | None = None) -> Key:
    """A key for a volume of water, in litres."""
    return Key(name, doc, "L", measure=Measure.VOLUME, bare="l", default=default)


def mass(name: str, doc: str, unit: str, default: float | None = None) -> Key:
    """A key for a mass; the unit's first word is what a bare number means ("g" of "g/day")."""
    return Key(name, doc, unit, measure=Measure.MASS, bare=unit.partition("/")[0], default=default)


def celsius(name: str, doc: str, default: str | None = None) -> Key:
    """A key for a temperature, in degrees Celsius."""
    return Key(name, doc, "C", measure=Measure.TEMPERATURE, bare="c", default=default)


def fraction(name: str, doc: str, default: float | None = None) -> Key:
    """A key for a fraction from 0 to 1; 30% is read as 0.3."""
    return Key(name, doc, "fraction", measure=Measure.FRACTION, default=default)


def number(name: str, doc: str, unit: str = "", default: float | str | None = None) -> Key:
    """A key for a bare number."""
    return Key(name, doc, unit, default=default)


def whole(name: str, doc: str, default: int | str | None = None, unit: str = "") -> Key:
    """A key for a whole number."""
    return Key(name, doc, unit, Kind.WHOLE, default=default)


def words(name: str, doc: str, default: str | None = None) -> Key:
    """A key for words."""
    return Key(name, doc, kind=Kind.WORDS, default=default)


def one(value: float | int | Problem) -> Answer | Problem:
    """The answer of a figure that comes to one number and nothing more."""
    return value if isinstance(value, Problem) else Answer(value)


def typed_values(figure: Figure, typed: Sequence[str]) -> tuple[set[str], Values] | Problem:
    """The keys that were typed, and all inputs with the defaults filled in."""
    texts = _texts(figure, typed)
    if isinstance(texts, Problem):
        return texts
    values = Values()
    for key in figure.keys:
        if key.name in texts:
            value = _read(key, texts[key.name])
            if isinstance(value, Problem):
                return value
            values[key.name] = value
        elif key.default is not None and key.default != LEFT_OUT:
            values[key.name] = key.default
    lacking = [key for key in figure.keys if key.default is None and key.name not in values]
    if lacking:
        names = ", ".join(f"{key.name}=" for key in lacking)
        return Problem(figure.name, f"{names} is not given", usage(figure))
    return set(texts), values


def usage(figure: Figure) -> str:
    """How a figure is asked for, in one line."""
    parts = []
    for key in figure.keys:
        shape = f"{key.name}={'…' if key.default in (None, LEFT_OUT) else key.default}"
        parts.append(shape if key.default is None else f"[{shape}]")
    return " ".join([figure.name, *parts])


def _texts(figure: Figure, typed: Sequence[str]) -> dict[str, str] | Problem:
    """The typed words by key, each known and given once."""
    known = [key.name for key in figure.keys]
    texts: dict[str, str] = {}
    for word in typed:
        name, sign, text = word.partition("=")
        name = name.strip().lower().replace("-", "_")
        if not sign:
            return Problem(figure.name, f"“{shown(word)}” is no key=value", usage(figure))
        if name not in known:
            alike = near(name, known)
            remedy = or_words(alike) if alike else f"keys: {', '.join(known)}"
            return Problem(figure.name, f"there is no key “{shown(name)}”", remedy)
        if name in texts:
            return Problem(name, "it is given twice", "give it once")
        texts[name] = text
    return texts


def _read(key: Key, text: str) -> Value | Problem:
    if key.kind is Kind.WORDS:
        return text.strip() or Problem(key.name, "is blank", f"give {key.doc}")
    value = read_quantity(key.name, text, key.measure, key.bare)
    if key.kind is Kind.WHOLE and not isinstance(value, Problem):
        if value != int(value):
            return refuse(key.name, f"must be a whole number, not {value:g}")
        return int(value)
    return value


def tidy(value: object) -> object:
    """Numbers to twelve figures, so that 24.000000000000004 is shown as 24.0."""
    if isinstance(value, float):
        return float(f"{value:.12g}") if abs(value) <= LARGEST**2 else value
    if isinstance(value, list | tuple):
        return [tidy(each) for each in value]
    return value
