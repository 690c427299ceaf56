"""What is drawn for the line in hand: how its brood grows, or the weeks. Pure, from one look."""

from datetime import timedelta

from roomtasks.room.brood_growth import SPREAD, Growth, SizeDay
from roomtasks.room.brood_now import BroodNow
from roomtasks.tui.brood_weeks import by_week
from roomtasks.tui.brood_words import BroodsSeen, mm
from roomtasks.tui.signs import Signs
from roomtasks.tui.widgets.growth_view import Drawing, Growing, growth_lines
from roomtasks.tui.widgets.weeks_strip import Kind, strip_lines

FURTHEST_DAYS, LEAST_DAYS, PAST_SALE = 200, 14, 7
TOO_FAR = 1.5


def drawing(seen: BroodsSeen, about: str, signs: Signs, fine: bool) -> Drawing | None:
    """The picture of a line; None where there is nothing to draw. `fine`: dots and blocks."""
    now = brood_about(seen, about)
    if now is not None:
        drawn = growing(seen, now)
        return lambda width, height: growth_lines(drawn, width, height, signs, fine)
    kinds = [
        Kind(weeks[0].kind, weeks[0].there, tuple(week.wanted for week in weeks))
        for weeks in zip(*by_week(seen), strict=True)
    ]
    if not kinds:
        return None
    hand = int(about.split()[1]) if about.startswith("week ") else 0
    return lambda width, height: strip_lines(kinds, hand, width, height, signs, fine)


def brood_about(seen: BroodsSeen, about: str) -> BroodNow | None:
    """The open brood a line is about, by its code or that of its fish."""
    for now in seen.view.broods:
        if about in {now.brood.code, *(part.group.code for part in now.parts)}:
            return now
    return None


def growing(seen: BroodsSeen, now: BroodNow) -> Growing:
    """A brood as it is drawn: to a week past the day of sale, where that is known."""
    growth, today = now.growth, float(now.age_days)
    ends = [today + LEAST_DAYS]
    if isinstance(now.at_sale, SizeDay):
        latest = (now.at_sale.latest - now.brood.spawned).days
        ends.append(min(today + FURTHEST_DAYS, latest + PAST_SALE))
    last = max(ends)
    points = tuple(
        (float((s.day - now.brood.spawned).days), 10 * s.smallest_cm, 10 * s.middle_cm,
         10 * s.largest_cm)
        for s in seen.samples(now.brood.code)
    )  # fmt: skip
    line: list[tuple[float, float]] = []
    spread: list[tuple[float, float, float]] = []
    if isinstance(growth, Growth):
        begins = int(points[0][0]) if points else 0
        for age in range(begins, int(last) + 1):
            size = _mm(growth, age)
            if size is not None:
                line.append((float(age), size))
        for age in range(int(today), int(last) + 1):
            ahead = age - today
            least = _mm(growth, round(today + ahead / (1 + SPREAD)))
            most = _mm(growth, round(today + ahead / (1 - SPREAD)))
            if least is not None and most is not None:
                spread.append((float(age), least, most))
    return Growing(title=f"{now.brood.code} {now.line.name}", points=points, line=tuple(line),
                   spread=tuple(spread), limits=_limits(now), today=today, last=last)  # fmt: skip


def _mm(growth: Growth, age: int) -> float | None:
    size = growth.size_cm(growth.spawned + timedelta(days=age))
    return 10 * size if isinstance(size, float) else None


def _limits(now: BroodNow) -> tuple[tuple[float, str], ...]:
    """The sizes that matter: to move, to sell, and where a tank is full."""
    found = {10 * now.line.move_cm: "move", 10 * now.line.sale_cm: "sell"}
    for part in now.parts:
        if part.full is not None and part.full.cm <= TOO_FAR * now.line.sale_cm:
            found.setdefault(10 * part.full.cm, f"{part.group.tank} full")
    return tuple((length, f"{mm(length / 10)} {word}") for length, word in sorted(found.items()))
