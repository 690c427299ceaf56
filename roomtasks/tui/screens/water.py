"""The water under the keys: marks as it happens, what if, choices; each key asked or posted.

Posts what the keeper did and what is asked to the app; writes nothing itself.
How it is drawn is in `water_view`, what the questions mean in `water_asking`.
"""

from dataclasses import replace
from typing import ClassVar

from textual.binding import BindingType

from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import WhatIf
from roomtasks.tui import water_asking
from roomtasks.tui.asking import Answer
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keeper import Chosen, StepDone, time_gone_by
from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.water_choosing import WaterActed, WaterChoosing
from roomtasks.tui.water_asking import EARLIER, FIRST_STEPS, LITRES_ASKED, MORE, MORE_STEPS

NOT_KEPT = "What if is only asked. * then 9 goes back to the plan as it is, then mark."


class WaterScreen(WaterChoosing):
    """The water of the room, and its keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("water")

    # ---- marking -----------------------------------------------------------------------

    def action_step(self) -> None:
        if self.twice("step") or self._only_asked():
            return
        found = self.expected()
        if self.seen is None or found is None:
            self.say(self._nothing_next())
        elif found.step == "ready":
            self._ask_celsius(found.reservoir)
        else:
            done = water_asking.step_done(self.seen, found.reservoir, found.step, found)
            self.post_message(WaterActed(done))

    def _only_asked(self) -> bool:
        if self.what_if == WhatIf():
            return False
        self.say(NOT_KEPT)
        return True

    def _nothing_next(self) -> str:
        if not self.reservoir:
            return "There is no reservoir to mark a step at."
        return f"{self.reservoir}: nothing is next to mark; the change is marked on the walk."

    def action_other_step(self) -> None:
        if not self._only_asked() and self.reservoir:
            self.ask(water_asking.steps(self.reservoir))

    def action_done_before(self) -> None:
        found = None if self._only_asked() else self.expected()
        if found is not None:
            self.ask(water_asking.done_at(found.reservoir, found.words))

    def _ask_celsius(self, code: str) -> None:
        found = self.expected()
        batch = found.batch if found is not None and found.reservoir == code else None
        self.ask(water_asking.celsius(code, batch.target_celsius if batch is not None else None))

    def _other(self, code: str, step: str) -> None:
        """A step from the list: what it needs is asked first."""
        if self.seen is None:
            return
        found = self.expected()
        found = found if found is not None and found.step == step else None
        done = water_asking.step_done(self.seen, code, step, found)
        if step == MORE:
            self.ask(water_asking.more_steps(code))
        elif step == EARLIER:
            self.action_done_before()
        elif step == "ready":
            self._ask_celsius(code)
        elif step in LITRES_ASKED:
            full = self.seen.room.reservoir[code].full_litres
            planned = (done.litres or full) if step == "full" else None
            self.ask(water_asking.litres(code, step, planned))
        else:
            self.post_message(WaterActed(done))

    def refused(self, done: StepDone | Chosen, problem: Problem) -> None:
        """Why it was not entered; what may be overruled is asked about."""
        if isinstance(done, StepDone) and water_asking.may_overrule(problem):
            self.pending = replace(done, anyway=True)
            self.ask(water_asking.anyway(problem))
        else:
            self.say(refused_here(problem))

    # ---- answers -----------------------------------------------------------------------

    def answered(self, answer: Answer) -> None:
        code, text = answer.about, answer.text
        match answer.sort.partition(" ")[0]:
            case "step":
                self._other(code, FIRST_STEPS[answer.number - 1])
            case "more-step":
                self._other(code, MORE_STEPS[answer.number - 1])
            case "celsius" | "litres" | "done-at":
                self._told(answer.sort, code, text)
            case _:
                super().answered(answer)

    def _told(self, sort: str, code: str, text: str) -> None:
        """A step whose temperature, litres or time was typed."""
        if self.seen is None:
            return
        found = self.expected()
        if sort == "done-at":
            when = time_gone_by(text, self.seen.now)
            if isinstance(when, Problem):
                self.say(refused_here(when))
            elif found is not None:
                done = water_asking.step_done(self.seen, code, found.step, found)
                self.post_message(WaterActed(replace(done, when=when)))
            return
        high = 60.0 if sort == "celsius" else self.seen.room.reservoir[code].full_litres
        value = water_asking.number(text, 0.0, high)
        if isinstance(value, Problem):
            self.say(refused_here(value))
            return
        step = "ready" if sort == "celsius" else sort.partition(" ")[2]
        found = found if found is not None and found.step == step else None
        done = water_asking.step_done(self.seen, code, step, found)
        done = replace(done, celsius=value) if sort == "celsius" else replace(done, litres=value)
        self.post_message(WaterActed(done))
