"""Back from days away: what comes before the work, and the missed changes in words.

First every tank is looked at, then fish are counted, then nitrate is read; only
then is water changed. The order is common practice, no published source.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from roomtasks.room.ahead_nitrate import NitrateScene
from roomtasks.room.away_catch_up import CaughtUp
from roomtasks.room.body import Body, bodies
from roomtasks.room.forecast import forecast
from roomtasks.room.naming import happened
from roomtasks.room.nitrate import NITRATE, readings_of, source_nitrate
from roomtasks.room.problem import Problem
from roomtasks.room.setup import Away
from roomtasks.room.water_plan import Forecast, Note
from roomtasks.room.why import day_words


@dataclass(frozen=True, slots=True, kw_only=True)
class First:
    """One thing to do before the work: `sort` is look, count or read."""

    sort: str
    about: str
    text: str


def before_work(
    water: NitrateScene, span: Away, changes: Iterable[CaughtUp]
) -> Iterator[First]:  # fmt: skip
    """Look, count, read: before anything is changed."""
    yield First(sort="look", about="room", text="look at every tank before the first feed: "
                "temperature, air, level, dead ones out")  # fmt: skip
    yield from _counts(water, span)
    yield from _reads(water, {one.plan.body: one for one in changes})


def _counts(water: NitrateScene, span: Away) -> Iterator[First]:
    room = water.room
    for event in room.events:
        if span.first <= event.day <= span.last and event.event in ("died", "lost"):
            what = happened(event.event, event.count)
            text = f"{event.target}: {what} on {day_words(event.day)}; count it first"
            yield First(sort="count", about=event.target, text=text)
    fish = [tank for tank in sorted(room.tanks, key=lambda tank: room.path_of(tank.code))
            if room.heads_in(tank.code)]  # fmt: skip
    for rack in dict.fromkeys(tank.rack for tank in fish):
        here = [f"{t.code} {room.heads_in(t.code)}" for t in fish if t.rack == rack]
        text = f"count the fish of rack {rack}; by the book: {', '.join(here)}"
        yield First(sort="count", about=rack, text=text)


def _reads(water: NitrateScene, changes: Mapping[str, CaughtUp]) -> Iterator[First]:
    """Bodies to read nitrate of: those furthest above their limit first, unread ones last."""
    today = water.room.day_at(water.now)
    known: list[tuple[float, str, str]] = []
    unknown: list[str] = []
    for body in bodies(water.room, water.now):
        tests = readings_of(body, water.room, water.readings, today)
        if body.code not in changes and (body.nitrate_limit is None or not tests):
            continue
        if tests and tests[0].reading.day == today:
            continue
        seen = _forecast(water, body)
        if seen is None or seen.now is None:
            unknown.append(body.code)
            continue
        limit = f", limit {body.nitrate_limit:g}" if body.nitrate_limit else ""
        share = seen.now.value / (body.nitrate_limit or 100.0)
        text = f"read nitrate of {body.code}: forecast {seen.now.value:.0f} mg/L{limit}"
        known.append((-share, body.code, text))
    for _, code, text in sorted(known):
        yield First(sort="read", about=code, text=text)
    if unknown:
        text = f"read nitrate before their changes: {' '.join(unknown)}; none was read yet"
        yield First(sort="read", about=NITRATE, text=text)
    long = [code for code, one in changes.items() if one.plan.notes]
    if long:
        text = f"long without a change, test pH, hardness and ammonia too: {' '.join(long)}"
        yield First(sort="read", about="ammonia", text=text)


def _forecast(water: NitrateScene, body: Body) -> Forecast | None:
    room = water.room
    today = room.day_at(water.now)
    source = source_nitrate(room, body.recipe, today)
    found = forecast(body, room, water.readings, water.changes, today, None, None, source)
    return None if isinstance(found, Problem) else found


def told_of(changes: Iterable[CaughtUp]) -> Iterator[Note]:
    """Missed changes in words, those alike together: what makes up for them, never the sum."""
    alike: dict[tuple[object, ...], list[CaughtUp]] = defaultdict(list)
    for one in changes:
        share = round(one.fraction, 4)
        alike[one.due.job.code, one.missed, one.plan.by, one.changes, share].append(one)
    for ones in alike.values():
        yield Note(about=ones[0].due.id, text=_alike(ones), rule="catch-up")


def _alike(ones: Sequence[CaughtUp]) -> str:
    one = ones[0]
    where = " ".join(each.due.target for each in ones)
    times = "once" if one.missed == 1 else f"{one.missed} times"
    text = f"{one.due.job.name} {where}: missed {times}"
    if one.often:
        return f"{text}; it comes often, so go on with the usual ones"
    by = " by the reading" if one.plan.by != "missed" else ""
    litres = ", ".join(f"{each.litres:.1f}" for each in ones)
    text += f"; {100 * one.plan.one_fraction.value:.0f} % in one change would make up for it{by}"
    if one.changes == 1:
        return f"{text}: do {100 * one.fraction:.1f} % ({litres} L)"
    return (f"{text}; that is above {100 * one.plan.limit:.3g} % a day, so {one.changes} changes "
            f"of {100 * one.fraction:.1f} % ({litres} L), a day apart")  # fmt: skip
