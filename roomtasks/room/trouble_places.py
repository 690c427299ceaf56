"""Where fish can go in a trouble: free litres by health class, and places for each group.

The rules of a place are `destination`'s; here they are asked for every group of
a tank that must be emptied now.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.arrival import RIPE_DAYS
from roomtasks.room.density import lodger_of
from roomtasks.room.destination import (
    APART_ROLES,
    FILTERED,
    Judging,
    Mover,
    destinations,
)
from roomtasks.room.health import Health
from roomtasks.room.stock import Group
from roomtasks.room.trouble_holds import leaks_now
from roomtasks.room.trouble_steps import Look


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeRoom:
    """Tanks of one health class that hold no fish and no leak, and their litres."""

    health: Health
    tanks: tuple[str, ...]
    litres: float

    @property
    def words(self) -> str:
        return f"{self.health.word}: {self.litres:.0f} L free in {', '.join(self.tanks)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Where one group can go: tanks that hold all of it, best first, else shares of it."""

    group: str
    count: int
    line: str
    tanks: tuple[str, ...]
    split: tuple[tuple[str, int], ...]

    @property
    def words(self) -> str:
        head = f"{self.count} {self.line} ({self.group})"
        if self.tanks:
            return f"{head} to {' or '.join(self.tanks)}"
        if self.split:
            return f"{head} shared: " + ", ".join(f"{n} to {tank}" for tank, n in self.split)
        return (
            f"{head}: no tank would do by the rules; tub, lid and air ('roomtasks places' says why)"
        )


def free_rooms(look: Look) -> tuple[FreeRoom, ...]:
    """Now-free litres by health class, the cleanest first."""
    found: dict[Health, list[str]] = {}
    for tank in look.room.tanks:
        if look.room.lived_in(tank.code) or leaks_now(look.room, tank.code, look.now):
            continue
        found.setdefault(look.room.health_of(tank.code, look.today), []).append(tank.code)
    return tuple(
        FreeRoom(health=health, tanks=tuple(tanks),
                 litres=sum(look.room.tank_litres(tank) for tank in tanks))
        for health, tanks in sorted(found.items())
    )  # fmt: skip


def ways_out(look: Look, tank: str, most: int = 3) -> tuple[WayOut, ...]:
    """Where each group of a tank can go now."""
    judging = Judging(
        room=look.room, at=look.now, celsius=look.told.celsius, to_strip=look.told.to_strip,
        lengths=look.told.lengths,
    )  # fmt: skip
    return tuple(_way_out(judging, group, most) for group in look.room.groups_in(tank))


def _way_out(judging: Judging, group: Group, most: int) -> WayOut:
    now = lodger_of(judging.room, group.code, judging.lengths)
    found = destinations(judging, Mover(now=now, leaving_cm=now.length_cm, from_tank=group.tank))
    return WayOut(
        group=group.code, count=group.count, line=group.line,
        tanks=tuple(place.tank for place in found.whole[:most]), split=found.split,
    )  # fmt: skip


def apart_ready(look: Look) -> tuple[str, ...]:
    """Empty tanks kept for fish apart, each with what it lacks."""
    return tuple(
        f"{tank.code} ({_lacks(look, tank.code)})"
        for tank in look.room.tanks
        if tank.role in APART_ROLES and not look.room.heads_in(tank.code)
    )


def _lacks(look: Look, code: str) -> str:
    tank = look.room.tank[code]
    ripe = any(
        item.since is not None and (look.today - item.since).days >= RIPE_DAYS
        for item in look.room.filters
        if item.tank == code and item.kind in FILTERED
    )
    wanting: Sequence[str] = [
        name for name, has in (("ripe filter", ripe), ("lid", tank.lid), ("heater", tank.heater))
        if not has
    ]  # fmt: skip
    return "no " + ", no ".join(wanting) if wanting else "ready"
