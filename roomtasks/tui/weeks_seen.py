"""The weeks as they are looked at: what is asked of them, and the plans that answer it.

Plans take long in a big room, so `Planner` works them out beside the store thread:
one at a time, the newest question only, and none twice. Pure but for its lock.
"""

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from threading import Lock
from typing import Generic, TypeVar

from roomtasks.room.ahead_plan import Ahead, PlannedJob, WhatIfAhead
from roomtasks.room.away_plan import AwayPlan, away_plan
from roomtasks.room.naming import job_there
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.work.ahead_view import AS_IT_IS, AheadScene, planned

T = TypeVar("T")
SPANS = (14, 28, 56)
KEPT_PLANS = 8
NO_PINS: Mapping[str, date] = {}
OVERTAKEN = Problem("weeks", "something else was asked meanwhile", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """An occurrence tried on another day; only asked, not kept.

    `anyway`: the keeper was told that the day is not one it may take, and said yes.
    """

    id: str
    n: int
    name: str
    target: str
    planned: date
    day: date
    anyway: bool = False

    @property
    def pin_name(self) -> str:
        return self.id if self.n == 0 else f"{self.id}#{self.n}"

    @property
    def words(self) -> str:
        return job_there(self.name, self.target)

    def kept_in(self, room: Room) -> bool:
        """Whether the room keeps it on this day already."""
        return self.n == 0 and any(
            f"{pin.job}@{pin.target}" == self.id and pin.day == self.day for pin in room.pins
        )


@dataclass(frozen=True, slots=True)
class AwayAsk:
    """Days away that are asked about."""

    first: date
    last: date
    stand_in: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksAsk:
    """What is asked: how many days, and besides the facts at most one thing."""

    days: int = SPANS[0]
    what_if: WhatIfAhead = AS_IT_IS
    trial: Trial | None = None
    away: AwayAsk | None = None

    def as_it_is(self) -> "WeeksAsk":
        """The same days with nothing asked of them."""
        return WeeksAsk(days=self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksSeen:
    """The plan as it is, and what came of the question.

    `asked` is the plan with it, None where nothing is asked or the room keeps it
    already; `fault` why there is none.
    """

    scene: AheadScene
    ask: WeeksAsk
    base: Ahead
    asked: Ahead | None = None
    away: AwayPlan | None = None
    fault: Problem | None = None

    @property
    def room(self) -> Room:
        return self.scene.room

    @property
    def shown(self) -> Ahead:
        return self.asked or self.base

    def job(self, key: str) -> PlannedJob | None:
        """The occurrence of a line, as it is planned with nothing asked."""
        return next((job for job in self.base.jobs if key_of(job) == key), None)


def key_of(job: PlannedJob) -> str:
    """What finds an occurrence again in the next plan."""
    return f"job {job.id}#{job.n}"


def comes_with(job: PlannedJob) -> bool:
    """Whether it has no day of its own but comes along with another job."""
    return job.why.startswith("comes with ")


@dataclass
class Known(Generic[T]):
    """Answers to the newest few questions, as long as what they were made from is the same."""

    answers: list[tuple[AheadScene, WeeksAsk, T]] = field(default_factory=list)

    def get(self, scene: AheadScene, ask: WeeksAsk, make: Callable[[], T]) -> T:
        """The answer, made where it is not known."""
        for known, asked, answer in self.answers:
            if asked == ask and known.same(scene):
                return answer
        made = make()
        self.answers = [(scene, ask, made), *self.answers[: KEPT_PLANS - 1]]
        return made


@dataclass
class Planner:
    """Plans that were worked out, and the one that is wanted now."""

    wait_seconds: float = 0.2
    _lock: Lock = field(default_factory=Lock)
    _newest: int = 0
    _plans: Known[Ahead | Problem] = field(default_factory=Known)
    _aways: Known[AwayPlan | Problem] = field(default_factory=Known)
    _bases: dict[int, Ahead] = field(default_factory=dict)

    def number(self) -> int:
        """The number of a new question; those before it are no longer wanted."""
        self._newest += 1
        return self._newest

    def think(self, scene: AheadScene, ask: WeeksAsk, number: int) -> WeeksSeen | Problem:
        """Answer a question, unless another was asked meanwhile."""
        if ask.trial is not None:
            time.sleep(self.wait_seconds)  # more presses of the key may follow
        with self._lock:
            if number != self._newest:
                return OVERTAKEN
            base = self._base(scene, ask.days)
            if isinstance(base, Problem):
                return base
            return self._answered(WeeksSeen(scene=scene, ask=ask, base=base))

    def _answered(self, seen: WeeksSeen) -> WeeksSeen:
        scene, ask = seen.scene, seen.ask
        if ask.away is not None:
            return self._gone(seen, ask.away)
        trial = ask.trial
        if ask == ask.as_it_is() or (trial is not None and trial.kept_in(scene.room)):
            return seen
        pins = NO_PINS if trial is None else {trial.pin_name: trial.day}
        last = None if trial is None else seen.base
        plan = self._plans.get(
            scene, ask, lambda: planned(scene, ask.days, ask.what_if, pins, last)
        )
        if isinstance(plan, Problem):
            return replace(seen, fault=plan)
        return replace(seen, asked=plan)

    def _gone(self, seen: WeeksSeen, away: AwayAsk) -> WeeksSeen:
        """What days away would do."""
        scene = seen.scene
        plan = self._aways.get(scene, seen.ask, lambda: away_plan(
            scene.room, scene.dues, scene.pasts, scene.now, away.first, away.last, away.stand_in
        ))  # fmt: skip
        if isinstance(plan, Problem):
            return replace(seen, fault=plan)
        return replace(seen, away=plan)

    def _base(self, scene: AheadScene, days: int) -> Ahead | Problem:
        """The plan with nothing asked; it keeps to the days of the one before it."""
        last = self._bases.get(days)
        plan = self._plans.get(
            scene, WeeksAsk(days=days), lambda: planned(scene, days, last=last)
        )  # fmt: skip
        if not isinstance(plan, Problem):
            self._bases[days] = plan
        return plan
