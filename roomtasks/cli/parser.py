"""The one parser: the options every command takes, and the commands in order of the day."""

import argparse

from roomtasks import __version__
from roomtasks.cli import acts, look, mark, tank, walk
from roomtasks.cli.command import Command, HelpAt60
from roomtasks.cli.words import Parser, day, instant_text, path_text, text

FAMILIES = (walk, mark, tank, look, acts)
COMMANDS: dict[str, Command] = {
    command.name: command for family in FAMILIES for command in family.COMMANDS
}
ABOUT = (
    "What is due in a fish room today, in which order to walk it, and a record that is "
    "never lost. With no command the terminal interface opens."
)
EXITS = (
    "Exit status: 0 done; 1 the room says no, with the rule named; 2 bad words or bad "
    "input; 3 the store could not be used; 130 ended by Ctrl-C."
)


def make_parser() -> Parser:
    """The parser with every command."""
    parser = Parser(
        prog="roomtasks", description=ABOUT, epilog=EXITS, formatter_class=HelpAt60,
        allow_abbrev=False,
    )  # fmt: skip
    parser.known_commands = tuple(COMMANDS)
    add_common(parser, None)
    parser.add_argument("--version", action="version", version=f"roomtasks {__version__}")
    commands = parser.add_subparsers(
        dest="command", metavar="COMMAND", title="commands", parser_class=Parser
    )
    for command in COMMANDS.values():
        words = commands.add_parser(
            command.name, help=command.help, description=_described(command),
            formatter_class=HelpAt60, allow_abbrev=False,
        )  # fmt: skip
        command.words(words)
        add_common(words, argparse.SUPPRESS)
    return parser


def _described(command: Command) -> str:
    sentence = command.help[0].upper() + command.help[1:] + "."
    return f"{sentence} {command.more}".replace("%", "%%").strip()


def add_common(parser: Parser, default: str | None) -> None:
    """The options that may stand before or after the command's name."""
    group = parser.add_argument_group("options of every command")
    group.add_argument(
        "-r", "--room", metavar="PATH", type=path_text, default=default,
        help="the room's store; else ROOMTASKS_ROOM, else the user's data folder",
    )  # fmt: skip
    group.add_argument(
        "--demo", action="store_true", default=default or False,
        help="the demo room, at its own time; nothing marked in it is kept",
    )  # fmt: skip
    group.add_argument(
        "--on", metavar="DATE", type=day, default=default,
        help="as if it were that room day, four hours after it begins",
    )  # fmt: skip
    group.add_argument(
        "--at", metavar="DATETIME", type=instant_text, default=default,
        help="as if it were that time, local to the room unless an offset is given",
    )  # fmt: skip
    group.add_argument(
        "--who", metavar="NAME", type=text, default=default,
        help="who does it; else the room's only keeper",
    )  # fmt: skip
    group.add_argument(
        "--json", action="store_true", default=default or False,
        help="one JSON document on standard output, nothing else there",
    )  # fmt: skip
