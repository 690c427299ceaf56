"""A list with one line in hand, under keys that are taken in order, with one question at the foot.

What the water screen and the lists beside the walk have in common. It writes
nothing and knows no room.
"""

from functools import partial
from time import monotonic
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.screen import Screen
from textual.widgets import Static

from roomtasks.tui import asking
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.here_words import on_screen
from roomtasks.tui.keys import KEYS
from roomtasks.tui.screens.page import PageScreen, key_rows
from roomtasks.tui.signs import Signs, clean, fitted
from roomtasks.tui.taking_back import TakeBack
from roomtasks.tui.water_items import Item, Laid, Part, laid
from roomtasks.tui.water_words import opened_rows
from roomtasks.tui.widgets.lines_view import LinesView

WIDE, MIDDLE, LOW = 110, 76, 22
TWICE_SECONDS = 1.0
MOVES = ("line_next", "line_back", "page_next", "page_back")


class ListedScreen(Screen[None]):
    """A list under keys. `side` is its name in the table of keys."""

    side: ClassVar[str] = ""
    nothing_more: ClassVar[str] = "There is no more to this line."

    def __init__(self, signs: Signs) -> None:
        super().__init__()
        self.signs = signs
        self.laid = Laid()
        self.question: Question | None = None
        self.said = ""
        self._last: tuple[str, float] = ("close", monotonic())
        self._opened_by: tuple[str, float] = ("", 0.0)
        self._held_until = 0.0
        self._actions = {
            name: key.action for key in KEYS if self.side in key.screens for name in key.keys
        }

    # ---- what a screen of it does -------------------------------------------------------

    def answered(self, answer: Answer) -> None:
        """The answer to the question that was open."""

    def redraw(self) -> None:
        """All of it, at the size there is."""

    def draw_hand(self) -> None:
        """What depends on the line in hand."""

    # ---- drawing ------------------------------------------------------------------------

    def on_mount(self) -> None:
        self.redraw()

    def on_resize(self, event: events.Resize) -> None:
        wide = event.size.width >= WIDE
        self.set_class(wide, "wide")
        self.set_class(not wide and (event.size.width < MIDDLE or event.size.height < LOW), "bare")
        self.call_after_refresh(self.redraw)

    def foot_line(self) -> str:
        """What the keys do just now, with no question open."""
        return ""

    def stays(self) -> bool:
        """Whether what is said still holds, whatever is taken in hand."""
        return False

    def say(self, text: str, seconds: float = 0.0) -> None:
        """A sentence above the keys; it stays until the next one, act or move of the hand.

        `seconds`: so long at the least, where it comes by itself.
        """
        self._held_until = monotonic() + seconds
        self.said = on_screen(clean(text))
        self.draw_said()

    def ask(self, question: Question) -> None:
        """One question at the foot."""
        self.question = question
        self.draw_said()

    def draw_said(self) -> None:
        """The question that is open, else the last sentence; and the keys that go with it."""
        if self.is_mounted:
            asked = self.question
            text = asked.shown(self.size.width) if asked is not None else self.said
            self.query_one("#said", Static).update(Text(text))
            self.draw_foot()

    def draw_foot(self) -> None:
        """The keys that mean something now: those of the question where one is open."""
        asked = self.question
        text = self.foot_line() if asked is None else asking.key_words(asked)
        self.query_one("#foot", Static).update(Text(fitted(clean(text), self.size.width)))

    def forget(self) -> None:
        """A new act or move of the hand: what was said before goes."""
        if self.said and not self.stays() and monotonic() >= self._held_until:
            self.say("")

    @property
    def item(self) -> Item | None:
        """The line in hand."""
        at = self.query_one(LinesView).at
        return self.laid.items[at] if at < len(self.laid.items) else None

    def lay(self, parts: list[Part], width: int) -> None:
        """The list laid out anew, the same item in hand, at the same line of it."""
        lines, before, hand = self.query_one(LinesView), self.laid, self.item
        self.laid = laid(parts, width)
        at = self.laid.row_of(hand.key) if hand is not None else None
        if hand is not None and at is not None:
            first = before.row_of(hand.key) or 0
            at += min(lines.at - first, self.laid.items.count(self.laid.items[at]) - 1)
        elif before.rows:
            at = min(lines.at, max(0, len(self.laid.rows) - 1))
        else:
            at = self.first_row()
        lines.show(self.laid.rows, at)

    def first_row(self) -> int:
        """Where the list opens."""
        return min(1, max(0, len(self.laid.rows) - 1))

    # ---- keys ---------------------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        """Keys are taken in the order they come; with a question open they answer it."""
        if isinstance(event, events.Key) and self.app.screen is self:
            action = self._actions.get(event.key)
            if self.question is not None or action is not None:
                event.stop()
                event.prevent_default()
                if self.question is not None:
                    self._typed(event)
                else:
                    self.forget()
                    self._opened_by = (event.key, monotonic())
                    getattr(self, f"action_{action}")()
                return
        await super().on_event(event)

    def on_screen_resume(self) -> None:
        """Back from a page: the key that closed it, hit twice, must not close this too."""
        self._last = ("close", monotonic())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """With a question open no key means anything but its answer."""
        return None if self.question is not None and action != "help_quit" else True

    def _typed(self, event: events.Key) -> None:
        key, when = self._opened_by
        if self.question is None:
            return
        if self.question.choices and event.key == key and monotonic() - when < TWICE_SECONDS:
            return
        if self._moves(event, self.question):
            return
        answer = asking.typed(self.question, event.key, event.character)
        if isinstance(answer, Answer):
            self.question = None
            self._opened_by = (event.key, monotonic())
            if answer.sort == asking.TAKE_BACK:
                self.post_message(TakeBack(self, int(answer.about)))
            else:
                self.answered(answer)
        else:
            self.question = answer
        self.draw_said()

    def _moves(self, event: events.Key, asked: Question) -> bool:
        """While a yes is asked the list still moves, so that what it is about can be read."""
        action = self._actions.get(event.key, "")
        if len(asked.choices) != 1 or action not in MOVES:
            return False
        getattr(self, f"action_{action}")()
        return True

    def twice(self, action: str) -> bool:
        """Whether the same key was hit within the last second: then it counts once."""
        name, when = self._last
        now = monotonic()
        self._last = (action, now)
        return name == action and now - when < TWICE_SECONDS

    def go(self, row: int, whole: bool = True) -> None:
        """Take a row in hand, and see that all of it, and a line round it, is in view."""
        lines = self.query_one(LinesView)
        lines.at = min(max(0, lines.count - 1), max(0, row))
        if whole:
            first, rows = self.laid.extent(lines.at)
            lines.keep_whole(first - 1, rows + 2)
        self.draw_hand()

    def _step(self, step: int) -> None:
        """A line or a page on; a page must skip none, so it is scrolled by that and no more."""
        self.go(self.query_one(LinesView).at + step, whole=abs(step) == 1)

    def action_line_next(self) -> None:
        self._step(1)

    def action_line_back(self) -> None:
        self._step(-1)

    def action_page_next(self) -> None:
        self._step(max(1, self.query_one(LinesView).size.height - 1))

    def action_page_back(self) -> None:
        self._step(-max(1, self.query_one(LinesView).size.height - 1))

    def action_part_next(self) -> None:
        self._part(1)

    def action_part_back(self) -> None:
        self._part(-1)

    def _part(self, step: int) -> None:
        """To the next part, with as much of it in view as there is room for."""
        lines = self.query_one(LinesView)
        row = self.laid.part_from(lines.at, step)
        end = next((head for head in self.laid.heads if head > row), len(self.laid.rows))
        lines.at = row
        lines.keep_whole(row - 1, end - row + 1)
        self.draw_hand()

    def on_lines_view_chosen(self, message: LinesView.Chosen) -> None:
        self.forget()
        self.go(message.row)

    def action_open(self) -> None:
        item = self.item
        if item is None or not item.opens:
            self.say(self.nothing_more)
            return
        opened = item.opened()
        self.app.push_screen(PageScreen("How it came", lambda width: opened_rows(opened, width)))

    def action_close(self) -> None:
        if not self.twice("close"):
            self.dismiss(None)

    def action_take_back(self) -> None:
        if not self.twice("take_back"):
            self.post_message(TakeBack(self))

    def action_keys(self) -> None:
        rows = partial(key_rows, first=self.side, signs=self.signs)
        self.app.push_screen(PageScreen("Keys", rows))
