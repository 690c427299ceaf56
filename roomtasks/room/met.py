"""Who met whom: every tank that water, fish or gear from a tank could have reached.

Goes through the history of valves, moves and shared gear in order of time, from
a tank and a day on. A system whose water an exposed tank shared stays exposed,
so that a tank opened to it later is reached too; a tank that was stripped is
clean until it is reached again. Backward it answers where something could have
come from. Does not live here: what follows from it (`work`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from heapq import merge

from roomtasks.room.system import ValveTurn
from roomtasks.room.transfer import Contact, Transfer

OUT = ("sold", "given")


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What could carry anything from water to water. `stripped` are tanks made clean, and when."""

    turns: Sequence[ValveTurn]
    transfers: Sequence[Transfer] = ()
    contacts: Sequence[Contact] = ()
    stripped: Sequence[tuple[str, datetime]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """One tank that was reached: since when, until when it shared or the span ended, and how.

    `path` tells each step from the start to here, in a keeper's words.
    """

    tank: str
    since: datetime
    until: datetime
    by: str  # start, system, move or gear
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """Fish that left the room out of a reached tank."""

    transfer: Transfer
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """Every tank reached in a span, in order of time, and the fish that left the room."""

    tanks: tuple[Met, ...]
    left: tuple[Left, ...] = ()

    def tank(self, code: str) -> Met | None:
        """The first time a tank was reached."""
        return next((met for met in self.tanks if met.tank == code), None)


@dataclass(frozen=True, slots=True)
class _Happening:
    """Something at an instant; `order` keeps what came first in the book first."""

    at: datetime
    order: int
    sort: str  # turn, move, gear or strip
    what: ValveTurn | Transfer | Contact | str


@dataclass(slots=True)
class _Walk:
    """The state as time goes on (or back): open valves, who is reached, and what was found."""

    forward: bool
    end: datetime
    open_to: dict[str, str] = field(default_factory=dict)
    reached: dict[str, tuple[str, ...]] = field(default_factory=dict)
    systems: dict[str, tuple[str, ...]] = field(default_factory=dict)
    running: dict[str, tuple[datetime, str, tuple[str, ...]]] = field(default_factory=dict)
    found: list[Met] = field(default_factory=list)
    left: list[Left] = field(default_factory=list)

    def reach(self, tank: str, at: datetime, by: str, path: tuple[str, ...]) -> None:
        if tank in self.reached:
            return
        self.reached[tank] = path
        self.running[tank] = (at, by, path)

    def close(self, tank: str, at: datetime) -> None:
        """End the span of a tank that was reached."""
        if tank not in self.running:
            return
        since, by, path = self.running.pop(tank)
        first, last = (since, at) if self.forward else (at, since)
        self.found.append(Met(tank=tank, since=first, until=last, by=by, path=path))

    def spread(self, at: datetime) -> None:
        """Let what is reached spread through the water that is shared at this instant."""
        for tank, system in sorted(self.open_to.items()):
            if tank in self.reached and system not in self.systems:
                self.systems[system] = self.reached[tank]
        for tank, system in sorted(self.open_to.items()):
            if system in self.systems and tank not in self.reached:
                words = f"{tank} by the water of {system}, {day_of(at)}"
                self.reach(tank, at, "system", (*self.systems[system], words))


def reached_from(history: History, tank: str, first: datetime, last: datetime) -> Reached:
    """Every tank that water, fish or gear from `tank` could have reached in [first, last]."""
    return _reached(history, tank, first, last, forward=True)


def could_have_come_from(
    history: History, tank: str, first: datetime, last: datetime
) -> Reached:  # fmt: skip
    """Every tank from which water, fish or gear could have reached `tank` in [first, last]."""
    return _reached(history, tank, first, last, forward=False)


def _reached(
    history: History, tank: str, first: datetime, last: datetime, *, forward: bool
) -> Reached:
    if last < first:
        raise ValueError("the span ends before it begins")
    walk = _Walk(forward=forward, end=last if forward else first)
    begin = first if forward else last
    happenings = _in_order(history)
    walk.open_to = _open_at(happenings, begin)
    walk.reach(tank, begin, "start", (f"{tank} {day_of(begin)}",))
    walk.spread(begin)
    inside = [each for each in happenings if first < each.at <= last]
    for each in inside if forward else reversed(inside):
        _take(walk, each, happenings)
        walk.spread(each.at)
    for code in sorted(walk.running):
        walk.close(code, walk.end)
    order = sorted(walk.found, key=lambda met: (met.since, met.tank))
    if not forward:
        order.sort(key=lambda met: (-met.until.timestamp(), met.tank))
    return Reached(tanks=tuple(order), left=tuple(walk.left))


def _in_order(history: History) -> list[_Happening]:
    """All that happened, by instant; of one instant, turns, then moves, gear, stripping."""
    turns = [_Happening(t.at, 0, "turn", t) for t in history.turns]
    moves = [_Happening(t.at, 1, "move", t) for t in history.transfers]
    gear = [_Happening(c.at, 2, "gear", c) for c in history.contacts]
    strips = [_Happening(at, 3, "strip", tank) for tank, at in history.stripped]
    key = _when
    return list(merge(*(sorted(part, key=key) for part in (turns, moves, gear, strips)), key=key))


def _when(each: _Happening) -> tuple[float, int]:
    return each.at.timestamp(), each.order


def _open_at(happenings: Iterable[_Happening], at: datetime) -> dict[str, str]:
    """Which system each tank is open to at an instant, its own turns taken."""
    found: dict[str, str] = {}
    for each in happenings:
        if each.at > at:
            break
        if isinstance(each.what, ValveTurn):
            _turn(found, each.what)
    return found


def _turn(open_to: dict[str, str], turn: ValveTurn) -> None:
    if turn.state == "open":
        open_to[turn.tank] = turn.system
    else:
        open_to.pop(turn.tank, None)


def _take(walk: _Walk, each: _Happening, happenings: Sequence[_Happening]) -> None:
    match each.what:
        case ValveTurn() as turn:
            if walk.forward:
                _turn(walk.open_to, turn)
            else:
                walk.open_to = _open_before(happenings, each)
        case Transfer() as moved:
            _moved(walk, moved)
        case Contact() as contact:
            source, other = contact.from_tank, contact.to_tank
            if not walk.forward:
                source, other = other, source
            if source in walk.reached:
                words = f"{other} by {contact.by} of {day_of(contact.at)} ({source})"
                walk.reach(other, contact.at, "gear", (*walk.reached[source], words))
        case str() as tank:
            walk.close(tank, each.at)
            walk.reached.pop(tank, None)


def _open_before(happenings: Sequence[_Happening], turn: _Happening) -> dict[str, str]:
    found: dict[str, str] = {}
    for each in happenings:
        if each is turn:
            break
        if isinstance(each.what, ValveTurn):
            _turn(found, each.what)
    return found


def _moved(walk: _Walk, moved: Transfer) -> None:
    source, other = moved.from_tank, moved.to_tank
    if not walk.forward:
        source, other = other, source
    if source not in walk.reached:
        return
    words = f"move of {day_of(moved.at)} ({moved.count} {moved.group})"
    if other:
        path = (*walk.reached[source], f"{other} by {words}")
        walk.reach(other, moved.at, "move", path)
    elif walk.forward and moved.how in OUT:
        path = (*walk.reached[source], f"{moved.how} on {day_of(moved.at)}")
        walk.left.append(Left(transfer=moved, path=path))


def day_of(at: datetime) -> str:
    """An instant's day as a keeper says it."""
    return f"{at.day} {at:%b}"


def days_shared(met: Met) -> str:
    """When a tank was reached and until when, as "4 to 9 May"."""
    since, until = met.since, met.until
    if since.date() == until.date():
        return f"{since.day} {since:%b}"
    if (since.month, since.year) == (until.month, until.year):
        return f"{since.day} to {until.day} {until:%b}"
    return f"{since.day} {since:%b} to {until.day} {until:%b}"


def lots_in(reached: Reached, homes: Mapping[str, str]) -> tuple[str, ...]:
    """The groups that live in a reached tank now; `homes` is the tank of each group."""
    places = {met.tank for met in reached.tanks}
    return tuple(sorted(group for group, tank in homes.items() if tank in places))
