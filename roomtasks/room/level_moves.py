"""Moves of the levelling: tries by chance while it cools, single steps, swaps, several at once.

Annealing after Kirkpatrick, Gelatt and Vecchi 1983, on squares of what lies above
a cap, so that what cannot be avoided is spread thin. Rounds are counted, never
timed.
"""

from collections.abc import Callable, Sequence
from math import exp

from roomtasks.room.level_board import Board, Move
from roomtasks.room.level_chance import chances
from roomtasks.room.level_push import along, pushed
from roomtasks.room.level_task import NEVER

ALONG, PUSHED = 0.5, 0.1
SWAPS_TRIED = 12

# number, plain, days and how many, size, usual; the one before in its chain with first and
# last days by its day, the one behind likewise (itself for none); a supply and what it takes
_Days = tuple[int, ...]
_Tried = tuple[int, bool, _Days, int, int, int, int, _Days, _Days, int, _Days, _Days, int, int]


def anneal(board: Board, rounds: int, seed: int, hot: float, cold: float) -> None:
    """So many tries of a task on another of its days, from hot to cold (units of energy)."""
    rnd, tried = chances(seed), _tried(board)
    if not tried or rounds < 1:
        return
    day, load, caps, price, used = board.day, board.load, board.caps, board.price, board.used
    on, mild, most = board.on, board.mild > 0, len(tried)
    cool, heat = (cold / hot) ** (1.0 / rounds), hot
    for _ in range(rounds):
        heat *= cool
        i, plain, days, n, z, usual, p, p_first, p_last, q, q_first, q_last, s, taken = tried[
            int(rnd() * most)
        ]
        there, here = days[int(rnd() * n)], day[i]
        if there == here:
            continue
        if not plain or not (
            p_first[day[p]] <= there <= p_last[day[p]] and q_first[there] <= day[q] <= q_last[there]
        ):
            _try(board, i, there, heat, rnd)
            continue
        above, under = load[there] - caps[there] + z, load[here] - caps[here]
        change: float = price * (abs(there - usual) - abs(here - usual)) if price else 0
        if above > 0:
            change += above * above - ((above - z) * (above - z) if above > z else 0)
        if under > 0:
            change -= under * under - ((under - z) * (under - z) if under > z else 0)
        if mild:
            change += board.limit_change(here, there, z, z)
        if taken:
            change += board.supply_change(s, taken, here, there)
        if change <= 0 or rnd() < exp(-change / heat):
            load[here] -= z
            load[there] += z
            day[i] = there
            del on[here][i]
            on[there][i] = None
            if taken:
                used[s][here] -= taken
                used[s][there] += taken


def _tried(board: Board) -> list[_Tried]:
    """What a try needs of each task that has a choice."""
    found = []
    never, ever = (-NEVER,) * board.span.n_days, (NEVER,) * board.span.n_days
    for i in board.movable:
        days = board.days[i]
        p, q = board.before[i], board.behind[i]
        before = (p, board.lo[i], board.hi[i]) if p >= 0 else (i, never, ever)
        behind = (q, board.lo[q], board.hi[q]) if q >= 0 else (i, never, ever)
        use = board.uses[i][0] if board.uses[i] else (0, 0)
        found.append((i, board.plain[i], days, len(days), board.size[i], board.usual[i],
                      *before, *behind, *use))  # fmt: skip
    return found


def _try(board: Board, i: int, there: int, heat: float, rnd: Callable[[], float]) -> None:
    """A move that pushes others of its chain, that takes its visit along, or has set-ups."""
    moves: Sequence[Move] | None = None
    if not board.fits(i, there):
        if rnd() > PUSHED:
            return
        moves = pushed(board, i, there)
        if moves is None:
            return
    elif board.shares[i] and rnd() < ALONG:
        moves = along(board, i, there)
    if moves is not None and len(moves) > 1:
        several(board, moves, heat, rnd())
        return
    energy, points = board.change(i, there)
    change = energy + board.price * points
    if change <= 0 or rnd() < exp(-change / heat):
        board.move(i, there)


def several(board: Board, moves: Sequence[Move], heat: float = 0.0, luck: float = 1.0) -> bool:
    """Make several moves, and take them back unless they are worth it; whether they gained."""
    back = [(i, board.day[i]) for i, _ in moves]
    change = 0.0
    for i, day in moves:
        energy, points = board.change(i, day)
        change += energy + board.price * points
        board.move(i, day)
    if change < 0 or (heat > 0 and luck < exp(-change / heat)):
        return change < 0
    for i, day in reversed(back):
        board.move(i, day)
    return False


def descend(board: Board, steps: int) -> None:
    """Bring each hot day down by its best moves, swaps and pushes, the hottest first."""
    while steps > 0:
        hot = [(heat, day) for day in range(board.span.n_days) if (heat := board.heat(day)) > 0]
        hot.sort(key=lambda known: (-known[0], known[1]))
        before = steps
        for _, day in hot:
            while steps > 0 and board.heat(day) > 0 and _cooled(board, day):
                steps -= 1
        if steps == before and not _parted(board):
            return
        steps -= 1


def _cooled(board: Board, day: int) -> bool:
    """Whether one step brought the energy of this day and others down."""
    on = list(board.on[day])
    spots = [(i, there) for i in on for there in board.spots(i)]
    if _stepped(board, spots):
        return True
    for _, i, j in _swaps(board, day, spots)[:SWAPS_TRIED]:
        if several(board, [(i, board.day[j]), (j, board.day[i])]):
            return True
    for i in on:
        for there in board.days[i]:
            if there != day and not board.fits(i, there):
                moves = pushed(board, i, there)
                if moves is not None and several(board, moves):
                    return True
    return False


def _stepped(board: Board, spots: Sequence[Move]) -> bool:
    best = min(
        ((*board.change(i, there), i, there) for i, there in spots), default=(0.0, 0, 0, 0)
    )  # fmt: skip
    if best[0] < 0:
        board.move(best[2], best[3])
        return True
    return False


def _parted(board: Board) -> bool:
    """Whether one of two that clash could be moved away to some gain."""
    for i in board.movable:
        if board.rivals[i] and board.clashes(i, board.day[i]):
            if _stepped(board, [(i, there) for there in board.spots(i)]):
                return True
            for there in board.days[i]:
                moves = pushed(board, i, there) if there != board.day[i] else None
                if moves is not None and several(board, moves):
                    return True
    return False


def _swaps(board: Board, day: int, spots: Sequence[Move]) -> list[tuple[float, int, int]]:
    """Pairs that could change days to some gain, the best first."""
    from_there = {
        there: [j for j in board.on[there] if day in board.may[j] and board.fits(j, day)]
        for there in {there for _, there in spots}
    }
    found = []
    for i, there in spots:
        for j in from_there[there]:
            if board.before[i] != j and board.before[j] != i:
                gain = board.swap_change(i, j)
                if gain < 0:
                    found.append((gain, i, j))
    found.sort()
    return found
