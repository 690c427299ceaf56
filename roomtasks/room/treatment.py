"""What is dissolved in a tank's water on purpose, and what the keeper chose for a change day.

A level is kept up by adding after each change what the change took out
(`redose`); a top-off gets none. The label's rate is the keeper's.
"""

from dataclasses import dataclass
from datetime import date, time

from roomtasks.room.column import Sheet, column
from roomtasks.room.recipe import RATE_UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """So much of a product in each litre of a tank, from a day until a day (included)."""

    tank: str = column("code", "the tank")
    product: str = column("text", "what is in it, as salt")
    since: date = column("day", "from this day")
    per_litre: float = column("number", "in each litre", low=0, high=10000)
    unit: str = column("word", "of what", words=RATE_UNITS, default="g")
    until: date | None = column("day", "to this day, included; blank: until ended", default=None)
    medicine: bool = column("yesno", "whether it is a medicine", default=False)
    note: str = column("text", "a note", default="")

    def on(self, day: date) -> bool:
        """Whether it stands on this day."""
        return self.since <= day and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What the keeper chose for one change day; blank is as planned."""

    day: date = column("day", "the change day")
    hour: time | None = column("time", "when the change is to begin", default=None)
    share: float | None = column(
        "number", "every change scaled to this share of what was planned", low=0.01, high=1,
        default=None,
    )  # fmt: skip
    keep_back: bool = column("yesno", "yes allows the keep-back to be used", default=False)
    note: str = column("text", "a note", default="")


LEVELS = Sheet("levels", Level, ("tank", "product", "since"),
               "What is kept dissolved in a tank's water.")  # fmt: skip
CHOICES = Sheet("choices", Choice, ("day",), "What the keeper chose for a change day.")
