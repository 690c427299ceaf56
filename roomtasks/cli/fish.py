"""`fish`: lots kept apart with the day and what sets it, courses, watches, and broods."""

from roomtasks.cli.asked import Answer, Asked, Scene, in_room
from roomtasks.cli.broods_json import broods_document
from roomtasks.cli.broods_text import write_broods
from roomtasks.cli.command import Command
from roomtasks.cli.fish_json import fish_document
from roomtasks.cli.fish_short import write_short
from roomtasks.cli.fish_text import write_fish
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name
from roomtasks.room.problem import Problem
from roomtasks.work.brood_view import brood_view
from roomtasks.work.stay_view import fish_view


def _words(parser: Parser) -> None:
    parser.add_argument(
        "--to", type=name, metavar="TANK",
        help="look at the release lines for this destination",
    )  # fmt: skip
    parser.add_argument(
        "--all", action="store_true",
        help="every date, sample and tank, and the table of the weeks",
    )  # fmt: skip


def _fish(asked: Asked) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        found = fish_view(scene.store, scene.now, asked.args.to or "")
        if isinstance(found, Problem):
            return found
        young = brood_view(scene.store, scene.now)
        if isinstance(young, Problem):
            return young
        document = {**broods_document(young), **fish_document(found)}

        def write(page: Page) -> None:
            if not asked.args.all:
                write_short(page, found, young, bool(asked.args.to))
                return
            write_fish(page, found)
            if young.broods or young.moves or young.make_overs:
                write_broods(page, young)

        return Answer(document, write)

    return in_room(asked, do)


COMMANDS = {
    "fish": Command(
        _fish,
        _words,
        "Day 0 is the day of arrival. The day a lot is free is the latest of several dates; the "
        "one that sets it is named. A clear day counts only if somebody looked.",
    )
}
