"""What turning a valve changes: jobs that go to another owner, and what may rejoin.

Opening joins two bodies of water for good: what is dissolved in the tank comes
into the system, and so does whatever its fish had. Dilution answers only for
what is dissolved; for illness, clear days decide.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.dosing import rejoin
from roomtasks.room.health import Health
from roomtasks.room.naming import lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.targets import tasks

RESIDUE_LIMIT = 0.05  # of a product in each litre of the system; common practice
SHARE_OF_EACH = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Owners:
    """Jobs of a tank, or of its system with it, that begin or end with a turn of its valve."""

    ends: tuple[str, ...]
    begins: tuple[str, ...]


def owners_changed(before: Room, after: Room, tank: str, at: datetime) -> Owners:
    """Names of the jobs at this tank before and after a turn."""
    was = {job.code: job.name for job, target in tasks(before, at) if target == tank}
    now = {job.code: job.name for job, target in tasks(after, at) if target == tank}
    return Owners(
        ends=tuple(name for code, name in was.items() if code not in now),
        begins=tuple(name for code, name in now.items() if code not in was),
    )


def opening_refusals(
    room: Room, tank: str, system: str, at: datetime, limit: float = RESIDUE_LIMIT
) -> Iterator[Problem]:
    """Every rule against opening a tank to its system."""
    today = room.day_at(at)
    stay = room.stay_in(tank, today)
    if stay is not None:
        day = (today - stay.since).days
        yield Problem(
            tank, f"{lot_words(stay.code)} is on day {day} of {stay.days} in it",
            "release the lot first; its days decide, not dilution", "not-released",
        )  # fmt: skip
    health = room.health_of(tank, today)
    if stay is None and health in (Health.WATCH, Health.SICK):
        yield Problem(
            tank, f"it is {health.word}, and all of {system} would be exposed",
            f"'roomtasks class {tank} clean --reason ...' once its clear days are over",
            "not-clear",
        )  # fmt: skip
    levels = [level for level in room.levels if level.tank == tank and level.on(today)]
    if not levels:
        return
    own = room.tank_litres(tank)
    found = rejoin(levels, own, room.system_litres(system, at) + own, limit, SHARE_OF_EACH)
    if isinstance(found, Problem):
        yield found
        return
    if found.changes:
        worst = max(found.residues, key=lambda residue: residue.now.value)
        yield Problem(
            tank,
            f"{worst.product} would come to {worst.now.value:.3g} {worst.unit}/L in {system}, "
            f"above {limit:g}",
            f"{found.changes} changes of {found.each_litres:.0f} L first, to waste, nothing dosed "
            f"after; then 'roomtasks level {tank} {worst.product} --end'", "residue",
        )  # fmt: skip
