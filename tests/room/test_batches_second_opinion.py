"""Batches against trying everything, and against a solver that knows nothing of them."""

from collections.abc import Iterator, Sequence

import pytest
from ortools.sat.python import cp_model

from roomtasks.room.batches import split_any_order, split_walking
from roomtasks.room.water_plan import Split
from tests.room.made_draws import Case, a_case, falling, rounds_of

Part = tuple[int, str]  # litres, and the reservoir it must come from, "" for any
WALKS, PACKINGS = 600, 400
GROUP = 50


def split_of(found: object) -> Split:
    assert isinstance(found, Split), found
    return found


def cut(litres: int, full: int) -> list[int]:
    """A draw larger than a fill as full fills and a rest."""
    many = (litres - 1) // full
    return [full] * many + [litres - many * full]


def most_of(case: Case) -> dict[str, int]:
    return {f"R{n}": size for n, size in enumerate(case.most, 1)}


def walks_of(case: Case) -> Iterator[list[Part]]:
    """Every order of the pieces: the rest of a large draw comes first or last."""
    most = most_of(case)
    walks: list[list[Part]] = [[]]
    for litres, name in zip(case.litres, case.names, strict=True):
        parts = cut(litres, most[name] if name else max(most.values()))
        orders = [parts] if len(parts) == 1 else [parts, [parts[-1], *parts[:-1]]]
        walks = [[*walk, *((each, name) for each in order)] for walk in walks for order in orders]
    yield from walks


Best = tuple[int, int, list[int]]


def by_trying_everything(case: Case) -> Best:
    """Rounds, fills and litres of each, falling: of every way to part every walk."""
    most = most_of(case)
    best: Best = (len(case.litres) * 9, 0, [])

    def go(walk: Sequence[Part], loads: list[int], codes: list[str]) -> None:
        nonlocal best
        if not walk:
            best = min(best, (rounds_of(codes), len(loads), sorted(loads, reverse=True)))
            return
        if rounds_of(codes) > best[0]:
            return
        for many in range(1, len(walk) + 1):
            load = sum(litres for litres, _ in walk[:many])
            named = {name for _, name in walk[:many] if name}
            for code, size in most.items():
                if load <= size and named <= {code}:
                    go(walk[many:], [*loads, load], [*codes, code])

    for walk in walks_of(case):
        go(walk, [], [])
    return best


@pytest.mark.parametrize("start", range(0, WALKS, GROUP))
def test_walks_against_trying_everything(start: int) -> None:
    for seed in range(start, start + GROUP):
        case = a_case(seed, 7, 3, named="one" if seed % 3 == 0 else "none")
        found = split_of(split_walking(case.draws, case.vessels))
        rounds, fills, loads = by_trying_everything(case)
        assert len(found.fills) == fills, case
        assert rounds_of(found.reservoirs) == rounds, case
        assert falling(found) == loads, case
        assert found.proven


def solver_finds(case: Case, fills: int) -> bool:
    """Whether pieces go into so many fills in any order, each of a reservoir of its choice."""
    most = most_of(case)
    parts = [
        (litres, name)
        for whole, name in zip(case.litres, case.names, strict=True)
        for litres in cut(whole, most[name] if name else max(most.values()))
    ]
    model = cp_model.CpModel()
    used = [
        {code: model.new_bool_var(f"fill {n} of {code}") for code in most} for n in range(fills)
    ]
    goes = [[model.new_bool_var(f"{p} into {n}") for n in range(fills)] for p in range(len(parts))]
    for p, (_, name) in enumerate(parts):
        model.add_exactly_one(goes[p])
        if name:
            for n in range(fills):
                model.add_implication(goes[p][n], used[n][name])
    for n in range(fills):
        model.add_at_most_one(used[n].values())
        room = sum(size * used[n][code] for code, size in most.items())
        model.add(sum(litres * goes[p][n] for p, (litres, _) in enumerate(parts)) <= room)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    answer = solver.solve(model)
    assert answer in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return bool(answer == cp_model.OPTIMAL)


@pytest.mark.parametrize("start", range(0, PACKINGS, GROUP))
def test_any_order_against_a_solver(start: int) -> None:
    for seed in range(start, start + GROUP):
        case = a_case(seed, 10, 4, named=("none", "one", "all")[seed % 3])
        found = split_of(split_any_order(case.draws, case.vessels))
        fewest = len(found.fills)
        assert (found.lower_bound, found.proven) == (fewest, True), case
        assert solver_finds(case, fewest), case
        assert not solver_finds(case, fewest - 1), case
