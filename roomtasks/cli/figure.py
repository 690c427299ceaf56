"""`roomtasks figure`: one bench sum, each the very function the planner uses.

A figure has a name, keys with a unit and perhaps a default, a formula in words
and a source. This module reads `key=value` words, runs one and shapes the
answer; the list of figures is in `figure_list`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import Measure, read_quantity

TEXT = "text"


@dataclass(frozen=True, slots=True)
class Key:
    """One input: its unit when bare, its default (None: must be given), what it is.

    `measure` is TEXT for words; `default` "" of a text key means it may be left out.
    """

    name: str
    unit: str
    doc: str
    measure: Measure | str = Measure.PLAIN
    default: float | str | None = None


Work = Callable[[Mapping[str, Any]], dict[str, Any] | Problem]


@dataclass(frozen=True, slots=True)
class Figure:
    """One sum: `work` gets the inputs by key and gives "value" and further keys."""

    name: str
    doc: str
    keys: tuple[Key, ...]
    unit: str
    formula: str
    source: str
    work: Work


def run_figure(words: Sequence[str], default_zone: str) -> dict[str, Any] | Problem:
    """Work out one figure from its name and key=value words, as the JSON document.

    A Problem with rule "impossible" where arithmetic refuses, with no rule
    where the words are bad.
    """
    from roomtasks.cli.figure_list import FIGURES

    name = words[0] if words else ""
    if name not in FIGURES:
        near = get_close_matches(name, FIGURES, 3)
        hint = "did you mean " + " or ".join(near) if near else "'roomtasks figure' lists them"
        return Problem("figure", f"there is no figure “{shown(name)}”", hint)
    figure = FIGURES[name]
    inputs = _inputs(figure, words[1:], default_zone)
    if isinstance(inputs, Problem):
        return inputs
    answer = figure.work(inputs)
    if isinstance(answer, Problem):
        return answer
    unit = answer.pop("unit", figure.unit)
    value = answer.pop("value")
    return {
        "name": name, "inputs": {key: value for key, value in inputs.items() if value != ""},
        "value": value, "unit": unit, "formula": answer.pop("formula", figure.formula),
        "source": figure.source, **answer,
    }  # fmt: skip


def describe() -> list[Figure]:
    """Every figure, in the order of the list."""
    from roomtasks.cli.figure_list import FIGURES

    return list(FIGURES.values())


def _inputs(figure: Figure, words: Sequence[str], zone: str) -> dict[str, Any] | Problem:
    typed = _typed(figure, words)
    if isinstance(typed, Problem):
        return typed
    inputs: dict[str, Any] = {}
    for key in figure.keys:
        if key.name in typed:
            value = _read(key, typed[key.name])
            if isinstance(value, Problem):
                return value
            inputs[key.name] = value
        elif key.name == "zone":
            inputs["zone"] = zone
        elif key.default is None:
            unit = f" in {key.unit}" if key.unit else ""
            return Problem(key.name, "it is not given", f"add {key.name}=…, {key.doc}{unit}")
        else:
            inputs[key.name] = key.default
    return inputs


def _typed(figure: Figure, words: Sequence[str]) -> dict[str, str] | Problem:
    known = [key.name for key in figure.keys]
    typed: dict[str, str] = {}
    for word in words:
        name, sign, text = word.partition("=")
        if not sign:
            return Problem("figure", f"“{shown(word)}” is no key=value", "write " + _usage(figure))
        if name not in known:
            near = get_close_matches(name, known, 1)
            hint = f"did you mean {near[0]}?" if near else "keys are " + ", ".join(known)
            return Problem(figure.name, f"there is no key “{shown(name)}”", hint)
        if name in typed:
            return Problem(name, "it is given twice", "give it once")
        typed[name] = text
    return typed


def _read(key: Key, text: str) -> float | str | Problem:
    if key.measure == TEXT:
        if not text.strip():
            return Problem(key.name, "it is blank", f"give {key.doc}")
        return text.strip()
    if isinstance(key.measure, str):
        raise TypeError(key.measure)
    return read_quantity(key.name, text, key.measure, key.unit)


def _usage(figure: Figure) -> str:
    parts = [
        f"{key.name}=…" if key.default is None else f"[{key.name}={key.default}]"
        for key in figure.keys
    ]
    return f"{figure.name} " + " ".join(parts)
