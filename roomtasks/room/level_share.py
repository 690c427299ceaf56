"""Sharing days out between them: by subset sums level between two, or handed on along a path.

What lies above a cap often cannot go to its neighbours, which are full
themselves, but through them: each hands on as much as it gets, along a shortest
path to a day with room, as by augmenting paths in a flow. The sums that a set of
tasks can make are the bits of one number.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from roomtasks.room.level_board import Board, Move
from roomtasks.room.level_moves import several

REACH = 7
MOST_STUCK = 12  # hot days from which nothing finds its way: the others lie among them


@dataclass(frozen=True, slots=True)
class Measure:
    """What is shared out, as it stands: minutes or one supply. `amount` is by task."""

    load: Sequence[int]
    caps: Sequence[int]
    amount: Sequence[int]

    def above(self, day: int) -> int:
        return self.load[day] - self.caps[day]


def measures(board: Board) -> list[Measure]:
    """Each supply, then minutes; live as long as the board is not laid or capped anew."""
    found = []
    for s, most in enumerate(board.given):
        amount = [sum(taken for name, taken in uses if name == s) for uses in board.uses]
        found.append(Measure(board.used[s], most, amount))
    return [*found, Measure(board.load, board.caps, board.size)]


def diffuse(board: Board, sweeps: int) -> None:
    """Share days near one another out level until nothing gains."""
    days = [day for day in range(board.span.n_days) if board.span.counted(day)]
    near = sorted((there - here, here, there) for here in days for there in days
                  if 0 < there - here <= REACH)  # fmt: skip
    for measure in measures(board):
        for _ in range(sweeps):
            gained = False
            for _, here, there in near:
                if measure.above(here) > 0 or measure.above(there) > 0:
                    moves = _shared_out(board, measure, here, there)
                    gained = several(board, moves) or gained
            if not gained:
                break


def route(board: Board, most: int) -> None:
    """Hand what is above a cap on over full days to one with room, the hottest day first."""
    for measure in measures(board):
        stuck: set[int] = set()
        for _ in range(most):
            above = [(measure.above(day), -day) for day in range(board.span.n_days)]
            excess, last = max(
                (known for known in above if -known[1] not in stuck), default=(0, 0)
            )  # fmt: skip
            if excess <= 0 or len(stuck) >= MOST_STUCK:
                break
            parts = sorted({excess, -(-excess // 2), 1}, reverse=True)
            if not any(_routed(board, measure, -last, part) for part in parts):
                stuck.add(-last)


def _shared_out(board: Board, measure: Measure, here: int, there: int) -> list[Move]:
    """The moves that bring two days nearest to level against both caps."""
    tasks = _either(board, measure, here, there)
    sums = _sums(measure, tasks)
    now = sum(measure.amount[i] for i in tasks if board.day[i] == here)
    goes = (measure.above(here) - measure.above(there)) // 2
    aim = _nearest(sums[-1], now - goes)
    if abs(now - aim - goes) >= abs(goes):
        return []
    return _chosen(board, measure, here, there, tasks, sums, aim)


def _handed_on(
    board: Board, measure: Measure, here: int, there: int, amount: int
) -> list[Move]:  # fmt: skip
    """Moves that hand about so much on from one day to another; none where that cannot be."""
    both = _either(board, measure, here, there)
    sums = _sums(measure, both)
    now = sum(measure.amount[i] for i in both if board.day[i] == here)
    aim = _nearest(sums[-1], now - amount)
    if not 0 < 2 * (now - aim) <= 3 * amount + 1:
        return []
    return _chosen(board, measure, here, there, both, sums, aim)


def _either(board: Board, measure: Measure, here: int, there: int) -> list[int]:
    """Those on one of two days that may lie on the other, no two of one chain."""
    found: list[int] = []
    taken: set[int] = set()
    may, at, amount = board.may, board.day, measure.amount
    before, behind, lo, hi = board.before, board.behind, board.lo, board.hi
    for day, other in ((here, there), (there, here)):
        for i in board.on[day]:
            if other not in may[i] or not amount[i]:
                continue
            p, q = before[i], behind[i]
            if (p >= 0 and (p in taken or not lo[i][at[p]] <= other <= hi[i][at[p]])) or (
                q >= 0 and (q in taken or not lo[q][other] <= at[q] <= hi[q][other])
            ):
                continue
            found.append(i)
            taken.add(i)
    return found


def _sums(measure: Measure, tasks: Iterable[int]) -> list[int]:
    """Bits of the sums that the first so many of the tasks can make."""
    sums = [1]
    for i in tasks:
        sums.append(sums[-1] | sums[-1] << measure.amount[i])
    return sums


def _nearest(sums: int, level: int) -> int:
    """The sum that can be made nearest to a level, the lower of two."""
    level = min(level, sums.bit_length())
    if level < 0:
        return 0
    low = (sums & ((1 << (level + 1)) - 1)).bit_length() - 1
    above = sums >> level
    high = level + (above & -above).bit_length() - 1 if above else low
    return high if high - level < level - low else low


def _chosen(
    board: Board, measure: Measure, here: int, there: int, tasks: Sequence[int],
    sums: Sequence[int], aim: int,
) -> list[Move]:  # fmt: skip
    """Moves that leave that sum of the tasks on the first day, staying put where they may."""
    moves: list[Move] = []
    for n in range(len(tasks) - 1, -1, -1):
        i, z = tasks[n], measure.amount[tasks[n]]
        apart = not sums[n] >> aim & 1
        beside = aim >= z and bool(sums[n] >> (aim - z) & 1)
        stood = board.day[i] == here
        stays = beside if stood else apart
        if stays:
            aim -= z
        if stays != stood:
            moves.append((i, here if stays else there))
    return moves


def _routed(board: Board, measure: Measure, hot: int, amount: int) -> bool:
    """Whether so much found its way from the hot day to one with room for it."""
    came = {hot: hot}
    queue = [hot]
    for here in queue:
        for there in range(max(0, here - REACH), min(board.span.n_days, here + REACH + 1)):
            if there in came or not board.span.counted(there):
                continue
            if not _handed_on(board, measure, here, there, amount):
                continue
            came[there] = here
            if measure.above(there) + amount <= 0:
                return _handed(board, measure, _path(came, there), amount)
            queue.append(there)
    return False


def _path(came: Mapping[int, int], last: int) -> list[int]:
    path = [last]
    while came[path[-1]] != path[-1]:
        path.append(came[path[-1]])
    return path[::-1]


def _handed(board: Board, measure: Measure, path: Sequence[int], amount: int) -> bool:
    """Hand on along a path what is too much; all taken back unless the energy falls."""
    before, days = board.energy(), list(board.day)
    for here, there in pairwise(path):
        for i, day in _handed_on(board, measure, here, there, amount):
            board.move(i, day)
        amount = measure.above(there)
        if amount <= 0:
            break
    if board.energy() < before:
        return True
    for i, day in enumerate(days):
        if board.day[i] != day:
            board.move(i, day)
    return False
