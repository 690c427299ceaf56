"""Puzzles of moves made at random, a search that tries everything, and a solver's opinion."""

from collections import deque
from random import Random

from ortools.sat.python import cp_model

from roomtasks.room.chain import OUT, TUB, Puzzle


def made(
    rng: Random, tanks: int, groups: int, *, tub: bool = False, load: bool = False, goals: int = 1,
    fits: float = 0.5, apart: float = 0.8, out: float = 0.1,
) -> Puzzle:  # fmt: skip
    """A puzzle of this size; with `load`, several groups may begin in one tank."""
    if load:
        at = tuple(rng.randrange(tanks) for _ in range(groups))
    else:
        at = tuple(rng.sample(range(tanks), groups))
    homes = [
        {tank for tank in range(tanks) if rng.random() < fits} | {at[group]}
        for group in range(groups)
    ]
    wanted = []
    for group in rng.sample(range(groups), goals):
        others = [tank for tank in range(tanks) if tank != at[group]]
        goal = frozenset(rng.sample(others, rng.randint(1, max(1, min(3, len(others))))))
        homes[group] |= goal
        wanted.append((group, goal))
    foes = frozenset(
        (one, other)
        for one in range(groups)
        for other in range(one + 1, groups)
        if rng.random() < apart and at[one] != at[other]
    )
    shares = tuple(
        tuple(rng.choice([0.3, 0.5, 0.8, 1.0]) for _ in range(tanks)) for _ in range(groups)
    )
    return Puzzle(
        tanks=tanks, at=at, fits=tuple(map(frozenset, homes)), apart=foes,
        load=shares if load else (), goals=tuple(wanted),
        out=frozenset(group for group in range(groups) if rng.random() < out),
        tub=frozenset(group for group in range(groups) if tub and rng.random() < 0.7),
        tub_between=rng.choice([1, 2]) if tub else 0,
    )  # fmt: skip


def fewest(puzzle: Puzzle) -> int | None:
    """The length of the shortest chain, by trying every state there is; None where there is none.

    Written from the rules alone, with nothing of the search it is held against.
    """
    foes = puzzle.apart | {(b, a) for a, b in puzzle.apart}
    start = (puzzle.at, 0)
    seen, queue = {start: 0}, deque([start])
    while queue:
        at, used = queue.popleft()
        if TUB not in at and all(at[group] in goal for group, goal in puzzle.goals):
            return seen[(at, used)]
        for group in range(len(at)):
            for tank in (*puzzle.fits[group], OUT, TUB):
                after = _after(puzzle, foes, at, used, group, tank)
                if after is not None and after not in seen:
                    seen[after] = seen[(at, used)] + 1
                    queue.append(after)
    return None


def _after(
    puzzle: Puzzle, foes: frozenset[tuple[int, int]], at: tuple[int, ...], used: int, group: int,
    tank: int,
) -> tuple[tuple[int, ...], int] | None:  # fmt: skip
    in_tub = [other for other, place in enumerate(at) if place == TUB]
    if at[group] in (OUT, tank) or (in_tub and used >= puzzle.tub_between and group not in in_tub):
        return None
    if (tank == OUT and group not in puzzle.out) or (
        tank == TUB and (group not in puzzle.tub or in_tub)
    ):
        return None
    beside = [other for other, place in enumerate(at) if place == tank] if tank >= 0 else []
    if any((group, other) in foes for other in beside):
        return None
    if beside and puzzle.load:
        full = sum(puzzle.load[other][tank] for other in (*beside, group))
        if full > 1 + 1e-9:
            return None
    moved = (*at[:group], tank, *at[group + 1 :])
    return moved, used + 1 if TUB in moved and tank != TUB else 0


def solver_says(puzzle: Puzzle, moves: int, seconds: float = 60.0) -> bool | None:
    """Whether a chain of at most so many moves exists, by CP-SAT; None where it cannot tell.

    For puzzles without a tub and without loads: where each group is before and
    after every move, at most one of them changing.
    """
    model = cp_model.CpModel()
    groups, outside = range(len(puzzle.at)), puzzle.tanks
    where = {
        (group, step, tank): model.new_bool_var("")
        for group in groups
        for step in range(moves + 1)
        for tank in range(puzzle.tanks + 1)
    }
    for group in groups:
        allowed = puzzle.fits[group] | ({outside} if group in puzzle.out else set())
        model.add(where[group, 0, puzzle.at[group]] == 1)
        for step in range(moves + 1):
            model.add_exactly_one(where[group, step, tank] for tank in range(outside + 1))
            for tank in range(outside + 1):
                if step and tank not in allowed and tank != puzzle.at[group]:
                    model.add(where[group, step, tank] == 0)
    for step in range(1, moves + 1):
        changed = []
        for group in groups:
            moved = model.new_bool_var("")
            changed.append(moved)
            for tank in range(outside + 1):
                before, after = where[group, step - 1, tank], where[group, step, tank]
                model.add(after <= before + moved)
                if tank == outside:
                    model.add(before <= after)
        model.add_at_most_one(changed)
        for one, other in puzzle.apart:
            for tank in range(outside):
                model.add_at_most_one([where[one, step, tank], where[other, step, tank]])
    for group, goal in puzzle.goals:
        model.add_exactly_one(where[group, moves, tank] for tank in goal)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if status == cp_model.INFEASIBLE else None
