"""The kinds of job, and what each means for order, water and rest.

To add a kind, add one row to `KINDS`: everything else reads it from here.
Order numbers follow the visit to one tank: wipe, drain, squeeze in the drained
water, vac, net work, refill, outlets (common practice, no published source).
Does not live here: jobs themselves (`job`), when they are due (`due`).
"""

from dataclasses import dataclass
from enum import IntEnum


class Phase(IntEnum):
    """Where in the walk a kind comes: the room first, then what runs by itself."""

    ROOM = 0
    START = 1
    RACK = 2


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of job.

    `order` sorts jobs at one tank. `water`: an interval job of this kind may be
    placed on the change day. `rests_when_empty`: sleeps while no fish is in the
    tank. `never_cut`: a short walk keeps it. `worth` weighs a day of delay.
    """

    code: str
    label: str
    phase: Phase
    order: int
    worth: int
    water: bool = False
    rests_when_empty: bool = False
    never_cut: bool = False
    caution: str = ""


_UNPLUG = (
    "Heaters and pumps unplugged, not just switched off, before the water drops or hands go in; "
    "let a hot heater cool under water first."
)
_PLUGS = "Dry hands on plugs, drip loops, and the circuit behind an RCD/GFCI; local codes decide."
_FILL = "Never leave a fill unattended without a float valve; no heater runs uncovered."
_LABEL = (
    "The label decides the dose: gloves, eyes, air, litres and not guesswork. "
    "This program counts days and litres; it is no veterinary advice."
)
_FOOD = (
    "Red midge larvae and other arthropod foods can cause allergy: gloves, no dust, "
    "stop if it itches."
)
_ROUGH = "Two hands, 10 L is 10 kg, no bucket on a ladder; wipe the floor before walking."
_DISEASE = "Own net and siphon, no open cuts in the water, never start a siphon by mouth."

KINDS: dict[str, Kind] = {
    kind.code: kind
    for kind in (
        Kind("check", "Room check", Phase.ROOM, 0, 9, never_cut=True, caution=_PLUGS),
        Kind("start", "Start running", Phase.START, 0, 8),
        Kind("fill", "Fill a reservoir", Phase.START, 1, 8, caution=_FILL),
        Kind("treat", "Condition water", Phase.START, 2, 8, caution=_LABEL),
        Kind("heat", "Heat a reservoir", Phase.START, 3, 7, caution=_FILL),
        Kind("mix", "Mix a reservoir", Phase.START, 4, 5),
        Kind("look", "Look over", Phase.RACK, 10, 9, rests_when_empty=True, never_cut=True),
        Kind("feed-fry", "Feed fry", Phase.RACK, 11, 10, rests_when_empty=True, caution=_FOOD),
        Kind("feed", "Feed", Phase.RACK, 12, 6, rests_when_empty=True, caution=_FOOD),
        Kind("test", "Test", Phase.RACK, 20, 6),
        Kind("wipe", "Wipe glass", Phase.RACK, 30, 1, rests_when_empty=True),
        Kind("change", "Water change", Phase.RACK, 40, 7, water=True, rests_when_empty=True,
             caution=_UNPLUG),
        Kind("filter", "Squeeze filter", Phase.RACK, 50, 4, caution=_UNPLUG),
        Kind("media", "Filter media", Phase.RACK, 51, 3, caution=_UNPLUG),
        Kind("vac", "Vac the bottom", Phase.RACK, 60, 3, water=True, rests_when_empty=True,
             caution=_UNPLUG),
        Kind("measure", "Measure", Phase.RACK, 65, 3, rests_when_empty=True),
        Kind("count", "Count", Phase.RACK, 66, 3, rests_when_empty=True),
        Kind("move", "Move fish", Phase.RACK, 70, 5, caution=_ROUGH),
        Kind("top-off", "Top off", Phase.RACK, 80, 6),
        Kind("dose", "Dose", Phase.RACK, 82, 10, never_cut=True, caution=_LABEL),
        Kind("pump", "Return pump", Phase.RACK, 85, 10, never_cut=True, caution=_PLUGS),
        Kind("air", "Air and outlets", Phase.RACK, 87, 4),
        Kind("strip", "Strip and dry", Phase.RACK, 90, 3, caution=_DISEASE),
        Kind("gear", "Nets and gear", Phase.RACK, 92, 2),
        Kind("equipment", "Equipment", Phase.RACK, 94, 3, caution=_PLUGS),
        Kind("stores", "Stores and cultures", Phase.RACK, 96, 3),
        Kind("record", "Records", Phase.RACK, 98, 1),
        Kind("other", "Other", Phase.RACK, 99, 2),
    )
}  # fmt: skip
