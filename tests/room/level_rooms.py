"""Generated work of a room for levelling: a span of tasks out of a seed. Invented, no real room.

Strict periods of 1 to 28 days with a window that grows with the period, minutes
in whole ones (rarer jobs longer), a quarter of the jobs with water, most begun
on any day and the rest on a weekend, two days away.
"""

import random
from dataclasses import replace

from roomtasks.room.level_task import NEVER, Clash, Shared, Span, Task

PERIODS = (1, 2, 3, 7, 10, 14, 28)
SLACK = {1: 0, 2: 0, 3: 1, 7: 1, 10: 2, 14: 3, 28: 7}
NO_LIMIT = 100_000


def generated(
    seed: int, jobs: int = 200, days: int = 28, away: int = 2, litres_ratio: float = 1.2
) -> Span:
    """Work of so many jobs, each occurrence in its window and at its gap from the one before.

    `litres_ratio` sets the litres of a day against the mean over the open days.
    """
    rng = random.Random(seed)
    gone = set(rng.sample(range(days), away))
    tasks: list[Task] = []
    for job in range(jobs):
        tasks += _job(rng, f"j{job:03d}", days, gone)
    total = sum(taken for task in tasks for _, taken in task.uses)
    most = int(litres_ratio * total / (days - away))
    return Span(
        tasks=tuple(tasks),
        limits=(NO_LIMIT,) * days,
        counts=tuple(day not in gone for day in range(days)),
        supplies={"litres": (most,) * days},
    )


def _job(rng: random.Random, name: str, days: int, gone: set[int]) -> list[Task]:
    """One job's occurrences; what can lie on days away only is not there at all."""
    period = rng.choice(PERIODS)
    slack = SLACK[period]
    size = min(60, max(2, round(rng.expovariate(1 / (3.5 + 0.45 * period)))))
    litres = rng.choice((0, 0, 0, 1)) * rng.randint(1, 100)
    phase = rng.randrange(period) if rng.random() < 0.75 else min(period - 1, rng.choice((0, 6)))
    tasks: list[Task] = []
    for n, day in enumerate(range(phase, days, period)):
        window = tuple(
            d for d in range(max(0, day - slack), min(days - 1, day + slack) + 1) if d not in gone
        )
        if not window or (slack == 0 and day in gone):
            continue
        before = tasks[-1].id if tasks and tasks[-1].id == f"{name}-{n - 1:02d}" else ""
        tasks.append(
            Task(
                id=f"{name}-{n:02d}", size=size, days=window, usual=day, closes=window[-1],
                uses=(("litres", litres),) if litres else (), after=before,
                min_gap=period - slack, max_gap=period + slack,
            )
        )  # fmt: skip
    return tasks


def with_setups(span: Span, seed: int, kinds: int = 6, cost: int = 5) -> Span:
    """The span with every job of one of so many kinds, whose set-up is paid once a day."""
    rng = random.Random(seed)
    kind: dict[str, str] = {}
    tasks = []
    for task in span.tasks:
        job = task.id.split("-")[0]
        share = kind.setdefault(job, f"k{rng.randrange(kinds)}")
        tasks.append(replace(task, shares=(share,)))
    shared = {f"k{n}": Shared(cost=cost) for n in range(kinds)}
    return replace(span, tasks=tuple(tasks), shared=shared)


def with_limits(span: Span, weekday: int, weekend: int) -> Span:
    """The span with minutes on each day, day 0 a Monday."""
    limits = tuple(weekend if day % 7 > 4 else weekday for day in range(span.n_days))
    return replace(span, limits=limits)


def small(seed: int) -> Span:
    """A few tasks over a few days with everything there is, for a search of all placements.

    Days and gaps are laid round days drawn first, so that there is a placement;
    whether litres, minutes and pairs can be kept is left to chance.
    """
    rng = random.Random(seed)
    days, count = rng.randint(3, 7), rng.randint(2, 7)
    gone = {rng.randrange(days)} if rng.random() < 0.3 else set()
    inside = [day for day in range(days) if day not in gone]
    tasks: list[Task] = []
    drawn: list[int] = []
    for n in range(count):
        day = rng.choice(inside)
        chained = bool(drawn) and rng.random() < 0.4 and drawn[-1] < day
        slack = rng.randint(0, 2)
        gap = day - drawn[-1] if chained else 1
        options = tuple(d for d in inside if abs(d - day) <= rng.randint(0, 3) or d == day)
        tasks.append(
            Task(
                id=f"t{n}", size=rng.randint(1, 9), days=options, usual=rng.choice(options),
                closes=options[-1],
                uses=(("litres", rng.randint(1, 9)),) if rng.random() < 0.4 else (),
                shares=(f"k{rng.randrange(2)}",) if rng.random() < 0.5 else (),
                after=tasks[-1].id if chained else "", min_gap=max(1, gap - slack),
                max_gap=gap + slack if chained else NEVER,
            )
        )  # fmt: skip
        drawn.append(day)
    return Span(
        tasks=tuple(tasks),
        limits=tuple(rng.randint(4, 20) for _ in range(days)),
        counts=tuple(day not in gone for day in range(days)),
        shared={"k0": Shared(cost=rng.randint(0, 4)), "k1": Shared(cost=2)},
        supplies={"litres": tuple(rng.randint(4, 16) for _ in range(days))},
        clashes=_some_clashes(rng, [task.id for task in tasks]),
    )


def _some_clashes(rng: random.Random, ids: list[str]) -> tuple[Clash, ...]:
    return tuple(
        Clash(first=a, second=b, days=rng.randint(1, 2), in_order=rng.random() < 0.4)
        for a, b in zip(ids, ids[2:], strict=False)
        if rng.random() < 0.25
    )
