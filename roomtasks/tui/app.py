"""The interface: which screen is up, the store thread, the answers to what the keeper did."""

import asyncio
import gc
import os
import signal
import sys
import textwrap
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from threading import current_thread, main_thread
from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from textual.app import App
from textual.binding import BindingType

from roomtasks.clock.now import Clock, SystemClock
from roomtasks.clock.watch import Watch
from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.tui import keeper, words
from roomtasks.tui.acting import act_of
from roomtasks.tui.desk import Desk
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.ringing import Ringing
from roomtasks.tui.screens.page import JournalScreen, PageScreen, key_rows
from roomtasks.tui.screens.walk import WalkScreen
from roomtasks.tui.side_desk import SideDesk
from roomtasks.tui.signs import clean, signs_for
from roomtasks.tui.taking_back import TakeBack, TakingBack
from roomtasks.tui.theme import THEME
from roomtasks.tui.water_desk import WaterDesk
from roomtasks.tui.widgets.lines_view import Row
from roomtasks.work.opening import behind_journal
from roomtasks.work.picture import Picture, picture

if TYPE_CHECKING:
    from textual.worker import Worker

    from roomtasks.clock.alarm import Alarms
    from roomtasks.tui.screens.facts import FormScreen
    from roomtasks.tui.screens.side import SideActed, SideFirst, SideWanted
    from roomtasks.tui.screens.water_choosing import WaterActed, WaterAsked

LOOK_SECONDS = 1.0
RETRY_SECONDS = 2.0


class RoomApp(App[int]):
    """One room on one store."""

    CSS_PATH = "roomtasks.tcss"
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = False
    TITLE = "roomtasks"

    def __init__(self, path: Path, clock: Clock, who: str = "") -> None:
        super().__init__()
        self.path, self.clock, self.who = path, clock, who
        self.desk = Desk(path)
        self.signs = signs_for(sys.stdout.encoding if os.environ.get("TERM") != "dumb" else None)
        self.picture: Picture | None = None
        self.walk = WalkScreen(self.signs)
        self.watcher = Watch()
        self.water = WaterDesk(self)
        self.side = SideDesk(self)
        self.back = TakingBack(self)
        self.ringing = Ringing(self)
        self.alarms: Alarms | None = None
        self._version = -1
        self._kept: Callable[[Store], keeper.Said] | None = None

    # ---- start and end ----------------------------------------------------

    async def on_mount(self) -> None:
        self.register_theme(THEME)
        self.theme = "roomtasks"
        self._leave_on_signals()
        if not self.path.exists():
            from roomtasks.tui.screens.start import StartScreen

            await self.push_screen(StartScreen(self.path), self._started)
            return
        await self._begin()

    def _leave_on_signals(self) -> None:
        """Ended from outside, leave as by the key, so that the terminal is left sane."""
        if os.name != "posix" or current_thread() is not main_thread():
            return  # a loop takes signals only there
        loop = asyncio.get_running_loop()
        for name in (signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(name, self.exit, 128 + name)

    async def _started(self, made: bool | None) -> None:
        if made:
            await self._begin()
        else:
            self.exit(0)

    async def _begin(self) -> None:
        await self.push_screen(self.walk)
        await self.look_again()
        self.set_interval(LOOK_SECONDS, self._look)
        self.set_timer(0.2, self._afterwards)

    async def _afterwards(self) -> None:
        """What the first paint need not wait for."""
        from roomtasks.clock.alarm import Alarms

        self.alarms = Alarms(self.ringing.rung)
        self.alarms.start()
        self.ringing.arm()
        await asyncio.to_thread(__import__, "sqlite_utils")
        gc.collect()
        gc.freeze()

    async def on_unmount(self) -> None:
        if self.alarms is not None:
            self.alarms.stop()
        await self.desk.close()

    # ---- looking ----------------------------------------------------------

    def now(self) -> datetime:
        zone = self.picture.room.zone if self.picture is not None else None
        now = self.clock.now(zone) if zone is not None else self.clock.now(ZoneInfo("UTC"))
        return now.replace(microsecond=0)

    async def look_again(self) -> None:
        """A new picture from the store, shown wherever it is wanted."""
        try:
            now = self.now()
            found = await self.desk.ask(lambda store: picture(store, now))
            if isinstance(found, Picture) and self.picture is None:
                self.picture = found
                now = self.now()
                found = await self.desk.ask(lambda store: picture(store, now))
            self._version = await self.desk.ask(lambda store: store.version())
            at = found.now if isinstance(found, Picture) else now
            newest = await self.desk.ask(lambda store: behind_journal(store, at))
            trouble = "" if isinstance(found, Problem) else await self._trouble(found)
        except StoreFault as fault:
            self.walk.say(f"{fault.what}; {fault.remedy}. What is shown is as it was.")
            return
        if isinstance(found, Problem):
            self.walk.say(refused_here(found))
            return
        if self.picture is None or self.picture.room is not found.room:
            self._say_if_no_fish(found)
        self.picture = found
        self.walk.show(found)
        clock = f"CLOCK BEHIND THE JOURNAL ({newest:%d %b %H:%M})" if newest else ""
        self.walk.warn(*(text for text in (clock, trouble) if text))
        self.ringing.arm()
        self.water.looked()
        self.side.looked()

    async def _trouble(self, seen: Picture) -> str:
        """What the top line says of troubles."""
        if not seen.room.troubles:
            return ""
        return await self.desk.ask(lambda store: keeper.trouble_words(store, seen.room, seen.now))

    def _say_if_no_fish(self, seen: Picture) -> None:
        """A room whose fish are not entered yet would seem to have little to do."""
        if not any(group.count for group in seen.room.groups) and not self.walk.said:
            self.walk.say(
                "No fish are entered yet, so looks, feeding and changes rest: "
                "e, then groups, + adds."
            )

    async def _look(self) -> None:
        """Every second: another's change, a new day, a sleep, a clock that jumped."""
        if self.picture is None:
            await self.look_again()
            return
        now = self.now()
        again, warning = self.watcher.look(
            now, self.picture.room.day_at(now), self.clock.monotonic()
        )
        try:
            version = await self.desk.ask(lambda store: store.version())
        except StoreFault as fault:
            self.walk.say(f"{fault.what}; {fault.remedy}.")
            return
        if again or version != self._version or now - self.picture.now > timedelta(minutes=1):
            await self.look_again()
        if warning:
            self.walk.say(warning)

    # ---- what the keeper did ----------------------------------------------

    async def on_walk_screen_acted(self, message: WalkScreen.Acted) -> None:
        if self.picture is None:
            return
        do = act_of(message, self.picture, self.now(), self.who)
        if isinstance(do, Problem):
            self.walk.say(refused_here(do))
            return
        await self._do(do, message)

    async def _do(self, do: Callable[[Store], keeper.Said], message: WalkScreen.Acted) -> None:
        """Run one act; what can pass is kept and tried again until it is in."""
        try:
            said = await self.back.run(do, self.walk)
        except StoreFault as fault:
            if fault.passing:
                self.walk.say(f"Not in yet: {fault.what}. It is kept and tried again.")
                self.set_timer(RETRY_SECONDS, lambda: self._do(do, message))
            else:
                self.walk.say(f"NOT marked: {fault.what}; {fault.remedy}.")
            return
        if isinstance(said, Problem):
            if said.rule == "hands":
                self.walk.ask_hands(message.about, f"{said.what}: hands and gear clean? 5 = yes")
            elif said.rule == "ask":
                self.walk.ask_again(message.what, message.about, message.text, said.what + ".")
            else:
                self.walk.say(refused_here(said))
            return
        if said.marks:
            self.walk.onward(said.marks)
        self.walk.say(said.words)
        self.run_worker(self.look_again(), group="look", exclusive=True)

    async def on_walk_screen_wanted(self, message: WalkScreen.Wanted) -> None:
        await self._open(message.page, message.about)
        self.walk.opened()

    async def _open(self, page: str, about: str) -> None:
        if self.picture is None:
            return
        match page:
            case "tank":
                await self._tank_page(about)
            case "journal":
                await self._journal_page()
            case "keys":
                await self.push_screen(PageScreen("Keys", partial(key_rows, signs=self.signs)))
            case "facts":
                from roomtasks.tui.screens.facts import FactsScreen

                await self.push_screen(FactsScreen(self.picture), self._facts_left)
            case "water":
                await self.water.open()
            case "planned":
                self.side.plan_today()
            case "apart" | "broods" | "weeks" | "trouble":
                await self.side.open(page)

    async def on_take_back(self, message: TakeBack) -> None:
        await self.back.did(message)

    async def on_water_acted(self, message: "WaterActed") -> None:
        await self.water.did(message.what)

    async def on_water_asked(self, message: "WaterAsked") -> None:
        await self.water.ask(message.what_if)

    async def on_side_acted(self, message: "SideActed") -> None:
        await self.side.did(message)

    def on_side_first(self, message: "SideFirst") -> None:
        _: Worker[None] = self.run_worker(
            partial(self.side.first, message), group="side-first", exclusive=True
        )

    def on_side_wanted(self, _: "SideWanted") -> None:
        self.side.looked()

    async def _tank_page(self, code: str) -> None:
        """The job in hand whole, and the tank it is at."""
        seen, line, signs = self.picture, self.walk.round.in_hand, self.signs
        if seen is None:
            return
        history = None
        if code in seen.room.tank:
            try:
                history = await self.desk.ask(lambda store: keeper.tank_history(store, seen, code))
            except StoreFault as fault:
                self.walk.say(f"{fault.what}; {fault.remedy}.")
                return
        job = line if line is not None and line.stop.due.tank == code else None
        place = f"Tank {code}" if history is not None else job.stop.due.target if job else code

        def rows(width: int) -> list[Row]:
            found = words.job_rows(seen, job, signs, width) if job is not None else []
            tank = words.tank_lines(seen, code, history, width) if history is not None else []
            return [*found, *tank]

        await self.push_screen(PageScreen(place, rows))

    async def _journal_page(self) -> None:
        lines: list[keeper.Line] = []
        screen = JournalScreen(lambda width: _journal_rows(lines, width))

        async def find(text: str, more: bool) -> None:
            before = lines[-1].act if more and lines else None
            try:
                found = await self.desk.ask(lambda store: keeper.journal_lines(store, text, before))
            except StoreFault as fault:
                found, more = [keeper.Line(0, f"{fault.what}; {fault.remedy}", False)], False
            lines[:] = [*lines, *found] if more else found
            screen.all_there = len(found) < keeper.JOURNAL_LINES
            screen.redraw()

        self._find = find
        await self.push_screen(screen)
        await find("", False)

    async def on_journal_screen_find(self, message: JournalScreen.Find) -> None:
        await self._find(message.text, message.more)

    async def on_form_screen_saved(self, message: "FormScreen.Saved") -> None:
        """A form was filled in: the change is one act."""
        from roomtasks.tui.screens.facts import FactsScreen
        from roomtasks.work.editing import put_fact

        now, who = self.now(), self.who
        try:
            said = await self.desk.ask(
                lambda store: put_fact(store, now, who, message.sheet, message.value)
            )
        except StoreFault as fault:
            message.form.refuse(f"Not saved: {fault.what}; {fault.remedy}")
            return
        if isinstance(said, Problem):
            message.form.refuse(refused_here(said))
            return
        await self.look_again()
        message.form.dismiss(None)
        if self.picture is not None and isinstance(self.screen, FactsScreen):
            self.screen.show(self.picture, said.words)

    async def _facts_left(self, _: None) -> None:
        await self.look_again()


def _journal_rows(lines: list[keeper.Line], width: int) -> list[Row]:
    rows = []
    for line in lines:
        for part in textwrap.wrap(clean(line.text), width - 2, subsequent_indent="    ") or [""]:
            rows.append(Row(part, "quiet" if line.gone else ""))
    return rows or [Row("The journal has no such line.", "quiet")]


def run(store_path: Path, clock: Clock | None = None, who: str = "") -> int:
    """Open the interface on a store (which may not exist yet). Gives the exit status.

    DEMO_WANTED of the guided start where the keeper asked for the demo room.
    """
    app = RoomApp(store_path, clock or SystemClock(), who)
    return app.run() or 0
