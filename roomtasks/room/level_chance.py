"""Numbers as if drawn by chance, the same ones every time: the levelling rolls no dice of its own.

A linear congruential sequence (Knuth, MMIX), kept once and gone round from a
place that a seed chooses.
"""

from collections.abc import Callable
from functools import lru_cache
from itertools import cycle

LENGTH = 65_537
_MULTIPLIER, _STEP, _MASK = 6364136223846793005, 1442695040888963407, (1 << 64) - 1
_STRIDE = 7_919


def chances(seed: int) -> Callable[[], float]:
    """Draws from 0 to below 1, one a call."""
    drawn = _drawn()
    at = seed * _STRIDE % LENGTH
    return cycle(drawn[at:] + drawn[:at]).__next__


@lru_cache(maxsize=1)
def _drawn() -> tuple[float, ...]:
    found = []
    x = 1
    for _ in range(LENGTH):
        x = (x * _MULTIPLIER + _STEP) & _MASK
        found.append((x >> 11) * 2.0**-53)
    return tuple(found)
