"""Chains of occurrences: the days each may lie on once those before and after it are thought of.

A chain is laid on its own first, as little late as can be and then as near its
usual days as can be (exact, by dynamic programming). Where it must be late, that
much lateness is allowed and no more. What does not go into the span any more
falls off its end.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from roomtasks.room.level_task import NEVER, Left, Span, Task

_LATE = 10**6  # a day late outweighs any days off the usual one
_NO_WAY = 10**15


@dataclass(frozen=True, slots=True)
class Ranged:
    """A task with the days it may take, the gaps that hold for it, and a first day."""

    task: Task
    days: tuple[int, ...]
    min_gap: int
    max_gap: int
    day: int
    late: int = 0


Chain = tuple[Ranged, ...]


@dataclass(frozen=True, slots=True)
class Chains:
    """Every chain that has a place, and the tasks that have none."""

    chains: tuple[Chain, ...]
    left: tuple[Left, ...]


def chains_of(span: Span) -> Chains:
    """Lay each chain on its own. Raises ValueError where ids or links make no chains."""
    found: list[Chain] = []
    left: list[Left] = []
    for tasks in _linked(span.tasks):
        run: list[Task] = []
        for task in tasks:
            if not task.days and task.pinned is None:
                left.append(Left(id=task.id, why="no-day", proven=True))
                found += [_laid(run)] if run else []
                run = []
            else:
                run.append(task)
        found += [_laid(run)] if run else []
    return Chains(tuple(chain for chain in found if chain), tuple(left))


def _linked(tasks: Sequence[Task]) -> list[list[Task]]:
    """The tasks in chains, by id of the first, whatever order they came in."""
    by_id = {task.id: task for task in tasks}
    if len(by_id) != len(tasks):
        raise ValueError("two tasks have one id")
    following: dict[str, Task] = {}
    for task in tasks:
        if not task.after:
            continue
        if task.after not in by_id or task.after in following:
            raise ValueError(f"{task.id} follows no task, or one that another follows")
        following[task.after] = task
    chains = []
    for head in sorted((task for task in tasks if not task.after), key=lambda task: task.id):
        chain = [head]
        while chain[-1].id in following:
            chain.append(following[chain[-1].id])
        chains.append(chain)
    if sum(map(len, chains)) != len(tasks):
        raise ValueError("tasks follow one another in a ring")
    return chains


def _laid(tasks: Sequence[Task]) -> Chain:
    """The chain on its best days; its last tasks fall off where they do not go in."""
    while tasks:
        days = _as_usual(tasks) or _best(tasks)
        if days is not None:
            return _ranged(tasks, days)
        tasks = tasks[:-1]
    return ()


def days_of(task: Task) -> tuple[int, ...]:
    """The days of a task, the pinned one only where it is pinned."""
    return task.days if task.pinned is None else (task.pinned,)


def _gaps(task: Task, before: Task | None) -> tuple[int, int]:
    """Least and most days after the one before; between two pins whatever they are."""
    if before is None:
        return 0, NEVER
    if task.pinned is not None and before.pinned is not None:
        return -NEVER, NEVER
    return task.min_gap, task.max_gap


def _pairs(tasks: Sequence[Task]) -> Iterable[tuple[Task | None, Task]]:
    return zip((None, *tasks), tasks, strict=False)


def _as_usual(tasks: Sequence[Task]) -> list[int] | None:
    """The usual days, where nothing is late or forbidden on them."""
    for before, task in _pairs(tasks):
        if task.usual > task.closes or task.usual not in days_of(task):
            return None
        if before is not None:
            least, most = _gaps(task, before)
            if not least <= task.usual - before.usual <= most:
                return None
    return [task.usual for task in tasks]


def _best(tasks: Sequence[Task]) -> list[int] | None:
    """The days with the least lateness by worth, then nearest the usual ones; None: no room."""
    costs: list[int] = []
    choices: list[list[int]] = []
    known: tuple[int, ...] = ()
    for before, task in _pairs(tasks):
        days = days_of(task)
        own = [_LATE * task.worth * max(0, d - task.closes) + abs(d - task.usual) for d in days]
        if before is None:
            costs, known = own, days
            choices.append([-1] * len(days))
            continue
        least, most = _gaps(task, before)
        came = [_from(known, costs, day, least, most, task.worth) for day in days]
        choices.append([at for at, _ in came])
        costs = [mine + cost if at >= 0 else _NO_WAY
                 for mine, (at, cost) in zip(own, came, strict=True)]  # fmt: skip
        known = days
    at = min(range(len(costs)), key=costs.__getitem__)
    if costs[at] >= _NO_WAY:
        return None
    found = []
    for task, choice in zip(reversed(tasks), reversed(choices), strict=True):
        found.append(days_of(task)[at])
        at = choice[at]
    return found[::-1]


def _from(
    days: Sequence[int], costs: Sequence[int], day: int, least: int, most: int, worth: int
) -> tuple[int, int]:
    """Where best to come from to `day`: place among the days before, and the cost; -1 is none."""
    end = bisect_right(days, day - least)
    best, cost = -1, _NO_WAY
    for at in range(end - 1, -1, -1):
        over = day - days[at] - most
        if over > 0 and _LATE * worth * over >= cost:
            break
        total = costs[at] + (_LATE * worth * over if over > 0 else 0)
        if total < cost:
            best, cost = at, total
    return best, cost


def _ranged(tasks: Sequence[Task], laid: Sequence[int]) -> Chain:
    """The days each task may take: lateness as much as it was laid with, hulls by the gaps."""
    gaps, options, late = [], [], []
    last = 0
    for (before, task), day in zip(_pairs(tasks), laid, strict=True):
        least, most = _gaps(task, before)
        over = 0 if before is None else max(0, day - last - most)
        late.append(max(over, day - task.closes, 0) if task.pinned is None else 0)
        more = task.catch_up if late[-1] else 0
        gaps.append((least, most + over + (more if over else 0)))
        closes = max(task.closes, day + more if day > task.closes else day)
        options.append([d for d in days_of(task) if d <= closes])
        last = day
    for n in range(1, len(tasks)):
        least, most = gaps[n]
        first, final = options[n - 1][0] + least, options[n - 1][-1] + most
        options[n] = [d for d in options[n] if first <= d <= final]
    for n in range(len(tasks) - 2, -1, -1):
        least, most = gaps[n + 1]
        first, final = options[n + 1][0] - most, options[n + 1][-1] - least
        options[n] = [d for d in options[n] if first <= d <= final]
    return tuple(
        Ranged(task, tuple(days), *gap, day, over)
        for task, days, gap, day, over in zip(tasks, options, gaps, laid, late, strict=True)
    )
