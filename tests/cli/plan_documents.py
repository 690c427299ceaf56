"""What holds for every number of a plan in JSON: finite, its unit in the key, and how known."""

import math
import re
from collections.abc import Iterator
from typing import Any

UNIT = re.compile(
    r"(^|_)(litres|minutes|hours|cm|celsius|kelvin|fraction|kwh|ml|g|drops|mg_per_l"
    r"|mg_per_l_per_week|litres_per_min)$"
)
COUNTS = {"n", "order", "need", "missed", "since_days", "lower_bound", "act"}
KNOWN = {"measured", "computed", "assumed", "forecast", "as set", "by the book"}
GIVEN = {  # as the room or the question has it, not worked out
    "limit_kelvin", "target_celsius", "new_celsius", "running_cm", "limit_mg_per_l",
    "share_fraction", "change_fraction", "new_water_celsius", "litres_per_min",
}  # fmt: skip


def faults(document: Any, path: str = "") -> Iterator[str]:
    """What is wrong with a plan's numbers, by their place."""
    if isinstance(document, list):
        for number, each in enumerate(document):
            yield from faults(each, f"{path}[{number}]")
        return
    if not isinstance(document, dict):
        return
    for key, value in document.items():
        here = f"{path}.{key}"
        if key.endswith("_from") or key in ("asked", "with", "fill_rates"):
            yield from _finite(value, here)
        elif isinstance(value, bool | str) or value is None:
            continue
        elif isinstance(value, int | float) or _numbers(value):
            yield from _number(document, key, value, here)
        else:
            yield from faults(value, here)


def _numbers(value: Any) -> bool:
    return bool(isinstance(value, list) and value and isinstance(value[0], int | float))


def _number(document: Any, key: str, value: Any, here: str) -> Iterator[str]:
    yield from _finite(value, here)
    if key in COUNTS:
        return
    if not UNIT.search(key):
        yield f"{here} has no unit"
    if key in GIVEN:
        return
    if document.get(f"{key}_known") not in KNOWN:
        yield f"{here} does not say how it is known"
    if not document.get(f"{key}_from"):
        yield f"{here} does not say what from"


def _finite(value: Any, here: str) -> Iterator[str]:
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _finite(each, f"{here}.{key}")
    elif isinstance(value, list):
        for each in value:
            yield from _finite(each, here)
    elif isinstance(value, float) and not math.isfinite(value):
        yield f"{here} is {value}"
