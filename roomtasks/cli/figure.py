"""`roomtasks figure`: one bench sum, each the very function the planner uses.

Lives here: which figures there are, and one run of one: words in, the JSON
document or a Problem out. What a figure and a key are, and how a typed value is
read, is in `figure_kit`; the figures themselves stand in `figure_water`,
`figure_heat`, `figure_chemistry`, `figure_fish` and `figure_days`.
Does not live here: any formula, and how an answer looks as text.
"""

from collections.abc import Sequence

from roomtasks.cli.figure_chemistry import CHEMISTRY
from roomtasks.cli.figure_days import DAYS
from roomtasks.cli.figure_fish import FISH
from roomtasks.cli.figure_heat import HEAT
from roomtasks.cli.figure_kit import Figure, Key, tidy, typed_values
from roomtasks.cli.figure_water import WATER
from roomtasks.room.column import shown
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem

__all__ = ["FIGURES", "Figure", "Key", "describe", "run_figure"]

FIGURES: dict[str, Figure] = {
    figure.name: figure for figure in (*WATER, *HEAT, *CHEMISTRY, *FISH, *DAYS)
}


def describe() -> list[Figure]:
    """Every figure, with its keys, units, formula and source, in the order of the list."""
    return list(FIGURES.values())


def run_figure(words: Sequence[str], default_zone: str) -> dict[str, object] | Problem:
    """Work out one figure from its name and `key=value` words, as the JSON document.

    `default_zone` stands in for a zone not given. The Problem's rule is
    "impossible" where arithmetic refuses, and empty where the words are bad.
    """
    figure = _named(words[0] if words else "")
    if isinstance(figure, Problem):
        return figure
    typed = typed_values(figure, words[1:])
    if isinstance(typed, Problem):
        return typed
    given, values = typed
    if any(key.name == "zone" for key in figure.keys):
        values.setdefault("zone", default_zone)
    answer = figure.work(values)
    if isinstance(answer, Problem):
        return answer
    document: dict[str, object] = {
        "name": figure.name,
        "inputs": {name: tidy(value) for name, value in values.items()},
        "assumed": [name for name in values if name not in given],
        "value": tidy(answer.value),
        "unit": answer.unit or figure.unit,
        "formula": figure.formula,
        "source": figure.source,
    }
    return document | {name: tidy(more) for name, more in answer.more.items()}


def _named(name: str) -> Figure | Problem:
    figure = FIGURES.get(name.strip().lower().replace("_", "-"))
    if figure is not None:
        return figure
    if not name.strip():
        return Problem("figure", "no figure is named", f"figures: {', '.join(FIGURES)}")
    alike = near(name, FIGURES)
    remedy = or_words(alike) if alike else f"figures: {', '.join(FIGURES)}"
    return Problem("figure", f"there is no figure “{shown(name)}”", remedy)
