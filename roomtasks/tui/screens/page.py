"""Pages of lines: a tank, the journal, the keys. Read with the same keys as the walk."""

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from roomtasks.tui.keys import KEYS, SHOWN, SIDES
from roomtasks.tui.signs import SHAPES, Signs, clean
from roomtasks.tui.widgets.lines_view import LinesView, Row

Rows = Callable[[int], Sequence[Row]]


class PageScreen(Screen[None]):
    """A titled list of lines that can be walked through and left."""

    BINDINGS = [  # noqa: RUF012
        Binding("2,down,j", "next", "next", show=False, id="page.next"),
        Binding("8,up,k", "back", "back", show=False, id="page.back"),
        Binding("3,pagedown,space", "far_next", "a page on", show=False, id="page.far_next"),
        Binding("9,pageup", "far_back", "a page back", show=False, id="page.far_back"),
        Binding("0,escape,backspace,q", "close", "back", show=False, id="page.close"),
    ]

    def __init__(self, title: str, rows: Rows, foot: str = "") -> None:
        super().__init__()
        self.title_text = title
        self.rows = rows
        self.foot = foot or "2 down  8 up  3 page on  9 page back  0 back"

    def compose(self) -> ComposeResult:
        yield Static(id="title")
        yield LinesView(id="lines")
        yield Static(id="said")
        yield Static(id="foot")

    def on_mount(self) -> None:
        self.query_one("#title", Static).update(Text(clean(self.title_text)))
        self.query_one("#foot", Static).update(Text(self.foot))
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """Lay the lines out anew at the width there is."""
        if self.is_mounted:
            lines = self.query_one(LinesView)
            rows = self.rows(max(20, lines.size.width - 1))
            lines.show(rows, min(lines.at, max(0, len(rows) - 1)))

    def _step(self, step: int) -> None:
        lines = self.query_one(LinesView)
        last = max(0, lines.count - 1)
        lines.at = min(last, max(0, lines.at + step))

    def action_next(self) -> None:
        self._step(1)

    def action_back(self) -> None:
        self._step(-1)

    def action_far_next(self) -> None:
        self._step(max(1, self.query_one(LinesView).size.height - 1))

    def action_far_back(self) -> None:
        self._step(-max(1, self.query_one(LinesView).size.height - 1))

    def action_close(self) -> None:
        self.dismiss(None)

    def on_lines_view_chosen(self, message: LinesView.Chosen) -> None:
        self.query_one(LinesView).at = message.row


NEAR_THE_END = 50


class PickScreen(PageScreen):
    """A list of which one line is taken; `picked` gets its number after the page is closed."""

    BINDINGS = [Binding("5,enter", "pick", "take", show=False, id="page.pick")]  # noqa: RUF012

    def __init__(self, title: str, rows: Rows, picked: Callable[[int], None]) -> None:
        super().__init__(title, rows, "5 take this one  2 down  8 up  3 page on  0 back")
        self.picked = picked

    def action_pick(self) -> None:
        at = self.query_one(LinesView).at
        self.dismiss(None)
        self.call_later(self.picked, at)


class ChoiceScreen(PickScreen):
    """A list of choices that may be long: they wrap, and any line of one takes it."""

    def __init__(self, title: str, words: Sequence[str], picked: Callable[[int], None]) -> None:
        self.words = [clean(text) for text in words]
        self.choice_of: list[int] = []
        super().__init__(title, self._wrapped, lambda row: picked(self.choice_of[row]))

    def _wrapped(self, width: int) -> list[Row]:
        found = []
        self.choice_of = []
        for n, text in enumerate(self.words):
            lines = textwrap.wrap(
                text, width - 1, subsequent_indent="    ", break_on_hyphens=False
            ) or [""]
            found += [Row(line) for line in lines]
            self.choice_of += [n] * len(lines)
        return found


SEARCHING = "type it  Enter finds  Backspace back  Esc shows all"


class JournalScreen(PageScreen):
    """The journal, newest first, as far back as one goes; typing letters searches it.

    `all_there`: no older lines are to be asked for.
    """

    @dataclass
    class Find(Message):
        """Look for this text; `more`: for what comes after the lines there are."""

        text: str
        more: bool = False

    def __init__(self, rows: Rows) -> None:
        super().__init__(
            "Journal, newest first", rows, "/ then type to search, Enter  2 down  8 up  0 back"
        )
        self.text = ""
        self.typing = False
        self.all_there = True

    def _step(self, step: int) -> None:
        super()._step(step)
        lines = self.query_one(LinesView)
        if not self.all_there and lines.at >= lines.count - NEAR_THE_END:
            self.all_there = True  # until what was asked for has come
            self.post_message(self.Find(self.text, more=True))

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key) and self._takes(event):
            event.stop()
            event.prevent_default()
            return
        await super().on_event(event)

    def _takes(self, event: events.Key) -> bool:
        if not self.typing:
            if event.key in ("slash", "asterisk"):
                self.typing = True
                self._show_text()
                return True
            return False
        if event.key in ("enter", "escape"):
            self.typing = False
            self.text = "" if event.key == "escape" else self.text
            self.post_message(self.Find(self.text))
        elif event.key == "backspace":
            self.text = self.text[:-1]
        elif event.character is not None and event.character.isprintable():
            self.text += event.character
        self._show_text()
        return True

    def _show_text(self) -> None:
        cursor = "_" if self.typing else ""
        text = f"Find: {self.text}{cursor}" if self.text or self.typing else ""
        self.query_one("#said", Static).update(Text(clean(text)))
        self.query_one("#foot", Static).update(Text(SEARCHING if self.typing else self.foot))


HEADS = {"walk": "The walk", "water": "The water", **dict.fromkeys(SIDES, "A list beside the walk")}


def key_rows(width: int, first: str = "walk", signs: Signs = SHAPES) -> list[Row]:
    """Every key and what it does, those of one screen first, with what its signs mean."""
    from roomtasks.tui.sign_words import meanings

    rows = []
    side = first if first in SIDES else SIDES[0]
    for screen in sorted(("walk", "water", side), key=lambda screen: screen != first):
        rows.append(Row(HEADS[screen], "head"))
        for key in KEYS:
            if screen in key.screens:
                names = " ".join(SHOWN.get(name, name) for name in key.keys)
                rows += _beside(names, key.doc, width)
        if screen == first:
            rows.append(Row("Signs", "head"))
            for sign, meaning in meanings(screen, signs):
                rows += _beside(sign, meaning, width)
    return rows


def _beside(first: str, text: str, width: int) -> list[Row]:
    """A key or a sign, and beside it what it is."""
    lines = textwrap.wrap(f"{first:<12} {text}", width - 1, subsequent_indent=" " * 13)
    return [Row(line) for line in lines]
