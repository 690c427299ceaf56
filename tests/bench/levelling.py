"""How near levelled work comes to the best there is, on generated rooms, and how long it takes.

    python -m tests.bench.levelling [--rooms 20] [--jobs 200] [--days 28] [--ratio 1.2]
                                    [--setups] [--seconds 60] [--moves 60]

One row a room: the busiest day as given, levelled, its bound, and what an exact
solver finds and proves within so many seconds (0: not asked); litres over; CPU
seconds of one core; occurrences moved off their usual day, and the fewest days off
them that the solver finds with days no longer than ours (--moves, else -); and how
many others move in the next fortnight when one job is marked done, with the old days
given and without (mean of three jobs). Nothing here is a test.
"""

import argparse
import sys
import time
from dataclasses import replace

from roomtasks.room.level import level
from roomtasks.room.level_task import Placement, Span, Task
from tests.room.level_measure import loads
from tests.room.level_rooms import generated, with_setups
from tests.room.level_solver import fewest_off, solved

HEAD = ("room", "tasks", "given", "ours", "bound", "solver", "proven", "ratio", "litres", "least",
        "CPU s", "moved", "off", "fewest", "kept", "anew")  # fmt: skip
NEXT_DAYS = 14


def say(*cells: object) -> None:
    sys.stdout.write("".join(f"{cell!s:>9}" for cell in cells) + "\n")


def moved_after(span: Span, placed: Placement, keep: bool) -> float:
    """Others that leave their day in the next fourteen once one task is done as planned.

    The mean of the first, the eighth and the 24th task that could be done, with the
    old days given or not.
    """
    movable = [task for task in span.tasks if len(task.days) > 1 and not task.after]
    movable.sort(key=lambda task: (placed.days[task.id], task.id))
    chosen = movable[0:24:7] if len(movable) < 24 else [movable[n] for n in (0, 7, 23)]
    return sum(_moved(span, placed, done, keep) for done in chosen) / len(chosen)


def _moved(span: Span, placed: Placement, done: Task, keep: bool) -> int:
    day = placed.days[done.id]
    tasks = tuple(
        replace(task, days=(day,), closes=day, pinned=day) if task is done else task
        for task in span.tasks
    )
    again = level(replace(span, tasks=tasks), placed.days if keep else {})
    return sum(
        again.days[name] != day
        for name, day in placed.days.items()
        if day < NEXT_DAYS and name != done.id
    )


def days_off(span: Span, placed: Placement) -> int:
    """Days off the usual ones, over all tasks."""
    return sum(abs(placed.days[task.id] - task.usual) for task in span.tasks)


def measured(seed: int, asked: argparse.Namespace) -> tuple[float, float]:
    """Print one room; its ratio to the best known and its seconds."""
    span = generated(seed, asked.jobs, asked.days, litres_ratio=asked.ratio)
    if asked.setups:
        span = with_setups(span, seed)
    began = time.process_time()
    placed = level(span)
    took = time.process_time() - began
    exact = solved(span, asked.seconds, asked.workers) if asked.seconds else None
    best = placed.bounds.busiest if exact is None else exact.busiest_bound
    given = max(
        load for day, load in enumerate(loads(span, {t.id: t.usual for t in span.tasks}))
        if span.counted(day)
    )  # fmt: skip
    say(
        seed, len(span.tasks), given, placed.busiest, placed.bounds.busiest,
        exact.busiest if exact else "-", ("yes" if exact.proven else "no") if exact else "-",
        f"{placed.busiest / best:.4f}", sum(placed.supply_over.values()),
        exact.supply_over if exact else sum(placed.bounds.supplies.values()), f"{took:.2f}",
        placed.moved, days_off(span, placed), _fewest(span, placed, asked),
        f"{moved_after(span, placed, True):.0f}", f"{moved_after(span, placed, False):.0f}",
    )  # fmt: skip
    return placed.busiest / best, took


def _fewest(span: Span, placed: Placement, asked: argparse.Namespace) -> object:
    """Fewest days off that the solver finds with days no longer than these, as found>=bound."""
    if not asked.moves:
        return "-"
    most = sum(placed.supply_over.values()), placed.over, placed.busiest
    found = fewest_off(span, most, asked.moves, asked.workers)
    return "-" if found is None else f"{found[0]}>={found[1]}"


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--rooms", type=int, default=20)
    parser.add_argument("--jobs", type=int, default=200)
    parser.add_argument("--days", type=int, default=28)
    parser.add_argument("--ratio", type=float, default=1.2)
    parser.add_argument("--setups", action="store_true")
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--moves", type=float, default=0.0)
    parser.add_argument("--workers", type=int, default=1)
    asked = parser.parse_args()
    say(*HEAD)
    rows = [measured(seed, asked) for seed in range(asked.rooms)]
    worst, slowest = max(ratio for ratio, _ in rows), max(took for _, took in rows)
    mean = sum(ratio for ratio, _ in rows) / len(rows)
    sys.stdout.write(f"worst ratio {worst:.4f}, mean {mean:.4f}, slowest {slowest:.2f} s\n")


if __name__ == "__main__":
    main()
