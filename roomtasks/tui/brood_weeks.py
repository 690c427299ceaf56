"""Tanks wanted against tanks there for the coming weeks, as lines of the list. Pure."""

from collections.abc import Iterator

from roomtasks.room.room_full import Week, WhatIf
from roomtasks.room.why import day_words
from roomtasks.tui.apart_words import said_days
from roomtasks.tui.brood_move_acts import what_ifs
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part

LEVERS_SHOWN = 3


def by_week(seen: BroodsSeen) -> list[list[Week]]:
    """The kinds of each week together, kinds that are neither wanted nor there left out."""
    used = {week.kind for week in seen.view.weeks if week.wanted or week.there}
    found: dict[int, list[Week]] = {}
    for week in seen.view.weeks:
        if week.kind in used:
            found.setdefault(week.n, []).append(week)
    return list(found.values())


def week_parts(seen: BroodsSeen, signs: Signs) -> list[Part]:
    """The weeks, what they say first."""
    weeks = by_week(seen)
    if not weeks:
        return []
    title = "Tanks wanted, of those that are there, by week"
    return [Part(title, (*_said(seen, signs), *(_week(seen, week, signs) for week in weeks)))]


def _said(seen: BroodsSeen, signs: Signs) -> Iterator[Item]:
    acts = what_ifs(seen)
    says = seen.view.says
    text = f"{signs.late} {says[0].upper()}{says[1:]}." if says else "No week is short of tanks."
    if seen.what_if != WhatIf():
        yield Item(key="weeks asked", acts=tuple(reversed(acts)), about="weeks",
                   text=f"WHAT IF, not kept: {what_if_words(seen.what_if)}")  # fmt: skip
    yield Item(key="weeks say", text=text, weight="late" if says else "", acts=acts, about="weeks")
    short = next((week for week in seen.view.weeks if week.free < 0), None)
    for n, lever in enumerate(short.levers[:LEVERS_SHOWN] if short is not None else ()):
        yield Item(key=f"lever {n}", acts=acts, about="weeks",
                   text=f"  {lever.words}: gives {_tanks(lever.gives)} back")  # fmt: skip
    for n, told in enumerate(seen.view.untold):
        yield Item(key=f"untold {n}", text=f"  {told}", weight="quiet", acts=acts, about="weeks")


def what_if_words(what: WhatIf) -> str:
    """What is asked of the weeks."""
    told = [f"{pair} rests" for pair in sorted(what.rests)]
    told += [f"{code} sold by the end of week {n}" for code, n in (what.sold_in or {}).items()]
    return ", ".join(told)


def _tanks(many: int) -> str:
    return "1 tank" if many == 1 else f"{many} tanks"


def _week(seen: BroodsSeen, kinds: list[Week], signs: Signs) -> Item:
    first = kinds[0]
    over = any(week.free < 0 for week in kinds)
    told = "  ".join(
        f"{week.kind} {week.wanted} of {week.there}"
        + (f" {signs.late}{-week.free} short" if week.free < 0 else "")
        for week in kinds
    )
    return Item(
        key=f"week {first.n}", about=f"week {first.n}", weight="late" if over else "",
        text=f"{first.n:>2}  {day_words(first.first):<10}  {told}",
        acts=what_ifs(seen, first.n), more=tuple(_opened(kinds)),
    )  # fmt: skip


def _opened(kinds: list[Week]) -> Iterator[str]:
    for week in kinds:
        if week.broods:
            yield f"{week.kind}: {said_days(', '.join(week.broods))}"
        for lever in week.levers:
            yield f"{lever.words}: gives {_tanks(lever.gives)} back"
