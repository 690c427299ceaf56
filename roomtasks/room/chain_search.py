"""The shortest chain of moves, found exactly: depth by depth, by a bound that never says too much.

The bound: a group can only come to a tank once each foe of it has left, so the
least number of moves until a group leaves its tank is one more than the most
of its foes' at the best tank. That is worked out over all groups at once,
level by level. A depth is searched whole before the next, so the first chain
found is the shortest. Counted states, no clock: the same puzzle, the same answer.
"""

from dataclasses import dataclass, field, replace

from roomtasks.room.chain import OUT, TUB, Found, Move, Puzzle, Rules, State

NEVER = 10**6
MOST_STATES = 200_000
MOST_MOVES = 24


@dataclass
class _Search:
    """One search under way: states it may still look at, and what is known of each."""

    rules: Rules
    left: int
    tried: dict[State, int] = field(default_factory=dict)
    bounds: dict[State, int] = field(default_factory=dict)

    def bound(self, state: State) -> int:
        """At least so many moves from here."""
        known = self.bounds.get(state)
        if known is None:
            known = self.bounds[state] = least_moves(self.rules, state)
        return known


def shortest(puzzle: Puzzle, states: int = MOST_STATES, most_moves: int = MOST_MOVES) -> Found:
    """The shortest chain that brings every group with a goal to it.

    `states` and `most_moves` end the search; an answer with moves and `proven`
    is the shortest there is, one without moves and `proven` says there is none.
    """
    rules = Rules(puzzle)
    search = _Search(rules, states)
    start = State(puzzle.at)
    depth = search.bound(start)
    while depth <= most_moves:
        search.tried.clear()
        chain, following = _within(search, start, depth, NEVER)
        if chain is not None:
            return Found(moves=tuple(chain), proven=True, states=states - search.left, bound=depth)
        if search.left <= 0:
            return Found(moves=None, proven=False, states=states, bound=depth)
        if following >= NEVER:
            return Found(moves=None, proven=True, states=states - search.left, bound=depth)
        depth = following
    seen = _reached(rules, start, search.left)
    return Found(moves=None, proven=seen is not None, states=states - search.left + (seen or 0),
                 bound=min(depth, most_moves))  # fmt: skip


def one_by_one(puzzle: Puzzle, states: int = MOST_STATES) -> Found:
    """A chain that brings the goals about one after the other: short, not proven shortest.

    For puzzles of many goals whose shortest chain is not found in the states there are.
    """
    moves: list[Move] = []
    looked, at = 0, puzzle.at
    for number in range(1, len(puzzle.goals) + 1):
        some = replace(puzzle, at=at, goals=puzzle.goals[:number], first=puzzle.first or puzzle.at)
        part = shortest(some, states)
        looked += part.states
        if part.moves is None:
            return Found(moves=None, proven=False, states=looked)
        moves += part.moves
        for move in part.moves:
            at = (*at[: move.group], move.to_tank, *at[move.group + 1 :])
    return Found(moves=tuple(moves), proven=False, states=looked)


def _reached(rules: Rules, start: State, most: int) -> int | None:
    """How many states can be reached, if no more than `most`; home is not among them.

    Asked only once every chain up to the longest has been tried, so that a small
    puzzle without an answer is proven to have none.
    """
    seen, edge = {start}, [start]
    while edge:
        following = []
        for state in edge:
            for _, after in rules.moves(state):
                if rules.home(after.at):
                    return None
                if after not in seen:
                    if len(seen) >= most:
                        return None
                    seen.add(after)
                    following.append(after)
        edge = following
    return len(seen)


def _within(
    search: _Search, state: State, left: int, over: int
) -> tuple[list[Move] | None, int]:  # fmt: skip
    """A chain of at most `left` moves from here, or None and the least bound that was too much."""
    if search.rules.home(state.at):
        return [], 0
    if search.left <= 0:
        return None, NEVER
    search.left -= 1
    search.tried[state] = left
    following = []
    for move, after in search.rules.moves(state):
        need = 1 + search.bound(after)
        if need > left:
            over = min(over, need)
        elif search.tried.get(after, -1) < left - 1:
            following.append((need, _liking(search.rules.puzzle, move), move, after))
    best = NEVER
    for _, _, move, after in sorted(following, key=lambda item: item[:2]):
        if search.tried.get(after, -1) >= left - 1:
            continue
        chain, beyond = _within(search, after, left - 1, NEVER)
        if chain is not None:
            return [move, *chain], 0
        best = min(best, beyond + 1)
    return None, min(over, best)


def _liking(puzzle: Puzzle, move: Move) -> tuple[int, int, int]:
    """Of chains of one length: a goal first, then out of the room, the tub last."""
    goal = any(group == move.group and move.to_tank in tanks for group, tanks in puzzle.goals)
    return (0 if goal else 1 if move.to_tank == OUT else 3 if move.to_tank == TUB else 2,
            move.group, move.to_tank)  # fmt: skip


def least_moves(rules: Rules, state: State) -> int:
    """A number of moves that no chain from here can do with less; NEVER where none can do."""
    puzzle, tubbed = rules.puzzle, state.tubbed
    away = [(group, goal) for group, goal in puzzle.goals if state.at[group] not in goal]
    if not away:
        return 0 if tubbed is None else 1
    plain = _by_levels(rules, state, away, tub=False)
    if puzzle.tub and puzzle.tub_between:
        # Into the tub, at least one other move, out again; one more where it must be freed first.
        most = 3 if tubbed is None else 4
        plain = min(plain, max(most, _by_levels(rules, state, away, tub=True)))
    if tubbed is None:
        return plain
    return max(plain, len({group for group, _ in away} | {tubbed}))


def _by_levels(
    rules: Rules, state: State, away: list[tuple[int, frozenset[int]]], *, tub: bool
) -> int:  # fmt: skip
    """The most that any goal asks for, by the levels at which groups can first leave."""
    puzzle, mask, filled = rules.puzzle, rules.occupied(state.at), rules.filled(state.at)
    gone = 0  # groups that may have left by this level
    level = 0
    waiting = dict(away)
    needed = len(away)
    stuck = [g for g, tank in enumerate(state.at) if tank != OUT]
    while waiting:
        level += 1
        for group, goal in list(waiting.items()):
            for tank in goal & puzzle.fits[group]:
                foes = mask[tank] & rules.foes[group]
                if not foes & ~gone and _room(rules, group, tank, mask[tank], filled[tank], gone):
                    needed = max(needed, level)
                    del waiting[group]
                    break
        if not waiting:
            break
        freed = 0
        for group in stuck:
            if _can_leave(rules, state, group, mask, filled, gone, tub):
                freed |= 1 << group
        stuck = [group for group in stuck if not freed >> group & 1]
        if not freed:
            return NEVER
        gone |= freed
    return max(needed, _foes_to_move(rules, away, mask))


def _can_leave(
    rules: Rules, state: State, group: int, mask: list[int], filled: list[float], gone: int,
    tub: bool,
) -> bool:  # fmt: skip
    puzzle = rules.puzzle
    if group in puzzle.out or state.at[group] == TUB or (tub and group in puzzle.tub):
        return True
    foes, here = rules.foes[group], state.at[group]
    still = ~gone
    return any(
        tank != here
        and not mask[tank] & foes & still
        and _room(rules, group, tank, mask[tank], filled[tank], gone)
        for tank in puzzle.fits[group]
    )


def _room(rules: Rules, group: int, tank: int, mask: int, filled: float, gone: int) -> bool:
    """Whether a tank may have room by now: it has, or one of those in it may have left."""
    if not mask or mask & gone or not rules.puzzle.load:
        return True
    return filled + rules.puzzle.load[group][tank] <= 1.0 + 1e-9


def _foes_to_move(
    rules: Rules, away: list[tuple[int, frozenset[int]]], mask: list[int]
) -> int:  # fmt: skip
    """Each foe in the best goal tank must move besides the group itself."""
    return max(
        1
        + min(
            (
                (mask[tank] & rules.foes[group]).bit_count()
                for tank in goal & rules.puzzle.fits[group]
            ),
            default=0,
        )
        for group, goal in away
    )
