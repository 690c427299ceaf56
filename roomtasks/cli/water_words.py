"""The words of the water commands: pairs such as R1=9 and times of day.

Numbers go through the same readers as everywhere. A reservoir or tank that does
not exist is found out once the room is known.
"""

import argparse
from datetime import date, datetime, time

from roomtasks.cli.options import pair, parted
from roomtasks.cli.words import instant_text, number, share
from roomtasks.room.column import Column, from_text, shown
from roomtasks.room.day import parse_instant, resolve
from roomtasks.room.room import Room

_CLOCK = Column("time", "a time of day")


def clock(given: str) -> time:
    """A time of day, HH:MM."""
    value = from_text(_CLOCK, given)
    if isinstance(value, time):
        return value
    raise argparse.ArgumentTypeError(f"“{shown(given)}” is no time of day; write it as 09:00")


fill_rate = pair(number("L/min", 0.01, 1000), "R1=9")
with_share = pair(share, "D3=0.30")


def free(given: str) -> tuple[str, str]:
    """A reservoir and when it is empty, as R1=10:40 or R1=2027-03-13T10:40; checked, not placed."""
    place, at = parted(given, "R1=10:40")
    if not isinstance(from_text(_CLOCK, at), time):
        try:
            instant_text(at)
        except argparse.ArgumentTypeError:
            raise argparse.ArgumentTypeError(
                f"“{shown(at)}” is no time; write it as R1=10:40 or R1=2027-03-13T10:40"
            ) from None
    return place, at


def free_at(given: str, day: date, room: Room) -> datetime:
    """The instant of a checked `free`: HH:MM is on the change day."""
    value = from_text(_CLOCK, given)
    if isinstance(value, time):
        return resolve(datetime.combine(day, value), room.zone)
    found = parse_instant(given, room.zone)
    if not isinstance(found, datetime):
        raise ValueError(f"unchecked time {given}")
    return found
