"""`sheet`: a walk or a stand-in's days to print; `ticked`: what was ticked, read back."""

from datetime import datetime
from pathlib import Path

from roomtasks.cli.asked import Answer, Asked, Document, Scene, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway
from roomtasks.cli.words import Parser, path_text
from roomtasks.cli.words import day as day_word
from roomtasks.files.paper_out import Tick, paper_html, paper_text, ticks_of
from roomtasks.files.whole import write_whole
from roomtasks.room.day import resolve
from roomtasks.room.naming import many
from roomtasks.room.paper import Paper
from roomtasks.room.problem import Problem
from roomtasks.work.marking import How
from roomtasks.work.sheets import away_sheet, mark_ticked, walk_sheet

MOST_OCTETS = 2_000_000


def _words(parser: Parser) -> None:
    add = parser.add_argument
    add("what", choices=("walk", "away"), help="today's walk, or days away for the stand-in")
    add("first", nargs="?", type=day_word, metavar="FROM", help="the first day away")
    add("last", nargs="?", type=day_word, metavar="TO", help="the last day away, included")
    add("--html", type=path_text, metavar="FILE", help="a page of HTML that prints on A4")


def _sheet(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.what == "away" and (args.first is None or args.last is None):
        return Problem("sheet away", "the days are missing", "say sheet away FROM TO")
    if args.what == "walk" and args.first is not None:
        return Problem("sheet walk", "it takes no days", "say --on DATE for another day")

    def do(scene: Scene) -> Answer | Problem:
        if args.what == "walk":
            paper = walk_sheet(scene.store, scene.now)
        else:
            paper = away_sheet(scene.store, scene.now, args.first, args.last)
        if isinstance(paper, Problem):
            return paper
        if args.html is None:
            return Answer(_document(paper), lambda page: page.lines.extend(
                paper_text(paper).split("\n")))  # fmt: skip
        failed = write_whole(Path(args.html).expanduser(), paper_html(paper).encode())
        if failed is not None:
            return failed
        return Answer(
            {**_document(paper), "file": args.html},
            lambda page: page.line(f"written to {args.html}"),
        )

    return in_room(asked, do)


def _document(paper: Paper) -> Document:
    return {
        "title": paper.title,
        "sections": [
            {
                "head": section.head,
                "lines": [
                    {"text": line.text, "tick": line.tick, "id": line.name or None,
                     "note": line.note or None}
                    for line in section.lines
                ],
            }
            for section in paper.sections
        ],
    }  # fmt: skip


def _ticked_words(parser: Parser) -> None:
    parser.add_argument("file", type=path_text, metavar="FILE", help="the sheet as text, ticked")
    parser.add_argument("--hands-clean", action="store_true", help="hands and gear were cleaned")
    anyway(parser)


def _ticked(asked: Asked) -> Answer | Problem:
    args = asked.args
    text = _read(Path(args.file).expanduser())
    if isinstance(text, Problem):
        return text
    ticks = ticks_of(text)
    faults = [tick for tick in ticks if isinstance(tick, Problem)]
    if faults:
        first = faults[0]
        return Problem(f"{args.file}, {first.where}", first.what, first.remedy)
    good = [tick for tick in ticks if isinstance(tick, Tick)]
    if not good:
        return Problem(str(args.file), "no box in it is ticked", "put an x in the boxes, as [x]")

    def do(scene: Scene) -> Answer | Problem:
        how = How(who=scene.who, hands_clean=args.hands_clean, anyway=args.anyway)
        times = {tick.name: _when(scene, tick) for tick in good}
        done = mark_ticked(scene.store, scene.now, times, how)
        if isinstance(done, Problem):
            line = next((tick.line for tick in good if tick.name == done.where), None)
            where = f"{args.file}, line {line}, {done.where}" if line else done.where
            return Problem(where, done.what, done.remedy, done.rule)
        return Answer(
            {"changed": True, "marked": list(done)},
            lambda page: page.line(f"{many(len(done), 'job')} marked done"),
        )

    return in_room(asked, do)


def _when(scene: Scene, tick: Tick) -> datetime | None:
    if not tick.time:
        return None
    at = datetime.strptime(tick.time, "%H:%M").time()  # noqa: DTZ007 - a time of day only
    return resolve(datetime.combine(scene.today, at), scene.room.zone)


def _read(path: Path) -> str | Problem:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_OCTETS + 1)
    except OSError as error:
        return Problem(str(path), f"it cannot be read ({error.strerror})", "name the sheet")
    if len(data) > MOST_OCTETS:
        return Problem(str(path), "it is too large for a sheet", "name the sheet")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return Problem(str(path), "it is no text in UTF-8", "save it as plain text")


COMMANDS = {
    "sheet": Command(_sheet, _words, "A box stands before each line to tick."),
    "ticked": Command(
        _ticked, _ticked_words,
        "All that is ticked is marked, or nothing. A time may be written behind a line.",
        writes=True,
    ),
}  # fmt: skip
