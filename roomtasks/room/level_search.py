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
from roomtasks.room.level_score import score
from roomtasks.room.level_share import diffuse, route
from roomtasks.room.level_task import NEVER, Bounds

SEED = 1
FILLS = ((0.0, False), (0.004, True), (0.004, False))  # room above the caps; short ones first
DEARER, GENTLE = 20.0, 0.05
ROUNDS, LEAST_ROUNDS = 60_000, 1_000
SHAKEN, FEW = 3, 150
MOST_TURNS = 12  # of annealing in all
HOT, WARM, COLD, COLDEST = 1000.0, 5.0, 1.0, 0.02  # in units of a tenth of the mean task, squared
WARMED = 3
NARROWED, NEAR = 3, 300
PASSES, GAINS, HOPELESS = 2, 0.9, 2.0


class Search:
    """One search: the board, the best days so far and what cannot be beaten."""

    def __init__(self, board: Board, bounds: Bounds) -> None:
        self.board = board
        self.bounds = bounds
        sizes = [board.size[i] for i in board.movable]
        self.unit = (max(1, sum(sizes)) / max(1, len(sizes)) / 10.0) ** 2
        self.turn, self.most_turns = 0, MOST_TURNS
        _scale(board, max(bounds.busiest, 1))
        self.best = score(board)
        self.days = self.cool_days = list(board.day)
        self.cool, self.cold = float("inf"), COLD
        self.least = (0, sum(bounds.supplies.values()))

    def run(self) -> None:
        """Leave the board on the best days found.

        Where something that comes before the busiest day does not fit yet, it is
        made dearer, then what comes after it is let go for a while.
        """
        self.cap(self.bounds.busiest)
        self.tries(self.enough)
        if not self.supplied():
            self.board.weight = [weight * DEARER for weight in self.board.weight]
            self.tries(self.supplied)
        if not self.supplied():
            self.by_supply_alone()
            self.least = self.best.clashes, self.best.supplies
            self.cap(self.bounds.busiest)
            self.tries(self.enough)
        if self.best.supplies > 0:
            self.board.lay(self.days)
            _grant(self.board)
            self.tries(self.enough)
        if not self.least_over() and self.cap(NEVER):
            self.tries(self.least_over)
        if self.best.over > 0:
            self.board.mild = GENTLE
            self.cap(self.bounds.busiest)
            self.tries(self.enough, fill=False)
        self.narrow()
        self.board.mild = 0.0
        self.board.lay(self.days)

    def by_supply_alone(self) -> None:
        """Look for days on which nothing is above a supply, minutes let go."""
        board = self.board
        dear, board.caps = board.weight, [NEVER] * board.span.n_days
        board.weight = []
        for s in range(len(board.supply)):
            taken = [n for i in board.movable for name, n in board.uses[i] if name == s]
            mean = sum(taken) / len(taken) if taken else 1.0
            board.weight.append(100.0 * self.unit / (mean * mean))
        self.cool, self.cold = float("inf"), COLDEST
        self.most_turns = self.turn + MOST_TURNS
        self.tries(self.supplied)
        board.weight, self.cold = dear, COLD
        self.most_turns = max(self.turn + MOST_TURNS // 3, MOST_TURNS)

    def enough(self) -> bool:
        """Whether all fits and the busiest day is so near its bound that habit goes first."""
        return (
            self.fits() and self.best.busiest <= self.bounds.busiest + self.bounds.busiest // NEAR
        )

    def supplied(self) -> bool:
        """Whether there are no fewer clashes, and no less above the supplies, to be looked for."""
        return (self.best.clashes, self.best.supplies) <= self.least

    def fits(self) -> bool:
        """Whether nothing that comes before the busiest day can be better."""
        return self.least_over() and self.best.worst <= self.bounds.worst

    def least_over(self) -> bool:
        """Whether all is supplied, and no plan has fewer minutes over."""
        return self.supplied() and self.best.over <= self.bounds.over

    def cap(self, busiest: int) -> bool:
        """Cap each day at the busiest there should be, and its limit; whether that is new.

        Where what is over limits counts mildly by itself, a cap is as much above the
        limit as the worst day must be.
        """
        board, span = self.board, self.board.span
        caps = [
            min(limit + (self.bounds.worst if board.mild else 0), busiest)
            if span.counted(day)
            else NEVER
            for day, limit in enumerate(span.limits)
        ]
        board.caps, new = caps, caps != board.caps
        self.cool = float("inf") if new else self.cool
        return new

    def tries(self, enough: Callable[[], bool], fill: bool = True) -> None:
        """Begin as usual, with days filled in turn, and with the best days warmed up.

        Warming ends once it has gained nothing twice.
        """
        idle = 0
        fills = [self.as_filled(spare, small_first) for spare, small_first in FILLS] if fill else []
        for begin in (self.as_best, *fills, *[self.warmed] * WARMED):
            if enough() or idle > 1 or self.turn >= self.most_turns:
                break
            begin()
            gained = self.better()
            idle = 0 if gained or begin != self.warmed else idle + 1
        for _ in range(SHAKEN):
            few = len(self.board.movable) <= FEW or not self.supplied()
            if enough() or not few or self.turn >= self.most_turns:
                break
            self.shaken()
            self.better()

    def as_best(self) -> None:
        self.board.lay(self.days)

    def as_filled(self, spare: float, small_first: bool) -> Callable[[], None]:
        def begin() -> None:
            top = max((cap for cap in self.board.caps if cap < NEVER), default=0)
            days = filled(self.board, round(top * spare), small_first)
            if days is not None:
                self.board.lay(days)

        return begin

    def warmed(self) -> None:
        """The days of least energy under these caps, annealed a little."""
        self.board.lay(self.cool_days if self.cool < float("inf") else self.days)
        self.anneal(ROUNDS, WARM, self.cold)

    def shaken(self) -> None:
        """The best days, annealed from hot."""
        self.board.lay(self.days)
        self.anneal(ROUNDS, HOT, self.cold)

    def anneal(self, rounds: int, hot: float, cold: float) -> None:
        """Anneal the days as they lie, fewer rounds where one costs more."""
        board = self.board
        dear = sum(not board.plain[i] for i in board.movable) / max(1, len(board.movable))
        rounds = min(int(rounds / (1 + 6 * dear)), LEAST_ROUNDS * len(board.movable))
        self.turn += 1
        anneal(board, rounds, SEED + self.turn, hot * self.unit, cold * self.unit)

    def better(self) -> bool:
        """Make the days as they lie better; keep them if they are the best yet."""
        self.improve(HOPELESS * self.cool if self.best.supplies == 0 else float("inf"))
        if (energy := self.board.energy()) < self.cool:
            self.cool, self.cool_days = energy, list(self.board.day)
        found = score(self.board)
        if found >= self.best:
            return False
        self.best, self.days = found, list(self.board.day)
        return True

    def improve(self, hopeless: float = float("inf")) -> None:
        """Make the days as they lie better step by step.

        Given up where their energy is hopeless when shared out, or a pass gains little.
        """
        for _ in range(PASSES):
            diffuse(self.board, 20)
            energy = self.board.energy()
            if energy <= 0 or energy > hopeless:
                return
            route(self.board, 60)
            descend(self.board, 40)
            now = self.board.energy()
            if now <= 0 or (now > GAINS * energy and self.best.supplies == 0):
                return

    def narrow(self) -> None:
        """Halve what lies between the bound and the busiest day, as often as that is found."""
        low, high = self.bounds.busiest, self.best.busiest
        for _ in range(1 if self.best.over else NARROWED):
            days = self.cool_days
            middle = (low + high) // 2
            if self.enough() or high - low <= 1 or not self.cap(middle):
                return
            self.board.lay(days)
            if not self.better() or self.best.busiest > middle:
                self.warmed()
                self.better()
            low, high = (low, self.best.busiest) if self.best.busiest <= middle else (middle, high)


def _scale(board: Board, busiest: int) -> None:
    """Weigh litres and clashes against minutes, given about how long the longest day is."""
    board.clash = 1000.0 * busiest**2
    for s, most in enumerate(board.supply):
        taken = max((n for uses in board.uses for name, n in uses if name == s), default=1)
        given = [n for day, n in enumerate(most) if board.span.counted(day)]
        board.weight[s] = 30.0 * (busiest / max(1, taken, *given)) ** 2


def _grant(board: Board) -> None:
    """Count what each supply gives too much of as given from now on, day by day."""
    board.given = [
        [max(most, used) for most, used in zip(*rows, strict=True)]
        for rows in zip(board.supply, board.used, strict=True)
    ]
