"""Sump systems: valves, pumps, and which tanks share water on a given day.

Sharing is never a flag: it is worked out from the valve turns, which are kept
as history, so that any past day can be asked. A tank belongs to a system from
its first valve turn there. Volumes in litres.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.column import Sheet, column


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """Tanks on one sump. Sump litres are those at the running level."""

    code: str = column("code", "the system's code, as S")
    name: str = column("text", "what the keeper calls it", default="")
    sump_litres: float = column(
        "number", "water in the sump at the running level", unit="L", low=0, high=100000
    )
    pipes_litres: float = column(
        "number", "water in pipes", unit="L", low=0, high=10000, default=0.0
    )
    sump_known: str = column(
        "word",
        "how the sump's litres are known",
        words=("measured", "computed", "assumed"),
        default="computed",
    )
    sump_length_cm: float | None = column(
        "number", "inside length of the sump", unit="cm", low=5, high=2000, default=None
    )
    sump_width_cm: float | None = column(
        "number", "inside width of the sump", unit="cm", low=5, high=2000, default=None
    )
    sump_height_cm: float | None = column(
        "number", "inside height of the sump's glass", unit="cm", low=5, high=500, default=None
    )
    sump_running_cm: float | None = column(
        "number", "the sump's running mark above its bottom", unit="cm", low=1, high=500,
        default=None,
    )  # fmt: skip
    head_cm: float = column(
        "number", "water that stands above the tanks' outlets while the pump runs", unit="cm",
        low=0, high=50, default=0.0,
    )  # fmt: skip
    recipe: str = column("text", "the recipe of its water; blank: the room's first", default="")
    nitrate_limit_mg_per_l: float | None = column(
        "number", "the most nitrate it should hold, as NO3", unit="mg/L", low=1, high=1000,
        default=None,
    )  # fmt: skip
    top_off_litres_per_week: float | None = column(
        "number", "usual top-off until the program has learnt it", unit="L", low=0, high=100000,
        default=None,
    )  # fmt: skip
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveTurn:
    """A tank's valve on a system was opened or shut."""

    tank: str = column("code", "the tank")
    at: datetime = column("instant", "when the valve was turned")
    system: str = column("code", "the system it opens to")
    state: str = column("word", "open or shut", words=("open", "shut"))


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpTurn:
    """A system's return pump was started or stopped."""

    system: str = column("code", "the system")
    at: datetime = column("instant", "when the pump was turned")
    state: str = column("word", "running or off", words=("running", "off"))


SYSTEMS = Sheet("systems", System, ("code",), "Sump systems.")
VALVES = Sheet("valves", ValveTurn, ("tank", "at"), "Every turn of a tank's valve.", history=True)
PUMPS = Sheet("pumps", PumpTurn, ("system", "at"), "Every start and stop of a return pump.",
              history=True)  # fmt: skip


@dataclass(frozen=True)
class Valves:
    """Valve history of a room, answering for any instant or span."""

    turns: dict[str, tuple[ValveTurn, ...]]

    @classmethod
    def of(cls, turns: Iterable[ValveTurn]) -> "Valves":
        by_tank: dict[str, list[ValveTurn]] = {}
        for turn in turns:
            by_tank.setdefault(turn.tank, []).append(turn)
        return cls({t: tuple(sorted(v, key=lambda x: x.at)) for t, v in by_tank.items()})

    def last(self, tank: str, at: datetime) -> ValveTurn | None:
        """The turn in force at an instant, None before the first."""
        turns = self.turns.get(tank, ())
        index = bisect_right(turns, at, key=lambda turn: turn.at)
        return turns[index - 1] if index else None

    def open_to(self, tank: str, at: datetime) -> str | None:
        """The system whose water the tank shares at an instant, None if none."""
        turn = self.last(tank, at)
        return turn.system if turn is not None and turn.state == "open" else None

    def shut_from(self, tank: str, at: datetime) -> str | None:
        """The system the tank is cut off from at an instant, None if it is not."""
        turn = self.last(tank, at)
        return turn.system if turn is not None and turn.state == "shut" else None

    def since(self, tank: str, at: datetime) -> datetime | None:
        """Since when the valve has stood as it does at this instant."""
        since: ValveTurn | None = None
        for turn in self.turns.get(tank, ()):
            if turn.at > at:
                break
            if since is None or (turn.state, turn.system) != (since.state, since.system):
                since = turn
        return since.at if since is not None else None

    def members(self, system: str, at: datetime) -> frozenset[str]:
        """Tanks whose water is one with the system's at an instant."""
        return frozenset(t for t in self.turns if self.open_to(t, at) == system)

    def cut_off(self, system: str, at: datetime) -> frozenset[str]:
        """Tanks of the system whose valve is shut at an instant."""
        return frozenset(t for t in self.turns if self.shut_from(t, at) == system)

    def systems_between(self, tank: str, first: datetime, end: datetime) -> frozenset[str]:
        """Every system the tank was open to at some moment of [first, end)."""
        found = {self.open_to(tank, first)}
        found |= {
            turn.system
            for turn in self.turns.get(tank, ())
            if turn.state == "open" and first <= turn.at < end
        }
        return frozenset(code for code in found if code is not None)

    def shared_between(self, tank: str, first: datetime, end: datetime) -> frozenset[str]:
        """Tanks that were open to a system together with this one in [first, end).

        The moments need not be the same: water that stood in the sump links
        a tank shut at noon with one opened at two.
        """
        systems = self.systems_between(tank, first, end)
        return frozenset(
            other
            for other in self.turns
            if other != tank and systems & self.systems_between(other, first, end)
        )
