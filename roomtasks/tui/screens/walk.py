"""The walk: racks above, the job in hand, the next ones, one line of keys.

Given pictures by the app; posts what the keeper did. Keeps only what is on the
screen: the round, the open question, which list is turned up.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from time import monotonic
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from roomtasks.room.fit import Fitted, fit
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due
from roomtasks.tui import asking, words
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.keys import bindings, key_line
from roomtasks.tui.round import Line, Round
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.widgets.lines_view import LinesView, Row
from roomtasks.tui.widgets.rack_view import RackView
from roomtasks.work.picture import Picture

TWICE_SECONDS = 1.0
FOOT = ("done", "next", "not_today", "problem", "partly", "undo", "tank", "put_off", "leave_out",
        "cycle", "fit", "jump", "journal")  # fmt: skip
BOX_WIDTHS = (10, 9, 8, 7)
LISTS = ("walk", "held", "done")
ASKED = {"leave-out": "left-out", "cannot": "blocked"}


class WalkScreen(Screen[None]):
    """The morning's main screen."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("walk")

    @dataclass
    class Acted(Message):
        """The keeper did something to the job in hand (or to an act, for undo)."""

        what: str
        about: str = ""
        text: str = ""
        hands_clean: bool = False
        minutes: float | None = None

    @dataclass
    class Wanted(Message):
        """The keeper wants another page: tank, journal, facts, keys."""

        page: str
        about: str = ""

    def __init__(self, signs: Signs) -> None:
        super().__init__()
        self.signs = signs
        self.picture: Picture | None = None
        self.round = Round()
        self.question: Question | None = None
        self.said = ""
        self.warning = ""
        self.list_sort = "walk"
        self.fitted: Fitted | None = None
        self.timing: tuple[str, float] | None = None
        self.hands: str = ""
        self._last: tuple[str, float] = ("", -10.0)

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
        self.set_class(not wide and event.size.height < 22, "low")
        self.call_after_refresh(self._draw)

    # ---- what it is given -------------------------------------------------

    def show(self, picture: Picture) -> None:
        """A new picture: merged into the round, the line in hand stays in hand."""
        first = self.picture is None or self.picture.today != picture.today
        self.picture = picture
        base = Round() if first else self.round
        self.round = base.merged(picture.walk.stops, picture.marks)
        if self.fitted is not None:
            self.fitted = fit(picture.room, picture.walk, picture.walk.minutes_there_are)
        self._draw()

    def say(self, text: str) -> None:
        """A sentence in the line above the keys; it stays until the next one."""
        self.said = clean(text)
        self._draw_said()

    def warn(self, text: str) -> None:
        """A standing warning in the top line; "" takes it away."""
        self.warning = text
        self._draw_top()

    def ask_hands(self, about: str, text: str) -> None:
        """The hands question: the next done on the same job answers yes."""
        self.hands = about
        self.say(text)

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

    # ---- drawing ----------------------------------------------------------

    def _draw(self) -> None:
        if self.picture is None or not self.is_mounted:
            return
        self._draw_top()
        racks = self.query_one(RackView)
        wrap = racks.size.width if self.has_class("wide") and self.size.height >= 34 else 0
        boxes = words.boxes(self.picture, self.signs)
        racks.show(self.picture.room, boxes, self._box_width(wrap), wrap)
        foot = 14 if self.has_class("wide") else 13 if self.size.height >= 22 else 11
        racks.styles.height = min(racks.lines_needed, max(3, self.size.height - foot))
        self._draw_round()
        self._draw_said()
        self.query_one("#foot", Static).update(Text(key_line(FOOT, self.size.width)))

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
            top = words.top_line(
                self.picture, self.round, self.signs, self.size.width, self.warning
            )  # fmt: skip
            self.query_one("#top", Static).update(Text(top))

    def _draw_round(self) -> None:
        """The list as it stands now, and the job in hand above it."""
        if self.picture is None:
            return
        lines = self.query_one(LinesView)
        width = max(20, lines.size.width or self.size.width)
        lines.marks_hand = self.list_sort == "walk" and bool(self.round.lines)
        if self.list_sort != "walk":
            lines.show(words.other_rows(self.picture, self.list_sort, self.signs, width), 0)
        elif not self.round.lines:
            lines.show([Row("Nothing is due.", "quiet")], 0)
        else:
            left = {out.stop.due.id: out.cost for out in self.fitted.left} if self.fitted else {}
            count = len(self.round.lines)
            lines.show_lazily(count, lambda n: self._row(n, left, width), self.round.at)
        self._draw_hand()

    def _row(self, index: int, left: dict[str, str], width: int) -> Row:
        line = self.round.lines[index]
        if line.id in left and line.waits:
            left_line = replace(line, said=left[line.id].partition(",")[0])
            row = words.line_text(left_line, self.signs, width - 2)
            return Row(row.text.replace(self.signs.done, self.signs.off, 1), "quiet")
        return words.line_text(line, self.signs, width - 2)

    def _draw_hand(self) -> None:
        hand, line = self.query_one("#hand", Static), self.round.in_hand
        if self.picture is None or line is None:
            hand.update(Text("Nothing is due now. The racks are as you see them."))
            return
        most = max(3, hand.size.height or 6)
        width = max(20, (hand.size.width or self.size.width) - 1)
        left = {out.stop.due.id: out.cost for out in self.fitted.left} if self.fitted else {}
        cost = left.get(line.id, "") if line.waits else ""
        text = words.hand_lines(self.picture, line, self.signs, width, most, cost)
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
            text = self.question.line() if self.question is not None else self.said
            self.query_one("#said", Static).update(Text(text))

    # ---- keys -------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        """An open question takes the keys before the bindings do."""
        if isinstance(event, events.Key) and self.question is not None:
            event.stop()
            event.prevent_default()
            self._typed(event)
            return
        await super().on_event(event)

    def _typed(self, event: events.Key) -> None:
        if self.question is None:
            return
        answer = asking.typed(self.question, event.key, event.character)
        if isinstance(answer, Answer):
            self.question = None
            self._answered(answer)
        else:
            self.question = answer
        self._draw_said()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """With a question open no key means anything but its answer."""
        return None if self.question is not None and action != "help_quit" else True

    def _twice(self, action: str) -> bool:
        """Whether the same key was hit within the last second: then it counts once."""
        name, when = self._last
        now = monotonic()
        self._last = (action, now)
        return name == action and now - when < TWICE_SECONDS

    def _in_hand(self) -> Line | None:
        line = self.round.in_hand
        if line is None or not line.waits:
            self.say("Nothing in hand here waits to be marked.")
            return None
        return line

    def _ask(self, question: Question) -> None:
        self.question = question
        self._draw_said()

    def action_done(self) -> None:
        if self._twice("done"):
            return
        line = self._in_hand()
        if line is not None:
            minutes = self._timed(line.id)
            clean_hands = self.hands == line.id
            self.post_message(self.Acted("done", line.id, hands_clean=clean_hands, minutes=minutes))

    def _timed(self, line_id: str) -> float | None:
        if self.timing is None or self.timing[0] != line_id:
            return None
        return round((monotonic() - self.timing[1]) / 60, 1)

    def action_next(self) -> None:
        self._step(1)

    def action_back(self) -> None:
        self._step(-1)

    def _step(self, step: int) -> None:
        turned, self.list_sort = self.list_sort != "walk", "walk"
        self.hands = ""
        self.round = self.round.moved(step)
        if turned:
            self._draw_round()
        else:
            self.query_one(LinesView).at = self.round.at
            self._draw_hand()

    def action_not_today(self) -> None:
        if not self._twice("not_today") and (line := self._in_hand()) is not None:
            self.post_message(self.Acted("put-off", line.id, "1"))

    def action_problem(self) -> None:
        line = self.round.in_hand
        if line is not None:
            self._ask(asking.seen(line.id))

    def action_partly(self) -> None:
        if (line := self._in_hand()) is not None:
            self._ask(asking.partly(line.id, _owed(line.stop.due)))

    def action_put_off(self) -> None:
        if (line := self._in_hand()) is not None:
            self._ask(asking.put_off(line.id))

    def action_leave_out(self) -> None:
        if (line := self._in_hand()) is not None:
            self._ask(asking.leave_out(line.id))

    def action_undo(self) -> None:
        if not self._twice("undo"):
            self.post_message(self.Acted("undo"))

    def action_tank(self) -> None:
        tank = self.query_one(RackView).hand
        if tank:
            self.post_message(self.Wanted("tank", tank))
        else:
            self.say("No tank is in hand; * goes to one, the arrows walk the racks.")

    def action_cycle(self) -> None:
        self.list_sort = LISTS[(LISTS.index(self.list_sort) + 1) % len(LISTS)]
        self._draw_round()

    def action_fit(self) -> None:
        if self.picture is None:
            return
        if self.fitted is not None:
            self.fitted = None
            self.say("All of the walk is shown.")
        else:
            there = self.picture.walk.minutes_there_are
            self.fitted = fit(self.picture.room, self.picture.walk, there)
            over = self.fitted.over_minutes
            tail = f"; must-do jobs alone are {over:.0f} min over" if over else ""
            self.say(
                f"{there:.0f} min: {len(self.fitted.walk.stops)} jobs fit, "
                f"{len(self.fitted.left)} are left, shown in grey with what that costs{tail}."
            )
        self._draw_round()

    def action_jump(self) -> None:
        self._ask(asking.jump())

    def action_timer(self) -> None:
        if (line := self._in_hand()) is not None:
            self.timing = (line.id, monotonic())
            self.say(f"Timing {line.id}; done writes the minutes.")

    def action_left(self) -> None:
        self._go(self.query_one(RackView).neighbour(-1))

    def action_right(self) -> None:
        self._go(self.query_one(RackView).neighbour(1))

    def action_journal(self) -> None:
        self.post_message(self.Wanted("journal"))

    def action_facts(self) -> None:
        self.post_message(self.Wanted("facts"))

    def action_keys(self) -> None:
        self.post_message(self.Wanted("keys"))

    def action_leave(self) -> None:
        self.app.exit(0)

    def _go(self, tank: str) -> None:
        """To a tank: its first waiting job in hand, and the tank itself on the racks."""
        if not tank:
            return
        self.round = self.round.at_tank(tank)
        self._step(0)
        self.query_one(RackView).hand = tank
        self._draw_here()

    def on_rack_view_chosen(self, message: RackView.Chosen) -> None:
        self._go(message.tank)

    def on_lines_view_chosen(self, message: LinesView.Chosen) -> None:
        if self.list_sort == "walk" and message.row < len(self.round.lines):
            self._step(message.row - self.round.at)

    def _answered(self, answer: Answer) -> None:
        match answer.sort:
            case "jump":
                self._jumped(answer.text)
            case "seen":
                self._saw(answer)
            case "leave-out" | "cannot":
                self.post_message(self.Acted(ASKED[answer.sort], answer.about, answer.text))
            case _:
                self.post_message(self.Acted(answer.sort, answer.about, answer.text))

    def _jumped(self, text: str) -> None:
        code = text.lstrip("*").strip()
        known = self.picture.room.tank if self.picture is not None else {}
        match = next((tank for tank in known if tank.lower() == code.lower()), "")
        if match:
            self._go(match)
            self.say(f"Tank {match}.")
        else:
            self.say(f"There is no tank “{code}”. Look at the label and type it again.")

    def _saw(self, answer: Answer) -> None:
        word, event = asking.SEEN[answer.number - 1]
        if word in ("dead", "not seen"):
            self._ask(asking.how_many(answer.about, event))
        elif not event:
            self._ask(asking.cannot(answer.about))
        else:
            self.post_message(self.Acted("seen", answer.about, event))


def _owed(due: Due) -> str:
    fraction = due.owed_fraction if due.owed_fraction is not None else due.fraction
    return f"{100 * fraction:.3g}" if fraction is not None else "100"
