"""What the water screen says: top lines, next steps, vessels, tracks, the page of a number.

From a plan to words; nothing is worked out here but what stands in a plan
already. The list below is in `water_lines`, the drawing in `widgets`.
"""

import textwrap
from dataclasses import dataclass
from datetime import UTC, datetime

from rich.cells import cell_len

from roomtasks.room.amount import ASSUMED, COMPUTED, FORECAST, MEASURED, SET, Amount, Input
from roomtasks.room.column import shown
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.vessel import STEPS
from roomtasks.room.water_plan import Batch, ChangePlan, ClockStep, Contents, WhatIf
from roomtasks.room.why import day_words
from roomtasks.tui.here_words import on_screen, refused_here
from roomtasks.tui.signs import Signs, clean, fitted
from roomtasks.tui.widgets.lines_view import Row
from roomtasks.tui.widgets.timeline import Stroke, Track
from roomtasks.tui.widgets.vessel_view import Look

KNOWN = {MEASURED: "m", COMPUTED: "c", ASSUMED: "a", FORECAST: "f", SET: "s"}
LEGEND = "m measured  c computed  a assumed  f forecast  s as set"
STEP_WORDS = {
    "hose-out": "hose out", "fill-start": "fill started", "full": "full",
    "treated": "conditioned", "rest": "stands", "heat-on": "heater on", "heat-off": "heater off",
    "mixed": "mixed", "ready-check": "ready check", "ready": "ready", "not-ready": "not ready",
    "used": "used", "emptied": "emptied", "raw-in": "raw water in", "change": "change",
}  # fmt: skip
TO_DO = {**STEP_WORDS, "fill-start": "fill starts", "treated": "condition it", "mixed": "mix",
         "ready-check": "ready check"}  # fmt: skip
STATE_WORDS = {"treated": "conditioned"}
MARKED_AS = {"ready-check": "ready"}
BY = (("advised", "advised"), ("latest", "latest"))
BY_NOW = (("earliest", "advised"),)
BY_STATE = {
    "empty": "fill-start", "filling": "full", "raw": "treated", "treated": "mixed",
    "heating": "mixed", "mixed": "ready",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class WaterSeen:
    """One look at the water: the room, the plan or why there is none, what reservoirs hold."""

    room: Room
    now: datetime
    plan: ChangePlan | Problem
    contents: dict[str, Contents]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Expected:
    """The next step at a reservoir: a word of `vessel.STEPS`, and where a plan has it, when.

    `level` is what shall stand in it once it is full.
    """

    reservoir: str
    step: str
    clock: ClockStep | None = None
    batch: Batch | None = None
    level: float | None = None

    @property
    def words(self) -> str:
        """The step as it is marked."""
        return "ready check" if self.step == "ready" else STEP_WORDS[self.step]

    @property
    def to_do(self) -> str:
        """The step as it is still to be done."""
        return "ready check" if self.step == "ready" else TO_DO[self.step]


def expected(seen: WaterSeen, code: str) -> Expected | None:
    """The step the plan names next, else the first that its batch has open, else by its state.

    A second batch waits until the water of the first is used.
    """
    plan = seen.plan
    batches = [] if isinstance(plan, Problem) else [
        batch for batch in plan.batches if batch.reservoir == code
    ]  # fmt: skip
    held = seen.contents.get(code)
    named = None if isinstance(plan, Problem) else plan.next_step
    wanted = named.step if named is not None and named.reservoir == code else ""
    if held is not None and held.filling_since is not None:
        wanted = "full"
    open_steps = [
        Expected(code, step, clock, batch, batch.left_litres + batch.added_litres)
        for batch in batches[:1]
        for clock in (batch.clock.steps if batch.clock is not None else ())
        if (step := MARKED_AS.get(clock.step, clock.step)) in STEPS and clock.done_at is None
    ]
    if open_steps:
        return next(
            (one for one in open_steps if one.clock and one.clock.step == wanted), open_steps[0]
        )
    if batches or held is None or held.state not in BY_STATE:
        return None
    return Expected(code, BY_STATE[held.state])


def reservoir_in_hand(seen: WaterSeen, named: str) -> str:
    """As the line in hand names it, else where the next step is, else the first; "" for none."""
    if named in seen.room.reservoir:
        return named
    plan = seen.plan
    if not isinstance(plan, Problem) and plan.next_step is not None:
        return plan.next_step.reservoir
    return next(iter(seen.room.reservoir), "")


# ---- figures and times ---------------------------------------------------------------------------


def num(value: float, places: int = 1) -> str:
    """A number as a keeper reads it: 560, 27.3."""
    text = f"{round(value, places) + 0.0:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount(value: Amount | None, places: int = 1, unit: bool = True) -> str:
    """A number with the letter of how it is known, and its unit; "?" where nothing is."""
    if value is None:
        return "?"
    tail = f" {value.unit}" if unit and value.unit else ""
    return f"{num(value.value, places)}{KNOWN.get(value.known, '')}{tail}"


def percent(fraction: float) -> str:
    return f"{num(100 * fraction)} %"


def long(minutes: float) -> str:
    """So many hours and minutes."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def clock_words(at: datetime, now: datetime) -> str:
    """A time of the room's clock, with its day where that is not today's."""
    return f"{at:%H:%M}" if at.date() == now.date() else f"{at:%a %H:%M}"


def away(at: datetime, now: datetime) -> str:
    """How far ahead or gone by, in real time."""
    minutes = (at.astimezone(UTC) - now.astimezone(UTC)).total_seconds() / 60
    if abs(minutes) < 1:
        return "now"
    return f"in {long(minutes)}" if minutes >= 0 else f"{long(-minutes)} ago"


# ---- the top -------------------------------------------------------------------------------------


def wanted_litres(plan: ChangePlan) -> float:
    """What the day takes out of the reservoirs."""
    return sum(demand.litres.value for demand in plan.demands)


def ready_litres(plan: ChangePlan) -> float:
    """What of it is ready on the day itself, at its hour."""
    return sum(
        batch.used_litres
        for batch in plan.batches
        if batch.clock is None
        or (batch.clock.refused is None and batch.clock.wanted_at.date() <= plan.wanted_at.date())
    )


def top_line(seen: WaterSeen, signs: Signs, width: int) -> str:
    """The change day and hour, and litres wanted against litres that can be ready."""
    plan = seen.plan
    if isinstance(plan, Problem):
        return fitted("Water", width)
    wanted, ready = wanted_litres(plan), ready_litres(plan)
    day = f"{day_words(plan.day)} {plan.wanted_at:%H:%M}"
    short = f"{signs.late}{num(wanted - ready, 0)} L short" if wanted - ready >= 0.5 else ""
    lines = (
        f"Change {day}   wanted {num(wanted, 0)} L, can be ready {num(ready, 0)} L   {short}",
        f"Change {day}  wanted {num(wanted, 0)}, ready {num(ready, 0)} L  {short}",
        f"{day}  {num(ready, 0)} of {num(wanted, 0)} L ready  {short}",
    )
    fits = (line.rstrip() for line in lines if cell_len(line.rstrip()) <= width)
    return fitted(next(fits, lines[-1].rstrip()), width)


def next_line(seen: WaterSeen, signs: Signs, width: int) -> str:
    """What is next to do and when."""
    plan = seen.plan
    if isinstance(plan, Problem):
        return fitted(clean(refused_here(plan)), width)
    step = plan.next_step
    if step is None:
        none = "No water is wanted that day. " if not plan.demands else ""
        return fitted(f"{none}Nothing is to be done about water now.", width)
    words = TO_DO.get(step.step, step.step)
    late = f"  {signs.late} late" if step.late else ""
    text = f"Next: {step.reservoir}: {words} at {clock_words(step.at, seen.now)}"
    return fitted(clean(f"{text}, {away(step.at, seen.now)}{late}"), width)


def what_if_line(what_if: WhatIf, seen: WaterSeen, as_it_is: WaterSeen | None) -> str:
    """What is asked besides the facts and what of it would be otherwise; "" where nothing is."""
    parts = []
    if what_if.day is not None:
        parts.append(day_words(what_if.day))
    if what_if.hour is not None:
        parts.append(f"begins {what_if.hour:%H:%M}")
    if what_if.share is not None:
        parts.append(f"every change at {percent(what_if.share)} of what is planned")
    if what_if.fraction is not None:
        parts.append(f"every change {percent(what_if.fraction)}")
    if what_if.keep_back is not None:
        parts.append("with the keep-back" if what_if.keep_back else "without the keep-back")
    parts += [f"{code} fills at {num(rate, 2)} L/min" for code, rate in what_if.fill_rates]
    parts += [f"{code} empty at {at:%a %H:%M}" for code, at in what_if.free_at]
    parts += [f"with {tank} {percent(share)}" for tank, share in what_if.extra]
    if what_if.celsius is not None:
        parts.append(f"new water {num(what_if.celsius)} C")
    if not parts:
        return ""
    told = [f"WHAT IF: {', '.join(parts)}. Not kept."]
    if not isinstance(seen.plan, Problem):
        if as_it_is is not None and not isinstance(as_it_is.plan, Problem):
            ready, was = ready_litres(seen.plan), ready_litres(as_it_is.plan)
            litres, were = wanted_litres(seen.plan), wanted_litres(as_it_is.plan)
            told.append(f"As it is: {num(was, 0)} of {num(were, 0)} L; so: {num(ready, 0)} of "
                        f"{num(litres, 0)} L.")  # fmt: skip
        told += ["REFUSED"] if seen.plan.refused else []
    return clean(" ".join(told))


# ---- what is drawn -------------------------------------------------------------------------------


def looks(seen: WaterSeen, hand: str) -> list[Look]:
    """Every reservoir as it is drawn."""
    found = []
    for vessel in seen.room.reservoirs:
        held = seen.contents.get(vessel.code)
        step = expected(seen, vessel.code)
        found.append(
            Look(
                code=vessel.code, full=vessel.full_litres, dead=vessel.dead_litres,
                rest=vessel.dead_litres + vessel.keep_back_litres,
                now=vessel.holds_litres if held is None else held.litres,
                planned=step.level if step is not None else None,
                words=tuple(held_words(held, seen.now)), in_hand=vessel.code == hand,
            )
        )  # fmt: skip
    return found


def held_words(held: Contents | None, now: datetime) -> list[str]:
    """State, temperature and recipe of what stands in a reservoir."""
    if held is None:
        return []
    words = [STATE_WORDS.get(held.state, held.state)]
    if held.known == ASSUMED:
        words[0] += f" ({held.known})"
    if held.filling_since is not None:
        words[0] += f" since {clock_words(held.filling_since, now)}"
    if held.celsius is not None:
        words.append(amount(held.celsius))
    if held.recipe:
        words.append(held.recipe)
    return words


def tracks(plan: ChangePlan, only: str = "") -> list[Track]:
    """Two lines of time for each batch, at one reservoir where one is named."""
    found = []
    for batch in plan.batches:
        if batch.clock is None or (only and batch.reservoir != only):
            continue
        kept = batch.clock.refused is None
        for name, word in BY if kept else BY_NOW:
            strokes = tuple(
                Stroke(
                    step.step,
                    step.done_at or getattr(step, word),
                    step.minutes.value,
                    step.done_at is not None,
                )
                for step in batch.clock.steps
            )
            found.append(Track(f"{batch.n} {batch.reservoir} {name}", strokes))
    return found


# ---- the page of a number ------------------------------------------------------------------------


LARGE = 1000.0


@dataclass(frozen=True, slots=True)
class Opened:
    """What a line opens to: its numbers by name, and sentences that go with them."""

    title: str
    amounts: tuple[tuple[str, Amount], ...] = ()
    more: tuple[str, ...] = ()


def opened_rows(opened: Opened, width: int) -> list[Row]:
    """Formula, inputs, how each is known and where it is from."""
    rows = _wrapped(on_screen(opened.title), width, "head")
    for text in opened.more:
        rows += _wrapped(on_screen(text), width)
    for name, value in opened.amounts:
        rows += _wrapped(f"{name}: {_exact(value.value)} {value.unit}".rstrip(), width, "head")
        rows += _wrapped(f"Known: {value.known}", width)
        if value.formula:
            rows += _wrapped(f"How: {value.formula}", width)
        if value.inputs:
            rows.append(Row("What went in:"))
            for each in value.inputs:
                rows += _wrapped("  " + _input(each), width)
        if value.source:
            rows += _wrapped(f"From: {value.source}", width)
    return rows


def _input(each: Input) -> str:
    value = shown(each.value) if isinstance(each.value, str) else _exact(each.value)
    unit = f" {each.unit}" if each.unit else ""
    source = f", {each.source}" if each.source else ""
    return f"{each.name} {value}{unit} ({each.known}{source})"


def _exact(value: float) -> str:
    """To four figures, and whole numbers whole."""
    return f"{value:.0f}" if abs(value) >= LARGE else f"{value:.4g}"


def _wrapped(text: str, width: int, weight: str = "") -> list[Row]:
    indent = len(text) - len(text.lstrip())
    lines = textwrap.wrap(
        clean(text), max(10, width - 1), initial_indent="", subsequent_indent=" " * (indent + 2)
    )
    return [Row(line, weight) for line in lines] or [Row("")]
