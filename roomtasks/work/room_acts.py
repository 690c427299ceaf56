"""Acts on the room: valves, pumps, holds, readings, sightings, health classes, days away."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.column import from_text
from roomtasks.room.isolation import opening_refusals, owners_changed
from roomtasks.room.job import Hold
from roomtasks.room.journal import Event, Reading
from roomtasks.room.kind import KINDS
from roomtasks.room.naming import happened, kinds_words, place_words, reading_words
from roomtasks.room.problem import Problem
from roomtasks.room.release import started_anew
from roomtasks.room.room import SHEET, Room
from roomtasks.room.stay_facts import BROUGHT_IN
from roomtasks.room.stock import Condition
from roomtasks.room.sump import level_note
from roomtasks.room.system import PumpTurn, ValveTurn
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing

_ASK = {
    "ph": (3.0, 11.0), "temperature": (5.0, 40.0), "nitrate": (0.0, 500.0),
    "ammonia": (0.0, 20.0), "nitrite": (0.0, 20.0),
}  # fmt: skip


def turn_valve(
    store: Store, now: datetime, who: str, tank: str, state: str, anyway: bool = False,
    system: str = "",
) -> Told | Problem:  # fmt: skip
    """Open or shut a tank's valve: the body of water joins or splits from now on.

    The first turn of a tank's valve names the system it is on; later ones need not.
    Opening is refused while what is in the tank should not come into the system.
    """

    def do(it: Doing) -> str | Problem:
        if state not in ("open", "shut"):
            return Problem(state, "is no state of a valve", "say open or shut")
        turn = valve_turn(it.room, it.now, tank, state, system)
        if isinstance(turn, Problem):
            return turn
        if state == "open" and not anyway:
            refused = next(opening_refusals(it.room, tank, turn.system, it.now), None)
            if refused is not None:
                return replace(refused, remedy=f"{refused.remedy}, or say --anyway")
        it.writer.put("valves", turn)
        return _turned_words(it, turn)

    return doing(store, now, who, "valve", do)


def valve_turn(
    room: Room, now: datetime, tank: str, state: str, system: str = ""
) -> ValveTurn | Problem:
    """The turn of a tank's valve that is meant, on the system it is on, or why there is none."""
    if tank not in room.tank:
        return Problem(tank, "there is no such tank", "'roomtasks racks' shows them")
    if system and system not in room.system:
        return Problem(system, "there is no such system", "'roomtasks racks' shows them")
    last = room.valve.last(tank, now)
    if last is None and not system:
        return Problem(
            tank, "it has no valve on a system yet",
            f"'roomtasks valve {tank} {state} --system SYSTEM' says which one it is on",
        )  # fmt: skip
    if last is not None and system not in ("", last.system):
        return Problem(
            tank, f"its valve is on {last.system}, not on {system}", f"leave out --system {system}"
        )
    if last is not None and last.state == state:
        return Problem(tank, f"its valve is {state} already", "nothing was changed", "no-change")
    return ValveTurn(tank=tank, at=now, system=system if last is None else last.system, state=state)


def _turned_words(it: Doing, turn: ValveTurn) -> str:
    """What the turn changed: litres of the system, and jobs that begin and end."""
    after = replace(it.room, valves=(*it.room.valves, turn))
    litres = after.system_litres(turn.system, it.now) if turn.system in after.system else 0.0
    how = "opened" if turn.state == "open" else "shut"
    words = f"valve of {turn.tank} on {turn.system} {how}"
    words += f"; {turn.system} now holds {litres:.0f} L"
    owners = owners_changed(it.room, after, turn.tank, it.now)
    if owners.ends:
        words += f"; no more at {turn.tank}: {', '.join(owners.ends)}"
    if owners.begins:
        words += f"; from now on: {', '.join(owners.begins)}"
    return words


def turn_pump(store: Store, now: datetime, who: str, system: str, state: str) -> Told | Problem:
    """Start or stop a system's return pump."""

    def do(it: Doing) -> str | Problem:
        if system not in it.room.system:
            return Problem(system, "there is no such system", "'roomtasks racks' shows them")
        if state not in ("running", "off"):
            return Problem(state, "is no state of a pump", "say running or off")
        last = it.room.pump_state(system, it.now)
        if last is not None and last.state == state:
            return Problem(
                system, f"its pump is {state} already", "nothing was changed", "no-change"
            )
        it.writer.put("pumps", PumpTurn(system=system, at=it.now, state=state))
        return f"return pump of {system} {state}"

    return doing(store, now, who, "pump", do)


def set_hold(
    store: Store, now: datetime, who: str, target: str, kinds: str, reason: str,
    until: date | None = None, cause: str = "keeper",
) -> Told | Problem:  # fmt: skip
    """Forbid named kinds of job at a place until a day, or until lifted."""

    def do(it: Doing) -> str | Problem:
        unknown = [kind for kind in kinds.split() if kind not in KINDS and kind != "all"]
        if unknown or not kinds.split():
            return Problem(
                kinds, "names no kind of job", "use all, or kinds such as filter, change, vac"
            )
        if not _is_place(it, target):
            return Problem(target, "there is no such place", "'roomtasks racks' shows them")
        if until is not None and until < it.today:
            return Problem("until", f"{day_words(until)} is gone by", "give a day ahead",
                           named="the last day")  # fmt: skip
        code = f"hold-{it.writer.id}"
        it.writer.put(
            "holds",
            Hold(
                code=code, target=target, kinds=kinds, cause=cause, reason=reason, since=it.today,
                until=until,
            ),
        )  # fmt: skip
        tail = f" until {day_words(until)}" if until else " until lifted"
        what = kinds_words(it.room.job, kinds)
        return f"{what} held at {place_words(target)}{tail}: {reason} [{code}]"

    return doing(store, now, who, "hold", do)


def lift_hold(store: Store, now: datetime, who: str, code: str) -> Told | Problem:
    """End a hold today."""

    def do(it: Doing) -> str | Problem:
        hold = next((hold for hold in it.room.holds if hold.code == code), None)
        if hold is None:
            return Problem(code, "there is no such hold", "'roomtasks walk' lists what is held")
        if hold.until is not None and hold.until < it.today:
            return Problem(code, "it has ended already", "nothing was changed", "no-change",
                           f"hold at {place_words(hold.target)}")  # fmt: skip
        last_day = it.today - timedelta(days=1)
        if last_day < hold.since:
            it.writer.remove("holds", [code])
        else:
            it.writer.put("holds", replace(hold, until=last_day))
        what = kinds_words(it.room.job, hold.kinds)
        return f"hold on {what} at {place_words(hold.target)} lifted"

    return doing(store, now, who, "lift", do)


def read_off(
    store: Store, now: datetime, who: str, target: str, what: str, value: float, unit: str = "",
    anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Note a reading. What is far out of the usual is asked, not refused."""

    def do(it: Doing) -> str | Problem:
        if not _is_place(it, target) and target not in it.room.source:
            return Problem(target, "there is no such place", "'roomtasks racks' shows them")
        named = from_text(SHEET["readings"].columns["what"], what)
        if isinstance(named, Problem):
            return Problem("what was read", named.what, named.remedy)
        low, high = _ASK.get(what, (float("-inf"), float("inf")))
        if not low <= value <= high and not anyway:
            return Problem(
                what, f"{value:g} is far from the usual {low:g} to {high:g}",
                "if it is right, say so again with --anyway", "ask", reading_words(what),
            )  # fmt: skip
        made = Reading(
            id=it.writer.next_id("readings"), act=it.writer.id, target=target, what=what,
            value=value, unit=unit, day=it.today, at=it.now,
        )  # fmt: skip
        it.writer.put("readings", made)
        said = f"{reading_words(what)} at {place_words(target)}: {value:g} {unit}".rstrip()
        note = level_note(it.room, made)
        return f"{said}; {note.text}" if note is not None and note.sort == "warned" else said

    return doing(store, now, who, "reading", do)


def seen(
    store: Store, now: datetime, who: str, target: str, event: str, day: date | None = None,
    count: int | None = None, note: str = "",
) -> Told | Problem:  # fmt: skip
    """Note something seen, or dated to happen, at a place."""

    def do(it: Doing) -> str | Problem:
        if not _is_place(it, target):
            return Problem(target, "there is no such place", "'roomtasks racks' shows them")
        named = from_text(SHEET["events"].columns["event"], event)
        if isinstance(named, Problem):
            return Problem("what was seen", named.what, named.remedy)
        on = day or it.today
        it.writer.put(
            "events",
            Event(
                id=it.writer.next_id("events"), act=it.writer.id, event=event, target=target,
                day=on, at=it.now if on == it.today else None, count=count, who=it.who, note=note,
            ),
        )  # fmt: skip
        stay = it.room.stay_in(target, it.today)
        if stay is not None and event in BROUGHT_IN and stay.since < on <= it.today:
            it.writer.put("stays", started_anew(stay, on))
        told = f"{place_words(target)}: {happened(event, count)} on {day_words(on)}"
        return told + (f" ({note})" if note else "")

    return doing(store, now, who, "seen", do)


def set_class(
    store: Store, now: datetime, who: str, tank: str, state: str, reason: str
) -> Told | Problem:  # fmt: skip
    """Set a tank's health class from today: clean, watch or sick."""

    def do(it: Doing) -> str | Problem:
        if tank not in it.room.tank:
            return Problem(tank, "there is no such tank", "'roomtasks racks' shows them")
        if state not in ("clean", "watch", "sick"):
            return Problem(state, "is no class a keeper sets", "say clean, watch or sick")
        it.writer.put(
            "conditions", Condition(tank=tank, since=it.today, state=state, reason=reason)
        )
        return f"{tank} is {'under watch' if state == 'watch' else state}: {reason}"

    return doing(store, now, who, "class", do)


def _is_place(it: Doing, target: str) -> bool:
    room = it.room
    return (
        target == "room"
        or target in room.tank
        or any(rack.code == target for rack in room.racks)
        or target in room.filter
        or target in room.system
        or target in room.reservoir
    )
