"""Keeping to an earlier plan: its days stand until a better one is worth the change.

A keeper who has looked at the fortnight must not find another one after marking
one job. So the old days are kept while nothing that counts can get better by one
part in 100 (common practice, no published source); else they are repaired step by
step, and searched anew only where that gains so much more, the more so the more moves.
"""

from collections.abc import Sequence

from roomtasks.room.level_habit import brought_back, homeward
from roomtasks.room.level_score import Score, score
from roomtasks.room.level_search import Search

PART = 100
ALL_MOVED = 40  # parts in 100 of the busiest day that must be saved to move everything


def kept(search: Search) -> None:
    """Leave the board on the old days, made better only where that is worth it."""
    board, bounds = search.board, search.bounds
    board.usual = list(board.home)
    least = Score(0, sum(bounds.supplies.values()), bounds.over, bounds.worst, bounds.busiest)
    grain = bounds.busiest / PART
    days, old = list(board.home), search.best
    for better in (_repaired, _searched):
        if not worth_it(least, old, grain):
            break
        better(search, int(grain))
        found = score(board)
        more = _moved(board.home, board.day) - _moved(board.home, days)
        if worth_it(found, old, max(grain, ALL_MOVED * grain * more / max(1, len(board.movable)))):
            days, old = list(board.day), found
    search.days = days
    board.lay(days)


def worth_it(found: Score, than: Score, grain: float) -> bool:
    """Whether one score is so much better that days may change for it.

    Clashes and supplies count in full; minutes by the grain, those over by one part
    in 100 of themselves.
    """
    for now, was in zip(found[:2], than[:2], strict=True):
        if now != was:
            return now < was
    for now, was, least in (
        (found.over, than.over, max(grain, than.over / PART)),
        (found.worst, than.worst, grain),
        (found.busiest, than.busiest, grain),
    ):
        if abs(now - was) > least:
            return now < was
    return False


def _moved(home: Sequence[int], days: Sequence[int]) -> int:
    return sum(one != other for one, other in zip(home, days, strict=True))


def _repaired(search: Search, grain: int) -> None:
    """Single steps from the old days, and those taken back that gain nothing."""
    board = search.board
    board.lay(board.home)
    search.cap(search.bounds.busiest + grain)
    search.improve()
    brought_back(search, grain)


def _searched(search: Search, grain: int) -> None:
    search.run()
    homeward(search, grain)
