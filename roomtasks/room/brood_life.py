"""What falls due for a brood, counted from stages as they were seen, not as they were planned.

A profile gives days after the spawn. Once a stage is seen, every later one
moves with it. Live food is started at the last round before it is needed.
Days and hours here are common practice, no published source. Does not live
here: growth (`brood_growth`), when and where to move (`move_day`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from roomtasks.room.brood import Brood, Sample, Sighting
from roomtasks.room.line import DEFAULT_DAYS, STAGE_WORDS, LineFacts, Stage
from roomtasks.room.problem import Problem
from roomtasks.room.rounds import last_round_before, next_round, round_on
from roomtasks.room.stock import Group
from roomtasks.room.transfer import Transfer

MEASURE_DAYS = 14
GRADE_AT = 2.0
MEASURED, PLANNED = "seen", "planned"


@dataclass(frozen=True, slots=True)
class StageDay:
    """The day of a stage; `seen` or still to come."""

    day: date
    seen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Something to do for a brood. `at` is the round it is tied to, if to one.

    `daily` goes on each day until `until` is overtaken by what is seen.
    """

    key: str
    what: str
    kind: str
    day: date
    at: datetime | None = None
    daily: bool = False
    minutes: float = 3.0
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brine:
    """The jar of brine shrimp: when to start it, when it is ready, the feed it is for.

    `known` is how the start is known: seen, planned, or taken as planned once that time is past.
    """

    start: datetime
    ready: datetime
    feed: datetime
    known: str

    @property
    def in_time(self) -> bool:
        return self.ready <= self.feed


def profile_of(stages: Iterable[Stage], line: str) -> dict[str, int]:
    """Days after the spawn of each stage of a line; the common ones where it has no row."""
    own = {stage.stage: stage.days for stage in stages if stage.line == line}
    return {**DEFAULT_DAYS, **own}


def first_seen(sightings: Iterable[Sighting]) -> dict[str, Sighting]:
    """The first sighting of each stage."""
    found: dict[str, Sighting] = {}
    for sighting in sorted(sightings, key=lambda row: row.at):
        found.setdefault(sighting.stage, sighting)
    return found


def stage_days(
    profile: Mapping[str, int], spawned: date, seen: Mapping[str, Sighting]
) -> dict[str, StageDay]:
    """The day of each stage: as seen, else counted on from the last stage that was seen."""
    found: dict[str, StageDay] = {}
    last_day, last_offset = spawned, profile["spawn"]
    for stage in STAGE_WORDS:
        if stage == "spawn":
            found[stage] = StageDay(spawned, True)
        elif stage in seen:
            found[stage] = StageDay(seen[stage].day, True)
            last_day, last_offset = seen[stage].day, profile[stage]
        else:
            days = max(0, profile[stage] - last_offset)
            found[stage] = StageDay(last_day + timedelta(days=days), False)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Nursery:
    """What the steps of a brood are worked out from."""

    brood: Brood
    line: LineFacts
    profile: Mapping[str, int]
    sightings: tuple[Sighting, ...]
    samples: tuple[Sample, ...]
    rounds: tuple[time, ...]
    zone: ZoneInfo

    @property
    def seen(self) -> dict[str, Sighting]:
        return first_seen(self.sightings)

    @property
    def counted(self) -> bool:
        """Whether the young were counted, though nobody may have noted the stages before."""
        return self.brood.counted is not None or "first-count" in self.seen

    def days(self) -> dict[str, StageDay]:
        return stage_days(self.profile, self.brood.spawned, self.seen)


def brine_of(at: Nursery, now: datetime) -> Brine:
    """When the jar must be started, or when one that was started is ready.

    The feed is that of the first round of the day of free swimming, or of the
    round at which it was seen. A start that lies behind is taken as kept.
    """
    seen, lasting = at.seen, timedelta(hours=at.line.brine_hours)
    before = {stage: row for stage, row in seen.items() if stage != "free-swimming"}
    foreseen = stage_days(at.profile, at.brood.spawned, before)["free-swimming"].day
    planned = last_round_before(round_on(foreseen, at.rounds[0], at.zone) - lasting, at.rounds,
                                at.zone)  # fmt: skip
    feed = round_on(foreseen, at.rounds[0], at.zone)
    if "free-swimming" in seen:
        feed = seen["free-swimming"].at
    if "brine-started" in seen:
        start, known = seen["brine-started"].at, MEASURED
    elif "free-swimming" not in seen:
        start, known = planned, PLANNED
    elif planned <= feed:
        start, known = planned, "taken as planned"
    else:
        start, known = next_round(max(now, feed), at.rounds, at.zone), PLANNED
    return Brine(start=start, ready=_after(start, lasting), feed=feed, known=known)


def _after(start: datetime, lasting: timedelta) -> datetime:
    """So many real hours later, whatever the clocks do between."""
    utc = ZoneInfo("UTC")
    return (start.astimezone(utc) + lasting).astimezone(start.tzinfo)


def steps_of(at: Nursery, now: datetime, today: date) -> tuple[Step, ...]:
    """Everything that is to be done for a brood from here on, in order of its day."""
    if at.brood.closed is not None:
        return ()
    seen, days = at.seen, at.days()
    found = [*_early(at, now, seen, days), *_growing(at, seen, days)]
    return tuple(sorted(found, key=lambda step: (step.day, step.at or now, step.key)))


def _early(
    at: Nursery, now: datetime, seen: Mapping[str, Sighting], days: Mapping[str, StageDay]
) -> list[Step]:
    """From the eggs to the first feeds."""
    found: list[Step] = []
    swims, culture = days["free-swimming"], at.line.culture_days
    if at.counted:
        return [] if at.samples else [_feeding(at, brine_of(at, now), swims.day)]
    if "hatch" not in seen and not swims.seen:
        found.append(Step(key="eggs", what="Eggs: look for fungus, intake guarded", kind="look",
                          day=at.brood.spawned + timedelta(days=1), daily=True,
                          why="until the hatch is seen"))  # fmt: skip
        found.append(Step(key="hatch", what="Look for the hatch", kind="look",
                          day=days["hatch"].day, why=_why(at, "hatch", seen)))  # fmt: skip
    if not swims.seen and "culture-started" not in seen and culture:
        day = max(at.brood.spawned, swims.day - timedelta(days=culture))
        found.append(Step(key="culture", what="Start the small culture", kind="stores", day=day,
                          why=f"{culture} days before free swimming"))  # fmt: skip
    brine = brine_of(at, now)
    if brine.known == PLANNED:
        found.append(
            Step(key="brine", what="Start brine shrimp", kind="stores",
                 day=brine.start.astimezone(at.zone).date(), at=brine.start,
                 why=f"{at.line.brine_hours:g} h before the feed, at the last round before")
        )  # fmt: skip
    if not swims.seen:
        found.append(Step(key="swim", what="Look for free swimming", kind="look", day=swims.day,
                          why=_why(at, "free-swimming", seen)))  # fmt: skip
    else:
        found.append(_feeding(at, brine, swims.day))
    return found


def _feeding(at: Nursery, brine: Brine, day: date) -> Step:
    food = "brine shrimp, 3 to 5 times a day"
    if not brine.in_time:
        ready = f"{brine.ready:%a} {brine.ready.day} {brine.ready:%b %H:%M}"
        food = f"the small culture only until the jar is ready, {ready}; then {food}"
    return Step(key="feed", what="Feed the fry", kind="feed-fry", day=day, daily=True, minutes=5.0,
                why=food)  # fmt: skip


def _growing(at: Nursery, seen: Mapping[str, Sighting], days: Mapping[str, StageDay]) -> list[Step]:
    """From the first count on."""
    found = []
    if not at.counted:
        found.append(Step(key="count", what="First count, by photo", kind="count",
                          day=days["first-count"].day, minutes=10.0,
                          why=_why(at, "first-count", seen)))  # fmt: skip
    measure, why = days["measure"].day, _why(at, "measure", seen)
    if at.samples:
        last = max(at.samples, key=lambda sample: sample.day)
        measure, why = last.day + timedelta(days=MEASURE_DAYS), f"{MEASURE_DAYS} days on"
    found.append(Step(key="measure", what="Measure 10 to 15 at random", kind="measure", day=measure,
                      minutes=15.0, why=why))  # fmt: skip
    grade = to_grade(at.samples, seen_of(at.sightings, "graded"))
    if grade is not None:
        found.append(
            Step(key="grade", what="Grade: large from small", kind="move", day=grade.day,
                 minutes=20.0, why=f"the largest, {grade.largest_cm:g} cm, is "
                 f"{grade.largest_cm / grade.smallest_cm:.1f} times the smallest")
        )  # fmt: skip
    return found


def seen_of(sightings: Iterable[Sighting], stage: str) -> tuple[Sighting, ...]:
    """Every sighting of a stage."""
    return tuple(row for row in sightings if row.stage == stage)


def to_grade(samples: Sequence[Sample], graded: Sequence[Sighting]) -> Sample | None:
    """The sample that asks for grading: its largest is twice its smallest, not graded since."""
    if not samples:
        return None
    last = max(samples, key=lambda sample: sample.day)
    if last.largest_cm < GRADE_AT * last.smallest_cm:
        return None
    return None if any(row.day >= last.day for row in graded) else last


def _why(at: Nursery, stage: str, seen: Mapping[str, Sighting]) -> str:
    known = [word for word in STAGE_WORDS[: STAGE_WORDS.index(stage)] if word in seen]
    base = known[-1] if known else "spawn"
    return f"{max(0, at.profile[stage] - at.profile[base])} days after {base.replace('-', ' ')}"


def survival(seen: Mapping[str, Sighting]) -> dict[str, float]:
    """The share of those counted at the stage before that were counted at each later one."""
    found: dict[str, float] = {}
    before: int | None = None
    for stage in STAGE_WORDS:
        count = seen[stage].count if stage in seen else None
        if count is None:
            continue
        if before:
            found[stage] = count / before
        before = count
    return found


# --- the account -----------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """What became of the fish that were counted. Open while they do not add up."""

    counted: int
    sold: int
    kept: int
    died: int
    given: int

    @property
    def difference(self) -> int:
        """Counted fish that nothing accounts for; below 0: more came out than were counted."""
        return self.counted - self.sold - self.kept - self.died - self.given


def family(groups: Iterable[Group], first: str) -> frozenset[str]:
    """A group and every group split off from it or its own."""
    known = tuple(groups)
    found, before = {first}, 0
    while len(found) != before:
        before = len(found)
        found |= {group.code for group in known if group.origin in found and group.code != first}
    return frozenset(found)


def account_of(
    brood: Brood, groups: Iterable[Group], transfers: Iterable[Transfer]
) -> Account | Problem:
    """The account of a brood, from the moves of its group and of all split off from it.

    Fish lost count as died. Refused while no count was made.
    """
    if brood.counted is None or not brood.group:
        return Problem(brood.code, "its young were not counted yet", "count them first",
                       "counts-add-up")  # fmt: skip
    known = [group for group in groups if not group.born or group.born >= brood.spawned
             or group.code == brood.group]  # fmt: skip
    codes = family(known, brood.group)
    out = dict.fromkeys(("sold", "given", "died", "lost"), 0)
    for transfer in transfers:
        if transfer.group in codes and transfer.how in out:
            out[transfer.how] += transfer.count
    return Account(
        counted=brood.counted, sold=out["sold"], died=out["died"] + out["lost"], given=out["given"],
        kept=sum(group.count for group in known if group.code in codes),
    )  # fmt: skip


def shares_fault(
    groups: Iterable[Group], code: str, shares: Sequence[tuple[int, str]]
) -> Problem | None:
    """What is wrong with the shares as a whole; each by itself is looked at as it moves."""
    if not shares:
        return Problem(code, "no share was named", "give COUNT:TANK for each tank")
    tanks = [tank for _, tank in shares]
    twice = next((tank for tank in tanks if tanks.count(tank) > 1), None)
    if twice is not None:
        return Problem(twice, "it is named twice", "name each tank once")
    there = next((group.count for group in groups if group.code == code), None)
    wanted = sum(count for count, _ in shares)
    if there is not None and wanted > there:
        return Problem(code, f"there are {there}, not {wanted}", "count again, or correct the "
                       "counts", "counts-add-up")  # fmt: skip
    return None


def lineage(groups: Iterable[Group], broods: Iterable[Brood], code: str) -> tuple[str, ...]:
    """The groups a group came from, nearest first: what it was split off, its brood's parents."""
    by_code = {group.code: group for group in groups}
    parents = {brood.group: brood.parents for brood in broods if brood.group and brood.parents}
    found: list[str] = []
    here = code
    while True:
        group = by_code.get(here)
        before = parents.get(here) or (group.origin if group is not None else "")
        if not before or before in found or before == code:
            return tuple(found)
        found.append(before)
        here = before
