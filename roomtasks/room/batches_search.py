"""Search behind `batches`: a walk of pieces shared out over fills of several vessels.

Lives here: whole numbers (microlitres) only. A walk is a graph of positions:
each edge is one piece and leads further on; a fill serves the pieces of one
path. It branches only at a draw larger than a fill, whose rest may come before
or after its full fills. Vessels are used in rounds: one is filled again only
once the round is over.
Does not live here: litres, names and what may hold what (`batches`).

Exact by dynamic programming over (position, vessels used in this round): the
fewest rounds, of these the fewest fills, of these the most even.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_Path = tuple["_Path", "Piece"] | None


@dataclass(frozen=True, slots=True)
class Piece:
    """A draw, or a part of one larger than a fill. `fits` has a bit for each vessel that may."""

    draw: int
    size: int
    litres: float
    fits: int


@dataclass(frozen=True, slots=True)
class Fill:
    """Pieces out of one fill of one vessel, in the order of the walk."""

    vessel: int
    pieces: tuple[Piece, ...]

    @property
    def size(self) -> int:
        """What the fill gives."""
        return sum(piece.size for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class Tubs:
    """Vessels, largest first: what a fill of each gives, what its first one does, its twin.

    `first` is 0 where the first fill is as any other. `twin` is the vessel before
    it that does the very same, or -1.
    """

    most: tuple[int, ...]
    first: tuple[int, ...]
    twin: tuple[int, ...]


Walk = list[list[tuple[Piece, int]]]


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Pieces one fill could serve from a position on: where it ends, how much, the first one."""

    end: int
    size: int
    fits: int
    head: int
    path: _Path


@dataclass(frozen=True, slots=True)
class _Ahead:
    """What is still to come: how much, and in how many fills at the least."""

    size: int
    fills: int


@dataclass(frozen=True, slots=True)
class _Limit:
    """Whether what is still to come can be done in the rounds there are."""

    rounds: int
    ahead: _Ahead

    def allows(self, tubs: Tubs, rounds: int, fills: int, used: int) -> bool:
        if rounds > self.rounds or fills + self.ahead.fills > self.rounds * len(tubs.most):
            return False
        over = self.ahead.size - (self.rounds - rounds) * sum(tubs.most)
        if over <= 0:
            return True
        return over <= sum(most for v, most in enumerate(tubs.most) if not used >> v & 1)


@dataclass(frozen=True, slots=True)
class _Reached:
    """The best way to a position with these vessels used.

    Rounds, fills, their sizes falling; then what waits, by the rounds it waits, and
    sizes below zero in the order of the walk, so that of ways as good the one with
    the fuller fills first is less.
    """

    rounds: int
    fills: int
    sizes: tuple[int, ...]
    waits: int
    turns: tuple[int, ...]
    back: "tuple[_Reached, _Path, int] | None"


def walk_of(parts: Sequence[Sequence[Piece]]) -> Walk:
    """The graph of a walk: each draw's pieces, full ones first and the rest last."""
    walk: Walk = [[]]
    for pieces in parts:
        start, many = len(walk) - 1, len(pieces)
        if many == 1 or pieces[0].size == pieces[-1].size:
            for piece in pieces:
                walk[-1].append((piece, len(walk)))
                walk.append([])
            continue
        # Two ways to one end: the rest first, by the places after start, or last.
        end = start + 2 * many - 1
        walk.extend([] for _ in range(end - start))
        for first, order in ((start + 1, (pieces[-1], *pieces[:-1])), (start + many, pieces)):
            places = (start, *range(first, first + many - 1), end)
            for piece, at, to in zip(order, places, places[1:], strict=False):
                walk[at].append((piece, to))
    return walk


def share_walk(walk: Walk, tubs: Tubs) -> list[Fill]:
    """The fewest rounds in the order of the walk, then the fewest fills, then the most even.

    Most even: the largest fill as small as can be, then the next; of ways as good
    the one with least left for later rounds, then with the fuller fills first.
    Every piece must go into a fill of some vessel.
    """
    ahead = _ahead(walk, tubs)
    many, whole = len(tubs.most), sum(tubs.most)
    least = max(-(-ahead[0].fills // many), -(-ahead[0].size // whole))
    for rounds in range(least, len(walk)):
        found = _search(walk, tubs, ahead, rounds)
        if found is not None:
            return _traced(found)
    raise ValueError("a piece goes into no vessel")


def _stretches(walk: Walk, start: int, tubs: Tubs) -> Iterator[_Stretch]:
    stack: list[tuple[int, int, int, int, _Path]] = [(start, 0, -1, 0, None)]
    while stack:
        at, size, fits, head, path = stack.pop()
        if path is not None:
            yield _Stretch(at, size, fits, head, path)
        for piece, to in reversed(walk[at]):
            bits, total = fits & piece.fits, size + piece.size
            if any(bits >> v & 1 and total <= most for v, most in enumerate(tubs.most)):
                stack.append((to, total, bits, head or piece.size, (path, piece)))


def _ahead(walk: Walk, tubs: Tubs) -> list[_Ahead]:
    """What is still to come from each position on."""
    never = len(walk)
    found = [_Ahead(0, 0)] * len(walk)
    for at in range(len(walk) - 2, -1, -1):
        piece, to = walk[at][0]
        ends = (found[stretch.end].fills for stretch in _stretches(walk, at, tubs))
        found[at] = _Ahead(piece.size + found[to].size, min(never, 1 + min(ends, default=never)))
    return found


def _search(walk: Walk, tubs: Tubs, ahead: Sequence[_Ahead], rounds: int) -> _Reached | None:
    """The best way to the end in at most so many rounds, None where there is none."""
    virgin = sum(1 << v for v, first in enumerate(tubs.first) if first)
    tables: list[dict[tuple[int, int], _Reached]] = [{} for _ in walk]
    tables[0][0, virgin] = _Reached(1, 0, (), 0, (), None)
    for at in range(len(walk) - 1):
        here = list(tables[at].items())
        if not here:
            continue
        for stretch in _stretches(walk, at, tubs):
            for state, reached in here:
                _fill(tables[stretch.end], tubs, state, reached, stretch,
                      _Limit(rounds, ahead[stretch.end]))  # fmt: skip
    return min(tables[-1].values(), key=_rank, default=None)


def _rank(reached: _Reached) -> tuple[int, int, tuple[int, ...], int, tuple[int, ...]]:
    return reached.rounds, reached.fills, reached.sizes, reached.waits, reached.turns


def _fill(
    table: dict[tuple[int, int], _Reached], tubs: Tubs, state: tuple[int, int],
    reached: _Reached, stretch: _Stretch, limit: _Limit,
) -> None:  # fmt: skip
    """Serve a stretch from each vessel that can, and keep what is better than what was known."""
    used, virgin = state
    count = reached.fills + 1
    sizes: tuple[int, ...] = ()
    for v, most in enumerate(tubs.most):
        bit, twin = 1 << v, tubs.twin[v]
        as_it_stands = virgin & bit and stretch.head <= tubs.first[v]
        if not stretch.fits & bit or stretch.size > (tubs.first[v] if as_it_stands else most):
            continue
        if twin >= 0 and (used >> twin & 1) == (used >> v & 1):
            continue
        again = bool(used & bit)
        rounds, now = reached.rounds + again, (bit if again else used | bit)
        if not limit.allows(tubs, rounds, count, now):
            continue
        key = (now, virgin & ~bit)
        known = table.get(key)
        if known is not None and (known.rounds, known.fills) < (rounds, count):
            continue
        sizes = sizes or tuple(sorted((*reached.sizes, stretch.size), reverse=True))
        made = _Reached(
            rounds, count, sizes, reached.waits + (rounds - 1) * stretch.size,
            (*reached.turns, -stretch.size), (reached, stretch.path, v),
        )  # fmt: skip
        if known is None or _rank(made) < _rank(known):
            table[key] = made


def _traced(found: _Reached) -> list[Fill]:
    fills: list[Fill] = []
    back = found.back
    while back is not None:
        before, path, vessel = back
        pieces: list[Piece] = []
        while path is not None:
            path, piece = path
            pieces.append(piece)
        fills.append(Fill(vessel, tuple(reversed(pieces))))
        back = before.back
    return fills[::-1]
