"""The minutes there are on a day: those of its weekday, or those a short day was taken with.

A short day is kept as an event at the room, with its whole minutes as the count;
the newest of a day counts.
"""

from datetime import date

from roomtasks.room.room import Room

SHORT_DAY = "short-day"
PLACE = "room"


def short_minutes(room: Room, day: date) -> int | None:
    """Minutes a short day was taken with, None where the day is as long as its weekday."""
    taken = [
        event for event in room.events_at.get(PLACE, ())
        if event.event == SHORT_DAY and event.day == day and event.count is not None
    ]  # fmt: skip
    return max(taken, key=lambda event: event.id).count if taken else None


def minutes_there_are(room: Room, day: date) -> float:
    """Minutes there are on a day, what is asked on top of a plan apart."""
    short = short_minutes(room, day)
    return float(room.setup.minutes_on(day) if short is None else short)
