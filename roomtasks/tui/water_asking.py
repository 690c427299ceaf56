"""Questions of the water screen, and what their answers mean. Pure, as `asking`."""

from dataclasses import replace
from datetime import datetime
from math import isfinite
from typing import TypeVar

from roomtasks.room.day import resolve
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import WhatIf
from roomtasks.room.why import day_words
from roomtasks.tui.asking import Question
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keeper import Chosen, StepDone, hour_of
from roomtasks.tui.water_words import STEP_WORDS, Expected, WaterSeen, num

T = TypeVar("T")
MORE, EARLIER = "more", "one done earlier"
FIRST_STEPS = ("fill-start", "full", "treated", "heat-on", "heat-off", "mixed", "ready",
               "not-ready", MORE)  # fmt: skip
MORE_STEPS = ("hose-out", "used", "emptied", "raw-in", EARLIER)
LITRES_ASKED = {"full": "Litres in it now", "used": "Litres that went out since last noted",
                "raw-in": "Litres of raw water run in"}  # fmt: skip
TOLD_FOR = ("hose-out", "fill-start", "full")
WHAT_IFS = (
    "another hour", "another fraction", "fill rate", "one tank more", "other temperature",
    "a share of all", "with the keep-back", "when it is empty", "as it is",
)  # fmt: skip
CHOICES = ("another hour", "a share of every change", "the keep-back", "as planned")
USUAL_PERCENT = "30"


# ---- steps ---------------------------------------------------------------------------------------


def steps(code: str) -> Question:
    return Question("step", f"{code}:", tuple(_word(step) for step in FIRST_STEPS), about=code)


def more_steps(code: str) -> Question:
    return Question("more-step", f"{code}:", tuple(_word(s) for s in MORE_STEPS), about=code)


def _word(step: str) -> str:
    return STEP_WORDS.get(step, step)


def celsius(code: str, wanted: float | None) -> Question:
    tail = f" (wanted {num(wanted)})" if wanted is not None else ""
    return Question("celsius", f"{code}: temperature in C{tail}, then Enter:", about=code)


def litres(code: str, step: str, planned: float | None) -> Question:
    tail = f" ({num(planned)})" if planned is not None else ""
    return Question(
        f"litres {step}", f"{code}: {LITRES_ASKED[step]}{tail}, then Enter:", about=code,
        blank=num(planned) if planned is not None else "",
    )  # fmt: skip


def done_at(code: str, words: str) -> Question:
    return Question("done-at", f"{code}: {words} at what time, as 2000, then Enter:", about=code)


def anyway(problem: Problem) -> Question:
    """A refusal that the keeper may overrule."""
    return Question("yes", f"{refused_here(problem)}. Mark it all the same?", ("yes",))


def may_overrule(problem: Problem) -> bool:
    """Whether the act can be entered all the same."""
    return "--anyway" in problem.remedy


def step_done(seen: WaterSeen, code: str, step: str, found: Expected | None) -> StepDone:
    """A step with what the plan knows of it: the recipe and the day it is for, the level."""
    batch = found.batch if found is not None else None
    if batch is None or isinstance(seen.plan, Problem) or step not in TOLD_FOR:
        return StepDone(reservoir=code, step=step)
    level = found.level if found is not None and step == "full" else None
    most = seen.room.reservoir[code].full_litres
    return StepDone(
        reservoir=code, step=step, recipe=batch.recipe, for_day=seen.plan.day,
        litres=min(level, most) if level is not None else None,
    )  # fmt: skip


# ---- what if -------------------------------------------------------------------------------------


def what_if() -> Question:
    return Question("what-if", "What if:", WHAT_IFS)


def asked_for(number: int, code: str) -> Question | None:
    """The question behind a line of the what-if list; None where it is none of one figure."""
    match number:
        case 1:
            return Question("if-hour", "The change begins at, as 0900, then Enter:")
        case 2:
            return Question("if-fraction", "Every change of how many %, then Enter:")
        case 3:
            return Question("if-rate", f"{code} fills at how many L/min, then Enter:", about=code)
        case 5:
            return Question("if-celsius", "New water of how many C, then Enter:")
        case 6:
            return Question("if-share", "Every change at how many % of planned, then Enter:")
        case 8:
            return Question("if-free", f"{code} is empty at, as 1040, then Enter:", about=code)
    return None


def extra(tank: str) -> Question:
    return Question("if-extra", f"{tank}: how many % ({USUAL_PERCENT}), then Enter:", about=tank,
                    blank=USUAL_PERCENT)  # fmt: skip


LIMITS = {"if-fraction": (1.0, 100.0), "if-share": (1.0, 100.0), "if-rate": (0.01, 1000.0),
          "if-extra": (1.0, 100.0), "if-celsius": (0.0, 60.0)}  # fmt: skip


def asked(sort: str, text: str, about: str, what: WhatIf, seen: WaterSeen) -> WhatIf | Problem:
    """What is asked after an answer, or what is wrong with it."""
    if sort in ("if-hour", "if-free"):
        return _at_hour(sort, text, about, what, seen)
    value = number(text, *LIMITS[sort])
    if isinstance(value, Problem):
        return value
    match sort:
        case "if-fraction":
            return replace(what, fraction=value / 100)
        case "if-share":
            return replace(what, share=value / 100)
        case "if-rate":
            return replace(what, fill_rates=_put(what.fill_rates, about, value))
        case "if-extra":
            return replace(what, extra=_put(what.extra, about, value / 100))
    return replace(what, celsius=value)


def _at_hour(
    sort: str, text: str, about: str, what: WhatIf, seen: WaterSeen
) -> WhatIf | Problem:  # fmt: skip
    hour = hour_of(text)
    if isinstance(hour, Problem):
        return hour
    if sort == "if-hour":
        return replace(what, hour=hour)
    if isinstance(seen.plan, Problem):
        return seen.plan
    free = resolve(datetime.combine(seen.plan.day, hour), seen.room.zone)
    return replace(what, free_at=_put(what.free_at, about, free))


def _put(pairs: tuple[tuple[str, T], ...], name: str, value: T) -> tuple[tuple[str, T], ...]:
    """The pair of this name, in place of the one before."""
    return (*(pair for pair in pairs if pair[0] != name), (name, value))


def number(text: str, low: float, high: float) -> float | Problem:
    """Digits as a number between two ends."""
    try:
        value = float(text.replace(",", ".", 1).rstrip("% "))
    except ValueError:
        value = float("nan")
    if not text.isascii() or not isfinite(value) or not low <= value <= high:
        return Problem("", f"“{text}” will not do", f"type {low:g} to {high:g}")
    return value


# ---- choices -------------------------------------------------------------------------------------


def choose(day_words: str) -> Question:
    return Question("choose", f"Keep for {day_words}:", CHOICES)


def keep(sort: str) -> Question:
    """An hour or a share that is to be kept."""
    if sort == "hour":
        return Question("keep-hour", "The change begins at, as 0900, then Enter:")
    return Question("keep-share", "Every change at how many % of planned, then Enter:")


def yes(text: str) -> Question:
    return Question("yes", f"{text}?", ("yes",))


def choice_words(choice: Chosen) -> str:
    """A choice as it is asked about before it is kept."""
    day = day_words(choice.day)
    if choice.as_planned:
        return f"Take back what was chosen for {day}"
    if choice.hour is not None:
        return f"Keep for {day}: the change begins {choice.hour:%H:%M}"
    if choice.share is not None:
        return f"Keep for {day}: every change at {num(100 * choice.share)} % of what is planned"
    return f"Keep for {day}: the keep-back may be used"
