"""What can hurt at a job: by its kind, and where its tank is reached with the steps.

Common practice, no published source. Short, for the moment it matters.
"""

from collections.abc import Iterable

from roomtasks.room.kind import KINDS
from roomtasks.room.room import Room

STEPS = (
    "Steps firm and dry, three points of hold; no bucket, no full net alone; never lean on a rack."
)


def cautions_at(room: Room, kind: str, tank: str) -> tuple[str, ...]:
    """What to mind at one job of a kind, at a tank or "" for none."""
    known = KINDS[kind].caution if kind in KINDS else ""
    steps = STEPS if tank and room.needs_steps(tank) else ""
    return tuple(caution for caution in (known, steps) if caution)


def cautions_of(room: Room, jobs: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """What to mind at these kinds of job at these tanks, each thing once."""
    return tuple(
        dict.fromkeys(caution for kind, tank in jobs for caution in cautions_at(room, kind, tank))
    )
