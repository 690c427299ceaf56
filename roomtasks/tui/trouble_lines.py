"""Bad days as lines: each trouble with its steps and clocks, and what can be begun.

From the view to words and acts; what a trouble asks for is worked out in
`room.trouble`. Acts are in `trouble_side`.
"""

from collections.abc import Iterator

from roomtasks.room.pin import TROUBLES
from roomtasks.room.trouble import TroublePlan, when_cold
from roomtasks.room.trouble_holds import WORDS
from roomtasks.room.trouble_steps import DONE, GONE_BY, LATE, TO_COME, Step, step_words
from roomtasks.tui.here_words import noted_here
from roomtasks.tui.signs import Signs
from roomtasks.tui.trouble_side import begin_acts, over_act, short_acts, tick_act
from roomtasks.tui.water_items import Item, Part
from roomtasks.work.trouble_view import TroublesView

MOST_PLACES = 8
COOLING = "Cooling time constant: hours until about a third of the gap to the room is left"


def top_line(seen: TroublesView) -> str:
    """How many troubles are open, and what the newest is."""
    if not seen.open:
        lately = f", {len(seen.recent)} lately over" if seen.recent else ""
        return f"Bad days: no trouble is open{lately}"
    many = f"{len(seen.open)} troubles open" if len(seen.open) > 1 else "1 trouble open"
    return f"Bad days: {many}: {seen.open[-1].words}"


def next_line(seen: TroublesView) -> str:
    """The step that is next."""
    late = [found for found in seen.steps_now if found[1].state == LATE]
    found = (late or list(seen.steps_now))[:1]
    if not found:
        return "No step of a trouble waits."
    plan, step = found[0]
    return f"Next: {step_words(step, MOST_PLACES)} ({WORDS[plan.trouble.sort]})"


def parts(seen: TroublesView, signs: Signs) -> list[Part]:
    """Open troubles, what can be begun, those lately over."""
    found = [_plan_part(plan, signs) for plan in seen.open]
    short = Item(key="short", text="Only so many minutes today: the rest put off in one act",
                 acts=short_acts())  # fmt: skip
    begins = [
        Item(key=f"begin {sort}", text=f"{WORDS[sort].capitalize()}: begin it here",
             acts=begin_acts(seen.room, sort))
        for sort in TROUBLES
    ]  # fmt: skip
    found.append(Part("Today is short", (short,)))
    found.append(Part("Something went wrong", tuple(begins)))
    return [*found, *(_plan_part(plan, signs) for plan in seen.recent)]


def _plan_part(plan: TroublePlan, signs: Signs) -> Part:
    return Part(plan.words, tuple(_items(plan, signs)))


def _items(plan: TroublePlan, signs: Signs) -> Iterator[Item]:
    code = plan.trouble.code
    over = (over_act(plan),) if plan.open else ()
    waiting = [step for step in plan.steps if step.open_now]
    rest = [step for step in plan.steps if not step.open_now]
    for step in waiting:
        yield _step_item(plan, step, signs)
    if plan.open:
        yield Item(key=f"{code} over", text="It is over: mark when", acts=over)
    if plan.trouble.note:
        yield Item(key=f"{code} note", text=plan.trouble.note, acts=over)
    for n, change in enumerate(plan.changes):
        yield Item(key=f"{code} change {n}", text=f"{signs.held} {change}", acts=over)
    if plan.weakened:
        text = "Filters that stood too long and count as weakened: " + ", ".join(plan.weakened)
        yield Item(key=f"{code} weakened", text=text, acts=over)
    if plan.open:
        yield from _clocks(plan)
    places = [*(room.words for room in plan.free), *(way.words for way in plan.ways)]
    places += [line for shared in plan.shared for line in shared.words]
    for n, text in enumerate(places):
        yield Item(key=f"{code} place {n}", text=text, acts=over)
    for step in rest:
        yield _step_item(plan, step, signs)


def _clocks(plan: TroublePlan) -> Iterator[Item]:
    """Oxygen first, then heat."""
    code = plan.trouble.code
    for n, clock in enumerate(plan.clocks):
        head = "" if plan.trouble.sort == "heater" else "Oxygen first: " if n == 0 else "  "
        amounts = [("Fish to the litre", clock.grams_per_litre), (COOLING, clock.tau_hours)]
        amounts += [("Temperature", clock.celsius)] if clock.celsius is not None else []
        yield Item(key=f"{code} clock {clock.tank}", text=head + clock.words, about=clock.tank,
                   amounts=tuple(amounts), acts=(over_act(plan),))  # fmt: skip
    cold = [f"{clock.tank} {when_cold(plan, clock.cold_at)}" for clock in plan.heat
            if clock.cold_at]  # fmt: skip
    if cold:
        lead = (
            "Soonest cold" if plan.trouble.sort == "heater" else "Heat second, soonest cold first"
        )
        text = f"{lead}: " + ", ".join(cold) + ". A forecast is not a test."
        yield Item(key=f"{code} heat", text=text, acts=(over_act(plan),))


def _step_item(plan: TroublePlan, step: Step, signs: Signs) -> Item:
    sign = {DONE: signs.done, LATE: signs.late, TO_COME: signs.empty, GONE_BY: signs.off}
    more = [f"Where: {', '.join(step.where)}"] if len(step.where) > MOST_PLACES else []
    more += [f"Why: {step.why}"] if step.why else []
    more += [f"Mind: {step.caution}"] if step.caution else []
    more += [f"It counts as done by: {noted_here(step.note_with)}"] if step.note_with else []
    mind = f". Mind: {step.caution}" if step.caution and step.open_now else ""
    weight = {DONE: "quiet", GONE_BY: "quiet", TO_COME: "quiet", LATE: "late"}.get(step.state, "")
    acts = () if step.done else (tick_act(plan, step),)
    all_of = "; 5 shows all" if len(step.where) > MOST_PLACES else ""
    text = f"{sign.get(step.state, signs.due)} {step_words(step, MOST_PLACES)}{all_of}{mind}"
    return Item(
        key=f"{plan.trouble.code} step {step.code}", text=text, weight=weight,
        more=tuple(more), acts=(*acts, *((over_act(plan),) if plan.open else ())),
    )  # fmt: skip
