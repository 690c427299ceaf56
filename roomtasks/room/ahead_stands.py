"""What stands in a reservoir over the weeks, by its planned fills, and where a day takes more.

The plan caps a day by what a reservoir can make for it (`ahead_water`); whether it
is made in time goes by the standing job that fills it. A fill is taken to serve
from the next day on: it is run in the evening. Common practice, no published source.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from roomtasks.room.ahead_plan import PlannedDay
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Note
from roomtasks.room.why import day_words


def to_be_filled(room: Room, days: Sequence[PlannedDay]) -> tuple[Note, ...]:
    """Days that take more out of a reservoir than would stand in it, and the fill that is due.

    Only of reservoirs that a standing job fills; once a day is told, the reservoir
    is taken as filled for it.
    """
    filled = {
        name for job in room.jobs if job.active and job.kind == "fill"
        for name in job.where.split()[1:]
    }  # fmt: skip
    return tuple(
        note for facts in room.reservoirs if facts.code in filled
        for note in _of(room, facts.code, days)
    )  # fmt: skip


def _of(room: Room, code: str, days: Sequence[PlannedDay]) -> Iterator[Note]:
    facts = room.reservoir[code]
    stands = facts.usable_litres
    fills = _fills(code, days)
    for planned in days:
        taken = sum(use.litres for use in planned.litres if use.reservoir == code)
        if taken > stands + 0.5:
            after = next((day for day in fills if day >= planned.day), None)
            when = f"its fill is planned for {day_words(after)}" if after else "no fill is planned"
            yield Note(
                about=code, rule="fill-first",
                text=f"{day_words(planned.day)} takes {taken:.0f} L out of {code} and "
                f"{stands:.0f} L would stand there: fill it before; {when}",
            )  # fmt: skip
            stands = max(taken, facts.fill_most_litres)
        stands -= taken
        if planned.day in fills:
            stands = facts.fill_most_litres


def _fills(code: str, days: Iterable[PlannedDay]) -> list[date]:
    return [
        planned.day for planned in days
        if any(job.kind == "fill" and job.target == code for job in planned.jobs)
    ]  # fmt: skip
