"""What a command is: its words, and what runs it."""

import argparse
from collections.abc import Callable
from dataclasses import dataclass

from roomtasks.cli.asked import Answer, Asked
from roomtasks.cli.words import Parser
from roomtasks.room.problem import Problem


def no_words(_: Parser) -> None:
    """A command without words of its own."""


@dataclass(frozen=True, slots=True)
class Command:
    """What a command does: what runs it, its words, and a paragraph more for help and reference.

    Its name and its line of help stand in `parser.TABLE`. `writes`: it changes the room.
    """

    run: Callable[[Asked], Answer | Problem | int]
    words: Callable[[Parser], None] = no_words
    more: str = ""
    writes: bool = False


class HelpAt60(argparse.HelpFormatter):
    """Help that can be read at 60 columns."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=20, width=60)
