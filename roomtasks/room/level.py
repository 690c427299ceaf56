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
from roomtasks.room.level_task import Placement, Span

NOTHING: Mapping[str, int] = {}


def level(span: Span, start: Mapping[str, int] = NOTHING) -> Placement:
    """The placement of a span. `start` are days to begin from, as of an earlier plan.

    Tasks that fall off the end of the span stand neither in `days` nor in `left`.
    Raises ValueError where ids or links of tasks make no chains.
    """
    known = chains_of(span)
    floor = Floor(span, known.chains)
    bounds = floor.bounds()
    board = Board(span, known.chains, start)
    search = Search(board, bounds)
    search.run()
    settled(search)
    names = sorted(span.supplies)
    ids = [ranged.task.id for ranged in board.ranged]
    return Placement(
        days=dict(zip(ids, board.day, strict=True)),
        loads=tuple(board.load),
        busiest=board.busiest(),
        over=board.over(),
        supply_over=dict(zip(names, board.supply_over(), strict=True)),
        bounds=floor.within(bounds, board.over()),
        late={ranged.task.id: ranged.late for ranged in board.ranged if ranged.late},
        left=known.left,
        moved=sum(ranged.task.usual != day
                  for ranged, day in zip(board.ranged, board.day, strict=True)),
        clashes=board.all_clashes(),
        may={name: _may(board, i) for i, name in enumerate(ids)},
    )  # fmt: skip


def _may(board: Board, i: int) -> tuple[int, ...]:
    return tuple(
        sorted({board.day[i], *(day for day in board.spots(i) if not board.clashes(i, day))})
    )
