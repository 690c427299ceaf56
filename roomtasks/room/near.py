"""Names that look like one another: what somebody probably meant to type.

Two names are near when they differ by a letter or two, one letter for short
names: a letter put in, left out, changed, or swapped with its neighbour.
"""

from collections.abc import Iterable

MOST = 3
LETTERS_PER_SLIP = 4


def near(name: str, known: Iterable[str], most: int = MOST) -> list[str]:
    """The known names that are nearest to `name`, nearest first, none at all if none is near.

    Capitals count as the same letter, and a name that begins with the other
    whole one (length for length_cm) is as near as one slip.
    """
    typed = name.casefold()
    allowed = 1 + len(typed) // LETTERS_PER_SLIP
    scored = []
    for other in known:
        slips = _slips(typed, other.casefold(), allowed)
        if slips <= allowed:
            scored.append((slips, other))
    return [other for _, other in sorted(scored)[:most]]


def or_words(names: list[str]) -> str:
    """Names as a question: did you mean B2 or B3?"""
    return f"did you mean {' or '.join(names)}?"


def _slips(typed: str, other: str, allowed: int) -> int:
    """How many slips part the two names; more than `allowed` where that is sure early."""
    if typed == other:
        return 0
    shorter, longer = sorted((typed, other), key=len)
    if len(shorter) >= LETTERS_PER_SLIP and longer.startswith(shorter):
        return 1
    if len(longer) - len(shorter) > allowed or len(set(typed) ^ set(other)) > 2 * allowed:
        return allowed + 1
    return _distance(typed, other)


def _distance(typed: str, other: str) -> int:
    """Optimal string alignment distance (R. Lowrance and R. A. Wagner, 1975)."""
    before: list[int] = []
    above = list(range(len(other) + 1))
    for row, letter in enumerate(typed, start=1):
        line = [row]
        for column, sign in enumerate(other, start=1):
            cost = min(
                above[column] + 1, line[column - 1] + 1, above[column - 1] + (letter != sign)
            )
            swapped = row > 1 and column > 1 and letter == other[column - 2]
            if swapped and typed[row - 2] == sign:
                cost = min(cost, before[column - 2] + 1)
            line.append(cost)
        before, above = above, line
    return above[-1]
