"""The one parser: the options every command takes, and the commands in order of the day.

A command's module is loaded only when its name is among the words, so that
looking at the walk does not load what a marking needs.
"""

import argparse
from collections.abc import Collection, Sequence
from importlib import import_module
from typing import NamedTuple

from roomtasks import __version__
from roomtasks.cli.command import Command, HelpAt60
from roomtasks.cli.words import Parser, day_as_now, instant_text, path_text, text


class Entry(NamedTuple):
    """Where a command lives, and its line of help."""

    module: str
    help: str


TABLE: dict[str, Entry] = {
    "open": Entry("open", "the terminal interface"),
    "walk": Entry("walk", "today's walk: what is due, in walking order"),
    "ahead": Entry("ahead", "the coming days, levelled, with minutes and litres a day"),
    "done": Entry("mark", "mark jobs as done"),
    "partly": Entry("mark", "mark a part of a job as done; the rest stays due"),
    "put-off": Entry("mark", "not today: put jobs off to a later day"),
    "short-day": Entry("short_day", "only so many minutes today: the rest goes to its own days"),
    "leave-out": Entry("mark", "give this turn of jobs up"),
    "cannot": Entry("mark", "jobs that cannot be done now"),
    "pin": Entry("ahead", "keep a coming job on a day in the plan of the weeks"),
    "unpin": Entry("ahead", "let the plan of the weeks choose a job's day again"),
    "undo": Entry("mark", "take an act back, with all it changed"),
    "water": Entry("water", "the change: litres by tank, batches by the clock, doses, heat"),
    "step": Entry("water", "note a step at a reservoir: hose out, full, conditioned, ready"),
    "choose": Entry("water", "keep a choice for a change day: hour, share, keep-back"),
    "level": Entry("water", "what is kept dissolved in a tank's water, or its end"),
    "top-off": Entry("water", "note the litres run in for what evaporated"),
    "tank": Entry("tank", "one tank's page"),
    "racks": Entry("look", "the racks and what stands on them"),
    "jobs": Entry("look", "the standing jobs"),
    "journal": Entry("look", "the journal, newest first"),
    "shared": Entry("look", "which tanks shared a tank's water"),
    "met": Entry("met", "which tanks water, fish or gear from a tank could have reached"),
    "watch-met": Entry("met", "watch every tank that met one, and hold moves and sales from them"),
    "contact": Entry("met", "note a net, siphon or hands that went from tank to tank uncleaned"),
    "fish": Entry("fish", "lots kept apart, what sets their day, courses, watches, and broods"),
    "arrive": Entry("stay", "new fish were put apart in a tank"),
    "looked": Entry("stay", "a tank was looked at: fine, a sign, dead, not seen"),
    "move-lot": Entry("stay", "move a whole lot to another clean tank"),
    "part": Entry("stay", "take part of a lot out, its dates going along"),
    "confirm": Entry("stay", "say that a line of a lot's release holds"),
    "release": Entry("stay", "release a lot to a tank, with its looks and the strip job"),
    "keep-course": Entry("stay", "keep a course as its label has it"),
    "course": Entry("stay", "start, dose, break off or end a course in a tank"),
    "move": Entry("acts", "move so many of a group to another tank"),
    "out": Entry("acts", "fish that were sold, died, were given away or lost"),
    "put-in": Entry("acts", "a new group of fish in a tank"),
    "count": Entry("acts", "a group was counted"),
    "broods": Entry("broods", "broods: size now, day to move, where to, and the coming weeks"),
    "places": Entry("broods", "which tanks would do for a group, and why others would not"),
    "spawn": Entry("broods", "a spawn was seen: open a brood"),
    "stage": Entry("broods", "a stage of a brood was seen, or its young were counted"),
    "sample": Entry("broods", "young of a brood were measured"),
    "grade": Entry("broods", "part the large of a group from the small"),
    "split": Entry("broods", "share a group over tanks"),
    "close": Entry("broods", "close a brood with its account"),
    "chain": Entry("moves", "plan the shortest chain of moves that brings a group to a tank"),
    "link": Entry("moves", "a link of a chain was done"),
    "slip": Entry("moves", "a link of a chain is done on another day"),
    "drop": Entry("moves", "give up the links of a chain that are not done"),
    "settle": Entry("moves", "settle a difference between count out and count in"),
    "make-over": Entry("moves", "begin to make a tank over for other fish"),
    "step-done": Entry("moves", "a step of a make-over was done"),
    "end-over": Entry("moves", "give a make-over up"),
    "valve": Entry("acts", "a tank's valve on its system was opened or shut"),
    "pump": Entry("acts", "a system's return pump was started or stopped"),
    "hold": Entry("acts", "forbid kinds of job at a place"),
    "lift": Entry("acts", "end a hold"),
    "read": Entry("acts", "note a reading"),
    "seen": Entry("acts", "note something seen, or dated to happen"),
    "seed": Entry("acts", "hang a ripe filter of one tank into another, to start it"),
    "class": Entry("acts", "set a tank's health class"),
    "trouble": Entry("trouble", "power cuts, leaks and the like: clocks, steps, what rests"),
    "trouble-begin": Entry("trouble", "something went wrong at a place"),
    "trouble-over": Entry("trouble", "a trouble was over"),
    "trouble-tick": Entry("trouble", "a step of a trouble was done"),
    "away": Entry("away", "what days away do to the work, and what the stand-in does"),
    "keep-away": Entry("away", "enter days away"),
    "home": Entry("away", "take days away out again"),
    "back": Entry("away", "back from days away: what was missed, and how to catch up"),
    "catch-up": Entry("away", "keep the plan of the return: days and further parts of changes"),
    "sheet": Entry("sheet", "a walk, or a stand-in's days, to print"),
    "ticked": Entry("sheet", "mark what was ticked on a printed walk"),
    "message": Entry("message", "a word to the stand-in, for their sheet; alone, all of them"),
    "message-off": Entry("message", "take a word to the stand-in off again"),
    "labels": Entry("labels", "the tanks' codes as text and QR, for labels a scanner reads"),
    "calendar": Entry("calendar", "the coming work as a calendar file for telephones"),
    "figure": Entry("sums", "bench sums: volumes, changes, heat, doses, growth, flow, dates"),
    "import": Entry("folder", "take over a room from a folder of text files"),
    "export": Entry("folder", "write the room as a folder of text files"),
    "check": Entry("care", "is the store whole?"),
    "backup": Entry("care", "copy the store to a file"),
    "restore": Entry("care", "put a copy back in place of the store"),
}
ABOUT = (
    "What is due in a fish room today, in which order to walk it, and a record that is "
    "never lost. With no command the terminal interface opens."
)
EXITS = (
    "Exit status: 0 done; 1 the room says no, with the rule named; 2 bad words or bad "
    "input; 3 the store could not be used; 130 ended by Ctrl-C."
)


def command_named(name: str) -> Command:
    """The command of that name, its module loaded."""
    commands: dict[str, Command] = import_module(f"roomtasks.cli.{TABLE[name].module}").COMMANDS
    return commands[name]


def make_parser(typed: Collection[str]) -> Parser:
    """The parser of the commands that are among the words typed; of all, where none is."""
    shown = [name for name in TABLE if name in typed]
    if not shown or not {"-h", "--help"}.isdisjoint(typed):
        shown = list(TABLE)
    parser = Parser(
        prog="roomtasks", description=ABOUT, epilog=EXITS, formatter_class=HelpAt60,
        allow_abbrev=False,
    )  # fmt: skip
    parser.known_commands = tuple(TABLE)
    add_common(parser, None)
    parser.add_argument("--version", action="version", version=f"roomtasks {__version__}")
    commands = parser.add_subparsers(
        dest="command", metavar="COMMAND", title="commands", parser_class=Parser
    )
    for name in shown:
        command = command_named(name) if name in typed else None
        words = commands.add_parser(
            name, help=TABLE[name].help, description=_described(name, command),
            formatter_class=HelpAt60, allow_abbrev=False,
        )  # fmt: skip
        if command is not None:
            command.words(words)
            add_common(words, argparse.SUPPRESS)
    return parser


def parsed(typed: Sequence[str]) -> argparse.Namespace:
    """The words read. Raises BadWords.

    Words that stand behind an option are brought forward to the others first:
    the standard parser gives up on a list of words that an option parts.
    """
    parser = make_parser(typed)
    args, left = parser.parse_known_args(typed)
    if not left:
        return args
    return parser.parse_args(_gathered(list(typed), [w for w in left if not w.startswith("-")]))


WITH_VALUE = ("-r", "--room", "--on", "--at", "--who")


def _gathered(words: list[str], left: Sequence[str]) -> list[str]:
    """The words with those left over put in front of the first option behind the command."""
    at = 0
    while at < len(words) and words[at].startswith("-"):
        at += 2 if words[at] in WITH_VALUE else 1
    rest = words[at + 1 :]
    for word in reversed(left):
        last = len(rest) - 1 - rest[::-1].index(word) if word in rest else None
        if last is None:
            return words
        del rest[last]
    first = next((n for n, word in enumerate(rest) if word.startswith("-")), len(rest))
    return [*words[: at + 1], *rest[:first], *left, *rest[first:]]


def described(name: str, command: Command) -> str:
    """The command's line of help as a sentence, and what more there is to say."""
    said = TABLE[name].help
    end = "" if said.endswith("?") else "."
    return f"{said[0].upper()}{said[1:]}{end} {command.more}".strip()


def _described(name: str, command: Command | None) -> str:
    return described(name, command).replace("%", "%%") if command is not None else ""


def add_common(parser: Parser, default: str | None) -> None:
    """The options that may stand before or after the command's name."""
    add = parser.common_option
    add(
        "-r", "--room", metavar="PATH", type=path_text, default=default,
        help="the room's store; else ROOMTASKS_ROOM, else the user's data folder",
    )  # fmt: skip
    add(
        "--demo", action="store_true", default=default or False,
        help="the demo room, at its own time; nothing marked in it is kept",
    )  # fmt: skip
    add(
        "--on", metavar="DATE", type=day_as_now, default=default,
        help="as if it were that room day, four hours after it begins",
    )  # fmt: skip
    add(
        "--at", metavar="DATETIME", type=instant_text, default=default,
        help="as if it were that time, local to the room unless an offset is given",
    )  # fmt: skip
    add(
        "--who", metavar="NAME", type=text, default=default,
        help="who does it; else the room's only keeper",
    )  # fmt: skip
    add(
        "--json", action="store_true", default=default or False,
        help="one JSON document on standard output, nothing else there",
    )  # fmt: skip
