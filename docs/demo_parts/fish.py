"""The demo room's fish on the first day: invented lines of ordinary kinds of small fish."""

from datetime import date
from typing import Any

from roomtasks.room.journal import Event
from roomtasks.room.stock import Condition, Group, Stay, Stocked

_GROUPS = (
    # code, line, tank, count, known, males, females, stage, since, born, generation, origin
    ("end", "dwarf livebearer, yellow-tail", "L21", 26, "exact", 9, 17, "adult",
     date(2026, 9, 20), None, "F4", "own line"),
    ("plat", "platy, brick red", "L22", 14, "exact", 4, 10, "adult", date(2026, 9, 20), None,
     "F2", "own line"),
    ("skye", "platy, pale blue", "L23", 11, "exact", 3, 8, "adult", date(2026, 10, 4), None, "F1",
     "a club member"),
    ("swd", "swordtail, moss green", "L24", 10, "exact", 3, 7, "adult", date(2026, 9, 27), None,
     "F3", "own line"),
    ("cobre", "copper rasbora", "L31", 16, "exact", 7, 9, "adult", date(2026, 9, 20), None, "F1",
     "own line"),
    ("perla", "pearl-spot danio", "L32", 22, "about", 0, 0, "adult", date(2026, 10, 11), None,
     "F1", "a club member"),
    ("ruby", "ruby dwarf rasbora", "L33", 18, "exact", 8, 10, "adult", date(2026, 10, 11), None,
     "wild", "importer"),
    ("plat-y", "platy, brick red", "L11", 46, "about", 0, 0, "young", date(2026, 12, 6),
     date(2026, 10, 25), "F3", "plat"),
    ("swd-y", "swordtail, moss green", "L12", 34, "exact", 0, 0, "young", date(2026, 12, 13),
     date(2026, 10, 30), "F4", "swd"),
    ("cobre-y", "copper rasbora", "L13", 58, "about", 0, 0, "young", date(2026, 12, 20),
     date(2026, 10, 18), "F2", "cobre"),
    ("end-y", "dwarf livebearer, yellow-tail", "T11", 64, "about", 0, 0, "young",
     date(2026, 12, 27), date(2026, 11, 8), "F5", "end"),
    ("fan-y", "fan-tail dwarf cichlid", "T12", 31, "exact", 0, 0, "young", date(2027, 1, 3),
     date(2026, 11, 1), "F2", "fan"),
    ("whisk", "small bristle catfish (helpers)", "T21", 3, "exact", 1, 2, "adult",
     date(2026, 12, 11), None, "", "own line"),
    ("cory", "dwarf corydoras", "T31", 21, "exact", 0, 0, "adult", date(2026, 10, 18), None, "F1",
     "own line"),
    ("oro", "lyre-tail killifish, gold", "W11", 3, "exact", 1, 2, "adult", date(2026, 10, 18),
     None, "F6", "own line"),
    ("barra", "bar-sided panchax", "W12", 4, "exact", 1, 3, "adult", date(2026, 10, 18), None,
     "F2", "a club member"),
    ("lagoa", "blue marsh killifish", "W13", 3, "exact", 1, 2, "adult", date(2026, 11, 1), None,
     "F3", "own line"),
    ("serra", "red-fin killifish", "W14", 5, "exact", 2, 3, "adult", date(2026, 11, 1), None,
     "F2", "own line"),
    ("fan", "fan-tail dwarf cichlid", "W21", 2, "exact", 1, 1, "adult", date(2026, 9, 27), None,
     "F1", "own line"),
    ("anel", "ringed dwarf cichlid", "W22", 2, "exact", 1, 1, "adult", date(2026, 10, 25), None,
     "F2", "own line"),
    ("oliv", "olive dwarf cichlid", "W23", 3, "exact", 1, 2, "adult", date(2026, 11, 8), None,
     "wild", "importer"),
    ("conch", "small shell dweller", "W24", 9, "about", 0, 0, "adult", date(2026, 10, 25), None,
     "F3", "own line"),
    ("cobre-f", "copper rasbora", "Y11", 45, "about", 0, 0, "fry", date(2027, 1, 9),
     date(2027, 1, 2), "F2", "cobre"),
    ("murm", "murmur gourami, dwarf", "Y21", 8, "exact", 3, 4, "adult", date(2026, 11, 22), None,
     "F1", "a club member"),
    ("arroz", "silver ricefish", "P12", 12, "exact", 5, 7, "adult", date(2027, 1, 8), None, "",
     "a club member"),
)  # fmt: skip
_NOTES = {
    "whisk": "stay behind when others move; count them", "perla": "hard to count, use the photo",
    "oliv": "second female hides behind the heater", "conch": "colony: do not split",
}  # fmt: skip
_EMPTY = {
    "T22": date(2026, 12, 11), "Y12": date(2026, 12, 20), "Y13": date(2027, 1, 10),
    "Y22": date(2027, 1, 3), "P11": date(2026, 12, 5), "P21": date(2026, 11, 29),
}  # fmt: skip


def fish() -> dict[str, list[Any]]:
    """Groups, the stay that is running, and since when each tank has had fish or none."""
    groups = [_group(*row) for row in _GROUPS]
    homes = {group.tank: group.since for group in groups}
    return {
        "groups": groups,
        "stays": [
            Stay(code="stay-1", tank="P12", since=date(2027, 1, 8), days=42,
                 note="twelve ricefish from the club table"),
        ],
        "conditions": [
            Condition(tank="L23", since=date(2026, 12, 28), state="watch",
                      reason="one female with clamped fins"),
            Condition(tank="L23", since=date(2027, 1, 6), state="clean",
                      reason="nothing more seen"),
        ],
        "stocked": [
            *(Stocked(tank=tank, since=day, state="fish") for tank, day in homes.items()),
            *(Stocked(tank=tank, since=day, state="empty") for tank, day in _EMPTY.items()),
        ],
        "events": [
            Event(id=1, event="spawn", target="L31", day=date(2027, 1, 2), who="Rita",
                  note="under the broad leaf"),
            Event(id=2, event="arrival", target="P12", day=date(2027, 1, 8), count=12, who="Rita",
                  note="bag water to waste"),
        ],
    }  # fmt: skip


def _group(
    code: str, line: str, tank: str, count: int, known: str, males: int, females: int, stage: str,
    since: date, born: date | None, generation: str, origin: str,
) -> Group:  # fmt: skip
    return Group(
        code=code, line=line, tank=tank, count=count, count_known=known, males=males,
        males_known="sure", females=females,
        females_known="likely" if stage == "young" or known == "about" else "sure", stage=stage,
        since=since, born=born, generation=generation, origin=origin, note=_NOTES.get(code, ""),
    )  # fmt: skip
