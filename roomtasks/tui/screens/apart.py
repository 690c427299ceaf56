"""Fish kept apart: lots with their day, watches, courses, release lists, valves, cautions."""

import textwrap
from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from roomtasks.room.problem import Problem
from roomtasks.tui.apart_asks import HereAct, PageAct
from roomtasks.tui.apart_days import day_lines_of
from roomtasks.tui.apart_lines import apart_parts
from roomtasks.tui.apart_words import next_words, refusal, top_words
from roomtasks.tui.asking import Question
from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.page import PageScreen
from roomtasks.tui.screens.side import Look, SideScreen, SideWanted
from roomtasks.tui.side_acts import Act, Filling
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.water_asking import may_overrule
from roomtasks.tui.water_items import Part
from roomtasks.tui.widgets.day_line import DayLineView
from roomtasks.tui.widgets.lines_view import Row
from roomtasks.work.apart_view import ApartView, apart_view


class ApartScreen(SideScreen[ApartView]):
    """Fish kept apart, and the keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("apart")
    side = "apart"
    title_words = "Fish kept apart"

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.to: dict[str, str] = {}
        self.in_full: frozenset[str] = frozenset()

    def looker(self) -> Look:
        to = dict(self.to)
        return lambda store, now: apart_view(store, now, to)

    def top(self, seen: ApartView, width: int) -> str:
        return top_words(seen, self.signs, width)

    def next(self, seen: ApartView, width: int) -> str:
        return next_words(seen)

    def parts(self, seen: ApartView, width: int) -> list[Part]:
        return apart_parts(seen, self.signs, self.in_full)

    def picture(self) -> Widget:
        return DayLineView(self.signs)

    def draw_picture(self, seen: ApartView, wide: bool) -> None:
        drawn, item = self.query_one(DayLineView), self.item
        lines = day_lines_of(seen, item.about if item is not None else "")
        drawn.display = bool(lines)
        drawn.show(lines if wide else lines[:1])

    # ---- answers of the store ---------------------------------------------------------------

    def foreseen(self, filling: Filling, lines: tuple[str, ...]) -> None:
        """A page, a new look, or what would come of an act."""
        act = filling.act
        if isinstance(act, PageAct):
            self._show_page(act, filling.answers, lines)
        elif isinstance(act, HereAct):
            self._here(act, filling.answers)
        else:
            super().foreseen(filling, lines)

    def _show_page(self, act: PageAct, answers: tuple[str, ...], lines: Sequence[str]) -> None:
        after = act.then(answers) if act.then is not None else None
        self.app.push_screen(MetScreen(act.title, lines, after, self.begin))

    def _here(self, act: HereAct, answers: tuple[str, ...]) -> None:
        self.in_full |= {act.lot}
        key = f"line {act.lot} dates"
        if act.here == "to":
            self.to[act.lot] = answers[0]
            key = f"line {act.lot} destination"
            self.say(f"{answers[0]} is looked at as where {act.lot} may go; nothing was moved.")
        if self.seen is not None:
            self.redraw()
            at = self.laid.row_of(key)
            if at is not None:
                self.go(at)
        self.post_message(SideWanted())

    def refused(self, problem: Problem, filling: Filling | None) -> None:
        """Why it was not entered, by the rule; what may be overruled is asked about."""
        text = refusal(problem)
        if filling is not None and not filling.anyway and may_overrule(problem):
            self.filling = filling
            self.ask(Question("side-anyway", f"{clean(text)}. Do it all the same?", ("yes",)))
        else:
            self.say(f"{text}. Nothing was entered.")


class MetScreen(PageScreen):
    """What an act found, read on a page; 6 leaves it for what can be done with all of it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("6,d", "after", "do", show=False, id="met.after")
    ]

    def __init__(
        self, title: str, lines: Sequence[str], after: Act | None, begin: Callable[[Act], None]
    ) -> None:  # fmt: skip
        foot = "2 down  8 up  3 page on  0 back"
        super().__init__(title, lambda width: wrapped(lines, width),
                         f"6 {after.label}  {foot}" if after is not None else foot)  # fmt: skip
        self.after, self.begin = after, begin

    def action_after(self) -> None:
        if self.after is not None:
            self.dismiss(None)
            self.call_later(self.begin, self.after)


def wrapped(lines: Sequence[str], width: int) -> list[Row]:
    """Lines of a page, long ones wrapped, nothing cut."""
    rows = []
    for text in lines:
        inner = " " * (len(text) - len(text.lstrip()) + 2)
        rows += [Row(line) for line in textwrap.wrap(clean(text), width, subsequent_indent=inner)]
    return rows
