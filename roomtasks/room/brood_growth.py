"""How a brood grows, from its samples: its size on a day, and the day of a size with its spread.

A straight line through the last three samples is good enough for some weeks;
where there are enough of them, von Bertalanffy's curve is fitted; where there
are too few, the line's own curve stands in, if the keeper gave one. Ages are
days from the spawn. Limits here are common practice, no published source.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from roomtasks.room.amount import ASSUMED, FORECAST
from roomtasks.room.brood import Brood, Sample
from roomtasks.room.growth import (
    Line,
    age_at_length,
    day_at_size,
    length_at_age,
    straight_growth,
)
from roomtasks.room.growth_fit import GrowthFit, fit_growth
from roomtasks.room.line import LineFacts
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem

LAST_SAMPLES = 3
LEAST_DAYS_APART = 7
STALE_DAYS = 28
FIT_SAMPLES, FIT_DAYS = 6, 56
SPREAD = 0.20
SLOWS_AT = 0.80
FURTHEST_DAYS = 36500
STRAIGHT, CURVE, OF_LINE = "straight line", "von Bertalanffy", "the line's own curve"
_DUST = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """A brood's growth: a straight line or a curve, in cm by days from the spawn."""

    spawned: date
    method: str
    line: Line | None = None
    linf_cm: float = 0.0
    k_per_day: float = 0.0
    t0_days: float = 0.0
    used: tuple[Sample, ...] = ()
    known: str = FORECAST

    @property
    def last(self) -> Sample | None:
        return self.used[-1] if self.used else None

    def stale(self, today: date) -> bool:
        """Whether the newest sample is too old to lean on, or there is none."""
        return self.last is None or (today - self.last.day).days > STALE_DAYS

    def size_cm(self, day: date) -> float | Problem:
        """The middle length on a day, never below 0."""
        age = (day - self.spawned).days
        if self.line is not None:
            return max(0.0, self.line.start + self.line.rate_per_day * age)
        if age <= self.t0_days:
            return 0.0
        return length_at_age(self.linf_cm, self.k_per_day, self.t0_days, age)

    def rate_mm_per_day(self, day: date) -> float | Problem:
        """How fast it grows on a day."""
        if self.line is not None:
            return 10 * self.line.rate_per_day
        size = self.size_cm(day)
        return size if isinstance(size, Problem) else 10 * self.k_per_day * (self.linf_cm - size)

    def age_at_cm(self, cm: float) -> float | Problem:
        """The age, in days and their part, at which a length is reached."""
        if self.line is not None:
            return day_at_size(self.line, cm)
        return age_at_length(self.linf_cm, self.k_per_day, self.t0_days, cm)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeDay:
    """The first whole day of a size, and the days it may come between."""

    cm: float
    day: date
    earliest: date
    latest: date
    age_days: float
    stale: bool
    method: str
    known: str


def samples_of(brood: Brood, samples: Iterable[Sample]) -> tuple[Sample, ...]:
    """A brood's samples of the one length it is measured by, in order of their day."""
    own = (s for s in samples if s.brood == brood.code and s.length == brood.length)
    return tuple(sorted(own, key=lambda sample: sample.day))


def growth_of(brood: Brood, line: LineFacts, samples: Iterable[Sample]) -> Growth | Problem:
    """The growth of a brood; a Problem where neither samples nor the line tell it.

    Needs two samples 7 days apart, or a curve of the line.
    """
    known = samples_of(brood, samples)
    ages = [float((sample.day - brood.spawned).days) for sample in known]
    sizes = [sample.middle_cm for sample in known]
    if len(known) >= FIT_SAMPLES and ages[-1] - ages[0] >= FIT_DAYS:
        fit = fit_growth(ages, sizes)
        if isinstance(fit, GrowthFit) and fit.linf > max(sizes):
            return Growth(spawned=brood.spawned, method=CURVE, linf_cm=fit.linf, k_per_day=fit.k,
                          t0_days=fit.t0, used=known)  # fmt: skip
    last = known[-LAST_SAMPLES:]
    if len(last) >= 2 and (last[-1].day - last[0].day).days >= LEAST_DAYS_APART:
        line_found = straight_growth(ages[-LAST_SAMPLES:], sizes[-LAST_SAMPLES:])
        if isinstance(line_found, Problem):
            return line_found
        return Growth(spawned=brood.spawned, method=STRAIGHT, line=line_found, used=last)
    return _of_line(brood, line, last)


def _of_line(brood: Brood, line: LineFacts, last: tuple[Sample, ...]) -> Growth | Problem:
    """The line's own curve, moved in time to go through the newest sample if there is one."""
    if line.linf_cm is None or line.k_per_day is None:
        have = "1 sample" if len(last) == 1 else f"{len(last)} samples"
        close = f" less than {LEAST_DAYS_APART} days apart" if len(last) > 1 else ""
        return Problem(
            brood.code, f"{have}{close}: no growth follows",
            f"measure twice, {LEAST_DAYS_APART} days apart, or give {line.name} a growth curve",
            "too-few-samples",
        )  # fmt: skip
    t0 = line.t0_days or 0.0
    if last and last[-1].middle_cm < line.linf_cm:
        age = age_at_length(line.linf_cm, line.k_per_day, t0, last[-1].middle_cm)
        if isinstance(age, Problem):
            return age
        t0 += (last[-1].day - brood.spawned).days - age
    return Growth(spawned=brood.spawned, method=OF_LINE, linf_cm=line.linf_cm,
                  k_per_day=line.k_per_day, t0_days=t0, used=last, known=ASSUMED)  # fmt: skip


def size_day(growth: Growth, cm: float, today: date) -> SizeDay | Problem:
    """The first whole day on which a length is reached; 20 % of the remaining days either way.

    Refuses a length that is never reached, and samples that show no growth.
    """
    age = growth.age_at_cm(cm)
    if isinstance(age, Problem):
        return age
    now = (today - growth.spawned).days
    if not -FURTHEST_DAYS < age < FURTHEST_DAYS:
        return Problem("size", f"{cm:g} cm is too far off to tell a day", "measure again",
                       "impossible")  # fmt: skip
    left = max(0.0, age - now)
    return SizeDay(
        cm=cm, day=_whole(growth.spawned, age), age_days=age,
        earliest=_whole(growth.spawned, age - SPREAD * left),
        latest=_whole(growth.spawned, age + SPREAD * left),
        stale=growth.stale(today), method=growth.method, known=growth.known,
    )  # fmt: skip


def _whole(spawned: date, age: float) -> date:
    return spawned + timedelta(days=math.ceil(age - _DUST))


def middle_of(lengths: Iterable[float]) -> tuple[float, float, float] | Problem:
    """Smallest, median and largest of lengths that were measured one by one."""
    ordered = sorted(lengths)
    wrong = next((length for length in ordered if not 0 < length < math.inf), None)
    if wrong is not None or not ordered:
        what = f"{wrong:g} is no length" if wrong is not None else "no fish was measured"
        return Problem("length", what, "give lengths above 0, in cm")
    half = len(ordered) // 2
    middle = ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2
    return ordered[0], middle, ordered[-1]


JUMP = 10.0


def sample_fault(brood: Brood, sample: Sample, before: Iterable[Sample]) -> Problem | None:
    """What speaks against a sample: sizes that cannot be are refused, odd ones are asked.

    Asked (rule "ask"): ten times the last one or more, or smaller than the last by half.
    """
    if sample.day < brood.spawned:
        return Problem("day", f"{day_words(sample.day)} is before the spawn on "
                       f"{day_words(brood.spawned)}",
                       "correct the day")  # fmt: skip
    sizes = (sample.smallest_cm, sample.middle_cm, sample.largest_cm)
    if min(sizes) <= 0 or not all(map(math.isfinite, sizes)):
        return Problem("length", f"{min(sizes):g} cm is no length", "give lengths above 0, in cm")
    if sample.n < 1:
        return Problem("n", f"{sample.n} fish is no sample", "measure 1 or more, 10 to 15 is usual")
    if list(sizes) != sorted(sizes):
        return Problem("length", "smallest, middle and largest are not in order",
                       "give the smallest first")  # fmt: skip
    known = [s for s in samples_of(brood, before) if s.day != sample.day]
    earlier = [s for s in known if s.day < sample.day]
    last = earlier[-1] if earlier else None
    if last is None:
        return None
    if sample.middle_cm >= JUMP * last.middle_cm or sample.middle_cm < last.middle_cm / 2:
        return Problem(
            "length", f"{sample.middle_cm:g} cm, after {last.middle_cm:g} cm on "
            f"{day_words(last.day)}",
            "mm for cm? If it is right, say so again with --anyway", "ask",
        )  # fmt: skip
    return None
