"""`water`: the plan of a change; `step`, `choose`, `level`, `top-off`: acts on water.

What a plan is made of is worked out in `room.change`; the rules of the acts are
in `work`. Here words become what is asked, and the answer is said.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from roomtasks.cli.asked import Answer, Asked, Document, Scene, in_room
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway, what_if
from roomtasks.cli.page import Page
from roomtasks.cli.water_json import next_document, plan_document
from roomtasks.cli.water_signs import next_words, note_words
from roomtasks.cli.water_text import PlanText
from roomtasks.cli.water_words import clock, fill_rate, free, free_at, with_share
from roomtasks.cli.words import Parser, name, number, share, text, when_of, when_text
from roomtasks.cli.words import day as day_word
from roomtasks.room.problem import Problem
from roomtasks.room.recipe import RATE_UNITS
from roomtasks.room.vessel import STEPS
from roomtasks.room.water_plan import ChangePlan, NextStep, WhatIf
from roomtasks.work.fish import Told
from roomtasks.work.water import (
    cautions,
    choose,
    end_level,
    set_level,
    step,
    top_off,
    water_view,
)

Act = Callable[[Scene], Told | Problem]
NO = 1


def _water_words(parser: Parser) -> None:
    add = parser.add_argument
    add("--day", type=day_word, metavar="DATE", help="the change of this day; else the next")
    add("--hour", type=clock, metavar="HH:MM", help="it begins at this time")
    add("--share", type=share, metavar="S", help="every change scaled to this share, as 0.6")
    add("--fraction", type=share, metavar="F", help="every change of this fraction, as 0.25")
    what_if(parser, "--fill-rate", fill_rate, "R1=9", "a reservoir fills at so many L/min")
    what_if(parser, "--with", with_share, "TANK=0.30",
            "a change of this fraction at a tank that has none that day", dest="extra")  # fmt: skip
    what_if(parser, "--free", free, "R1=HH:MM",
            "a reservoir is empty at this time of that day, or at a date and time")  # fmt: skip
    add("--keep-back", action="store_true", help="as if the keep-back might be used")
    add("--celsius", type=number("C", 4, 40), metavar="C", help="the new water's temperature")
    add("--why", action="store_true", help="each number's formula and what went in")


def _water(asked: Asked) -> Answer | Problem:
    return in_room(asked, lambda scene: _plan(asked, scene))


def _plan(asked: Asked, scene: Scene) -> Answer | Problem:
    wanted = _what_if(asked, scene)
    if isinstance(wanted, Problem):
        return wanted
    plan = water_view(scene.store, scene.now, wanted)
    if isinstance(plan, Problem):
        return plan
    minded = cautions(plan)
    said = PlanText(plan, minded, bool(asked.args.why))
    document = {**plan_document(plan), "cautions": list(minded)}
    remarks = tuple(note_words(note) for note in plan.refused)
    return Answer(document, said.write, remarks, NO if remarks else 0)


def _what_if(asked: Asked, scene: Scene) -> WhatIf | Problem:
    """What was asked, its places known to the room."""
    args, room = asked.args, scene.room
    for option, places, known in (
        ("--fill-rate", args.fill_rate, room.reservoir), ("--free", args.free, room.reservoir),
        ("--with", args.extra, room.tank),
    ):  # fmt: skip
        for place, _ in places:
            if place not in known:
                what = "tank" if option == "--with" else "reservoir"
                listed = "'roomtasks racks' shows them"
                return Problem(option, f"there is no {what} “{place}”", listed)
    if args.day is not None and args.day < scene.today:
        return Problem("--day", f"{args.day} has gone by", f"give {scene.today} or later")
    wanted = WhatIf(
        day=args.day, hour=args.hour, share=args.share, fraction=args.fraction,
        keep_back=True if args.keep_back else None, fill_rates=tuple(args.fill_rate),
        extra=tuple(args.extra), celsius=args.celsius,
    )  # fmt: skip
    if not args.free:
        return wanted
    day = _day_of(scene, wanted)
    if isinstance(day, Problem):
        return day
    return replace(wanted, free_at=tuple((code, free_at(at, day, room)) for code, at in args.free))


def _day_of(scene: Scene, wanted: WhatIf) -> date | Problem:
    """The day a plan is for: as asked, else the one it comes to by itself."""
    if wanted.day is not None:
        return wanted.day
    plan = water_view(scene.store, scene.now, wanted)
    return plan if isinstance(plan, Problem) else plan.day


def _acted(asked: Asked, act: Act) -> Answer | Problem:
    """Run one act on water; say what it changed and what comes next."""

    def do(scene: Scene) -> Answer | Problem:
        told = act(scene)
        if isinstance(told, Problem):
            return told
        plan = water_view(scene.store, scene.now)
        following = plan.next_step if isinstance(plan, ChangePlan) else None
        document: Document = {
            "changed": True, "act": told.act, "words": told.words,
            "next_step": next_document(following),
        }  # fmt: skip
        return Answer(document, lambda page: _write_act(page, told, following))

    return in_room(asked, do)


def _write_act(page: Page, told: Told, following: NextStep | None) -> None:
    page.line(f"Act {told.act}: {told.words}", hang=4)
    if following is not None:
        page.line(f"Next: {next_words(following)}", hang=4)


def _step_words(parser: Parser) -> None:
    add = parser.add_argument
    add("reservoir", type=name, metavar="RESERVOIR", help="the reservoir")
    add("step", choices=STEPS, metavar="STEP", help="what was done: " + ", ".join(STEPS))
    add(
        "--litres", type=number("L", 0, 100000), metavar="L",
        help="what stands in it after the step; for used all that went out since the last "
        "level noted, for raw-in what ran in; full without litres is all it holds",
    )  # fmt: skip
    add("--celsius", type=number("C", 0, 60), metavar="C", help="the water's temperature")
    add("--recipe", type=name, metavar="RECIPE", help="the water it is filled for")
    add("--for", dest="for_day", type=day_word, metavar="DATE", help="the change day it is for")
    add(
        "--when", type=when_text, metavar="TIME",
        help="when it was done: 20:30 (the latest gone by), 'yesterday 20:30', or a date and time",
    )  # fmt: skip
    anyway(parser)


def _step(asked: Asked) -> Answer | Problem:
    args = asked.args

    def act(scene: Scene) -> Told | Problem:
        when = when_of(args.when, scene.room, scene.now) if args.when else None
        return step(
            scene.store, scene.now, scene.who, args.reservoir, args.step, args.litres,
            args.celsius, args.recipe or "", args.for_day, when, args.anyway,
        )  # fmt: skip

    return _acted(asked, act)


def _choose_words(parser: Parser) -> None:
    add = parser.add_argument
    add("--day", type=day_word, metavar="DATE", help="the change day; else the next")
    add("--hour", type=clock, metavar="HH:MM", help="the change begins at this time")
    add("--share", type=share, metavar="S", help="every change scaled to this share, as 0.6")
    add("--keep-back", action="store_true", help="yes, the keep-back may be used that day")
    add("--no-keep-back", action="store_true", help="no, the keep-back stays")
    add("--as-planned", action="store_true", help="take back what was chosen for that day")


def _choose(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.keep_back and args.no_keep_back:
        return Problem("--keep-back and --no-keep-back", "one says yes, one no", "say one of them")

    def act(scene: Scene) -> Told | Problem:
        day = _day_of(scene, WhatIf(day=args.day))
        if isinstance(day, Problem):
            return day
        keep_back = args.keep_back if args.keep_back or args.no_keep_back else None
        return choose(
            scene.store, scene.now, scene.who, day, args.hour, args.share, keep_back,
            args.as_planned,
        )  # fmt: skip

    return _acted(asked, act)


def _level_words(parser: Parser) -> None:
    add = parser.add_argument
    add("tank", type=name, metavar="TANK", help="the tank")
    add("product", type=text, metavar="PRODUCT", help="what is in its water, as salt")
    add(
        "amount", nargs="?", type=number("", 0, 10000), metavar="AMOUNT",
        help="how much of it in each litre, from the label",
    )  # fmt: skip
    add("--unit", choices=RATE_UNITS, default="g", help="the amount's unit; else g")
    add("--medicine", action="store_true", help="it is a medicine")
    add("--until", type=day_word, metavar="DATE", help="to this day, included; else until ended")
    add("--end", action="store_true", help="it is kept up no longer from today")


def _level(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.end and args.amount is not None:
        return Problem("level", "an amount and an end were both given", "say one of them")
    if not args.end and args.amount is None:
        return Problem("level", "how much in each litre is missing", "give it, or say --end")

    def act(scene: Scene) -> Told | Problem:
        if args.end:
            return end_level(scene.store, scene.now, scene.who, args.tank, args.product)
        return set_level(
            scene.store, scene.now, scene.who, args.tank, args.product, args.amount, args.unit,
            args.medicine, args.until,
        )  # fmt: skip

    return _acted(asked, act)


def _top_off_words(parser: Parser) -> None:
    parser.add_argument("place", type=name, metavar="PLACE", help="the system or the tank")
    parser.add_argument("litres", type=number("L", 0, 100000), metavar="LITRES", help="run in")


def _top_off(asked: Asked) -> Answer | Problem:
    args = asked.args
    return _acted(
        asked, lambda scene: top_off(scene.store, scene.now, scene.who, args.place, args.litres)
    )


COMMANDS = {
    "water": Command(
        _water,
        _water_words,
        more="The letter behind a number says how it is known. Each option asks what would be "
        "and changes nothing; 'choose' keeps a choice. Where the plan as asked is refused it is "
        "shown all the same, and the rule named.",
    ),
    "step": Command(
        _step,
        _step_words,
        writes=True,
        more="Raw water in a reservoir makes all of it count as untreated until it is dosed and "
        "mixed; it is never ready before.",
    ),
    "choose": Command(_choose, _choose_words, writes=True),
    "level": Command(
        _level,
        _level_words,
        writes=True,
        more="After each change the plan says what to add of it; a top-off gets none.",
    ),
    "top-off": Command(
        _top_off,
        _top_off_words,
        writes=True,
        more="The litres run in show a leak or an open lid.",
    ),
}
