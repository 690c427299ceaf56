"""Every placement of a few tasks looked at, save those that cannot be better.

Depth first, a task at a time; what is laid already can only grow worse, so a
branch ends where it is no better than the best known. Steps are counted: a
search cut short proves nothing and says so.
"""

from collections.abc import Sequence

from roomtasks.room.level_board import Board
from roomtasks.room.level_score import Score, score

MOST_TASKS, MOST_STEPS = 14, 25_000


def looked_through(board: Board, best: Score, days: Sequence[int]) -> tuple[list[int], bool]:
    """The best days, and whether it is proven that none are better.

    `days` reach `best`. A room with more tasks that have a choice is left as it is.
    """
    if len(board.movable) > MOST_TASKS:
        return list(days), False
    search = _Search(board, best, list(days))
    search.go(0)
    board.lay(search.days)
    return search.days, search.steps <= MOST_STEPS


class _Search:
    """The branch looked at: days of the tasks laid so far, and what they make."""

    def __init__(self, board: Board, best: Score, days: list[int]) -> None:
        self.board = board
        self.best = best
        self.days = days
        self.steps = 0
        board.lay(days)
        self.order = list(board.movable)
        self.laid = [i not in set(self.order) for i in range(len(days))]
        for i in self.order:
            board.take(i)

    def go(self, depth: int) -> None:
        """Try each day of the next task."""
        board = self.board
        if depth == len(self.order):
            found = self._score()
            if found < self.best:
                self.best, self.days = found, list(board.day)
            return
        i = self.order[depth]
        was = board.day[i]
        self.laid[i] = True
        for day in board.days[i]:
            self.steps += 1
            if self.steps > MOST_STEPS:
                break
            if not self._fits(i, day):
                continue
            board.day[i] = day
            board.put(i)
            if self._score() < self.best:
                self.go(depth + 1)
            board.take(i)
        self.laid[i] = False
        board.day[i] = was

    def _fits(self, i: int, day: int) -> bool:
        board = self.board
        p, q = board.before[i], board.behind[i]
        return not (
            (p >= 0 and self.laid[p]
             and not board.lo[i][board.day[p]] <= day <= board.hi[i][board.day[p]])
            or (q >= 0 and self.laid[q]
                and not board.lo[q][day] <= board.day[q] <= board.hi[q][day])
        )  # fmt: skip

    def _score(self) -> Score:
        return score(self.board)._replace(clashes=self._clashes())

    def _clashes(self) -> int:
        """Pairs of laid tasks that clash."""
        board = self.board
        return (
            sum(
                low <= board.day[i] - board.day[j] <= high
                for i, rivals in enumerate(board.rivals)
                if rivals and self.laid[i]
                for j, low, high in rivals
                if self.laid[j]
            )
            // 2
        )
