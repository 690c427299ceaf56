"""Marking at the rack: `done`, `partly`, `put-off`, `leave-out`, `cannot`, and `undo`.

What may be marked is decided in `work.marking`; here the words become a `How`
and the answer is said: what changed, and when each job is due next.
"""

from dataclasses import dataclass

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway
from roomtasks.cli.page import Page
from roomtasks.cli.said import act_document, mark_document
from roomtasks.cli.words import (
    Parser,
    amount,
    name,
    number,
    reason,
    share,
    text,
    when_of,
    when_text,
    whole,
)
from roomtasks.cli.words import day as day_word
from roomtasks.room.day import next_day
from roomtasks.room.journal import REASONS
from roomtasks.room.naming import id_said
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.picture import picture
from roomtasks.work.undoing import Undone, undo

JOB_HELP = "the job as JOB@PLACE, or JOB alone where it has one place"


def _jobs(parser: Parser) -> None:
    parser.add_argument("jobs", nargs="+", type=name, metavar="JOB", help=JOB_HELP)


def _how(parser: Parser) -> None:
    parser.add_argument(
        "--when", type=when_text, metavar="TIME",
        help="when it was done: 08:30 (the latest gone by), 'yesterday 20:00', or a date and time",
    )  # fmt: skip
    parser.add_argument("--note", type=text, default="", help="a note for the journal")


def _work(parser: Parser) -> None:
    _how(parser)
    parser.add_argument(
        "--minutes", type=number("min", 0, 1440), metavar="N", help="minutes it took"
    )
    parser.add_argument(
        "--hands-clean", action="store_true", help="hands and gear are clean, after a riskier tank"
    )
    anyway(parser)


def _done_words(parser: Parser) -> None:
    _jobs(parser)
    _work(parser)
    parser.add_argument(
        "--litres", type=number("L", 0, 100000), metavar="L", help="prepared water used"
    )
    parser.add_argument("--share", type=share, metavar="S", help="share changed, as 30%% or 0.30")


def _partly_words(parser: Parser) -> None:
    parser.add_argument("jobs", nargs=1, type=name, metavar="JOB", help=JOB_HELP)
    parser.add_argument("amount", type=amount, metavar="AMOUNT", help="how much: 15%%, 0.15 or 8L")
    _work(parser)


def _put_off_words(parser: Parser) -> None:
    _jobs(parser)
    _how(parser)
    parser.add_argument("--to", type=day_word, metavar="DATE", help="to this day; else tomorrow")


def _reason_words(parser: Parser) -> None:
    _jobs(parser)
    _how(parser)
    parser.add_argument(
        "--reason", type=reason, required=True, metavar="WHY", help="why: " + ", ".join(REASONS)
    )


def _run(asked: Asked, outcome: str) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        how = _how_of(asked, scene, outcome)
        marked = mark(scene.store, scene.now, asked.args.jobs, outcome, how)
        if isinstance(marked, Problem):
            return marked
        said = MarkedSaid(scene.room, marked, _owed(scene, marked))
        return Answer(said.document(), said.write, said.remarks())

    return in_room(asked, do)


def _owed(scene: Scene, marked: Marked) -> dict[str, Due]:
    """What is still owed of the jobs that were partly done."""
    partly = [f"{made.job}@{made.target}" for made in marked.marks if made.outcome == "partly"]
    after = picture(scene.store, scene.now) if partly else None
    if after is None or isinstance(after, Problem):
        return {}
    return {job: after.due[job] for job in partly if job in after.due}


def _how_of(asked: Asked, scene: Scene, outcome: str) -> How:
    args, room = asked.args, scene.room
    fraction, litres = getattr(args, "share", None), getattr(args, "litres", None)
    if outcome == "partly":
        fraction, litres = args.amount
    until = getattr(args, "to", None)
    if outcome == "put-off" and until is None:
        until = next_day(scene.today, room.zone, room.day_starts)
    return How(
        who=scene.who,
        when=when_of(args.when, room, scene.now) if args.when is not None else None,
        fraction=fraction, litres=litres, minutes=getattr(args, "minutes", None), until=until,
        reason=getattr(args, "reason", ""), note=args.note,
        hands_clean=getattr(args, "hands_clean", False), anyway=getattr(args, "anyway", False),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class MarkedSaid:
    """What a marking changed, said as JSON or as text."""

    room: Room
    marked: Marked
    owed: dict[str, Due]

    @property
    def changed(self) -> bool:
        return self.marked.act is not None

    def document(self) -> Document:
        marked = self.marked
        return {
            "changed": self.changed, "act": marked.act, "words": marked.words,
            "marks": [mark_document(self.room, made) for made in marked.marks],
            "next_due": {job: day(on) for job, on in marked.next_due.items()},
            "owed": {job: _owed_document(due) for job, due in self.owed.items()},
            "remarks": list(marked.remarks),
        }  # fmt: skip

    def remarks(self) -> tuple[str, ...]:
        """Remarks for standard error; with nothing changed they are the answer itself."""
        return self.marked.remarks if self.changed else ()

    def write(self, page: Page) -> None:
        marked = self.marked
        if not self.changed:
            for words in marked.remarks or (marked.words,):
                page.line(words, hang=4)
            return
        page.line(f"Act {marked.act}: {marked.words}", hang=4)
        for job, on in marked.next_due.items():
            due = f"next due {day_words(on)} {on.year}" if on else "no next day is known"
            said = id_said(self.room.job, job)
            page.line(f"{said}: {due}{self._still(job)}", indent=2, hang=4)

    def _still(self, job: str) -> str:
        due = self.owed.get(job)
        if due is None or due.owed_fraction is None:
            return ""
        litres = f", {due.litres:.1f} L ({due.litres_known})" if due.litres else ""
        return f", {100 * due.owed_fraction:.1f} % still owed{litres}"


def _owed_document(due: Due) -> Document:
    return {
        "owed_fraction": figure(due.owed_fraction), "owed_fraction_known": "computed",
        "owed_fraction_from": {
            "fraction": figure(due.fraction), "part_done_fraction": figure(due.part_done),
        },
        "litres": figure(due.litres, 3), "litres_known": due.litres_known or None,
    }  # fmt: skip


def _undo_words(parser: Parser) -> None:
    parser.add_argument(
        "act", nargs="?", type=whole(1), metavar="ACT",
        help="the act's number in the journal; else the newest that stands",
    )  # fmt: skip


def _undo(asked: Asked) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        undone = undo(scene.store, scene.now, scene.who, asked.args.act)
        if isinstance(undone, Problem):
            return undone
        return _undone(scene.room, undone)

    return in_room(asked, do)


def _undone(room: Room, undone: Undone) -> Answer:
    document = {
        "changed": True, "act": undone.act, "words": undone.words,
        "took_back": act_document(room, undone.took_back, undone.act),
    }  # fmt: skip
    return Answer(document, lambda page: page.line(f"Act {undone.act}: {undone.words}", hang=4))


COMMANDS = {
    "done": Command(
        lambda asked: _run(asked, "done"),
        _done_words,
        writes=True,
        more="All of them or none. A job that is marked already today stays as it is.",
    ),
    "partly": Command(
        lambda asked: _run(asked, "partly"),
        _partly_words,
        writes=True,
    ),
    "put-off": Command(
        lambda asked: _run(asked, "put-off"),
        _put_off_words,
        writes=True,
    ),
    "leave-out": Command(
        lambda asked: _run(asked, "left-out"),
        _reason_words,
        writes=True,
    ),
    "cannot": Command(
        lambda asked: _run(asked, "blocked"),
        _reason_words,
        writes=True,
        more="Holds the job until the hold is lifted, and adds a job to see to the cause.",
    ),
    "undo": Command(
        _undo,
        _undo_words,
        writes=True,
        more="Nothing is erased: the journal keeps both acts.",
    ),
}
