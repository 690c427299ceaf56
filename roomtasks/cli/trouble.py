"""Bad days: `trouble`, `trouble-begin`, `trouble-over`, `trouble-tick`.

What a trouble asks for is worked out in `room.trouble`; here it is asked and said.
"""

from datetime import datetime

from roomtasks.cli.asked import Answer, Asked, Document, Scene, day, figure, in_room, instant, told
from roomtasks.cli.command import Command
from roomtasks.cli.page import Page
from roomtasks.cli.words import Parser, name, number, text, when_of, when_text
from roomtasks.room.amount import Amount
from roomtasks.room.pin import TROUBLES
from roomtasks.room.problem import Problem
from roomtasks.room.trouble import TroublePlan, when_cold
from roomtasks.room.trouble_clock import WEAK_AFTER_HOURS, TankClock
from roomtasks.room.trouble_steps import Step, step_words
from roomtasks.work.trouble_acts import tick_step, trouble_begin, trouble_over
from roomtasks.work.trouble_view import TroublesView, troubles_view

SIGNS = {"done": "x", "due": "*", "late": "!", "to-come": "-", "gone-by": " "}
SIGN_WORDS = "x done   * due   ! late   - to come"


def _words(parser: Parser) -> None:
    parser.add_argument(
        "--idle-hours", type=number("h", 0, 240), default=WEAK_AFTER_HOURS, metavar="H",
        help=f"filters that stood longer count as weakened, {WEAK_AFTER_HOURS:g} unless given",
    )  # fmt: skip
    parser.add_argument("--all", action="store_true", help="also steps done, gone by or to come")


def _trouble(asked: Asked) -> Answer | Problem:
    def do(scene: Scene) -> Answer | Problem:
        found = troubles_view(scene.store, scene.now, asked.args.idle_hours)
        if isinstance(found, Problem):
            return found
        return Answer(_document(found), lambda page: _write(page, found, asked.args.all))

    return in_room(asked, do)


# --- as JSON ----------------------------------------------------------------------------


def _document(found: TroublesView) -> Document:
    return {
        "day": day(found.today), "at": instant(found.now),
        "open": [plan_document(plan) for plan in found.open],
        "recent": [plan_document(plan) for plan in found.recent],
    }  # fmt: skip


def plan_document(plan: TroublePlan) -> Document:
    """One trouble with its clocks, steps and what it changes."""
    trouble = plan.trouble
    return {
        "trouble": trouble.code, "sort": trouble.sort, "target": trouble.target,
        "words": plan.words, "began": instant(trouble.began), "ended": instant(plan.over),
        "note": trouble.note or None, "changes": list(plan.changes), "lifts": day(plan.lifts),
        "steps": [step_document(step) for step in plan.steps],
        "clocks": [_clock_document(clock) for clock in plan.clocks],
        "coldest_first": [clock.tank for clock in plan.heat],
        "weakened": list(plan.weakened), "exposed": list(plan.exposed),
        "free": [
            {"class": each.health.word, "tanks": list(each.tanks), "litres": figure(each.litres, 1)}
            for each in plan.free
        ],
        "ways": [
            {"group": way.group, "count": way.count, "tanks": list(way.tanks),
             "split": dict(way.split)}
            for way in plan.ways
        ],
        "water": [
            {"recipe": each.recipe or None, "litres": figure(each.litres, 1),
             "served": [given.draw.place for given in each.served],
             "without": [given.draw.place for given in each.without],
             "smaller": list(each.smaller), "wait_until": instant(each.wait_until)}
            for each in plan.shared
        ],
    }  # fmt: skip


def step_document(step: Step) -> Document:
    """One step."""
    return {
        "step": step.code, "words": step.words, "why": step.why or None,
        "caution": step.caution or None, "state": step.state, "done": step.done,
        "day": day(step.day), "at": instant(step.at), "last_day": day(step.last),
        "places": list(step.places), "left": list(step.left), "note_with": step.note_with,
    }  # fmt: skip


def _clock_document(clock: TankClock) -> Document:
    return {
        "tank": clock.tank, "litres": figure(clock.litres, 1), "fish": clock.fish,
        **_amount("grams_per_litre", clock.grams_per_litre),
        **_amount("tau_hours", clock.tau_hours), **_amount("celsius", clock.celsius),
        **_amount("limit_celsius", clock.limit_celsius),
        "fish_per_litre": figure(clock.fish_per_litre, 3), "own_air": clock.own_air,
        "battery_air": clock.battery_air, "cold_in_hours": figure(clock.cold_in_hours, 2),
        "cold_at": instant(_to_second(clock.cold_at)), "idle_hours": figure(clock.idle_hours, 2),
        "weakened": clock.weakened,
    }  # fmt: skip


def _to_second(at: datetime | None) -> datetime | None:
    return None if at is None else at.replace(microsecond=0)


def _amount(key: str, amount: Amount | None) -> Document:
    if amount is None:
        return {key: None, f"{key}_known": None, f"{key}_from": None}
    return {
        key: figure(amount.value, 3), f"{key}_known": amount.known,
        f"{key}_from": amount.source or amount.formula or None,
    }  # fmt: skip


# --- as text ----------------------------------------------------------------------------


def _write(page: Page, found: TroublesView, everything: bool) -> None:
    if not found.plans:
        page.line("No trouble is open, and none lately over.")
        return
    page.line(SIGN_WORDS, style="quiet")
    for plan in found.plans:
        _write_plan(page, plan, everything)


def _write_plan(page: Page, plan: TroublePlan, everything: bool) -> None:
    page.head(f"{plan.words[0].upper()}{plan.words[1:]} [{plan.trouble.code}]")
    if plan.trouble.note:
        page.line(plan.trouble.note, style="quiet")
    for change in plan.changes:
        page.line(change, hang=2, style="held")
    if plan.weakened:
        weak = ", ".join(plan.weakened)
        page.line(f"filters that stood too long and count as weakened: {weak}", hang=2)
    if plan.open:
        _write_clocks(page, plan)
    for step in plan.steps:
        if everything or step.open_now:
            _write_step(page, step)


def _write_clocks(page: Page, plan: TroublePlan) -> None:
    if not plan.clocks:
        return
    if plan.trouble.sort != "heater":
        page.line("Oxygen first, most fish to the litre at the top:")
        for clock in plan.clocks:
            page.line(clock.words, indent=2, hang=4)
    cold = [clock for clock in plan.heat if clock.cold_at is not None]
    if cold:
        times = [f"{each.tank} {when_cold(plan, each.cold_at)}" for each in cold if each.cold_at]
        page.line("Heat, soonest cold first: " + ", ".join(times), hang=4)
        page.line("A forecast is not a test.", style="quiet")


def _write_step(page: Page, step: Step) -> None:
    page.line(f"{SIGNS[step.state]} {step_words(step)}", hang=4,
              style="late" if step.state == "late" else "")  # fmt: skip
    if step.done:
        return
    if step.why:
        page.line(f"why: {step.why}", indent=4, hang=2, style="quiet")
    if step.caution and step.open_now:
        page.line(f"mind: {step.caution}", indent=4, hang=2)
    page.line(f"note it: {step.note_with}", indent=4, hang=2, style="quiet")


# --- acts -------------------------------------------------------------------------------


def _at(parser: Parser, which: str) -> None:
    parser.add_argument(
        "--when", type=when_text, metavar="TIME",
        help=f"when it {which}: 02:10 (the latest gone by), 'yesterday 20:00', or a date and time; "
        "else now",
    )  # fmt: skip


def _begin_words(parser: Parser) -> None:
    parser.add_argument("sort", type=name, metavar="SORT", help=", ".join(TROUBLES))
    parser.add_argument(
        "target", nargs="?", type=name, metavar="PLACE",
        help="where: a tank, system, reservoir, rack or room; else the only place it can be",
    )  # fmt: skip
    _at(parser, "began")
    parser.add_argument("--note", type=text, default="", help="a note")


def _begin(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked,
        lambda scene: trouble_begin(
            scene.store, scene.now, scene.who, args.sort, args.target or "", _when(asked, scene),
            args.note,
        ),
    )  # fmt: skip


def _over_words(parser: Parser) -> None:
    parser.add_argument(
        "code", type=name, metavar="CODE", help="the trouble's code, or its sort if one is open"
    )
    _at(parser, "was over")


def _over(asked: Asked) -> Answer | Problem:
    code = asked.args.code
    return told(
        asked,
        lambda scene: trouble_over(
            scene.store, scene.now, scene.who, code, _when(asked, scene)
        ),
    )  # fmt: skip


def _tick_words(parser: Parser) -> None:
    parser.add_argument("code", type=name, metavar="CODE", help="the trouble's code")
    parser.add_argument("step", type=name, metavar="STEP", help="the step, as 'trouble' names it")


def _tick(asked: Asked) -> Answer | Problem:
    args = asked.args
    return told(
        asked, lambda scene: tick_step(scene.store, scene.now, scene.who, args.code, args.step)
    )


def _when(asked: Asked, scene: Scene) -> datetime | None:
    given = asked.args.when
    return None if given is None else when_of(given, scene.room, scene.now)


COMMANDS = {
    "trouble": Command(
        _trouble, _words,
        "Tanks by oxygen and by heat, steps in order with what to mind, and what rests until "
        "which day. A step is done by a tick, or by what is noted anyway: a reading, a valve, "
        "a pump.",
    ),
    "trouble-begin": Command(
        _begin, _begin_words, writes=True,
        more="What may not be done meanwhile is held at once, with the reason: filters, food, or "
        "a leaking tank. A failed pump is off with it; an outbreak holds moves and sales from "
        "every tank it reached.",
    ),
    "trouble-over": Command(
        _over, _over_words, writes=True,
        more="After a power cut filters rest 7 days, fish get no food for 24 hours and then half, "
        "and ammonia is tested on day 0, 1 and 3.",
    ),
    "trouble-tick": Command(_tick, _tick_words, writes=True),
}  # fmt: skip
