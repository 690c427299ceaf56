"""Weeks gone through twice: as they are, and as something else, side by side.

Both are planned by the same rules from the same moment. The asked plan begins
from the days of the plan as it is, so that what differs comes of what was
asked and not of another way of trying.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.ahead_nitrate import NitrateScene, Peak, peaks
from roomtasks.room.ahead_plan import Ahead, WhatIfAhead
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Pasts
from roomtasks.room.plan_ahead import AS_IT_IS, NO_TIMES, plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.walk import Times
from roomtasks.room.what_if_room import asks_another_room, what_if_room


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A plan, and the nitrate it leads to."""

    ahead: Ahead
    peaks: tuple[Peak, ...]

    @property
    def late(self) -> int:
        """How many occurrences are planned past their window."""
        return sum(job.late_days > 0 for job in self.ahead.jobs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One figure of both: None where it is not known."""

    name: str
    label: str
    unit: str
    as_it_is: float | None
    asked: float | None

    @property
    def difference(self) -> float | None:
        """Asked less as it is; None where one of them is not known."""
        if self.as_it_is is None or self.asked is None:
            return None
        return self.asked - self.as_it_is


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """Both, side by side."""

    as_it_is: Side
    asked: Side

    @property
    def rows(self) -> tuple[Row, ...]:
        """The figures that are compared, the peaks of nitrate last."""
        return (*_plans(self.as_it_is, self.asked), *_peaks(self.as_it_is, self.asked))


def replay(
    scene: NitrateScene, dues: Sequence[Due], pasts: Pasts, days: int, what_if: WhatIfAhead,
    times: Times = NO_TIMES, last: Ahead | None = None,
) -> Replay | Problem:  # fmt: skip
    """So many days as they are and as asked. Refuses what `plan_ahead` does."""
    base = plan_ahead(scene.room, dues, pasts, scene.now, days, times=times, last=last)
    if isinstance(base, Problem):
        return base
    before = Side(ahead=base, peaks=peaks(scene, base, scene.room, {}))
    if what_if == AS_IT_IS:
        return Replay(as_it_is=before, asked=before)
    asked = plan_ahead(
        scene.room, dues, pasts, scene.now, days, what_if=what_if, times=times, last=base
    )  # fmt: skip
    if isinstance(asked, Problem):
        return asked
    room, like = scene.room, {}
    if asks_another_room(what_if):
        other = what_if_room(room, pasts, times, what_if)
        if isinstance(other, Problem):
            return other
        room, like = other.room, dict(other.like)
    found = peaks(scene, asked, room, like)
    kept = tuple(peak for peak in found if peak.body not in what_if.without)
    return Replay(as_it_is=before, asked=Side(ahead=asked, peaks=kept))


def _plans(base: Side, asked: Side) -> tuple[Row, ...]:
    one, two = base.ahead, asked.ahead
    figures = (
        ("busiest_minutes", "busiest day", "min", one.busiest_minutes, two.busiest_minutes),
        ("cannot_be_below_minutes", "it cannot be below", "min", one.bound_minutes,
         two.bound_minutes),
        ("over_minutes", "minutes over, in all", "min", one.over_minutes, two.over_minutes),
        ("worst_over_minutes", "over on the worst day", "min", one.worst_over_minutes,
         two.worst_over_minutes),
        ("days_over", "days over", "days", _days_over(one), _days_over(two)),
        ("over_litres", "litres short, in all", "L", one.over_litres, two.over_litres),
        ("late_jobs", "late jobs", "", base.late, asked.late),
        ("cannot_fit", "cannot fit", "", len(one.cannot), len(two.cannot)),
    )  # fmt: skip
    return tuple(
        Row(name=name, label=label, unit=unit, as_it_is=float(before), asked=float(after))
        for name, label, unit, before, after in figures
    )


def _days_over(ahead: Ahead) -> int:
    return sum(day.over_minutes > 0 for day in ahead.days)


def _peaks(base: Side, asked: Side) -> tuple[Row, ...]:
    before = {peak.body: peak for peak in base.peaks}
    after = {peak.body: peak for peak in asked.peaks}
    found = []
    for body in dict.fromkeys([*before, *after]):
        one, two = before.get(body), after.get(body)
        values = (one.mg_per_l if one else None, two.mg_per_l if two else None)
        if values != (None, None):
            found.append(Row(name=f"nitrate_peak {body}", label=f"nitrate peak, {body}",
                             unit="mg/L", as_it_is=values[0], asked=values[1]))  # fmt: skip
    return tuple(found)
