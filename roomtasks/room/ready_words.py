"""The sentences of a fill by the clock: why a step stands there, and why an hour cannot be kept."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from roomtasks.room.amount import Amount
from roomtasks.room.in_hand import Done
from roomtasks.room.problem import Problem
from roomtasks.room.warming import FillNeed
from roomtasks.room.why import day_words

TOO_SOON, NOT_WATCHED = "not-ready-in-time", "not-watched"


def step_words(need: FillNeed, step: str) -> str:
    """Why a step stands where it does."""
    facts = need.reservoir
    alone = facts.unattended
    fill = "the float valve watches it" if alone else "watched from start to end"
    words = {
        "hose-out": f"{facts.hose_minutes:g} min to lay the hose",
        "fill-start": f"{need.added_litres:.4g} L at {need.rate or 0.0:g} L/min, {fill}; "
                      "advised a fifth earlier",
        "full": f"{need.litres:.4g} L stand in it",
        "treated": "once it is full, while somebody is there" if alone else
                   "dosed during the fill, for the litres added",
        "rest": f"stands {facts.rest_hours:g} h after it is full and treated",
        "heat-on": f"{need.litres:.4g} L to {need.target_celsius or 0.0:g} C with "
                   f"{facts.heater_watts or 0.0:g} W; advised half as long again",
        "mixed": f"mixing begins, {facts.mix_minutes:g} min before the check",
        "ready-check": f"{facts.check_minutes:g} min before use: warm, treated, mixed",
        "change": "the hour wanted",
    }  # fmt: skip
    return words[step]


def too_soon(
    need: FillNeed, wanted_at: datetime, earliest: Mapping[str, datetime], done: Done
) -> Problem:
    """The refusal of an hour that cannot be kept, with the earliest that can."""
    parts = []
    if "fill-start" in earliest:
        if done.hose is None:
            parts.append(f"hose {_when(earliest['hose-out'])}")
        begun, full = earliest["fill-start"], earliest["full"]
        until = f"{full:%H:%M}" if begun.date() == full.date() else _when(full)
        parts.append(
            f"full since {_when(full)}"
            if done.full is not None
            else f"fill {_when(begun)} to {until}"
        )
    if need.reservoir.rest_hours > 0 and earliest["ready"] > earliest["rest"]:
        parts.append(f"rested and warm {_when(earliest['ready'])}")
    else:
        parts.append(f"ready {_when(earliest['ready'])}")
    change = _when(earliest["change"])
    return Problem(
        need.reservoir.code, f"its water cannot be ready for {_when(wanted_at)}",
        f"the earliest change is {change} ({', '.join(parts)})", TOO_SOON,
    )  # fmt: skip


def never_problem(need: FillNeed, fill: Amount, longest: timedelta | None) -> Problem:
    """The refusal where nobody is ever there long enough, with what would help."""
    facts = need.reservoir
    most = (longest or timedelta(0)) / timedelta(minutes=1)
    span = f"the longest time somebody is there is {_length(most)}"
    if facts.check_minutes > most or facts.hose_minutes > most:
        what = f"its hose or its check takes longer than anybody is there; {span}"
        return Problem(facts.code, what, "widen the hours somebody is there", NOT_WATCHED)
    what = f"a fill of {_length(fill.value)} must be watched from start to end; {span}"
    helps = ["a float valve (unattended yes)", "more hours"]
    spare = most - facts.hose_minutes
    if spare > 0:
        helps.insert(1, f"a fill of {need.added_litres / spare:.3g} L/min or more")
        helps.append(f"a smaller fill of at most {(need.rate or 0.0) * spare:.4g} L")
    return Problem(facts.code, what, "what would help: " + ", ".join(helps), NOT_WATCHED)


def _when(at: datetime) -> str:
    return f"{day_words(at.date())} {at:%H:%M}"


def _length(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"
