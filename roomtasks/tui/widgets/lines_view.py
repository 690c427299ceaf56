"""A list drawn line by line, with one line in hand. It never moves by itself."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from roomtasks.tui.signs import fitted


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its text, and the weight that picks its colour in support."""

    text: str
    weight: str = ""


class LinesView(ScrollView, can_focus=False):
    """Lines of text; the one in hand is marked by a sign and by reverse."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "lines--row", "lines--late", "lines--quiet", "lines--hand", "lines--head",
    }  # fmt: skip
    DEFAULT_CSS = """
    LinesView { scrollbar-size: 0 0; }
    LinesView .lines--late { text-style: bold; }
    """

    at: reactive[int] = reactive(0, repaint=False)

    @dataclass
    class Chosen(Message):
        """A line was clicked."""

        row: int

    def __init__(self, *, id: str | None = None, hand_sign: str = ">") -> None:
        super().__init__(id=id)
        self.count = 0
        self.row_at: Callable[[int], Row] = lambda _: Row("")
        self.hand_sign = hand_sign
        self.marks_hand = True

    def show(self, rows: Sequence[Row], at: int) -> None:
        """Show these lines."""
        self.show_lazily(len(rows), lambda index: rows[index], at)

    def show_lazily(self, count: int, row_at: Callable[[int], Row], at: int) -> None:
        """Show so many lines; only those in view are asked for."""
        if count != self.count:
            self.virtual_size = Size(self.size.width, count)
        self.count, self.row_at = count, row_at
        self.refresh()
        self.at = at
        self._keep_in_view(at)

    def watch_at(self, old: int, new: int) -> None:
        self._repaint(old)
        self._repaint(new)
        self._keep_in_view(new)

    def on_resize(self) -> None:
        self.virtual_size = Size(self.size.width, self.count)
        self._keep_in_view(self.at)

    def _keep_in_view(self, index: int, rows: int = 1) -> None:
        self.scroll_to_region(
            Region(0, index, 1, rows), animate=False, force=True, x_axis=False, immediate=True
        )

    def keep_whole(self, first: int, rows: int) -> None:
        """See that these lines are in view, as many as there is room for, and the one in hand."""
        self._keep_in_view(max(0, first), min(rows, max(1, self.size.height)))
        self._keep_in_view(self.at)

    def _repaint(self, index: int) -> None:
        self.refresh(Region(0, index - self.scroll_offset.y, self.size.width, 1))

    def render_line(self, y: int) -> Strip:
        index, width = y + self.scroll_offset.y, self.size.width
        if index >= self.count:
            return Strip.blank(width, self.rich_style)
        row = self.row_at(index)
        hand = self.marks_hand and index == self.at
        name = "hand" if hand else row.weight or "row"
        style: Style = self.get_component_rich_style(f"lines--{name}")
        sign = self.hand_sign if hand else " "
        return Strip([Segment(sign + fitted(row.text, width - 1), style)], width)

    def on_click(self, event: events.Click) -> None:
        index = event.y + self.scroll_offset.y
        if index < self.count:
            self.post_message(self.Chosen(index))
