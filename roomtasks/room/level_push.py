"""Moves that take others along: those of a chain that are in the way, those of one visit."""

from roomtasks.room.level_board import Board, Move


def pushed(board: Board, i: int, day: int) -> list[Move] | None:
    """The task on that day, and those of its chain that it pushes; None where it cannot be."""
    if day not in board.may[i]:
        return None
    moves = [(i, day)]
    at, j = day, board.behind[i]
    while j >= 0 and not board.lo[j][at] <= board.day[j] <= board.hi[j][at]:
        near = _near(
            board, j, [d for d in board.days[j] if board.lo[j][at] <= d <= board.hi[j][at]]
        )
        if near is None:
            return None
        moves.append((j, near))
        at, j = near, board.behind[j]
    at, j = day, i
    while (p := board.before[j]) >= 0 and not (
        board.lo[j][board.day[p]] <= at <= board.hi[j][board.day[p]]
    ):
        near = _near(board, p, [d for d in board.days[p] if board.lo[j][d] <= at <= board.hi[j][d]])
        if near is None:
            return None
        moves.append((p, near))
        at, j = near, p
    return moves


def _near(board: Board, j: int, days: list[int]) -> int | None:
    """Of the days, that nearest to where the task lies."""
    here = board.day[j]
    return min(days, key=lambda day: (abs(day - here), day), default=None)


def along(board: Board, i: int, day: int) -> list[Move]:
    """The task and those of its day that share a set-up or a visit with it, to another day."""
    here, joined = board.day[i], board.joined[board.shares[i][0]]
    return [
        (j, day)
        for j in joined
        if board.day[j] == here and day in board.may[j] and board.fits(j, day)
    ]
