"""The coming work as calendar entries whose numbers move only with a change.

Each occurrence has an entry of its own: its number is made from the room's, the
job, the place and how many turns of it the journal has closed, never from the
date, so that a moved day keeps its entry. What was last written is remembered
in the store; the same room gives the same bytes.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, UUID, uuid5

from roomtasks.files.ical import Alarm, Entry, calendar_bytes
from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.contents import to_do_words
from roomtasks.room.day import day_start
from roomtasks.room.pin import CalendarEntry
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.room.trigger import Every, parse_trigger
from roomtasks.room.water_plan import Batch, ChangePlan
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.ahead_view import ahead_view
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.water_view import water_view

RUNG = ("hose-out", "fill-start", "full", "treated", "heat-on", "ready-check")


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarMade:
    """A calendar file: its octets, how many entries, how many of them changed, what is left out."""

    data: bytes
    entries: int
    changed: int
    daily_left_out: int
    act: int | None = None


def calendar_out(
    store: Store, now: datetime, who: str, days: int, *, daily: bool = False
) -> CalendarMade | Problem:
    """The calendar of so many days; what changed since the last is remembered in one act."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        ahead = ahead_view(store, now, days)
        if isinstance(ahead, Problem):
            return ahead
        water = water_view(store, now)
        turns = read.closing_counts(store)
        before = {row.uid: row for row in read.rows(store, SHEET["calendar_entries"])}
    wanted = [job for job in ahead.jobs if daily or not _every_day(room, job)]
    bare = [
        *_entries(room, wanted, turns, now),
        *(_reservoirs(room, water, now) if isinstance(water, ChangePlan) else ()),
    ]
    entries = [_numbered(entry, before.get(entry.uid)) for entry in bare]
    changed = [entry for entry in entries if _row(entry) != before.get(entry.uid)]
    act: int | None = None
    if changed:
        told = doing(store, now, who, "calendar", lambda it: _remember(it, changed, before))
        if isinstance(told, Problem):
            return told
        act = told.act if isinstance(told, Told) else None
    name = f"{room.setup.name}: fish room"
    return CalendarMade(
        data=calendar_bytes(name, entries), entries=len(entries), changed=len(changed),
        daily_left_out=len(ahead.jobs) - len(wanted), act=act,
    )  # fmt: skip


def _every_day(room: Room, job: PlannedJob) -> bool:
    rule = parse_trigger(room.job[job.job].rule) if job.job in room.job else None
    return isinstance(rule, Every) and rule.interval.days <= 1


def room_number(room: Room) -> UUID:
    """A number of the room's own, of which those of its entries are made."""
    return uuid5(NAMESPACE_URL, f"room {room.setup.room_id or room.setup.name}")


def _entries(
    room: Room, jobs: Iterable[PlannedJob], turns: Mapping[tuple[str, str], int], now: datetime
) -> list[Entry]:
    base = room_number(room)
    found = []
    taken: dict[str, int] = {}
    for job in sorted(jobs, key=lambda job: (job.id, job.day, job.n)):
        n = max(job.n, taken.get(job.id, -1) + 1)  # a job that follows two others comes twice
        taken[job.id] = n
        ordinal = turns.get((job.job, job.target), 0) + n
        found.append(
            Entry(
                uid=uuid5(base, f"{job.id} {ordinal}").hex, day=job.day,
                title=titled(job.name, job.target), text=_text(job), place=job.target, stamp=now,
            )
        )  # fmt: skip
    return found


def titled(name: str, place: str) -> str:
    """A job and its place as a calendar has room for; the room itself is not named."""
    return name if place == "room" else f"{name}: {place}"


def _text(job: PlannedJob) -> str:
    lines = [f"{job.minutes:.3g} min" + (f", {job.litres:.0f} L" if job.litres else "")]
    if job.reservoir and job.litres:
        lines[0] += f" from {job.reservoir}"
    if job.opens != job.closes:
        lines.append(f"may be done {day_words(job.opens)} to {day_words(job.closes)}")
    lines += [job.why] if job.why else []
    return "\n".join(lines)


def _reservoirs(room: Room, plan: ChangePlan, now: datetime) -> list[Entry]:
    """Entries for the fills of the next change, with an alarm at each time of the clock."""
    base = room_number(room)
    found: dict[tuple[str, date], Entry] = {}
    for batch in plan.batches:
        for day, alarm, line in _times(room, batch, now):
            key = (batch.reservoir, day)
            uid = uuid5(base, f"reservoir {batch.reservoir} {plan.day.isoformat()} "
                              f"{(day - plan.day).days}").hex  # fmt: skip
            entry = found.get(key) or Entry(
                uid=uid, day=day, title=f"Water in {batch.reservoir}", place=batch.reservoir,
                stamp=now,
            )  # fmt: skip
            text = f"{entry.text}\n{line}" if entry.text else line
            found[key] = replace(entry, text=text, alarms=(*entry.alarms, alarm))
    return list(found.values())


def _times(room: Room, batch: Batch, now: datetime) -> list[tuple[date, Alarm, str]]:
    """Each step with its alarm: at the advised time, or at the latest once that has come."""
    if batch.clock is None or batch.clock.refused is not None:
        return []
    found = []
    for step in batch.clock.steps:
        if step.step not in RUNG or step.done_at is not None:
            continue
        at = (step.advised if step.advised > now else step.latest).astimezone(room.zone)
        words = to_do_words(step.step, batch.reservoir)
        alarm = Alarm(minutes=_since_midnight(room, at), text=words)
        latest = step.latest.astimezone(room.zone)
        line = f"{at:%H:%M} {words}, at the latest {day_words(latest.date())} {latest:%H:%M}"
        found.append((at.date(), alarm, line))
    return found


def _since_midnight(room: Room, at: datetime) -> int:
    """Minutes gone by since the day began: hours in a trigger are exact (RFC 5545, 3.3.6).

    So on the day the clocks go on, 08:30 is seven and a half hours after midnight.
    """
    began = day_start(at.date(), room.zone, time())
    return round((at.astimezone(UTC) - began.astimezone(UTC)) / timedelta(minutes=1))


def _row(entry: Entry) -> CalendarEntry:
    alarms = "".join(f"\n@{alarm.minutes} {alarm.text}" for alarm in entry.alarms)
    return CalendarEntry(
        uid=entry.uid,
        sequence=entry.sequence,
        stamp=entry.stamp,
        day=entry.day,
        text=f"{entry.title}\n{entry.place}\n{entry.text}{alarms}",
    )


def _numbered(entry: Entry, last: CalendarEntry | None) -> Entry:
    """The entry with the number and the stamp it had, or the next ones where it changed."""
    if last is None:
        return entry
    kept = replace(entry, sequence=last.sequence, stamp=last.stamp)
    if _row(kept) == last:
        return kept
    return replace(entry, sequence=last.sequence + 1)


def _remember(
    it: Doing, changed: Sequence[Entry], before: Mapping[str, CalendarEntry]
) -> str | Problem:
    gone = it.today - timedelta(days=60)
    for row in before.values():
        if row.day < gone:
            it.writer.remove("calendar_entries", [row.uid])
    for entry in changed:
        it.writer.put("calendar_entries", _row(entry))
    return f"calendar written, {len(changed)} entries new or changed"
