"""Fish and gear that went from water to water: the history behind "who met whom".

A transfer is so many fish leaving one tank for another, or in from or out of
the room; its counts add up with the groups. A contact is a net, a siphon or
hands that went from one tank to another without cleaning between.
"""

from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import Sheet, column

WAYS = ("moved", "put-in", "sold", "died", "given", "lost", "counted")
GEAR = ("net", "siphon", "hands", "filter", "plant", "water", "other")


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """So many fish from one tank to another. A blank tank is outside the room."""

    id: int = column("int", "the transfer's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    group: str = column("code", "the group they left, or came in as")
    to_group: str = column("text", "the group they became", default="")
    line: str = column("text", "the line", default="")
    from_tank: str = column("text", "the tank they left; blank from outside", default="")
    to_tank: str = column("text", "the tank they came to; blank if they left", default="")
    count: int = column("int", "how many", low=0, high=1000000)
    how: str = column("word", "how they went", words=WAYS)
    day: date = column("day", "the room day")
    at: datetime = column("instant", "when")
    note: str = column("text", "to whom, or a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Gear or hands that went from one tank to another uncleaned."""

    id: int = column("int", "the contact's number", low=1)
    act: int | None = column("int", "the act that made it", low=1, default=None)
    from_tank: str = column("code", "the tank it came from")
    to_tank: str = column("code", "the tank it went to")
    by: str = column("word", "by what", words=GEAR)
    day: date = column("day", "the room day")
    at: datetime = column("instant", "when")
    who: str = column("text", "who", default="")
    note: str = column("text", "a note", default="")


TRANSFERS = Sheet("transfers", Transfer, ("id",), "Fish that went from water to water.",
                  history=True)  # fmt: skip
CONTACTS = Sheet("contacts", Contact, ("id",), "Gear that went from water to water.",
                 history=True)  # fmt: skip
