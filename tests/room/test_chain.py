"""Chains of moves: the shortest, held against trying everything and against a solver.

ROOMTASKS_CHAINS=2000 makes so many small rooms; under pytest there are fewer.
"""

import os
from random import Random

import pytest

from roomtasks.room.chain import OUT, TUB, Move, Puzzle, Rules, State, broken
from roomtasks.room.chain_search import least_moves, one_by_one, shortest
from tests.room.chain_puzzles import fewest, made, solver_says

MANY = int(os.environ.get("ROOMTASKS_CHAINS", "600"))


def alone(*at: int, tanks: int, goals: tuple[tuple[int, frozenset[int]], ...], **facts: object):  # type: ignore[no-untyped-def]
    everywhere = frozenset(range(tanks))
    groups = range(len(at))
    base: dict[str, object] = {
        "fits": tuple(everywhere for _ in groups),
        "apart": frozenset((a, b) for a in groups for b in groups if a < b),
    }
    return Puzzle(tanks=tanks, at=at, goals=goals, **{**base, **facts})  # type: ignore[arg-type]


def test_sold_out_of_the_far_end_then_each_into_the_place_before() -> None:
    """Sold fish leave tank 2, those of 1 go to 2, those of 0 to 1: three links."""
    fits = (frozenset({0, 1}), frozenset({1, 2}), frozenset({2}))
    puzzle = alone(0, 1, 2, tanks=3, goals=((0, frozenset({1})),), fits=fits, out=frozenset({2}))
    found = shortest(puzzle)
    assert found.proven
    assert found.moves == (Move(2, 2, OUT), Move(1, 1, 2), Move(0, 0, 1))


def test_two_that_change_places_need_the_tub_or_are_refused() -> None:
    goals = ((0, frozenset({1})), (1, frozenset({0})))
    refused = shortest(alone(0, 1, tanks=2, goals=goals))
    assert (refused.moves, refused.proven) == (None, True)
    with_tub = alone(0, 1, tanks=2, goals=goals, tub=frozenset({0}), tub_between=1)
    found = shortest(with_tub)
    assert found.moves == (Move(0, 0, TUB), Move(1, 1, 0), Move(0, TUB, 1))
    free = shortest(alone(0, 1, tanks=3, goals=goals))
    assert free.moves is not None
    assert len(free.moves) == 3


def test_a_circle_of_three_needs_longer_in_the_tub() -> None:
    goals = tuple((group, frozenset({(group + 1) % 3})) for group in range(3))
    every = frozenset(range(3))
    short = shortest(alone(0, 1, 2, tanks=3, goals=goals, tub=every, tub_between=1))
    assert short.moves is None or len(short.moves) > 4
    found = shortest(alone(0, 1, 2, tanks=3, goals=goals, tub=every, tub_between=2))
    assert found.moves is not None
    assert len(found.moves) == 4
    assert found.moves[-1].from_tank == TUB


def test_nothing_to_do_is_no_move() -> None:
    puzzle = alone(0, tanks=2, goals=((0, frozenset({0})),))
    assert shortest(puzzle).moves == ()


def test_small_rooms_against_trying_everything() -> None:
    rng = Random(20270301)
    lengths: dict[int | None, int] = {}
    for _ in range(MANY):
        load = rng.random() < 0.4
        tanks = rng.randint(2, 5)
        groups = rng.randint(1, 5 if load else tanks)
        puzzle = made(
            rng, tanks, groups, tub=rng.random() < 0.5, load=load,
            goals=rng.randint(1, min(2, groups)), fits=rng.choice([0.2, 0.5, 0.8]),
            out=rng.choice([0.0, 0.2]),
        )  # fmt: skip
        expected, found = fewest(puzzle), shortest(puzzle)
        length = None if found.moves is None else len(found.moves)
        assert (length, found.proven) == (expected, True), puzzle
        assert found.moves is None or broken(puzzle, found.moves) == "", puzzle
        bound = least_moves(Rules(puzzle), State(puzzle.at))
        assert expected is None or bound <= expected, puzzle
        lengths[expected] = lengths.get(expected, 0) + 1
    assert {None, 1, 2, 3} <= lengths.keys()


@pytest.mark.parametrize("seed", range(8))
def test_larger_rooms_against_a_solver(seed: int) -> None:
    tanks = 14
    puzzle = made(Random(seed), tanks, tanks - 1, goals=1, fits=3 / tanks, apart=0.97, out=0.05)
    found = shortest(puzzle)
    if found.moves is None:
        assert found.proven
        assert solver_says(puzzle, 6) is False
        return
    assert broken(puzzle, found.moves) == ""
    assert solver_says(puzzle, len(found.moves)) is True
    assert solver_says(puzzle, len(found.moves) - 1) is False


@pytest.mark.parametrize("seed", range(6))
def test_a_room_of_sixty_tanks_is_found_exactly(seed: int) -> None:
    puzzle = made(Random(seed), 60, 58, goals=1, fits=6 / 60, apart=0.97, out=0.02)
    found = shortest(puzzle)
    assert found.proven
    assert found.moves is not None
    assert broken(puzzle, found.moves) == ""


def test_a_chain_goal_by_goal_keeps_the_rules() -> None:
    held = 0
    for seed in range(20):
        puzzle = made(Random(seed), 12, 9, goals=3, fits=0.4, apart=0.9)
        found = one_by_one(puzzle, 5000)
        if found.moves is not None:
            held += 1
            assert broken(puzzle, found.moves) == ""
    assert held > 5


def test_a_search_ends_when_it_has_looked_at_so_many_states() -> None:
    puzzle = made(Random(4), 60, 58, goals=3, fits=3 / 60, apart=0.97, out=0.02)
    found = shortest(puzzle, states=50)
    assert found.states <= 50
    assert found.proven == (found.moves is not None)


def test_what_a_chain_breaks_is_said() -> None:
    puzzle = alone(0, 1, tanks=3, goals=((0, frozenset({1})),))
    assert broken(puzzle, (Move(0, 0, 1),)) == "move 1 is not allowed"
    assert broken(puzzle, (Move(0, 2, 1),)) == "move 1: the group is not there"
    assert broken(puzzle, (Move(1, 1, 2),)) == "the goal is not reached"
