"""The days while they are being levelled: loads, set-ups and litres, and what a move does to them.

Mutable, made anew for each search, never seen outside it. The energy is what is
to be brought down: squares of what lies above a day's cap and above a supply,
and so much for each clash. `price` weighs days off the usual one and visits that
are not joined.
"""

from collections.abc import Mapping, Sequence

from roomtasks.room.level_chain import Chain, Ranged, nearest
from roomtasks.room.level_task import NEVER, Span

Move = tuple[int, int]


class Board:
    """Tasks by number, in an order that does not depend on how they came."""

    def __init__(self, span: Span, chains: Sequence[Chain], start: Mapping[str, int]) -> None:
        """Lay the chains as near as can be to `start`, else on the days they were laid on."""
        self.span = span
        self.ranged: list[Ranged] = [ranged for chain in chains for ranged in chain]
        number = {ranged.task.id: n for n, ranged in enumerate(self.ranged)}
        self.size = [ranged.task.size for ranged in self.ranged]
        self.days = [ranged.days for ranged in self.ranged]
        self.may = [frozenset(ranged.days) for ranged in self.ranged]
        self.movable = [i for i, days in enumerate(self.days) if len(days) > 1]
        self.usual = [ranged.task.usual for ranged in self.ranged]
        self.lo = [ranged.lo for ranged in self.ranged]
        self.hi = [ranged.hi for ranged in self.ranged]
        self.before, self.behind = _links(chains)
        self.rivals = _rivals(span, number)
        self._supply(span)
        self._shares(span)
        self.caps = [limit if span.counted(day) else NEVER for day, limit in enumerate(span.limits)]
        self.limits = [
            limit if span.counted(day) else NEVER for day, limit in enumerate(span.limits)
        ]
        self.price = self.mild = 0.0
        self.day = [ranged.day for ranged in self.ranged]
        if start:
            self.day = [day for chain in chains for day in nearest(chain, start)]
        if not _sound(self):
            self.day = [ranged.day for ranged in self.ranged]
        self.home = list(self.day)
        self.lay(self.day)
        self.weight = [1.0] * len(self.supply)
        self.clash = 1.0

    def _supply(self, span: Span) -> None:
        names = sorted(span.supplies)
        at = {name: n for n, name in enumerate(names)}
        self.supply = [
            [
                most if span.counted(day) else NEVER * NEVER
                for day, most in enumerate(span.supplies[s])
            ]
            for s in names
        ]
        self.given = [list(most) for most in self.supply]
        self.uses = [
            tuple((at[name], taken) for name, taken in ranged.task.uses if name in at and taken)
            for ranged in self.ranged
        ]

    def _shares(self, span: Span) -> None:
        """Number the set-ups that a move can change: not those paid on all of its days anyway."""
        standing: dict[str, set[int]] = {}
        for ranged in self.ranged:
            if len(ranged.days) == 1:
                for name in ranged.task.shares:
                    standing.setdefault(name, set()).add(ranged.days[0])
        names = sorted({name for ranged in self.ranged for name in ranged.task.shares})
        self.cost = [span.shared[name].cost for name in names]
        self.points = [span.shared[name].points for name in names]
        self.free = [span.shared[name].first_free for name in names]
        at = {name: n for n, name in enumerate(names)}
        self.shares = [
            tuple(
                at[name]
                for name in ranged.task.shares
                if (span.shared[name].cost or span.shared[name].points)
                and (len(ranged.days) == 1 or not standing.get(name, set()).issuperset(ranged.days))
            )
            for ranged in self.ranged
        ]
        self.joined: list[list[int]] = [[] for _ in names]
        for i, shares in enumerate(self.shares):
            if len(self.days[i]) > 1:
                for share in shares:
                    self.joined[share].append(i)
        self.plain = [
            not shares and not rivals and len(uses) < 2
            for shares, rivals, uses in zip(self.shares, self.rivals, self.uses, strict=True)
        ]

    def lay(self, days: Sequence[int]) -> None:
        """Lay every task on its day and count everything anew."""
        n = self.span.n_days
        self.day = list(days)
        self.load = [0] * n
        self.used = [[0] * n for _ in self.supply]
        self.count = [[0] * n for _ in self.cost]
        self.frees = [0] * n
        self.visits = 0
        self.on: list[dict[int, None]] = [{} for _ in range(n)]
        for i in self.movable:
            self.on[days[i]][i] = None
        for i, day in enumerate(self.day):
            self._put(i, day)

    def _put(self, i: int, day: int) -> None:
        load = self.size[i]
        for s, taken in self.uses[i]:
            self.used[s][day] += taken
        for share in self.shares[i]:
            here = self.count[share]
            here[day] += 1
            if here[day] == 1:
                load += self._first(share, day, 1)
                self.visits += self.points[share]
        self.load[day] += load

    def _take(self, i: int, day: int) -> None:
        load = self.size[i]
        for s, taken in self.uses[i]:
            self.used[s][day] -= taken
        for share in self.shares[i]:
            here = self.count[share]
            here[day] -= 1
            if here[day] == 0:
                load += self._first(share, day, -1)
                self.visits -= self.points[share]
        self.load[day] -= load

    def _first(self, share: int, day: int, step: int) -> int:
        """What a set-up costs that comes to a day, or leaves it."""
        if not self.free[share]:
            return self.cost[share]
        stood = self.frees[day]
        self.frees[day] = stood + step
        return self.cost[share] if max(stood, stood + step) > 1 else 0

    def allow(self, i: int, days: tuple[int, ...], hi: tuple[int, ...]) -> None:
        """Let a task lie on these days, so late at most by the day of the one before it."""
        self.days[i], self.may[i], self.hi[i] = days, frozenset(days), hi
        self.on[self.day[i]][i] = None

    def put(self, i: int) -> None:
        """Count a task on its day again that was taken off."""
        self._put(i, self.day[i])

    def take(self, i: int) -> None:
        """Count a task on its day no more, until it is put back or all is laid anew."""
        self._take(i, self.day[i])

    def move(self, i: int, day: int) -> None:
        """Lay a task that has a choice on another day."""
        here = self.day[i]
        self._take(i, here)
        self._put(i, day)
        self.day[i] = day
        del self.on[here][i]
        self.on[day][i] = None

    def fits(self, i: int, day: int) -> bool:
        """Whether the gaps to the ones before and behind it in its chain hold on that day."""
        p, q = self.before[i], self.behind[i]
        return (p < 0 or self.lo[i][self.day[p]] <= day <= self.hi[i][self.day[p]]) and (
            q < 0 or self.lo[q][day] <= self.day[q] <= self.hi[q][day]
        )

    def spots(self, i: int) -> list[int]:
        """The other days a task may take with everything else left where it is."""
        here = self.day[i]
        return [day for day in self.days[i] if day != here and self.fits(i, day)]

    def clashes(self, i: int, day: int) -> int:
        """How many others forbid a task that day."""
        return sum(low <= day - self.day[j] <= high for j, low, high in self.rivals[i])

    def clashing(self) -> int:
        """How many pairs clash."""
        return sum(self.clashes(i, day) for i, day in enumerate(self.day) if self.rivals[i]) // 2

    def heat(self, day: int) -> float:
        """The energy of one day."""
        above = self.load[day] - self.caps[day]
        total: float = above * above if above > 0 else 0
        if self.mild:
            total += self.mild * _square(self.load[day] - self.limits[day])
        for s, most in enumerate(self.given):
            over = self.used[s][day] - most[day]
            if over > 0:
                total += self.weight[s] * over * over
        return total

    def energy(self) -> float:
        """All that is to be brought down but the price of habit."""
        return sum(map(self.heat, range(self.span.n_days))) + self.clash * self.clashing()

    def habit(self, i: int, day: int) -> int:
        """Days off its usual one."""
        off = day - self.usual[i]
        return off if off >= 0 else -off

    def swap_change(self, i: int, j: int) -> float:
        """The energy two tasks would save or cost by changing days, set-ups and clashes apart."""
        here, there = self.day[i], self.day[j]
        less = self.size[i] - self.size[j]
        energy = self._minutes(here, there, less, less)
        if self.uses[i] or self.uses[j]:
            net: dict[int, int] = dict(self.uses[i])
            for s, taken in self.uses[j]:
                net[s] = net.get(s, 0) - taken
            for s, taken in net.items():
                energy += self.supply_change(s, taken, here, there)
        return energy

    def _minutes(self, here: int, there: int, leaves: int, comes: int) -> float:
        """The energy of so many minutes less on one day and so many more on another."""
        gone, come = self.load[here] - self.caps[here], self.load[there] - self.caps[there]
        energy: float = 0
        if gone > 0:
            energy -= gone * gone
        if come > 0:
            energy -= come * come
        if (gone := gone - leaves) > 0:
            energy += gone * gone
        if (come := come + comes) > 0:
            energy += come * come
        if self.mild:
            energy += self.limit_change(here, there, leaves, comes)
        return energy

    def limit_change(self, here: int, there: int, leaves: int, comes: int) -> float:
        """The mild energy above limits where so many leave one day and come to another."""
        gone = self.load[here] - self.limits[here]
        come = self.load[there] - self.limits[there]
        return self.mild * (
            _square(gone - leaves) - _square(gone) + _square(come + comes) - _square(come)
        )

    def supply_change(self, s: int, taken: int, here: int, there: int) -> float:
        """The energy of so much less out of a supply on one day and more on another."""
        gone = self.used[s][here] - self.given[s][here]
        come = self.used[s][there] - self.given[s][there]
        return self.weight[s] * (
            _square(gone - taken) - _square(gone) + _square(come + taken) - _square(come)
        )

    def change(self, i: int, day: int) -> tuple[float, int]:
        """What the move of a task would do: to the energy, and to the points of preference."""
        here = self.day[i]
        leaves = comes = self.size[i]
        points = self.habit(i, day) - self.habit(i, here)
        for share in self.shares[i]:
            count = self.count[share]
            if count[here] == 1:
                points -= self.points[share]
                if not self.free[share] or self.frees[here] > 1:
                    leaves += self.cost[share]
            if count[day] == 0:
                points += self.points[share]
                if not self.free[share] or self.frees[day] > 0:
                    comes += self.cost[share]
        energy = self._minutes(here, day, leaves, comes)
        for s, taken in self.uses[i]:
            energy += self.supply_change(s, taken, here, day)
        if self.rivals[i]:
            energy += self.clash * (self.clashes(i, day) - self.clashes(i, here))
        return energy, points


def _sound(board: Board) -> bool:
    """Whether every task lies on a day that it may, also by the one before it."""
    return all(
        day in board.may[i]
        and (p < 0 or board.lo[i][board.day[p]] <= day <= board.hi[i][board.day[p]])
        for i, (day, p) in enumerate(zip(board.day, board.before, strict=True))
    )


def _square(above: int) -> int:
    return above * above if above > 0 else 0


def _links(chains: Sequence[Chain]) -> tuple[list[int], list[int]]:
    """Numbers of the tasks before and behind each in its chain, -1 for none."""
    before: list[int] = []
    behind: list[int] = []
    for chain in chains:
        start = len(before)
        before += [-1, *range(start, start + len(chain) - 1)]
        behind += [*range(start + 1, start + len(chain)), -1]
    return before, behind


def _rivals(span: Span, number: Mapping[str, int]) -> list[list[tuple[int, int, int]]]:
    """For each task: the others, and the days between them (own less other) that clash."""
    found: list[list[tuple[int, int, int]]] = [[] for _ in number]
    for clash in span.clashes:
        one, other = number.get(clash.first), number.get(clash.second)
        if one is None or other is None or one == other:
            continue
        if clash.in_order:
            found[one].append((other, 1 - clash.days, NEVER))
            found[other].append((one, -NEVER, clash.days - 1))
        else:
            found[one].append((other, 1 - clash.days, clash.days - 1))
            found[other].append((one, 1 - clash.days, clash.days - 1))
    return [sorted(rivals) for rivals in found]
