"""Acts on lots kept apart and on courses, from `arrive` to `release`.

The rules are in `work.stay_acts` and `work.course_acts`; each command hands its
words over and says what the act changed.
"""

import re
from collections.abc import Callable

from roomtasks.cli.asked import Answer, Asked, Scene, told
from roomtasks.cli.command import Command
from roomtasks.cli.options import anyway
from roomtasks.cli.words import Parser, code, name, number, reason, text, whole
from roomtasks.cli.words import day as day_word
from roomtasks.room.course import ACTIONS, Course, CourseStep
from roomtasks.room.problem import Problem
from roomtasks.room.recipe import RATE_UNITS
from roomtasks.room.release import KNOWN_ONLY, LINES
from roomtasks.room.stock import Group
from roomtasks.work import course_acts, stay_acts
from roomtasks.work.fish import Told

Act = Callable[[Scene], Told | Problem]
_STEP = re.compile(r"(\d{1,3}) +([a-z-]+)(?: +(\d{1,3}(?:\.\d{1,4})?)(%|C)?)?", re.ASCII)
LONGEST_COURSE = 400
MEANT = "yes, it is meant"


def _arrive_words(parser: Parser) -> None:
    add = parser.add_argument
    add("group", type=code, metavar="GROUP", help="a new code for the group")
    add("count", type=whole(0, 1_000_000), metavar="COUNT", help="how many")
    add("tank", type=name, metavar="TANK", help="the tank they are put apart in")
    add("--line", type=reason, required=True, metavar="LINE", help="the line or kind of fish")
    add("--came", type=day_word, metavar="DATE", help="the day they came; else today")
    add("--days", type=whole(1, 400), metavar="N", help="days apart; else as the room is set")
    add("--about", action="store_true", help="estimated, not counted")
    add("--origin", type=text, default="", help="where they came from")
    add("--note", type=text, default="", help="a note")
    anyway(parser, MEANT)


def _arrive(asked: Asked) -> Answer | Problem:
    args = asked.args

    def act(scene: Scene) -> Told | Problem:
        group = Group(
            code=args.group, line=args.line, tank=args.tank, count=args.count,
            count_known="about" if args.about else "exact", since=args.came or scene.today,
            origin=args.origin, note=args.note,
        )  # fmt: skip
        return stay_acts.arrive(scene.store, scene.now, scene.who, group, args.days, args.anyway)

    return told(asked, act)


def _looked_words(parser: Parser) -> None:
    add = parser.add_argument
    add("tank", type=name, metavar="TANK", help="the tank looked at")
    add("seen", nargs="?", choices=stay_acts.SEEN, default="fine", help="what was seen; else fine")
    add("--count", type=whole(0, 1_000_000), metavar="N", help="how many dead or not seen")
    add("--group", type=name, metavar="GROUP", help="the group the dead belong to")
    add("--explained", type=text, default="", metavar="WHY", help="why they died, if that is plain")
    add("--note", type=text, default="", help="a note")


def _looked(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: stay_acts.look(
            scene.store, scene.now, scene.who, args.tank, args.seen, args.count, args.group or "",
            args.explained, args.note,
        ),
    )  # fmt: skip


def _move_lot_words(parser: Parser) -> None:
    parser.add_argument("stay", type=name, metavar="LOT", help="the lot's code")
    parser.add_argument("tank", type=name, metavar="TANK", help="the clean tank it goes to")


def _move_lot(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: stay_acts.move_lot(
            scene.store, scene.now, scene.who, args.stay, args.tank
        ),
    )  # fmt: skip


def _part_words(parser: Parser) -> None:
    parser.add_argument("group", type=name, metavar="GROUP", help="the group's code")
    parser.add_argument("count", type=whole(0, 1_000_000), metavar="COUNT", help="how many leave")
    parser.add_argument("tank", type=name, metavar="TANK", help="another tank to keep them apart")
    parser.add_argument("--reason", type=reason, required=True, metavar="WHY", help="why")


def _part(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: stay_acts.part(
            scene.store, scene.now, scene.who, args.group, args.count, args.tank, args.reason
        ),
    )  # fmt: skip


def _confirm_words(parser: Parser) -> None:
    lines = [line for line in LINES if line not in KNOWN_ONLY]
    parser.add_argument("stay", type=name, metavar="LOT", help="the lot's code")
    parser.add_argument("line", type=name, metavar="LINE", help=", ".join(lines))
    parser.add_argument("--to", type=name, metavar="TANK", help="the destination that is meant")
    parser.add_argument("--note", type=text, default="", help="what was seen")


def _confirm(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: stay_acts.tick(
            scene.store, scene.now, scene.who, args.stay, args.line, args.note, args.to or ""
        ),
    )  # fmt: skip


def _release_words(parser: Parser) -> None:
    parser.add_argument("stay", type=name, metavar="LOT", help="the lot's code")
    parser.add_argument("tank", type=name, metavar="TANK", help="the tank they go to")


def _release(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: stay_acts.release(
            scene.store, scene.now, scene.who, args.stay, args.tank
        ),
    )  # fmt: skip


def _keep_words(parser: Parser) -> None:
    add = parser.add_argument
    add("course", type=code, metavar="COURSE", help="a code for the course")
    add("name", type=reason, metavar="NAME", help="what it is called")
    add("--product", type=text, default="", metavar="PRODUCT", help="what is dosed")
    add("--amount", type=number("", 0.000001, 100000), metavar="AMOUNT", help="from the label")
    add("--unit", type=text, default="", metavar="UNIT", help=", ".join(RATE_UNITS))
    add(
        "--per-litres", type=number("L", 0.001, 1000000), default=1.0, metavar="L",
        help="for so many litres; else 1",
    )  # fmt: skip
    add(
        "--step", action="append", type=reason, required=True, metavar="STEP",
        help="'0 dose', '3 change 25%%', '0 heat 28C'; actions: " + ", ".join(ACTIONS),
    )  # fmt: skip
    add("--no-medicine", action="store_true", help="it hides no signs, as salt")
    add("--with-others", action="store_true", help="the label allows another medicine with it")
    add("--rest", type=whole(0, 400), default=7, metavar="N", help="days of rest after it; else 7")
    add("--caution", type=text, default="", help="the label's caution")


def _keep(asked: Asked) -> Answer | Problem:
    args = asked.args
    steps = []
    for given in args.step:
        step = read_step(args.course, given)
        if isinstance(step, Problem):
            return step
        steps.append(step)
    course = Course(
        code=args.course, name=args.name, product=args.product.strip(), amount=args.amount,
        unit=args.unit.strip(), per_litres=args.per_litres, medicine=not args.no_medicine,
        with_others=args.with_others, rest_days=args.rest, caution=args.caution,
    )  # fmt: skip
    return told(
        asked,
        lambda scene: course_acts.keep_course(scene.store, scene.now, scene.who, course, steps),
    )


def read_step(course: str, given: str) -> CourseStep | Problem:
    """A step from words as "3 change 25%" or "0 heat 28C"; a share without a sign is 0 to 5."""
    found = _STEP.fullmatch(given.strip())
    if found is None or found[2] not in ACTIONS or int(found[1]) > LONGEST_COURSE:
        return Problem("--step", f"“{given[:40]}” is no step of a course",
                       "write a day, an action and a share, as '3 change 25%'")  # fmt: skip
    share = celsius = None
    if found[3] is not None and found[4] == "C":
        celsius = float(found[3])
    elif found[3] is not None:
        share = float(found[3]) / (100 if found[4] == "%" else 1)
    heats = found[2] == "heat"
    wrong = (share is not None and not 0.01 <= share <= (1 if found[2] == "change" else 5)) or (
        celsius is not None and not 5 <= celsius <= 45
    )
    if wrong or (celsius is not None) != (heats and found[3] is not None):
        return Problem("--step", f"“{given[:40]}” has an amount that cannot be",
                       "a share above 0, or degrees as 28C for heat")  # fmt: skip
    return CourseStep(course=course, day=int(found[1]), action=found[2], share=share,
                      celsius=celsius)  # fmt: skip


COURSE_ACTS = ("start", "dose", "break", "end")


def _course_words(parser: Parser) -> None:
    add = parser.add_argument
    add("what", choices=COURSE_ACTS, metavar="WHAT", help=", ".join(COURSE_ACTS))
    add("tank", type=name, metavar="TANK", help="the tank")
    add(
        "course",
        nargs="?",
        type=name,
        metavar="COURSE",
        help="the course, where more than one runs",
    )
    add("--reason", type=text, default="", metavar="WHY", help="why it is broken off")
    add("--also", action="store_true", help="the label allows it with the other medicine")
    anyway(parser, MEANT)


def _course(asked: Asked) -> Answer | Problem:
    args = asked.args
    if args.what == "start" and not args.course:
        return Problem("course", "it is not named", "say 'course start TANK COURSE'")

    def act(scene: Scene) -> Told | Problem:
        first = scene.store, scene.now, scene.who, args.tank
        match args.what:
            case "start":
                return course_acts.start_course(
                    *first, args.course, also=args.also, anyway=args.anyway
                )
            case "dose":
                return course_acts.give_dose(*first, args.course or "")
            case "break":
                return course_acts.interrupt_course(*first, args.reason, args.course or "")
        return course_acts.end_course(*first, args.reason, args.course or "")

    return told(asked, act)


COMMANDS = {
    "arrive": Command(
        _arrive, _arrive_words, writes=True,
        more="Fish added to a lot that is kept apart put all in that water back to day 0; that "
        "is asked about once: say it again with --anyway.",
    ),
    "looked": Command(
        _looked, _looked_words, writes=True,
        more="A sign of illness, or a death nobody can explain, begins the clear days anew.",
    ),
    "move-lot": Command(_move_lot, _move_lot_words, writes=True),
    "part": Command(_part, _part_words, writes=True),
    "confirm": Command(
        _confirm, _confirm_words, writes=True,
        more="The destination is ticked for one tank, by --to; another is asked for again.",
    ),
    "release": Command(
        _release, _release_words, writes=True,
        more="Refused while a line of the release is open, naming it; 'fish --to TANK' shows them.",
    ),
    "keep-course": Command(
        _keep, _keep_words, writes=True,
        more="Figures are the label's; no dose is made up, and this is no veterinary advice.",
    ),
    "course": Command(
        _course, _course_words, writes=True,
        more="Day 0 is the first dose. One that is broken off starts again at its first day.",
    ),
}  # fmt: skip
