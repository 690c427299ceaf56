"""The demo room's lines of fish: water, sizes, who is mixed up with whom, days of the young.

The fish are invented; sizes and days are of the order that is usual for small
fish, from memory, and nobody's advice.
"""

from typing import Any

from roomtasks.room.line import LineFacts, Stage

_LINES: tuple[tuple[str, float, float, float, float, float, str], ...] = (
    # name, C from, C to, grown cm, cm to leave the first tank, cm of sale, mixed up with
    ("dwarf livebearer, yellow-tail", 22, 27, 3.0, 1.2, 2.0, "honey-eye livebearer"),
    ("honey-eye livebearer", 22, 26, 3.5, 1.2, 2.2, ""),
    ("platy, brick red", 21, 27, 5.0, 1.5, 3.0, "platy, pale blue; swordtail, moss green"),
    ("platy, pale blue", 21, 27, 5.0, 1.5, 3.0, "swordtail, moss green"),
    ("swordtail, moss green", 22, 27, 8.0, 1.8, 4.0, ""),
    ("copper rasbora", 23, 27, 4.0, 1.3, 2.5, "pearl-spot danio"),
    ("ruby dwarf rasbora", 23, 27, 2.2, 0.9, 1.6, "ember dwarf rasbora"),
    ("ember dwarf rasbora", 23, 27, 2.0, 0.9, 1.5, ""),
    ("pearl-spot danio", 22, 27, 4.5, 1.3, 2.5, ""),
    ("fan-tail dwarf cichlid", 23, 28, 7.0, 1.6, 3.5, ""),
    ("ringed dwarf cichlid", 23, 28, 6.5, 1.6, 3.5, ""),
    ("olive dwarf cichlid", 24, 28, 6.0, 1.6, 3.5, ""),
    ("small shell dweller", 24, 27, 4.5, 1.2, 2.5, ""),
    ("lyre-tail killifish, gold", 20, 26, 5.5, 1.5, 3.0, ""),
    ("bar-sided panchax", 21, 26, 6.0, 1.6, 3.0, ""),
    ("blue marsh killifish", 21, 27, 5.0, 1.6, 3.0, "red-fin killifish"),
    ("red-fin killifish", 21, 26, 5.0, 1.6, 3.0, ""),
    ("dwarf corydoras", 22, 26, 3.0, 1.2, 2.0, ""),
    ("murmur gourami, dwarf", 24, 28, 4.0, 1.3, 2.5, ""),
    ("silver ricefish", 20, 26, 3.5, 1.2, 2.2, ""),
    ("small bristle catfish (helpers)", 22, 27, 9.0, 2.0, 3.5, ""),
)
_MORE: dict[str, dict[str, Any]] = {
    "fan-tail dwarf cichlid": {"floor_cm2_per_pair": 1400.0},
    "ringed dwarf cichlid": {"floor_cm2_per_pair": 1400.0, "spawns_again_days": 60},
    "pearl-spot danio": {"spawns_again_days": 42},
    "dwarf corydoras": {"eats": "none", "jumps": False},
    "small bristle catfish (helpers)": {"eats": "none", "jumps": False},
    "blue marsh killifish": {"note": "lid down: a gap of a finger is enough"},
}
_DAYS: dict[str, tuple[int, int, int, int]] = {
    # line: days from the spawn to hatch, free swimming, first count, first sample
    "fan-tail dwarf cichlid": (3, 8, 14, 28),
    "ringed dwarf cichlid": (3, 8, 14, 28),
    "blue marsh killifish": (7, 7, 8, 28),
    "bar-sided panchax": (12, 12, 12, 26),
    "pearl-spot danio": (2, 6, 7, 21),
    "platy, brick red": (0, 0, 1, 21),
    "dwarf livebearer, yellow-tail": (0, 0, 1, 21),
}


def lines() -> dict[str, list[Any]]:
    """The lines and the days of their young, by sheet name."""
    return {
        "lines": [
            LineFacts(
                name=name, celsius_from=low, celsius_to=high, adult_cm=adult, move_cm=move,
                sale_cm=sale, looks_like=like, **_MORE.get(name, {}),
            )
            for name, low, high, adult, move, sale, like in _LINES
        ],
        "stages": [
            Stage(line=line, stage=stage, days=days, celsius=25.0)
            for line, each in _DAYS.items()
            for stage, days in zip(
                ("hatch", "free-swimming", "first-count", "measure"), each, strict=True
            )
        ],
    }  # fmt: skip
