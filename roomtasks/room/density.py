"""How many fish of a size a tank holds: by weight, by litres for each fish, by floor for pairs.

The limits are the keeper's (a tank's own, else the room's for its kind); the
formulas are those of `growth`. Fish whose length nobody knows weigh nothing
here, and are named so that whoever shows the number can say it.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from roomtasks.room.amount import ASSUMED, COMPUTED, SET, Amount, Input
from roomtasks.room.growth import density_g_per_l, heads_that_fit, length_for_weight, weight
from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.tank import litres_of

GROWN = 0.9
ENDLESS = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Lodger:
    """So many fish of a line at a length, in or for a tank."""

    group: str
    line: LineFacts
    count: int
    length_cm: float | None

    @property
    def grams(self) -> float:
        """What they weigh together; 0 where their length is not known."""
        if self.length_cm is None:
            return 0.0
        each = weight(self.line.weight_a, self.line.weight_b, self.length_cm)
        return 0.0 if isinstance(each, Problem) else each * self.count

    @property
    def litres(self) -> float:
        """Litres they ask for by length; 0 where the line gives none."""
        if self.length_cm is None or self.line.litres_per_cm is None:
            return 0.0
        return self.line.litres_per_cm * self.length_cm * self.count

    @property
    def grown(self) -> bool:
        """Whether they hold territories: near the length of a grown fish."""
        adult = self.line.adult_cm
        return adult is not None and self.length_cm is not None and self.length_cm >= GROWN * adult

    @property
    def floor_cm2(self) -> float:
        """Bottom they ask for, as pairs, once they are grown."""
        if not self.grown or self.line.floor_cm2_per_pair is None:
            return 0.0
        return self.line.floor_cm2_per_pair * self.count / 2


def line_of(room: Room, name: str) -> LineFacts:
    """What is known of a line; common practice where it has no row."""
    return next((line for line in room.lines if line.name == name), LineFacts(name=name))


def lodgers_in(
    room: Room, tank: str, lengths: Mapping[str, float], without: Iterable[str] = ()
) -> tuple[Lodger, ...]:
    """The groups in a tank with their lengths: as given by group, else grown fish of their line."""
    left_out = set(without)
    return tuple(
        lodger_of(room, group.code, lengths)
        for group in room.groups_in(tank)
        if group.code not in left_out
    )


def lodger_of(room: Room, code: str, lengths: Mapping[str, float]) -> Lodger:
    """One group as a lodger. Raises StopIteration for a group the room does not have."""
    group = next(group for group in room.groups if group.code == code)
    line = line_of(room, group.line)
    adult = line.adult_cm if group.stage == "adult" else None
    return Lodger(group=code, line=line, count=group.count, length_cm=lengths.get(code, adult))


def limit_of(room: Room, tank: str, at: datetime) -> Amount:
    """The most grams to the litre in a tank: its own limit, else the room's for its kind."""
    facts, setup = room.tank[tank], room.setup
    if facts.density_limit_g_per_l is not None:
        return Amount(facts.density_limit_g_per_l, "g/L", SET, source=f"the limit of {tank}")
    if facts.role == "nursery":
        return Amount(setup.nursery_g_per_l, "g/L", SET, source="the room's limit for nurseries")
    if room.valve.open_to(tank, at) is not None:
        return Amount(setup.system_g_per_l, "g/L", SET, source="the room's limit on a system")
    return Amount(setup.alone_g_per_l, "g/L", SET, source="the room's limit standing alone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """How full a tank is: grams to the litre, the share of its limit, whose length is unknown."""

    density: Amount
    limit: Amount
    unknown: tuple[str, ...]

    @property
    def share(self) -> float:
        return self.density.value / self.limit.value


def load_of(
    room: Room, tank: str, lodgers: Iterable[Lodger], at: datetime
) -> Load | Problem:  # fmt: skip
    """The load of a tank with these fish in it."""
    known = tuple(lodgers)
    litres = litres_of(room.tank[tank])
    if isinstance(litres, Problem):
        return litres
    grams = math.fsum(lodger.grams for lodger in known)
    density = density_g_per_l(1, grams, litres.litres)
    if isinstance(density, Problem):
        return density
    unknown = tuple(lodger.group for lodger in known if lodger.length_cm is None)
    inputs = tuple(
        Input(lodger.group, lodger.grams, "g", ASSUMED if lodger.length_cm is None else COMPUTED,
              f"{lodger.count} of {lodger.length_cm or 0:.2g} cm")
        for lodger in known
    )  # fmt: skip
    amount = Amount(
        density, "g/L", ASSUMED if unknown else COMPUTED, "sum of count x a L^b / litres",
        (*inputs, Input("litres", litres.litres, "L", litres.known, litres.source)),
        "length-weight W = a L^b",
    )  # fmt: skip
    return Load(density=amount, limit=limit_of(room, tank, at), unknown=unknown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How many fish of a size a tank holds beside its others, and which limit decides."""

    heads: int
    by: str
    g_each: float


def fit_in(
    room: Room, tank: str, line: LineFacts, length_cm: float, others: Iterable[Lodger],
    at: datetime,
) -> Fit | Problem:  # fmt: skip
    """The most fish of a length that stay within every limit of a tank."""
    beside = tuple(others)
    litres, each = litres_of(room.tank[tank]), weight(line.weight_a, line.weight_b, length_cm)
    if isinstance(litres, Problem):
        return litres
    if isinstance(each, Problem):
        return each
    limit = limit_of(room, tank, at).value
    left = limit - math.fsum(lodger.grams for lodger in beside) / litres.litres
    heads = heads_that_fit(max(0.0, left), litres.litres, each)
    if isinstance(heads, Problem):
        return heads
    found = [(heads, f"{limit:g} g/L")]
    if line.litres_per_cm is not None:
        free = litres.litres - math.fsum(lodger.litres for lodger in beside)
        found.append((_whole(free, line.litres_per_cm * length_cm),
                      f"{line.litres_per_cm:g} L for each cm"))  # fmt: skip
    one = Lodger(group="", line=line, count=1, length_cm=length_cm)
    if one.floor_cm2:
        facts = room.tank[tank]
        floor = facts.length_cm * facts.width_cm - math.fsum(x.floor_cm2 for x in beside)
        found.append((2 * _whole(floor, 2 * one.floor_cm2),
                      f"{2 * one.floor_cm2:g} cm2 of bottom a pair"))  # fmt: skip
    heads, by = min(found)
    return Fit(heads=heads, by=by, g_each=each)


def _whole(have: float, each: float) -> int:
    return max(0, min(ENDLESS, math.floor(have / each * (1 + 1e-12))))


def length_at_limit(
    room: Room, tank: str, line: LineFacts, count: int, others: Iterable[Lodger], at: datetime
) -> tuple[float, str] | Problem:
    """The length at which so many fish meet the limit of a tank, and which limit it is.

    0 cm where the others fill it already. Refuses a count of 0.
    """
    if count < 1:
        return Problem("count", f"{count} fish meet no limit", "give 1 or more")
    beside = tuple(others)
    litres = litres_of(room.tank[tank])
    if isinstance(litres, Problem):
        return litres
    limit = limit_of(room, tank, at).value
    grams = limit * litres.litres - math.fsum(lodger.grams for lodger in beside)
    by_weight = length_for_weight(line.weight_a, line.weight_b, max(0.0, grams) / count)
    if isinstance(by_weight, Problem):
        return by_weight
    found = [(by_weight, f"{limit:g} g/L")]
    if line.litres_per_cm is not None:
        free = litres.litres - math.fsum(lodger.litres for lodger in beside)
        found.append((max(0.0, free) / (line.litres_per_cm * count),
                      f"{line.litres_per_cm:g} L for each cm"))  # fmt: skip
    return min(found)
