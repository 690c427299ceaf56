"""Filling days in turn up to their caps with what must be done soonest.

With work that could be divided at will, earliest last day first finds a place for
everything wherever there is one (Jackson 1955; Horn 1974); with whole tasks it is
a start that no exchange between neighbours would come to. Gaps in chains move
last days as the ones before them are laid.
"""

from roomtasks.room.level_board import Board


def filled(board: Board, spare: int, small_first: bool = False) -> list[int] | None:
    """A day for every task, days filled to their caps and so much more; None if it gets stuck.

    Of tasks with one last day those that take most water come first, then the
    longest; or the shortest.
    """
    fill = _Fill(board, spare)
    for i, days in enumerate(board.days):
        if len(days) == 1:
            fill.lay(i, days[0])
    left = list(board.movable)
    for day in range(board.span.n_days):
        asked = []
        for i in left:
            last = fill.last_day(i, day)
            if last >= 0:
                water = sum(taken for _, taken in board.uses[i])
                rank = (board.size[i], water) if small_first else (-water, -board.size[i])
                asked.append((last, rank, i))
        asked.sort()
        taken = {i for last, _, i in asked if fill.taken(i, day, last)}
        left = [i for i in left if i not in taken]
    return None if left else fill.day


class _Fill:
    """Days being filled: what lies where, what that makes."""

    def __init__(self, board: Board, spare: int) -> None:
        n = board.span.n_days
        self.board = board
        self.caps = [cap + spare for cap in board.caps]
        self.day = [-1] * len(board.days)
        self.load = [0] * n
        self.used = [[0] * n for _ in board.supply]
        self.stand: list[set[int]] = [set() for _ in range(n)]

    def lay(self, i: int, day: int) -> None:
        self.day[i] = day
        self.load[day] += self.cost(i, day)
        self.stand[day].update(self.board.shares[i])
        for s, taken in self.board.uses[i]:
            self.used[s][day] += taken

    def cost(self, i: int, day: int) -> int:
        """Minutes of a task on a day, with the set-ups that do not stand there yet."""
        board = self.board
        new = sum(board.cost[share] for share in board.shares[i] if share not in self.stand[day])
        return board.size[i] + new

    def last_day(self, i: int, day: int) -> int:
        """The last day on which the task could be laid if not on this one; -1: not on this one."""
        board = self.board
        if day not in board.may[i]:
            return -1
        p, q = board.before[i], board.behind[i]
        last = board.days[i][-1]
        if p >= 0:
            if self.day[p] < 0 or not self._follows(i, self.day[p], day):
                return -1
            last = min(last, board.hi[i][self.day[p]])
        behind = self.day[q] if q >= 0 else -1
        if behind >= 0 and not self._follows(q, day, behind):
            return -1
        return max(
            (d for d in board.days[i] if d <= last and (behind < 0 or board.lo[q][d] <= behind)),
            default=day,
        )

    def _follows(self, i: int, before: int, day: int) -> bool:
        """Whether a task may lie on a day when the one before it lies on that."""
        return self.board.lo[i][before] <= day <= self.board.hi[i][before]

    def taken(self, i: int, day: int, last: int) -> bool:
        """Lay the task on the day if there is room for it, or no later day."""
        if last > day and not self.room(i, day):
            return False
        self.lay(i, day)
        return True

    def room(self, i: int, day: int) -> bool:
        board = self.board
        return (
            self.load[day] + self.cost(i, day) <= self.caps[day]
            and all(self.used[s][day] + taken <= board.given[s][day]
                    for s, taken in board.uses[i])
            and not any(self.day[j] >= 0 and low <= day - self.day[j] <= high
                        for j, low, high in board.rivals[i])
        )  # fmt: skip
