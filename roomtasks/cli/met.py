"""`met`: who met whom; `watch-met`: watch and hold on all that met; `contact`: gear shared.

What reached what is worked out in `room.met`; here it is asked and said.
"""

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, in_room, instant, told
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name, reason
from roomtasks.cli.words import day as day_word
from roomtasks.room.met import Met, days_shared
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.transfer import GEAR
from roomtasks.work.met import MetView, contact, met_view, watch_all


def _span_words(parser: Parser) -> None:
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank")
    parser.add_argument(
        "--from", dest="first", type=day_word, metavar="DATE",
        help="the first room day; else 30 days before the last",
    )  # fmt: skip
    parser.add_argument(
        "--to", dest="last", type=day_word, metavar="DATE", help="the last, included; else today"
    )


def _met_words(parser: Parser) -> None:
    _span_words(parser)
    parser.add_argument(
        "--back", action="store_true", help="where it could have come from, not where it could go"
    )


def _met(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        found = met_view(
            scene.store, scene.now, args.tank, args.first, args.last, back=args.back
        )  # fmt: skip
        if isinstance(found, Problem):
            return found
        return Answer(_document(found), lambda page: _write(page, found))

    return in_room(asked, do)


def _document(found: MetView) -> Document:
    return {
        "tank": found.tank, "from": day(found.first), "to": day(found.last),
        "direction": "back" if found.back else "forward",
        "known": "computed", "known_from": "valve turns, moves of fish, gear shared, stripping",
        "tanks": [_met_document(met) for met in found.reached.tanks],
        "groups": list(found.lots),
        "left_the_room": [
            {
                "group": left.transfer.group, "line": left.transfer.line or None,
                "count": left.transfer.count, "how": left.transfer.how,
                "day": day(left.transfer.day), "note": left.transfer.note or None,
                "path": list(left.path),
            }
            for left in found.reached.left
        ],
    }  # fmt: skip


def _met_document(met: Met) -> Document:
    return {
        "tank": met.tank, "by": met.by, "since": instant(met.since), "until": instant(met.until),
        "days": days_shared(met), "path": list(met.path),
    }  # fmt: skip


def _write(page: Page, found: MetView) -> None:
    way = "could have come from" if found.back else "could have reached"
    page.line(f"What {found.tank} {way}, {day_words(found.first)} to {day_words(found.last)}",
              style="head")  # fmt: skip
    others = [met for met in found.reached.tanks if met.by != "start"]
    if not others:
        page.line("No other tank, by what is noted of valves, moves and gear.")
    for met in others:
        page.line(f"{met.tank} {days_shared(met)}: {met.path[-1]}", hang=4)
        if len(met.path) > 2:
            page.line(" > ".join(met.path[:-1]), indent=4, style="quiet")
    if found.lots:
        page.line("Groups there now: " + ", ".join(found.lots), hang=4)
    for left in found.reached.left:
        to = f" ({left.transfer.note})" if left.transfer.note else ""
        fish = f"{left.transfer.count} {left.transfer.group}"
        page.line(f"Left the room: {fish}, {left.path[-1]}{to}", hang=4)


def _watch_words(parser: Parser) -> None:
    _span_words(parser)
    parser.add_argument("--reason", type=reason, required=True, metavar="WHY", help="what was seen")


def _watch(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: watch_all(
            scene.store, scene.now, scene.who, args.tank, args.reason, args.first, args.last
        ),
    )


def _contact_words(parser: Parser) -> None:
    parser.add_argument("from_tank", type=name, metavar="FROM", help="the tank it came from")
    parser.add_argument("to_tank", type=name, metavar="TO", help="the tank it went to")
    parser.add_argument(
        "--by", choices=GEAR, default="net", metavar="GEAR", help="by " + ", ".join(GEAR)
    )


def _contact(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: contact(
            scene.store, scene.now, scene.who, args.from_tank, args.to_tank, args.by
        ),
    )


COMMANDS = {
    "met": Command(
        _met, _met_words,
        "Water shared through a system counts from the day it was shared, also through what "
        "stood in the sump; fish and gear count one way, as they went.",
    ),
    "watch-met": Command(_watch, _watch_words, writes=True),
    "contact": Command(_contact, _contact_words, writes=True),
}  # fmt: skip
