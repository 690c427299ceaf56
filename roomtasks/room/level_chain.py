"""Chains of occurrences: the days each may lie on once those before and after it are thought of.

A chain is laid on its own first, as little late as can be and then as near its
usual days as can be (exact, by dynamic programming). Where it must be late, that
much lateness is allowed and no more. What does not go into the span any more
falls off its end.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from roomtasks.room.level_task import NEVER, Left, Span, Task

_LATE = 10**6  # a day late outweighs any days off the usual one
_NO_WAY = 10**15
_MOVED = 100  # an occurrence that stays outweighs any days of another


@dataclass(frozen=True, slots=True)
class Ranged:
    """A task with the days it may take, and a first one of them.

    `lo` and `hi` are the first and last day it may take by the day of the one
    before it.
    """

    task: Task
    days: tuple[int, ...]
    lo: tuple[int, ...]
    hi: tuple[int, ...]
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
                found += [_laid(run, span.n_days)] if run else []
                run = []
            else:
                run.append(task)
        found += [_laid(run, span.n_days)] if run else []
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


def _laid(tasks: Sequence[Task], n_days: int) -> Chain:
    """The chain on its best days; its last tasks fall off where they do not go in."""
    windows = [_windows(task, before, n_days) for before, task in _pairs(tasks)]
    while tasks:
        days = _as_usual(tasks, windows) or _best(tasks, windows)
        if days is not None:
            return _ranged(tasks, windows, days)
        tasks = tasks[:-1]
    return ()


def days_of(task: Task) -> tuple[int, ...]:
    """The days of a task, the pinned one only where it is pinned."""
    return task.days if task.pinned is None else (task.pinned,)


Windows = tuple[tuple[int, int], ...]


def _windows(task: Task, before: Task | None, n_days: int) -> Windows:
    """First and last day in time by the day of the one before; between two pins any day."""
    if before is None or (task.pinned is not None and before.pinned is not None):
        return ((-NEVER, NEVER),) * n_days
    if task.windows:
        return task.windows
    return tuple((day + task.min_gap, day + task.max_gap) for day in range(n_days))


def _pairs(tasks: Sequence[Task]) -> Iterable[tuple[Task | None, Task]]:
    return zip((None, *tasks), tasks, strict=False)


def _as_usual(tasks: Sequence[Task], windows: Sequence[Windows]) -> list[int] | None:
    """The usual days, where nothing is late or forbidden on them."""
    for (before, task), window in zip(_pairs(tasks), windows, strict=False):
        if task.usual > task.closes or task.usual not in days_of(task):
            return None
        if before is not None:
            first, last = window[before.usual]
            if not first <= task.usual <= last:
                return None
    return [task.usual for task in tasks]


def _best(tasks: Sequence[Task], windows: Sequence[Windows]) -> list[int] | None:
    """The days with the least lateness by worth, then nearest the usual ones; None: no room."""
    costs: list[int] = []
    choices: list[list[int]] = []
    known: tuple[int, ...] = ()
    for (before, task), window in zip(_pairs(tasks), windows, strict=False):
        days = days_of(task)
        own = [_LATE * task.worth * max(0, d - task.closes) + abs(d - task.usual) for d in days]
        if before is None:
            costs, known = own, days
            choices.append([-1] * len(days))
            continue
        came = [_from(known, costs, day, window, task.worth) for day in days]
        choices.append([at for at, _ in came])
        costs = [mine + cost if at >= 0 else _NO_WAY
                 for mine, (at, cost) in zip(own, came, strict=True)]  # fmt: skip
        known = days
    if tasks[-1].goes_on and len(tasks) > 1:
        costs = [cost + _LATE * tasks[-1].worth * _unserved(windows[len(tasks) - 1], day)
                 for cost, day in zip(costs, known, strict=True)]  # fmt: skip
    at = min(range(len(costs)), key=costs.__getitem__)
    if costs[at] >= _NO_WAY:
        return None
    found = []
    for task, choice in zip(reversed(tasks), reversed(choices), strict=True):
        found.append(days_of(task)[at])
        at = choice[at]
    return found[::-1]


def _unserved(window: Windows, day: int) -> int:
    """Days at the end of the span by which the one behind a task on this day would be late."""
    return max(0, len(window) - 1 - window[day][1])


def _from(
    days: Sequence[int], costs: Sequence[int], day: int, window: Windows, worth: int
) -> tuple[int, int]:
    """Where best to come from to `day`: place among the days before, and the cost; -1 is none."""
    best, cost = -1, _NO_WAY
    for at in range(len(days) - 1, -1, -1):
        first, last = window[days[at]]
        if day < first:
            continue
        total = costs[at] + (_LATE * worth * (day - last) if day > last else 0)
        if total < cost:
            best, cost = at, total
    return best, cost


def _ranged(tasks: Sequence[Task], windows: Sequence[Windows], laid: Sequence[int]) -> Chain:
    """The days each task may take: lateness as much as it was laid with, then by each other."""
    found: list[Ranged] = []
    last = 0
    for (before, task), window, day in zip(_pairs(tasks), windows, laid, strict=False):
        over = 0 if before is None else max(0, day - window[last][1])
        late = max(over, day - task.closes, 0) if task.pinned is None else 0
        more = task.catch_up if late else 0
        closes = max(task.closes, day + more if day > task.closes else day)
        found.append(
            Ranged(
                task, tuple(d for d in days_of(task) if d <= closes),
                tuple(lo for lo, _ in window),
                tuple(hi + (over + more if over else 0) for _, hi in window), day, late,
            )
        )  # fmt: skip
        last = day
    if tasks[-1].goes_on and len(tasks) > 1:
        end, window = found[-1], windows[len(tasks) - 1]
        most = _unserved(window, end.day)
        found[-1] = replace(
            end, days=tuple(d for d in end.days if _unserved(window, d) <= most)
        )  # fmt: skip
    return _reached(found)


def _reached(chain: list[Ranged]) -> Chain:
    """The days that some day of the one before, and of the one behind, leads to."""
    for n in range(1, len(chain)):
        before, one = chain[n - 1].days, chain[n]
        first, last = min(one.lo[d] for d in before), max(one.hi[d] for d in before)
        chain[n] = replace(one, days=tuple(d for d in one.days if first <= d <= last))
    for n in range(len(chain) - 2, -1, -1):
        behind, one = chain[n + 1], chain[n]
        first, last = behind.days[0], behind.days[-1]
        inside = tuple(d for d in one.days if behind.lo[d] <= last and behind.hi[d] >= first)
        chain[n] = replace(one, days=inside)
    return tuple(chain)


def nearest(chain: Chain, wanted: Mapping[str, int]) -> list[int]:
    """Days for a chain as near as can be to the wanted ones; where none is wanted, to its own."""
    costs: list[int] = []
    choices: list[list[int]] = []
    for n, one in enumerate(chain):
        near = wanted.get(one.task.id, one.day)
        own = [_MOVED * (day != near) + abs(day - near) for day in one.days]
        if n:
            known = list(zip(chain[n - 1].days, costs, strict=True))
            came = [
                min(
                    ((cost, at) for at, (before, cost) in enumerate(known)
                     if one.lo[before] <= day <= one.hi[before]),
                    default=(_NO_WAY, 0),
                )
                for day in one.days
            ]  # fmt: skip
            choices.append([at for _, at in came])
            own = [mine + cost for mine, (cost, _) in zip(own, came, strict=True)]
        costs = own
    at = min(range(len(costs)), key=costs.__getitem__)
    found = [chain[-1].days[at]]
    for one, choice in zip(reversed(chain[:-1]), reversed(choices), strict=True):
        at = choice[at]
        found.append(one.days[at])
    return found[::-1]
