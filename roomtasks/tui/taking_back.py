"""Taking the last act back: at once where it was made on this screen just now, else on a yes.

The keeper is told which act it is, where and when, before one that is not before
their eyes is taken back. The yes takes back that act and no other.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Protocol, TypeVar

from textual.message import Message

from roomtasks.room.journal import Act
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.store.fault import StoreFault
from roomtasks.tui import keeper
from roomtasks.tui.asking import TAKE_BACK, Question
from roomtasks.tui.here_words import on_screen, refused_here
from roomtasks.tui.signs import clean

if TYPE_CHECKING:
    from roomtasks.tui.app import RoomApp

JUST_NOW = timedelta(minutes=10)
RETRY_SECONDS = 2.0
T = TypeVar("T")


class Asking(Protocol):
    """A screen that can say something and ask."""

    def say(self, text: str) -> None: ...

    def ask(self, question: Question) -> None: ...


@dataclass
class TakeBack(Message):
    """The keeper takes the last act back; `number` is one that was asked about."""

    screen: Asking
    number: int | None = None


def question(act: Act, now: datetime) -> Question:
    """What would be taken back, and whether."""
    at = act.at.astimezone(now.tzinfo)
    when = f"{at:%H:%M}" if at.date() == now.date() else f"{day_words(at.date())} {at:%H:%M}"
    who = f", {act.who}" if act.who else ""
    text = f"Take back “{act.words}” ({when}{who})?"
    return Question(TAKE_BACK, on_screen(clean(text)), ("yes",), about=str(act.id))


def acted(store: Store, do: Callable[[Store], T]) -> tuple[T, int | None]:
    """Run it; what it says, and the number of the act it wrote, if it wrote one."""
    before = _newest(store)
    said = do(store)
    after = _newest(store)
    return said, after if after != before else None


def _newest(store: Store) -> int | None:
    return next((act.id for act in search.acts(store, most=1)), None)


class TakingBack:
    """What the app does about taking back. `made` are acts of this run, and where."""

    def __init__(self, app: "RoomApp") -> None:
        self.app = app
        self.made: dict[int, Asking] = {}

    async def run(self, do: Callable[[Store], T], screen: Asking) -> T:
        """Run one act on the store thread, and remember on which screen. Raises StoreFault."""
        said, number = await self.app.desk.ask(lambda store: acted(store, do))
        if number is not None:
            self.made[number] = screen
        return said

    async def did(self, message: TakeBack) -> None:
        """Take back the act that was asked about, or the last one; or ask."""
        app, screen, number = self.app, message.screen, message.number
        now, who = app.now(), app.who
        try:
            if number is None:
                act = await app.desk.ask(search.last_standing)
                if act is not None and not self._here_just_now(act, screen, now):
                    screen.ask(question(act, now))
                    return
                number = act.id if act is not None else None
            chosen = number
            said = await app.desk.ask(lambda store: keeper.undone(store, now, who, chosen))
        except StoreFault as fault:
            if fault.passing:
                screen.say(f"Not taken back yet: {fault.what}. It is tried again.")
                app.set_timer(RETRY_SECONDS, lambda: self.did(message))
            else:
                screen.say(f"NOT taken back: {fault.what}; {fault.remedy}.")
            return
        if isinstance(said, Problem):
            screen.say(refused_here(said))
            return
        if said.back_to and screen is app.walk:
            app.walk.back_to(said.back_to)
        screen.say(said.words)
        app.run_worker(app.look_again(), group="look", exclusive=True)

    def _here_just_now(self, act: Act, screen: Asking, now: datetime) -> bool:
        return self.made.get(act.id) is screen and abs(now - act.at) <= JUST_NOW
