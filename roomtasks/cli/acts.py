"""Acts on fish, water and places that end in one sentence: from `move` to `class`.

The rules are in `work.fish` and `work.room_acts`; each command here hands its
words over and says what the act changed.
"""

from collections.abc import Callable

from roomtasks.cli.asked import Answer, Asked, Scene, told
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway
from roomtasks.cli.words import Parser, code, name, number, reason, text, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.stock import STAGES, Group
from roomtasks.work.fish import OUT, Told, move, put_in, recount, take_out
from roomtasks.work.room_acts import (
    lift_hold,
    read_off,
    seen,
    set_class,
    set_hold,
    turn_pump,
    turn_valve,
)
from roomtasks.work.seed_acts import take_seed

Act = Callable[[Scene], Told | Problem]


def _group(parser: Parser, *, count: str) -> None:
    parser.add_argument("group", type=name, metavar="GROUP", help="the group's code")
    parser.add_argument("count", type=whole(0, 1_000_000), metavar="COUNT", help=count)


def _move_words(parser: Parser) -> None:
    _group(parser, count="how many move")
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank they go to")
    anyway(parser)


def _move(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: move(
            scene.store, scene.now, scene.who, args.group, args.count, args.tank, args.anyway
        ),
    )


def _out_words(parser: Parser) -> None:
    _group(parser, count="how many")
    parser.add_argument("how", choices=OUT, help="how they went")
    parser.add_argument("--note", type=text, default="", help="to whom, or of what")


def _out(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: take_out(
            scene.store, scene.now, scene.who, args.group, args.count, args.how, args.note
        ),
    )


def _put_in_words(parser: Parser) -> None:
    parser.add_argument("group", type=code, metavar="GROUP", help="a new code for the group")
    parser.add_argument("count", type=whole(1, 1_000_000), metavar="COUNT", help="how many")
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank they go into")
    parser.add_argument(
        "--line", type=reason, required=True, metavar="LINE", help="the line or kind of fish"
    )
    parser.add_argument("--about", action="store_true", help="the count is estimated, not counted")
    parser.add_argument("--males", type=whole(0, 1_000_000), default=0, metavar="N", help="males")
    parser.add_argument(
        "--females", type=whole(0, 1_000_000), default=0, metavar="N", help="females"
    )
    parser.add_argument("--stage", choices=STAGES, default="adult", help="stage of life")
    parser.add_argument("--born", type=day_word, metavar="DATE", help="day of the spawn or birth")
    parser.add_argument("--generation", type=text, default="", metavar="F", help="wild, F1, F2 ...")
    parser.add_argument("--origin", type=text, default="", help="where they came from")
    parser.add_argument("--note", type=text, default="", help="a note")


def _put_in(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.males + args.females > args.count:
        return Problem(
            args.group, f"{args.males} males and {args.females} females are more than {args.count}",
            "let the counts add up", "counts-add-up",
        )  # fmt: skip

    def act(scene: Scene) -> Told | Problem:
        group = Group(
            code=args.group, line=args.line, tank=args.tank, count=args.count,
            count_known="about" if args.about else "exact", males=args.males,
            females=args.females, stage=args.stage, since=scene.today, born=args.born,
            generation=args.generation, origin=args.origin, note=args.note,
        )  # fmt: skip
        return put_in(scene.store, scene.now, scene.who, group)

    return told(asked, act)


def _count_words(parser: Parser) -> None:
    _group(parser, count="how many there are")
    parser.add_argument("--about", action="store_true", help="estimated, not counted")


def _count(asked: Asked) -> Answer | Problem:
    args = asked.args
    known = "about" if args.about else "exact"
    return told(
        asked,
        lambda scene: recount(scene.store, scene.now, scene.who, args.group, args.count, known),
    )


def _valve_words(parser: Parser) -> None:
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank")
    parser.add_argument("state", choices=("open", "shut"), help="how the valve stands now")
    parser.add_argument(
        "--system", type=name, metavar="SYSTEM",
        help="the system it is on; must be said at its first turn",
    )  # fmt: skip
    anyway(parser)


def _valve(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: turn_valve(
            scene.store, scene.now, scene.who, args.tank, args.state, args.anyway, args.system or ""
        ),
    )


def _pump_words(parser: Parser) -> None:
    parser.add_argument("system", type=name, metavar="SYSTEM", help="the system")
    parser.add_argument("state", choices=("running", "off"), help="what the pump does now")


def _pump(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked, lambda scene: turn_pump(scene.store, scene.now, scene.who, args.system, args.state)
    )


def _hold_words(parser: Parser) -> None:
    parser.add_argument(
        "target", type=name, metavar="TARGET", help="a tank, filter, system, reservoir, or room"
    )
    parser.add_argument(
        "kinds", nargs="+", choices=("all", *KINDS), metavar="KIND",
        help="kinds of job: all, or " + ", ".join(KINDS),
    )  # fmt: skip
    parser.add_argument("--reason", type=reason, required=True, metavar="WHY", help="why")
    parser.add_argument(
        "--until", type=day_word, metavar="DATE", help="to this day, included; else until lifted"
    )
    parser.add_argument(
        "--cause", choices=("keeper", "medicine", "spawning"), default="keeper",
        help="what sort of hold; medicine makes the tank class sick",
    )  # fmt: skip


def _hold(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: set_hold(
            scene.store, scene.now, scene.who, args.target, " ".join(args.kinds), args.reason,
            args.until, args.cause,
        ),
    )  # fmt: skip


def _lift_words(parser: Parser) -> None:
    parser.add_argument("hold", type=name, metavar="HOLD", help="the hold's code")


def _lift(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(asked, lambda scene: lift_hold(scene.store, scene.now, scene.who, args.hold))


def _read_words(parser: Parser) -> None:
    parser.add_argument("target", type=name, metavar="TARGET", help="where it was read")
    parser.add_argument(
        "what", type=code, metavar="WHAT", help="temperature, nitrate, ph, sump-level ..."
    )
    parser.add_argument("value", type=number(), metavar="VALUE", help="what it showed")
    parser.add_argument("unit", nargs="?", type=text, default="", metavar="UNIT", help="its unit")
    anyway(parser)


def _read(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: read_off(
            scene.store, scene.now, scene.who, args.target, args.what, args.value, args.unit,
            args.anyway,
        ),
    )  # fmt: skip


def _seen_words(parser: Parser) -> None:
    parser.add_argument("target", type=name, metavar="TARGET", help="where")
    parser.add_argument(
        "event", type=code, metavar="EVENT", help="spawn, eggs, hatch, dead, arrival ..."
    )
    parser.add_argument("--day", type=day_word, metavar="DATE", help="the day; else today")
    parser.add_argument("--count", type=whole(0, 1_000_000), metavar="N", help="how many")
    parser.add_argument("--note", type=text, default="", help="a note")


def _seen(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: seen(
            scene.store, scene.now, scene.who, args.target, args.event, args.day, args.count,
            args.note,
        ),
    )  # fmt: skip


def _class_words(parser: Parser) -> None:
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank")
    parser.add_argument(
        "state", choices=("clean", "watch", "sick"), help="its health class from today"
    )
    parser.add_argument("--reason", type=reason, required=True, metavar="WHY", help="why")


def _class(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: set_class(
            scene.store, scene.now, scene.who, args.tank, args.state, args.reason
        ),
    )


def _seed_words(parser: Parser) -> None:
    parser.add_argument("filter", type=name, metavar="FILTER", help="the ripe filter, as D3-1")
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank it is to start")
    anyway(parser, "yes, it is meant")


def _seed(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: take_seed(
            scene.store, scene.now, scene.who, args.filter, args.tank, args.anyway
        ),
    )  # fmt: skip


COMMANDS = {
    "seed": Command(
        _seed,
        _seed_words,
        writes=True,
        more="It stays ripe, and starts the tank it is hung in. Refused where it has not run its "
        "weeks, where its tank is dosed, or where that is kept apart.",
    ),
    "move": Command(
        _move,
        _move_words,
        writes=True,
        more="Riskier fish do not go to cleaner water unless --anyway is given.",
    ),
    "out": Command(_out, _out_words, writes=True),
    "put-in": Command(_put_in, _put_in_words, writes=True),
    "count": Command(_count, _count_words, writes=True),
    "valve": Command(
        _valve,
        _valve_words,
        writes=True,
        more="From then on the tank shares the system's water, or is cut off.",
    ),
    "pump": Command(_pump, _pump_words, writes=True),
    "hold": Command(_hold, _hold_words, writes=True),
    "lift": Command(_lift, _lift_words, writes=True),
    "read": Command(
        _read,
        _read_words,
        writes=True,
        more="A value far from the usual is asked about once: say it again with --anyway.",
    ),
    "seen": Command(_seen, _seen_words, writes=True),
    "class": Command(_class, _class_words, writes=True),
}
