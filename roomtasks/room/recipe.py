"""Kinds of water: what comes in, what it shall be, and the label rates typed by the keeper.

A source is water as it comes (tap, RO unit, rain butt); a recipe is water as
tanks want it. Rates are what a label says, typed in: the program never makes
one up. What follows from them for a fill is in `dosing` and `ready`.
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.column import Sheet, column

SOURCE_KINDS = ("tap", "ro", "rain", "other")
RATE_UNITS = ("ml", "g", "drops")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Water as it comes. Hardness is in degrees dGH, nitrate in mg/L as NO3."""

    code: str = column("code", "the source's code, as tap")
    kind: str = column("word", "what it is", words=SOURCE_KINDS, default="tap")
    celsius: float | None = column(
        "number", "its temperature", unit="C", low=0, high=40, default=None
    )
    hardness_dgh: float | None = column(
        "number", "its general hardness", unit="dGH", low=0, high=100, default=None
    )
    nitrate_mg_per_l: float | None = column(
        "number", "its nitrate, as NO3", unit="mg/L", low=0, high=500, default=None
    )
    ph: float | None = column("number", "its pH", low=3, high=11, default=None)
    litres_per_hour: float | None = column(
        "number", "what an RO unit makes at 25 C", unit="L/h", low=0.01, high=10000, default=None
    )
    waste_ratio: float = column(
        "number", "litres to the drain for each litre an RO unit makes", low=0, high=20, default=3.0
    )
    measured_on: date | None = column("day", "the day these were measured", default=None)
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """Water as tanks want it. What is blank is not looked at."""

    code: str = column("code", "the recipe's code, as hard")
    name: str = column("text", "what the keeper calls it", default="")
    source: str = column(
        "text", "the source it is made from; blank: the room's first that is no RO", default=""
    )
    ro: str = column("text", "the RO source it is blended with, blank for none", default="")
    celsius: float | None = column(
        "number", "the temperature it is wanted at", unit="C", low=4, high=40, default=None
    )
    hardness_dgh: float | None = column(
        "number", "the hardness it is wanted at", unit="dGH", low=0, high=100, default=None
    )
    salt_g_per_l: float = column("number", "salt in it", unit="g/L", low=0, high=50, default=0.0)
    ph: float | None = column(
        "number", "the pH it comes to, measured", low=3, high=11, default=None
    )
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What a label says goes into a recipe's water, for so many litres."""

    recipe: str = column("code", "the recipe it goes into")
    product: str = column("text", "what the label calls it")
    amount: float = column("number", "how much", low=0, high=100000)
    unit: str = column("word", "of what", words=RATE_UNITS, default="ml")
    per_litres: float = column(
        "number", "for how many litres", unit="L", low=0.01, high=100000, default=100.0
    )
    when: str = column(
        "word", "during the fill, or after mixing", words=("fill", "mixed"), default="fill"
    )
    caution: str = column("text", "what the label warns of", default="")


SOURCES = Sheet("sources", Source, ("code",), "Water as it comes: tap, RO unit, rain butt.")
RECIPES = Sheet("recipes", Recipe, ("code",), "Kinds of water that tanks want.")
RATES = Sheet("rates", Rate, ("recipe", "product"), "Label rates of recipes, typed by the keeper.")
