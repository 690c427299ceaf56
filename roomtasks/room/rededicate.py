"""A tank made over for other fish: fourteen steps, four of them gates, and what must not stay so.

A gate stops every step behind it until it is ticked. A half-done state may
survive the night, but some must not: those are named. Common practice, no
published source.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from roomtasks.room.naming import day_words
from roomtasks.room.planned_move import Gate, Rededication
from roomtasks.room.problem import Problem

REFILL = 0.80
LAST = 14
CAUGHT = 7
GATES = frozenset({1, 8, 12, 13})
STEPS: dict[int, str] = {
    1: "destination of the old group fixed",
    2: "extra litres put into the demand",
    3: "fish fasted a day",
    4: "pumps and heaters off",
    5: "water lowered; kept in a tub if fish go back in it",
    6: "rock out, not against the glass",
    7: "caught, counted, to their destination",
    8: "helpers that stay: counted and noted",
    9: "sand stirred and vacuumed, or changed; the material is inert",
    10: "new furniture in",
    11: "refilled with ready water, the step in temperature within the limit",
    12: "pump on, outlet flows, looked at for 15 minutes",
    13: "clear and tested, ammonia 0; then the new group in, counted",
    14: "watched on days 1, 2, 3 and 7; then the spawn watch opens",
}
_LEFT_SO = (
    (4, 12, "pump and heater are off"),
    (5, 7, "fish are in low water or in the tub"),
    (6, 7, "the rock is out and fish are still in"),
    (8, 11, "helpers are in a tank that is not refilled"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOver:
    """Where a make-over stands: steps done, the next ones open, and what must not stay so."""

    code: str
    tank: str
    done: tuple[int, ...]
    open: tuple[int, ...]
    waits_at: int | None
    alarms: tuple[str, ...]

    @property
    def finished(self) -> bool:
        return len(self.done) == LAST


def make_over(facts: Rededication, gates: Iterable[Gate], today: date) -> MakeOver:
    """The state of a make-over on a day."""
    own = {gate.step: gate for gate in gates if gate.rededication == facts.code}
    done = tuple(sorted(own))
    left = [step for step in STEPS if step not in own]
    gate = next((step for step in left if step in GATES), None)
    ready = tuple(step for step in left if gate is None or step <= gate)
    alarms: tuple[str, ...] = ()
    if facts.ended is None:
        alarms = tuple(
            f"{facts.tank}: step {max(s for s in own if s < until)} is done and {what}: "
            f"this must not stay so overnight; do step {until}"
            for since, until, what in _LEFT_SO
            if since in own and until not in own
        )
        fasted = own.get(3)
        if fasted is not None and 13 not in own and 7 not in own:
            days = (today - fasted.day).days
            if days > 2:
                alarms += (f"{facts.tank}: the fish have fasted for {days} days",)
    return MakeOver(code=facts.code, tank=facts.tank, done=done, open=ready, waits_at=gate,
                    alarms=alarms)  # fmt: skip


def step_fault(facts: Rededication, gates: Iterable[Gate], step: int) -> Problem | None:
    """What keeps a step from being ticked: an earlier gate, or that it is ticked."""
    named = f"make-over of {facts.tank}"
    own = {gate.step for gate in gates if gate.rededication == facts.code}
    if step not in STEPS:
        return Problem("step", f"there is no step {step}", f"give 1 to {LAST}")
    if facts.ended is not None:
        return Problem(facts.code, f"it was ended on {day_words(facts.ended)}",
                       "begin another", "no-change", named)  # fmt: skip
    if step in own:
        return Problem(facts.code, f"step {step} is done already", "nothing was changed",
                       "no-change", named)  # fmt: skip
    gate = next((g for g in sorted(GATES) if g < step and g not in own), None)
    if gate is not None:
        return Problem(
            facts.code, f"step {step} waits for step {gate}: {STEPS[gate]}",
            f"do step {gate} first", "gate", named,
        )  # fmt: skip
    return None


def refill_litres(tank_litres: float) -> float:
    """Prepared water a make-over takes: most of the tank, what is kept in the tub apart."""
    return REFILL * tank_litres
