"""Questions of the water screen, what would be if, and what is kept of it on a yes.

One question at a time, answered by digits at the foot. Marks at reservoirs are in `water`.
"""

from dataclasses import dataclass, replace
from datetime import timedelta

from textual.message import Message

from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import WhatIf
from roomtasks.room.why import day_words
from roomtasks.tui import water_asking
from roomtasks.tui.asking import Answer
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keeper import Chosen, StepDone, hour_of
from roomtasks.tui.screens.page import PickScreen
from roomtasks.tui.screens.water_view import WaterView
from roomtasks.tui.signs import Signs
from roomtasks.tui.widgets.lines_view import Row


@dataclass
class WaterActed(Message):
    """The keeper did something: a step, or a choice."""

    what: StepDone | Chosen


@dataclass
class WaterAsked(Message):
    """What would be, if."""

    what_if: WhatIf


class WaterChoosing(WaterView):
    """The water as it is drawn, with its questions."""

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.pending: StepDone | Chosen | None = None

    # ---- what if, and choices ----------------------------------------------------------

    def action_day_next(self) -> None:
        self._day(1)

    def action_day_back(self) -> None:
        self._day(-1)

    def _day(self, step: int) -> None:
        if self.seen is None or isinstance(self.seen.plan, Problem):
            return
        day = (self.what_if.day or self.seen.plan.day) + timedelta(days=step)
        if day < self.seen.room.day_at(self.seen.now):
            self.say(f"{day_words(day)} has gone by.")
            return
        self.post_message(WaterAsked(replace(self.what_if, day=day)))

    def action_what_if(self) -> None:
        if self.seen is not None and not isinstance(self.seen.plan, Problem):
            self.ask(water_asking.what_if())

    def action_choose(self) -> None:
        if self.seen is not None and not isinstance(self.seen.plan, Problem):
            self.ask(water_asking.choose(day_words(self.seen.plan.day)))

    def _what_if_of(self, number: int) -> None:
        question = water_asking.asked_for(number, self.reservoir)
        if question is not None:
            self.ask(question)
        elif number == 4:
            self._pick_tank()
        elif number == 7:
            self.post_message(WaterAsked(replace(self.what_if, keep_back=True)))
        else:
            self.post_message(WaterAsked(WhatIf()))

    def _pick_tank(self) -> None:
        """The tanks that have no change that day, to take one."""
        if self.seen is None or isinstance(self.seen.plan, Problem):
            return
        drawn = {draw.tank for demand in self.seen.plan.demands for draw in demand.draws}
        left = [tank for tank in self.seen.room.tanks if tank.code not in drawn]
        if not left:
            self.say("Every tank has a change that day.")
            return
        rows = [Row(f"{tank.code}  {tank.role}") for tank in left]
        self.app.push_screen(
            PickScreen("One tank more: which", lambda _: rows,
                       lambda at: self.ask(water_asking.extra(left[at].code)))
        )  # fmt: skip

    def _choice_of(self, number: int) -> None:
        if self.seen is None or isinstance(self.seen.plan, Problem):
            return
        day, asked = self.seen.plan.day, self.what_if
        match number:
            case 1 if asked.hour is not None:
                self._sure(Chosen(day=day, hour=asked.hour))
            case 1:
                self.ask(water_asking.keep("hour"))
            case 2 if asked.share is not None:
                self._sure(Chosen(day=day, share=asked.share))
            case 2:
                self.ask(water_asking.keep("share"))
            case 3:
                self._sure(Chosen(day=day, keep_back=True))
            case _:
                self._sure(Chosen(day=day, as_planned=True))

    def _sure(self, choice: Chosen) -> None:
        self.pending = choice
        self.ask(water_asking.yes(water_asking.choice_words(choice)))

    # ---- their answers -----------------------------------------------------------------

    def answered(self, answer: Answer) -> None:
        match answer.sort:
            case "what-if":
                self._what_if_of(answer.number)
            case "choose":
                self._choice_of(answer.number)
            case "keep-hour" | "keep-share":
                self._keep(answer.sort, answer.text)
            case "yes" if self.pending is not None:
                self.post_message(WaterActed(self.pending))
                self.pending = None
            case _:
                self._asked(answer)

    def _keep(self, sort: str, text: str) -> None:
        if self.seen is None or isinstance(self.seen.plan, Problem):
            return
        day = self.seen.plan.day
        if sort == "keep-hour":
            hour = hour_of(text)
            if isinstance(hour, Problem):
                self.say(refused_here(hour))
            else:
                self._sure(Chosen(day=day, hour=hour))
            return
        share = water_asking.number(text, 1.0, 100.0)
        if isinstance(share, Problem):
            self.say(refused_here(share))
        else:
            self._sure(Chosen(day=day, share=share / 100))

    def _asked(self, answer: Answer) -> None:
        if self.seen is None:
            return
        what = water_asking.asked(
            answer.sort, answer.text, answer.about, self.what_if, self.seen
        )  # fmt: skip
        if isinstance(what, Problem):
            self.say(refused_here(what))
        else:
            self.post_message(WaterAsked(what))
