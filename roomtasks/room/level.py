"""Levelling: lay every task of a span on a day, and say how far that is from the best possible.

`level` goes through it once: chains by themselves (`level_chain`), what no
placing can be below (`level_bound`), the search (`level_search`), what found no
place. Same span, same placement, in whatever order the tasks come.
"""

from collections.abc import Mapping

from roomtasks.room.level_board import Board
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_habit import settled
from roomtasks.room.level_search import Search
from roomtasks.room.level_task import NEVER, Bounds, Left, Placement, Span

NOTHING: Mapping[str, int] = {}
SLACK = 0.01


def level(span: Span, start: Mapping[str, int] = NOTHING) -> Placement:
    """The placement of a span.

    With `start`, the days of an earlier plan: they stand as they are while they
    do as well as a search would be asked to, one part in 100 above the bound, and
    are what it keeps near to otherwise. Tasks that fall off the end of the span
    stand neither in `days` nor in `left`. Raises ValueError where ids or links of
    tasks make no chains.
    """
    known = chains_of(span)
    floor = Floor(span, known.chains)
    bounds = floor.bounds()
    board = Board(span, known.chains, start)
    search = Search(board, bounds)
    if start:
        board.usual = list(board.day)
    if not (start and search.fits() and board.busiest() <= bounds.busiest * (1 + SLACK)):
        search.run()
        settled(search)
    return _placed(board, floor.within(bounds, board.over(), max(0, board.worst())), known.left)


def improved(span: Span, start: Mapping[str, int]) -> tuple[int, int]:
    """What can be had soon from days that nearly do: above all supplies, and minutes over.

    For questions of what would help; the days are made better step by step only.
    """
    known = chains_of(span)
    search = Search(Board(span, known.chains, start), Floor(span, known.chains).bounds())
    search.cap(NEVER)
    search.better()
    return search.best[1], search.best[2]


def _placed(board: Board, bounds: Bounds, left: tuple[Left, ...]) -> Placement:
    names = sorted(board.span.supplies)
    ids = [ranged.task.id for ranged in board.ranged]
    return Placement(
        days=dict(zip(ids, board.day, strict=True)),
        loads=tuple(board.load),
        busiest=board.busiest(),
        over=board.over(),
        worst=max(0, board.worst()),
        supply_over=dict(zip(names, board.supply_over(), strict=True)),
        bounds=bounds,
        late={ranged.task.id: ranged.late for ranged in board.ranged if ranged.late},
        left=left,
        moved=sum(ranged.task.usual != day
                  for ranged, day in zip(board.ranged, board.day, strict=True)),
        clashes=board.all_clashes(),
        may={name: _may(board, i) for i, name in enumerate(ids)},
    )  # fmt: skip


def _may(board: Board, i: int) -> tuple[int, ...]:
    return tuple(
        sorted({board.day[i], *(day for day in board.spots(i) if not board.clashes(i, day))})
    )
