"""What putting a job off brings to what leans on it, in words.

A job may be for a dated event, come before others, or make water ready for them.
Does not live here: what is put off (`short_day_choice`).
"""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from roomtasks.room.ahead_plan import Ahead
from roomtasks.room.apart import followers, leads_of
from roomtasks.room.occurrence import Due
from roomtasks.room.room import Room
from roomtasks.room.short_day_choice import READIES, event_of
from roomtasks.room.why import day_words


@dataclass(frozen=True)
class Leaning:
    """What leaning is looked for in: all that is due or to come, and the plan from tomorrow."""

    room: Room
    dues: Sequence[Due]
    kept: Container[str]
    off: Container[str]
    ahead: Ahead

    def brings(self, due: Due, until: date) -> tuple[str, ...]:
        """What it brings to put this job off to a day."""
        return (*self._event(due), *self._before(due, until), *self._water(due, until))

    def _event(self, due: Due) -> Iterator[str]:
        event = event_of(self.room, due)
        if event is not None:
            when = "today" if event[1] == due.today else day_words(event[1])
            yield f"the {event[0]} is dated {when}"

    def _before(self, due: Due, until: date) -> Iterator[str]:
        codes = followers(self.room)
        planned = self.ahead.where()
        for other in self.dues:
            if other.job.code not in codes or other.id in self.off or other.id == due.id:
                continue
            if due.id not in leads_of(self.room, other, [due]):
                continue
            name = f"{other.job.name} at {other.target}"
            day = planned.get((other.id, 0))
            if other.id in self.kept:
                yield f"{name}, which comes after it, is done without it today"
            elif day is not None and due.today < day < until:
                yield f"{name}, which comes after it, is planned for {day_words(day)}"

    def _water(self, due: Due, until: date) -> Iterator[str]:
        if due.job.kind == "fill":
            yield from (note.text for note in self.ahead.notes
                        if (note.about, note.rule) == (due.target, "fill-first"))  # fmt: skip
        elif due.job.kind in READIES:
            drawn = [
                job
                for job in self.ahead.jobs
                if job.reservoir == due.target and job.litres and job.day <= until
            ]
            first = drawn[0] if drawn else None
            if first is not None:
                yield (f"the water of {due.target} is not ready before; {first.name} at "
                       f"{first.target} is planned for {day_words(first.day)}")  # fmt: skip
