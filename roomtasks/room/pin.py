"""What the weeks ahead keep besides the work itself: pinned days, troubles, calendar entries.

A pin holds the open occurrence of a job on a day the keeper chose. A trouble is
a power cut, a failed pump and the like, from when it began until it was over.
A calendar entry remembers what was last written to the keeper's calendar, so
that its number moves only with a change.
"""

from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column

TROUBLES = ("power-cut", "pump", "heater", "leak", "outbreak", "reservoir")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One occurrence kept on a day. It counts only while that due day is the open one."""

    job: str = column("code", "the job")
    target: str = column("code", "where")
    slot: date = column("day", "the due day it serves")
    day: date = column("day", "the day it is kept on")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something that went wrong, from when it began until it was over."""

    code: str = column("code", "the trouble's code")
    sort: str = column("word", "what went wrong", words=TROUBLES)
    target: str = column("code", "where: room, a system, a tank or a reservoir", default="room")
    began: datetime = column("instant", "when it began")
    ended: datetime | None = column("instant", "when it was over", default=None)
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """A word of the keeper to the stand-in, kept at a tank or the room."""

    code: str = column("code", "the message's code")
    target: str = column("code", "the tank, rack, system or room it is about", default="room")
    text: str = column("text", "what the stand-in should know")


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEntry:
    """What was last written to the calendar for one occurrence."""

    uid: str = column("code", "the entry's own number")
    sequence: int = column("int", "how often it was changed", low=0, high=1000000)
    stamp: datetime = column("instant", "when it was last changed")
    day: date = column("day", "the day it stands on")
    text: str = column("text", "its title and words")


PINS = Sheet("pins", Pin, ("job", "target"), "Occurrences kept on a day the keeper chose.")
TROUBLE_ROWS = Sheet("troubles", Trouble, ("code",), "Power cuts, failed pumps and the like.",
                     history=True)  # fmt: skip
MESSAGES = Sheet("messages", Message, ("code",), "What the stand-in should know.")
CALENDAR = Sheet("calendar_entries", CalendarEntry, ("uid",),
                 "What was last written to the calendar.", history=True)  # fmt: skip
