"""The days of a chain: so many moves with the net a day, in order; a slip moves what is behind it.

On change days, when the water is low, unless that would be too late. What goes
through the tub stays on one day.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from roomtasks.room.naming import day_words
from roomtasks.room.planned_move import TUB, PlannedMove
from roomtasks.room.problem import Problem

FURTHEST = 400


def blocks_of(ways: Sequence[tuple[str, str]]) -> list[int]:
    """How many moves, given as (from, to), must stay on one day together, in order."""
    sizes: list[int] = []
    together = 0
    for from_tank, to_tank in ways:
        if to_tank == TUB:
            together = 1
        elif together:
            together += 1
            if from_tank == TUB:
                sizes.append(together)
                together = 0
        else:
            sizes.append(1)
    return sizes + [together] * bool(together)


def spread(
    ways: Sequence[tuple[str, str]], first: date, per_day: int, taken: Mapping[date, int],
    weekday: int | None = None, by: date | None = None, no_earlier: Sequence[date] = (),
) -> tuple[date, ...] | Problem:  # fmt: skip
    """The day of each move. `taken` counts other moves of a day; `by` is the day wanted for all.

    On the weekday given, if that is not after `by`; else on any day from the first.
    """
    if per_day < 1:
        return Problem("moves", f"{per_day} moves a day is none", "allow 1 or more")
    large = max(blocks_of(ways), default=0)
    if large > per_day:
        return Problem(
            "moves", f"{large} moves must be done on one day by way of the tub, and {per_day} a "
            "day are allowed", f"allow {large} moves a day", "net-jobs-a-day",
        )  # fmt: skip
    days = _placed(ways, first, per_day, taken, weekday, no_earlier)
    if weekday is not None and by is not None and days and days[-1] > by:
        return _placed(ways, first, per_day, taken, None, no_earlier)
    return days


def _placed(
    ways: Sequence[tuple[str, str]], first: date, per_day: int, taken: Mapping[date, int],
    weekday: int | None, no_earlier: Sequence[date],
) -> tuple[date, ...]:  # fmt: skip
    days: list[date] = []
    used = dict(taken)
    day = first
    for size in blocks_of(ways):
        bounds = no_earlier[len(days) : len(days) + size]
        day = max([day, *bounds])
        for _ in range(FURTHEST):
            on_day = weekday is None or day.weekday() == weekday
            if on_day and used.get(day, 0) + size <= per_day:
                break
            day += timedelta(days=1)
        used[day] = used.get(day, 0) + size
        days += [day] * size
    return tuple(days)


def slipped(
    moves: Iterable[PlannedMove], n: int, to: date, per_day: int, taken: Mapping[date, int],
    weekday: int | None,
) -> dict[int, date] | Problem:  # fmt: skip
    """The new days of a chain's open links when link n is done on another day.

    Links before it stay; none behind it comes before it, and none earlier than it was.
    """
    ordered = sorted(moves, key=lambda move: move.n)
    before = [m.day for m in ordered if m.n < n and m.state == "planned"]
    if before and to < max(before):
        return Problem("day", f"link {n} cannot come before the link in front of it, on "
                       f"{day_words(max(before))}", "move that one first",
                       "chain-order")  # fmt: skip
    behind = [m for m in ordered if m.n >= n and m.state == "planned"]
    if not behind or behind[0].n != n:
        return Problem(str(n), "there is no such link that is still planned", "look at the chain")
    ways = [(m.from_tank, m.to_tank) for m in behind]
    head = blocks_of(ways)[0]
    wanted = [to if i < head else m.day for i, m in enumerate(behind)]
    first = spread(ways[:head], to, per_day, taken)
    if isinstance(first, Problem):
        return first
    used = dict(taken)
    used[first[-1]] = used.get(first[-1], 0) + head
    rest = spread(ways[head:], first[-1], per_day, used, weekday, None, wanted[head:])
    if isinstance(rest, Problem):
        return rest
    return {m.n: day for m, day in zip(behind, (*first, *rest), strict=True)}
