"""The racks drawn as they stand, shelf by shelf: one widget, drawn line by line.

Each tank is a small box: code, health class and count above, signs below. Only
the lines in view are drawn, so two thousand tanks cost no more than thirty.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from roomtasks.room.room import Room
from roomtasks.tui.signs import clean, fitted

BOX_LINES = 2


@dataclass(frozen=True, slots=True)
class Box:
    """What one tank shows: its head line and its signs; `weight` picks the colour in support."""

    head: str
    signs: str
    weight: str = ""


@dataclass(frozen=True, slots=True)
class RackPlan:
    """Where a rack stands in the drawing: first column and line, its shelves' tanks by place."""

    code: str
    name: str
    left: int
    top: int
    width: int
    shelves: tuple[tuple[str, tuple[str, ...]], ...]


def plan_of(room: Room, box_width: int, wrap: int = 0) -> tuple[RackPlan, ...]:
    """The racks side by side in the keeper's order; in bands below each other within `wrap`."""
    tanks: dict[tuple[str, int], dict[int, str]] = {}
    for tank in room.tanks:
        tanks.setdefault((tank.rack, tank.shelf), {})[tank.place] = tank.code
    plans: list[RackPlan] = []
    left = top = lowest = 0
    for rack in sorted(room.racks, key=lambda rack: (rack.path, rack.code)):
        rows = []
        for shelf in sorted(
            (s for s in room.shelves if s.rack == rack.code), key=lambda s: s.shelf
        ):  # fmt: skip
            here = tanks.get((rack.code, shelf.shelf), {})
            places = max([shelf.places, *here])
            mark = {"steps": "^", "floor": "_"}.get(shelf.reach, " ")
            rows.append((mark, tuple(here.get(place, "") for place in range(1, places + 1))))
        width = max((len(row) for _, row in rows), default=1) * box_width + 1
        if wrap and left and left + width > wrap:
            left, top = 0, lowest
        plans.append(RackPlan(rack.code, rack.name, left, top, width, tuple(rows)))
        lowest = max(lowest, top + 1 + BOX_LINES * len(rows))
        left += width + 1
    return tuple(plans)


class RackView(ScrollView, can_focus=False):
    """Racks of tanks. Give it a room and boxes; it says which tank was chosen."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "racks--box", "racks--late", "racks--due", "racks--quiet", "racks--hand", "racks--name",
    }  # fmt: skip
    DEFAULT_CSS = """
    RackView { scrollbar-size: 0 0; }
    RackView .racks--late { text-style: bold; }
    """

    hand: reactive[str] = reactive("", repaint=False)

    @dataclass
    class Chosen(Message):
        """A tank was clicked."""

        tank: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plans: tuple[RackPlan, ...] = ()
        self.boxes: Mapping[str, Box] = {}
        self.box_width = 7
        self._bands: dict[int, list[RackPlan]] = {}
        self._place: dict[str, tuple[int, int, int]] = {}

    def show(
        self, room: Room, boxes: Mapping[str, Box], box_width: int, wrap: int = 0
    ) -> None:  # fmt: skip
        """Draw this room. Only what changed is repainted when the racks are the same."""
        plans = plan_of(room, box_width, wrap)
        if plans == self.plans and box_width == self.box_width:
            changed = [code for code, box in boxes.items() if self.boxes.get(code) != box]
            self.boxes = boxes
            for code in changed:
                self._repaint(code)
            return
        self.plans, self.boxes, self.box_width = plans, boxes, box_width
        self._bands = {
            top: [plan for plan in plans if plan.top == top]
            for top in sorted({plan.top for plan in plans})
        }
        self._place = {
            code: (n, shelf, place)
            for n, plan in enumerate(plans)
            for shelf, (_, row) in enumerate(plan.shelves)
            for place, code in enumerate(row)
            if code
        }
        width = max((plan.left + plan.width for plan in plans), default=1)
        lines = max((plan.top + 1 + BOX_LINES * len(plan.shelves) for plan in plans), default=0)
        self.virtual_size = Size(width, lines)
        self.refresh()

    @property
    def lines_needed(self) -> int:
        return self.virtual_size.height

    def watch_hand(self, old: str, new: str) -> None:
        for code in (old, new):
            self._repaint(code)
        where = self._region(new)
        if where is not None:
            self.scroll_to_region(
                where, animate=False, force=True, x_axis=True, y_axis=True, immediate=True
            )

    def neighbour(self, step: int) -> str:
        """The tank to the left or right of the one in hand, going on along the racks."""
        row = [
            code for code, _ in sorted(self._place.items(), key=lambda item: self._line(item[1]))
        ]
        if not row:
            return ""
        at = row.index(self.hand) + step if self.hand in row else 0
        return row[at % len(row)]

    @staticmethod
    def _line(place: tuple[int, int, int]) -> tuple[int, int, int]:
        return place

    def _region(self, code: str) -> Region | None:
        if code not in self._place:
            return None
        rack, shelf, place = self._place[code]
        plan = self.plans[rack]
        left = plan.left + 1 + place * self.box_width
        return Region(left, plan.top + 1 + shelf * BOX_LINES, self.box_width, BOX_LINES)

    def _repaint(self, code: str) -> None:
        region = self._region(code)
        if region is not None:
            self.refresh(region.translate(-self.scroll_offset))

    def render_line(self, y: int) -> Strip:
        scroll_x, scroll_y = self.scroll_offset
        line, width = y + scroll_y, self.size.width
        tops = list(self._bands)
        at = bisect_right(tops, line) - 1
        base = self.rich_style
        if at < 0:
            return Strip.blank(width, base)
        band = self._bands[tops[at]]
        first = max(0, bisect_right(band, scroll_x, key=lambda plan: plan.left) - 1)
        segments: list[Segment] = []
        column = left = band[first].left
        for plan in band[first:]:
            if plan.left >= scroll_x + width:
                break
            if plan.left > column:
                segments.append(Segment(" " * (plan.left - column), base))
            segments += self._rack_line(plan, line - plan.top, base, (scroll_x, scroll_x + width))
            column = plan.left + plan.width
        strip = Strip(segments).crop_extend(scroll_x - left, scroll_x - left + width, base)
        beyond = [plan.code for plan in band if plan.left >= scroll_x + width - self.box_width]
        return self._with_beyond(strip, beyond) if line == tops[at] and beyond else strip

    def _with_beyond(self, strip: Strip, codes: list[str]) -> Strip:
        """The racks that stand further to the right, named at the end of the head line."""
        text = fitted(" > " + clean(" ".join(codes)), min(len(" ".join(codes)) + 4, 16))
        keep = max(0, self.size.width - len(text))
        style = self.get_component_rich_style("racks--name")
        return Strip([*strip.crop(0, keep), Segment(text, style)])

    def _rack_line(
        self, plan: RackPlan, line: int, base: Style, window: tuple[int, int]
    ) -> list[Segment]:
        """One line of a rack. A box that the edge would cut is not drawn, lest it mislead."""
        if line == 0:
            name = self.get_component_rich_style("racks--name")
            text = f"{plan.code} {clean(plan.name)}" if plan.name else plan.code
            return [Segment(fitted(" " + text, plan.width), name)]
        shelf, part = divmod(line - 1, BOX_LINES)
        if shelf >= len(plan.shelves):
            return [Segment(" " * plan.width, base)]
        mark, row = plan.shelves[shelf]
        quiet = self.get_component_rich_style("racks--quiet")
        segments = [Segment(mark if part == 0 else " ", quiet)]
        for place, code in enumerate(row):
            left = plan.left + 1 + place * self.box_width
            whole = window[0] <= left and left + self.box_width - 1 <= window[1]
            segments.append(
                self._box_line(code, part, quiet) if whole else Segment(" " * self.box_width, base)
            )
        used = 1 + len(row) * self.box_width
        segments.append(Segment(" " * (plan.width - used), base))
        return segments

    def _box_line(self, code: str, part: int, quiet: Style) -> Segment:
        width = self.box_width
        if not code:
            return Segment(fitted(" . " if part == 0 else "", width), quiet)
        box = self.boxes.get(code, Box(code, ""))
        text = box.head if part == 0 else box.signs
        if len(text) > width - 2:
            text = text.replace(" ", "", 1)
        if code == self.hand:
            style = self.get_component_rich_style("racks--hand")
            edge = "]" if len(text) <= width - 2 else ""
            return Segment("[" + fitted(text, width - 1 - len(edge)) + edge, style)
        style = self.get_component_rich_style(f"racks--{box.weight or 'box'}")
        return Segment(fitted(" " + text, width), style)

    def on_click(self, event: events.Click) -> None:
        x, y = event.x + self.scroll_offset.x, event.y + self.scroll_offset.y
        for code in self._place:
            region = self._region(code)
            if region is not None and region.contains(x, y):
                self.post_message(self.Chosen(code))
                return
