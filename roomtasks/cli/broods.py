"""`broods` and `places`, and the acts on broods from `spawn` to `close`."""

import argparse

from roomtasks.cli.asked import Answer, Asked, Scene, in_room, told
from roomtasks.cli.broods_json import broods_document, places_document
from roomtasks.cli.broods_text import write_broods, write_places
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway, pair, parted, what_if
from roomtasks.cli.words import Parser, code, name, reason, text, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.brood import SEEN
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import Measure, read_quantity
from roomtasks.room.room_full import WEEKS, WhatIf
from roomtasks.work import brood_acts
from roomtasks.work.brood_view import brood_view, places_of


def length_cm(given: str) -> float:
    """A length in cm; 26mm is 2.6."""
    found = read_quantity("length", given, Measure.LENGTH, "cm")
    if isinstance(found, Problem):
        raise argparse.ArgumentTypeError(f"{found.what}; {found.remedy}".rstrip("; "))
    return found


def _share(given: str) -> tuple[int, str]:
    count, tank = parted(given, "COUNT:TANK, as 40:D3", ":")
    return whole(0, 1_000_000)(count), name(tank)


def _broods_words(parser: Parser) -> None:
    what_if(parser, "--rests", name, "PAIR", "what if this pair rests from today")
    what_if(parser, "--sold", pair(whole(1, WEEKS), "BROOD=WEEK, as b1=3"), "BROOD=WEEK",
            "what if this brood is sold by the end of that week; 1 is this one")  # fmt: skip


def _broods(asked: Asked) -> Answer | Problem:
    args = asked.args
    asks = WhatIf(rests=frozenset(args.rests), sold_in=dict(args.sold))

    def do(scene: Scene) -> Answer | Problem:
        found = brood_view(scene.store, scene.now, asks)
        if isinstance(found, Problem):
            return found
        return Answer(broods_document(found), lambda page: write_broods(page, found))

    return in_room(asked, do)


def _places_words(parser: Parser) -> None:
    parser.add_argument("group", type=name, metavar="GROUP", help="the group that is to go")
    parser.add_argument("--count", type=whole(1, 1_000_000), metavar="N", help="how many; else all")
    parser.add_argument(
        "--leaving", type=length_cm, metavar="CM",
        help="their length when they leave that tank; else that of sale, or grown",
    )  # fmt: skip


def _places(asked: Asked) -> Answer | Problem:
    args = asked.args

    def do(scene: Scene) -> Answer | Problem:
        found = places_of(scene.store, scene.now, args.group, args.count, args.leaving)
        if isinstance(found, Problem):
            return found
        mover, answer = found
        return Answer(places_document(args.group, mover.leaving_cm, answer),
                      lambda page: write_places(page, args.group, answer))  # fmt: skip

    return in_room(asked, do)


def _spawn_words(parser: Parser) -> None:
    add = parser.add_argument
    add("brood", type=code, metavar="BROOD", help="a new code for the brood")
    add("tank", type=name, metavar="TANK", help="the tank the spawn was seen in")
    add("--parents", type=name, metavar="GROUP", help="the parents; else the grown fish there")
    add("--line", type=reason, metavar="LINE", help="the line; else that of the parents")
    add("--day", type=day_word, metavar="DATE", help="the day; else today")
    add("--count", type=whole(0, 1_000_000), metavar="N", help="how many eggs")


def _spawn(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: brood_acts.spawn(
            scene.store, scene.now, scene.who, a.brood, a.tank, a.parents or "", a.line or "",
            a.day, a.count,
        ),
    )  # fmt: skip


def _stage_words(parser: Parser) -> None:
    add = parser.add_argument
    add("brood", type=name, metavar="BROOD", help="the brood")
    add("stage", choices=[word for word in SEEN if word != "spawn"], metavar="STAGE",
        help="what was seen: " + ", ".join(SEEN[1:]))  # fmt: skip
    add("--day", type=day_word, metavar="DATE", help="the day; else today")
    add("--count", type=whole(0, 1_000_000), metavar="N", help="how many there are")
    add("--lost", type=whole(0, 1_000_000), default=0, metavar="N", help="how many were lost")
    add("--note", type=text, default="", help="a note")


def _stage(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: brood_acts.stage_seen(
            scene.store, scene.now, scene.who, a.brood, a.stage, a.day, a.count, a.lost, a.note
        ),
    )  # fmt: skip


def _sample_words(parser: Parser) -> None:
    add = parser.add_argument
    add("brood", type=name, metavar="BROOD", help="the brood")
    add("length", type=length_cm, nargs="+", metavar="CM", help="the lengths, in cm or as 26mm")
    add("--n", type=whole(0, 10_000), metavar="N",
        help="how many were measured, the lengths being smallest, middle, largest")  # fmt: skip
    add("--standard", action="store_true", help="standard length, not total")
    add("--day", type=day_word, metavar="DATE", help="the day; else today")
    anyway(parser, "though it is far from the last sample")


def _sample(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: brood_acts.sample(
            scene.store, scene.now, scene.who, a.brood, a.length, a.n,
            "standard" if a.standard else "total", a.day, a.anyway,
        ),
    )  # fmt: skip


def _part_words(parser: Parser) -> None:
    parser.add_argument("group", type=name, metavar="GROUP", help="the group's code")
    parser.add_argument(
        "share", type=_share, nargs="+", metavar="COUNT:TANK", help="so many to this tank"
    )
    anyway(parser)


def _part(asked: Asked, graded: bool) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: brood_acts.part(
            scene.store, scene.now, scene.who, a.group, a.share, graded, a.anyway
        ),
    )


def _close_words(parser: Parser) -> None:
    parser.add_argument("brood", type=name, metavar="BROOD", help="the brood")
    parser.add_argument("--reason", type=text, default="", metavar="WHY", help="what became of it")
    parser.add_argument(
        "--write-off", action="store_true", help="what nothing accounts for counts as died"
    )


def _close(asked: Asked) -> Answer | Problem:
    a = asked.args
    return told(
        asked,
        lambda scene: brood_acts.close(
            scene.store, scene.now, scene.who, a.brood, a.reason, a.write_off
        ),
    )


COMMANDS = {
    "broods": Command(
        _broods, _broods_words,
        "Sizes are forecast from the samples: a straight line over the last three, or a fitted "
        "curve where there are enough. The day to move is the earliest of size, density, need of "
        "the tank and the next spawn; the why names it.",
    ),
    "places": Command(
        _places, _places_words,
        "Judged at the length they will have when they leave that tank, not at today's.",
    ),
    "spawn": Command(_spawn, _spawn_words, writes=True,
                     more="Noisy jobs in the tank rest for ten days."),
    "stage": Command(_stage, _stage_words, writes=True,
                     more="Every later date moves with what is seen. The first count makes the "
                     "group of the young."),
    "sample": Command(_sample, _sample_words, writes=True,
                      more="A sample of ten times the last one is asked about once: say it again "
                      "with --anyway."),
    "grade": Command(lambda asked: _part(asked, True), _part_words, writes=True),
    "split": Command(lambda asked: _part(asked, False), _part_words, writes=True,
                     more="What is not named stays where it is."),
    "close": Command(_close, _close_words, writes=True,
                     more="Refused until sold + kept + died + given are what was counted."),
}  # fmt: skip
