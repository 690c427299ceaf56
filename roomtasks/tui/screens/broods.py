"""Broods as lines of growth, moves to come, tanks made over, the coming weeks: a side list."""

import os
from datetime import datetime
from typing import Any, ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from roomtasks.room.problem import Problem
from roomtasks.room.room_full import WhatIf
from roomtasks.store.base import Store
from roomtasks.tui import brood_lines
from roomtasks.tui.asking import Question
from roomtasks.tui.brood_look import BroodsRead, judge_places, read_broods
from roomtasks.tui.brood_move_acts import AskedAct
from roomtasks.tui.brood_pictures import drawing
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import Look, SideScreen, SideWanted
from roomtasks.tui.side_acts import Act, Filling
from roomtasks.tui.signs import PLAIN, Signs
from roomtasks.tui.water_items import Item, Part
from roomtasks.tui.widgets.growth_view import DrawnView

COARSE = ("linux", "dumb")


class BroodsScreen(SideScreen[BroodsSeen]):
    """Broods, moves and weeks, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("broods")
    side = "broods"
    title_words = "Broods"

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.what_if = WhatIf()
        self.fine = signs is not PLAIN and os.environ.get("TERM") not in COARSE
        self.proposed: tuple[str, ...] = ()
        self._hand_before = ""

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
        asked = tuple(Item(key=f"asked {n}", text=text) for n, text in enumerate(self.proposed))
        head = [Part("Asked, not kept yet", asked)] if asked else []
        return [*head, *brood_lines.parts(seen, self.signs)]

    def picture(self) -> Widget | None:
        return DrawnView()

    def draw_picture(self, seen: BroodsSeen, wide: bool) -> None:
        about = self.item.about if self.item is not None else ""
        self.query_one("#picture", DrawnView).show(drawing(seen, about, self.signs, self.fine))

    # ---- what is shown before it is kept ------------------------------------------------

    def foreseen(self, filling: Filling, lines: tuple[str, ...]) -> None:
        """What would come of an act, above the list until the question is answered or left."""
        self._hand_before = self.item.key if self.item is not None else ""
        self.question = Question("side-sure", f"{filling.act.sure}?", ("yes",))
        self.proposed = lines
        self.redraw()
        self.go(min(1, len(self.laid.rows) - 1))

    def draw_said(self) -> None:
        """With the question gone, what it asked about goes too."""
        if self.question is None and self.proposed and self.is_mounted:
            self.proposed = ()
            self.redraw()
            row = self.laid.row_of(self._hand_before)
            self.go(row if row is not None else self.first_row())
            return
        super().draw_said()

    # ---- what is only asked -------------------------------------------------------------

    def _go_on(self, filling: Filling) -> None:
        """What is only asked goes to the look, not to the store."""
        act: Act = filling.act
        if not isinstance(act, AskedAct) or filling.ask is not None:
            super()._go_on(filling)
            return
        wanted = act.wanted(filling.answers)
        if isinstance(wanted, Problem):
            self.say(refused_here(wanted))
            return
        self.what_if = wanted
        self.say("As it is." if wanted == WhatIf() else "Asked only: nothing of it is kept.")
        self.post_message(SideWanted())
