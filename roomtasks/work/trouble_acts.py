"""Acts on troubles: begun, over, a step ticked. Each is one act, whole or absent.

A pump that failed is off and an outbreak freezes what it reached, in the same
act, so that undo puts all of it back. What a trouble forbids is read off its row
(`room.trouble_holds`) and is written nowhere.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from roomtasks.room.health import Health
from roomtasks.room.job import Hold
from roomtasks.room.journal import Event
from roomtasks.room.naming import many, place_words
from roomtasks.room.near import near, or_words
from roomtasks.room.pin import TROUBLES, Trouble
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stock import Condition
from roomtasks.room.system import PumpTurn
from roomtasks.room.trouble import trouble_plan
from roomtasks.room.trouble_clock import Told as Known
from roomtasks.room.trouble_holds import WORDS, earlier, over_at, since_words
from roomtasks.room.trouble_power import systems_in
from roomtasks.room.trouble_steps import TICK, Look
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.trouble_view import reached_by, told_of_steps

PLACES = {
    "power-cut": ("room", "rack", "system", "tank"), "pump": ("system",),
    "heater": ("tank", "system", "reservoir"), "leak": ("tank",), "outbreak": ("tank",),
    "reservoir": ("reservoir",),
}  # fmt: skip
LISTED = "'roomtasks trouble' lists them"


def trouble_begin(
    store: Store, now: datetime, who: str, sort: str, target: str = "",
    began: datetime | None = None, note: str = "",
) -> Told | Problem:  # fmt: skip
    """Something went wrong at a place, now or at a time gone by.

    Without a target the one place that can be meant. Refuses what is no sort or
    place, a time ahead, and a second of the same sort at the same place.
    """

    def do(it: Doing) -> str | Problem:
        at = began or it.now
        place = place_for(it.room, sort, target)
        if isinstance(place, Problem):
            return place
        fault = _begin_fault(it, sort, place, at)
        if fault is not None:
            return fault
        trouble = Trouble(code=f"{sort}-{it.writer.id}", sort=sort, target=place, began=at,
                          note=note)  # fmt: skip
        it.writer.put("troubles", trouble)
        said = [since_words(it.room, trouble, it.now), *_also_begun(it, trouble)]
        return "; ".join(said) + (f": {note}" if note else "")

    return doing(store, now, who, "trouble-begin", do)


def trouble_over(
    store: Store, now: datetime, who: str, code: str, ended: datetime | None = None
) -> Told | Problem:
    """A trouble was over, now or at a time gone by: its code, or its sort where one is open."""

    def do(it: Doing) -> str | Problem:
        trouble = found_trouble(it.room, code)
        if isinstance(trouble, Problem):
            return trouble
        at = ended or it.now
        fault = _over_fault(it, trouble, at)
        if fault is not None:
            return fault
        over = replace(trouble, ended=at)
        it.writer.put("troubles", over)
        plan = trouble_plan(it.room, over, it.now)
        changes = () if isinstance(plan, Problem) else plan.changes
        said = [since_words(it.room, over, it.now), *_also_over(it, over), *changes]
        return "; ".join(said)

    return doing(store, now, who, "trouble-over", do)


def tick_step(store: Store, now: datetime, who: str, code: str, step: str) -> Told | Problem:
    """A step of a trouble was done; it is noted as an event at the trouble's place."""

    def do(it: Doing) -> str | Problem:
        trouble = found_trouble(it.room, code)
        if isinstance(trouble, Problem):
            return trouble
        told = told_of_steps(it.writer.store, it.room, trouble, it.now)
        plan = trouble_plan(it.room, trouble, it.now, told)
        if isinstance(plan, Problem):
            return plan
        found = next((each for each in plan.steps if each.code == step), None)
        if found is None:
            known = [each.code for each in plan.steps]
            return Problem(step, f"a {WORDS[trouble.sort]} has no such step", "its steps: "
                           + ", ".join(known))  # fmt: skip
        if found.done:
            return Problem(step, "it is done already", "nothing was changed", "no-change",
                           found.words)  # fmt: skip
        it.writer.put(
            "events",
            Event(id=it.writer.next_id("events"), act=it.writer.id, event=TICK,
                  target=trouble.target, day=it.today, at=it.now, who=it.who,
                  note=f"{trouble.code} {step}"),
        )  # fmt: skip
        return f"{_headed(trouble)}, step done: {found.words}"

    return doing(store, now, who, "trouble-tick", do)


def found_trouble(room: Room, code: str) -> Trouble | Problem:
    """A trouble by its code, or by its sort where one of it is open."""
    known = {trouble.code: trouble for trouble in room.troubles}
    if code in known:
        return known[code]
    going = [trouble for trouble in room.troubles if trouble.sort == code and not trouble.ended]
    if len(going) == 1:
        return going[0]
    if going:
        return Problem(
            code, f"{len(going)} of them are open",
            "say which: " + ", ".join(f"{t.code} ({_headed(t)})" for t in going),
            named=WORDS[code],
        )  # fmt: skip
    if code in TROUBLES:
        return Problem(code, "none is entered that is not over", LISTED, named=WORDS[code])
    close = near(code, known)
    return Problem(code, "there is no such trouble", or_words(close) if close else LISTED)


def place_for(room: Room, sort: str, target: str) -> str | Problem:
    """Where a trouble of a sort stands: as said, else the only place it can be."""
    if sort not in TROUBLES:
        close = near(sort, TROUBLES)
        return Problem(sort, "is no sort of trouble",
                       or_words(close) if close else "use " + ", ".join(TROUBLES))  # fmt: skip
    places = list(_places(room, PLACES[sort]))
    if not target:
        if "room" in places:
            return "room"
        if len(places) == 1:
            return places[0]
        kinds = " or ".join(PLACES[sort])
        return Problem("target", f"at which {kinds} is not said",
                       f"say which: trouble-begin {sort} PLACE", "trouble-place",
                       WORDS[sort])  # fmt: skip
    if target in places:
        return target
    everywhere = list(_places(room, ("room", "rack", "system", "tank", "reservoir")))
    if target in everywhere:
        return Problem(target, f"{WORDS[sort]} cannot be there",
                       f"name a {' or a '.join(PLACES[sort])}", "trouble-place")  # fmt: skip
    close = near(target, everywhere)
    return Problem(target, "there is no such place",
                   or_words(close) if close else "'roomtasks racks' shows them")  # fmt: skip


def places_of(room: Room, sort: str) -> tuple[str, ...]:
    """Every place at which a trouble of a sort can be."""
    return tuple(_places(room, PLACES[sort]))


def _places(room: Room, things: Iterable[str]) -> Iterator[str]:
    for thing in things:
        match thing:
            case "room":
                yield "room"
            case "rack":
                yield from (rack.code for rack in room.racks)
            case "system":
                yield from room.system
            case "tank":
                yield from room.tank
            case _:
                yield from room.reservoir


def _begin_fault(it: Doing, sort: str, place: str, at: datetime) -> Problem | None:
    if earlier(it.now, at):
        return Problem("at", f"{_when(it, at)} lies ahead", "give a time gone by",
                       "not-in-the-future")  # fmt: skip
    for other in it.room.troubles:
        if (other.sort, other.target) != (sort, place):
            continue
        if other.ended is None:
            return Problem(
                place, f"{since_words(it.room, other, it.now)}, is entered already",
                f"say first that it is over: 'roomtasks trouble-over {other.code}'",
                "trouble-open", named=place_words(place),
            )  # fmt: skip
        if earlier(at, other.ended):
            return Problem(
                place, f"{since_words(it.room, other, it.now)}, was not over then",
                f"give a time from {_when(it, other.ended)} on", "trouble-open",
                named=place_words(place),
            )  # fmt: skip
    return None


def _over_fault(it: Doing, trouble: Trouble, at: datetime) -> Problem | None:
    if trouble.ended is not None:
        return Problem(trouble.code, f"it was over {_when(it, trouble.ended)} already",
                       "nothing was changed", "no-change", _headed(trouble))  # fmt: skip
    if earlier(at, trouble.began):
        return Problem(
            trouble.code, f"{_when(it, at)} is before it began, {_when(it, trouble.began)}",
            "give a later time", "over-before-begun", _headed(trouble),
        )  # fmt: skip
    if earlier(it.now, at):
        return Problem("at", f"{_when(it, at)} lies ahead", "give a time gone by",
                       "not-in-the-future")  # fmt: skip
    return None


def _headed(trouble: Trouble) -> str:
    """A trouble and its place, to head a sentence."""
    where = "" if trouble.target == "room" else f" at {trouble.target}"
    return f"{WORDS[trouble.sort]}{where}"


def _when(it: Doing, at: datetime) -> str:
    there = at.astimezone(it.room.zone)
    return f"{day_words(there.date())} {there:%H:%M}"


def _also_begun(it: Doing, trouble: Trouble) -> Iterator[str]:
    """What is so with it: pumps without power are off, an outbreak freezes whom it reached."""
    if trouble.sort in ("power-cut", "pump"):
        for system in systems_in(Look(it.room, trouble, it.now, Known())):
            turn = it.room.pump_state(system, trouble.began)
            if turn is None or turn.state != "off":
                it.writer.put("pumps", PumpTurn(system=system, at=trouble.began, state="off"))
                yield f"return pump of {system} off"
    if trouble.sort == "outbreak":
        yield from _freeze(it, trouble)


def _freeze(it: Doing, trouble: Trouble) -> Iterator[str]:
    """The ill tank is sick, those it reached under watch, moves and sales from all of them held."""
    reached = reached_by(it.writer.store, it.room, trouble.target, trouble.began, it.now)
    tanks = tuple(dict.fromkeys([trouble.target, *(met.tank for met in reached.tanks)]))
    reason = f"outbreak at {trouble.target}"
    for n, tank in enumerate(tanks, start=1):
        wanted = "sick" if tank == trouble.target else "watch"
        if it.room.health_of(tank, it.today) < (Health.SICK if n == 1 else Health.WATCH):
            it.writer.put(
                "conditions",
                Condition(tank=tank, since=it.today, state=wanted, reason=reason),
            )  # fmt: skip
        it.writer.put(
            "holds",
            Hold(code=f"{trouble.code}-{n}", target=tank, kinds="move", cause="keeper",
                 reason=reason, since=it.today),
        )  # fmt: skip
    yield f"moves and sales held at {many(len(tanks), 'tank')}: {', '.join(tanks)}"
    if reached.left:
        heads = sum(left.transfer.count for left in reached.left)
        yield f"{heads} fish left the room out of them: 'roomtasks trouble' says to whom"


def _also_over(it: Doing, trouble: Trouble) -> Iterator[str]:
    ended = over_at(trouble, it.now) or it.now
    if trouble.sort == "pump":
        turn = it.room.pump_state(trouble.target, ended)
        if turn is not None and turn.state == "off":
            it.writer.put("pumps", PumpTurn(system=trouble.target, at=ended, state="running"))
            yield f"return pump of {trouble.target} running"
    if trouble.sort == "outbreak":
        lifted = [hold for hold in it.room.holds if hold.code.startswith(f"{trouble.code}-")]
        for hold in lifted:
            _lift(it, hold)
        yield f"{many(len(lifted), 'hold')} lifted; health classes stay until you set them"


def _lift(it: Doing, hold: Hold) -> None:
    last = it.today - timedelta(days=1)
    if hold.until is not None and hold.until <= last:
        return
    if last < hold.since:
        it.writer.remove("holds", [hold.code])
    else:
        it.writer.put("holds", replace(hold, until=last))
