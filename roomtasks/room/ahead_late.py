"""Late jobs that keep their due days: the one day each is planned for.

Done late, such a job starts its due days anew from the day it is done, so all that
comes after goes by that day: it is chosen first, and nothing is planned from another.
They are spread over the days on which they may be made up for, so that not all of
them fall on this morning; half of a day's minutes is our own choice.
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from roomtasks.room.occurrence import Due
from roomtasks.room.room import Room

SHARE_OF_DAY = 0.5


class LateOnes:
    """The days taken by late jobs so far."""

    def __init__(self, room: Room) -> None:
        self._room = room
        self._taken: dict[date, float] = defaultdict(float)

    def day(self, due: Due, days: Sequence[date]) -> date:
        """The first of the days with room for it, else the one with least taken."""
        minutes = due.job.minutes
        roomy = (
            day for day in days
            if self._taken[day] + minutes <= SHARE_OF_DAY * self._room.setup.minutes_on(day)
        )  # fmt: skip
        found = next(roomy, None) or min(days, key=lambda day: (self._taken[day], day))
        self._taken[found] += minutes
        return found
