"""What was asked and what is answered: the frame every command works in.

`Asked` knows the words, the store's path and what "now" is; a command gives
back an `Answer` (a JSON document and the same as text) or a `Problem`. Which
of the two is printed, and the exit status, is decided in `main`.
"""

import argparse
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from roomtasks.cli.page import Page
from roomtasks.cli.words import moment_on
from roomtasks.clock.now import SystemClock
from roomtasks.room.day import parse_instant
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.store.fault import StoreFault
from roomtasks.work.opening import Store, behind_journal, door_of, open_store, room_in, who_is

if TYPE_CHECKING:
    from roomtasks.work.fish import Told

VARIABLE = "ROOMTASKS_ROOM"
STORE_NAME = "room.sqlite"
Document = dict[str, Any]
Write = Callable[[Page], None]


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command says: as JSON, as text, and remarks for standard error.

    `faults` are lines for standard error too, but bare, so that an editor can
    jump to the file and line they begin with.
    """

    document: Document
    text: Write
    remarks: tuple[str, ...] = ()
    status: int = 0
    faults: tuple[str, ...] = ()


@dataclass
class Asked:
    """The words of one call, and what hangs on them. `demo_writes`: an act on the demo room."""

    args: argparse.Namespace
    remarks: list[str] = field(default_factory=list)
    demo_writes: bool = False

    @property
    def demo(self) -> bool:
        return bool(self.args.demo)

    def store_path(self) -> Path:
        """The store that is meant: the option, the variable, else the user's data folder."""
        named = self.args.room or os.environ.get(VARIABLE)
        if named:
            return Path(named).expanduser()
        from platformdirs import user_data_path

        return user_data_path("roomtasks", appauthor=False) / STORE_NAME

    @contextmanager
    def store(self) -> Iterator[Store | Problem]:
        """The store, open; the demo room's where that was asked for."""
        if not self.demo:
            with open_store(self.store_path()) as store:
                yield store
            return
        from roomtasks.work.demo import demo_copy, demo_store

        if not self.demo_writes:
            path = demo_store(cache_folder())
            if isinstance(path, Problem):
                yield path
                return
            with open_store(path) as store:
                yield store
            return
        with demo_copy(cache_folder()) as copy:
            if isinstance(copy, Problem):
                yield copy
                return
            self.remarks.append("this is the demo room: nothing is kept")
            with open_store(copy) as store:
                yield store

    def now(self, room: Room) -> datetime:
        """The instant that counts as now, in the room's zone, to the second."""
        given = self.fixed_now(room)
        now = SystemClock().now(room.zone) if given is None else given
        return now.replace(microsecond=0)

    def fixed_now(self, room: Room) -> datetime | None:
        """The instant that was asked for, or at which the demo room opens."""
        if self.args.at is not None:
            return _instant(self.args.at, room)
        if self.args.on is not None:
            return moment_on(self.args.on, room)
        if self.demo and room.setup.demo_opens_at:
            return _instant(room.setup.demo_opens_at, room)
        return None

    def who(self, room: Room) -> str:
        """Who does it: as told, else the only keeper."""
        return who_is(room, self.args.who)


def cache_folder() -> Path:
    """Where the demo room's store is kept between two looks."""
    from platformdirs import user_cache_path

    return user_cache_path("roomtasks", appauthor=False)


def _instant(text: str, room: Room) -> datetime | None:
    found = parse_instant(text, room.zone)
    return None if isinstance(found, Problem) else found


@dataclass(frozen=True)
class Scene:
    """An open room: its store, now and who; its facts once they are asked for."""

    store: Store
    now: datetime
    today: date
    who: str

    @cached_property
    def room(self) -> Room:
        """The room's facts. The store held a room when the scene was made."""
        found = room_in(self.store)
        if isinstance(found, Problem):
            raise StoreFault(
                "vanished", self.store.path, "the room was taken out of the store meanwhile",
                "nothing was changed; look at the store",
            )  # fmt: skip
        return found


def in_room(asked: Asked, do: Callable[[Scene], Answer | Problem]) -> Answer | Problem:
    """Run a command on the open room."""
    with asked.store() as store:
        if isinstance(store, Problem):
            return store
        door = door_of(store)
        if isinstance(door, Problem):
            return door
        now = asked.now(door)
        newest = None if asked.fixed_now(door) else behind_journal(store, now)
        if newest is not None:
            asked.remarks.append(
                f"the clock says {now:%d %b %Y %H:%M}, but the journal goes on to "
                f"{newest:%d %b %Y %H:%M}: days are counted from the clock; set it right, "
                "or say --at"
            )
        return do(Scene(store, now, door.day_at(now), asked.who(door)))


def instant(at: datetime | None) -> str | None:
    """An instant for JSON, with its offset."""
    return None if at is None else at.isoformat(timespec="seconds")


def day(on: date | None) -> str | None:
    """A day for JSON."""
    return None if on is None else on.isoformat()


def figure(value: float | None, digits: int = 6) -> float | None:
    """A worked-out number for JSON, without the dust of binary fractions."""
    if value is None:
        return None
    return round(value, digits) + 0.0


def problem_document(problem: Problem) -> Document:
    """A fault as JSON."""
    return {
        "problem": {
            "where": problem.where,
            "what": problem.what,
            "remedy": problem.remedy,
            "rule": problem.rule or None,
        }
    }


def told(asked: Asked, act: "Callable[[Scene], Told | Problem]") -> Answer | Problem:
    """Run one act on the room and say its words."""
    return in_room(asked, lambda scene: said(act(scene)))


def said(done: "Told | Problem") -> Answer | Problem:
    """What an act changed, as JSON and in words."""
    if isinstance(done, Problem):
        return done
    document = {"changed": True, "act": done.act, "words": done.words}
    return Answer(document, lambda page: page.line(f"Act {done.act}: {done.words}", hang=4))
