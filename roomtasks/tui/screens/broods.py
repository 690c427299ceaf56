"""Broods as lines of growth, moves to come, tanks made over, the coming weeks: a side list."""

from datetime import datetime
from typing import Any, ClassVar

from textual.binding import BindingType

from roomtasks.room.problem import Problem
from roomtasks.room.room_full import WhatIf
from roomtasks.store.base import Store
from roomtasks.tui import brood_lines
from roomtasks.tui.brood_look import BroodsRead, judge_places, read_broods
from roomtasks.tui.brood_move_acts import AskedAct
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import Look, SideScreen, SideWanted
from roomtasks.tui.side_acts import Act, Filling
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_asking import said_here
from roomtasks.tui.water_items import Part


class BroodsScreen(SideScreen[BroodsSeen]):
    """Broods, moves and weeks, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("broods")
    side = "broods"
    title_words = "Broods"

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.what_if = WhatIf()

    def looker(self) -> Look:
        asked = self.what_if

        def look(store: Store, now: datetime) -> BroodsRead | Problem:
            return read_broods(store, now, asked)

        return look

    def thinker(self) -> Any:
        return judge_places

    def top(self, seen: BroodsSeen, width: int) -> str:
        return brood_lines.top(seen)

    def next(self, seen: BroodsSeen, width: int) -> str:
        return brood_lines.next_line(seen, self.signs)

    def parts(self, seen: BroodsSeen, width: int) -> list[Part]:
        return brood_lines.parts(seen, self.signs)

    def _go_on(self, filling: Filling) -> None:
        """What is only asked goes to the look, not to the store."""
        act: Act = filling.act
        if not isinstance(act, AskedAct) or filling.ask is not None:
            super()._go_on(filling)
            return
        wanted = act.wanted(filling.answers)
        if isinstance(wanted, Problem):
            self.say(said_here(wanted))
            return
        self.what_if = wanted
        self.say("As it is." if wanted == WhatIf() else "Asked only: nothing of it is kept.")
        self.post_message(SideWanted())
