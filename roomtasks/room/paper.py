"""A sheet to print: the walk of a day, or the days of a stand-in, as lines to tick.

Sections of plain lines; how they look on paper or in a page is not decided here.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.away_plan import AwayPlan
from roomtasks.room.caution import STEPS, cautions_of
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.tank import drain_mark_cm
from roomtasks.room.walk import Stop, Walk
from roomtasks.room.why import day_words

IN_DOUBT = "If in doubt: air on, no food, ring."
STANDING = (
    "Heaters and pumps unplugged, not just switched, before the water drops or hands go in.",
    "Dry hands on plugs; a safety switch that trips is not tried again: ring.",
    "Never leave a fill alone without a float valve; no heater runs uncovered.",
    "10 L is 10 kg: two hands, no bucket on a ladder; wipe the floor before walking.",
    "Gloves and no dust with midge larvae and other arthropod foods; stop if it itches.",
    "This sheet is no veterinary advice; local codes and the law of the place come first.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """One line; `tick` has a box before it, `name` is the job@target it ticks."""

    text: str
    tick: bool = False
    name: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading and its lines."""

    head: str
    lines: tuple[PaperLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A whole sheet."""

    title: str
    sections: tuple[Section, ...]


def walk_paper(room: Room, walk: Walk, dues: Sequence[Due], title: str) -> Paper:
    """Today's walk to tick, with what is not to be touched."""
    jobs = tuple(_stop_line(room, stop) for stop in walk.stops)
    head = f"Walk, {walk.minutes:.0f} of {walk.minutes_there_are:.0f} minutes"
    sections = [
        Section(head="The racks", lines=_lines(rack_map(room))),
        Section(head=head, lines=jobs or _lines(["Nothing is due."])),
        Section(head="Not to be touched today", lines=_lines(_held(dues)) or _lines(["Nothing."])),
        Section(head="Mind", lines=_lines(cautions_of(room, _work(walk)))),
    ]
    return Paper(title=title, sections=tuple(sections))


def away_paper(
    room: Room, plan: AwayPlan, dues: Sequence[Due], readings: Readings, title: str
) -> Paper:  # fmt: skip
    """The stand-in's sheet: map, what is normal, each day's jobs, what to leave, whom to ring."""
    days = [
        Section(
            head=f"{day_words(planned.day)}, about {planned.stand_in_minutes:.0f} minutes",
            lines=tuple(_job_line(room, job) for job in plan.on(planned.day))
            or _lines(["Nothing today; look in all the same."]),
        )
        for planned in plan.ahead.days
        if plan.first <= planned.day <= plan.last
    ]
    messages = [f"{m.target}: {m.text}" for m in room.messages]
    work = [job for planned in plan.ahead.days for job in plan.on(planned.day)]
    steps = [STEPS] if any(job.tank and room.needs_steps(job.tank) for job in work) else []
    phones = [f"{p.name}: {p.phone}" for p in room.people if p.phone]
    sections = [
        Section(head="The racks", lines=_lines(rack_map(room))),
        Section(head="What is normal", lines=_lines(_normal(room, readings))),
        *([Section(head="To know", lines=_lines(messages))] if messages else []),
        *days,
        Section(head="Leave alone", lines=_lines(_leave(room, dues)) or _lines(["Nothing."])),
        Section(head="Ring", lines=_lines(phones) or _lines(["No number is entered."])),
        Section(head="Mind", lines=_lines((IN_DOUBT, *STANDING, *steps))),
    ]
    return Paper(title=title, sections=tuple(sections))


def _lines(texts: Iterable[str]) -> tuple[PaperLine, ...]:
    return tuple(PaperLine(text=text) for text in texts)


def rack_map(room: Room) -> Iterator[str]:
    """Each shelf of each rack, top first, with its tanks from the left."""
    for rack in sorted(room.racks, key=lambda rack: (rack.path, rack.code)):
        yield f"{rack.code} {rack.name}".strip()
        for shelf in sorted({tank.shelf for tank in room.tanks if tank.rack == rack.code}):
            here = [t for t in room.tanks if (t.rack, t.shelf) == (rack.code, shelf)]
            steps = " (steps)" if room.reach.get((rack.code, shelf)) == "steps" else ""
            tanks = " ".join(tank.code for tank in sorted(here, key=lambda tank: tank.place))
            yield f"   {shelf}: {tanks}{steps}"


def _stop_line(room: Room, stop: Stop) -> PaperLine:
    due = stop.due
    place = due.tank or due.target
    where = f" ({due.target})" if due.tank and due.target != due.tank else ""
    amount = _amount(room, due)
    return PaperLine(
        text=f"{place}{where}  {due.job.name}{amount}  {stop.total_minutes:.0f} min", tick=True,
        name=due.id, note=due.job.needs,
    )  # fmt: skip


def _amount(room: Room, due: Due) -> str:
    if not due.litres:
        return ""
    fraction = due.owed_fraction if due.owed_fraction is not None else due.fraction
    mark = drain_mark_cm(room.tank[due.tank], fraction) if due.tank and fraction else None
    cm = f", lower {mark:.1f} cm" if mark is not None and not isinstance(mark, Problem) else ""
    return f"  {due.litres:.1f} L{cm}"


def _job_line(room: Room, job: PlannedJob) -> PaperLine:
    litres = f"  {job.litres:.1f} L" if job.litres else ""
    facts = room.job.get(job.job)
    return PaperLine(text=f"{job.target}  {job.name}{litres}", tick=True, name=job.id,
                     note=facts.needs if facts else "")  # fmt: skip


def _held(dues: Sequence[Due]) -> Iterator[str]:
    for due in dues:
        if due.state is State.HELD and due.blocked is not None:
            until = f", free {day_words(due.placed)}" if due.blocked.until else ", until lifted"
            yield f"{due.tank or due.target}: {due.job.name}: {due.blocked.reason}{until}"


def _work(walk: Walk) -> Iterator[tuple[str, str]]:
    return ((stop.due.job.kind, stop.due.tank) for stop in walk.stops)


def _normal(room: Room, readings: Readings) -> Iterator[str]:
    for system in room.systems:
        level = f", running mark {system.sump_running_cm:g} cm" if system.sump_running_cm else ""
        yield f"{system.code}: return pump runs{level}"
    for tank in room.tanks:
        heads = room.heads_in(tank.code)
        read = readings.newest(tank.code, "temperature")
        warm = f", {read.value:g} C" if read is not None else ""
        if heads or warm:
            yield f"{tank.code}: {heads} fish{warm}"


def _leave(room: Room, dues: Sequence[Due]) -> Iterator[str]:
    yield from _held(dues)
    for tank in room.tanks:
        if tank.role in ("quarantine", "hospital") and room.heads_in(tank.code):
            yield f"{tank.code}: own net and siphon, last of all, then wash hands"
