"""The walk under the keys: what each key means, asked or posted to the app.

Posts what the keeper did and which page is wanted; marks nothing itself. How
it is drawn is in `walk_view`.
"""

from dataclasses import dataclass
from time import monotonic
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.message import Message

from roomtasks.room.fit import Fitted, fit
from roomtasks.room.occurrence import Due
from roomtasks.tui import asking
from roomtasks.tui.asking import Answer
from roomtasks.tui.keys import KEYS, bindings
from roomtasks.tui.round import Line, Round
from roomtasks.tui.screens.walk_view import WalkView
from roomtasks.tui.taking_back import TakeBack
from roomtasks.tui.widgets.rack_view import RackView
from roomtasks.work.picture import Picture

TWICE_SECONDS = 1.0
KEY_ACTIONS = {name: key.action for key in KEYS if "walk" in key.screens for name in key.keys}
LISTS = ("walk", "held", "done")
IN_HAND = ("done", "not_today", "problem", "partly", "put_off", "leave_out", "shelf", "done_at",
           "timer", "reading", "note", "fit")  # fmt: skip
BACK_FIRST = "The walk again. Nothing was marked: the key once more acts on the job in hand."
ASKED = {"leave-out": "left-out", "cannot": "blocked"}


class WalkScreen(WalkView):
    """The morning's main screen, and its keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("walk")

    @dataclass
    class Acted(Message):
        """The keeper did something to the job in hand."""

        what: str
        about: str = ""
        text: str = ""
        hands_clean: bool = False
        minutes: float | None = None
        names: tuple[str, ...] = ()
        anyway: bool = False

    @dataclass
    class Wanted(Message):
        """The keeper wants another page: tank, journal, water, facts, keys."""

        page: str
        about: str = ""

    async def on_event(self, event: events.Event) -> None:
        """Keys are taken in the order they come, so that a burst from a scanner loses none."""
        if isinstance(event, events.Key) and self._ahead is not None:
            event.stop()
            event.prevent_default()
            self._ahead.append(event)
            return
        if isinstance(event, events.Key) and self.app.screen is self:
            action = KEY_ACTIONS.get(event.key)
            if self.question is not None or action is not None:
                event.stop()
                event.prevent_default()
                if self.question is not None:
                    self._typed(event)
                else:
                    self.hands = self.hands if action in ("done", "shelf") else ""
                    self._forget()
                    if self.list_sort != "walk" and action in IN_HAND:
                        self._last = (action, monotonic())
                        self.turn("walk")
                        self.say(BACK_FIRST)
                        return
                    getattr(self, f"action_{action}")()
                return
        await super().on_event(event)

    def on_screen_resume(self) -> None:
        """Back from a page: the key that closed it, hit twice, must not take back an act."""
        self._last = ("undo", monotonic())

    def _want(self, page: str, about: str = "") -> None:
        """Ask for a page. Keys until it is there are typed ahead, and meant for it."""
        self._ahead = []
        self.post_message(self.Wanted(page, about))

    def opened(self) -> None:
        """What was wanted is there, or will not come: what was typed ahead goes where it may."""
        ahead, self._ahead = self._ahead or [], None
        for event in ahead:
            self.app.post_message(events.Key(event.key, event.character))

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
        self._move(1)

    def action_back(self) -> None:
        self._move(-1)

    def _move(self, step: int) -> None:
        if self.list_sort == "walk":
            self._step(step)
        else:
            self._leaf(step)

    def action_not_today(self) -> None:
        if not self._twice("not_today") and (line := self._in_hand()) is not None:
            self.post_message(self.Acted("put-off", line.id, "1"))

    def action_problem(self) -> None:
        line = self.round.in_hand
        if line is not None:
            at_tank = bool(line.stop.due.tank)
            self.ask(asking.seen(line.id) if at_tank else asking.cannot(line.id))

    def action_partly(self) -> None:
        if (line := self._in_hand()) is not None:
            self.ask(asking.partly(line.id, _owed(line.stop.due)))

    def action_put_off(self) -> None:
        if (line := self._in_hand()) is not None:
            self.ask(asking.put_off(line.id))

    def action_leave_out(self) -> None:
        if (line := self._in_hand()) is not None:
            self.ask(asking.leave_out(line.id))

    def action_undo(self) -> None:
        if not self._twice("undo"):
            self.post_message(TakeBack(self))

    def action_tank(self) -> None:
        tank = self.query_one(RackView).hand
        if tank or self.round.in_hand is not None:
            self._want("tank", tank)
        else:
            self.say("No tank is in hand; * goes to one, the arrows walk the racks.")

    def action_cycle(self) -> None:
        if self.list_sort == LISTS[-1]:
            self.ask(asking.where())
        self.turn(LISTS[(LISTS.index(self.list_sort) + 1) % len(LISTS)])

    def action_fit(self) -> None:
        if self.picture is None:
            return
        if self.fitted is not None or self.plan is not None:
            self.see_whole()
        else:
            there = self.picture.walk.minutes_there_are
            self.fitted = fit(self.picture.room, self.picture.walk, there)
            self._see_asides()
            self.say(_fit_words(self.fitted, there))
        self._draw()

    def action_jump(self) -> None:
        self.ask(asking.jump())

    def action_timer(self) -> None:
        if (line := self._in_hand()) is not None:
            self.timing = (line.id, monotonic())
            self.say(f"Timing “{line.stop.due.said}”; done writes the minutes.")
            self._draw_hand()

    def action_shelf(self) -> None:
        if self._twice("shelf") or (line := self._in_hand()) is None or self.picture is None:
            return
        names, left = shelf_of(self.picture, self.round, line)
        if not names:
            self.say(
                f"{line.stop.due.job.name} is marked tank by tank: it has a dose or a reading."
            )
            return
        tail = f"; {', '.join(left)} left for its own mark" if left else ""
        self.say(f"{len(names)} of {len(names) + len(left)} on this shelf{tail}.")
        hands = self.hands == line.id
        self.post_message(self.Acted("done", line.id, hands_clean=hands, names=names))

    def action_done_at(self) -> None:
        if (line := self._in_hand()) is not None:
            self.ask(asking.done_at(line.id))

    def action_reading(self) -> None:
        if (line := self.round.in_hand) is not None:
            self.ask(asking.reading(line.id))

    def action_note(self) -> None:
        if (line := self.round.in_hand) is not None:
            self.ask(asking.note(line.id))

    def action_left(self) -> None:
        self._at(self.query_one(RackView).neighbour(-1))

    def action_right(self) -> None:
        self._at(self.query_one(RackView).neighbour(1))

    def _at(self, tank: str) -> None:
        """Go to a tank, and say what is in hand there."""
        self._go(tank)
        line = self.round.in_hand
        if line is None or line.stop.due.tank == tank:
            self.say(f"Tank {tank}.")
        else:
            self.say(
                f"Tank {tank} is not on the walk: 9 opens it. "
                f"In hand is still {line.stop.due.job.name} at {line.stop.due.target}."
            )

    def action_journal(self) -> None:
        self._want("journal")

    def action_water(self) -> None:
        self._want("water")

    def action_apart(self) -> None:
        self._want("apart")

    def action_broods(self) -> None:
        self._want("broods")

    def action_weeks(self) -> None:
        self._want("weeks")

    def action_trouble(self) -> None:
        self._want("trouble")

    def action_facts(self) -> None:
        self._want("facts")

    def action_keys(self) -> None:
        self._want("keys")

    def action_leave(self) -> None:
        self.app.exit(0)

    def _answered(self, answer: Answer) -> None:
        match answer.sort:
            case asking.TAKE_BACK:
                self.post_message(TakeBack(self, int(answer.about)))
            case "jump":
                self._jumped(answer.text)
            case "where":
                self._want(asking.LISTS[answer.number - 1][1])
            case "seen":
                self._saw(answer)
            case "reading":
                self.ask(asking.value(answer.about, answer.number))
            case "leave-out" | "cannot":
                self.post_message(self.Acted(ASKED[answer.sort], answer.about, answer.text))
            case _:
                told = (answer.sort, answer.about, answer.text)
                self.post_message(self.Acted(*told, anyway=told == self.asked))
                self.asked = ("", "", "")

    def _jumped(self, text: str) -> None:
        code = text.lstrip("*").strip()
        known = self.picture.room.tank if self.picture is not None else {}
        match = next((tank for tank in known if tank.lower() == code.lower()), "")
        if match:
            self._at(match)
        else:
            self.say(f"There is no tank “{code}”. Look at the label and type it again.")

    def _saw(self, answer: Answer) -> None:
        word, event = asking.SEEN[answer.number - 1]
        if word in ("dead", "not seen"):
            self.ask(asking.how_many(answer.about, event))
        elif not event:
            self.ask(asking.cannot(answer.about))
        else:
            self.post_message(self.Acted("seen", answer.about, event))


def _fit_words(fitted: Fitted, there: float) -> str:
    over, left = fitted.over_minutes, len(fitted.left)
    tail = f"; must-do jobs alone are {over:.0f} min over" if over else ""
    if not left:
        return f"{there:.0f} min: all {len(fitted.walk.stops)} jobs fit{tail}."
    return (
        f"{there:.0f} min: {len(fitted.walk.stops)} jobs fit in {fitted.walk.minutes:.0f}, "
        f"{left} left out, in grey with what that costs{tail}."
    )


TANK_BY_TANK = ("dose", "test", "measure", "count", "move")


def shelf_of(picture: Picture, round_: Round, line: Line) -> tuple[tuple[str, ...], list[str]]:
    """The same job at the tanks of this one's shelf: those to mark, and the tanks left out.

    Left out are tanks of another health class; a job with a dose or a reading
    is never marked this way.
    """
    due, room = line.stop.due, picture.room
    if not due.tank or due.job.kind in TANK_BY_TANK:
        return (), []
    here = (room.tank[due.tank].rack, room.tank[due.tank].shelf)
    same = [
        other.stop.due
        for other in round_.lines
        if other.waits and other.stop.due.job.code == due.job.code and other.stop.due.tank
        and (room.tank[other.stop.due.tank].rack, room.tank[other.stop.due.tank].shelf) == here
    ]  # fmt: skip
    names = tuple(other.id for other in same if other.health is due.health)
    return names, [other.tank for other in same if other.health is not due.health]


def _owed(due: Due) -> str:
    fraction = due.owed_fraction if due.owed_fraction is not None else due.fraction
    return f"{100 * fraction:.3g}" if fraction is not None else "100"
