"""What the invented keeper says and reads off beside a job."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from docs.demo_parts.places import SYSTEM
from roomtasks.room.occurrence import Due

_REMARKS: dict[str, Sequence[str]] = {
    "look": ("all out and hungry", "one hides behind the heater", "males flaring, no harm done",
             "a female looks ready", "outlet a little slow, put right"),
    "feed": ("slow to come up", "gone in a minute", "less than usual, still full"),
    "feed-fry": ("bellies orange", "two sizes by now", "some at the surface"),
    "change": ("glass cold to the hand, vat a bit cool", "water a little yellow",
               "hose slipped, wiped up", "plant cuttings out"),
    "filter": ("black and heavy", "half full only", "clip renewed"),
    "vac": ("hardly any", "much under the wood"),
    "wipe": ("hard algae in the corner stays", "snails taken off"),
    "top-off": ("lid had been open", "less than usual"),
    "media": ("overflow had begun", "clean enough for a day more"),
    "check": ("damp by the door, from the rain", "return hums, watch it", "all quiet"),
    "test": ("strip and drops agree", "kit is low, buy one"),
    "count": ("counted twice", "two hide, counted by photo"),
}  # fmt: skip

Near = Callable[[float, float], float]
Reading = tuple[str, str, float, str]


def remark(kind: str, pick: Callable[[Sequence[Any]], Any]) -> str:
    """A short note that suits the kind of job, "" where there is none."""
    said = _REMARKS.get(kind)
    return str(pick(said)) if said else ""


def readings_after(due: Due, near: Near) -> Iterator[Reading]:
    """Target, what, value and unit of what is read off when this job is done."""
    match due.job.code:
        case "temps":
            yield SYSTEM, "temperature", round(near(25.2, 0.4), 1), "C"
            yield "W12", "temperature", round(near(22.6, 0.6), 1), "C"
        case "top-loop":
            yield SYSTEM, "sump-level", round(near(31.3, 0.3), 1), "cm"
        case "loop-change":
            yield SYSTEM, "nitrate", float(round(near(24, 4))), "mg/L"
            yield SYSTEM, "ph", round(near(7.4, 0.12), 1), ""
        case "cave-change" if due.target in ("W21", "W23"):
            yield due.target, "nitrate", float(round(near(17, 4))), "mg/L"
            yield due.target, "ph", round(near(6.8, 0.15), 1), ""
        case "hard-change" if due.target == "T31":
            yield due.target, "nitrate", float(round(near(20, 4))), "mg/L"
        case "q-change":
            yield due.target, "temperature", round(near(24.8, 0.4), 1), "C"
        case "blend-test":
            yield "V2", "hardness", round(near(5.2, 0.4), 1), "dGH"
        case "tap-test":
            yield "room", "tap-nitrate", float(round(near(7, 1.5))), "mg/L"
            yield "room", "tap-hardness", round(near(11.5, 0.6), 1), "dGH"
        case "dead-test" | "ripe-test":
            yield due.target, "ammonia", max(0.0, round(near(0.05, 0.06), 2)), "mg/L"
        case "measure":
            yield due.target, "length", round(near(22, 4), 1), "mm"
