"""What a mark does to a reservoir: water taken, steps written, a top-off noted.

A filling, treating, heating or mixing that is marked done is the same step that
the keeper could have written at the reservoir; anything else that needs prepared
water takes it, with its share of what is lost in hoses.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from roomtasks.room.body import WOULD_OVERFLOW, refused_top_off
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.leak import top_off_watch
from roomtasks.room.occurrence import Due
from roomtasks.room.readings import Readings
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import SHEET, Room
from roomtasks.room.sump import SUMP_LEVEL
from roomtasks.room.vessel import VesselStep
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.write import Writer

STEP_OF = {"fill": "full", "treat": "treated", "heat": "heat-on", "mix": "mixed"}
TOP_OFF = "top-off"
LOOK_BACK = timedelta(days=60)


def water_effects(
    writer: Writer, room: Room, due: Due, made: Mark, told_litres: bool
) -> list[str]:  # fmt: skip
    """Write what a job done, wholly or partly, did to prepared water; remarks come back.

    Litres the keeper told are taken as they are, planned ones with the loss in hoses.
    """
    remarks: list[str] = []
    if due.job.kind == TOP_OFF and made.litres:
        body = body_at(room, due.tank or due.target, made.at)
        writer.put("readings", top_off_reading(writer, body, made.litres, made.day, made.at))
        remarks += leak_words(writer.store, room, body, made.day)
    code = reservoir_of(room, due.job.reservoir, due.target)
    vessel = read.one_row(writer.store, SHEET["reservoirs"], [code]) if code else None
    if vessel is None:
        return remarks
    if due.job.kind in STEP_OF:
        return remarks + _stepped(writer, vessel, due, made)
    if made.litres:
        remarks += _taken(writer, room, vessel, made, told_litres)
    return remarks


def reservoir_of(room: Room, named: str, target: str) -> str:
    """The reservoir a job draws from or fills: as named, else its own place; "" for none."""
    return named or (target if target in room.reservoir else "")


def body_at(room: Room, target: str, at: datetime) -> str:
    """The body of water a place is of: its system while its valve is open, else itself."""
    return (room.valve.open_to(target, at) or target) if target in room.tank else target


def top_off_reading(
    writer: Writer, target: str, litres: float, day: date, at: datetime
) -> Reading:  # fmt: skip
    """The reading that a top-off leaves behind, so that a leak shows."""
    return Reading(
        id=writer.next_id("readings"), act=writer.id, target=target, what=TOP_OFF, value=litres,
        unit="L", day=day, at=at,
    )  # fmt: skip


def leak_words(store: Store, room: Room, body: str, today: date) -> list[str]:
    """What the top-offs of a body of water say of a leak; nothing where all is as usual."""
    readings = Readings.of(read.newest_readings(store, until=today))
    marks = read.water_marks(store, today - LOOK_BACK)
    watch = top_off_watch(room, body, tops_unread(room, marks, readings), readings, today)
    return [watch.note.text] if watch.note is not None else []


def sump_words(
    store: Store, room: Room, system: str, litres: float, now: datetime, today: date
) -> list[str]:  # fmt: skip
    """Whether litres on top of today's level of a sump would flood once the pump stops."""
    if system not in room.system:
        return []
    readings = Readings.of(read.newest_readings(store, until=today))
    level = readings.newest(system, SUMP_LEVEL)
    if level is None or level.day != today:
        return []
    fault = refused_top_off(room, system, now, level.value, litres)
    if fault is None or fault.rule != WOULD_OVERFLOW:
        return []
    return [f"with the {level.value:g} cm read today, {fault.what}; {fault.remedy}"]


def tops_unread(room: Room, marks: Iterable[Mark], readings: Readings) -> tuple[Mark, ...]:
    """Marked top-offs that no reading at hand tells already, each at its body of water."""
    told = {
        reading.act
        for (_, what), found in readings.by.items()
        if what == TOP_OFF
        for reading in found
        if reading.act is not None
    }
    return tuple(
        replace(mark, target=body_at(room, room.tank_of(mark.target) or mark.target, mark.at))
        for mark in marks
        if (job := room.job.get(mark.job)) is not None
        and job.kind == TOP_OFF
        and (mark.act is None or mark.act not in told)
    )


def utc(at: datetime) -> datetime:
    """The instant in UTC: two times of one zone compare by the clock, which runs an hour twice."""
    return at.astimezone(UTC)


def lost_in_hoses(room: Room, code: str, litres: float) -> float:
    """What reaches the tanks and what is lost on the way, out of a reservoir kept by steps."""
    kept_by_steps = any(row.reservoir == code for row in room.vessel_steps)
    return room.setup.with_loss(litres) if kept_by_steps else litres


def taken_since(store: Store, room: Room, code: str, at: datetime) -> float:
    """Litres that marks took from a reservoir after an instant."""
    total = 0.0
    for mark in read.water_marks(store, room.day_at(at)):
        job = room.job.get(mark.job)
        if job is None or job.kind in STEP_OF or utc(mark.at) <= utc(at) or not mark.litres:
            continue
        if reservoir_of(room, job.reservoir, mark.target) == code:
            total += lost_in_hoses(room, code, mark.litres)
    return total


def _taken(
    writer: Writer, room: Room, vessel: Reservoir, made: Mark, told_litres: bool
) -> list[str]:
    """Take a mark's water; nothing where a level was noted after it was done."""
    litres = made.litres or 0.0
    taken = litres if told_litres else lost_in_hoses(room, vessel.code, litres)
    later = _level_after(room, vessel.code, made.at)
    if later is not None:
        return [f"{vessel.code}: {later.litres:.0f} L were noted there after that, and stay"]
    holds = vessel.holds_litres - taken
    writer.put("reservoirs", replace(vessel, holds_litres=max(0.0, round(holds, 3))))
    if holds < 0:
        return [f"{vessel.code} held {vessel.holds_litres:.0f} L by the book, {taken:.1f} L used"]
    if holds < vessel.dead_litres + vessel.keep_back_litres:
        return [f"{vessel.code}: {holds:.0f} L left, that is into its keep-back"]
    return []


def _level_after(room: Room, code: str, at: datetime) -> VesselStep | None:
    """The last step at a reservoir after an instant that says what stood in it."""
    found = [
        row
        for row in room.vessel_steps
        if row.reservoir == code and row.litres is not None and utc(row.at) > utc(at)
    ]
    return max(found, key=lambda row: (utc(row.at), row.id), default=None)


def _stepped(writer: Writer, vessel: Reservoir, due: Due, made: Mark) -> list[str]:
    """The step at the reservoir that a marking stands for. A part of a fill is raw water in."""
    word = STEP_OF[due.job.kind]
    level = None
    if due.job.kind == "fill":
        word = "full" if made.outcome == "done" else "raw-in"
        run_in = made.litres
        if run_in is None:
            run_in = (vessel.full_litres - vessel.holds_litres) * (made.fraction or 1.0)
        level = min(vessel.full_litres, round(vessel.holds_litres + run_in, 3))
        writer.put("reservoirs", replace(vessel, holds_litres=level))
    elif made.outcome != "done":
        return []
    writer.put(
        "vessel_steps",
        VesselStep(
            id=writer.next_id("vessel_steps"), act=writer.id, reservoir=vessel.code, at=made.at,
            step=word, litres=level, who=made.who, note=due.job.name,
        ),
    )  # fmt: skip
    if word == "raw-in":
        return [f"{vessel.code}: all of it counts as untreated until dosed and mixed"]
    return []
