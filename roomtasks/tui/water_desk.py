"""The water in the app: looks at the plan, its alarm, the screen, and what the keeper did there.

A plan is looked at when the water is open, and a while after each look at the
room, so that the alarm knows the next step. It is worked out on a thread of its
own, the more seldom the longer it takes, so that no mark waits for it.
"""

import asyncio
from collections.abc import Callable
from datetime import datetime
from time import monotonic
from typing import TYPE_CHECKING

from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import WhatIf
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.tui import keeper
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keeper import Chosen, StepDone

if TYPE_CHECKING:
    from textual.worker import Worker

    from roomtasks.tui.app import RoomApp
    from roomtasks.tui.screens.water import WaterScreen
    from roomtasks.tui.water_words import WaterSeen

AFTER_SECONDS = 1.5
RETRY_SECONDS = 2.0
GROUP = "water"
REST = 20.0
MOST_TANKS_UNASKED = 500
Done = StepDone | Chosen


class WaterDesk:
    """What the app does about water. `seen` is the newest look at the plan as it is."""

    def __init__(self, app: "RoomApp") -> None:
        self.app = app
        self.screen: WaterScreen | None = None
        self.what_if = WhatIf()
        self.seen: WaterSeen | None = None
        self._free_at = 0.0

    # ---- looking -----------------------------------------------------------------------

    async def open(self) -> None:
        """The water screen on top."""
        from roomtasks.tui.screens.water import WaterScreen

        self.app.workers.cancel_group(self.app, GROUP)
        self.what_if = WhatIf()
        self.screen = WaterScreen(self.app.signs)
        await self.app.push_screen(self.screen, self._closed)
        await self.look()

    def _closed(self, _: None) -> None:
        self.screen = None

    async def look(self) -> None:
        """A new plan from the store, shown where the water is open, and its alarm armed."""
        what_if = self.what_if
        seen = await self._planned(what_if)
        if isinstance(seen, Problem):
            if self.screen is not None:
                self.say(f"{refused_here(seen)}. What is shown is as it was.")
            return
        if what_if == WhatIf():
            before, self.seen = self.instants(), seen
            if self.instants() != before:
                self.app.ringing.arm()
        if self.screen is not None and what_if == self.what_if:
            self.screen.show(seen, what_if, self.seen)

    async def _planned(self, what_if: WhatIf) -> "WaterSeen | Problem":
        """A plan worked out beside the store thread; a fault of the store as a problem."""
        from roomtasks.work.water import water_scene

        now, began = self.app.now(), monotonic()
        try:
            scene = await self.app.desk.ask(lambda store: water_scene(store, now))
        except StoreFault as fault:
            return Problem("", fault.what, fault.remedy)
        if isinstance(scene, Problem):
            return scene
        seen = await asyncio.to_thread(keeper.water_planned, scene, what_if)
        self._free_at = monotonic() + REST * (monotonic() - began)
        return seen

    def looked(self) -> None:
        """The room was looked at: the water follows, at once where it is open."""
        picture = self.app.picture
        if self.screen is not None:
            _: Worker[None] = self.app.run_worker(self.look, group=GROUP, exclusive=True)
        elif picture is not None and picture.room.reservoirs and (
            self.seen is not None or len(picture.room.tanks) <= MOST_TANKS_UNASKED
        ):  # fmt: skip
            _ = self.app.run_worker(self._later, group=GROUP, exclusive=True)

    async def _later(self) -> None:
        await asyncio.sleep(max(AFTER_SECONDS, self._free_at - monotonic()))
        await self.look()

    async def ask(self, what_if: WhatIf) -> None:
        """What would be, if; what cannot be asked is told and the plan stays as it was."""
        before, self.what_if = self.what_if, what_if
        seen = await self._planned(what_if)
        fault = seen if isinstance(seen, Problem) else seen.plan
        if isinstance(fault, Problem):
            self.what_if = before
            self.say(refused_here(fault))
        elif self.screen is not None and not isinstance(seen, Problem):
            self.screen.show(seen, what_if, self.seen)
            self.say("As it is." if what_if == WhatIf() else "Nothing of this is kept.")

    # ---- the alarm ---------------------------------------------------------------------

    def instants(self) -> list[datetime]:
        """When a step of the plan is next to be done."""
        return [at for _, _, at in self._coming()]

    def rung(self, now: datetime) -> list[str]:
        """The steps whose instant has come and was not told before."""
        return [
            f"{words} at {code}"
            for code, words, at in self._coming()
            if at <= now and self.app.watcher.once(f"{code} {words} {at.isoformat()}")
        ]

    def _coming(self) -> list[tuple[str, str, datetime]]:
        """Reservoir, words and instant of the plan's next step."""
        if self.seen is None or isinstance(self.seen.plan, Problem):
            return []
        step = self.seen.plan.next_step
        if step is None:
            return []
        from roomtasks.tui.water_words import TO_DO

        return [(step.reservoir, TO_DO.get(step.step, step.step), step.at)]

    # ---- what the keeper did -----------------------------------------------------------

    async def did(self, what: Done) -> None:
        """Run one act; what can pass is kept and tried again until it is in."""
        do, now, who = self._act(what), self.app.now(), self.app.who
        screen = self.screen or self.app.walk
        try:
            said = await self.app.back.run(lambda store: do(store, now, who), screen)
        except StoreFault as fault:
            if fault.passing:
                self.say(f"Not in yet: {fault.what}. It is kept and tried again.")
                self.app.set_timer(RETRY_SECONDS, lambda: self.did(what))
            else:
                self.say(f"NOT marked: {fault.what}; {fault.remedy}.")
            return
        if isinstance(said, Problem):
            if self.screen is not None:
                self.screen.refused(what, said)
            else:
                self.say(refused_here(said))
            return
        if isinstance(what, Chosen):
            self.what_if = WhatIf(day=self.what_if.day)
        self.say(said.words)
        await self.app.look_again()

    @staticmethod
    def _act(what: Done) -> Callable[[Store, datetime, str], keeper.Said]:
        if isinstance(what, StepDone):
            return lambda store, now, who: keeper.stepped(store, now, who, what)
        return lambda store, now, who: keeper.chosen(store, now, who, what)

    def say(self, text: str) -> None:
        """In the words of the water where it is open, else on the walk."""
        (self.screen or self.app.walk).say(text)
