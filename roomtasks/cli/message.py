"""`message` and `message-off`: words of the keeper to the stand-in."""

from roomtasks.cli.asked import Answer, Asked, Scene, in_room, said, told
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name, reason
from roomtasks.room.pin import Message
from roomtasks.room.problem import Problem
from roomtasks.work.message_acts import leave_message, take_off


def _words(parser: Parser) -> None:
    add = parser.add_argument
    add("target", nargs="?", type=name, metavar="PLACE", help="a tank, rack, system, or room")
    add("text", nargs="?", type=reason, metavar="TEXT", help="the words, in quotes")


def _off_words(parser: Parser) -> None:
    parser.add_argument("code", type=name, metavar="CODE", help="the message's code, as m1")


def _message(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        if args.target is None:
            return _listed(scene.room.messages)
        if args.text is None:
            return Problem("message", "the words are missing", 'say message PLACE "the words"')
        return said(leave_message(scene.store, scene.now, scene.who, args.target, args.text))

    return in_room(asked, do)


def _off(asked: Asked) -> Answer | Problem:
    return told(asked, lambda scene: take_off(scene.store, scene.now, scene.who, asked.args.code))


def _listed(messages: tuple[Message, ...]) -> Answer:
    def write(page: Page) -> None:
        for row in messages:
            page.line(f"{row.code}  {row.target}: {row.text}", hang=4)
        if not messages:
            page.line("There are no messages.")

    rows = [{"code": row.code, "target": row.target, "text": row.text} for row in messages]
    return Answer({"messages": rows}, write)


COMMANDS = {
    "message": Command(
        _message, _words,
        "It stands on the stand-in's sheet until it is taken off, kept at a place and not at a "
        "day.",
        writes=True,
    ),
    "message-off": Command(_off, _off_words, writes=True),
}  # fmt: skip
