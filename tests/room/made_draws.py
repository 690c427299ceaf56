"""Draws and reservoirs made up for looking at how they are shared out, and rooms of them by chance.

Litres are out of the reservoir. Nothing here is a real room.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass

from roomtasks.room.amount import COMPUTED, Amount
from roomtasks.room.water_plan import Draw, Split, Vessel

LOSS = 1.03
NET_LITRES = (20.0, 52.5, 68.4, 91.0, 112.0, 160.0, 215.0, 240.0, 375.0)  # tanks of many rooms
FRACTIONS = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4)


def a_draw(
    n: int, from_reservoir: float, reservoir: str = "", recipe: str = "hard", need: int = 5,
    days_since: int | None = 7, missed: int = 0, sort: str = "change", body: str = "",
    fraction: float | None = 0.3, reason: str = "7 days since it was done",
) -> Draw:  # fmt: skip
    """The n-th draw of a walk: so many litres out of the reservoir."""
    return Draw(
        due_id=f"change@T{n:03d}", name="Change", sort=sort, place=f"T{n:03d}", tank=f"T{n:03d}",
        body=body or f"T{n:03d}", recipe=recipe, reservoir=reservoir,
        litres=Amount(from_reservoir / LOSS, "L", COMPUTED), from_reservoir=from_reservoir,
        fraction=fraction, order=n, need=need, need_reason=reason, days_since=days_since,
        missed=missed,
    )  # fmt: skip


def draws_of(litres: Sequence[float], reservoirs: Sequence[str] = ()) -> tuple[Draw, ...]:
    """Draws of these litres in walking order, each from the reservoir named, if any."""
    names = [*reservoirs, *[""] * len(litres)]
    return tuple(a_draw(n, each, names[n]) for n, each in enumerate(litres))


def a_vessel(
    code: str, most: float, left: float = 0.0, holds: float | None = None, ready: float = 0.0,
    recipes: tuple[str, ...] = (), water: str = "",
) -> Vessel:  # fmt: skip
    """A reservoir of which one fill gives so much; what is to be left stands in it."""
    return Vessel(
        code=code, recipes=recipes, most_litres=most, left_litres=left,
        holds_litres=left if holds is None else holds, ready_litres=ready, holds_recipe=water,
    )  # fmt: skip


def vessels_of_sizes(*most: float) -> tuple[Vessel, ...]:
    """R1, R2, ... of these sizes."""
    return tuple(a_vessel(f"R{n}", size) for n, size in enumerate(most, 1))


@dataclass(frozen=True, slots=True)
class Case:
    """A small room by chance: whole litres of each draw, what each names, sizes of reservoirs."""

    litres: tuple[int, ...]
    names: tuple[str, ...]
    most: tuple[int, ...]

    @property
    def draws(self) -> tuple[Draw, ...]:
        return draws_of([float(each) for each in self.litres], self.names)

    @property
    def vessels(self) -> tuple[Vessel, ...]:
        return vessels_of_sizes(*map(float, self.most))


def a_case(
    seed: int, most_draws: int, most_vessels: int, named: str = "none", oversize: bool = True
) -> Case:
    """The case of this seed. `named`: none, one or all of the reservoirs named by some draws."""
    chance = random.Random(seed)
    many = chance.randint(1, most_vessels)
    sizes = [chance.randint(8, 40) for _ in range(many)]
    if many > 1 and chance.random() < 0.3:
        sizes[1] = sizes[0]
    least, largest = min(sizes), max(sizes)
    top = largest if not oversize else (largest * 5 // 2 if chance.random() < 0.2 else largest)
    if named != "none" and not oversize:
        top = least
    litres = [chance.randint(1, max(1, top)) for _ in range(chance.randint(1, most_draws))]
    codes = [f"R{n}" for n in range(1, many + 1)]
    may = {"none": [""], "one": ["", chance.choice(codes)], "all": ["", *codes]}[named]
    return Case(tuple(litres), tuple(chance.choice(may) for _ in litres), tuple(sizes))


def room_litres(seed: int, tanks: int) -> list[float]:
    """What so many tanks of common sizes take at common fractions, with the loss, by chance."""
    chance = random.Random(seed)
    return [
        round(chance.choice(NET_LITRES) * chance.choice(FRACTIONS) * LOSS, 3) for _ in range(tanks)
    ]


def rounds_of(reservoirs: Sequence[str]) -> int:
    """How often a reservoir is taken again before the others: each of them once a round."""
    rounds, used = 1, set[str]()
    for code in reservoirs:
        if code in used:
            rounds, used = rounds + 1, set()
        used.add(code)
    return rounds


def falling(split: Split) -> list[float]:
    """Litres of each fill, the largest first."""
    return sorted((round(each, 6) for each in split.litres), reverse=True)
