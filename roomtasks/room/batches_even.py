"""Fills to vessels and rounds: the fewest rounds that exchanges find, then as even as they get it.

Lives here: whole numbers only. Given are fills that are the fewest; none is
added. A fill keeps its vessel where a piece in it may come from no other.
Does not live here: how few fills there can be (`packing_tied`).
"""

from collections import Counter
from collections.abc import Sequence

from roomtasks.room.batches_search import Fill, Piece

_MOST_EXCHANGES = 2_000


def seated(fills: Sequence[Fill], most: Sequence[int]) -> list[Fill]:
    """The same pieces over as many fills, each of a vessel, as few rounds and as even as found.

    `most` is what a fill of each vessel gives, largest first. Fills come round
    by round, the largest vessel first, and of one vessel the fullest first.
    """
    every = (1 << len(most)) - 1
    tied = [_owner(fill, every) for fill in fills]
    counts = Counter(v for v in tied if v is not None)
    free = sum(1 for v in tied if v is None)
    least = max([-(-len(fills) // len(most)), *counts.values()])
    for rounds in range(least, len(fills) + 1):
        seats = sorted(v for v in range(len(most)) for _ in range(rounds - counts[v]))[:free]
        if len(seats) == free and (found := _seat(fills, tied, seats, most)) is not None:
            return _in_rounds(_even(found, most))
    return _in_rounds(_even([(v or 0, list(f.pieces)) for v, f in zip(tied, fills, strict=True)],
                            most))  # fmt: skip


_Bins = list[tuple[int, list[Piece]]]


def _owner(fill: Fill, every: int) -> int | None:
    """The vessel that a piece in the fill is tied to, None where it may come from any."""
    fits = next((piece.fits for piece in fill.pieces if piece.fits != every), None)
    return None if fits is None else fits.bit_length() - 1


def _seat(
    fills: Sequence[Fill], tied: Sequence[int | None], seats: Sequence[int], most: Sequence[int]
) -> _Bins | None:
    """The free fills on the seats, fullest on the largest; packed anew where they do not go in."""
    free = sorted((f for f, v in zip(fills, tied, strict=True) if v is None), key=lambda f: -f.size)
    bins = [(v, list(f.pieces)) for f, v in zip(fills, tied, strict=True) if v is not None]
    if all(fill.size <= most[seat] for fill, seat in zip(free, seats, strict=True)):
        return [*bins, *((seat, list(f.pieces)) for f, seat in zip(free, seats, strict=True))]
    pieces = sorted((piece for fill in free for piece in fill.pieces), key=lambda p: -p.size)
    anew: _Bins = [*bins, *((seat, []) for seat in seats)]
    room = [most[v] - sum(piece.size for piece in held) for v, held in anew]
    for piece in pieces:
        fits = [n for n, left in enumerate(room) if left >= piece.size]
        if not fits:
            return None
        best = min(fits, key=lambda n: room[n])
        anew[best][1].append(piece)
        room[best] -= piece.size
    return anew if all(held for _, held in anew) else None


def _even(bins: _Bins, most: Sequence[int]) -> _Bins:
    """Move a piece, or exchange two, while that makes the fullest fill less full."""
    loads = [sum(piece.size for piece in held) for _, held in bins]
    for _ in range(_MOST_EXCHANGES):
        fullest = max(range(len(bins)), key=lambda n: loads[n])
        step = _best_step(bins, loads, fullest, most)
        if step is None:
            break
        other, out, back = step
        bins[fullest][1].remove(out)
        bins[other][1].append(out)
        if back is not None:
            bins[other][1].remove(back)
            bins[fullest][1].append(back)
        gone = out.size - (back.size if back is not None else 0)
        loads[fullest] -= gone
        loads[other] += gone
    return bins


def _best_step(
    bins: _Bins, loads: Sequence[int], fullest: int, most: Sequence[int]
) -> tuple[int, Piece, Piece | None] | None:
    """The exchange out of the fullest fill after which the fuller of the two is least full."""
    best, found = loads[fullest], None
    vessel, held = bins[fullest]
    for other, (place, there) in enumerate(bins):
        if other == fullest or loads[other] == loads[fullest]:
            continue
        for out in held:
            if not out.fits >> place & 1 or len(held) == 1:
                continue
            for back in (None, *(piece for piece in there if piece.fits >> vessel & 1)):
                gone = out.size - (back.size if back is not None else 0)
                after = max(loads[fullest] - gone, loads[other] + gone)
                if gone > 0 and loads[other] + gone <= most[place] and after < best:
                    best, found = after, (other, out, back)
    return found


def _in_rounds(bins: _Bins) -> list[Fill]:
    made = [Fill(v, tuple(sorted(held, key=lambda piece: piece.draw))) for v, held in bins]
    made.sort(key=lambda fill: (-fill.size, fill.pieces[0].draw))
    turn: Counter[int] = Counter()
    placed: list[tuple[int, int, Fill]] = []
    for fill in made:
        placed.append((turn[fill.vessel], fill.vessel, fill))
        turn[fill.vessel] += 1
    return [fill for _, _, fill in sorted(placed, key=lambda one: one[:2])]
