"""Acts on broods: the spawn, each stage as it is seen, samples, grading, splitting, the account.

After each the brood's jobs are brought to what is now known: those overtaken
rest, the others get their new day. Rules are in `room.brood_life` and
`room.brood_growth`.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.brood import SEEN, Brood, Sample, Sighting
from roomtasks.room.brood_growth import middle_of, sample_fault
from roomtasks.room.brood_life import (
    Nursery,
    Step,
    account_of,
    family,
    profile_of,
    shares_fault,
    steps_of,
)
from roomtasks.room.column import from_text
from roomtasks.room.density import line_of
from roomtasks.room.job import Hold, Job
from roomtasks.room.line import STAGE_WORDS
from roomtasks.room.naming import spaced
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.room.rounds import rounds_of
from roomtasks.room.stock import Group
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, do_move, do_put_in, doing, note_event

QUIET_DAYS = 10
QUIET = "vac wipe filter media"
LONGEST_CODE = 20
_WINDOWS = {"hatch": "-0/+2", "swim": "-1/+2", "count": "-1/+3", "measure": "-3/+4",
            "grade": "-0/+3", "culture": "-1/+1"}  # fmt: skip


def again(it: Doing) -> Doing:
    """The act with the room as it stands after what it has written so far."""
    found = read.room(it.writer.store)
    if isinstance(found, Problem):
        raise RuntimeError("the room went away inside an act")
    return replace(it, room=found)


def brood_of(room: Room, code: str) -> Brood | Problem:
    """An open brood by its code."""
    found = next((brood for brood in room.broods if brood.code == code), None)
    if found is None:
        return Problem(code, "there is no such brood", "'roomtasks broods' shows them")
    if found.closed is not None:
        return Problem(code, f"it was closed on {day_words(found.closed)}", "nothing was changed",
                       "no-change")  # fmt: skip
    return found


def nursery_of(room: Room, brood: Brood) -> Nursery | Problem:
    """What the steps of a brood are worked out from."""
    rounds = rounds_of(room.setup.rounds)
    if isinstance(rounds, Problem):
        return rounds
    return Nursery(
        brood=brood, line=line_of(room, brood.line), profile=profile_of(room.stages, brood.line),
        sightings=tuple(row for row in room.sightings if row.brood == brood.code),
        samples=tuple(row for row in room.samples if row.brood == brood.code),
        rounds=rounds, zone=room.zone,
    )  # fmt: skip


def spawn(
    store: Store, now: datetime, who: str, code: str, tank: str, parents: str = "", line: str = "",
    day: date | None = None, count: int | None = None,
) -> Told | Problem:  # fmt: skip
    """A spawn was seen: the brood is opened, noisy jobs in its tank rest for some days."""

    def do(it: Doing) -> str | Problem:
        on, pair = day or it.today, _parents(it.room, tank, parents)
        fault = _spawn_fault(it, code, tank, parents, pair, on)
        if fault is not None:
            return fault
        named = line or (pair.line if pair is not None else "")
        if not named:
            return Problem(tank, "nothing tells the line of the brood", "say --parents or --line")
        brood = Brood(code=code, line=named, parents=pair.code if pair else "", tank=tank,
                      spawned=on)  # fmt: skip
        it.writer.put("broods", brood)
        it.writer.put("sightings", _sighting(it, code, "spawn", on, count, 0, ""))
        note_event(it, "spawn", tank, count, code, on)
        until = on + timedelta(days=QUIET_DAYS)
        quiet = Hold(code=f"quiet-{code}", target=tank, kinds=QUIET, until=until, since=on,
                     cause="spawning", reason=f"brood {code}")  # fmt: skip
        it.writer.put("holds", quiet)
        told = _jobs(again(it), code)
        return f"brood {code} of {named} in {tank}, spawned {day_words(on)}; quiet until " \
               f"{day_words(until)}{told}"  # fmt: skip

    return doing(store, now, who, "spawn", do)


def _parents(room: Room, tank: str, parents: str) -> Group | None:
    if parents:
        return next((group for group in room.groups if group.code == parents), None)
    grown = [group for group in room.groups_in(tank) if group.stage == "adult"]
    return grown[0] if len(grown) == 1 else None


def _ahead(on: date) -> Problem:
    return Problem("day", f"{day_words(on)} lies ahead", "give a day gone by", "not-in-the-future")


def _spawn_fault(
    it: Doing, code: str, tank: str, parents: str, pair: Group | None, on: date
) -> Problem | None:
    named = from_text(SHEET["broods"].columns["code"], code)
    if isinstance(named, Problem):
        return Problem("brood", named.what, named.remedy)
    if len(code) > LONGEST_CODE:
        return Problem(code, f"it has {len(code)} signs", f"keep to {LONGEST_CODE}")
    if any(brood.code == code for brood in it.room.broods):
        return Problem(code, "this code is in use", "choose another code")
    if tank not in it.room.tank:
        return Problem(tank, "there is no such tank", "'roomtasks racks' shows them")
    if parents and pair is None:
        return Problem(parents, "there is no such group", "'roomtasks tank CODE' shows them")
    if on > it.today:
        return _ahead(on)
    return None


def stage_seen(
    store: Store, now: datetime, who: str, code: str, stage: str, day: date | None = None,
    count: int | None = None, lost: int = 0, note: str = "",
) -> Told | Problem:  # fmt: skip
    """A stage of a brood was seen; every later date moves with it.

    The first count makes the group of the young.
    """

    def do(it: Doing) -> str | Problem:
        brood = brood_of(it.room, code)
        if isinstance(brood, Problem):
            return brood
        on = day or it.today
        fault = _stage_fault(it, brood, stage, on, count, lost)
        if fault is not None:
            return fault
        it.writer.put("sightings", _sighting(it, code, stage, on, count, lost, note))
        note_event(it, stage, _tank_of(it.room, brood), count, code, on)
        told = ""
        if stage == "first-count" and count is not None:
            made = _counted(it, brood, count)
            if isinstance(made, Problem):
                return made
            told = f"; group {made}"
        told += _jobs(again(it), code)
        many = f", {count} counted" if count is not None else ""
        return f"{code}: {stage.replace('-', ' ')} seen {day_words(on)}{many}{told}"

    return doing(store, now, who, "stage", do)


def _stage_fault(
    it: Doing, brood: Brood, stage: str, on: date, count: int | None, lost: int
) -> Problem | None:
    if stage not in SEEN or stage in ("spawn", "measure"):
        return Problem(stage, "is no stage that is seen", "use " + ", ".join(SEEN[1:]))
    if on > it.today:
        return _ahead(on)
    if on < brood.spawned:
        return Problem("day", f"{day_words(on)} is before the spawn on "
                       f"{day_words(brood.spawned)}", "correct the day")  # fmt: skip
    if lost < 0 or (count is not None and count < 0):
        return Problem("count", "a count cannot be below 0", "give 0 or more")
    if stage == "first-count" and not count:
        return Problem("count", f"{count or 0} fish is no count", "give 1 or more, or close the "
                       "brood with a reason")  # fmt: skip
    own = [row for row in it.room.sightings if row.brood == brood.code]
    if stage == "first-count" and brood.counted is not None:
        return Problem(brood.code, f"{brood.counted} were counted already", "use 'roomtasks count' "
                       "for a later count", "no-change")  # fmt: skip
    if stage not in STAGE_WORDS:
        return None
    place = STAGE_WORDS.index(stage)
    for row in own:
        if row.stage in STAGE_WORDS and row.stage != stage:
            other = STAGE_WORDS.index(row.stage)
            if (other < place and row.day > on) or (other > place and row.day < on):
                return Problem(
                    "day", f"{spaced(stage)} on {day_words(on)}, but "
                    f"{spaced(row.stage)} was seen on {day_words(row.day)}",
                    "dates must be in order; correct one of the two",
                )  # fmt: skip
    return None


def _counted(it: Doing, brood: Brood, count: int) -> str | Problem:
    """The young become a group of their own, which came from their parents."""
    used = {group.code for group in it.room.groups}
    group = brood.code if brood.code not in used else f"{brood.code}.young"
    made = do_put_in(
        it,
        Group(code=group, line=brood.line, tank=brood.tank, count=count, count_known="about",
              stage="fry", since=it.today, born=brood.spawned, origin=brood.parents),
        joins=True,
    )  # fmt: skip
    if isinstance(made, Problem):
        return made
    it.writer.put("broods", replace(brood, group=group, counted=count))
    return group


def _sighting(
    it: Doing, code: str, stage: str, on: date, count: int | None, lost: int, note: str
) -> Sighting:
    at = it.now
    if on != it.today:
        at = datetime.combine(on, it.room.day_starts, it.room.zone) + timedelta(hours=4)
    return Sighting(brood=code, stage=stage, day=on, at=at, count=count, lost=lost, note=note)


def sample(
    store: Store, now: datetime, who: str, code: str, lengths_cm: Sequence[float],
    n: int | None = None, length: str = "total", day: date | None = None, anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Fish were measured: all lengths, or with `n` the smallest, middle and largest of so many."""

    def do(it: Doing) -> str | Problem:
        brood = brood_of(it.room, code)
        if isinstance(brood, Problem):
            return brood
        three = middle_of(lengths_cm)
        if isinstance(three, Problem):
            return three
        if n is not None and len(lengths_cm) != 3:
            return Problem("length", f"{len(lengths_cm)} lengths with --n",
                           "give the smallest, the middle and the largest")  # fmt: skip
        on = day or it.today
        if on > it.today:
            return _ahead(on)
        if not any(row.brood == code for row in it.room.samples):
            brood = replace(brood, length=length)
            it.writer.put("broods", brood)
        many = len(lengths_cm) if n is None else n
        made = Sample(brood=code, day=on, n=many, smallest_cm=three[0], middle_cm=three[1],
                      largest_cm=three[2], length=length)  # fmt: skip
        fault = sample_fault(brood, made, it.room.samples)
        if fault is not None and not (fault.rule == "ask" and anyway):
            return fault
        it.writer.put("samples", made)
        told = _jobs(again(it), code)
        return (
            f"{code}: {many} measured {day_words(on)}, {three[0]:g} to {three[2]:g} cm, middle "
            f"{three[1]:g} cm ({length}){told}"
        )

    return doing(store, now, who, "sample", do)


def part(
    store: Store, now: datetime, who: str, code: str, shares: Sequence[tuple[int, str]],
    graded: bool = False, anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Split a group over tanks, or with `graded` part its large fish from the small.

    What is not named stays. One act: all of it or nothing.
    """

    def do(it: Doing) -> str | Problem:
        fault = shares_fault(it.room.groups, code, shares)
        if fault is not None:
            return fault
        said, here = [], it
        for count, tank in shares:
            answer = do_move(here, code, count, tank, anyway)
            if isinstance(answer, Problem):
                return answer
            said.append(f"{count} to {tank}")
            here = again(here)
        brood = _brood_with(here.room, code)
        if graded:
            if brood is None:
                return Problem(code, "it belongs to no open brood", "split it instead")
            here.writer.put("sightings", _sighting(here, brood.code, "graded", here.today, None, 0,
                                                   code))  # fmt: skip
        told = _jobs(again(here), brood.code) if brood is not None else ""
        return f"{code} {'graded' if graded else 'split'}: {', '.join(said)}{told}"

    return doing(store, now, who, "grade" if graded else "split", do)


def _brood_with(room: Room, group: str) -> Brood | None:
    return next(
        (
            brood
            for brood in room.broods
            if brood.closed is None and brood.group and group in family(room.groups, brood.group)
        ),
        None,
    )


def close(
    store: Store, now: datetime, who: str, code: str, reason: str, write_off: bool = False
) -> Told | Problem:
    """Close a brood with an account: sold + kept + died + given = counted."""

    def do(it: Doing) -> str | Problem:
        brood = brood_of(it.room, code)
        if isinstance(brood, Problem):
            return brood
        if it.today < brood.spawned:
            return Problem(code, f"{day_words(it.today)} is before the spawn on "
                           f"{day_words(brood.spawned)}",
                           "close it on a later day")  # fmt: skip
        transfers = read.rows(it.writer.store, SHEET["transfers"])
        account = account_of(brood, it.room.groups, transfers)
        if isinstance(account, Problem):
            if brood.counted is not None or not reason.strip():
                return replace(account, remedy="count them first, or give --reason why it ended")
            it.writer.put("broods", replace(brood, closed=it.today, sold=0, kept=0, died=0, given=0,
                                            reason=reason))  # fmt: skip
            _jobs(again(it), code)
            return f"{code} closed uncounted: {reason}"
        left = account.difference
        if left and not write_off:
            more = "nothing accounts for" if left > 0 else "came out beyond the count"
            return Problem(
                code, f"{account.counted} counted = {account.sold} sold + {account.kept} kept + "
                f"{account.died} died + {account.given} given, and {abs(left)} {more}",
                "count again, enter what is missing, or --write-off", "counts-add-up",
            )  # fmt: skip
        done = replace(
            brood, closed=it.today, sold=account.sold, kept=account.kept, given=account.given,
            died=account.died + max(0, left), counted=account.counted - min(0, left), reason=reason,
        )  # fmt: skip
        it.writer.put("broods", done)
        _jobs(again(it), code)
        return (f"{code} closed: {done.counted} counted = {done.sold} sold + {done.kept} kept + "
                f"{done.died} died + {done.given} given")  # fmt: skip

    return doing(store, now, who, "close", do)


# --- the jobs of a brood ------------------------------------------------------------


def _tank_of(room: Room, brood: Brood) -> str:
    """Where its young are: the tank of their group while there is one, else of the spawn."""
    group = next((g for g in room.groups if g.code == brood.group and g.count), None)
    return group.tank if group is not None else brood.tank


def _jobs(it: Doing, code: str) -> str:
    """Bring the jobs of a brood to what is known now; says what comes next."""
    room = it.room
    brood = next(brood for brood in room.broods if brood.code == code)
    nursery = nursery_of(room, brood)
    steps = () if isinstance(nursery, Problem) else steps_of(nursery, it.now, it.today)
    tank = _tank_of(room, brood)
    wanted = {job.code: job for job in (job_of(room, code, tank, step) for step in steps)}
    for job in room.jobs:
        if job.code in wanted and job == wanted[job.code]:
            del wanted[job.code]
        elif job.code not in wanted and job.active and _is_of(job, code):
            it.writer.put("jobs", replace(job, active=False))
    for job in wanted.values():
        it.writer.put("jobs", job)
    coming = next((step for step in steps if not step.daily), None)
    if coming is None:
        return ""
    when = f" {coming.at:%H:%M}" if coming.at is not None else ""
    return f"; next: {coming.what.lower()}, {day_words(coming.day)}{when}"


KEYS = ("eggs", "hatch", "culture", "brine", "swim", "feed", "count", "measure", "grade")


def _is_of(job: Job, brood: str) -> bool:
    return any(job.code == f"{brood}-{key}" for key in KEYS)


def job_of(room: Room, brood: str, tank: str, step: Step) -> Job:
    """A step of a brood as a standing job of its tank."""
    day, time = step.day, None
    if step.at is not None:
        day, time = room.day_at(step.at), step.at.astimezone(room.zone).time()
    return Job(
        code=f"{brood}-{step.key}", name=f"{step.what} ({brood})", kind=step.kind,
        where=f"tank {tank}", rule="every 1 days" if step.daily else f"once {day.isoformat()}",
        window=_WINDOWS.get(step.key, ""), starts=day if step.daily else None, from_time=time,
        minutes=step.minutes, needs=step.why, stand_in=step.daily,
    )  # fmt: skip
