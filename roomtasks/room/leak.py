"""Top-off as a leak detector: what evaporates as a rule, and when it is too much.

Litres a day are learnt from what was topped off and the days since the time
before, so a weekly can and an automatic valve tell the same. An automatic
top-off hides a leak, so it must log litres: marks, or readings of "top-off".
Does not live here: when a top-off is due, and how much is owed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import median

from roomtasks.room.amount import COMPUTED, MEASURED, SET, Amount, Input
from roomtasks.room.journal import Mark
from roomtasks.room.naming import day_words
from roomtasks.room.quantity import zero_or_more
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Note

TOP_OFF, LEAK = "top-off", "leak"
LEARN_DAYS = 28
LEAST_ENTRIES = 3
WATCHED_DAYS = 2
TOO_MUCH = 2.0  # times the usual; common practice, no published source
DAYS_PER_WEEK = 7
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class TopOff:
    """What one place is topped off with: usual litres a day, and the newest days.

    `recent` are the litres of the last two days, or of the longer span which the
    newest entry makes up for; `days` is that span. Blank where nothing tells.
    """

    target: str
    usual: Amount | None
    recent: Amount | None
    days: int
    entries: int
    leak: bool = False
    note: Note | None = None


@dataclass(frozen=True, slots=True)
class _Entry:
    """All that was topped off on one day."""

    day: date
    litres: float


def top_off_watch(
    room: Room, target: str, marks: Iterable[Mark], readings: Readings, today: date
) -> TopOff:
    """How a system or tank takes its top-off, and whether it looks like a leak.

    Usual is the median of litres a day over the last 28 days, the two under watch
    left out, from three entries on; else as the system's facts say. Twice the
    usual over two days or more is told.
    """
    entries = _entries(room, target, marks, readings, today)
    usual = _learnt(entries, today) or _as_set(room, target)
    recent = _recent(entries, today)
    if recent is None:
        return TopOff(target=target, usual=usual, recent=None, days=0, entries=len(entries))
    litres, days = recent
    leak = (
        usual is not None
        and usual.value > 0
        and litres.value >= TOO_MUCH * usual.value * days - _ROUNDING
    )
    return TopOff(
        target=target, usual=usual, recent=litres, days=days, entries=len(entries), leak=leak,
        note=_note(target, litres, days, usual.value) if leak and usual is not None else None,
    )  # fmt: skip


def _entries(
    room: Room, target: str, marks: Iterable[Mark], readings: Readings, today: date
) -> tuple[_Entry, ...]:
    """What was topped off at a place, a day each, oldest first."""
    by_day: dict[date, float] = {}
    for mark in marks:
        job = room.job.get(mark.job)
        counts = mark.target == target and mark.outcome in ("done", "partly")
        if counts and mark.litres is not None and (job is None or job.kind == TOP_OFF):
            by_day[mark.day] = by_day.get(mark.day, 0.0) + mark.litres
    for reading in readings.all(target, TOP_OFF):
        if zero_or_more(TOP_OFF, reading.value, "L") is None:
            by_day[reading.day] = by_day.get(reading.day, 0.0) + reading.value
    return tuple(_Entry(day, by_day[day]) for day in sorted(by_day) if day <= today)


def _learnt(entries: Sequence[_Entry], today: date) -> Amount | None:
    """The median of litres a day, each entry spread over the days since the one before."""
    rates = [
        Input(f"topped off {day_words(entry.day)}", entry.litres / (entry.day - before.day).days,
              "L/day", MEASURED)
        for before, entry in pairwise(entries)
        if WATCHED_DAYS <= (today - entry.day).days < LEARN_DAYS
    ]  # fmt: skip
    if len(rates) < LEAST_ENTRIES:
        return None
    found = median(float(rate.value) for rate in rates)
    formula = f"median of litres a day over {LEARN_DAYS} days"
    return Amount(found, "L/day", COMPUTED, formula, tuple(rates), f"{len(rates)} top-offs")


def _as_set(room: Room, target: str) -> Amount | None:
    system = room.system.get(target)
    weekly = system.top_off_litres_per_week if system is not None else None
    if weekly is None:
        return None
    return Amount(weekly / DAYS_PER_WEEK, "L/day", SET, "top-off a week / 7",
                  (Input("top-off a week", weekly, "L"),), "the system's facts")  # fmt: skip


def _recent(entries: Sequence[_Entry], today: date) -> tuple[Amount, int] | None:
    """Litres since the last entry before the two days under watch, and over how many days."""
    newest = [entry for entry in entries if (today - entry.day).days < WATCHED_DAYS]
    before = [entry for entry in entries if (today - entry.day).days >= WATCHED_DAYS]
    if not newest or not before:
        return None
    days = max(WATCHED_DAYS, (newest[-1].day - before[-1].day).days)
    inputs = tuple(
        Input(f"topped off {day_words(entry.day)}", entry.litres, "L", MEASURED) for entry in newest
    )
    total = sum(entry.litres for entry in newest)
    since = f"since {day_words(before[-1].day)}"
    return Amount(total, "L", MEASURED, f"what was topped off {since}", inputs, since), days


def _note(target: str, litres: Amount, days: int, usual: float) -> Note:
    text = (
        f"{target} took {litres.value:.3g} L in {days} days where {usual * days:.3g} L is usual: "
        "look for a leak or an open lid"
    )
    return Note(about=target, text=text, sort="warned", rule=LEAK)
