"""What the walk shows: racks, the job in hand, the list, the line of words; no keys.

Given pictures by the app. Keeps only what is on the screen: the round, the open
question, which list is turned up. The keys are in `walk`.
"""

from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Container
from textual.screen import Screen
from textual.widgets import Static

from roomtasks.room.fit import Fitted, fit
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import State
from roomtasks.tui import words
from roomtasks.tui.asking import Question, key_words
from roomtasks.tui.here_words import on_screen
from roomtasks.tui.keys import key_line
from roomtasks.tui.plan_words import Aside, left_out, plan_asides, plan_words, stops_ahead
from roomtasks.tui.round import Round
from roomtasks.tui.signs import Signs, clean, fitted
from roomtasks.tui.top_line import top_lines
from roomtasks.tui.widgets.lines_view import LinesView, Row
from roomtasks.tui.widgets.rack_view import RackView
from roomtasks.work.picture import Picture

if TYPE_CHECKING:
    from roomtasks.room.plan_today import PlanToday

FOOT = ("done", "next", "undo", "tank", "not_today", "problem", "partly", "put_off", "leave_out",
        "cycle", "fit", "jump", "journal")  # fmt: skip
FOOT_TURNED = ("next", "back", "cycle", "undo", "jump", "journal")
LABELS_TURNED = {"next": "page on", "back": "page back", "cycle": "next list"}
TURNED = {"held": "Held, put off, or later today", "done": "Marked today"}
BOX_WIDTHS = (10, 9, 8, 7)
LOW, MOST_TOP, HAND = 22, 3, 7


class WalkView(Screen[None]):
    """The morning's main screen as it is drawn."""

    def __init__(self, signs: Signs) -> None:
        super().__init__()
        self.signs = signs
        self.picture: Picture | None = None
        self.round = Round()
        self.question: Question | None = None
        self.said = ""
        self.warnings: tuple[str, ...] = ()
        self.list_sort = "walk"
        self.fitted: Fitted | None = None
        self.plan: PlanToday | None = None
        self.asides: dict[str, Aside] = {}
        self.timing: tuple[str, float] | None = None
        self.hands: str = ""
        self.asked: tuple[str, str, str] = ("", "", "")
        self._last: tuple[str, float] = ("", -10.0)
        self._ahead: list[events.Key] | None = None
        self._held_until = 0.0

    def compose(self) -> ComposeResult:
        yield Static(id="top")
        with Container(id="body"):
            with Container(id="room"):
                yield RackView(id="racks")
                yield Static(id="here")
            with Container(id="side"):
                yield Static(id="hand")
                yield LinesView(id="lines", hand_sign=self.signs.hand)
        yield Static(id="said")
        yield Static(id="foot")

    def on_mount(self) -> None:
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        wide = event.size.width >= 110
        self.set_class(wide, "wide")
        self.set_class(not wide and event.size.height < LOW, "low")
        self.call_after_refresh(self._draw)

    # ---- what it is given -------------------------------------------------

    def show(self, picture: Picture) -> None:
        """A new picture: merged into the round, the line in hand stays in hand."""
        first = self.picture is None or self.picture.today != picture.today
        self.picture = picture
        base = Round() if first else self.round
        held = {due.id for due in picture.dues if due.state is State.HELD}
        self.plan = None if first else self.plan
        stops = picture.walk.stops
        if self.plan is not None:
            stops = (*stops, *stops_ahead(self.plan, picture))
        self.round = base.merged(stops, picture.marks, held)
        if self.fitted is not None:
            self.fitted = fit(picture.room, picture.walk, picture.walk.minutes_there_are)
        self._see_asides()
        self._draw()

    def show_plan(self, plan: "PlanToday") -> None:
        """By the plan of the weeks: what may wait in grey, what could be done at the end."""
        if self.picture is None:
            return
        self.fitted, self.plan = None, plan
        self.turn("walk")
        self.say(plan_words(plan, self.picture))
        self.show(self.picture)

    def see_whole(self) -> None:
        """All of the walk again, and nothing else."""
        ahead = () if self.plan is None else self.asides
        self.round = self.round.without([n for n in ahead if not self.asides[n].leaves])
        self.fitted = self.plan = None
        self._see_asides()
        self.say("All of the walk is shown.")

    def _see_asides(self) -> None:
        seen = self.picture
        if self.fitted is not None:
            self.asides = left_out(self.fitted)
        else:
            self.asides = plan_asides(self.plan, seen) if self.plan and seen else {}

    def say(self, text: str, seconds: float = 0.0) -> None:
        """A sentence above the keys; it stays until the next one, act or move of the hand.

        `seconds`: so long at the least, where it comes by itself.
        """
        self._held_until = monotonic() + seconds
        self.said = on_screen(clean(text))
        self._draw_said()

    def ask(self, question: Question) -> None:
        """One question at the foot."""
        self.question = question
        self._draw_said()

    def warn(self, *texts: str) -> None:
        """Standing warnings at the top, in place of those before."""
        if texts != self.warnings:
            self.warnings = texts
            self._draw()

    def ask_hands(self, about: str, text: str) -> None:
        """The hands question: the next done on the same job answers yes."""
        self.hands = about
        self.say(text)

    def ask_again(self, what: str, about: str, text: str, said: str) -> None:
        """A reading far from the usual: typed once more it is kept."""
        self.asked = (what, about, text)
        self.say(f"{said} Type it once more to keep it.")

    def onward(self, marks: Sequence[Mark]) -> None:
        """After a job was marked, and is on the disk: say so, and on to the next that waits."""
        self.hands = ""
        self.timing = None
        self.round = self.round.marked(marks).onward()
        self._draw_top()
        self._draw_round()

    def back_to(self, line_id: str) -> None:
        """After an act was taken back: its line in hand again."""
        self.hands = ""
        self.round = self.round.put_in_hand(line_id)
        self._draw_round()

    # ---- what is in hand --------------------------------------------------

    def _step(self, step: int) -> None:
        self.hands = ""
        self.round = self.round.moved(step)
        if self.list_sort != "walk":
            self.turn("walk")
        else:
            self.query_one(LinesView).at = self.round.at
            self._draw_hand()

    def turn(self, sort: str) -> None:
        """Show one of the lists of the walk from its beginning."""
        self.list_sort = sort
        self.set_class(sort != "walk", "turned")
        self.query_one(LinesView).scroll_to(y=0, animate=False, force=True, immediate=True)
        self._draw_said()
        self.call_after_refresh(self._draw)

    def _leaf(self, step: int) -> None:
        """The list that was turned up, a page on or back."""
        lines = self.query_one(LinesView)
        rows = step * max(1, lines.size.height - 1)
        lines.scroll_relative(y=rows, animate=False, force=True, immediate=True)

    def _go(self, tank: str) -> None:
        """To a tank: its first waiting job in hand, and the tank itself on the racks."""
        if not tank:
            return
        self.round = self.round.at_tank(tank)
        self._step(0)
        self.query_one(RackView).hand = tank
        self._draw_here()

    def on_rack_view_chosen(self, message: RackView.Chosen) -> None:
        self._forget()
        self._go(message.tank)

    def on_lines_view_chosen(self, message: LinesView.Chosen) -> None:
        if self.list_sort == "walk" and message.row < len(self.round.lines):
            self._forget()
            self._step(message.row - self.round.at)

    # ---- drawing ----------------------------------------------------------

    def _draw(self) -> None:
        if self.picture is None or not self.is_mounted:
            return
        self._draw_top()
        racks = self.query_one(RackView)
        wrap = racks.size.width if self.has_class("wide") and self.size.height >= 34 else 0
        boxes = words.boxes(self.picture, self.signs)
        racks.show(self.picture.room, boxes, self._box_width(wrap), wrap)
        racks.styles.height = min(racks.lines_needed, max(3, self._rack_lines()))
        self._draw_round()
        self._draw_said()

    def _view(self) -> tuple[str, float] | None:
        """What the walk is seen by, and the minutes of what it does not leave."""
        if self.fitted is not None:
            return "short walk", self.fitted.walk.minutes
        if self.plan is None:
            return None
        kept = (line for line in self.round.lines if line.waits)
        return "by the plan", sum(
            line.stop.total_minutes for line in kept
            if line.id not in self.asides or not self.asides[line.id].leaves
        )  # fmt: skip

    def _rack_lines(self) -> int:
        """Lines there are for racks, so that the job in hand and some of the list have theirs."""
        if self.has_class("wide"):
            return self.size.height - 14
        hand = self.query_one("#hand", Static).size.height or HAND
        kept = 4 if self.has_class("low") else 6
        return self.size.height - len(self._top()) - hand - kept - 2

    def _box_width(self, wrap: int) -> int:
        """The widest boxes with which the racks stand side by side, else the narrowest."""
        if self.picture is None:
            return BOX_WIDTHS[-1]
        room, width = self.picture.room, wrap or self.size.width
        places = [
            max((s.places for s in room.shelves if s.rack == rack.code), default=1)
            for rack in room.racks
        ]
        if wrap:
            fits = [n for n in BOX_WIDTHS if max(places, default=1) * n + 1 <= width]
            return next((n for n in fits if n <= 9), BOX_WIDTHS[-1])
        fits = [n for n in BOX_WIDTHS if sum(places) * n + 2 * len(places) <= width + 1]
        return fits[0] if fits else BOX_WIDTHS[-1]

    def _draw_top(self) -> None:
        if self.picture is not None and self.is_mounted:
            self.query_one("#top", Static).update(Text("\n".join(self._top())))

    def _top(self) -> list[str]:
        if self.picture is None:
            return []
        most = MOST_TOP if self.size.height >= LOW else MOST_TOP - 1
        return top_lines(
            self.picture, self.round, self.signs, self.size.width, self.warnings,
            self._view(), most,
        )  # fmt: skip

    def _draw_round(self) -> None:
        """The list as it stands now, and the job in hand above it."""
        if self.picture is None:
            return
        lines = self.query_one(LinesView)
        width = max(20, lines.size.width or self.size.width)
        lines.marks_hand = self.list_sort == "walk" and bool(self.round.lines)
        if self.list_sort != "walk":
            rows = words.other_rows(self.picture, self.list_sort, self.signs, width)
            lines.show([Row(TURNED[self.list_sort], "head"), *rows], lines.scroll_offset.y)
        elif not self.round.lines:
            lines.show([Row("Nothing is due.", "quiet")], 0)
        else:
            count = len(self.round.lines)
            lines.show_lazily(count, lambda n: self._row(n, width), self.round.at)
        self._draw_hand()

    def _row(self, index: int, width: int) -> Row:
        line = self.round.lines[index]
        return words.line_text(line, self.signs, width - 2, self.asides.get(line.id))

    def _draw_hand(self) -> None:
        hand, line = self.query_one("#hand", Static), self.round.in_hand
        if self.picture is None or line is None:
            hand.update(Text("Nothing is due now. The racks are as you see them."))
            return
        most = max(3, hand.size.height or HAND)
        width = max(20, (hand.size.width or self.size.width) - 1)
        aside = self.asides.get(line.id) if line.waits else None
        said = aside.whole if aside is not None else ""
        if self.timing is not None and self.timing[0] == line.id and line.waits:
            said = f"Being timed: done writes the minutes. {said}".rstrip()
        text = words.hand_lines(self.picture, line, self.signs, width, most, said)
        hand.update(Text("\n".join(text)))
        self.query_one(RackView).hand = line.stop.due.tank
        self._draw_here()

    def _draw_here(self) -> None:
        """The tank in hand, where the screen is wide enough to say more of it."""
        if self.picture is not None and self.has_class("wide"):
            here = self.query_one("#here", Static)
            code = self.query_one(RackView).hand
            lines = words.here_lines(self.picture, code, max(20, here.size.width - 2))
            here.update(Text("\n".join(lines)))

    def _draw_said(self) -> None:
        if self.is_mounted:
            asked = self.question
            said = asked.shown(self.size.width) if asked else self.said
            self.query_one("#said", Static).update(Text(said))
            self.query_one("#foot", Static).update(Text(fitted(self._foot(), self.size.width)))

    def _foot(self) -> str:
        """What the keys do just now."""
        if self.question is not None:
            return key_words(self.question)
        if self.list_sort != "walk":
            return key_line(FOOT_TURNED, self.size.width, labels=LABELS_TURNED)
        labels = {"done": "yes, hands clean"} if self.hands else None
        return key_line(FOOT, self.size.width, labels=labels)

    def _forget(self) -> None:
        """A new act or move of the hand: what was said before goes."""
        if self.said and monotonic() >= self._held_until:
            self.say("")
