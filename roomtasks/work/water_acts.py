"""Acts on water that end in one sentence: a choice for a change day, a level, a top-off.

What the keeper chose and what is dissolved in a tank are facts the plan reads;
nothing is planned here. Steps at a reservoir are in `water_steps`.
"""

import math
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from roomtasks.room.problem import Problem
from roomtasks.room.recipe import RATE_UNITS
from roomtasks.room.treatment import Choice, Level
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.water_marks import TOP_OFF, body_at, leak_words, sump_words, top_off_reading

LARGEST_LEVEL = 10_000.0
MOST_LITRES = 100_000.0
NO_TANK = "'roomtasks racks' shows them"


def choose(
    store: Store, now: datetime, who: str, day: date, hour: time | None = None,
    share: float | None = None, keep_back: bool | None = None, as_planned: bool = False,
) -> Told | Problem:  # fmt: skip
    """Keep what the keeper chose for one change day; None leaves a part as it was chosen.

    `share` scales every change, above 0 and at most 1. The keep-back is used
    only where `keep_back` is True. `as_planned` takes the whole choice back.
    """

    def do(it: Doing) -> str | Problem:
        fault = _choice_fault(it, day, share, (hour, share, keep_back), as_planned)
        if fault is not None:
            return fault
        if as_planned:
            it.writer.remove("choices", [day])
            return f"change of {_day(day)}: as planned again"
        was = next((row for row in it.room.choices if row.day == day), Choice(day=day))
        chosen = replace(
            was, hour=was.hour if hour is None else hour,
            share=was.share if share is None else share,
            keep_back=was.keep_back if keep_back is None else keep_back,
        )  # fmt: skip
        it.writer.put("choices", chosen)
        return f"change of {_day(day)}: {_choice_words(chosen)}"

    return doing(store, now, who, "choice", do)


def _choice_fault(
    it: Doing, day: date, share: float | None, parts: tuple[object, ...], as_planned: bool
) -> Problem | None:
    if day < it.today:
        return Problem("day", f"{_day(day)} has gone by", "choose for a change that is to come")
    if share is not None and not 0.01 <= share <= 1:
        return Problem("share", f"{share:g} is no share of a change", "give 0.01 to 1, as 0.6")
    chosen = any(part is not None for part in parts)
    if as_planned and chosen:
        return Problem("", "as planned and a choice were both asked for", "say one of them")
    if not as_planned and not chosen:
        return Problem("", "nothing was chosen", "give an hour, a share or a word on the keep-back")
    return None


def _choice_words(chosen: Choice) -> str:
    parts = []
    if chosen.hour is not None:
        parts.append(f"begins {chosen.hour:%H:%M}")
    if chosen.share is not None:
        parts.append(f"every change at {100 * chosen.share:.4g} % of what is planned")
    parts.append("the keep-back may be used" if chosen.keep_back else "the keep-back stays")
    return ", ".join(parts)


def set_level(
    store: Store, now: datetime, who: str, tank: str, product: str, per_litre: float,
    unit: str = "g", medicine: bool = False, until: date | None = None,
) -> Told | Problem:  # fmt: skip
    """From today keep so much of a product in each litre of a tank; replaces what stood.

    The amount and its unit are the keeper's, from the label.
    """

    def do(it: Doing) -> str | Problem:
        fault = _level_fault(it, tank, product, per_litre, unit, until)
        if fault is not None:
            return fault
        level = Level(
            tank=tank, product=product.strip(), since=it.today, per_litre=per_litre, unit=unit,
            until=until, medicine=medicine,
        )  # fmt: skip
        for old in _levels(it, tank, product):
            if (old.product, old.since) != (level.product, level.since):
                _end(it, old)
        it.writer.put("levels", level)
        tail = f" until {day_words(until)}" if until else ""
        return f"{product.strip()} in {tank}: {per_litre:g} {unit} in each litre{tail}"

    return doing(store, now, who, "level", do)


def end_level(
    store: Store, now: datetime, who: str, tank: str, product: str
) -> Told | Problem:  # fmt: skip
    """Keep a product up no longer: nothing of it is added from today on."""

    def do(it: Doing) -> str | Problem:
        if tank not in it.room.tank:
            return Problem(tank, "there is no such tank", NO_TANK)
        standing = _levels(it, tank, product)
        if not standing:
            kept = sorted(row.product for row in it.room.levels
                          if row.tank == tank and row.on(it.today))  # fmt: skip
            remedy = "it has " + ", ".join(kept) if kept else "nothing was changed"
            return Problem(tank, f"no level of {product} is kept there", remedy, "no-change")
        for old in standing:
            _end(it, old)
        return f"{standing[-1].product} in {tank}: kept up no longer"

    return doing(store, now, who, "level", do)


def _level_fault(
    it: Doing, tank: str, product: str, per_litre: float, unit: str, until: date | None
) -> Problem | None:
    if tank not in it.room.tank:
        return Problem(tank, "there is no such tank", NO_TANK)
    if not product.strip():
        return Problem("product", "it is blank", "say what is in the water, as salt")
    if not math.isfinite(per_litre) or not 0 < per_litre <= LARGEST_LEVEL:
        return Problem(
            "amount", f"{per_litre:g} in each litre is no level to keep up",
            "give more than 0, or end the level",
        )  # fmt: skip
    if unit not in RATE_UNITS:
        return Problem("unit", f"{unit} is no unit of a dose", "use " + ", ".join(RATE_UNITS))
    if until is not None and until < it.today:
        return Problem("until", f"{_day(until)} has gone by", "give a day ahead, or none")
    return None


def _levels(it: Doing, tank: str, product: str) -> list[Level]:
    """What stands of a product in a tank today, or is to stand later."""
    wanted = product.strip().casefold()
    return [
        row
        for row in it.room.levels
        if row.tank == tank
        and row.product.casefold() == wanted
        and (row.until is None or row.until >= it.today)
    ]


def _end(it: Doing, level: Level) -> None:
    """Let a level end yesterday; one that began today never was."""
    if level.since >= it.today:
        it.writer.remove("levels", [level.tank, level.product, level.since])
    else:
        it.writer.put("levels", replace(level, until=it.today - timedelta(days=1)))


def _day(day: date) -> str:
    return f"{day_words(day)} {day.year}"


def top_off(
    store: Store, now: datetime, who: str, target: str, litres: float
) -> Told | Problem:  # fmt: skip
    """Note so many litres added for what evaporated, as a reading of the water's body.

    A tank open to a system is noted at the system: evaporation shows in its sump.
    """

    def do(it: Doing) -> str | Problem:
        body = _body(it, target)
        if isinstance(body, Problem):
            return body
        if not math.isfinite(litres) or not 0 < litres <= MOST_LITRES:
            return Problem("litres", f"{litres:g} L is no top-off", "give the litres run in")
        it.writer.put("readings", top_off_reading(it.writer, body, litres, it.today, it.now))
        at = target if body == target else f"{target}, which is on {body}"
        leak = leak_words(store, it.room, body, it.today)
        flood = sump_words(store, it.room, body, litres, it.now, it.today)
        return "; ".join((f"topped off {at}: {litres:g} L", *leak, *flood))

    return doing(store, now, who, TOP_OFF, do)


def _body(it: Doing, target: str) -> str | Problem:
    """The body of water a place belongs to: its system, or the tank itself."""
    if target in it.room.system:
        return target
    if target not in it.room.tank:
        return Problem(target, "there is no such tank or system", NO_TANK)
    return body_at(it.room, target, it.now)
