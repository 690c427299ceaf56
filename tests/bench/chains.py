"""How long the shortest chain of moves takes in rooms of 60 and 200 tanks, and how many are proven.

    python -m tests.bench.chains

Rooms made at random, nearly full (one tank in thirty free), one group to place,
each group fit for about six tanks; then the same with a holding tub.
"""

import sys
from random import Random
from statistics import median
from time import perf_counter

from roomtasks.room.chain_search import shortest
from tests.room.chain_puzzles import made


def main(rooms: int = 30, states: int = 20_000) -> None:
    """Prints one line a size."""
    for tanks in (60, 200):
        for tub in (False, True):
            seconds, proven, lengths = [], 0, []
            for seed in range(rooms):
                puzzle = made(
                    Random(seed), tanks, tanks - tanks // 30, tub=tub, fits=6 / tanks, apart=0.97,
                    out=0.03,
                )  # fmt: skip
                began = perf_counter()
                found = shortest(puzzle, states)
                seconds.append(perf_counter() - began)
                proven += found.proven
                lengths.append(0 if found.moves is None else len(found.moves))
            kind = "with a tub" if tub else "no tub"
            sys.stdout.write(
                f"{tanks} tanks, {kind}: median {median(seconds) * 1000:.1f} ms, longest "
                f"{max(seconds) * 1000:.0f} ms, proven {proven} of {rooms}, "
                f"links {min(lengths)} to {max(lengths)}\n"
            )


if __name__ == "__main__":
    main()
