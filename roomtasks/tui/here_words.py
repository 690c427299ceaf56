"""What a refusal or a hint says on the screen: commands as the keys that do the same here.

Pure. The words of the command line come from `room` and `work`, which know neither.
"""

import re
from collections.abc import Callable
from dataclasses import replace

from roomtasks.room.problem import Problem

_COMMAND = re.compile(
    r"'roomtasks ([a-z-]+)([^']*)'|\broomtasks ([a-z-]+)((?: [^ ;,.]+)*)"
)  # fmt: skip
_ANYWAY = (
    ", or say --anyway where the command has it", ", or say --anyway", " with --anyway",
    "--anyway",
)  # fmt: skip
_SILENT = ("", "no-change", "ask")


def _first(words: list[str]) -> str:
    return words[0] if words else "it"


ON_SCREEN: dict[str, Callable[[list[str]], str]] = {
    "confirm": lambda words: f"tick {words[-1]} in its release list by 6",
    "part": lambda _: "'part out, with a reason' at the lot",
    "move-lot": lambda _: "'move the whole lot' at the lot",
    "class": lambda words: f"set the class of {_first(words)} to clean",
    "arrive": lambda _: "'fish added to this lot' at the lot",
    "level": lambda words: f"'level {' '.join(words)}' on the command line",
    "fish": lambda _: "the list of fish kept apart",
    "tank": lambda _: "the tank's page",
    "racks": lambda _: "the walk",
    "jobs": lambda _: "the list of jobs (e, then jobs)",
    "ahead": lambda _: "the list of the weeks",
    "broods": lambda _: "the list of broods",
    "places": lambda _: "the group's line in the list of broods",
    "count": lambda _: "a count",
    "journal": lambda _: "the journal",
    "water": lambda _: "the water",
    "step": lambda _: "the steps in the water",
    "home": lambda _: "'not away after all' in the weeks",
    "lift": lambda _: "e, then holds: say until when",
    "done": lambda _: "5 at its line",
    "link": lambda _: "6 at its line in the list of broods",
    "course": lambda _: "'break the course off' at its tank in fish kept apart",
    "walk": lambda _: "the walk",
    "move": lambda _: "'plan move' at its tank in the list of broods",
    "trouble": lambda _: "the list of bad days",
    "trouble-over": lambda _: "'it is over' on the list of bad days",
    "valve": lambda _: "6 at the system's line in the list of fish kept apart",
}


def on_screen(text: str) -> str:
    """Words of the command line as what the screen has for them.

    What the screen has nothing for, as putting a backup back, stays a command.
    """

    def words(found: re.Match[str]) -> str:
        known = ON_SCREEN.get(found[1] or found[3])
        return known((found[2] or found[4] or "").split()) if known else found[0]

    return _COMMAND.sub(words, text) if "roomtasks" in text else text


NOTED = {
    "read": "a reading, r on the walk",
    "step": "its step in the water, c",
    "valve": "6 at the system's line in fish kept apart, s",
    "watch-met": "'watch all of these' in fish kept apart, s",
    "class": "'set its class' in fish kept apart, s",
}


def noted_here(command: str) -> str:
    """How a step of a trouble is noted on the screen, from the command that notes it."""
    words = command.split()
    way = NOTED.get(words[1], "") if len(words) > 1 else ""
    return f"6 at its line, or {way}" if way else "6 at its line"


def said_here(problem: Problem) -> str:
    """A problem in a sentence of the screen, without what only the command line knows."""
    remedy = problem.remedy
    for tail in _ANYWAY:
        remedy = remedy.replace(tail, "")
    return on_screen(replace(problem, remedy=remedy.strip()).sentence())


def refused_here(problem: Problem) -> str:
    """The same; what a rule of the room refuses says so, with the rule's name in brackets."""
    text = said_here(problem)
    return text if problem.rule in _SILENT else f"Refused: {text} [{problem.rule}]"
