"""What the search left broken, put right by being late: pairs too near, litres above a supply.

Nothing hard is broken for the sake of a window, so one of two that clash, or one
that finds no water, goes to the first later day on which all is well; one of two
that clash and finds none is left without a day. What alone takes more than a
supply gives stays: no day would do.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from roomtasks.room.level_board import Board, Move
from roomtasks.room.level_push import pushed
from roomtasks.room.level_score import supply_over
from roomtasks.room.level_task import NEVER

PAIR, SUPPLY = "pair", "supply"
MOST_PUT_LATE = 60


@dataclass(slots=True)
class Rescue:
    """Days late and why, by task number, and the tasks left without a day."""

    late: dict[int, int] = field(default_factory=dict)
    why: dict[int, str] = field(default_factory=dict)
    left: list[int] = field(default_factory=list)


def rescued(board: Board) -> Rescue:
    """Put right what can be on the board; what was done, by task number."""
    done = Rescue()
    for _ in range(MOST_PUT_LATE):
        pair = _clashing(board)
        if pair and not _one_late(board, done, pair, PAIR):
            _leave(board, done, pair[0])
        elif not pair and not _one_late(board, done, _thirsty(board), SUPPLY):
            break
    return done


def _clashing(board: Board) -> list[int]:
    """The tasks of the first clash that may be moved, the one worth least first."""
    for i, rivals in enumerate(board.rivals):
        for j, low, high in rivals:
            if low <= board.day[i] - board.day[j] <= high:
                both = [k for k in (i, j) if board.ranged[k].task.pinned is None]
                return sorted(both or [i], key=lambda k: (board.ranged[k].task.worth, -k))
    return []


def _thirsty(board: Board) -> list[int]:
    """Tasks on days above a supply that could be served on another, worth least first."""
    found = {
        i
        for s, most in enumerate(board.supply)
        for day, used in enumerate(board.used[s])
        if used > most[day]
        for i, uses in enumerate(board.uses)
        if board.day[i] == day
        and board.ranged[i].task.pinned is None
        and any(name == s and 0 < taken <= max(most) for name, taken in uses)
    }
    return sorted(found, key=lambda i: (board.ranged[i].task.worth, i))


def _one_late(board: Board, done: Rescue, tasks: Sequence[int], why: str) -> bool:
    """Put the first of the tasks that finds one on a later day."""
    for i in tasks:
        last = max(board.days[i])
        for day in _later(board, i, last):
            kept = board.days[i], board.hi[i]
            board.allow(i, (*board.days[i], day), (NEVER,) * board.span.n_days)
            moves = pushed(board, i, day)
            if moves is not None and _better(board, moves):
                done.late[i] = day - (last - board.ranged[i].late)
                done.why[i] = why
                return True
            board.allow(i, *kept)
    return False


def _later(board: Board, i: int, last: int) -> Iterator[int]:
    return (day for day in board.ranged[i].task.days if day > last)


def _better(board: Board, moves: Sequence[Move]) -> bool:
    """Make the moves if that leaves fewer clashes, or as many and less above supplies."""
    before = board.clashing(), sum(supply_over(board))
    back = [(i, board.day[i]) for i, _ in moves]
    for i, day in moves:
        board.move(i, day)
    if (board.clashing(), sum(supply_over(board))) < before:
        return True
    for i, day in reversed(back):
        board.move(i, day)
    return False


def _leave(board: Board, done: Rescue, i: int) -> None:
    """Leave a task without a day: it weighs nothing and clashes with nothing any more."""
    board.take(i)
    done.left.append(i)
    board.rivals[i] = []
    for j, rivals in enumerate(board.rivals):
        board.rivals[j] = [rival for rival in rivals if rival[0] != i]
