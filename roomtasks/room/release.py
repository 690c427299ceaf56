"""What must be true before a lot kept apart is released, and why it may not leave before.

Twelve lines: each is known to the program with its evidence, or ticked by the
keeper. Common practice, no published source. Does not live here: the dates
(`stay_clock`), the acts (`work.stay_acts`).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from roomtasks.room.day import day_start
from roomtasks.room.density import lodger_of, lodgers_in
from roomtasks.room.destination import Judging, Mover, company_refusals, tank_refusals
from roomtasks.room.health import Health
from roomtasks.room.journal import Reading
from roomtasks.room.naming import day_words, lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import StayNow
from roomtasks.room.stock import Group, Stay, Tick

TICKED_BY_HAND = "the keeper ticks it"
LINES = {
    "dates": "the latest of its dates has come",
    "looked": "looked at on every day of the last 14",
    "eating": "eating, normal droppings",
    "doses": "no dose within the days set",
    "tests": "ammonia and nitrite 0 on two tests",
    "count": "count today is the count on arrival less the deaths",
    "destination": "destination named, with room after growth, right water, a ripe filter, "
    "and no one who eats it or crosses with it",
    "away": "not the day before being away",
    "bag-water": "bag water to waste",
    "net": "own net back to quarantine",
    "watch": "looks set for day 1, 2, 3 and 7",
    "strip": "the tank is set to strip and dry",
}
KNOWN_ONLY = ("dates", "looked", "doses", "away", "watch", "strip")
LOOK_DAYS = 14
WATCH_DAYS = (1, 2, 3, 7)
_A_SECOND = timedelta(seconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a checklist: known, ticked or open, with the evidence in words.

    An open line that is not `may_tick` is settled by what its evidence says.
    """

    number: int
    code: str
    words: str
    state: str
    evidence: str
    may_tick: bool


@dataclass(frozen=True, slots=True)
class _Found:
    """What the program knows of a line: True, False, or None for not known."""

    holds: bool | None
    evidence: str


def checklist(
    room: Room, now: StayNow, today: date, readings: Iterable[Reading], to: str = ""
) -> tuple[Line, ...]:
    """The twelve lines of a lot's release to a tank; blank, that the tick was for, if any.

    A tick of the destination is for one tank, and asked again for another.
    """
    to = to or meant_for(room, now.stay.code)
    ticks = {tick.line: tick for tick in room.ticks if tick.stay == now.stay.code}
    known = tuple(readings)
    found = {
        "dates": _Found(now.free(today), f"{day_words(now.release_on)}: {now.set_by.why}"),
        "looked": _looked(now, today),
        "doses": _doses(now, today),
        "tests": _tests(known, now.stay.tank),
        "count": _count(room, now.stay, today),
        "destination": _destination(room, now.stay, known, to, today),
        "away": _away(room, today),
        "watch": _Found(True, "made by the release"),
        "strip": _Found(True, "made by the release"),
    }
    lines = []
    for number, (code, words) in enumerate(LINES.items(), start=1):
        seen = found.get(code, _Found(None, TICKED_BY_HAND))
        tick = ticks.get(code)
        may_tick = code not in KNOWN_ONLY and seen.holds is None
        state = "known" if seen.holds else "open"
        evidence = seen.evidence
        if may_tick and code == "destination" and tick is not None and tank_of(tick) != to:
            meant = tank_of(tick)
            named = meant in room.tank
            was = f"was for {meant}, not for {to}" if named else "named no tank"
            evidence = f"the tick {was}; {evidence}"
        elif may_tick and tick is not None:
            state = "ticked"
            evidence = f"{day_words(tick.day)} {tick.who} {tick.note}".strip()
        lines.append(
            Line(number=number, code=code, words=words, state=state, evidence=evidence,
                 may_tick=may_tick)
        )  # fmt: skip
    return tuple(lines)


def destination_note(to: str, note: str = "") -> str:
    """The note of a tick of the destination, which keeps the tank it is for."""
    return f"{to}: {note}" if note else to


def tank_of(tick: Tick) -> str:
    """The tank that a tick of the destination is for; what else stands there is no tank."""
    return tick.note.partition(":")[0].strip()


def meant_for(room: Room, stay: str) -> str:
    """The destination a lot's tick is for, "" where none is ticked for a tank there is."""
    found = next((t for t in room.ticks if t.stay == stay and t.line == "destination"), None)
    meant = tank_of(found) if found is not None else ""
    return meant if meant in room.tank else ""


def release_refusals(lines: Iterable[Line], stay: Stay) -> Iterator[Problem]:
    """A refusal for every line that is open, naming it."""
    for line in lines:
        if line.state == "open":
            tail = " --to TANK" if line.code == "destination" else ""
            remedy = f"'roomtasks confirm {stay.code} {line.code}{tail}' once it is so"
            yield Problem(
                stay.code, f"line {line.number} is open: {line.words} ({line.evidence})",
                remedy if line.may_tick else "it is settled by what the line says",
                "not-released" if line.code == "dates" else "release-open",
            )  # fmt: skip


def lot_refusal(
    room: Room, group: Group, count: int, how: str, today: date, to: str = ""
) -> Problem | None:
    """Why so many of a group may not leave a lot kept apart, or join one; None where they may.

    `how` is one of the ways of `transfer.WAYS`; deaths and losses are never refused.
    """
    stay = room.stay_in(group.tank, today)
    if stay is not None and how in ("sold", "given"):
        return Problem(group.tank, f"{lot_words(stay.code)} there is not released",
                       "release it first", "not-released")  # fmt: skip
    if stay is not None and how == "moved":
        if count < room.heads_in(group.tank):
            return Problem(
                group.code, f"{count} of the {room.heads_in(group.tank)} fish of "
                f"{lot_words(stay.code)}: a part of a lot takes its exposure along",
                f"leave them, or 'roomtasks part {group.code} {count} TANK --reason ...'",
                "part-of-a-lot",
            )  # fmt: skip
        return Problem(
            group.tank, f"{lot_words(stay.code)} there is not released",
            f"release it, or move the whole lot by 'roomtasks move-lot {stay.code} TANK'",
            "not-released",
        )  # fmt: skip
    there = room.stay_in(to, today) if to else None
    if there is not None:
        return Problem(
            to, f"{lot_words(there.code)} is kept apart there: one more fish puts all back to "
            "day 0",
            "use another tank, or say --anyway", "two-lots",
        )  # fmt: skip
    return None


def started_anew(stay: Stay, today: date) -> Stay:
    """The stay with its day 0 today, since something new came into its water."""
    return replace(stay, since=today, came=stay.first_day)


def _looked(now: StayNow, today: date) -> _Found:
    first = today - timedelta(days=LOOK_DAYS)
    missing = [day for day in now.unlooked if day >= first]
    if missing:
        free = max(missing) + timedelta(days=LOOK_DAYS + 1)
        said = ", ".join(day_words(day) for day in missing)
        return _Found(False, f"nobody looked on {said}; so from {day_words(free)}")
    return _Found(True, f"every day since {day_words(max(first, now.stay.first_day))}")


def _doses(now: StayNow, today: date) -> _Found:
    last = [item for item in now.candidates if item.cause in ("dose", "course")]
    late = [item for item in last if item.day > today]
    if late:
        return _Found(False, f"{day_words(late[0].day)}: {late[0].why}")
    return _Found(True, last[0].why if last else "none was given")


def _tests(readings: Iterable[Reading], tank: str) -> _Found:
    parts, state = [], True
    rows = [row for row in readings if row.target == tank]
    for what in ("ammonia", "nitrite"):
        ours = sorted((row for row in rows if row.what == what), key=lambda row: (row.at, row.id))
        newest = ours[-2:]
        if any(row.value > 0 for row in newest):
            worst = max(newest, key=lambda row: row.value)
            return _Found(False, f"{what} {worst.value:g} {worst.unit} on {day_words(worst.day)}")
        if len(newest) < 2:
            state = False
        parts.append(f"{what}: {len(newest)} of 2 at 0")
    return _Found(state or None, ", ".join(parts))


def _count(room: Room, stay: Stay, today: date) -> _Found:
    """The newest count of today against arrivals less deaths; None where nobody counted.

    A lot that was parted or moved may have left others behind: there the keeper says.
    """
    events = [
        event
        for tank, last in stay.places()
        for event in room.events_at.get(tank, ())
        if stay.first_day <= event.day and (last is None or event.day <= last)
    ]
    put = {event.act for event in events if event.event == "put-in"} - {None}
    came = sum(
        event.count or 0
        for event in events
        if event.event == "put-in" or (event.event == "arrival" and event.act not in put)
    )
    gone = sum(event.count or 0 for event in events if event.event in ("died", "lost"))
    counted = {
        event.note.partition(":")[0]: event.count or 0
        for event in events
        if event.event == "counted" and event.day == today and event.target == stay.tank
    }
    if not came:
        return _Found(None, "the count on arrival is not noted")
    said = f"{came} came, {gone} died or were lost"
    if not counted:
        return _Found(None, f"{said}: count {came - gone} today")
    heads = sum(counted.get(group.code, group.count) for group in room.groups_in(stay.tank))
    holds = heads == came - gone
    return _Found(None if stay.was_in and not holds else holds, f"{heads} counted today, {said}")


def _destination(
    room: Room, stay: Stay, readings: tuple[Reading, ...], to: str, today: date
) -> _Found:
    if not to:
        return _Found(False, "no destination is named")
    if to not in room.tank:
        return _Found(False, f"there is no tank {to}")
    if to == stay.tank:
        return _Found(None, f"they stay in {to}: the keeper looks at room and company")
    health = room.health_of(to, today)
    if health in (Health.WATCH, Health.QUARANTINE, Health.SICK):
        return _Found(False, f"{to} is {health.word}")
    soft = f"{to}: the keeper looks at room after growth, water and company"
    for problem in _judged(room, stay, readings, to, today):
        if problem.rule == "other-water":
            soft = f"{problem.what}: tick it once a plan to match the water stands"
        elif problem.rule != "other-class":
            return _Found(False, f"{to}: {problem.what}")
    return _Found(None, soft)


def _judged(
    room: Room, stay: Stay, readings: tuple[Reading, ...], to: str, today: date
) -> Iterator[Problem]:
    """What the rules of destinations say of every group of the lot."""
    at = day_start(today + timedelta(days=1), room.zone, room.day_starts) - _A_SECOND
    celsius: dict[str, float] = {}
    for row in sorted(readings, key=lambda row: (row.at, row.id)):
        if row.what == "temperature":
            celsius[row.target] = row.value
    judging = Judging(room=room, at=at, celsius=celsius)
    for group in room.groups_in(stay.tank):
        mover = Mover(now=lodger_of(room, group.code, {}), leaving_cm=None, from_tank=stay.tank)
        yield from tank_refusals(judging, mover, to)
        for other in lodgers_in(room, to, {}):
            yield from company_refusals(mover.now, other, to)


def _away(room: Room, today: date) -> _Found:
    for span in room.away:
        if span.first <= today + timedelta(days=1) <= span.last or span.first <= today <= span.last:
            said = f"away from {day_words(span.first)} to {day_words(span.last)}"
            return _Found(False, said)
    return _Found(True, "nobody is away tomorrow")
