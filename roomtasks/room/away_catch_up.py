"""Changes missed while away: how much makes up for them, and the parts it takes, a day apart.

Never their plain sum (`water.catch_up`). A reading taken since beats the count
of missed ones. Changes that come more often than every five days are gone on
with as usual: the next ones make up for it.
Does not live here: what was missed besides changes, and the days (`away_back`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.amount import Amount
from roomtasks.room.body import Body, bodies
from roomtasks.room.column import harmless
from roomtasks.room.forecast import CatchUpPlan, Wanted, catch_up_plan
from roomtasks.room.job import Between, Job
from roomtasks.room.kind import KINDS
from roomtasks.room.naming import day_words
from roomtasks.room.nitrate import Tested, diluted, readings_of, source_nitrate
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.trigger import Every

OFTEN_DAYS = 5
LATE_DAYS = 1  # a further part may come so many days later than a day after the one before
_LONGEST_STEM = 26


@dataclass(frozen=True, slots=True, kw_only=True)
class CaughtUp:
    """A change that was missed, and what makes up for it.

    `missed` counts those gone by besides the open one. `often`: the usual ones
    come so soon that no part is added. `tanks_litres` is the water it is of.
    """

    due: Due
    missed: int
    plan: CatchUpPlan
    tanks_litres: float
    often: bool = False

    @property
    def fraction(self) -> float:
        """The fraction to change in one go; where one go does, never less than the usual one."""
        usual = self.due.fraction or 0.0
        if self.often:
            return usual
        each = self.plan.each_fraction
        return each if self.plan.changes > 1 else max(usual, each)

    @property
    def litres(self) -> float:
        """The litres of one go, as they go in at the tanks."""
        return self.fraction * self.tanks_litres

    @property
    def changes(self) -> int:
        """How many changes of that fraction it takes, a day apart; 1 where it comes often."""
        return 1 if self.often else self.plan.changes


def caught_up(
    room: Room, dues: Sequence[Due], now: datetime, readings: Readings, back_since: date
) -> tuple[tuple[CaughtUp, ...], tuple[Problem, ...]]:
    """Each missed change with what makes up for it, and those for which it cannot be worked out.

    Readings from `back_since` on count as taken since the return.
    """
    by_place = {body.code: body for body in bodies(room, now)}
    by_place |= {tank: body for body in tuple(by_place.values()) for tank in body.tanks}
    found: list[CaughtUp] = []
    faults: list[Problem] = []
    for due in dues:
        body = by_place.get(due.tank or due.target)
        missed = due.slot.missed + due.past.left_out
        if body is None or missed < 1 or not _is_change(due):
            continue
        tested = _tested(room, body, readings, back_since, due.fraction or 0.0)
        plan = catch_up_plan(room, body, due.fraction or 0.0, ratio=missed + 1.0, tested=tested)
        if isinstance(plan, Problem):
            faults.append(replace(plan, where=due.id))
            continue
        found.append(CaughtUp(due=due, missed=missed, plan=plan, often=_often(due),
                              tanks_litres=body.tanks_litres))  # fmt: skip
    return tuple(found), tuple(faults)


def _is_change(due: Due) -> bool:
    return (
        bool(due.fraction)
        and due.state in (State.DUE, State.LATE)
        and KINDS[due.job.kind].water
        and due.part_done == 0
    )


def _often(due: Due) -> bool:
    return isinstance(due.trigger, Every) and due.trigger.interval.days < OFTEN_DAYS


def _tested(
    room: Room, body: Body, readings: Readings, since: date, fraction: float
) -> Wanted | None:
    """What was read since the return, and the level it is usually at after a change.

    That is the newest reading before, thinned by one usual change: the level
    the keeper was content with. None where one of the two is not there.
    """
    tests = readings_of(body, room, readings, date.max)
    new = next((test for test in tests if test.reading.day >= since), None)
    old = next((test for test in tests if test.reading.day < since), None)
    if new is None or old is None or not body.litres.value:
        return None
    source = source_nitrate(room, body.recipe, new.reading.day).value
    target = diluted(old.mg_per_l, fraction * body.tanks_litres / body.litres.value, source)
    return Wanted(
        now=_as_amount(new), target_mg_per_l=max(target, source * 1.01), source_mg_per_l=source
    )


def _as_amount(test: Tested) -> Amount:
    day = day_words(test.reading.day)
    return Amount(test.mg_per_l, "mg/L", "measured", source=f"read {day}")


def first_parts(dues: Sequence[Due], made_up: Iterable[CaughtUp]) -> list[Due]:
    """What is due, each missed change with the fraction and litres of its first part."""
    each = {one.due.id: one for one in made_up if not one.often}
    return [
        replace(due, fraction=each[due.id].fraction, owed_fraction=None, litres=each[due.id].litres)
        if due.id in each
        else due
        for due in dues
    ]


def parts_of(one: CaughtUp, begins: date) -> Iterator[Job]:
    """The further parts of a change as jobs of one day, once it is known when the first is done."""
    job, changes = one.due.job, one.changes
    for n in range(2, changes + 1):
        day = begins + timedelta(days=n - 1)
        yield Job(
            code=part_code(one.due, n), name=harmless(f"{job.name}, part {n} of {changes}")[:200],
            kind=job.kind, where=_where(one.due), rule=f"once {day.isoformat()}",
            window=f"-0/+{LATE_DAYS + changes - n}", setup_minutes=job.setup_minutes,
            minutes=job.minutes, fraction=one.fraction, reservoir=job.reservoir,
            effects=job.effects, needs=job.needs, note=f"makes up for missed {one.due.id}",
        )  # fmt: skip


def _where(due: Due) -> str:
    return f"tank {due.tank}" if due.tank else f"system {due.target}"


def part_code(due: Due, n: int) -> str:
    """The code of the n-th part: the same for the same change, so that it is never there twice."""
    stem = f"{due.job.code}.{due.target}"
    if len(stem) > _LONGEST_STEM:
        mixed = 0
        for sign in stem:
            mixed = (mixed * 131 + ord(sign)) % 2**32
        stem = f"{stem[: _LONGEST_STEM - 9]}.{mixed:08x}"
    return f"{stem}.p{n}"


def days_apart(one: CaughtUp, parts: Sequence[Job]) -> Iterator[Between]:
    """Pairs that keep the parts of one change on days of their own, in order."""
    codes = [one.due.job.code, *(part.code for part in parts)]
    for n, first in enumerate(codes):
        for m, second in enumerate(codes[n + 1 :], start=n + 1):
            yield Between(
                code=f"{part_code(one.due, n)}.{m}", first=f"job {first}",
                relation="apart", second=f"job {second}", days=1,
                reason="parts of one change are a day apart",
            )  # fmt: skip
