"""What counts of days being levelled, before habit: in the order in which it counts."""

from typing import NamedTuple

from roomtasks.room.level_board import Board


class Score(NamedTuple):
    """Pairs that clash, what is above supplies, minutes over in all and of the worst day, busiest.

    Compared from the left, less is better.
    """

    clashes: int
    supplies: int
    over: int
    worst: int
    busiest: int


def score(board: Board) -> Score:
    """The score of the days as they lie."""
    span = board.span
    counted = [
        (load, limit)
        for day, (load, limit) in enumerate(zip(board.load, span.limits, strict=True))
        if span.counted(day)
    ]
    overs = [load - limit for load, limit in counted if load > limit]
    return Score(
        board.clashing(), sum(supply_over(board)), sum(overs), max(overs, default=0),
        max((load for load, _ in counted), default=0),
    )  # fmt: skip


def supply_over(board: Board) -> list[int]:
    """What is taken above each supply, over all days."""
    return [
        sum(max(0, used - most) for used, most in zip(*rows, strict=True))
        for rows in zip(board.used, board.supply, strict=True)
    ]
