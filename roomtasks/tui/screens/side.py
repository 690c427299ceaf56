"""A side list: what the walk does not show whole, as lines with acts, looked at like the water.

The frame of the screens beside the walk. A screen of it says what is looked at
(`looker`), its top lines and its parts; the keys, the questions and the line in
hand are here. It writes nothing: acts are posted to the app.
"""

import textwrap
from abc import abstractmethod
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, ClassVar, Generic, TypeVar

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Container
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.here_words import on_screen, refused_here
from roomtasks.tui.keys import key_line
from roomtasks.tui.screens.listed import ListedScreen
from roomtasks.tui.screens.page import ChoiceScreen, PageScreen, PickScreen
from roomtasks.tui.side_acts import Act, Do, Filling, acts_question, overruling
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.water_asking import may_overrule
from roomtasks.tui.water_items import Part
from roomtasks.tui.widgets.lines_view import LinesView, Row

FOOT = ("do", "open", "other", "close", "take_back", "part_next", "line_next", "page_next",
        "line_back")  # fmt: skip
MOST_TOP, MOST_ASKED = 2, 6
ON_TO = "2 down  8 up  3 page on  0 on to the question"
S = TypeVar("S")
Look = Callable[[Store, datetime], Any]


@dataclass
class SideActed(Message):
    """The keeper did something to a line."""

    do: Do
    filling: Filling


@dataclass
class SideFirst(Message):
    """What comes of an act is to be shown before the yes."""

    filling: Filling


@dataclass
class SideWanted(Message):
    """The list is to be looked at anew, as the keeper asked for something else."""


class SideScreen(ListedScreen, Generic[S]):
    """A list beside the walk. `side` is its name in the table of keys."""

    title_words: ClassVar[str] = ""
    foot: ClassVar[tuple[str, ...]] = FOOT

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.seen: S | None = None
        self.filling: Filling | None = None
        self.said = "It is worked out."
        self._offered: tuple[Act, ...] = ()

    # ---- what a screen of it says -------------------------------------------------------

    @abstractmethod
    def looker(self) -> Look:
        """What is asked of the store, on the store thread."""

    def thinker(self) -> Callable[[Any], S | Problem] | None:
        """What is worked out of that beside the store thread, where it takes long."""
        return None

    @abstractmethod
    def top(self, seen: S, width: int) -> str:
        """The first line: where one is, and what counts most."""

    @abstractmethod
    def next(self, seen: S, width: int) -> str:
        """The second line: what is next."""

    @abstractmethod
    def parts(self, seen: S, width: int) -> list[Part]:
        """The list."""

    def picture(self) -> Widget | None:
        """What is drawn above the list, or beside it where there is room."""
        return None

    def draw_picture(self, seen: S, wide: bool) -> None:
        """Draw it anew for the line in hand."""

    def labels(self) -> dict[str, str]:
        """What a key is called just now, where that is not its name in the table."""
        return {}

    # ---- the screen ---------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Static(id="top", markup=False)
        yield Static(id="next", markup=False)
        with Container(id="body"):
            drawn = self.picture()
            if drawn is not None:
                drawn.id = "picture"
                yield drawn
            with Container(id="side"):
                yield LinesView(id="lines", hand_sign=self.signs.hand)
        yield Static(id="said", markup=False)
        yield Static(id="foot", markup=False)

    def show(self, seen: S) -> None:
        """A new look; the line in hand stays in hand."""
        if self.seen is None:
            self.said = ""
        self.seen = seen
        self.redraw()

    def redraw(self) -> None:
        """All of it, at the size there is."""
        if not self.is_mounted:
            return
        self.draw_said()
        seen, width = self.seen, self.size.width
        if seen is None:
            self.query_one("#top", Static).update(Text(self.title_words))
            return
        for name, words in (("#top", self.top(seen, width)), ("#next", self.next(seen, width))):
            told = textwrap.wrap(clean(words), width, max_lines=MOST_TOP, placeholder=" …")
            self.query_one(name, Static).update(Text("\n".join(told)))
        lines = self.query_one(LinesView)
        wide = max(20, (lines.size.width or width) - 2)
        self.lay(self.parts(seen, wide), wide)
        self.draw_hand()

    def draw_hand(self) -> None:
        """What depends on the line in hand: the picture and the foot."""
        if self.seen is not None and self.query("#picture"):
            drawn = self.query_one("#picture")
            drawn.display = not self.has_class("bare")
            if drawn.display:
                self.draw_picture(self.seen, self.has_class("wide"))
        self.draw_foot()

    def stays(self) -> bool:
        return self.seen is None

    def foot_line(self) -> str:
        item = self.item if self.seen is not None else None
        left = {
            *(["do", "other"] if item is None or not item.acts else []),
            *(["other"] if item is not None and len(item.acts) < 2 else []),
            *(["open"] if item is None or not item.opens else []),
        }
        labels = {**({"do": item.acts[0].label} if item and item.acts else {}), **self.labels()}
        actions = tuple(action for action in self.foot if action not in left)
        return key_line(actions, self.size.width, self.side, labels)

    # ---- acts ---------------------------------------------------------------------------

    def action_do(self) -> None:
        item = self.item
        if self.twice("do"):
            return
        if item is None or not item.acts:
            self.say("Nothing is to be done on this line.")
        else:
            self.begin(item.acts[0])

    def action_other(self) -> None:
        item = self.item
        if item is None or not item.acts:
            self.say("Nothing is to be done on this line.")
        else:
            self.offer(item.acts)

    def offer(self, acts: tuple[Act, ...]) -> None:
        """Ask which of these is to be done."""
        if len(acts) <= 9:
            self._offered = acts
            self.ask(acts_question(acts))
            return
        rows = [Row(act.label) for act in acts]
        self.app.push_screen(PickScreen("Do", lambda _: rows, lambda at: self.begin(acts[at])))

    def begin(self, act: Act) -> None:
        """Do this: ask what it needs, then post it."""
        self._go_on(Filling(act))

    def _go_on(self, filling: Filling) -> None:
        self.filling = filling
        ask, question = filling.ask, filling.question
        if filling.first is not None:
            self.post_message(SideFirst(filling))
        elif question is not None:
            self.ask(question)
        elif ask is not None:
            self._pick(filling)
        else:
            do = filling.do()
            if isinstance(do, Problem):
                self.refused(do, filling)
            else:
                self.post_message(SideActed(do, filling))

    def _pick(self, filling: Filling) -> None:
        ask = filling.ask
        if ask is not None:
            self.app.push_screen(
                ChoiceScreen(ask.text, ask.choices,
                             lambda at: self._go_on(filling.answered(ask.value(at))))
            )  # fmt: skip

    def foreseen(self, filling: Filling, lines: tuple[str, ...]) -> None:
        """What would come of an act: shown, then the yes is asked."""
        sure = Question("side-sure", f"{clean(filling.act.sure)}?", ("yes",))
        text = clean("; ".join((*lines, filling.act.sure)))
        if len(textwrap.wrap(text, self.size.width)) <= MOST_ASKED:
            self.ask(replace(sure, text=f"{text}?"))
            return
        words = [on_screen(clean(line)) for line in lines]

        def rows(width: int) -> list[Row]:
            return [
                Row(part) for line in words
                for part in textwrap.wrap(line, width - 1, subsequent_indent="    ")
            ]  # fmt: skip

        page = PageScreen("What would come of it", rows, ON_TO)
        self.app.push_screen(page, lambda _: self.ask(sure))

    def answered(self, answer: Answer) -> None:
        """Answers to what acts ask; others go to `answered_here`."""
        filling = self.filling
        match answer.sort:
            case "side-acts":
                self.begin(self._offered[answer.number - 1])
            case "side-ask" if filling is not None and filling.ask is not None:
                ask = filling.ask
                text = ask.value(answer.number - 1) if ask.choices else answer.text
                self._go_on(filling.answered(text))
            case "side-sure" if filling is not None:
                self._go_on(replace(filling, agreed=True))
            case "side-anyway" if filling is not None:
                self._go_on(replace(filling, anyway=True, agreed=True))
            case _:
                self.answered_here(answer)

    def answered_here(self, answer: Answer) -> None:
        """The answer to a question of the screen's own."""

    def refused(self, problem: Problem, filling: Filling | None) -> None:
        """Why it was not entered; what may be overruled is asked about."""
        if filling is not None and not filling.anyway and may_overrule(problem):
            self.filling = filling
            self.ask(overruling(filling, problem))
        else:
            self.say(refused_here(problem))
