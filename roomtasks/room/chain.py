"""Chains of moves as a puzzle of its own: tanks, groups, who may be where, who must not meet.

Plain numbers, so that the search can be held against others: groups and tanks
are counted from 0. A move takes one whole group to one tank, or out of the
room. Lives here: the values and the rules of one step. Does not live here: the
search (`chain_search`), and how a room is put into this form (`chain_room`).
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

OUT, TUB = -1, -2
FULL = 1.0 + 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Puzzle:
    """What a chain is looked for in.

    at[g]: the tank of each group. fits[g]: tanks it may live in by itself.
    apart: pairs that must not meet in one tank. load[g][t]: the share of tank t
    that group g takes up. goals[g]: tanks a group is to end in. out: groups that
    may leave the room. tub: groups the holding tub can take; `tub_between` is
    how many other moves at the most lie between into it and out of it. `parted`:
    groups that came together in the chain may be parted again in it; `first` is then
    where each group was before it, `at` if blank.
    """

    tanks: int
    at: tuple[int, ...]
    fits: tuple[frozenset[int], ...]
    apart: frozenset[tuple[int, int]] = frozenset()
    load: tuple[tuple[float, ...], ...] = ()
    goals: tuple[tuple[int, frozenset[int]], ...] = ()
    out: frozenset[int] = frozenset()
    tub: frozenset[int] = frozenset()
    tub_between: int = 0
    parted: bool = True
    first: tuple[int, ...] = ()

    def share(self, group: int, tank: int) -> float:
        """The share of a tank that a group takes up."""
        return self.load[group][tank] if self.load else 0.0


@dataclass(frozen=True, slots=True)
class Move:
    """One group goes to a tank, into the tub (TUB) or out of the room (OUT)."""

    group: int
    from_tank: int
    to_tank: int


@dataclass(frozen=True, slots=True)
class State:
    """Where every group is, and how many moves the tub has been in use for."""

    at: tuple[int, ...]
    tub_moves: int = 0

    @property
    def tubbed(self) -> int | None:
        """The group in the tub."""
        return self.at.index(TUB) if TUB in self.at else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The outcome of a search: moves in order, or None; whether that was proven shortest.

    `proven` with no moves: no chain of any length can be. `states` were looked at.
    """

    moves: tuple[Move, ...] | None
    proven: bool
    states: int
    bound: int = 0


@dataclass(frozen=True)
class Rules:
    """A puzzle with its look-ups as bit sets: bit g of a mask is group g."""

    puzzle: Puzzle
    foes: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        foes = [0] * len(self.puzzle.at)
        for one, other in self.puzzle.apart:
            foes[one] |= 1 << other
            foes[other] |= 1 << one
        object.__setattr__(self, "foes", tuple(foes))

    def occupied(self, at: tuple[int, ...]) -> list[int]:
        """The mask of groups in each tank."""
        found = [0] * self.puzzle.tanks
        for group, tank in enumerate(at):
            if tank >= 0:
                found[tank] |= 1 << group
        return found

    def filled(self, at: tuple[int, ...]) -> list[float]:
        """The share of each tank that is taken up."""
        found = [0.0] * self.puzzle.tanks
        if self.puzzle.load:
            for group, tank in enumerate(at):
                if tank >= 0:
                    found[tank] += self.puzzle.load[group][tank]
        return found

    def may_enter(self, group: int, tank: int, mask: int, filled: float) -> bool:
        """Whether a group may come to a tank with these in it."""
        if mask & self.foes[group]:
            return False
        return not mask or filled + self.puzzle.share(group, tank) <= FULL

    def may_leave(self, group: int, tank: int, mask: int) -> bool:
        """Whether a group can be netted out: not from among fish the chain put beside it."""
        if self.puzzle.parted or mask == 1 << group:
            return True
        first = self.puzzle.first or self.puzzle.at
        beside = [one for one in range(len(first)) if one != group and mask >> one & 1]
        return first[group] == tank and all(first[one] == tank for one in beside)

    def home(self, at: tuple[int, ...]) -> bool:
        """Whether every group that has a goal is in one of its tanks, and the tub is free."""
        return TUB not in at and all(at[group] in goal for group, goal in self.puzzle.goals)

    def moves(self, state: State) -> Iterator[tuple[Move, State]]:
        """Every move there is, with the state it leads to."""
        puzzle, tubbed = self.puzzle, state.tubbed
        mask, filled = self.occupied(state.at), self.filled(state.at)
        if tubbed is not None and state.tub_moves >= puzzle.tub_between:
            movers = [tubbed]
        else:
            movers = [g for g, tank in enumerate(state.at) if tank != OUT]
        for group in movers:
            here = state.at[group]
            if here >= 0 and not self.may_leave(group, here, mask[here]):
                continue
            for tank in sorted(puzzle.fits[group]):
                if tank != here and self.may_enter(group, tank, mask[tank], filled[tank]):
                    yield self.step(state, group, tank)
            if group in puzzle.out:
                yield self.step(state, group, OUT)
            if group in puzzle.tub and tubbed is None:
                yield self.step(state, group, TUB)

    def step(self, state: State, group: int, to: int) -> tuple[Move, State]:
        """One move and the state after it."""
        here = state.at[group]
        at = (*state.at[:group], to, *state.at[group + 1 :])
        used = 0
        if TUB in at:
            used = 0 if to == TUB else state.tub_moves + 1
        return Move(group, here, to), State(at, used)


def broken(puzzle: Puzzle, moves: tuple[Move, ...]) -> str:
    """What a chain breaks, in words, or "": for whoever checks one."""
    rules, state = Rules(puzzle), State(puzzle.at)
    for number, move in enumerate(moves, 1):
        if state.at[move.group] != move.from_tank:
            return f"move {number}: the group is not there"
        following = next((after for known, after in rules.moves(state) if known == move), None)
        if following is None:
            return f"move {number} is not allowed"
        state = following
    return "" if rules.home(state.at) else "the goal is not reached"
