"""A helper on a weekday: how much of the help there is work for.

Help counts only for jobs that a stand-in may do, and no further than those jobs
take on that day as they usually fall; set-up and way stay the keeper's.
Does not live here: the minutes there are (`ahead_tasks`), days away (`away_plan`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from roomtasks.room.ahead_coming import Coming, Outlook
from roomtasks.room.ahead_plan import WhatIfAhead
from roomtasks.room.ahead_tasks import TENTHS, Weighing
from roomtasks.room.column import shown
from roomtasks.room.naming import tenths
from roomtasks.room.near import near, or_words
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import within
from roomtasks.room.setup import WEEKDAYS
from roomtasks.room.walk import Times
from roomtasks.room.water_plan import Note

LONGEST_HELP_MINUTES = 1440


def help_fault(what_if: WhatIfAhead) -> Problem | None:
    """Refuse what is no weekday, and minutes of help that cannot be."""
    for name, minutes in what_if.helper:
        if name not in WEEKDAYS:
            found = near(name, WEEKDAYS)
            return Problem("helper", f"“{shown(name)}” is no weekday",
                           or_words(found) if found else "write it as saturday=90")  # fmt: skip
        fault = within(f"help on {name}", minutes, 1, LONGEST_HELP_MINUTES, "min")
        if fault is not None:
            return fault
    return None


@dataclass(frozen=True, slots=True)
class Helped:
    """A what-if with its help as minutes of days, and what is told of it."""

    what_if: WhatIfAhead
    notes: tuple[Note, ...] = ()


def with_help(
    outlook: Outlook, chains: Sequence[Sequence[Coming]], times: Times, what_if: WhatIfAhead
) -> Helped:
    """The what-if with the help as minutes of each day it counts on, and how much of it counts."""
    if not what_if.helper:
        return Helped(what_if)
    for_them = _minutes_for_them(outlook, chains, times)
    minutes: list[tuple[str, float]] = []
    notes: list[Note] = []
    for name in dict.fromkeys(name for name, _ in what_if.helper):
        there = sum(minutes for weekday, minutes in what_if.helper if weekday == name)
        days = [day for day in _days(outlook) if WEEKDAYS[day.weekday()] == name]
        counts = {day: min(there, for_them.get(day, 0.0)) for day in days}
        minutes += [(day.isoformat(), round(counts[day], 1)) for day in days]
        notes.append(Note(about=name, text=_told(name, there, list(counts.values())),
                          rule="what-if"))  # fmt: skip
    return Helped(replace(what_if, minutes=(*what_if.minutes, *minutes)), tuple(notes))


def _days(outlook: Outlook) -> list[date]:
    """The days of the span on which the keeper is there to be helped."""
    n_days = (outlook.last - outlook.first).days + 1
    days = (outlook.first + timedelta(days=n) for n in range(n_days))
    return [day for day in days if day not in outlook.away]


def _minutes_for_them(
    outlook: Outlook, chains: Sequence[Sequence[Coming]], times: Times
) -> dict[date, float]:
    """Own minutes of the jobs a stand-in may do, on the day each usually falls on."""
    weighing = Weighing(outlook, times)
    found: dict[date, float] = {}
    for one in (one for chain in chains for one in chain if one.due.job.stand_in):
        found[one.usual] = found.get(one.usual, 0.0) + weighing.of(one.due).minutes / TENTHS
    return found


def _told(name: str, there: float, counts: Sequence[float]) -> str:
    text = f"a helper on {name}s for {tenths(there)} minutes: "
    if not counts or max(counts) <= 0:
        return text + "no job marked for a stand-in falls there, so nothing counts"
    least, most = round(min(counts)), round(max(counts))
    span = f"{most}" if least == most else f"{least} to {most}"
    return text + f"{span} of them count, what jobs marked for a stand-in take that day"
