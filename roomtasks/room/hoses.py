"""How many hoses would run at one time, against how many one person can watch.

A fill runs a hose from its start until it is full, unless its reservoir may fill
with nobody there; the change itself runs one, tank after tank, while it lasts.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from roomtasks.room.naming import many, time_words
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Batch, ClockStep, Note

TOO_MANY_HOSES = "too-many-hoses"
Run = tuple[datetime, datetime, str]


def hose_notes(room: Room, batches: Iterable[Batch]) -> Iterator[Note]:
    """The first time at which more hoses run than the room's keeper can watch; nothing else.

    Common practice, no published source: one person watches two or three.
    """
    made = tuple(batches)
    runs = sorted((*_fills(room, made), *_changes(made)))
    most = room.setup.hoses_watched
    for begin, _end, _what in runs:
        running = [what for first, last, what in runs if first <= begin < last]
        if len(running) > most:
            yield Note(
                about="hoses", sort="warned", rule=TOO_MANY_HOSES,
                text=f"{many(len(running), 'hose')} would run at {time_words(begin)} "
                f"({', '.join(running)}) and you watch {most}: begin a fill earlier, "
                "or let one have a float valve",
            )  # fmt: skip
            return


def _fills(room: Room, batches: Iterable[Batch]) -> Iterator[Run]:
    for batch in batches:
        vessel = room.reservoir.get(batch.reservoir)
        if batch.clock is None or (vessel is not None and vessel.unattended):
            continue
        steps = {step.step: step for step in batch.clock.steps}
        start, full = steps.get("fill-start"), steps.get("full")
        if start is not None and not (full is not None and full.done_at):
            begin = _at(start)
            lasts = timedelta(minutes=start.minutes.value)
            yield begin, begin + lasts, f"the fill of {batch.reservoir}"


def _changes(batches: Iterable[Batch]) -> Iterator[Run]:
    """The change of each hour it is planned for: one hose from the hour until all is used."""
    ends: dict[datetime, datetime] = {}
    for batch in batches:
        if batch.clock is not None and batch.emptied_at is not None:
            at = batch.clock.wanted_at
            ends[at] = max(ends.get(at, at), batch.emptied_at)
    for begin, end in ends.items():
        yield begin, end, "the change"


def _at(step: ClockStep) -> datetime:
    return step.done_at or step.advised
