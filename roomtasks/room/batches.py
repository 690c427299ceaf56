"""Batches: how the draws of one kind of water are shared out over fills of the reservoirs.

Lives here: sharing in the order of the walk, in any order, and by litres alone;
and how much is run in for each fill. All litres are out of the reservoir, the
loss in hoses counted in.
Does not live here: which draws there are (`demand`), what a fill gives (`pool`),
when it is ready (`ready`), what goes into it (`dosing`), and what to do when it
is too little (`shortage`).

A draw comes out of one fill. One larger than a fill is cut into full fills and
a rest. A round is each reservoir once: a further one takes as long again as
filling and heating do, so in walking order the fewest rounds come first, then
the fewest fills, then the most even.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum

from roomtasks.room.batches_even import seated
from roomtasks.room.batches_search import Fill, Piece, Tubs, Walk, share_walk, walk_of
from roomtasks.room.naming import job_at
from roomtasks.room.packing import MOST_SIZES, STEPS, microlitres
from roomtasks.room.packing_tied import FREE, Asked, least_fills, pack_tied
from roomtasks.room.pool import pool_of, vessels_of
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, first, refuse, zero_or_more
from roomtasks.room.water_plan import Draw, Share, Split, Vessel

__all__ = [
    "filled", "filled_split", "pool_of", "split_any_order", "split_by_litres", "split_walking",
    "vessels_of",
]  # fmt: skip

WALKING, ANY_ORDER = "walking", "any"
NO_RESERVOIR = "no-reservoir"
_TOLERANCE = 1e-6


# --- by litres alone --------------------------------------------------------------------


def split_by_litres(total_litres: float, vessels: Sequence[Vessel]) -> tuple[float, ...] | Problem:
    """Litres of each fill, whatever the draws: full fills first, then what is left.

    The fewest rounds, and of these the fewest fills: 919 L of 560 a fill are
    (560, 359). Refuses an amount that is not above zero, and no reservoir.
    """
    fault = above_zero("litres", total_litres, "L") or _no_room(vessels, "")
    if fault is not None:
        return fault
    most = sorted((v.most_litres for v in vessels if v.most_litres > 0), reverse=True)
    if total_litres / most[0] > MOST_SIZES:
        what = f"{total_litres:g} L are more than {MOST_SIZES} fills of {most[0]:g} L"
        return refuse("litres", what, "check the litres, or the size of the reservoirs")
    rounds = count = 1
    while rounds * fsum(most) < total_litres - _TOLERANCE:
        rounds += 1
    every = sorted(most * rounds, reverse=True)
    while fsum(every[:count]) < total_litres - _TOLERANCE:
        count += 1
    sizes, left = [], total_litres
    for size in every[:count]:
        sizes.append(min(size, left))
        left -= sizes[-1]
    return tuple(sizes)


def _no_room(vessels: Sequence[Vessel], recipe: str) -> Problem | None:
    if any(vessel.most_litres > 0 for vessel in vessels):
        return None
    where, named = "reservoirs", ", ".join(vessel.code for vessel in vessels)
    if named:
        what = f"a fill of {named} gives nothing above its dead volume and keep-back"
        return Problem(where, what, "give it less keep-back", NO_RESERVOIR)
    what = f"none can hold {recipe} water" if recipe else "the room has none"
    remedy = f"let one hold {recipe}, or add one" if recipe else "add one"
    return Problem(where, what, remedy, NO_RESERVOIR)


# --- draws over fills -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Laid:
    """Draws in walking order, the reservoirs they come from, and each draw's pieces."""

    draws: tuple[Draw, ...]
    pool: tuple[Vessel, ...]
    parts: tuple[tuple[Piece, ...], ...]
    named: tuple[int, ...]  # places in the pool that draws name

    def pieces(self) -> list[Piece]:
        return [piece for parts in self.parts for piece in parts]

    def asked(self) -> Asked:
        every = (1 << len(self.pool)) - 1
        tied: dict[int, list[int]] = {v: [] for v in self.named}
        free: list[int] = []
        for piece in sorted(self.pieces(), key=lambda piece: -piece.size):
            (free if piece.fits == every else tied[piece.fits.bit_length() - 1]).append(piece.size)
        most = {v: microlitres(vessel.most_litres) for v, vessel in enumerate(self.pool)}
        return Asked(tied, free, most, most[0])


def _laid_out(draws: Sequence[Draw], vessels: Sequence[Vessel]) -> _Laid | Problem:
    recipes = {draw.recipe for draw in draws}
    if len(recipes) > 1:
        raise ValueError(f"waters that cannot help each other: {sorted(recipes)}")
    if not draws:
        return refuse("draws", "there are none", "give at least one")
    recipe = recipes.pop()
    pool = tuple(vessel for vessel in pool_of(vessels, recipe) if vessel.most_litres > 0)
    fault = _no_room(pool or pool_of(vessels, recipe), recipe)
    if fault is not None:
        return fault
    places = {vessel.code: place for place, vessel in enumerate(pool)}
    ordered = tuple(sorted(draws, key=lambda draw: draw.order))
    parts: list[tuple[Piece, ...]] = []
    count = 0
    for n, draw in enumerate(ordered):
        fault = _draw_fault(draw, places, recipe)
        if fault is not None:
            return fault
        parts.append(_cut(n, draw, pool, places))
        count += len(parts[-1])
        if count > MOST_SIZES:
            what = f"{len(draws)} draws make more than {MOST_SIZES} parts"
            return refuse("draws", what, "check their litres, or the size of the reservoirs")
    named = {places[draw.reservoir] for draw in draws if draw.reservoir}
    return _Laid(ordered, pool, tuple(parts), tuple(sorted(named)))


def _draw_fault(draw: Draw, places: Mapping[str, int], recipe: str) -> Problem | None:
    where = f"{draw.due_id} litres"
    fault = above_zero(where, draw.from_reservoir, "L")
    if fault is None and microlitres(draw.from_reservoir) < 1:
        fault = refuse(where, f"{draw.from_reservoir:g} L is under a microlitre")
    if fault is None and draw.reservoir and draw.reservoir not in places:
        what = f"{draw.reservoir} gives no {recipe} water" if recipe else f"no {draw.reservoir}"
        remedy = f"name {' or '.join(places)}, or leave it blank"
        fault = Problem(f"{draw.due_id} reservoir", what, remedy, NO_RESERVOIR)
    return None if fault is None else replace(fault, named=job_at(draw.name, draw.place))


def _cut(
    n: int, draw: Draw, pool: Sequence[Vessel], places: Mapping[str, int]
) -> tuple[Piece, ...]:
    """A draw as one piece, or where it is larger than a fill as full fills and a rest."""
    place = places[draw.reservoir] if draw.reservoir else 0
    fits = 1 << place if draw.reservoir else (1 << len(pool)) - 1
    full, litres = pool[place].most_litres, draw.from_reservoir
    size, whole = microlitres(litres), microlitres(full)
    many = min((size - 1) // whole, MOST_SIZES)
    rest = litres - many * full
    if many == 0:
        return (Piece(n, size, litres, fits),)
    return (*(Piece(n, whole, full, fits) for _ in range(many)),
            Piece(n, max(1, min(whole, microlitres(rest))), rest, fits))  # fmt: skip


def split_walking(
    draws: Sequence[Draw], vessels: Sequence[Vessel],
    first_ready: Mapping[str, float] | None = None,
) -> Split | Problem:  # fmt: skip
    """The draws of one water over fills, each fill a stretch of the walk; exact.

    The fewest rounds, then the fewest fills, then the least largest fill. The
    rest of a draw larger than a fill comes before or after its full fills.
    Where draws name several reservoirs, each reservoir has its own walk, and
    those that name none go with the one that is best so, or alone.
    `first_ready` are litres, by reservoir, that its first fill gives as it
    stands; too little for the draw in turn, it is filled up first. Refuses a
    draw of nothing, a reservoir that cannot give it, and a water none can hold.
    """
    laid = _laid_out(draws, vessels)
    if isinstance(laid, Problem):
        return laid
    fault = first(*(zero_or_more(f"{code} ready", litres, "L")
                    for code, litres in (first_ready or {}).items()))  # fmt: skip
    if fault is not None:
        return fault
    tubs = _tubs(laid, first_ready or {})
    bound = least_fills(laid.asked())
    ways = [_walked(streams, tubs) for streams in _streams(laid)]
    best = min(ways, key=lambda fills: (_rounds(fills), len(fills), _falling(fills)))
    proven = len(ways) == 1 or len(best) == bound
    return _split(WALKING, laid, best, bound, proven)


def _streams(laid: _Laid) -> list[list[list[tuple[Piece, ...]]]]:
    """The ways to part the walk: whole where at most one reservoir is named."""
    if len(laid.named) <= 1:
        return [[list(laid.parts)]]
    every = (1 << len(laid.pool)) - 1

    def walk(*fits: int) -> list[tuple[Piece, ...]]:
        return [parts for parts in laid.parts if parts[0].fits in fits]

    own = [1 << v for v in laid.named]
    if not walk(every):
        return [[walk(fits) for fits in own]]
    with_one = [[walk(fits, every) if fits == chosen else walk(fits) for fits in own]
                for chosen in own]  # fmt: skip
    return [*with_one, [*(walk(fits) for fits in own), walk(every)]]


def _walked(streams: Sequence[Sequence[tuple[Piece, ...]]], tubs: Tubs) -> list[Fill]:
    """Each stream's fills, in the order in which the walk comes to them."""
    fills: list[Fill] = []
    for stream in streams:
        walk: Walk = walk_of(stream)
        fills += share_walk(walk, tubs)
    if len(streams) > 1:
        fills.sort(key=lambda fill: fill.pieces[0].draw)
    return fills


def _tubs(laid: _Laid, first_ready: Mapping[str, float]) -> Tubs:
    most = tuple(microlitres(vessel.most_litres) for vessel in laid.pool)
    ready = tuple(
        min(size, microlitres(first_ready.get(vessel.code, 0.0)))
        for vessel, size in zip(laid.pool, most, strict=True)
    )
    stands = tuple(0 if size == now else now for size, now in zip(most, ready, strict=True))
    twin = tuple(
        v - 1 if v and (most[v], stands[v]) == (most[v - 1], stands[v - 1])
        and not {v, v - 1} & set(laid.named) else -1
        for v in range(len(most))
    )  # fmt: skip
    return Tubs(most, stands, twin)


def split_any_order(
    draws: Sequence[Draw], vessels: Sequence[Vessel], steps: int = STEPS
) -> Split | Problem:
    """The draws of one water over the fewest fills, whatever the order of the walk.

    `proven` says whether no fewer can do; then they are shared out over the
    fewest rounds and as evenly as exchanges get them. Refuses as `split_walking`.
    """
    laid = _laid_out(draws, vessels)
    if isinstance(laid, Problem):
        return laid
    packed, bound, proven = pack_tied(laid.asked(), steps)
    waiting: dict[tuple[int, int], list[Piece]] = defaultdict(list)
    for piece in reversed(laid.pieces()):
        waiting[piece.fits, piece.size].append(piece)
    every = (1 << len(laid.pool)) - 1
    fills: list[Fill] = []
    for vessel, sizes in packed:
        own = 0 if vessel == FREE else 1 << vessel
        pieces = [waiting[own if waiting[own, size] else every, size].pop() for size in sizes]
        fills.append(Fill(vessel, tuple(pieces)))
    return _split(ANY_ORDER, laid, seated(fills, _tubs(laid, {}).most), bound, proven)


def _rounds(fills: Sequence[Fill]) -> int:
    used = [fill.vessel for fill in fills]
    return max(used.count(vessel) for vessel in set(used))


def _falling(fills: Sequence[Fill]) -> list[int]:
    return sorted((fill.size for fill in fills), reverse=True)


def _split(order: str, laid: _Laid, fills: Sequence[Fill], bound: int, proven: bool) -> Split:
    shares = tuple(
        tuple(Share(draw=laid.draws[piece.draw], litres=piece.litres) for piece in fill.pieces)
        for fill in fills
    )
    return Split(
        order=order, fills=shares, reservoirs=tuple(laid.pool[fill.vessel].code for fill in fills),
        litres=tuple(fsum(share.litres for share in fill) for fill in shares),
        lower_bound=bound, proven=proven,
    )  # fmt: skip


# --- what is run in ---------------------------------------------------------------------


def filled(
    litres: Sequence[float], vessel: Vessel, recipe: str = "", as_it_stands: bool = False
) -> tuple[float, ...] | Problem:
    """Litres run in for each fill of one reservoir that gives these litres in turn.

    Every fill but the last is filled as far as it goes, so that what is over
    stays in, treated and warm, for the next; never more than is still missing, and
    the keep-back where that may be used: only what no fill can give is taken of it.
    What stands there counts, unless it is of another water; where less than is
    to be left stands there, that is run in too. With `as_it_stands` the first
    fill is used without filling up, where it is enough. Refuses litres that are
    not above zero or more than a fill.
    """
    fault = first(*(above_zero(f"fill {n}", each, "L") for n, each in enumerate(litres, 1)))
    for n, each in enumerate(litres, 1):
        if fault is None and each > vessel.most_litres + _TOLERANCE:
            what = f"{each:g} L are more than the {vessel.most_litres:g} L of a fill"
            fault = refuse(f"fill {n}", what, f"give at most {vessel.most_litres:g} L")
    if fault is not None:
        return fault
    other = recipe and vessel.holds_recipe not in ("", recipe)
    stands = (0.0 if other else vessel.holds_litres) - vessel.left_litres
    added: list[float] = []
    for n, used in enumerate(litres):
        missing = fsum(litres[n:]) + vessel.spare_litres
        enough = stands >= used - _TOLERANCE and (as_it_stands and n == 0)
        run_in = 0.0 if enough else max(0.0, min(vessel.most_litres, missing) - stands)
        added.append(run_in)
        stands += run_in - used
    return tuple(added)


def filled_split(
    split: Split, vessels: Sequence[Vessel], as_it_stands: bool = False
) -> tuple[float, ...]:
    """Litres run in for each fill of a sharing-out, in its order: `filled` for each reservoir."""
    of = {vessel.code: vessel for vessel in vessels}
    recipe = split.fills[0][0].draw.recipe
    added = [0.0] * len(split.fills)
    for code in dict.fromkeys(split.reservoirs):
        places = [n for n, used in enumerate(split.reservoirs) if used == code]
        found = filled([split.litres[n] for n in places], of[code], recipe, as_it_stands)
        if isinstance(found, Problem):
            raise ValueError(found.sentence())
        for n, litres in zip(places, found, strict=True):
            added[n] = litres
    return tuple(added)
