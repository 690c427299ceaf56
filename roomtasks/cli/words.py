"""The words of the command line: what each may be, read the way the room reads them.

Numbers, days and names go through the same readers as files and forms, so that
NaN, a comma or a date that does not exist is named the same everywhere. Times
that depend on the room stay text here and are read once the room is known.
"""

import argparse
import re
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any, NoReturn, TypeVar
from zoneinfo import ZoneInfo

from roomtasks.room.column import FIRST_YEAR, LAST_YEAR, Column, from_text, shown
from roomtasks.room.day import day_start, parse_day, parse_instant, previous_day, resolve
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room

LONGEST_NAME = 80
UTC_ZONE = ZoneInfo("UTC")
T = TypeVar("T")


class BadWords(Exception):
    """What was typed is no command: the parser that saw it, and the sentence."""

    def __init__(self, program: str, sentence: str) -> None:
        super().__init__(sentence)
        self.program, self.sentence = program, sentence


class Parser(argparse.ArgumentParser):
    """A parser that raises `BadWords` and says what would do."""

    known_commands: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        self.noted: list[argparse.Action] = []
        self.common_noted: list[argparse.Action] = []
        self._common: Any = None
        super().__init__(*args, **kwargs)

    def add_argument(self, *args: Any, **kwargs: Any) -> argparse.Action:
        """As ever, and noted for the reference."""
        action = super().add_argument(*args, **kwargs)
        self.noted.append(action)
        return action

    def common_option(self, *args: Any, **kwargs: Any) -> None:
        """An option of every command, in a group of its own in the help."""
        if self._common is None:
            self._common = self.add_argument_group("options of every command")
        self.common_noted.append(self._common.add_argument(*args, **kwargs))

    def error(self, message: str) -> NoReturn:
        wrong = re.search(r"argument COMMAND: invalid choice: (['\"])(.*?)\1", message)
        if wrong:
            from difflib import get_close_matches

            near = get_close_matches(wrong[2], self.known_commands, 1)
            hint = f"did you mean {near[0]}?" if near else f"'{self.prog} --help' lists them"
            raise BadWords(self.prog, f"there is no command “{shown(wrong[2])}”; {hint}")
        raise BadWords(self.prog, f"{message}; '{self.prog} --help' shows what would do")


def _told(answer: T | Problem) -> T:
    if isinstance(answer, Problem):
        raise argparse.ArgumentTypeError(answer.sentence())
    return answer


def number(
    unit: str = "", low: float | None = None, high: float | None = None
) -> Callable[[str], float]:
    """A number within limits, both included."""
    spec = Column("number", "a number", unit, low, high)

    def read(text: str) -> float:
        value = _told(from_text(spec, text))
        assert isinstance(value, float)
        return value

    return read


def whole(low: int | None = None, high: int | None = None) -> Callable[[str], int]:
    """A whole number within limits, both included."""
    spec = Column("int", "a whole number", "", low, high)

    def read(text: str) -> int:
        value = _told(from_text(spec, text))
        assert isinstance(value, int)
        return value

    return read


def text(given: str) -> str:
    """Any text that can be kept and shown."""
    value = _told(from_text(Column("text", "some words", optional=True), given))
    return str(value) if value is not None else ""


def reason(given: str) -> str:
    """A text that may not be blank."""
    return str(_told(from_text(Column("text", "a reason"), given)))


def name(given: str) -> str:
    """A name to look up: of a job, a place, a tank."""
    if not given.strip() or len(given) > LONGEST_NAME or not given.isprintable():
        raise argparse.ArgumentTypeError(f"“{shown(given)}” is no name")
    return given.strip()


def code(given: str) -> str:
    """A code to be kept."""
    return str(_told(from_text(Column("code", "a code"), given)))


def path_text(given: str) -> str:
    """A path of a file or a folder."""
    if not given.strip() or "\0" in given:
        raise argparse.ArgumentTypeError(f"“{shown(given)}” is no path")
    return given


def day(given: str) -> date:
    """A date, YYYY-MM-DD."""
    return _told(parse_day(given))


def instant_text(given: str) -> str:
    """A date and time, checked but not yet placed in the room's zone."""
    _reached(_told(parse_instant(given, UTC_ZONE)).year)
    return given


def day_as_now(given: str) -> date:
    """A date that may stand for today."""
    value = day(given)
    _reached(value.year)
    return value


def _reached(year: int) -> None:
    """A year less than the store can hold at either end: the room day may be a day off."""
    if not FIRST_YEAR < year < LAST_YEAR:
        raise argparse.ArgumentTypeError(
            f"{year} is out of reach; use the years {FIRST_YEAR + 1} to {LAST_YEAR - 1}"
        )


def share(given: str) -> float:
    """A share of the water or the work: 15 % or 0.15."""
    value = _share(given)
    if value is None:
        raise argparse.ArgumentTypeError(
            f"“{shown(given)}” is no share; write it as 15% or 0.15, above 0 and at most 1"
        )
    return value


def _share(given: str) -> float | None:
    found = re.fullmatch(r"\s*([0-9]{1,9}(?:\.[0-9]{1,9})?)\s*(%?)\s*", given, re.ASCII)
    if not found:
        return None
    value = float(found[1]) / (100 if found[2] else 1)
    return value if 0 < value <= 1 else None


def amount(given: str) -> tuple[float | None, float | None]:
    """How much was done: a share as 15% or 0.15, or litres as 8L."""
    litres = re.fullmatch(r"\s*([0-9]{1,6}(?:\.[0-9]{1,6})?)\s*[lL]\s*", given, re.ASCII)
    if litres and float(litres[1]) > 0:
        return None, float(litres[1])
    value = _share(given)
    if value is None:
        raise argparse.ArgumentTypeError(
            f"“{shown(given)}” is no amount; write a share as 15% or 0.15, or litres as 8L"
        )
    return value, None


_CLOCK = r"([01]?[0-9]|2[0-3]):([0-5][0-9])"
_EARLIER = re.compile(rf"\s*(?:(yesterday|last night)\s+)?{_CLOCK}\s*", re.ASCII)


def when_text(given: str) -> str:
    """When something was done: an instant, HH:MM, or yesterday HH:MM."""
    if _EARLIER.fullmatch(given):
        return given
    found = parse_instant(given, UTC_ZONE)
    if isinstance(found, Problem):
        raise argparse.ArgumentTypeError(
            f"“{shown(given)}” is no time; write 08:30, 'yesterday 20:00' or 2027-03-14T08:30"
        )
    _reached(found.year)
    return given


def when_of(given: str, room: Room, now: datetime) -> datetime:
    """The instant of a checked `when_text`: HH:MM is the latest such time gone by."""
    found = _EARLIER.fullmatch(given)
    if found is None:
        return _told(parse_instant(given, room.zone))
    clock = time(int(found[2]), int(found[3]))
    if found[1]:
        return _on_room_day(previous_day(room.day_at(now), room.zone, room.day_starts), clock, room)
    local = now.astimezone(room.zone).date()
    at = resolve(datetime.combine(local, clock), room.zone)
    return at if at <= now else resolve(datetime.combine(local - timedelta(1), clock), room.zone)


def _on_room_day(day: date, clock: time, room: Room) -> datetime:
    """The instant of a time of day on a room day, which may run past midnight."""
    if clock < room.day_starts:
        day += timedelta(days=1)
    return resolve(datetime.combine(day, clock), room.zone)


HOURS_INTO_DAY = 4


def moment_on(day: date, room: Room) -> datetime:
    """The instant `--on` stands for: four hours after the room day begins."""
    began = day_start(day, room.zone, room.day_starts)
    return (began.astimezone(UTC_ZONE) + timedelta(hours=HOURS_INTO_DAY)).astimezone(room.zone)
