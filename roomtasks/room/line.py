"""What is known of a line of fish: its water, its growth, its shape, who must not meet it.

Facts as the keeper wrote them; a line without a row has the defaults, which
are common practice (no published source). Lengths in cm as the keeper
measures, always total or always standard.
"""

from dataclasses import dataclass

from roomtasks.room.column import Sheet, column

NOTHING = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFacts:
    """A line. Weight is a L^b (g, cm); the curve is von Bertalanffy's, days from the spawn."""

    name: str = column("text", "the line, as the groups name it")
    celsius_from: float | None = column(
        "number", "the coolest water it is kept in", unit="C", low=0, high=45, default=None
    )
    celsius_to: float | None = column(
        "number", "the warmest water it is kept in", unit="C", low=0, high=45, default=None
    )
    recipe: str = column("text", "the recipe it needs; blank: any", default="")
    adult_cm: float | None = column(
        "number", "length of a grown fish", unit="cm", low=0.5, high=300, default=None
    )
    weight_a: float = column(
        "number", "a of the weight a L^b, g and cm", low=0.00001, high=10, default=0.01
    )
    weight_b: float = column("number", "b of the weight a L^b", low=1, high=5, default=3.0)
    linf_cm: float | None = column(
        "number", "length the growth curve levels off at", unit="cm", low=0.5, high=500,
        default=None,
    )  # fmt: skip
    k_per_day: float | None = column(
        "number", "K of the growth curve, by the day", low=0.00001, high=1, default=None
    )
    t0_days: float | None = column(
        "number", "age at which the growth curve begins", unit="d", low=-400, high=400,
        default=None,
    )  # fmt: skip
    move_cm: float = column(
        "number", "length at which young leave the first tank", unit="cm", low=0.2, high=100,
        default=2.5,
    )  # fmt: skip
    sale_cm: float = column(
        "number", "length at which they can be sold", unit="cm", low=0.2, high=200, default=3.5
    )
    litres_per_cm: float | None = column(
        "number", "litres for each cm of each fish, besides the weight", unit="L", low=0.01,
        high=1000, default=None,
    )  # fmt: skip
    floor_cm2_per_pair: float | None = column(
        "number", "bottom for a pair that holds a territory", unit="cm2", low=1, high=1000000,
        default=None,
    )  # fmt: skip
    looks_like: str = column("text", "lines it is mixed up with, with ; between", default="")
    eats: str = column(
        "text", "lines it eats, with ; between, besides all a third of its length; none: nothing",
        default="",
    )  # fmt: skip
    jumps: bool = column("yesno", "whether its tank needs a lid", default=True)
    guard_below_cm: float = column(
        "number", "below this length the outlet must be guarded", unit="cm", low=0, high=100,
        default=1.5,
    )  # fmt: skip
    spawns_again_days: int | None = column(
        "int", "days from one spawn of a pair to the next", unit="d", low=1, high=400, default=None
    )
    brine_hours: float = column(
        "number", "hours from starting brine shrimp to the first feed", unit="h", low=1, high=96,
        default=30.0,
    )  # fmt: skip
    culture_days: int = column(
        "int", "days before free swimming on which the small culture is started", unit="d",
        low=0, high=60, default=4,
    )  # fmt: skip
    note: str = column("text", "a note", default="")


STAGE_WORDS = ("spawn", "hatch", "free-swimming", "first-count", "measure")
DEFAULT_DAYS = {"spawn": 0, "hatch": 3, "free-swimming": 8, "first-count": 14, "measure": 28}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One step of a line's profile: so many days after the spawn, at a temperature."""

    line: str = column("text", "the line")
    stage: str = column("word", "the stage", words=STAGE_WORDS)
    days: int = column("int", "days after the spawn", unit="d", low=0, high=400)
    celsius: float | None = column(
        "number", "the temperature the days are for", unit="C", low=0, high=45, default=None
    )


LINES = Sheet("lines", LineFacts, ("name",), "Lines of fish: water, growth, who must not meet.")
STAGES = Sheet("stages", Stage, ("line", "stage"), "Days of a line's young from the spawn on.")


def named(text: str) -> frozenset[str]:
    """The lines of a list with semicolons between, small letters."""
    return frozenset(part.strip().casefold() for part in text.split(";") if part.strip())


def look_alike(first: LineFacts, second: LineFacts) -> bool:
    """Whether two lines are mixed up with one another, whoever of them says so."""
    if first.name == second.name:
        return False
    return second.name.casefold() in named(first.looks_like) or (
        first.name.casefold() in named(second.looks_like)
    )


def eats(
    hunter: LineFacts, prey: LineFacts, hunter_cm: float | None, prey_cm: float | None
) -> bool:
    """Whether one eats the other: named so, or a third of its length (common practice)."""
    words = named(hunter.eats)
    if prey.name.casefold() in words:
        return True
    small = NOTHING not in words and hunter_cm is not None and prey_cm is not None
    return bool(small and prey_cm and hunter_cm and prey_cm <= hunter_cm / 3)
