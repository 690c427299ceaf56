"""The line of days of each lot kept apart, the one in hand first. Pure."""

from collections.abc import Iterator
from datetime import date

from roomtasks.room.why import day_words
from roomtasks.tui.widgets.day_line import DayLine
from roomtasks.work.apart_view import ApartView
from roomtasks.work.stay_view import StayView


def day_lines_of(seen: ApartView, about: str) -> tuple[DayLine, ...]:
    """Every lot's line; first the lot, or the tank's lot, that the line in hand is about."""
    stays = sorted(
        seen.fish.stays,
        key=lambda stay: (about not in (stay.now.stay.code, stay.now.stay.tank),
                          stay.now.release_on),
    )  # fmt: skip
    return tuple(_line(seen, stay) for stay in stays)


def _line(seen: ApartView, stay: StayView) -> DayLine:
    now, lot = stay.now, stay.now.stay
    name = f"{lot.tank} day {now.day} of {now.days}, free {day_words(now.release_on)}"
    return DayLine(
        name=name, came=lot.first_day, day_0=lot.since, today=seen.today, free=now.release_on,
        marks=tuple(dict.fromkeys(_marks(seen, stay))), unlooked=frozenset(now.unlooked),
    )  # fmt: skip


def _marks(seen: ApartView, stay: StayView) -> Iterator[tuple[date, str]]:
    facts, lot = seen.facts[stay.now.stay.code], stay.now.stay
    yield lot.first_day, "A"
    yield lot.since, "A"
    for letter, dated in (("A", facts.arrivals), ("P", facts.stress), ("D", facts.doses),
                          ("X", facts.deaths), ("S", facts.signs)):  # fmt: skip
        for each in dated:
            if each.day >= lot.first_day:
                yield each.day, letter
