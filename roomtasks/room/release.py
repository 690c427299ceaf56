"""What must be true before a lot kept apart is released, and what follows from release.

Twelve lines: each is known to the program with its evidence, or ticked by the
keeper. Common practice, no published source. Lives here also: why a part of a lot
may not leave. Does not live here: the dates (`stay_clock`), the acts (`work`).
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.column import Sheet, column

LINES = (
    "dates", "looked", "eating", "doses", "tests", "count", "destination", "away", "bag-water",
    "net", "watch", "strip",
)  # fmt: skip
LOOK_DAYS = 14
WATCH_DAYS = (1, 2, 3, 7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """The keeper says that a line of a release checklist holds."""

    stay: str = column("code", "the stay")
    line: str = column("word", "the line", words=LINES)
    day: date = column("day", "the day it was ticked")
    who: str = column("text", "who says so", default="")
    note: str = column("text", "what was seen", default="")


TICKS = Sheet("ticks", Tick, ("stay", "line"), "Lines of a release ticked by the keeper.")
