"""The lists beside the walk in the app: which one is open, its looks, what was done there."""

from typing import TYPE_CHECKING, Any

from roomtasks.room.problem import Problem
from roomtasks.store.fault import StoreFault
from roomtasks.tui.beside import beside
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.signs import Signs

if TYPE_CHECKING:
    from textual.worker import Worker

    from roomtasks.tui.app import RoomApp
    from roomtasks.tui.screens.side import SideActed, SideFirst, SideScreen

RETRY_SECONDS = 2.0
GROUP = "side"
PLANNED_DAYS = 14


class SideDesk:
    """What the app does about the lists beside the walk."""

    def __init__(self, app: "RoomApp") -> None:
        self.app = app
        self.screen: SideScreen[Any] | None = None

    async def open(self, name: str) -> None:
        """A list on top, by its name in the table of keys, and what it shows."""
        screen = screen_of(name, self.app.signs)
        self.app.workers.cancel_group(self.app, GROUP)
        self.screen = screen
        await self.app.push_screen(screen, self._closed)
        self.looked()

    def _closed(self, _: None) -> None:
        self.screen = None

    def looked(self) -> None:
        """The room was looked at, or something else is asked: an open list follows.

        Beside the keys, which must not wait for what takes long to be worked out.
        """
        if self.screen is not None:
            _: Worker[None] = self.app.run_worker(self.look, group=GROUP, exclusive=True)

    async def look(self) -> None:
        """A new look from the store, shown where the list is open."""
        screen, now = self.screen, self.app.now()
        if screen is None:
            return
        look, think = screen.looker(), screen.thinker()
        try:
            seen = await self.app.desk.ask(lambda store: look(store, now))
        except StoreFault as fault:
            self.say(f"{fault.what}; {fault.remedy}. What is shown is as it was.")
            return
        if think is not None and not isinstance(seen, Problem):
            seen = await beside(think, seen)
        if screen is not self.screen:
            return
        if isinstance(seen, Problem):
            self.say(f"{refused_here(seen)}. What is shown is as it was.")
        else:
            screen.show(seen)

    async def first(self, message: "SideFirst") -> None:
        """What an act would do, worked out from the store and shown before the yes."""
        filling, now = message.filling, self.app.now()
        first = filling.first
        if first is None or self.screen is None:
            return
        screen = self.screen
        try:
            found = await self.app.desk.ask(lambda store: first(store, now))
        except StoreFault as fault:
            self.say(f"{fault.what}; {fault.remedy}. Nothing was entered.")
            return
        if screen is not self.screen:
            return
        if isinstance(found, Problem):
            screen.refused(found, filling)
        else:
            screen.foreseen(filling, found)

    async def did(self, message: "SideActed") -> None:
        """Run one act; what can pass is kept and tried again until it is in."""
        do, now, who = message.do, self.app.now(), self.app.who
        screen = self.screen or self.app.walk
        try:
            said = await self.app.back.run(lambda store: do(store, now, who), screen)
        except StoreFault as fault:
            if fault.passing:
                self.say(f"Not in yet: {fault.what}. It is kept and tried again.")
                self.app.set_timer(RETRY_SECONDS, lambda: self.did(message))
            else:
                self.say(f"NOT entered: {fault.what}; {fault.remedy}.")
            return
        if isinstance(said, Problem):
            if self.screen is not None:
                self.screen.refused(said, message.filling)
            else:
                self.say(refused_here(said))
            return
        self.say(said.words if said.words.endswith(".") else f"{said.words}.")
        await self.app.look_again()

    def plan_today(self) -> None:
        """Today by the plan of the weeks, beside the keys."""
        self.say("The weeks are being planned.")
        _: Worker[None] = self.app.run_worker(self._planned, group="planned", exclusive=True)

    async def _planned(self) -> None:
        """Today by the plan of the weeks, on the walk."""
        from roomtasks.room.plan_today import plan_today
        from roomtasks.work.ahead_view import planned, scene

        now = self.app.now()
        try:
            seen = await self.app.desk.ask(lambda store: scene(store, now))
        except StoreFault as fault:
            self.say(f"{fault.what}; {fault.remedy}.")
            return
        if isinstance(seen, Problem):
            self.say(refused_here(seen))
            return
        ahead = await beside(lambda scene: planned(scene, PLANNED_DAYS), seen)
        if isinstance(ahead, Problem):
            self.say(refused_here(ahead))
            return
        self.app.walk.show_plan(plan_today(ahead, seen.dues))

    def say(self, text: str) -> None:
        """In the words of the list where one is open, else on the walk."""
        (self.screen or self.app.walk).say(text)


def screen_of(name: str, signs: Signs) -> "SideScreen[Any]":
    """The list of a name. Loaded only when it is first opened."""
    match name:
        case "apart":
            from roomtasks.tui.screens.apart import ApartScreen

            return ApartScreen(signs)
        case "broods":
            from roomtasks.tui.screens.broods import BroodsScreen

            return BroodsScreen(signs)
        case "weeks":
            from roomtasks.tui.screens.weeks import WeeksScreen

            return WeeksScreen(signs)
    from roomtasks.tui.screens.trouble import TroubleScreen

    return TroubleScreen(signs)
