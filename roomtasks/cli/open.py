"""`open`, which is also what `roomtasks` alone does: the terminal interface.

It is loaded only here, when it is really wanted.
"""

import sys

from roomtasks.cli.asked import Asked, cache_folder
from roomtasks.cli.command import Command
from roomtasks.clock.now import Clock, FixedClock, SystemClock, running_from
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.work.opening import open_store, room_in, who_is

DEMO_WANTED = -1


def run(asked: Asked) -> Problem | int:
    if asked.args.json:
        return Problem("--json", "the interface writes none", "use 'roomtasks walk --json'")
    if not at_terminal():
        return Problem(
            "open", "the interface needs a terminal", "use 'roomtasks walk' for the walk as text"
        )
    if not asked.demo:
        ended = _open(asked)
        if ended != DEMO_WANTED:
            return ended
        asked.args.demo = True
    from roomtasks.work.demo import demo_copy

    with demo_copy(cache_folder()) as path:
        if isinstance(path, Problem):
            return path
        asked.args.room = str(path)
        return _open(asked)


def at_terminal() -> bool:
    """Whether somebody sits at both ends: keys come in and a screen is there."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def _open(asked: Asked) -> Problem | int:
    path = asked.store_path()
    clock: Clock = SystemClock()
    who = asked.args.who or ""
    if path.exists():
        with open_store(path) as store:
            room = room_in(store)
        if isinstance(room, Problem):
            return room
        clock, who = _clock(asked, room), who_is(room, asked.args.who)
    elif asked.args.at is not None or asked.args.on is not None:
        return Problem(str(path), "there is no room here yet", "leave --at and --on away")
    from roomtasks.tui.app import run as open_interface

    return open_interface(path, clock, who)


def _clock(asked: Asked, room: Room) -> Clock:
    """A clock that stands where it was told to; the demo room's runs from its own time."""
    fixed = asked.fixed_now(room)
    if fixed is None:
        return SystemClock()
    told = asked.args.at is not None or asked.args.on is not None
    return FixedClock(fixed) if told else running_from(fixed)


COMMANDS = {
    "open": Command(
        run,
        more="Opens with no command, too. Where there is no room yet it helps to begin one.",
    ),
}
