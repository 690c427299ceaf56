"""Fitting: a growth curve and a length-weight line through measured fish.

Lives here: unweighted least squares. The von Bertalanffy curve is started from
the best of a row of K values (for a fixed K it is a straight line in its other
two numbers) and finished by Levenberg-Marquardt; the length-weight line is
ordinary least squares of ln W on ln L.
Does not live here: the formulas fitted (`growth`), and reading files.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.growth import samples_fault
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import above_zero, refuse

_ROUNDS = 500
_GRID = 240
_LEAST_BEND, _MOST_BEND = 1e-3, 60.0  # K times the span of ages: straighter or sharper is no fit


@dataclass(frozen=True, slots=True)
class GrowthFit:
    """A fitted growth curve. `residual` is the sum of squared length differences."""

    linf: float
    k: float
    t0: float
    residual: float
    points: int


@dataclass(frozen=True, slots=True)
class WeightFit:
    """A fitted length-weight line: W = a L^b."""

    a: float
    b: float
    points: int


@dataclass(frozen=True, slots=True)
class _Start:
    """For one K: the least-squares level (Linf), drop (Linf exp(K t0)), and misfit."""

    k: float
    level: float
    drop: float
    residual: float


def fit_growth(
    ages: Sequence[float], lengths: Sequence[float], linf: float | None = None
) -> GrowthFit | Problem:
    """Linf, K and t0 by unweighted least squares of length on age.

    With `linf` given it is held and only K and t0 are fitted. Refuses too few
    ages, and lengths that do not level off (or do not grow), where no curve can
    be told.
    """
    fault = samples_fault("age", ages, "length", lengths, 3 if linf is None else 2)
    if fault is None:
        fault = next((f for y in lengths if (f := above_zero("length", y)) is not None), None)
    if fault is None and linf is not None:
        fault = above_zero("linf", linf)
    if fault is None:
        fault = above_zero("span of ages", max(ages) - min(ages))
    if fault is not None:
        return fault
    low, span = min(ages), max(ages) - min(ages)
    tall = max(lengths)
    xs, ys = [(age - low) / span for age in ages], [length / tall for length in lengths]
    start = _best_start(xs, ys, None if linf is None else linf / tall)
    if isinstance(start, Problem):
        return start
    level, k, t0, residual = _refine(xs, ys, start, linf is not None)
    if not _LEAST_BEND < k < _MOST_BEND * 2 or not math.isfinite(residual):
        return _no_curve(k, linf is not None)
    return GrowthFit(
        linf=level * tall if linf is None else linf,
        k=k / span,
        t0=low + t0 * span,
        residual=residual * tall * tall,
        points=len(ages),
    )


def _no_curve(k: float, level_held: bool) -> Problem:
    if level_held:
        wrong = "large" if k <= 1 else "small"
        return refuse("linf", f"is too {wrong} for these lengths", "leave it out, or measure more")
    if k <= 1:
        remedy = "measure older fish, or give linf="
        return refuse("length", "they do not level off, so no largest length follows", remedy)
    return refuse("length", "they rise in one step, so no rate follows", "measure younger fish")


def _best_start(xs: list[float], ys: list[float], level: float | None) -> _Start | Problem:
    """The best K of a row of them, ages running 0 to 1 and lengths up to 1."""
    ratio = (_MOST_BEND / _LEAST_BEND) ** (1 / (_GRID - 1))
    tried = [_at(xs, ys, _LEAST_BEND * ratio**step, level) for step in range(_GRID)]
    best = min(range(_GRID), key=lambda step: tried[step].residual)
    if tried[best].drop <= 0 or tried[best].level <= 0:
        if level is not None and level < math.fsum(ys) / len(ys):
            return _no_curve(_MOST_BEND, True)
        return refuse("length", "they do not grow with age", "check the columns")
    if best in (0, _GRID - 1):
        return _no_curve(tried[best].k, level is not None)
    return tried[best]


def _at(xs: list[float], ys: list[float], k: float, level: float | None) -> _Start:
    """The straight-line least squares of y = level - drop exp(-k x) for one K."""
    fades = [math.exp(-k * x) for x in xs]
    if level is not None:
        top = math.fsum((level - y) * e for y, e in zip(ys, fades, strict=True))
        drop = top / math.fsum(e * e for e in fades)
    else:
        mean_fade, mean_y = math.fsum(fades) / len(fades), math.fsum(ys) / len(ys)
        spread = math.fsum((e - mean_fade) ** 2 for e in fades)
        both = math.fsum((e - mean_fade) * (y - mean_y) for y, e in zip(ys, fades, strict=True))
        drop = -both / spread if spread > 0 else 0.0
        level = mean_y + drop * mean_fade
    misfit = math.fsum((level - drop * e - y) ** 2 for y, e in zip(ys, fades, strict=True))
    return _Start(k, level, drop, misfit)


def _refine(
    xs: list[float], ys: list[float], start: _Start, level_held: bool
) -> tuple[float, float, float, float]:
    """Levenberg-Marquardt on (level, K, drop), or (K, drop) with the level held.

    Returns level, K, t0 and the sum of squares. The drop is carried rather than
    t0, so that a step never leaves the curves that exist.
    """
    point = [start.level, start.k, start.drop]
    free = [1, 2] if level_held else [0, 1, 2]
    residual, damping = _squares(xs, ys, point), 1e-3
    for _ in range(_ROUNDS):
        normal, slope = _normal_equations(xs, ys, point, free)
        step = _solve(normal, slope, damping)
        trial = list(point)
        for place, move in zip(free, step, strict=True):
            trial[place] += move
        after = _squares(xs, ys, trial) if min(trial) > 0 else math.inf
        if after <= residual:
            small = all(abs(m) <= 1e-13 * abs(point[p]) for p, m in zip(free, step, strict=True))
            point, residual, damping = trial, after, max(damping / 10, 1e-12)
            if small:
                break
        elif damping > 1e12:
            break
        else:
            damping *= 10
    level, k, drop = point
    return level, k, math.log(drop / level) / k, residual


def _squares(xs: list[float], ys: list[float], point: list[float]) -> float:
    level, k, drop = point
    return math.fsum(
        (level - drop * math.exp(-k * x) - y) ** 2 for x, y in zip(xs, ys, strict=True)
    )


def _normal_equations(
    xs: list[float], ys: list[float], point: list[float], free: list[int]
) -> tuple[list[list[float]], list[float]]:
    level, k, drop = point
    normal = [[0.0] * len(free) for _ in free]
    slope = [0.0] * len(free)
    for x, y in zip(xs, ys, strict=True):
        fade = math.exp(-k * x)
        partial = (1.0, drop * x * fade, -fade)
        off = y - (level - drop * fade)
        for row, i in enumerate(free):
            slope[row] += partial[i] * off
            for column, j in enumerate(free):
                normal[row][column] += partial[i] * partial[j]
    return normal, slope


def _solve(normal: list[list[float]], slope: list[float], damping: float) -> list[float]:
    """The damped step, by elimination with the largest pivot first."""
    size = len(slope)
    rows = [
        [*line[:i], line[i] * (1 + damping) + 1e-300, *line[i + 1 :], slope[i]]
        for i, line in enumerate(normal)
    ]
    for i in range(size):
        best = max(range(i, size), key=lambda r: abs(rows[r][i]))
        rows[i], rows[best] = rows[best], rows[i]
        if rows[i][i] == 0:
            return [0.0] * size
        for below in rows[i + 1 :]:
            factor = below[i] / rows[i][i]
            for column in range(i, size + 1):
                below[column] -= factor * rows[i][column]
    step = [0.0] * size
    for i in reversed(range(size)):
        known = math.fsum(rows[i][j] * step[j] for j in range(i + 1, size))
        step[i] = (rows[i][size] - known) / rows[i][i]
    return step


def fit_weight(lengths: Sequence[float], weights: Sequence[float]) -> WeightFit | Problem:
    """a and b of W = a L^b, by least squares of ln W on ln L.

    Refuses sizes that are not above zero, and fewer than two different lengths.
    """
    fault = samples_fault("length", lengths, "weight", weights, 2)
    for length, mass in zip(lengths, weights, strict=False):
        fault = fault or above_zero("length", length) or above_zero("weight", mass)
    if fault is not None:
        return fault
    xs, ys = [math.log(length) for length in lengths], [math.log(mass) for mass in weights]
    mean_x, mean_y = math.fsum(xs) / len(xs), math.fsum(ys) / len(ys)
    spread = math.fsum((x - mean_x) ** 2 for x in xs)
    if spread == 0:
        return refuse("length", "they are too alike to tell a line", "measure other sizes")
    b = math.fsum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / spread
    exponent = mean_y - b * mean_x
    if abs(exponent) > 700:
        return refuse("length", "they are too alike to tell a line", "measure other sizes")
    return WeightFit(math.exp(exponent), b, len(xs))
