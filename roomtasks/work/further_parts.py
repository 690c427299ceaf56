"""The further parts of a change that makes up for missed ones, entered when the first is done.

Above the largest change of a day what was missed is made up for in parts a day
apart: each further one is a job of one day, by what is left when the first was done.
"""

from dataclasses import replace

from roomtasks.room.away_catch_up import CaughtUp, days_apart, part_code, parts_of
from roomtasks.room.journal import Mark
from roomtasks.room.missed import body_at, made_up
from roomtasks.room.naming import day_words
from roomtasks.room.occurrence import Due
from roomtasks.room.room import Room
from roomtasks.room.trigger import Once, parse_trigger
from roomtasks.store.write import Writer

LEAST = 0.005  # of a tank's water; less is not worth a visit


def further_parts(writer: Writer, room: Room, due: Due, made: Mark) -> list[str]:
    """Write the further parts of a change that was done as the first of several; says when."""
    place, missed = due.tank or due.target, due.slot.missed + due.past.left_out
    if made.outcome != "done" or made.fraction is None or _entered(room, due, made):
        return []
    first = made_up(room, due.job, due.trigger, place, missed, due.part_done, made.at)
    if first is None or first.changes < 2:
        return []
    done = 1.0 - (1.0 - due.part_done) * (1.0 - made.fraction)
    left = made_up(room, due.job, due.trigger, place, missed, done, made.at)
    body = body_at(room, place, made.at)
    if left is None or body is None or left.one_fraction.value < LEAST:
        return []
    one = CaughtUp(due=due, missed=missed, plan=replace(left, changes=left.changes + 1),
                   tanks_litres=body.tanks_litres)  # fmt: skip
    parts = tuple(parts_of(one, made.day))
    for part in parts:
        writer.put("jobs", part)
    for pair in days_apart(one, parts):
        writer.put("between", pair)
    days = ", ".join(
        day_words(rule.day) for part in parts if isinstance(rule := parse_trigger(part.rule), Once)
    )
    return [f"{due.said}: for what was missed, {100 * one.fraction:.1f} % ({one.litres:.1f} L) "
            f"more on {days}"]  # fmt: skip


def _entered(room: Room, due: Due, made: Mark) -> bool:
    """Whether the further parts are entered already, as after days away."""
    part = room.job.get(part_code(due, 2))
    rule = parse_trigger(part.rule) if part is not None and part.active else None
    return isinstance(rule, Once) and rule.day >= made.day
