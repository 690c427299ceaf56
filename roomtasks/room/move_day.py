"""When a brood must leave its tank: the earliest of four days, and what to do if that is too soon.

The four: it has the size, the tank is full by its limit, the tank is needed,
the parents spawn again. A destination that comes late moves none of them; it
adds stop-gaps.
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.naming import many
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words

SIZE, DENSITY, NEEDED, SPAWN = "size", "density", "tank needed", "next spawn"
_AHEAD = {
    SIZE: "it is large enough", DENSITY: "its tank is full", NEEDED: "its tank is needed",
    SPAWN: "the parents spawn again",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One of the four, with its day and a sentence."""

    name: str
    day: date
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveDay:
    """The day a brood must move and what sets it; the others after it in order."""

    day: date
    cause: str
    why: str
    causes: tuple[Cause, ...]


def move_day(
    *, size: date | None, size_cm: float, density: date | None, density_cm: float, limit: str,
    needed: date | None, spawn: date | None, today: date | None = None,
) -> MoveDay | Problem:  # fmt: skip
    """The earliest of those that are known. Refused where none is."""
    found = []
    if size is not None:
        found.append(Cause(name=SIZE, day=size, why=f"{size_cm:g} cm on {day_words(size)}"))
    if density is not None:
        why = f"the tank is full ({limit}) at {density_cm:.2g} cm, on {day_words(density)}"
        found.append(Cause(name=DENSITY, day=density, why=why))
    if needed is not None:
        found.append(Cause(name=NEEDED, day=needed,
                           why=f"its tank is needed on {day_words(needed)}"))  # fmt: skip
    if spawn is not None:
        gone = today is not None and spawn < today
        words = "were to spawn again, and may any day: it was" if gone else "spawn again"
        found.append(Cause(name=SPAWN, day=spawn,
                           why=f"the parents {words} about {day_words(spawn)}"))  # fmt: skip
    if not found:
        return Problem("move", "nothing tells a day to move", "measure the brood twice, 7 days "
                       "apart, or say when its tank is needed", "too-few-samples")  # fmt: skip
    causes = tuple(sorted(found, key=lambda cause: (cause.day, cause.name)))
    later = causes[1] if len(causes) > 1 else None
    gap = (later.day - causes[0].day).days if later is not None else 0
    tail = f", {many(gap, 'day')} before {_AHEAD[later.name]}" if later and gap else ""
    return MoveDay(day=causes[0].day, cause=causes[0].name, why=causes[0].why + tail, causes=causes)


def stop_gaps(
    wanted: MoveDay, ready: date | None, count: int, fits: int | None
) -> tuple[str, ...]:  # fmt: skip
    """What tides over until a destination is ready; nothing where it is ready in time.

    `ready` is the day of the destination, None where there is none; `fits` how many
    fish stay within the limit at the size of that day.
    """
    if ready is not None and ready <= wanted.day:
        return ()
    late = (
        f"{many((ready - wanted.day).days, 'day')} late" if ready is not None else "not found yet"
    )
    found = [
        f"the destination is {late}: one more change a week from {day_words(wanted.day)}",
        "feed less: growth slows, and so does what the water carries",
    ]
    if fits is not None and fits < count:
        found.append(f"split off {count - fits} of {count}: {fits} stay within the limit")
        found.append(f"or sell {count - fits} of them small")
    return tuple(found)
