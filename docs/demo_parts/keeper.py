"""An invented keeper who works the demo room day by day with the program's own acts.

Chance comes from one seeded stream, time from the story: nothing here reads a
clock. Lives here: one round through the room and the fish acts. Does not live
here: on which day what happens (`story`), and writing the folder.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from docs.demo_parts.remarks import readings_after, remark
from roomtasks.room.fit import fit
from roomtasks.room.job import CounterReading
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.walk import Stop
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work import room_acts
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.marking import How, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.undoing import undo

KEEPER, STAND_IN = "Rita", "Davi"
ALWAYS = frozenset({"check", "look", "feed", "feed-fry", "start", "pump", "dose", "treat", "heat",
                    "fill", "move"})  # fmt: skip
REASONS = ("no time", "not needed", "no water", "just fed", "other")
PUT_OFF_REASONS = ("no time", "", "back hurts", "visitors", "")


class Chance:
    """Dice from one seed. Only `random()` is used: its stream is the same on every Python."""

    def __init__(self, seed: str) -> None:
        self._dice = random.Random(seed)

    def roll(self) -> float:
        return self._dice.random()

    def pick(self, items: Sequence[Any]) -> Any:
        return items[int(self.roll() * len(items))]

    def near(self, middle: float, spread: float) -> float:
        """About the middle, at most twice the spread away."""
        return middle + spread * (self.roll() + self.roll() + self.roll() + self.roll() - 2)


@dataclass(frozen=True, slots=True)
class Refused:
    """An act the room refused, for whoever looks at how a simulated day went."""

    at: datetime
    what: str
    problem: Problem


@dataclass
class Keeper:
    """The keeper, or the stand-in, with a watch of their own."""

    store: Store
    chance: Chance
    leave: dict[str, tuple[date, date]]
    clock: datetime
    who: str = KEEPER
    refused: list[Refused] = field(default_factory=list)

    def wait_until(self, instant: datetime) -> None:
        """Move the watch on; it never goes back."""
        self.clock = max(self.clock + timedelta(seconds=20), instant)

    def spend(self, minutes: float) -> None:
        self.clock += timedelta(seconds=max(10, round(minutes * 60)))

    def told(self, what: str, answer: object) -> bool:
        """Whether it was done; a refusal is kept."""
        if isinstance(answer, Problem):
            self.refused.append(Refused(self.clock, what, answer))
            return False
        return True

    def seen(self) -> Picture:
        found = picture(self.store, self.clock)
        if isinstance(found, Problem):
            raise ValueError(found.sentence())
        return found

    # -- the round

    def walk_round(self, minutes: float, most: int = 8) -> None:
        """Walk what fits, then again for what the first pass brought up."""
        for turn in range(most):
            seen = self.seen()
            stops = fit(seen.room, seen.walk, minutes).walk.stops
            if self.who == STAND_IN:
                stops = tuple(stop for stop in seen.walk.stops if stop.due.job.stand_in)
            if turn:
                stops = tuple(stop for stop in stops if stop.due.job.kind in ALWAYS)
            if not stops and not self._wait_for_look(seen):
                break
            self._do(seen, stops)

    def evening_round(self) -> None:
        """What belongs to the evening, and whatever it sets going."""
        for _ in range(8):
            seen = self.seen()
            stops = [
                stop
                for stop in seen.walk.stops
                if stop.due.job.from_time is not None or stop.due.job.kind in ("treat", "heat")
            ]
            if self.who == STAND_IN:
                stops = [stop for stop in stops if stop.due.job.stand_in]
            if not stops and not self._wait_for_look(seen):
                break
            self._do(seen, stops)

    def _wait_for_look(self, seen: Picture) -> bool:
        """Wait for a look that opens within the half hour."""
        opens = [
            due.later_today
            for due in seen.dues
            if due.later_today is not None
            and due.job.from_time is None
            and due.later_today - self.clock < timedelta(minutes=30)
        ]
        if not opens:
            return False
        self.wait_until(min(opens))
        return True

    def _do(self, seen: Picture, stops: Sequence[Stop]) -> None:
        batch: list[Stop] = []
        for stop in stops:
            if batch and stop.due.job.code != batch[0].due.job.code:
                self._finish(batch)
                batch = []
            plain = self._decide(seen, stop)
            if plain:
                batch.append(stop)
        self._finish(batch)

    def _decide(self, seen: Picture, stop: Stop) -> bool:
        """Whether the stop is simply done; anything else is seen to here."""
        due, roll = stop.due, self.chance.roll()
        left = self.leave.get(due.id)
        if left is not None and left[0] <= seen.today <= left[1]:
            return False
        if due.job.kind in ALWAYS or self.who == STAND_IN:
            return roll < 0.994
        sure = 0.95 if due.job.kind == "change" else 0.91
        if roll < sure:
            return True
        self._slip(seen, due, (roll - sure) / (1 - sure))
        return False

    def _slip(self, seen: Picture, due: Due, how: float) -> None:
        """A job that is not simply done: half, another day, given up, or passed by in silence."""
        self.spend(0.3)
        if how < 0.45 and due.job.kind == "change" and due.fraction:
            share = round((due.owed_fraction or due.fraction) * 0.5, 2)
            self.say([due.id], "partly", fraction=share, note="the rest when there is water")
        elif how < 0.65:
            days = 1 + int(self.chance.roll() * 2)
            self.say(
                [due.id], "put-off", until=seen.today + timedelta(days=days),
                reason=self.chance.pick(PUT_OFF_REASONS),
            )  # fmt: skip
        elif how < 0.8:
            self.say([due.id], "left-out", reason=self.chance.pick(REASONS))

    def _finish(self, batch: Sequence[Stop]) -> None:
        """Mark a run of like stops done, one by one where something is said of them."""
        if not batch:
            return
        plain = [stop for stop in batch if not self._said(stop)]
        if not plain:
            return
        self.spend(sum(stop.total_minutes for stop in plain))
        done = self.say([stop.due.id for stop in plain], "done", **self._amount(plain[0].due))
        if done and self.chance.roll() < 0.006:
            self.back()
            self.spend(0.5)
            self.say([stop.due.id for stop in plain], "done", **self._amount(plain[0].due))
        for stop in plain if done else ():
            self.read(stop.due)

    def _said(self, stop: Stop) -> bool:
        """A stop marked by itself: with the minutes it took, or a remark."""
        minutes = note = None
        if stop.due.job.minutes >= 3 and self.chance.roll() < 0.3:
            usual = stop.due.job.minutes
            minutes = max(0.5, round(self.chance.near(usual * 1.05, usual * 0.3) * 2) / 2)
        if self.chance.roll() < 0.025:
            note = remark(stop.due.job.kind, self.chance.pick)
        if minutes is None and not note:
            return False
        self.spend(minutes or stop.total_minutes)
        if self.say(
            [stop.due.id], "done", minutes=minutes, note=note or "", **self._amount(stop.due)
        ):
            self.read(stop.due)
        return True

    def _amount(self, due: Due) -> dict[str, Any]:
        """A vat is filled as far as it goes; tank water is as planned."""
        if due.job.kind != "fill":
            return {}
        vessel = read.room(self.store)
        if isinstance(vessel, Problem):
            raise ValueError(vessel.sentence())
        found = vessel.reservoir[due.target]
        free = found.full_litres - found.holds_litres
        return {"litres": round(min(due.litres or 0.0, free), 1)}

    def say(self, names: list[str], outcome: str, *, anyway: bool = False, **how: Any) -> bool:
        """Mark, answering yes to clean hands; True where the room took it."""
        told = How(who=self.who, anyway=anyway, **how)
        answer = mark(self.store, self.clock, names, outcome, told)
        if isinstance(answer, Problem) and answer.rule == "hands":
            self.spend(2)
            answer = mark(self.store, self.clock, names, outcome, replace(told, hands_clean=True))
        if isinstance(answer, Problem) and answer.rule == "after":
            told = replace(told, anyway=True, note=told.note or "the change is for another day")
            answer = mark(self.store, self.clock, names, outcome, told)
        return self.told(f"{outcome} {' '.join(names)}", answer)

    def read(self, due: Due) -> None:
        """Readings and counters that go with a job."""
        for target, what, value, unit in readings_after(due, self.chance.near):
            self.spend(0.3)
            self.told(
                f"{what} {target}",
                room_acts.read_off(self.store, self.clock, self.who, target, what, value, unit),
            )
        if due.job.code == "copy":
            self.spend(1)
            self.told("counters", self.counters())

    def back(self, number: int | None = None) -> None:
        """Take the newest act back."""
        self.spend(0.5)
        self.told("undo", undo(self.store, self.clock, self.who, number))

    # -- fish and room

    def counters(self) -> Told | Problem:
        """Read the two counters off, once a week."""

        def do(it: Doing) -> str:
            for name, each in (("tap-litres", 88.0), ("air-hours", 24.0)):
                last = [row for row in it.room.counters if row.counter == name][-1]
                days = (it.today - last.day).days
                it.writer.put(
                    "counters",
                    CounterReading(
                        counter=name, day=it.today, unit=last.unit,
                        value=last.value + round(days * self.chance.near(each, each * 0.02)),
                    ),
                )  # fmt: skip
            return "counters of the tap and the air pump read"

        return doing(self.store, self.clock, self.who, "counter", do)

    def released(self, code: str) -> None:
        """A stay has ended today."""

        def do(it: Doing) -> str | Problem:
            stay = next(stay for stay in it.room.stays if stay.code == code)
            it.writer.put("stays", replace(stay, ended=it.today))
            days = (it.today - stay.since).days
            return f"{stay.tank}: released on day {days} of {stay.days}"

        self.told(code, doing(self.store, self.clock, self.who, "release", do))

    def grown(self, code: str, stage: str) -> None:
        """A group has come to another stage of life."""

        def do(it: Doing) -> str | Problem:
            group = next(group for group in it.room.groups if group.code == code)
            it.writer.put("groups", replace(group, stage=stage))
            return f"{group.line} ({code}) in {group.tank}: {stage}"

        self.told(code, doing(self.store, self.clock, self.who, "stage", do))
