"""The rounds of a day: the times somebody walks the room anyway, so that nobody gets up at two."""

import re
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from roomtasks.room.column import shown
from roomtasks.room.day import resolve
from roomtasks.room.problem import Problem

_TIME = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")


def rounds_of(text: str) -> tuple[time, ...] | Problem:
    """Read "07:30 20:00", earliest first."""
    words = text.split()
    wrong = next((word for word in words if not _TIME.fullmatch(word)), None)
    if wrong is not None or not words:
        said = f"“{shown(wrong)}” is no time of day" if wrong is not None else "it names no time"
        return Problem("rounds", said, "write the rounds as 07:30 20:00")
    return tuple(sorted({time.fromisoformat(word) for word in words}))


def last_round_before(at: datetime, rounds: tuple[time, ...], zone: ZoneInfo) -> datetime:
    """The last round that begins at or before an instant. There is at least one round."""
    local = at.astimezone(zone)
    for back in range(3):
        for moment in reversed(rounds):
            begins = round_on(local.date() - timedelta(days=back), moment, zone)
            if begins <= at:
                return begins
    raise ValueError("no round in three days")


def next_round(at: datetime, rounds: tuple[time, ...], zone: ZoneInfo) -> datetime:
    """The first round that begins at or after an instant."""
    local = at.astimezone(zone)
    for on in range(3):
        for moment in rounds:
            begins = round_on(local.date() + timedelta(days=on), moment, zone)
            if begins >= at:
                return begins
    raise ValueError("no round in three days")


def round_on(day: date, moment: time, zone: ZoneInfo) -> datetime:
    """A round of a calendar day as an instant."""
    return resolve(datetime.combine(day, moment), zone)
