"""How few fills, how well proved and how fast: published sets, hard ones, and rooms by chance.

    python -m tests.bench.packing [--file SETS] [--sets 20] [--steps 3000000]

A file has one set a line: name, capacity, how many sizes, the fewest known (or "-"),
a colon, the sizes; a line that begins with # is a comment. Without one, the published
sets typed into the tests are taken. Then sets of hard kinds, and rooms: draws of common
tanks at common fractions over one to four reservoirs. Nothing here is a test.
"""

import argparse
import random
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from roomtasks.room.batches import split_any_order, split_walking
from roomtasks.room.packing import STEPS, fewest_fills
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import Split
from tests.room.known_packings import KNOWN
from tests.room.made_draws import draws_of, room_litres, vessels_of_sizes

Set = tuple[str, int, str, list[int]]
Made = tuple[list[int], int]

HARD: dict[str, Callable[[random.Random], Made]] = {
    "60 of 0.2 to 0.5 of a fill": lambda c: ([c.randint(200, 500) for _ in range(60)], 1000),
    "60 of 0.25 to 0.5, fine": lambda c: ([c.randint(2500, 5000) for _ in range(60)], 10000),
    "100 of 0.15 to 0.2": lambda c: ([c.randint(150, 200) for _ in range(100)], 1000),
    "80 of 0.15 to 0.6, fine": lambda c: ([c.randint(1500, 6000) for _ in range(80)], 10000),
    "150 of 0.15 to 0.6, fine": lambda c: ([c.randint(1500, 6000) for _ in range(150)], 10000),
    "60, threes to the last drop": lambda c: (_threes(c), 1000),
}
ROOMS = ((50, (560.0,)), (200, (560.0,)), (200, (560.0,) * 4), (200, (700.0, 560.0, 300.0, 200.0)))


def _threes(chance: random.Random) -> list[int]:
    sizes = []
    for _ in range(20):
        first = chance.randint(380, 490)
        second = chance.randint(250, max(250, (1000 - first) // 2))
        sizes += [first, second, 1000 - first - second]
    return sizes


def sets_of(path: Path) -> Iterator[Set]:
    """The sets of a file."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            head, _, sizes = line.partition(":")
            name, capacity, _, fewest = head.split()
            yield name, int(capacity), fewest, [int(size) for size in sizes.split()]


def typed_sets() -> Iterator[Set]:
    for known in KNOWN:
        yield known.name, known.capacity, str(known.fewest), list(known.sizes)


def packed(sizes: Sequence[int], capacity: int, steps: int) -> tuple[int, int, bool, float]:
    """Fills, the bound from below, whether proved, seconds."""
    began = time.perf_counter()
    found = fewest_fills([float(size) for size in sizes], float(capacity), steps)
    took = time.perf_counter() - began
    if isinstance(found, Problem):
        raise SystemExit(found.sentence())
    return found.count, found.lower_bound, found.proven, took


def published(sets: Iterator[Set], steps: int) -> None:
    for name, capacity, fewest, sizes in sets:
        fills, bound, proven, took = packed(sizes, capacity, steps)
        sys.stdout.write(
            f"{name:<28} {fills:4} fills, fewest known {fewest:>3}, bound {bound:4}, "
            f"{'proven' if proven else 'not proven':<10} {took:7.2f} s\n"
        )


def hard(sets: int, steps: int) -> None:
    for name, make in HARD.items():
        answers = [packed(*make(random.Random(seed)), steps) for seed in range(sets)]
        proven = sum(answer[2] for answer in answers)
        seconds = [answer[3] for answer in answers]
        sys.stdout.write(
            f"{name:<28} {proven:3} of {sets} proven, median {statistics.median(seconds):6.2f} s, "
            f"longest {max(seconds):6.2f} s\n"
        )


def rooms(sets: int, steps: int) -> None:
    for tanks, most in ROOMS:
        walking, anyhow = [], []
        proven = fewer = 0
        for seed in range(sets):
            draws, vessels = draws_of(room_litres(seed, tanks)), vessels_of_sizes(*most)
            began = time.perf_counter()
            walked = split_walking(draws, vessels)
            middle = time.perf_counter()
            free = split_any_order(draws, vessels, steps)
            walking.append(1000 * (middle - began))
            anyhow.append(1000 * (time.perf_counter() - middle))
            if not isinstance(walked, Split) or not isinstance(free, Split):
                raise SystemExit("a room that cannot be")
            proven += free.proven
            fewer += len(free.fills) < len(walked.fills)
        sizes = ", ".join(f"{size:g}" for size in most)
        sys.stdout.write(
            f"{tanks} tanks, fills of {sizes} L: walking {statistics.median(walking):.1f} ms "
            f"(longest {max(walking):.1f}), any order {statistics.median(anyhow):.1f} ms "
            f"(longest {max(anyhow):.1f}), {proven} of {sets} proven, in {fewer} the walk takes "
            f"more fills\n"
        )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--file", type=Path)
    parser.add_argument("--sets", type=int, default=20)
    parser.add_argument("--steps", type=int, default=STEPS)
    asked = parser.parse_args()
    published(sets_of(asked.file) if asked.file else typed_sets(), asked.steps)
    hard(asked.sets, asked.steps)
    rooms(asked.sets, asked.steps)


if __name__ == "__main__":
    main()
