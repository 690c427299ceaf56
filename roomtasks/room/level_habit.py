"""Back to habit: as few days off the usual ones as the best day allows, and visits joined.

Nothing that comes before habit is given up for it, with one price: where the
busiest day is lower than one part in 125 above what it cannot be below, it may
come up to that if an eighth of the days off the usual ones is saved.
"""

from collections.abc import Callable, Iterable

from roomtasks.room.level_board import Board, Move
from roomtasks.room.level_push import along, pushed
from roomtasks.room.level_score import Score, score
from roomtasks.room.level_search import Search
from roomtasks.room.level_task import NEVER

PRICE, HEAT, CHILL = 3.0, 6.0, 0.3  # in units of a tenth of the mean task, squared
RETURN_ROUNDS = 100_000
SWEEPS = 8
EASE, SAVES = 125, 8


def settled(search: Search) -> None:
    """Leave the board on days as good as the best found and nearest to habit."""
    board = search.board
    board.lay(search.days)
    best = score(board)
    floor = min(search.bounds.busiest, best.busiest)  # the bound is for plans with fewer over
    eased = floor + floor // EASE
    chosen = _nearest_habit(search, best.busiest, (_from_best,))
    if chosen is None:
        chosen = _nearest_habit(search, best.busiest, (_as_found,))
    if best.busiest < eased and chosen is not None and chosen[0]:
        loose = _nearest_habit(search, eased, (_from_best,))
        if loose is not None and SAVES * (chosen[0] - loose[0]) >= chosen[0]:
            chosen = loose
    if chosen is not None:
        search.days = chosen[1]
    board.lay(search.days)


def brought_back(search: Search, grain: int) -> None:
    """Take the days as they lie as near to habit as they stay as good, the busiest to the grain."""
    board = search.board
    found = score(board)
    busiest = max(found.busiest, search.bounds.busiest + grain)
    _cap(board, busiest)
    _stepped_back(board, found._replace(busiest=busiest))


def homeward(search: Search, grain: int) -> None:
    """Leave the board near the days it began on, as good as the best found to the grain."""
    board = search.board
    board.lay(search.days)
    busiest = score(board).busiest + grain
    chosen = _nearest_habit(search, busiest, (_from_usual, _from_best))
    board.lay(chosen[1] if chosen is not None else search.days)


def _nearest_habit(
    search: Search, busiest: int, begins: Iterable[Callable[[Search], None]]
) -> tuple[int, list[int]] | None:
    """Points of preference and days, the better of some ways, with no day above the busiest."""
    board = search.board
    kept: list[tuple[int, list[int]]] = []
    for begin in begins:
        board.lay(search.days)
        aim = score(board)._replace(busiest=busiest)
        _cap(board, busiest)
        begin(search)
        if score(board) <= aim:
            _cap(board, busiest)
            _stepped_back(board, aim)
            kept.append((_scattered(board), list(board.day)))
    return min(kept, key=lambda known: known[0], default=None)


def _cap(board: Board, busiest: int) -> None:
    """Cap each day where nothing gets worse: at its limit and the busiest, or where it is."""
    board.caps = [
        (load if load > limit else min(limit, busiest)) if board.span.counted(day) else NEVER
        for day, (limit, load) in enumerate(zip(board.span.limits, board.load, strict=True))
    ]


def _as_found(search: Search) -> None:
    """The best days as they were found."""


def _from_usual(search: Search) -> None:
    """Make the usual days as good as the best, moving only what that needs."""
    search.board.lay(search.board.home)
    search.improve()


def _from_best(search: Search) -> None:
    """Let the best days slide back, with a price on each day off the usual one."""
    board, caps = search.board, search.board.caps
    less = max(1, max((cap for cap in caps if cap < NEVER), default=0) // 120)
    board.caps = [cap - less for cap in caps]
    board.price = PRICE * search.unit
    search.anneal(RETURN_ROUNDS, HEAT, CHILL)
    board.price = 0.0
    board.caps = caps
    search.improve()


def _stepped_back(board: Board, aim: Score) -> None:
    """Take single tasks, visits, chains and pairs nearer to habit where nothing gets worse."""
    calm = board.energy() <= 0
    for _ in range(SWEEPS):
        before = _scattered(board)
        for i in board.movable:
            if board.habit(i, board.day[i]) or any(board.points[s] for s in board.shares[i]):
                _one_back(board, i, aim, calm)
        if _scattered(board) >= before:
            return


def _one_back(board: Board, i: int, aim: Score, calm: bool) -> None:
    for day in sorted(board.days[i], key=lambda day: (board.habit(i, day), day)):
        if day == board.day[i]:
            continue
        if not board.fits(i, day):
            moves = pushed(board, i, day)
            if moves is not None and _nearer(board, moves, aim):
                return
            continue
        if _nearer(board, [(i, day)], aim):
            return
        if board.shares[i] and _nearer(board, along(board, i, day), aim):
            return
        if board.habit(i, day) < board.habit(i, board.day[i]) and _swapped_back(
            board, i, day, aim, calm
        ):
            return


def _swapped_back(board: Board, i: int, day: int, aim: Score, calm: bool) -> bool:
    """The task to that day, and one of that day to its own or to wherever it likes.

    While it is calm, with nothing above a cap, pairs that cannot go in are passed over.
    """
    here, load, caps, size = board.day[i], board.load, board.caps, board.size
    nearer = board.habit(i, here) - board.habit(i, day)
    must_go = load[day] + size[i] - caps[day] if calm else -NEVER
    for j in list(board.on[day]):
        if j == board.before[i] or j == board.behind[i]:
            continue
        if size[j] + sum(board.cost[share] for share in board.shares[j]) < must_go:
            continue
        for there in board.spots(j):
            if board.habit(j, there) - board.habit(j, day) >= nearer:
                continue
            if calm and there != here and load[there] + size[j] > caps[there]:
                continue
            if there == here and board.swap_change(i, j) > 0:
                continue
            if _nearer(board, [(j, there), (i, day)], aim):
                return True
    return False


def _nearer(board: Board, moves: list[Move], aim: Score) -> bool:
    """Make the moves if they are nearer to habit and nothing gets worse."""
    back = [(i, board.day[i]) for i, _ in moves]
    energy, points = 0.0, 0
    for i, day in moves:
        change, nearer = board.change(i, day)
        energy, points = energy + change, points + nearer
        board.move(i, day)
    if points < 0 and energy <= 0 and (board.energy() <= 0 or score(board) <= aim):
        return True
    for i, day in reversed(back):
        board.move(i, day)
    return False


def _scattered(board: Board) -> int:
    """Points of preference: days off the usual ones, and visits not joined."""
    return board.visits + sum(board.habit(i, day) for i, day in enumerate(board.day))
