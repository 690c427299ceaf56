"""Acts on lots kept apart: arrive, look, move whole, part with a reason, tick, release.

Rules stand in `room.arrival`, `room.release` and `room.stay_clock`; each act reads,
decides and writes once, so that undo puts every date back.
"""

from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.arrival import Readiness, arrival_refusals
from roomtasks.room.journal import MARKS, Mark
from roomtasks.room.naming import lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.release import (
    KNOWN_ONLY,
    LINES,
    WATCH_DAYS,
    Line,
    checklist,
    destination_note,
    release_refusals,
    started_anew,
)
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import StayNow
from roomtasks.room.stay_facts import EXPLAINED, LOOKED, NOT_SEEN, SIGN, stays_now
from roomtasks.room.stock import Group, Stay, Tick
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.course_over import all_leave
from roomtasks.work.fish import (
    Doing,
    Told,
    do_move,
    do_put_in,
    do_take_out,
    doing,
    note_event,
)
from roomtasks.work.lot_over import once, strip
from roomtasks.work.stay_view import seen_of

SEEN = ("fine", SIGN, "dead", NOT_SEEN)
WAIVED = ("not-stripped", "no-ripe-filter", "before-away")  # by a keeper who says so again
NO_TANK = "'roomtasks racks' shows them"


def arrive(
    store: Store, now: datetime, who: str, group: Group, days: int | None = None,
    anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Put a new group apart: begins a stay, or starts the lot there anew once that is asked.

    The group's `since` is the day it came, today or gone by. `days` else as set.
    """

    def do(it: Doing) -> str | Problem:
        fault = _arrival_fault(it, group)
        if fault is not None:
            return fault
        stay = it.room.stay_in(group.tank, it.today)
        refused = _asked(it, stay, group) if stay is not None else _first(it, group.tank, anyway)
        if refused is not None and not (anyway and refused.rule == "ask"):
            return refused
        put = do_put_in(it, group, joins=True)
        if isinstance(put, Problem):
            return put
        note_event(it, "arrival", group.tank, None, group.code, group.since)
        if stay is not None:
            kept = started_anew(stay, max(stay.since, group.since))
        else:
            kept = Stay(
                code=f"lot-{it.writer.id}", tank=group.tank, since=group.since,
                days=days or it.room.setup.quarantine_days,
            )  # fmt: skip
        it.writer.put("stays", kept)
        free = kept.since + timedelta(days=kept.days)
        return (
            f"{put}; {lot_words(kept.code)} on day {(it.today - kept.since).days} of {kept.days}, "
            f"free on {day_words(free)} {free.year} at the earliest"
        )

    return doing(store, now, who, "arrive", do)


def look(
    store: Store, now: datetime, who: str, tank: str, seen: str = "fine",
    count: int | None = None, group: str = "", explained: str = "", note: str = "",
) -> Told | Problem:  # fmt: skip
    """Note a look at a tank: fine, a sign of illness, so many dead, or so many not seen.

    A death with no word of why is unexplained, and its clear days begin.
    """

    def do(it: Doing) -> str | Problem:
        if tank not in it.room.tank:
            return Problem(tank, "there is no such tank", NO_TANK)
        if seen not in SEEN:
            return Problem(seen, "is nothing a look sees", "say " + ", ".join(SEEN))
        if count is not None and count < 1:
            return Problem(tank, f"{count} fish is no count", "give 1 or more")
        if explained and seen != "dead":
            return Problem(tank, "only a death is explained", "say dead, or leave it out")
        note_event(it, LOOKED, tank, None, note)
        if seen == "fine":
            return f"{tank} looked at: fine" + (f" ({note})" if note else "")
        if seen == "dead":
            return _dead(it, tank, count or 1, group, explained, note)
        note_event(it, seen, tank, count, note)
        many = f" {count}" if count is not None else ""
        word = "sign of illness" if seen == SIGN else "not seen"
        return f"{tank} looked at: {word}{many}" + (f" ({note})" if note else "")

    return doing(store, now, who, "look", do)


def move_lot(store: Store, now: datetime, who: str, stay: str, to: str) -> Told | Problem:
    """Move a whole lot to another clean tank; its days run on, the old tank wants stripping."""

    def do(it: Doing) -> str | Problem:
        lot = _running(it, stay)
        if isinstance(lot, Problem):
            return lot
        if to not in it.room.tank:
            return Problem(to, "there is no such tank", NO_TANK)
        refused = all_leave(it.room, lot.tank, it.today) or _first(it, to, anyway=False)
        if refused is not None:
            return refused
        moved = _move_all(it, lot, to)
        if isinstance(moved, Problem):
            return moved
        was = f"{lot.was_in} {lot.tank} {it.today.isoformat()}".strip()
        it.writer.put("stays", replace(lot, tank=to, was_in=was))
        strip(it.writer, lot, it.today)
        return f"{lot_words(stay)} moved whole from {lot.tank} to {to}; its days run on"

    return doing(store, now, who, "move-lot", do)


def part(
    store: Store, now: datetime, who: str, group: str, count: int, to: str, reason: str
) -> Told | Problem:
    """Take part of a lot out to another tank that can keep it apart; its exposure goes along."""

    def do(it: Doing) -> str | Problem:
        fish = next((row for row in it.room.groups if row.code == group), None)
        lot = it.room.stay_in(fish.tank, it.today) if fish is not None else None
        if fish is None or lot is None:
            return Problem(group, "it is in no lot kept apart", "'roomtasks move' moves it")
        if not reason.strip():
            return Problem("reason", "it is blank", "say why the part must leave")
        if to not in it.room.tank:
            return Problem(to, "there is no such tank", NO_TANK)
        if count == it.room.heads_in(fish.tank):
            return Problem(group, f"{count} is the whole lot",
                           f"'roomtasks move-lot {lot.code} {to}' moves it")  # fmt: skip
        refused = _first(it, to, anyway=False)
        if refused is not None:
            return refused
        moved = do_move(it, group, count, to, True, insisted=True)
        if isinstance(moved, Problem):
            return moved
        was = f"{lot.was_in} {lot.tank} {it.today.isoformat()}".strip()
        code = f"lot-{it.writer.id}"
        it.writer.put("stays", replace(lot, code=code, tank=to, was_in=was, note=reason))
        return f"{moved}; {lot_words(code)} there takes the dates of {lot.code} along: {reason}"

    return doing(store, now, who, "part", do)


def tick(
    store: Store, now: datetime, who: str, stay: str, line: str, note: str = "", to: str = ""
) -> Told | Problem:  # fmt: skip
    """The keeper says that a line of the release holds today; the destination for one tank."""

    def do(it: Doing) -> str | Problem:
        lot = _running(it, stay)
        if isinstance(lot, Problem):
            return lot
        if line not in LINES:
            return Problem(line, "is no line of a release", "use " + ", ".join(LINES))
        if line in KNOWN_ONLY:
            return Problem(line, "the journal answers this line, nobody ticks it",
                           "'roomtasks fish' shows what it waits for", "known-line")  # fmt: skip
        kept = note
        if line == "destination":
            wrong = _no_destination(it, lot, to)
            if wrong is not None:
                return wrong
            kept = destination_note(to, note)
        it.writer.put("ticks", Tick(stay=stay, line=line, day=it.today, who=it.who, note=kept))
        what = f"{to} will do as destination" if line == "destination" else LINES[line]
        return f"release of {stay}: {what}" + (f" ({note})" if note else "")

    return doing(store, now, who, "tick", do)


def _no_destination(it: Doing, lot: Stay, to: str) -> Problem | None:
    """Why a destination cannot be ticked: none named, or one that the rules speak against."""
    if not to:
        return Problem(
            lot.code, "which tank is meant is not said",
            f"'roomtasks confirm {lot.code} destination --to TANK'", "which-destination",
        )  # fmt: skip
    if to not in it.room.tank:
        return Problem(to, "there is no such tank", NO_TANK)
    line = next(line for line in _lines_for(it, lot, to)[0] if line.code == "destination")
    if line.may_tick:
        return None
    return Problem(to, line.evidence, "settle that first, or name another tank", "release-open")


def _lines_for(it: Doing, lot: Stay, to: str) -> tuple[tuple[Line, ...], StayNow]:
    seen = seen_of(it.writer.store, it.room, it.today)
    now = next(now for now in stays_now(it.room, seen, it.today) if now.stay.code == lot.code)
    return checklist(it.room, now, it.today, seen.readings, to), now


def release(store: Store, now: datetime, who: str, stay: str, to: str) -> Told | Problem:
    """Release a lot to a tank once every line holds; sets its looks and the strip job."""

    def do(it: Doing) -> str | Problem:
        lot = _running(it, stay)
        if isinstance(lot, Problem):
            return lot
        if to not in it.room.tank:
            return Problem(to, "there is no such tank", NO_TANK)
        lines, now_ = _lines_for(it, lot, to)
        refused = next(release_refusals(lines, lot), None)
        if refused is not None:
            return refused
        if to != lot.tank:
            moved = _move_all(it, lot, to)
            if isinstance(moved, Problem):
                return moved
            strip(it.writer, lot, it.today)
        it.writer.put("stays", replace(lot, ended=it.today, released_to=to))
        note_event(it, "released", to, None, stay)
        for number in WATCH_DAYS:
            name = f"Look at the new fish in {to}, day {number}"
            code = f"{stay[:14]}-look{number}-{it.writer.id}"
            once(it.writer, code, name, "look", to, it.today + timedelta(days=number))
        on = f"day {now_.day} of {now_.days}"
        return f"{lot_words(stay)} released from {lot.tank} to {to} on {on}"

    return doing(store, now, who, "release", do)


def _arrival_fault(it: Doing, group: Group) -> Problem | None:
    if group.tank not in it.room.tank:
        return Problem(group.tank, "there is no such tank", NO_TANK)
    if group.since > it.today:
        return Problem(group.code, f"an arrival on {day_words(group.since)} lies ahead",
                       "enter it on the day, or give a day gone by",
                       "not-in-the-future")  # fmt: skip
    if group.count < 1:
        return Problem(group.code, "a lot of 0 fish", "give 1 or more")
    return None


def _asked(it: Doing, stay: Stay, group: Group) -> Problem:
    """The plain question before a lot is put back to day 0."""
    free = max(stay.since, group.since) + timedelta(days=stay.days)
    return Problem(
        group.tank,
        f"{it.room.heads_in(group.tank)} fish of {lot_words(stay.code)} are on day "
        f"{(it.today - stay.since).days} of {stay.days}: all go back to day 0, "
        f"free on {day_words(free)} {free.year} at the earliest",
        "if that is meant, say so again with --anyway; else use another tank", "ask",
    )  # fmt: skip


def _first(it: Doing, tank: str, anyway: bool) -> Problem | None:
    """The first rule against newcomers in a tank that the keeper has not waived."""
    known = readiness(it.writer.store, it.room, tank, it.today)
    for problem in arrival_refusals(it.room, tank, it.now, known):
        if not (anyway and problem.rule in WAIVED):
            if problem.rule in WAIVED:
                return replace(problem, remedy=f"{problem.remedy}, or say --anyway")
            return problem
    return None


def readiness(store: Store, room: Room, tank: str, today: date) -> Readiness:
    """When a tank was last stripped, and what was changed of it since its valve was shut."""
    strips = {job.code for job in room.jobs if job.kind == "strip"}
    changes = {job.code for job in room.jobs if job.kind == "change"}
    marks: list[Mark] = read.rows(
        store, MARKS, "WHERE \"target\" = ? AND \"outcome\" IN ('done', 'partly') "
        'ORDER BY "day", "id"', (tank,),
    )  # fmt: skip
    stripped = [mark.day for mark in marks if mark.job in strips and mark.outcome == "done"]
    last = room.valve.turns.get(tank, ())
    shut = last[-1].at if last and last[-1].state == "shut" else None
    kept = 1.0
    for mark in marks:
        if shut is not None and mark.at >= shut and mark.job in changes:
            kept *= 1.0 - (mark.fraction or 0.0)
    if shut is not None and stripped and stripped[-1] >= room.day_at(shut):
        kept = 0.0
    return Readiness(
        stripped_on=stripped[-1] if stripped else None, changed_since_shut=1.0 - kept
    )  # fmt: skip


def _dead(
    it: Doing, tank: str, count: int, group: str, explained: str, note: str
) -> str | Problem:  # fmt: skip
    groups = it.room.groups_in(tank)
    if not group and len(groups) != 1:
        names = ", ".join(row.code for row in groups) or "none"
        return Problem(tank, "which group the dead belong to is not clear", f"name it: {names}")
    chosen = group or groups[0].code
    if all(row.code != chosen for row in groups):
        return Problem(chosen, f"it does not live in {tank}", "name a group that does")
    return do_take_out(it, chosen, count, "died", EXPLAINED + explained if explained else note)


def _running(it: Doing, code: str) -> Stay | Problem:
    lot = next((stay for stay in it.room.stays if stay.code == code), None)
    if lot is None:
        return Problem(code, "there is no such lot", "'roomtasks fish' shows them")
    if lot.ended is not None:
        was = "it was released" if lot.released_to else "it was over"
        return Problem(code, f"{was} on {day_words(lot.ended)}",
                       "nothing was changed", "no-change")  # fmt: skip
    if it.today < lot.first_day:
        return Problem(
            code, f"today is {day_words(it.today)}, before it came on "
            f"{day_words(lot.first_day)}", "look at the computer's clock", "not-in-the-future",
        )  # fmt: skip
    return lot


def _move_all(it: Doing, lot: Stay, to: str) -> Problem | None:
    """Move every group of a lot. The room is read again after each, for its counts."""
    for group in it.room.groups_in(lot.tank):
        fresh = read.room(it.writer.store)
        if isinstance(fresh, Problem):
            return fresh
        moved = do_move(
            replace(it, room=fresh), group.code, group.count, to, True, insisted=True
        )  # fmt: skip
        if isinstance(moved, Problem):
            return moved
    return None
