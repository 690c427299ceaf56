"""The room as it stands: every fact but the long history, with look-ups.

A `Room` is a frozen picture read from the store; questions such as "which
class is this tank on this day" are answered from it. Marks, acts and readings
are too many to hold and come as `Past` (see `past`).
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date, datetime, time
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from roomtasks.room.brood import BROODS, SAMPLES, SIGHTINGS, Brood, Sample, Sighting
from roomtasks.room.column import Sheet
from roomtasks.room.course import COURSE_STEPS, COURSES, RUNS, Course, CourseStep, Run
from roomtasks.room.day import room_day
from roomtasks.room.health import Health
from roomtasks.room.job import BETWEEN, COUNTERS, HOLDS, JOBS, Between, CounterReading, Hold, Job
from roomtasks.room.journal import ACTS, CHANGES, EVENTS, MARKS, READINGS, Event
from roomtasks.room.line import LINES, STAGES, LineFacts, Stage
from roomtasks.room.pin import (
    CALENDAR,
    MESSAGES,
    PINS,
    TROUBLE_ROWS,
    Message,
    Pin,
    Trouble,
)  # fmt: skip
from roomtasks.room.planned_move import (
    GATES,
    PLANNED_MOVES,
    REDEDICATIONS,
    Gate,
    PlannedMove,
    Rededication,
    links_in_order,
)
from roomtasks.room.problem import Problem
from roomtasks.room.rack import RACKS, SHELVES, Rack, Shelf
from roomtasks.room.recipe import RATES, RECIPES, SOURCES, Rate, Recipe, Source
from roomtasks.room.reservoir import RESERVOIRS, Reservoir
from roomtasks.room.setup import AWAY, HOURS, PEOPLE, SETUP, Away, Hours, Person, Setup
from roomtasks.room.stock import (
    CONDITIONS,
    GROUPS,
    STAYS,
    STOCKED,
    TICKS,
    Condition,
    Group,
    Stay,
    Stocked,
    Tick,
)  # fmt: skip
from roomtasks.room.system import PUMPS, SYSTEMS, VALVES, PumpTurn, System, Valves, ValveTurn
from roomtasks.room.tank import FILTERS, TANKS, Filter, Tank, litres_of
from roomtasks.room.transfer import CONTACTS, TRANSFERS, Contact
from roomtasks.room.treatment import CHOICES, LEVELS, Choice, Level
from roomtasks.room.vessel import VESSEL_STEPS, VesselStep

SHEETS: tuple[Sheet[Any], ...] = (
    SETUP, HOURS, RACKS, SHELVES, TANKS, FILTERS, SYSTEMS, VALVES, PUMPS, SOURCES, RECIPES, RATES,
    RESERVOIRS, VESSEL_STEPS, LEVELS, CHOICES, COURSES, COURSE_STEPS, RUNS, GROUPS, STAYS, TICKS,
    CONDITIONS, STOCKED, TRANSFERS, CONTACTS, LINES, STAGES, BROODS, SIGHTINGS, SAMPLES,
    PLANNED_MOVES, REDEDICATIONS, GATES,
    JOBS, BETWEEN, HOLDS, COUNTERS, PINS, PEOPLE, AWAY, MESSAGES, TROUBLE_ROWS, CALENDAR, EVENTS,
    READINGS, MARKS, ACTS, CHANGES,
)  # fmt: skip
SHEET: dict[str, Sheet[Any]] = {sheet.name: sheet for sheet in SHEETS}


@dataclass(frozen=True)
class Room:
    """One picture of the room. Field names are sheet names."""

    setup: Setup
    racks: tuple[Rack, ...] = ()
    shelves: tuple[Shelf, ...] = ()
    tanks: tuple[Tank, ...] = ()
    filters: tuple[Filter, ...] = ()
    systems: tuple[System, ...] = ()
    valves: tuple[ValveTurn, ...] = ()
    pumps: tuple[PumpTurn, ...] = ()
    hours: tuple[Hours, ...] = ()
    sources: tuple[Source, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    rates: tuple[Rate, ...] = ()
    reservoirs: tuple[Reservoir, ...] = ()
    vessel_steps: tuple[VesselStep, ...] = ()
    levels: tuple[Level, ...] = ()
    choices: tuple[Choice, ...] = ()
    courses: tuple[Course, ...] = ()
    course_steps: tuple[CourseStep, ...] = ()
    runs: tuple[Run, ...] = ()
    ticks: tuple[Tick, ...] = ()
    contacts: tuple[Contact, ...] = ()
    lines: tuple[LineFacts, ...] = ()
    stages: tuple[Stage, ...] = ()
    broods: tuple[Brood, ...] = ()
    sightings: tuple[Sighting, ...] = ()
    samples: tuple[Sample, ...] = ()
    planned_moves: tuple[PlannedMove, ...] = ()
    rededications: tuple[Rededication, ...] = ()
    gates: tuple[Gate, ...] = ()
    groups: tuple[Group, ...] = ()
    stays: tuple[Stay, ...] = ()
    conditions: tuple[Condition, ...] = ()
    stocked: tuple[Stocked, ...] = ()
    jobs: tuple[Job, ...] = ()
    between: tuple[Between, ...] = ()
    holds: tuple[Hold, ...] = ()
    counters: tuple[CounterReading, ...] = ()
    people: tuple[Person, ...] = ()
    away: tuple[Away, ...] = ()
    pins: tuple[Pin, ...] = ()
    messages: tuple[Message, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    events: tuple[Event, ...] = ()

    @cached_property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.setup.zone)

    @property
    def day_starts(self) -> time:
        return self.setup.day_starts

    def day_at(self, instant: datetime) -> date:
        """The room day an instant belongs to."""
        return room_day(instant, self.zone, self.day_starts)

    @cached_property
    def tank(self) -> dict[str, Tank]:
        return {tank.code: tank for tank in self.tanks}

    @cached_property
    def filter(self) -> dict[str, Filter]:
        return {item.code: item for item in self.filters}

    @cached_property
    def system(self) -> dict[str, System]:
        return {system.code: system for system in self.systems}

    @cached_property
    def reservoir(self) -> dict[str, Reservoir]:
        return {reservoir.code: reservoir for reservoir in self.reservoirs}

    @cached_property
    def source(self) -> dict[str, Source]:
        return {source.code: source for source in self.sources}

    @cached_property
    def recipe(self) -> dict[str, Recipe]:
        return {recipe.code: recipe for recipe in self.recipes}

    def source_of(self, recipe: str) -> Source | None:
        """The water a recipe is made from, None where the room has none."""
        facts = self.recipe.get(recipe)
        if facts is not None and facts.source:
            return self.source.get(facts.source)
        return next((source for source in self.sources if source.kind != "ro"), None)

    @cached_property
    def job(self) -> dict[str, Job]:
        return {job.code: job for job in self.jobs}

    @cached_property
    def pairs(self) -> tuple[Between, ...]:
        """All that holds between two jobs: as the keeper wrote it, and links of chains in order."""
        return (*self.between, *links_in_order(self.planned_moves, self.setup.net_jobs_a_day))

    @cached_property
    def setup_minutes(self) -> dict[str, float]:
        """Set-up minutes of each kind of job: the most any active job of the kind asks."""
        found: dict[str, float] = {}
        for job in self.jobs:
            if job.active:
                found[job.kind] = max(found.get(job.kind, 0.0), job.setup_minutes)
        return found

    @cached_property
    def valve(self) -> Valves:
        return Valves.of(self.valves)

    @cached_property
    def _groups_in(self) -> dict[str, tuple[Group, ...]]:
        return _by(self.groups, lambda group: group.tank if group.count else "")

    def groups_in(self, tank: str) -> tuple[Group, ...]:
        """Groups with fish that live in a tank."""
        return self._groups_in.get(tank, ())

    def heads_in(self, tank: str) -> int:
        """How many fish live in a tank, by the book."""
        return sum(group.count for group in self.groups_in(tank))

    @cached_property
    def _young_in(self) -> dict[str, tuple[Brood, ...]]:
        return _by(self.broods, lambda brood: "" if brood.closed or brood.group else brood.tank)

    def young_in(self, tank: str) -> tuple[Brood, ...]:
        """Open broods in a tank whose eggs or young nobody has counted yet."""
        return self._young_in.get(tank, ())

    def lived_in(self, tank: str) -> bool:
        """Whether fish, eggs or young are in a tank, counted or not."""
        return bool(self.groups_in(tank) or self.young_in(tank))

    @cached_property
    def _stocked(self) -> dict[str, tuple[Stocked, ...]]:
        return _by(sorted(self.stocked, key=lambda row: row.since), lambda row: row.tank)

    def empty_since(self, tank: str) -> date | None:
        """The day an empty tank lost its last fish; None if it has fish or nobody knows."""
        rows = self._stocked.get(tank, ())
        if self.lived_in(tank) or not rows or rows[-1].state != "empty":
            return None
        return rows[-1].since

    def restocked(self, tank: str) -> tuple[date, int] | None:
        """The day fish came back to an emptied tank, and the days it had stood without."""
        rows = self._stocked.get(tank, ())
        if len(rows) < 2 or rows[-1].state != "fish" or rows[-2].state != "empty":
            return None
        return rows[-1].since, (rows[-1].since - rows[-2].since).days

    def first_fish(self, tank: str) -> date | None:
        """The day a tank held fish for the first time; None if nobody knows or it was later."""
        rows = self._stocked.get(tank, ())
        return rows[0].since if len(rows) == 1 and rows[0].state == "fish" else None

    @cached_property
    def _conditions(self) -> dict[str, tuple[Condition, ...]]:
        return _by(sorted(self.conditions, key=lambda row: row.since), lambda row: row.tank)

    @cached_property
    def _stays(self) -> dict[str, tuple[Stay, ...]]:
        return _by(self.stays, lambda stay: stay.tank)

    @cached_property
    def holds_at(self) -> dict[str, tuple[Hold, ...]]:
        return _by(self.holds, lambda hold: hold.target)

    @cached_property
    def events_at(self) -> dict[str, tuple[Event, ...]]:
        return _by(self.events, lambda event: event.target)

    def stay_in(self, tank: str, day: date) -> Stay | None:
        """The stay running in a tank on a day, the newest if there are several."""
        running = [
            stay
            for stay in self._stays.get(tank, ())
            if stay.first_day <= day and (stay.ended is None or day < stay.ended)
        ]
        return max(running, key=lambda stay: stay.since, default=None)

    def condition_of(self, tank: str, day: date) -> Condition | None:
        """The class the keeper set, as it stands on a day."""
        rows = [row for row in self._conditions.get(tank, ()) if row.since <= day]
        return rows[-1] if rows else None

    def health_of(self, tank: str, day: date) -> Health:
        """The health class of a tank on a day: the riskiest that applies."""
        condition = self.condition_of(tank, day)
        state = condition.state if condition else "clean"
        medicine = any(
            hold.cause == "medicine" and hold.since <= day and (not hold.until or day <= hold.until)
            for hold in self.holds_at.get(tank, ())
        )
        if state == "sick" or medicine:
            return Health.SICK
        if self.stay_in(tank, day) is not None or self.tank[tank].role == "quarantine":
            return Health.QUARANTINE
        if state == "watch":
            return Health.WATCH
        young = any(group.stage in ("eggs", "fry") for group in self.groups_in(tank))
        if young or self.young_in(tank):
            return Health.FRY
        return Health.CLEAN

    def pump_state(self, system: str, at: datetime) -> PumpTurn | None:
        """The pump turn in force at an instant."""
        turns = [turn for turn in self.pumps if turn.system == system and turn.at <= at]
        return max(turns, key=lambda turn: turn.at, default=None)

    def tank_of(self, target: str) -> str:
        """The tank a target is or hangs in, "" for the room, a system or a reservoir."""
        if target in self.tank:
            return target
        item = self.filter.get(target)
        return item.tank if item is not None else ""

    @cached_property
    def _path(self) -> dict[str, tuple[int, str, int, int]]:
        order = {rack.code: rack.path for rack in self.racks}
        return {
            tank.code: (order.get(tank.rack, 9999), tank.rack, tank.shelf, tank.place)
            for tank in self.tanks
        }

    def path_of(self, tank: str) -> tuple[int, str, int, int]:
        """Where a tank comes on the way through the room: rack, shelf, place."""
        return self._path.get(tank, (-1, "", 0, 0))

    @cached_property
    def reach(self) -> dict[tuple[str, int], str]:
        return {(shelf.rack, shelf.shelf): shelf.reach for shelf in self.shelves}

    def needs_steps(self, tank: str) -> bool:
        """Whether a tank stands on a shelf that needs the steps."""
        place = self.tank.get(tank)
        return place is not None and self.reach.get((place.rack, place.shelf)) == "steps"

    def tank_litres(self, tank: str) -> float:
        """Net litres of a tank; 0.0 where the facts make no volume."""
        litres = litres_of(self.tank[tank])
        return 0.0 if isinstance(litres, Problem) else litres.litres

    def open_litres(self, system: str, at: datetime) -> float:
        """Litres in the tanks that are open to a system at an instant."""
        return sum(self.tank_litres(tank) for tank in self.valve.members(system, at))

    def system_litres(self, system: str, at: datetime) -> float:
        """Litres of the whole body: open tanks, sump at running level, pipes."""
        facts = self.system[system]
        return self.open_litres(system, at) + facts.sump_litres + facts.pipes_litres

    def rows(self, sheet: str) -> tuple[Any, ...]:
        """The facts of one sheet, () for sheets a picture does not hold."""
        if sheet == "setup":
            return (self.setup,)
        found: tuple[Any, ...] = getattr(self, sheet, ())
        return found


ROOM_SHEETS = tuple(f.name for f in fields(Room) if f.name != "setup")


def _by(rows: Iterable[Any], key: Any) -> dict[str, tuple[Any, ...]]:
    found: dict[str, list[Any]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)
    return {name: tuple(values) for name, values in found.items()}
