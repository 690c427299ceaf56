"""What the acts on fish kept apart ask, and how their answers are read. Pure."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypeVar

from roomtasks.room.column import Column, from_text
from roomtasks.room.day import parse_day
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.seed import keeps_ripe, left_words, needs_seed
from roomtasks.room.stock import Group
from roomtasks.tui.side_acts import Act, Ask, Do, HasWords
from roomtasks.work.apart_view import ApartView

T = TypeVar("T")
USUAL_DAYS = "30"
NOT_SAID = "not said"
SIGNS_SEEN = (
    "white spots", "fungus", "fast or gaping breath", "clamped fins, pale", "not eating, thin",
    "swollen", "wounds, torn fins", "rubbing itself", "another sign",
)  # fmt: skip
DIED_OF = ("jumped", "a fight", "bound with eggs", "handling", "old age")
_COUNT = re.compile(r"(about +|~ *)?([0-9]{1,7})", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAct(Act):
    """An act that shows a page; `then` is what can be done with what the page shows."""

    title: str
    then: Callable[[tuple[str, ...]], Act] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HereAct(Act):
    """An act on what is looked at: a destination for a lot, or its release list in full."""

    here: str
    lot: str


def nothing(answers: tuple[str, ...], anyway: bool) -> Problem:
    """What an act that writes nothing comes to."""
    return Problem("", "nothing was entered", "")


def run(act: Callable[..., HasWords | Problem], *args: object, **more: object) -> Do:
    """An act of `work` with its arguments."""
    return lambda store, now, who: act(store, now, who, *args, **more)


def whole(text: str, what: str = "count") -> int | Problem:
    """A whole number that was typed."""
    found = _COUNT.fullmatch(text.strip().casefold())
    if found is None:
        return Problem(what, f"“{text[:20]}” is no whole number", "type digits, as 8")
    return int(found[2])


def counted(text: str) -> tuple[int, str] | Problem:
    """A count and how it is known, from 8 or about 30."""
    number = whole(text)
    if isinstance(number, Problem):
        return Problem("count", f"“{text[:20]}” is no count", "type it as 8, or about 30")
    about = text.strip()[:1] in "~aA"
    return number, "about" if about else "exact"


def day_of(text: str, today: date) -> date | Problem:
    """A day that was typed: today, so many days ago as -3, or 2027-03-06."""
    if text.casefold() == "today":
        return today
    if re.fullmatch(r"-[0-9]{1,3}", text):
        return today - timedelta(days=int(text[1:]))
    return parse_day(text)


def span_of(text: str, today: date) -> tuple[date, date] | Problem:
    """So many days to today, as 30, or a first and a last day."""
    words = text.replace(" to ", " ").split()
    if len(words) == 1 and words[0].isascii() and words[0].isdigit() and len(words[0]) <= 4:
        return today - timedelta(days=int(words[0])), today
    days = [day_of(word, today) for word in words[:2]]
    wrong = next((day for day in days if isinstance(day, Problem)), None)
    if wrong is not None:
        return wrong
    good = [day for day in days if isinstance(day, date)]
    if not good or len(words) > 2:
        return Problem("span", f"“{text[:30]}” is no span of days",
                       "type 30, or 2027-03-01 2027-03-14")  # fmt: skip
    return good[0], good[1] if len(good) == 2 else today


def code_of(text: str) -> str | Problem:
    """A code that was typed."""
    found = from_text(Column("code", "a code"), text)
    return found if isinstance(found, Problem) else str(found)


def made_code(room: Room, line: str) -> str:
    """A code for a new group out of its line, one that is not in use."""
    base = re.sub(r"[^a-z0-9]+", "-", line.casefold()).strip("-")[:20] or "lot"
    used = {group.code for group in room.groups}
    if base not in used:
        return base
    return next(f"{base}-{n}" for n in range(2, len(used) + 3) if f"{base}-{n}" not in used)


# ---- what is asked -------------------------------------------------------------------------------


class Choices:
    """Choices of one look, each made once."""

    def __init__(self, seen: ApartView) -> None:
        self.seen = seen
        room, today = seen.room, seen.today
        order = sorted(room.tanks, key=lambda tank: room.path_of(tank.code))
        self.codes = tuple(tank.code for tank in order)
        self._words = {
            code: f"{code}  {room.health_of(code, today).word}, {room.heads_in(code) or 'no'} fish"
            for code in self.codes
        }

    def tank(self, text: str, but: Iterable[str] = (), first: Iterable[str] = ()) -> Ask:
        """Which tank, on a page; `first` are those most likely meant."""
        ahead, left = tuple(first), set(but)
        codes = [*ahead, *(code for code in self.codes if code not in ahead)]
        codes = [code for code in codes if code not in left]
        return Ask(text=text, choices=tuple(self._words[code] for code in codes),
                   values=tuple(codes), page=True)  # fmt: skip

    def taker(self) -> Ask:
        """Where an arrival goes: tanks that could take it, each with what stands against it."""
        takers = {taker.tank: taker.refused for taker in self.seen.takers}
        words = []
        codes = [*takers, *(code for code in self.codes if code not in takers)]
        for code in codes:
            no = takers.get(code)
            told = f"NOT: {no.what}" if no is not None else "ready"
            words.append(f"{code}  {told}" if code in takers else self._words[code])
        return Ask(text="Which tank are they put apart in", choices=tuple(words),
                   values=tuple(codes), page=True)  # fmt: skip

    def seeded(self) -> Ask:
        """Which tank a sponge starts: those that stand alone without a ripe filter first."""
        room, today = self.seen.room, self.seen.today
        first = [
            code for code in self.codes
            if needs_seed(room, code, today) and not room.valve.open_to(code, self.seen.now)
        ]  # fmt: skip
        return self.tank("Which tank does the sponge start", first=first)

    def seed(self, to: str = "") -> Ask:
        """Which filter is hung in: those whose tank keeps a ripe one first, then why not."""
        room, today = self.seen.room, self.seen.today
        ones = [seed for seed in self.seen.seeds if seed.item.tank != to]
        ones.sort(key=lambda seed: (seed.refused is not None,
                                    not keeps_ripe(room, seed.item, today)))  # fmt: skip
        words = []
        for seed in ones:
            item, no = seed.item, seed.refused
            left = left_words(room, item.tank, item.code, today)
            told = f"NOT: {no.what}" if no is not None else f"ripe; {left}"
            words.append(f"{item.code}  {told}")
        return Ask(text="Which filter is the seed", choices=tuple(words),
                   values=tuple(seed.item.code for seed in ones), page=True)  # fmt: skip

    def groups(self, tank: str) -> tuple[Group, ...]:
        return tuple(self.seen.room.groups_in(tank))

    def group(self, tank: str) -> tuple[Ask, ...]:
        """Which group, asked only where there are several."""
        groups = self.groups(tank)
        if len(groups) < 2:
            return ()
        return (Ask(text="Which:", choices=tuple(f"{g.count} {g.line} ({g.code})" for g in groups),
                    values=tuple(g.code for g in groups)),)  # fmt: skip

    def named(self, tank: str, answers: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
        """The group answered, or the only one, and the answers after it."""
        groups = self.groups(tank)
        if len(groups) < 2:
            return (groups[0].code if groups else ""), answers
        return answers[0], answers[1:]
