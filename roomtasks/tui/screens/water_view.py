"""What the water screen shows: top lines, vessels, the line of time, the list; no keys.

Given looks at the water by the app. Keeps what is on the screen: the list as it
is laid out, which line is in hand, the open question. The keys are in `water`.
"""

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Container
from textual.widgets import Static

from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import WhatIf
from roomtasks.tui.keys import key_line
from roomtasks.tui.screens.listed import ListedScreen
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_lines import parts
from roomtasks.tui.water_words import (
    Expected,
    WaterSeen,
    expected,
    looks,
    next_line,
    reservoir_in_hand,
    top_line,
    tracks,
    what_if_line,
)
from roomtasks.tui.widgets.lines_view import LinesView
from roomtasks.tui.widgets.timeline import TimelineView
from roomtasks.tui.widgets.vessel_view import VesselView

FOOT = ("step", "open", "other_step", "close", "take_back", "what_if", "choose", "part_next",
        "line_next", "day_next", "done_before", "page_next", "line_back")  # fmt: skip
MOST_TRACKS = 6


class WaterView(ListedScreen):
    """The water of the room as it is drawn."""

    side = "water"
    nothing_more = "Nothing is worked out on this line."

    def __init__(self, signs: Signs) -> None:
        super().__init__(signs)
        self.seen: WaterSeen | None = None
        self.what_if = WhatIf()
        self.as_it_is: WaterSeen | None = None
        self.said = "The water is worked out."

    def compose(self) -> ComposeResult:
        yield Static(id="top", markup=False)
        yield Static(id="next", markup=False)
        yield Static(id="what", markup=False)
        with Container(id="body"):
            yield VesselView(self.signs, id="vessels")
            with Container(id="side"):
                yield TimelineView(self.signs, id="time")
                yield LinesView(id="lines", hand_sign=self.signs.hand)
        yield Static(id="said", markup=False)
        yield Static(id="foot", markup=False)

    # ---- what it is given --------------------------------------------------------------

    def show(self, seen: WaterSeen, what_if: WhatIf, as_it_is: WaterSeen | None = None) -> None:
        """A new look at the water; the line in hand stays in hand.

        `as_it_is` is the plan that a what-if is held against.
        """
        if self.seen is None:
            self.said = ""
        self.seen, self.what_if, self.as_it_is = seen, what_if, as_it_is
        self.redraw()

    # ---- what is in hand ---------------------------------------------------------------

    @property
    def reservoir(self) -> str:
        """The reservoir in hand; "" where the room has none."""
        if self.seen is None:
            return ""
        return reservoir_in_hand(self.seen, self.item.reservoir if self.item else "")

    def expected(self) -> Expected | None:
        """The next step at the reservoir in hand; none while something is only asked."""
        if self.seen is None or not self.reservoir or self.what_if != WhatIf():
            return None
        return expected(self.seen, self.reservoir)

    # ---- drawing -----------------------------------------------------------------------

    def redraw(self) -> None:
        """All of it, at the size there is."""
        if not self.is_mounted:
            return
        self.draw_said()
        seen, width = self.seen, self.size.width
        if seen is None:
            return
        self.query_one("#top", Static).update(Text(top_line(seen, self.signs, width)))
        self.query_one("#next", Static).update(Text(next_line(seen, self.signs, width)))
        asked = what_if_line(self.what_if, seen, self.as_it_is)
        what = self.query_one("#what", Static)
        what.display = bool(asked)
        what.update(Text(asked))
        lines = self.query_one(LinesView)
        wide = max(20, (lines.size.width or width) - 2)
        self.lay(parts(seen, self.signs), wide)
        self.draw_hand()

    def first_row(self) -> int:
        """Where the list opens: at what is next to do, else at its first line."""
        found = (
            n for n, item in enumerate(self.laid.items) if item and item.key.startswith("next")
        )
        return next(found, min(1, max(0, len(self.laid.rows) - 1)))

    def draw_hand(self) -> None:
        """What depends on the line in hand: vessels, the line of time, the foot."""
        seen = self.seen
        if seen is None:
            return
        vessels, time = self.query_one(VesselView), self.query_one(TimelineView)
        wide, bare = self.has_class("wide"), self.has_class("bare")
        drawn = looks(seen, self.reservoir)
        vessels.display = bool(drawn) and not bare
        if vessels.display:
            vessels.show(drawn, across=not wide)
        lines = [] if isinstance(seen.plan, Problem) or bare else tracks(
            seen.plan, "" if wide else self.reservoir
        )[: MOST_TRACKS if wide else 2]  # fmt: skip
        time.display = bool(lines)
        if lines:
            time.styles.height = len(lines) + 1
            time.show(lines, seen.now)
        self.draw_foot()

    def stays(self) -> bool:
        return self.seen is None

    def foot_line(self) -> str:
        """Only what the keys do just now."""
        step, item = self.expected(), self.item
        left = {
            *(["step", "done_before"] if step is None else []),
            *(["open"] if item is None or not item.opens else []),
            *(["other_step"] if not self.reservoir or self.what_if != WhatIf() else []),
        }
        labels = {"step": f"{step.reservoir} {step.words}"} if step is not None else {}
        actions = tuple(action for action in FOOT if action not in left)
        return key_line(actions, self.size.width, "water", labels)
