"""The demo room's broods: spawns, stages, counts, samples, one graded, moves that lean on another.

All of it is invented. Lines are as those of `story`; what the sorts do is in
`newer_acts`.
"""

from datetime import date
from typing import Any

Line = tuple[str, str, tuple[Any, ...]]

_GONE: tuple[Line, ...] = (
    ("2027-02-14 08:10", "spawned", ("end-1", "L21", "end", date(2027, 2, 13))),
    ("2027-02-14 08:11", "stage", ("end-1", "free-swimming", None)),
    ("2027-02-14 08:12", "stage", ("end-1", "first-count", 24)),
    ("2027-02-14 08:15", "move", ("end-1", 24, "Y13", False)),
    ("2027-02-28 12:20", "out", ("end-1", 2, "died", "found at the sponge")),
    ("2027-02-28 12:30", "move", ("end-1", 22, "T11", False)),
    ("2027-03-06 12:10", "sample", ("end-1", (0.9, 1.0, 1.2), 8)),
    ("2027-03-20 12:10", "sample", ("end-1", (1.2, 1.4, 1.6), 10)),
    ("2027-04-03 12:10", "sample", ("end-1", (1.6, 1.8, 2.1), 10)),
    ("2027-04-09 19:00", "grown", ("end-1", "young")),
    ("2027-04-09 19:10", "sold", ("end-1", 8, "club evening")),
    ("2027-04-09 19:15", "closed", ("end-1", "sold in part, the rest kept with the line")),
)  # fmt: skip
_FAN: tuple[Line, ...] = (
    ("2027-02-03 07:45", "spawned", ("fan-1", "W21", "fan", date(2027, 2, 3))),
    ("2027-02-06 07:40", "stage", ("fan-1", "hatch", None)),
    ("2027-02-11 07:40", "stage", ("fan-1", "free-swimming", None)),
    ("2027-02-18 18:50", "stage", ("fan-1", "first-count", 60)),
    ("2027-02-18 19:00", "move", ("fan-1", 60, "Y12", False)),
    ("2027-02-25 07:50", "out", ("fan-1", 5, "died", "the smallest")),
    ("2027-03-03 19:00", "sample", ("fan-1", (0.9, 1.1, 1.3), 10)),
    ("2027-03-17 19:00", "sample", ("fan-1", (1.2, 1.5, 1.8), 12)),
    ("2027-03-20 11:40", "out", ("fan-1", 7, "lost", "fewer than thought")),
    ("2027-03-20 11:45", "grown", ("fan-1", "young")),
    ("2027-03-20 11:50", "move", ("fan-1", 48, "T12", False)),
    ("2027-03-31 19:00", "sample", ("fan-1", (1.4, 1.9, 2.4), 12)),
    ("2027-04-10 11:20", "sample", ("fan-1", (1.4, 2.2, 2.9), 15)),
    ("2027-04-10 11:40", "grade", ("fan-1", 18, "Y22")),
    ("2027-04-24 11:50", "sample", ("fan-1", (1.9, 2.6, 3.1), 12)),
    ("2027-05-08 11:50", "sample", ("fan-1", (2.4, 3.0, 3.5), 12)),
    ("2027-05-14 19:20", "ahead", ("Y22", "sale", date(2027, 5, 17), "ten of the large fan-tails, "
                                   "a buyer from the club")),
    ("2027-05-14 19:22", "ahead", ("T12", "sale", date(2027, 5, 29), "fan-tails, shop in town")),
)  # fmt: skip
_MARSH: tuple[Line, ...] = (
    ("2027-03-05 07:40", "spawned", ("lagoa-1", "W13", "lagoa", date(2027, 3, 5))),
    ("2027-03-12 07:50", "stage", ("lagoa-1", "hatch", None)),
    ("2027-03-12 07:52", "stage", ("lagoa-1", "free-swimming", None)),
    ("2027-03-13 11:00", "stage", ("lagoa-1", "first-count", 34)),
    ("2027-03-13 11:10", "move", ("lagoa-1", 34, "Y11", False)),
    ("2027-04-02 19:00", "sample", ("lagoa-1", (0.8, 1.0, 1.2), 10)),
    ("2027-04-16 19:00", "sample", ("lagoa-1", (1.1, 1.4, 1.7), 10)),
    ("2027-04-25 12:40", "out", ("lagoa-1", 4, "lost", "fewer than thought")),
    ("2027-04-25 12:50", "grown", ("lagoa-1", "young")),
    ("2027-04-25 13:00", "move", ("lagoa-1", 30, "L12", False)),
    ("2027-04-30 19:00", "sample", ("lagoa-1", (1.4, 1.8, 2.1), 10)),
    ("2027-05-14 19:30", "sample", ("lagoa-1", (1.7, 2.1, 2.5), 10)),
)  # fmt: skip
_PLATY: tuple[Line, ...] = (
    ("2027-04-02 08:02", "spawned", ("plat-1", "L22", "plat", date(2027, 4, 1))),
    ("2027-04-02 08:03", "stage", ("plat-1", "free-swimming", None)),
    ("2027-04-02 08:05", "stage", ("plat-1", "first-count", 28)),
    ("2027-04-02 08:10", "move", ("plat-1", 28, "Y13", False)),
    ("2027-04-16 19:10", "sample", ("plat-1", (0.9, 1.1, 1.3), 8)),
    ("2027-04-30 19:10", "sample", ("plat-1", (1.2, 1.5, 1.7), 10)),
    ("2027-05-02 12:30", "out", ("plat-1", 2, "lost", "two not seen when Y13 was emptied")),
    ("2027-05-02 12:40", "grown", ("plat-1", "young")),
    ("2027-05-02 12:50", "move", ("plat-1", 26, "L11", False)),
    ("2027-05-14 19:40", "sample", ("plat-1", (1.5, 1.8, 2.2), 10)),
)  # fmt: skip
_DANIO: tuple[Line, ...] = (
    ("2027-04-13 19:20", "spawned", ("perla-1", "L32", "perla", date(2027, 4, 13))),
    ("2027-04-15 07:40", "stage", ("perla-1", "hatch", None)),
    ("2027-04-20 07:50", "stage", ("perla-1", "free-swimming", None)),
    ("2027-04-20 08:00", "stage", ("perla-1", "first-count", 50)),
    ("2027-04-20 08:10", "move", ("perla-1", 50, "Y12", False)),
    ("2027-05-04 19:10", "sample", ("perla-1", (0.6, 0.8, 0.9), 8)),
    ("2027-05-13 19:10", "sample", ("perla-1", (0.9, 1.1, 1.3), 10)),
)  # fmt: skip
_YOUNGEST: tuple[Line, ...] = (
    ("2027-04-19 19:10", "spawned", ("barra-1", "W12", "barra", date(2027, 4, 19))),
    ("2027-05-01 08:20", "stage", ("barra-1", "hatch", None)),
    ("2027-05-01 08:21", "stage", ("barra-1", "free-swimming", None)),
    ("2027-05-01 08:25", "stage", ("barra-1", "first-count", 26)),
    ("2027-05-01 08:30", "move", ("barra-1", 26, "Y11", False)),
    ("2027-05-14 19:50", "sample", ("barra-1", (0.6, 0.8, 1.0), 8)),
    ("2027-05-09 07:50", "spawned", ("anel-1", "W22", "anel", date(2027, 5, 9), 80)),
    ("2027-05-13 07:40", "stage", ("anel-1", "hatch", 60, 20, "fungus took a patch")),
    ("2027-05-14 18:45", "stage", ("anel-1", "culture-started", None)),
)  # fmt: skip
_TANKS: tuple[Line, ...] = (
    ("2027-04-24 11:40", "sold", ("plat-y", 20, "shop in town")),
    ("2027-05-01 11:20", "sold", ("plat-y", 14, "to a buyer from the coast")),
    ("2027-05-01 11:30", "sold", ("swd-y", 10, "the last of them, shop in town")),
    ("2027-05-08 11:20", "sold", ("fan-y", 16, "shop in town")),
    ("2027-05-11 19:30", "over", ("W14", date(2027, 5, 23), "blue marsh killifish")),
    ("2027-05-11 19:32", "step", ("W14", 1, "nobody left in it since 24 April")),
    ("2027-05-14 19:55", "step", ("W14", 2, "soft water, with Sunday's")),
    ("2027-05-08 12:20", "chain", ((("perla-1", ("L13",)),), ("cobre-f", "cobre-y"),
                                   date(2027, 5, 9))),
    ("2027-05-09 12:10", "link", ("perla-1", 1)),
    ("2027-05-09 12:20", "slip", ("perla-1", 2, date(2027, 5, 22))),
)  # fmt: skip
BROODS = (*_GONE, *_FAN, *_MARSH, *_PLATY, *_DANIO, *_YOUNGEST, *_TANKS)
