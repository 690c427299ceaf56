"""Who met whom as lines of a page: each tank with its days and the way there, fish that left."""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from roomtasks.room.met import Met
from roomtasks.room.why import day_words
from roomtasks.work.met import MetView

BY = {"system": "one water", "move": "fish moved", "gear": "gear", "start": ""}


def met_lines(found: MetView, zone: ZoneInfo) -> tuple[str, ...]:
    """What was found, in the order of time."""
    return tuple(_lines(found, zone))


def _lines(found: MetView, zone: ZoneInfo) -> Iterator[str]:
    others = [met for met in found.reached.tanks if met.by != "start"]
    tanks = len({met.tank for met in others})
    yield (f"{day_words(found.first)} to {day_words(found.last)} {found.last.year}: "
           f"{tanks or 'no other'} tank{'s' if tanks > 1 else ''}, by what is noted of valves, "
           "moves and gear")  # fmt: skip
    for met in others:
        yield f"{met.tank}  {_days(met, zone)}  {BY.get(met.by, met.by)}"
        yield "    " + " > ".join(met.path)
    if found.lots:
        yield "Groups there now: " + ", ".join(found.lots)
    for left in found.reached.left:
        to = f" ({left.transfer.note})" if left.transfer.note else ""
        fish = f"{left.transfer.count} {left.transfer.line or left.transfer.group}"
        yield f"LEFT THE ROOM: {fish}, {left.transfer.how} {day_words(left.transfer.day)}{to}"
        yield "    " + " > ".join(left.path[:-1])


def _days(met: Met, zone: ZoneInfo) -> str:
    """The days two waters were one, or the day something went over."""
    first, last = (each.astimezone(zone).date() for each in (met.since, met.until))
    return day_words(first) if first == last else f"{day_words(first)} to {day_words(last)}"
