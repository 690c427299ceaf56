"""Levelling: lay every task of a span on a day, and say how far that is from the best possible.

`level` goes through it once: chains by themselves (`level_chain`), what no
placing can be below (`level_bound`), the search (`level_search`), what found no
place. Same span, same placement, in whatever order the tasks come.
"""

from collections.abc import Mapping
from dataclasses import replace

from roomtasks.room.level_board import Board
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_exact import looked_through
from roomtasks.room.level_habit import settled
from roomtasks.room.level_keep import kept
from roomtasks.room.level_push import pushed
from roomtasks.room.level_rescue import Rescue, rescued
from roomtasks.room.level_score import score, supply_over
from roomtasks.room.level_search import Search
from roomtasks.room.level_task import NEVER, Bounds, Left, Placement, Span

NOTHING: Mapping[str, int] = {}


def level(span: Span, start: Mapping[str, int] = NOTHING) -> Placement:
    """The placement of a span.

    With `start`, the days of an earlier plan: they stand while no others are
    better by one part in 100, and are what it keeps near to otherwise. Tasks that
    fall off the end of the span stand neither in `days` nor in `left`. Raises
    ValueError where ids or links of tasks make no chains.
    """
    known = chains_of(span)
    floor = Floor(span, known.chains)
    bounds = floor.bounds()
    board = Board(span, known.chains, start)
    search = Search(board, bounds)
    if start:
        kept(search)
        found = score(board)
        bounds = floor.within(bounds, found.over, found.worst)
    else:
        bounds = _searched(search, floor, bounds)
    rescue = rescued(board)
    if rescue.late or rescue.left:
        bounds = _without(board, rescue)
    return _placed(board, bounds, known.left, rescue)


def _without(board: Board, rescue: Rescue) -> Bounds:
    """The bounds without the tasks that were put late or left: of those they say nothing."""
    gone = {board.ranged[i].task.id for i in {*rescue.late, *rescue.left}}
    tasks = tuple(
        replace(task, days=(), pinned=None) if task.id in gone else task
        for task in board.span.tasks
    )
    span = replace(board.span, tasks=tasks)
    floor, found = Floor(span, chains_of(span).chains), score(board)
    return floor.within(floor.bounds(), found.over, found.worst)


def _searched(search: Search, floor: Floor, bounds: Bounds) -> Bounds:
    """Search, settle by habit, and give the bounds for what was found."""
    search.run()
    proven = False
    if not search.enough():
        search.days, proven = looked_through(search.board, search.best, search.days)
    board = search.board
    board.lay(search.days)
    search.best = score(board)
    best = search.best
    settled(search)
    if proven:
        return replace(bounds, over=best.over, worst=best.worst, busiest=best.busiest)
    return floor.within(bounds, best.over, best.worst)


def improved(span: Span, start: Mapping[str, int]) -> tuple[int, int]:
    """What can be had soon from days that nearly do: above all supplies, and minutes over.

    For questions of what would help; the days are made better step by step only.
    """
    known = chains_of(span)
    search = Search(Board(span, known.chains, start), Floor(span, known.chains).bounds())
    search.cap(NEVER)
    search.better()
    return search.best.supplies, search.best.over


def _placed(
    board: Board, bounds: Bounds, left: tuple[Left, ...], rescue: Rescue
) -> Placement:  # fmt: skip
    gone, found = set(rescue.left), score(board)
    ids = {i: ranged.task.id for i, ranged in enumerate(board.ranged) if i not in gone}
    late = {ids[i]: board.ranged[i].late for i in ids if board.ranged[i].late}
    return Placement(
        days={name: board.day[i] for i, name in ids.items()},
        loads=tuple(board.load),
        busiest=found.busiest,
        over=found.over,
        worst=found.worst,
        supply_over=dict(zip(sorted(board.span.supplies), supply_over(board), strict=True)),
        bounds=bounds,
        late={**late, **{ids[i]: days for i, days in rescue.late.items() if i in ids}},
        put_late={ids[i]: why for i, why in rescue.why.items() if i in ids},
        left=(*left, *(Left(id=board.ranged[i].task.id, why="no-place", proven=False)
                       for i in rescue.left)),
        moved=sum(board.ranged[i].task.usual != board.day[i] for i in ids),
        may={name: _may(board, i) for i, name in ids.items()},
    )  # fmt: skip


def _may(board: Board, i: int) -> tuple[int, ...]:
    """Days a task could take, those behind it in its chain moving along."""
    p = board.before[i]
    first, last = (
        (0, board.span.n_days) if p < 0 else (board.lo[i][board.day[p]], board.hi[i][board.day[p]])
    )
    return tuple(
        sorted(
            day for day in board.days[i]
            if day == board.day[i]
            or (first <= day <= last and not board.clashes(i, day)
                and pushed(board, i, day) is not None)
        )
    )  # fmt: skip
