"""Figures that read a file, a list or a rule: fits, fills, dates, after."""

import csv
from collections.abc import Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from roomtasks.room import day, recurrence
from roomtasks.room.fitting import fit_growth, fit_weight
from roomtasks.room.packing import fewest_fills
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import read_number

Answer = dict[str, Any] | Problem
MOST_ROWS = 100_000
MOST_INSTANCES = 10_000


def fit_growth_file(inputs: Mapping[str, Any]) -> Answer:
    """K through lengths at age; also linf, t0 and the residual sum of squares."""
    found = _columns(inputs["file"], "age", "length")
    if isinstance(found, Problem):
        return found
    fixed = None if inputs["linf"] == "" else inputs["linf"]
    fit = fit_growth(found[0], found[1], fixed)
    if isinstance(fit, Problem):
        return fit
    return {
        "value": fit.k, "linf": fit.linf, "t0": fit.t0, "residual": fit.residual,
        "points": fit.points,
    }  # fmt: skip


def fit_weight_file(inputs: Mapping[str, Any]) -> Answer:
    """a of the length-weight line; also b."""
    found = _columns(inputs["file"], "length", "weight")
    if isinstance(found, Problem):
        return found
    fit = fit_weight(found[0], found[1])
    if isinstance(fit, Problem):
        return fit
    return {"value": fit.a, "b": fit.b, "points": fit.points}


def _columns(name: str, first: str, second: str) -> tuple[list[float], list[float]] | Problem:
    """Two named columns of numbers from a CSV file; every fault names its line."""
    text = _text(name)
    if isinstance(text, Problem):
        return text
    rows = csv.reader(text.splitlines())
    head = [cell.strip().lower() for cell in next(rows, [])]
    if first not in head or second not in head:
        return Problem(f"{name}:1", "the columns are not named", f"begin it with {first},{second}")
    at = head.index(first), head.index(second)
    found: tuple[list[float], list[float]] = ([], [])
    for row in rows:
        if not any(cell.strip() for cell in row):
            continue
        for column, label, into in zip(at, (first, second), found, strict=True):
            cell = row[column] if column < len(row) else ""
            value = read_number(f"{name}:{rows.line_num}: {label}", cell)
            if isinstance(value, Problem):
                return value
            into.append(value)
        if len(found[0]) > MOST_ROWS:
            return Problem(name, f"it has more than {MOST_ROWS} rows", "give fewer")
    return found


def _text(name: str) -> str | Problem:
    try:
        return Path(name).read_text("utf-8-sig")
    except OSError as error:
        return Problem(name, f"it cannot be read ({error.strerror})", "name a file that is there")
    except (UnicodeDecodeError, ValueError):
        return Problem(name, "it is no UTF-8 text", "save it as UTF-8 text")


def fills(inputs: Mapping[str, Any]) -> Answer:
    """Fewest fills; also the fills themselves, the bound, and whether it is proven."""
    text, where = inputs["sizes"], "sizes"
    if not all(sign in "0123456789.,+-eE " for sign in text):
        where = text
        found = _text(text)
        if isinstance(found, Problem):
            return found
        text = ",".join(found.split())
    sizes: list[float] = []
    for part in text.split(","):
        size = read_number(where, part)
        if isinstance(size, Problem):
            return size
        sizes.append(size)
    answer = fewest_fills(sizes, inputs["capacity"])
    if isinstance(answer, Problem):
        return answer
    return {
        "value": len(answer.fills), "proven": answer.proven, "lower_bound": answer.lower_bound,
        "fills": [list(fill) for fill in answer.fills],
    }  # fmt: skip


def dates(inputs: Mapping[str, Any]) -> Answer:
    """How many instances; `values` are instants with offset, or dates."""
    zone = day.zone_named(inputs["zone"])
    if isinstance(zone, Problem):
        return zone
    start = day.parse_local(inputs["start"])
    if isinstance(start, Problem):
        return start
    count = inputs["count"]
    if count != int(count) or not 1 <= count <= MOST_INSTANCES:
        return Problem("count", f"{count:g} is out of reach", f"give 1 to {MOST_INSTANCES}")
    left_out: list[date | datetime] = []
    for text in filter(None, inputs["exdate"].split(",")):
        moment = day.parse_local(text.strip())
        if isinstance(moment, Problem):
            return moment
        left_out.append(moment)
    rule = recurrence.parse_rule(inputs["rule"], start, tuple(left_out))
    if isinstance(rule, Problem):
        return rule
    found = recurrence.instances(rule, zone, int(count))
    values = [_iso(moment) for moment in found]
    return {"value": len(values), "values": values}


def _iso(moment: date | datetime) -> str:
    if isinstance(moment, datetime):
        return moment.isoformat(timespec="seconds")
    return moment.isoformat()


def after_instant(inputs: Mapping[str, Any]) -> Answer:
    """`instant` so many days, then exact hours, after a local time; value is the hours gone."""
    zone = day.zone_named(inputs["zone"])
    if isinstance(zone, Problem):
        return zone
    start = day.parse_local(inputs["start"])
    if isinstance(start, Problem):
        return start
    if not isinstance(start, datetime):
        start = datetime.combine(start, datetime.min.time())
    days, hours = inputs["days"], inputs["hours"]
    if days != int(days) or abs(days) > 36600 or abs(hours) > 1e6:
        return Problem(
            "days",
            f"{days:g} days and {hours:g} hours are out of reach",
            "give whole days up to 36600 and hours up to 1000000",
            "impossible",
        )
    began = day.resolve(start, zone)
    end = day.after(start, zone, days=int(days), hours=hours)
    gone = (end.astimezone(UTC) - began.astimezone(UTC)).total_seconds() / 3600
    return {"value": gone, "instant": end.isoformat(timespec="seconds")}
