"""Acts on moves to come, from `chain` to `settle`, and on tanks made over."""

import argparse

from roomtasks.cli.asked import Answer, Asked, told
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway
from roomtasks.cli.words import Parser, name, number, text, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.problem import Problem
from roomtasks.work import move_acts
from roomtasks.work.fish import OUT


def _want(given: str) -> tuple[str, tuple[str, ...]]:
    group, found, tanks = given.partition("=")
    if not group or (found and not tanks):
        raise argparse.ArgumentTypeError("write GROUP, or GROUP=TANK,TANK")
    return name(group), tuple(name(tank) for tank in tanks.split(",") if tank)


def _chain_words(parser: Parser) -> None:
    add = parser.add_argument
    add("want", type=_want, nargs="+", metavar="GROUP[=TANK,...]",
        help="a group that is to go, to one of these tanks, or to any that will do")  # fmt: skip
    add("--sold", type=name, action="append", default=[], metavar="GROUP",
        help="a group that may be sold to make room")  # fmt: skip
    add("--stay", type=name, action="append", default=[], metavar="GROUP",
        help="a group that is not moved")  # fmt: skip
    add("--from", dest="first", type=day_word, metavar="DATE", help="not before; else today")
    add("--by", type=day_word, metavar="DATE", help="if need be on other days than the change day")


def _chain(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.plan_chain(
            scene.store, scene.now, scene.who, a.want, a.sold, a.stay, a.first, a.by
        ),
    )


def _which(parser: Parser) -> None:
    parser.add_argument("chain", type=name, metavar="CHAIN", help="the chain")
    parser.add_argument("link", type=whole(1, 200), metavar="N", help="the link")


def _link_words(parser: Parser) -> None:
    _which(parser)
    add = parser.add_argument
    add("--in", dest="counted", type=whole(0, 1_000_000), metavar="COUNT",
        help="how many were counted in, where it was not all")  # fmt: skip
    add("--how", choices=OUT, default="sold", help="how they left, where they leave the room")
    anyway(parser)


def _link(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.do_link(
            scene.store, scene.now, scene.who, a.chain, a.link, a.counted, a.how, a.anyway
        ),
    )


def _slip_words(parser: Parser) -> None:
    _which(parser)
    parser.add_argument("day", type=day_word, metavar="DATE", help="the day it is done instead")


def _slip(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.slip(scene.store, scene.now, scene.who, a.chain, a.link, a.day),
    )


def _drop_words(parser: Parser) -> None:
    parser.add_argument("chain", type=name, metavar="CHAIN", help="the chain")


def _drop(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked, lambda scene: move_acts.drop_chain(scene.store, scene.now, scene.who, a.chain)
    )


def _settle_words(parser: Parser) -> None:
    _which(parser)
    parser.add_argument("seen", type=whole(0, 1_000_000), metavar="SEEN", help="how many were seen")


def _settle(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.settle(scene.store, scene.now, scene.who, a.chain, a.link, a.seen),
    )


def _over_words(parser: Parser) -> None:
    add = parser.add_argument
    add("tank", type=name, metavar="TANK", help="the tank")
    add("day", type=day_word, metavar="DATE", help="the day its water is lowered")
    add("--to", type=name, metavar="TANK", help="where the old group goes")
    add("--for", dest="line", type=text, default="", metavar="LINE", help="the line it is for")
    add("--litres", type=number("L", 0, 50_000), metavar="L", help="prepared water; else 80 %%")


def _over(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.begin_make_over(
            scene.store, scene.now, scene.who, a.tank, a.day, a.to or "", a.line, a.litres
        ),
    )


def _tick_words(parser: Parser) -> None:
    parser.add_argument("make_over", type=name, metavar="OVER", help="the make-over")
    parser.add_argument("number", type=whole(1, 14), metavar="N", help="the step that was done")
    parser.add_argument("--note", type=text, default="", help="what was counted or found")


def _tick(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: move_acts.tick(
            scene.store, scene.now, scene.who, a.make_over, a.number, a.note
        ),
    )


def _end_words(parser: Parser) -> None:
    parser.add_argument("make_over", type=name, metavar="OVER", help="the make-over")


def _end(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked, lambda scene: move_acts.end_make_over(scene.store, scene.now, scene.who, a.make_over)
    )


COMMANDS = {
    "chain": Command(
        _chain, _chain_words, writes=True,
        more="Plans the shortest chain of moves and puts each link into the walk of its day: "
        "never two groups together that must not meet, so many moves with the net a day as the "
        "room is set. Where there is none, the least that would make it possible is named.",
    ),
    "link": Command(_link, _link_words, writes=True,
                    more="Count out, count in: a difference stays open until it is settled."),
    "slip": Command(_slip, _slip_words, writes=True, more="All behind it move with it."),
    "drop": Command(_drop, _drop_words, writes=True),
    "settle": Command(_settle, _settle_words, writes=True),
    "make-over": Command(_over, _over_words, writes=True,
                         more="Fourteen steps; four of them are gates that stop the rest."),
    "step-done": Command(_tick, _tick_words, writes=True),
    "end-over": Command(_end, _end_words, writes=True),
}  # fmt: skip
