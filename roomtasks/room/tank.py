"""One tank: its size, its water, its filters.

Volume is inside length x width x *running water* height, less sand, rock and
gear (geometry; common practice); a measured volume beats a computed one, and which of the
two is in use goes with the number wherever it is shown. Who lives in it is in
`stock`, which water it shares is in `system`.
"""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from roomtasks.room.column import Sheet, column
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.volume import drain_mark, tank_volume

ROLES = (
    "breeding", "grow-out", "nursery", "quarantine", "hospital", "isolation", "stock", "spare",
)  # fmt: skip
BOTTOMS = ("bare", "sand", "gravel", "soil")
FILTER_KINDS = ("sponge", "box", "canister", "sump", "none", "other")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """A tank and where it stands. Lengths are inside, in cm; volumes in litres."""

    code: str = column("code", "the tank's code, as on its label")
    rack: str = column("code", "the rack it stands in")
    shelf: int = column("int", "the shelf, 1 is the top", low=1, high=99)
    place: int = column("int", "the place on the shelf, 1 is the left", low=1, high=99)
    role: str = column("word", "what the tank is for", words=ROLES)
    length_cm: float = column("number", "inside length", unit="cm", low=5, high=1000)
    width_cm: float = column("number", "inside width", unit="cm", low=5, high=1000)
    height_cm: float = column("number", "inside height of the glass", unit="cm", low=5, high=500)
    water_cm: float = column(
        "number", "running water height above the bottom glass", unit="cm", low=1, high=500
    )
    sand_cm: float = column("number", "depth of sand", unit="cm", low=0, high=100, default=0.0)
    rock_kg: float = column("number", "weight of rock", unit="kg", low=0, high=2000, default=0.0)
    gear_litres: float = column(
        "number", "room taken by gear", unit="L", low=0, high=5000, default=0.0
    )
    measured_litres: float | None = column(
        "number", "net volume as filled by the clock, if known", unit="L", low=0.5, high=50000,
        default=None,
    )  # fmt: skip
    measured_on: date | None = column("day", "the day it was measured", default=None)
    bottom: str = column("word", "the bottom", words=BOTTOMS, default="bare")
    heater: bool = column("yesno", "whether it has a heater of its own", default=False)
    lid: bool = column("yesno", "whether it has a lid", default=True)
    recipe: str = column("text", "the recipe of its water; blank: the room's first", default="")
    largest_change: float | None = column(
        "number", "largest change in one day, as a share; blank: the room's", low=0.01, high=1,
        default=None,
    )  # fmt: skip
    largest_step_celsius: float | None = column(
        "number", "largest step in temperature at a change; blank: the room's", unit="K", low=0.1,
        high=20, default=None,
    )  # fmt: skip
    nitrate_limit_mg_per_l: float | None = column(
        "number", "the most nitrate it should hold, as NO3", unit="mg/L", low=1, high=1000,
        default=None,
    )  # fmt: skip
    feed_g_per_day: float | None = column(
        "number", "dry food it is given", unit="g/day", low=0, high=10000, default=None
    )
    density_limit_g_per_l: float | None = column(
        "number", "most fish in it; blank: the room's for its kind", unit="g/L", low=0.001,
        high=100, default=None,
    )  # fmt: skip
    guarded: bool = column("yesno", "whether small fish cannot get into its outlet", default=True)
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """A filter of a tank's own."""

    code: str = column("code", "the filter's code, as B2-1")
    tank: str = column("code", "the tank it hangs in")
    kind: str = column("word", "its kind", words=FILTER_KINDS, default="sponge")
    since: date | None = column("day", "running since", default=None)
    note: str = column("text", "a note", default="")


TANKS = Sheet("tanks", Tank, ("code",), "Every tank: where it stands and what it holds.")
FILTERS = Sheet("filters", Filter, ("code",), "Filters of a tank's own.")


@dataclass(frozen=True, slots=True)
class Litres:
    """A volume and how it is known: "measured", "computed" or "assumed"."""

    litres: float
    known: str
    source: str


@lru_cache(maxsize=8192)
def litres_of(tank: Tank) -> Litres | Problem:
    """Net litres of a tank at its running level.

    Refused where the water would stand above the glass or what is in the tank
    leaves no water.
    """
    if tank.water_cm > tank.height_cm:
        return Problem(
            f"tank {tank.code}",
            f"its water stands at {tank.water_cm:g} cm, above the glass of {tank.height_cm:g} cm",
            f"give a water_cm of at most {tank.height_cm:g}",
        )
    if tank.measured_litres is not None:
        on = tank.measured_on
        day = f" on {day_words(on)} {on.year}" if on else ""
        return Litres(tank.measured_litres, "measured", f"filled by the clock{day}")
    return litres_by_size(tank)


def litres_by_size(tank: Tank) -> Litres | Problem:
    """Net litres by the tank's sizes alone, whatever was measured.

    length x width x (water - sand (1 - porosity)) / 1000 - rock / density - gear
    (geometry). Refused where what is in the tank leaves no water.
    """
    volume = tank_volume(
        tank.length_cm, tank.width_cm, tank.water_cm, sand_cm=tank.sand_cm, rock_kg=tank.rock_kg,
        gear_litres=tank.gear_litres,
    )  # fmt: skip
    if isinstance(volume, Problem):
        return Problem(f"tank {tank.code}", volume.what, volume.remedy)
    return Litres(
        volume.net_litres, "computed",
        f"{tank.length_cm:g} x {tank.width_cm:g} x {tank.water_cm:g} cm less sand, rock and gear",
    )  # fmt: skip


def drain_mark_cm(tank: Tank, fraction: float) -> float | Problem:
    """How far below the running level to lower the water for this fraction, in cm."""
    litres = litres_of(tank)
    if isinstance(litres, Problem):
        return litres
    return drain_mark(fraction, litres.litres, tank.length_cm, tank.width_cm)
