"""The reference of the commands, written from the parser: `python -m roomtasks.cli.reference`.

The introduction is written by hand here; every command, word and option comes
from the parser, so that docs/commands.md cannot tell another story.
"""

import argparse
import sys
import textwrap

from roomtasks.cli.parser import TABLE, add_common, command_named, described
from roomtasks.cli.words import Parser

INTRODUCTION = """\
# Commands

One program, `roomtasks`. With no command it opens the terminal interface;
`python -m roomtasks` is the same. This page is written by the program itself
(`python -m roomtasks.cli.reference > docs/commands.md`), and a test compares the two.

## What holds for every command

- The room is a store, one file. `-r PATH` names it, else the variable `ROOMTASKS_ROOM`, else
  `room.sqlite` in the user's data folder.
- The options below stand before or after the command's name.
- `--json` gives one JSON document on standard output and nothing else there. Keys carry their unit
  (`litres`, `minutes`, `drain_cm`, `fraction` from 0 to 1); days are `YYYY-MM-DD` in the room's own
  time, instants carry an offset, and every worked-out number stands beside how it is known
  (`..._known`: measured, computed, recorded, or as the job says) and what from (`..._from`).
  A refusal is a document too: `{"problem": {"where", "what", "remedy", "rule"}}`.
- Text can be read at 60 columns. Colour is used on a terminal only, and never alone; `NO_COLOR`
  turns it off. Remarks and refusals go to standard error.
- `--at` and `--on` put "now" elsewhere. The same store, the same words and the same `--at` give the
  same output, byte for byte.
- A job is named `JOB@PLACE`, as `change@B2`; `JOB` alone does where it has one place.
- A marking is acknowledged once it is on the disk. A job that somebody has marked already today is
  no fault: it says who and when, changes nothing, and ends with 0.

## Exit status

| status | meaning |
| --- | --- |
| 0 | done |
| 1 | the room says no; the rule that refuses is named in brackets |
| 2 | bad words or bad input; the option, or the file and line, is named |
| 3 | the store could not be used: absent, locked, full, damaged, or too new |
| 130 | ended by Ctrl-C; what was acknowledged is kept |

The rules that refuse (status 1):

| rule | it says no to | what would do |
| --- | --- | --- |
"""

RULES = (
    ("held", "a job while something forbids it", "wait, lift the hold, or `--anyway`"),
    ("not-yet-open", "a job before its window", "wait, or `--anyway`"),
    ("after", "a job before the one it must follow", "mark that one first, or `--anyway`"),
    ("hands", "a cleaner tank after a riskier one", "`--hands-clean`"),
    ("seed-from-apart", "a sponge out of a tank kept apart as a seed elsewhere", "a clean tank's"),
    ("seed-not-ripe", "a filter that has not run its weeks as a seed", "a ripe one"),
    ("seed-under-treatment", "a sponge out of a dosed tank, or into one", "another, or wait"),
    ("not-in-the-future", "a time that lies ahead", "a time gone by"),
    ("counts-add-up", "more fish than there are", "count again"),
    ("riskier-to-cleaner", "riskier fish into cleaner water", "another tank, or `--anyway`"),
    (
        "largest-change",
        "more water than the largest change of a day",
        "what was really changed, or `--anyway`",
    ),
    (
        "ask",
        "a reading far from the usual, a step before the last one",
        "`--anyway`, if it is right",
    ),
    ("step-order", "a step at a reservoir that does not follow", "that one first, or `--anyway`"),
    ("untreated", "raw water as ready", "condition and mix it"),
    ("resting", "water as ready that has not stood its hours", "wait, or `--anyway`"),
    ("cold", "water too cold: as ready, or where no heater can warm it", "heat it, or `--anyway`"),
    ("hot", "water as ready that is warmer than its recipe", "let it cool, or `--anyway`"),
    ("other-water", "a water the reservoir may not hold", "another reservoir"),
    (
        "unattended",
        "a hose with nobody there and no float valve",
        "an hour somebody is there, or `--anyway`",
    ),
    ("residue", "a dosed tank opened to its system", "so many changes first, or `--anyway`"),
    ("not-released", "a lot opened to the system, sold or moved before its release", "its release"),
    ("not-clear", "a tank under watch opened to its system", "clear days, or `--anyway`"),
    ("shared-water", "newcomers into water that others share", "a tank that stands alone"),
    ("fish-of-the-system", "newcomers to fish of the system", "an empty tank"),
    ("water-of-the-system", "newcomers into water of the system", "change it whole first"),
    ("two-lots", "a second lot in one tank", "another tank"),
    ("not-empty", "newcomers to other fish", "an empty tank"),
    ("not-stripped", "newcomers into a tank not stripped since its last fish", "strip and dry it"),
    ("no-ripe-filter", "newcomers to a filter that is not ripe", "a ripe sponge"),
    ("part-of-a-lot", "a part of a lot taken out", "leave it, or `part` with a reason"),
    ("release-open", "a release while a line is open", "settle or `confirm` the line named"),
    ("which-destination", "a destination ticked without its tank", "`--to TANK`"),
    ("known-line", "the keeper's word on what the journal answers", "what the line waits for"),
    ("empty-tank", "a course in a tank without fish", "a tank with fish"),
    ("two-medicines", "a second medicine in one water", "`--also`, if the label allows it"),
    ("never-together", "two things that must never meet", "end one, change the water whole"),
    ("rest-between", "a course in the rest after another", "wait, or `--anyway`"),
    ("course-running", "a change of a course while it runs", "end it first, or another code"),
    ("course-not-over", "an end before the last day", "its last day, or break it off"),
    ("kept-apart", "fish into a tank kept for lots apart", "another tank"),
    ("being-made-over", "fish into a tank being made over", "another tank"),
    ("young-there", "fish into a tank with eggs or young nobody has counted", "another tank"),
    ("to-be-stripped", "fish into a tank due to be stripped", "strip it first"),
    ("other-water", "fish into a tank of other water than theirs", "a tank of their water"),
    ("temperature", "fish into water too warm or too cool", "bring the two nearer first"),
    ("no-ripe-filter", "fish into a tank without a ripe filter", "a ripe sponge"),
    ("no-lid", "fish that jump into a tank without a lid", "a lid"),
    ("outlet", "small fish into a tank they leave by the outlet", "a guard on the outlet"),
    ("look-alike", "fish among others they are mixed up with", "two tanks for ever"),
    ("eaten", "fish that one of the two eats", "another tank, or wait"),
    ("other-class", "fish among others of another health class", "a tank of their class"),
    ("room-at-leaving", "fish into a tank too small for them by then", "a larger tank"),
    ("spoken-for", "fish into a tank others are to move to", "another tank, or a later day"),
    ("which-course", "one of several courses in a tank", "name the course"),
    ("no-dose-today", "a dose on a day that has none", "the day that has one"),
    ("before-away", "newcomers in the week before days away", "a later day"),
    ("window", "a day kept for a job outside its window", "a day inside it, or `--anyway`"),
    ("away", "a day kept for a job while the keeper is away", "another day, or `--anyway`"),
    ("still-away", "the return while days away go on", "their last day, or `home`"),
    ("not-away", "the return where no days away are just over", "the days after some"),
    ("not-ours", "writing a calendar over another sort of file", "another name, or `--over`"),
    ("not-ready-in-time", "a change before its water can be ready", "the earliest hour, named"),
    ("not-watched", "a fill longer than anybody is there", "a float valve, or more hours"),
    ("no-reservoir", "water that no reservoir can hold", "a reservoir for it, or a smaller change"),
    ("no-fill-rate", "a plan by the clock without a rate of filling", "measure it, `--fill-rate`"),
    ("too-warm", "a batch wanted colder than it stands", "let it cool"),
    ("temperature", "new water too far from a tank's own", "the temperature or share named"),
    ("volume", "a tank whose facts make no volume", "correct its sizes"),
    ("sump-level", "a sump that would flood when its pump stops", "the running mark named"),
    ("blend", "a blend that its waters cannot make", "other waters, or another hardness"),
    ("dose", "a dose that cannot be worked out", "the label's rate"),
    ("too-few-samples", "a forecast from too few samples", "two samples, 7 days apart"),
    ("no-chain", "moves that no chain brings about", "the least that would do, named"),
    ("in-a-chain", "a group into a second chain", "drop the first"),
    ("chain-order", "a link before the one in front of it", "that one first"),
    ("net-jobs-a-day", "more moves on one day than are allowed", "more a day, or no tub"),
    ("in-the-tub", "a chain dropped with fish in the tub", "take them out of it"),
    ("gate", "a step of a make-over behind a gate", "the gate, named"),
    ("trouble-place", "a trouble at a place it cannot be at", "the sort of place named"),
    ("trouble-open", "a second trouble of its sort at one place", "end the first, or a later time"),
    ("over-before-begun", "a trouble over before it began", "a later time"),
    ("no-change", "what stands like that already", "nothing"),
    ("undo", "taking back what something later leans on", "take that back first"),
    ("would-replace", "a room in place of a room", "another store, or `--replace`"),
    ("impossible", "a sum that cannot come out", "inputs that can be; the line says which"),
    ("no-room", "any question to a store with no room in it", "`open`, or `import`"),
)


def reference() -> str:
    """The whole page."""
    parts = [INTRODUCTION + "".join(f"| `{a}` | {b} | {c} |\n" for a, b, c in RULES)]
    common = Parser(prog="roomtasks", add_help=False)
    add_common(common, None)
    parts.append("## Options of every command\n\n" + _table(common.common_noted))
    parts.append(_contents())
    parts += [_command(name) for name in TABLE]
    return "\n".join(parts)


def _contents() -> str:
    rows = "".join(f"| [`{name}`](#{name}) | {entry.help} |\n" for name, entry in
                   TABLE.items())  # fmt: skip
    return f"## The commands\n\n| command | answers |\n| --- | --- |\n{rows}"


def _command(name: str) -> str:
    command = command_named(name)
    parser = Parser(prog=f"roomtasks {name}", add_help=False)
    command.words(parser)
    text = textwrap.fill(described(name, command), 100)
    usage = " ".join([f"roomtasks {name}", *(_usage(action) for action in parser.noted)])
    parts = [f"## {name}", text, f"    {usage}"]
    if parser.noted:
        parts.append(_table(parser.noted).rstrip("\n"))
    return "\n\n".join(parts) + "\n"


def _usage(action: argparse.Action) -> str:
    if action.option_strings:
        shown = f"{action.option_strings[-1]}{_value(action)}"
        return shown if action.required else f"[{shown}]"
    name = _name(action)
    return {"+": f"{name}...", "*": f"[{name}...]", "?": f"[{name}]"}.get(str(action.nargs), name)


def _value(action: argparse.Action) -> str:
    return "" if action.nargs == 0 else f" {_name(action)}"


def _name(action: argparse.Action) -> str:
    if isinstance(action.metavar, str):
        return action.metavar
    if action.choices is not None:
        return "|".join(str(choice) for choice in action.choices)
    return action.dest.upper()


def _table(actions: list[argparse.Action]) -> str:
    rows = []
    for action in actions:
        names = ", ".join(action.option_strings) or ""
        word = f"{names}{_value(action)}" if names else _name(action)
        said = (action.help or "").replace("%%", "%").replace("|", "\\|")
        rows.append(f"| `{word.replace('|', ' or ')}` | {said} |\n")
    return "| word | what it means |\n| --- | --- |\n" + "".join(rows)


if __name__ == "__main__":
    sys.stdout.write(reference())
