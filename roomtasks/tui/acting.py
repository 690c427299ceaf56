"""From what the keeper did on the walk to the act that is run on the store thread."""

from collections.abc import Callable
from datetime import datetime
from math import isfinite

from roomtasks.room.problem import Problem
from roomtasks.store.base import Store
from roomtasks.tui import keeper
from roomtasks.tui.asking import READINGS
from roomtasks.tui.screens.walk import WalkScreen
from roomtasks.work.marking import How
from roomtasks.work.picture import Picture

SEEN_EVENTS = ("dead", "not-seen")


def act_of(
    message: WalkScreen.Acted, seen: Picture, now: datetime, who: str
) -> Callable[[Store], keeper.Said] | Problem:
    """What to run on the store for what the keeper did, or what is wrong with the answer."""
    what, about = message.what, message.about
    place = seen.room.tank_of(about.partition("@")[2]) or about.partition("@")[2]
    if what == "seen":
        return lambda store: keeper.saw(store, now, who, seen, place, message.text)
    if what in SEEN_EVENTS:
        if not message.text.isdigit() or int(message.text) < 1:
            return Problem("count", f"“{message.text}” is no count", "type 1 or more")
        count = int(message.text)
        return lambda store: keeper.counted(store, now, who, seen, place, what, count)
    if what == "note":
        return lambda store: keeper.noted(store, now, who, place, message.text)
    if what.startswith("value-"):
        number = int(what.removeprefix("value-"))
        return _reading(place, number, message, now, who)
    if what == "done-at":
        when = keeper.time_gone_by(message.text, now)
        if isinstance(when, Problem):
            return when
        told_when = How(who=who, when=when)
        return lambda store: keeper.marked(store, now, "done", (about,), told_when)
    if what == "done":
        how: How | Problem = How(who=who, hands_clean=message.hands_clean, minutes=message.minutes)
    else:
        how = keeper.how_for(what, message.text, who, seen)
    if isinstance(how, Problem):
        return how
    told, names = how, message.names or (about,)
    return lambda store: keeper.marked(store, now, what, names, told)


def _reading(
    place: str, number: int, message: WalkScreen.Acted, now: datetime, who: str
) -> Callable[[Store], keeper.Said] | Problem:
    text, (what, unit) = message.text, READINGS[number - 1]
    try:
        value = float(text.replace(",", ".", 1))
    except ValueError:
        value = float("nan")
    if not text.isascii() or not isfinite(value):
        return Problem(what, f"“{text}” is no number", "type digits such as 25.4")
    reading = (what, value, unit)
    return lambda store: keeper.read_off(store, now, who, place, reading, message.anyway)
