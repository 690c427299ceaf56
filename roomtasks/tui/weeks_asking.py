"""Questions of the weeks, and what their answers ask of the plan. Pure, as `asking`."""

from dataclasses import dataclass, replace
from typing import TypeVar

from roomtasks.room.ahead_plan import WhatIfAhead
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import WEEKDAYS
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.side_acts import MOST_BY_DIGIT
from roomtasks.tui.water_asking import number

T = TypeVar("T")
AS_IT_IS = WhatIfAhead()
MINUTES, LITRES, LESS, MORE, SECOND, HELPER = range(1, 7)
WHAT_IFS = (
    "minutes of a weekday", "litres a day", "a tank less", "tanks more", "a second reservoir",
    "a helper", "as it is",
)  # fmt: skip
SHORT = tuple(name[:3] for name in WEEKDAYS)
LIMITS = {MINUTES: (-1440.0, 1440.0), LITRES: (-100_000.0, 100_000.0), MORE: (1.0, 50.0),
          HELPER: (1.0, 1440.0)}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pick:
    """A choice too long for the foot: a page of these codes, with the words of each."""

    sort: str
    title: str
    codes: tuple[str, ...]
    words: tuple[str, ...]


Asked = Question | Pick | WhatIfAhead | Problem


def what_if() -> Question:
    return Question("weeks-what", "What if:", WHAT_IFS)


def another_day(text: str) -> Question:
    """Whether a day that is not offered is to be tried."""
    return Question("weeks-day", f"{text}. Try it all the same?", ("yes",))


def asked(answer: Answer, so_far: WhatIfAhead, room: Room) -> Asked:
    """What follows an answer: another question, a page to pick from, or what is asked."""
    sort, _, which = answer.sort.partition(" ")
    if sort == "weeks-what":
        return _which(answer.number, room)
    number_of = int(which)
    if sort == "weeks-of":
        about = WEEKDAYS[answer.number - 1] if number_of in (MINUTES, HELPER) else answer.text
        return _how_many(number_of, about, so_far)
    value = number(answer.text, *LIMITS[number_of])
    if isinstance(value, Problem):
        return value
    return _with(number_of, answer.about, value, so_far)


def _which(sort: int, room: Room) -> Asked:
    """The weekday, reservoir or tank that is meant."""
    match sort:
        case 1 | 6:
            return Question(f"weeks-of {sort}", "On which weekday:", SHORT)
        case 2 | 5:
            codes = tuple(reservoir.code for reservoir in room.reservoirs)
            names = tuple(reservoir.name for reservoir in room.reservoirs)
            return _chosen(sort, "Which reservoir:", codes, names)
        case 3 | 4:
            codes = tuple(tank.code for tank in room.tanks)
            title = "Without which tank" if sort == LESS else "More tanks like which"
            return Pick(f"weeks-of {sort}", title, codes, tuple(tank.role for tank in room.tanks))
    return AS_IT_IS


def _chosen(sort: int, text: str, codes: tuple[str, ...], words: tuple[str, ...]) -> Asked:
    if not codes:
        return Problem("what if", "the room has no reservoir", "enter one first")
    if len(codes) > MOST_BY_DIGIT:
        return Pick(f"weeks-of {sort}", text, codes, words)
    return Question(f"weeks-of {sort}", text, codes)


def _how_many(sort: int, about: str, so_far: WhatIfAhead) -> Asked:
    """How many of it; what needs no number is asked of the plan at once."""
    match sort:
        case 1:
            text = f"{about}: minutes more, with - for less, then Enter:"
        case 2:
            text = f"{about}: litres more a day, with - for less, then Enter:"
        case 3:
            return replace(so_far, without=(*_others(so_far.without, about), about))
        case 4:
            text = f"How many more like {about} (1), then Enter:"
        case 5:
            return replace(so_far, second=(*_others(so_far.second, about), about))
        case _:
            text = f"{about}: minutes of help, then Enter:"
    return Question(f"weeks-many {sort}", text, about=about, blank="1" if sort == MORE else "")


def _with(sort: int, about: str, value: float, so_far: WhatIfAhead) -> WhatIfAhead | Problem:
    match sort:
        case 1:
            return replace(so_far, minutes=_put(so_far.minutes, about, value))
        case 2:
            return replace(so_far, litres=_put(so_far.litres, about, value))
        case 4:
            return replace(so_far, more=_put(so_far.more, about, value))
    return replace(so_far, helper=_put(so_far.helper, about, value))


def _others(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    return tuple(each for each in names if each != name)


def _put(pairs: tuple[tuple[str, T], ...], name: str, value: T) -> tuple[tuple[str, T], ...]:
    """The pair of this name, in place of the one before."""
    return (*(pair for pair in pairs if pair[0] != name), (name, value))
