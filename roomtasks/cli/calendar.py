"""`calendar`: the coming work as a calendar file that telephones read."""

import sys
from pathlib import Path

from roomtasks.cli.asked import Answer, Asked, Scene, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.words import Parser, path_text, whole
from roomtasks.files.whole import not_ours, write_whole
from roomtasks.room.problem import Problem
from roomtasks.work.calendar_out import CalendarMade, calendar_out

DAYS = 28
BEGINS = b"BEGIN:VCALENDAR"


def _words(parser: Parser) -> None:
    add = parser.add_argument
    add("file", type=path_text, metavar="FILE", help="the file, or - for standard output")
    add("--days", type=whole(0, 100_000), default=DAYS, metavar="N", help="how many days, 7 to 56")
    add("--daily", action="store_true", help="also the jobs of every day")
    add("--over", action="store_true", help="write over a file that is no calendar")


def _calendar(asked: Asked) -> Answer | Problem | int:
    args = asked.args
    path = None if args.file == "-" else Path(args.file).expanduser()
    fault = _refused(path, bool(args.over)) if path is not None else None
    if fault is not None:
        return fault

    def do(scene: Scene) -> Answer | Problem:
        made = calendar_out(scene.store, scene.now, scene.who, args.days, daily=args.daily)
        if isinstance(made, Problem):
            return made
        failed = _written(path, made.data)
        return failed if failed is not None else _said(str(args.file), made, path is None)

    return in_room(asked, do)


def _refused(path: Path, over: bool) -> Problem | None:
    """A file that is not ours is not written over."""
    if path.is_dir():
        return Problem(str(path), "it is a folder", "give the name of a file in it")
    return None if over else not_ours(path, BEGINS, "no calendar")


def _written(path: Path | None, data: bytes) -> Problem | None:
    """The whole file or nothing: written beside it, then put in its place."""
    if path is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return None
    return write_whole(path, data)


def _said(name: str, made: CalendarMade, piped: bool) -> Answer:
    document = {
        "file": name, "entries": made.entries, "changed": made.changed,
        "daily_left_out": made.daily_left_out, "octets": len(made.data), "act": made.act,
    }  # fmt: skip
    remarks = []
    if made.daily_left_out:
        remarks.append(f"{made.daily_left_out} jobs of every day are left out; --daily adds them")
    text = f"{made.entries} entries, {made.changed} new or changed, written to {name}"
    if piped:
        return Answer(document, lambda page: None, (*remarks, text))
    return Answer(document, lambda page: page.line(text), tuple(remarks))


COMMANDS = {
    "calendar": Command(
        _calendar, _words,
        "Dated all-day entries by RFC 5545, so that skips, days away and moved days come out "
        "right; alarms stand at the times of the next fills. Written again, only what changed "
        "has a new number.",
        writes=True,
    ),
}  # fmt: skip
