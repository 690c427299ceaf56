"""What would help most where the work does not fit: minutes, litres, a tank less.

What is said to be saved was laid out, each way by itself; bounds only spare those
that cannot be better than one laid out already.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from roomtasks.room.ahead_days import Laid
from roomtasks.room.ahead_plan import Help, PlannedDay
from roomtasks.room.ahead_tasks import TENTHS
from roomtasks.room.level import improved
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_task import Span
from roomtasks.room.naming import tenths

HOUR = 60
LITRE_STEP = 5
TANKS_TRIED = 3


def helps_of(laid: Laid, days: Sequence[PlannedDay]) -> tuple[Help, ...]:
    """What would help most, each sort's best first; nothing where everything fits."""
    return (*_minutes(laid, days), *_litres(days), *_tanks(laid, days))


def _minutes(laid: Laid, days: Sequence[PlannedDay]) -> list[Help]:
    """An hour more on the weekday where it saves most."""
    span, over = laid.weeks.span, laid.placement.over
    if over <= 0:
        return []
    floor = Floor(span, chains_of(span).chains)
    names = dict.fromkeys(f"{day.day:%A}" for day in days if not day.away)
    bounds = {name: floor.over_with(_with_hour(span, days, name)) for name in names}
    after, best = over, ""
    for name in sorted(bounds, key=lambda name: bounds[name]):
        if bounds[name] < after:
            hour = replace(span, limits=_with_hour(span, days, name))
            after, best = min((after, best), (improved(hour, laid.placement.days)[1], name),
                              key=lambda known: known[0])  # fmt: skip
    saves = (over - after) / TENTHS
    if saves <= 0:
        return []
    text = f"an hour more on {best}s would leave {tenths(after / TENTHS)} minutes over"
    return [Help(sort="minutes", about=best.lower(), amount=HOUR, text=text, saves_minutes=saves)]


def _with_hour(span: Span, days: Sequence[PlannedDay], name: str) -> tuple[int, ...]:
    return tuple(
        limit + HOUR * TENTHS if f"{day.day:%A}" == name else limit
        for limit, day in zip(span.limits, days, strict=True)
    )


def _litres(days: Sequence[PlannedDay]) -> list[Help]:
    """Litres more a day with which no day of this plan would be over, by reservoir."""
    worst: dict[str, float] = {}
    total: dict[str, float] = {}
    for use in (use for day in days if not day.away for use in day.litres):
        worst[use.reservoir] = max(worst.get(use.reservoir, 0.0), use.over_litres)
        total[use.reservoir] = total.get(use.reservoir, 0.0) + use.over_litres
    helps = []
    for code, litres in sorted(worst.items(), key=lambda known: (-known[1], known[0])):
        if litres > 0:
            amount = LITRE_STEP * ceil(litres / LITRE_STEP)
            text = f"{amount} L more a day from {code} would do"
            helps.append(Help(sort="litres", about=code, amount=amount, text=text,
                              saves_litres=round(total[code], 1)))  # fmt: skip
    return helps


def _tanks(laid: Laid, days: Sequence[PlannedDay]) -> list[Help]:
    """The tank without whose work the fewest minutes would be over, of those with most work."""
    over = laid.placement.over
    if over <= 0:
        return []
    minutes: dict[str, float] = {}
    for day in days:
        if day.over_minutes > 0:
            for job in day.jobs:
                if job.tank:
                    minutes[job.tank] = minutes.get(job.tank, 0.0) + job.minutes
    most = sorted(minutes, key=lambda tank: (-minutes[tank], tank))[:TANKS_TRIED]
    found = [(improved(_without(laid, tank), laid.placement.days)[1], tank) for tank in most]
    after, best = min(found, default=(over, ""))
    if after >= over:
        return []
    text = f"without the work at {best} {tenths(after / TENTHS)} minutes would be over"
    saves = (over - after) / TENTHS
    return [Help(sort="tank", about=best, amount=1, text=text, saves_minutes=saves)]


def _without(laid: Laid, tank: str) -> Span:
    """The span without the tasks of one tank."""
    gone = {name for name, one in laid.weeks.coming.items() if one.due.tank == tank}
    return replace(
        laid.weeks.span,
        tasks=tuple(task for task in laid.weeks.span.tasks if task.id not in gone),
    )
