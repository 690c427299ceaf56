"""The search for the days: several ways to begin, each made better, the best one kept.

Fixed rounds and a fixed seed, never a clock, so the same span gives the same
days. What is sought, in this order: no clash, nothing above a supply, the fewest
minutes over the limits, the lowest busiest day; then days near the usual ones
and visits joined (`level_habit`).
"""

from collections.abc import Callable

from roomtasks.room.level_board import Board
from roomtasks.room.level_fill import filled
from roomtasks.room.level_moves import anneal, descend
from roomtasks.room.level_share import diffuse, route
from roomtasks.room.level_task import NEVER, Bounds

SEED = 20270301
SPARES = (0.0, 0.006)
ROUNDS, LEAST_ROUNDS = 60_000, 300
WARM, COLD = 5.0, 1.0  # in units of a 350th of the busiest day, squared
WARMED = 3
NARROWED = 3

Score = tuple[int, int, int, int]


def score(board: Board) -> Score:
    """What counts before habit: clashes, supplies, minutes over, the busiest day."""
    return board.all_clashes(), sum(board.supply_over()), board.over(), board.busiest()


class Search:
    """One search: the board, the best days so far and what cannot be beaten."""

    def __init__(self, board: Board, bounds: Bounds) -> None:
        self.board = board
        self.bounds = bounds
        self.unit = (max(bounds.busiest, 1) / 350.0) ** 2
        self.turn = 0
        board.scaled(max(bounds.busiest, 1))
        self.best = score(board)
        self.days = list(board.day)

    def run(self) -> None:
        """Leave the board on the best days found."""
        self.cap(self.bounds.busiest)
        self.tries(lambda: self.fits() and self.best[3] <= self.bounds.busiest)
        if not self.fits():
            self.cap(NEVER)
            self.tries(self.fits)
        self.narrow()
        self.board.lay(self.days)

    def fits(self) -> bool:
        """Whether nothing that comes before the busiest day can be better."""
        clashes, supplies, over, _ = self.best
        allowed = sum(self.bounds.supplies.values())
        return clashes == 0 and supplies <= allowed and over <= self.bounds.over

    def cap(self, busiest: int) -> None:
        """Cap each day at its limit and at the busiest; a day that is over, where it is."""
        board, span = self.board, self.board.span
        board.caps = [
            min(limit, busiest) if span.open(day) else NEVER
            for day, limit in enumerate(span.limits)
        ]

    def tries(self, enough: Callable[[], bool]) -> None:
        """Begin as usual, with days filled in turn, and with the best days warmed up."""
        for begin in (self.as_best, *map(self.as_filled, SPARES), *[self.warmed] * WARMED):
            if enough():
                return
            begin()
            self.better()

    def as_best(self) -> None:
        self.board.lay(self.days)

    def as_filled(self, spare: float) -> Callable[[], None]:
        def begin() -> None:
            top = max((cap for cap in self.board.caps if cap < NEVER), default=0)
            days = filled(self.board, round(top * spare))
            if days is not None:
                self.board.lay(days)

        return begin

    def warmed(self) -> None:
        """The best days, annealed a little."""
        self.board.lay(self.days)
        self.anneal(ROUNDS, WARM, COLD)

    def anneal(self, rounds: int, hot: float, cold: float) -> None:
        """Anneal the days as they lie, fewer rounds where one costs more."""
        board = self.board
        dear = sum(not board.plain[i] for i in board.movable) / max(1, len(board.movable))
        rounds = min(int(rounds / (1 + 6 * dear)), LEAST_ROUNDS * len(board.movable))
        self.turn += 1
        anneal(board, rounds, SEED + self.turn, hot * self.unit, cold * self.unit)

    def better(self) -> None:
        """Make the days as they lie better; keep them if they are the best yet."""
        self.improve()
        found = score(self.board)
        if found < self.best:
            self.best, self.days = found, list(self.board.day)

    def improve(self) -> None:
        """Make the days as they lie better step by step."""
        for _ in range(2):
            diffuse(self.board, 20)
            route(self.board, 60)
            descend(self.board, 40)
            if self.board.energy() <= 0:
                return

    def narrow(self) -> None:
        """Halve what lies between the bound and the busiest day, as often as that is found."""
        low, high = self.bounds.busiest, self.best[3]
        for _ in range(NARROWED):
            if high - low <= 1:
                return
            middle = (low + high) // 2
            self.cap(middle)
            self.warmed()
            self.better()
            low, high = (low, self.best[3]) if self.best[3] <= middle else (middle, high)
