"""Acts on moves to come: plan a chain, do a link, let it slip, drop it; and make a tank over.

Every link is a move of `work.fish`, so its counts add up. Each has a job on
its day, so that it stands in the walk.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.chain_days import slipped, spread
from roomtasks.room.chain_room import Link, Wanted, chain_for, reserved_by
from roomtasks.room.job import Job
from roomtasks.room.planned_move import TUB, Gate, PlannedMove, Rededication
from roomtasks.room.problem import Problem
from roomtasks.room.rededicate import CAUGHT, STEPS, make_over, refill_litres, step_fault
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.brood_acts import again
from roomtasks.work.brood_view import judging_of, leaving_sizes
from roomtasks.work.fish import Doing, Told, do_move, do_take_out, doing, note_event
from roomtasks.work.links import put_link


def taken_on(moves: Iterable[PlannedMove], without: str = "") -> dict[date, int]:
    """How many moves are planned for each day, one chain left out."""
    found: dict[date, int] = {}
    for move in moves:
        if move.state == "planned" and move.chain != without:
            found[move.day] = found.get(move.day, 0) + 1
    return found


def plan_chain(
    store: Store, now: datetime, who: str, wants: Sequence[tuple[str, tuple[str, ...]]],
    sold: Sequence[str] = (), stay: Sequence[str] = (), first: date | None = None,
    by: date | None = None,
) -> Told | Problem:  # fmt: skip
    """Plan the shortest chain that brings groups to tanks (none named: any that would do).

    Grown fish in breeding tanks stay where they are unless they are asked for.
    """

    def do(it: Doing) -> str | Problem:
        found = _foreseen(it.writer.store, it.room, it.now, wants, sold, stay, first, by)
        return found if isinstance(found, Problem) else _write_chain(it, found)

    return doing(store, now, who, "plan", do)


@dataclass(frozen=True, slots=True, kw_only=True)
class Foreseen:
    """A chain as it would be planned: its links, the day of each, whether none can be shorter."""

    links: tuple[tuple[Link, date], ...]
    proven: bool

    def said(self) -> tuple[str, ...]:
        """Each link in words."""
        return tuple(
            f"{link.n}. {link.group} {link.from_tank} to {link.to_tank or 'a buyer'} "
            f"{day_words(day)}"
            for link, day in self.links
        )


def foresee_chain(
    store: Store, now: datetime, wants: Sequence[tuple[str, tuple[str, ...]]],
    sold: Sequence[str] = (), stay: Sequence[str] = (), first: date | None = None,
    by: date | None = None,
) -> Foreseen | Problem:  # fmt: skip
    """The chain that `plan_chain` would write; nothing is written."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        return _foreseen(store, room, now, wants, sold, stay, first, by)


def _foreseen(
    store: Store, room: Room, now: datetime, wants: Sequence[tuple[str, tuple[str, ...]]],
    sold: Sequence[str], stay: Sequence[str], first: date | None, by: date | None,
) -> Foreseen | Problem:  # fmt: skip
    today = room.day_at(now)
    fault = _plan_fault(room, today, wants, sold, first, by)
    if fault is not None:
        return fault
    judging = judging_of(store, room, now)
    asked = {code for code, _ in wants}
    staying = frozenset(stay) | {
        group.code for group in room.groups
        if group.stage == "adult" and group.code not in {*asked, *sold}
        and room.tank[group.tank].role == "breeding"
    }  # fmt: skip
    found = chain_for(judging, Wanted(
        groups=tuple(wants), leaving_cm=leaving_sizes(room, judging.lengths),
        sold=frozenset(sold), stay=staying, reserved=reserved_by(room.planned_moves),
    ))  # fmt: skip
    if isinstance(found, Problem):
        return found
    if not found.links:
        return Problem(wants[0][0], "it is where it should be", "nothing to plan", "no-change")
    ways = [(link.from_tank, link.to_tank) for link in found.links]
    days = spread(ways, first or today, room.setup.net_jobs_a_day, taken_on(room.planned_moves),
                  room.setup.change_weekday, by)  # fmt: skip
    if isinstance(days, Problem):
        return days
    return Foreseen(links=tuple(zip(found.links, days, strict=True)), proven=found.proven)


def _plan_fault(
    room: Room, today: date, wants: Sequence[tuple[str, tuple[str, ...]]], sold: Sequence[str],
    first: date | None, by: date | None,
) -> Problem | None:  # fmt: skip
    if not wants:
        return Problem("chain", "no group was named", "name the group that is to go")
    begins = first or today
    if begins < today:
        return Problem("day", f"{day_words(begins)} is gone by", "give today or later")
    if by is not None and by < begins:
        return Problem("day", f"{day_words(by)} is before the first day, {day_words(begins)}",
                       "give a later day")  # fmt: skip
    lives = {group.code: group.tank for group in room.groups if group.count}
    for code, tanks in wants:
        if lives.get(code) in tanks:
            return Problem(code, f"it is in {lives[code]} already", "nothing to plan",
                           "no-change")  # fmt: skip
    busy = {move.group: move.chain for move in room.planned_moves if move.state == "planned"}
    for code in (*(code for code, _ in wants), *sold):
        if code in busy:
            return Problem(code, f"it is in {busy[code]} already", f"drop {busy[code]} first",
                           "in-a-chain")  # fmt: skip
    return None


def _write_chain(it: Doing, found: Foreseen) -> str:
    code = f"chain-{it.writer.id}"
    for link, day in found.links:
        move = PlannedMove(chain=code, n=link.n, group=link.group, count=link.count,
                           from_tank=link.from_tank, to_tank=link.to_tank, day=day)  # fmt: skip
        put_link(it.room, it.writer, move)
    many = len(found.links)
    sure = "no shorter one can be" if found.proven else "a shorter one may be"
    return f"{code}, {many} link{'s' if many != 1 else ''} ({sure}): {'; '.join(found.said())}"


def _chain(room: Room, code: str) -> list[PlannedMove] | Problem:
    found = sorted((m for m in room.planned_moves if m.chain == code), key=lambda move: move.n)
    return found or Problem(code, "there is no such chain", "'roomtasks broods' shows them")


def do_link(
    store: Store, now: datetime, who: str, code: str, n: int, counted_in: int | None = None,
    how: str = "sold", anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """A link of a chain was done: so many out, so many in. A difference stays open."""

    def do(it: Doing) -> str | Problem:
        moves = _chain(it.room, code)
        if isinstance(moves, Problem):
            return moves
        move = next((m for m in moves if m.n == n), None)
        fault = _link_fault(moves, move, n, counted_in)
        if fault is not None or move is None:
            return fault or Problem(code, f"it has no link {n}", "look at the chain")
        said = _carry_out(it, move, how, anyway)
        if isinstance(said, Problem):
            return said
        short = counted_in if counted_in is not None and counted_in != move.count else None
        done = replace(move, state="done", done_on=it.today, counted_in=short)
        put_link(it.room, it.writer, done)
        behind = [m for m in moves if m.n > n and m.state == "planned"]
        tail = ""
        if behind and behind[0].day < it.today:
            tail = _let_slip(again(it), code, behind[0].n, it.today)
        if short is not None:
            note_event(it, "difference", move.to_tank or move.from_tank, move.count - short, code)
            tail += f"; {move.count} out, {short} in: open until settled"
        return f"{code} link {n}: {said}{tail}"

    return doing(store, now, who, "link", do)


def _link_fault(
    moves: Sequence[PlannedMove], move: PlannedMove | None, n: int, counted_in: int | None
) -> Problem | None:
    if move is None:
        return Problem(str(n), "there is no such link", "look at the chain")
    if move.state != "planned":
        return Problem(f"link {n}", f"it is {move.state} already", "nothing was changed",
                       "no-change")  # fmt: skip
    before = next((m for m in moves if m.n < n and m.state == "planned"), None)
    if before is not None:
        return Problem(f"link {n}", f"link {before.n} comes first: {before.group} out of "
                       f"{before.from_tank}", "do that one first, or drop the chain",
                       "chain-order")  # fmt: skip
    if counted_in is not None and not 0 <= counted_in <= move.count:
        return Problem("count", f"{counted_in} in, of {move.count} out", "count again",
                       "counts-add-up")  # fmt: skip
    return None


def _carry_out(it: Doing, move: PlannedMove, how: str, anyway: bool) -> str | Problem:
    """The move itself. Into the tub the fish stay in the book of their tank until they leave it."""
    if move.to_tank == TUB:
        note_event(it, "in-tub", move.from_tank, move.count, move.group)
        until = it.now + timedelta(minutes=it.room.setup.tub_minutes)
        return f"{move.count} of {move.group} into the tub, until {until:%H:%M} at the latest"
    if not move.to_tank:
        return do_take_out(it, move.group, move.count, how, move.chain)
    if any(row.code == move.group and row.tank == move.to_tank for row in it.room.groups):
        return f"{move.group} is in {move.to_tank} already"
    return do_move(it, move.group, move.count, move.to_tank, anyway)


def _let_slip(it: Doing, code: str, n: int, to: date) -> str:
    """Move link n and what is behind it; says the new days."""
    setup = it.room.setup
    moves = [m for m in it.room.planned_moves if m.chain == code]
    days = slipped(moves, n, to, setup.net_jobs_a_day, taken_on(it.room.planned_moves, code),
                   setup.change_weekday)  # fmt: skip
    if isinstance(days, Problem):
        return f"; {days.sentence()}"
    for move in moves:
        if move.n in days and days[move.n] != move.day:
            put_link(it.room, it.writer, replace(move, day=days[move.n]))
    return "; behind it: " + ", ".join(f"{k} on {day_words(day)}" for k, day in days.items())


def slip(
    store: Store, now: datetime, who: str, code: str, n: int, to: date
) -> Told | Problem:  # fmt: skip
    """A link is done on another day; all behind it move with it."""

    def do(it: Doing) -> str | Problem:
        moves = _chain(it.room, code)
        if isinstance(moves, Problem):
            return moves
        if to < it.today:
            return Problem("day", f"{day_words(to)} is gone by", "give today or later")
        setup = it.room.setup
        days = slipped(moves, n, to, setup.net_jobs_a_day, taken_on(it.room.planned_moves, code),
                       setup.change_weekday)  # fmt: skip
        if isinstance(days, Problem):
            return days
        return f"{code} link {n} to {day_words(to)}{_let_slip(it, code, n, to)}"

    return doing(store, now, who, "slip", do)


def drop_chain(store: Store, now: datetime, who: str, code: str) -> Told | Problem:
    """Give up the links of a chain that are not done."""

    def do(it: Doing) -> str | Problem:
        moves = _chain(it.room, code)
        if isinstance(moves, Problem):
            return moves
        tubbed = {m.group for m in moves if m.to_tank == TUB and m.state == "done"} - {
            m.group for m in moves if m.from_tank == TUB and m.state == "done"
        }
        if tubbed:
            return Problem(code, f"{', '.join(sorted(tubbed))} are in the tub", "take them out of "
                           "it first", "in-the-tub")  # fmt: skip
        left = [m for m in moves if m.state == "planned"]
        for move in left:
            put_link(it.room, it.writer, replace(move, state="dropped"))
        return f"{code} dropped: {len(left)} of {len(moves)} links not done"

    return doing(store, now, who, "drop", do)


def settle(
    store: Store, now: datetime, who: str, code: str, n: int, seen: int
) -> Told | Problem:  # fmt: skip
    """Settle the difference of a link: so many of those put in were seen; the rest are lost."""

    def do(it: Doing) -> str | Problem:
        moves = _chain(it.room, code)
        if isinstance(moves, Problem):
            return moves
        move = next((m for m in moves if m.n == n), None)
        if move is None or move.counted_in is None:
            return Problem(f"link {n}", "no difference is open there", "nothing was changed",
                           "no-change")  # fmt: skip
        if not move.counted_in <= seen <= move.count:
            return Problem("count", f"{seen} seen, of {move.count} put in and {move.counted_in} "
                           "seen before", "count again", "counts-add-up")  # fmt: skip
        it.writer.put("planned_moves", replace(move, counted_in=None))
        gone = move.count - seen
        if gone and move.to_tank:
            answer = do_take_out(it, move.group, gone, "lost", f"{code} link {n}")
            if isinstance(answer, Problem):
                return answer
        return f"{code} link {n} settled: {seen} of {move.count} seen, {gone} written off"

    return doing(store, now, who, "settle", do)


# --- tanks made over ------------------------------------------------------------------


def begin_make_over(
    store: Store, now: datetime, who: str, tank: str, change_day: date, to: str = "",
    for_line: str = "", litres: float | None = None,
) -> Told | Problem:  # fmt: skip
    """Begin to make a tank over; its litres join the demand of the change day."""

    def do(it: Doing) -> str | Problem:
        room = it.room
        for place in filter(None, (tank, to)):
            if place not in room.tank:
                return Problem(place, "there is no such tank", "'roomtasks racks' shows them")
        if to == tank:
            return Problem(to, "it is the tank that is made over", "name another tank")
        if change_day < it.today:
            return Problem("day", f"{day_words(change_day)} is gone by", "give today or later")
        if any(r.tank == tank and r.ended is None for r in room.rededications):
            return Problem(tank, "it is being made over already", "nothing was changed",
                           "no-change")  # fmt: skip
        needed = refill_litres(room.tank_litres(tank)) if litres is None else litres
        code = f"over-{it.writer.id}"
        made = Rededication(code=code, tank=tank, began=it.today, change_day=change_day, to_tank=to,
                            for_line=for_line, litres=needed)  # fmt: skip
        it.writer.put("rededications", made)
        it.writer.put(
            "jobs",
            Job(code=code, name=f"Make {tank} over", kind="strip", where=f"tank {tank}",
                rule=f"once {change_day.isoformat()}", window="-0/+7", minutes=60.0, litres=needed,
                needs="14 steps, in the list of broods"),
        )  # fmt: skip
        return f"{tank} is made over on {day_words(change_day)}, {needed:.0f} L [{code}]"

    return doing(store, now, who, "make-over", do)


def tick(
    store: Store, now: datetime, who: str, code: str, step: int, note: str = ""
) -> Told | Problem:
    """A step of a make-over was done; the last one ends it."""

    def do(it: Doing) -> str | Problem:
        made = next((r for r in it.room.rededications if r.code == code), None)
        if made is None:
            return Problem(code, "there is no such make-over", "'roomtasks broods' shows them")
        fault = step_fault(made, it.room.gates, step)
        if fault is not None:
            return fault
        if step == 1 and not made.to_tank and it.room.heads_in(made.tank) and not note:
            return Problem(code, "the old group has no destination", "name it with --note",
                           "gate", f"make-over of {made.tank}")  # fmt: skip
        gate = Gate(rededication=code, step=step, at=it.now, day=it.today, note=note)
        it.writer.put("gates", gate)
        state = make_over(made, (*it.room.gates, gate), it.today)
        if state.finished:
            _end(it, made)
        alarms = "".join(f"; {alarm}" for alarm in state.alarms)
        still = _still_in(it.room, made, step)
        return f"{made.tank}, make-over step {step} done: {STEPS[step]}{still}{alarms}"

    return doing(store, now, who, "step-done", do)


def _still_in(room: Room, made: Rededication, step: int) -> str:
    """Fish the book has in a tank after its old group was caught."""
    if step != CAUGHT or not room.heads_in(made.tank):
        return ""
    names = ", ".join(f"{g.count} {g.line} ({g.code})" for g in room.groups_in(made.tank))
    return f"; by the book {names} are still in {made.tank}: move them, or note them at step 8"


def end_make_over(store: Store, now: datetime, who: str, code: str) -> Told | Problem:
    """Give a make-over up. Refused while something must not stay as it is."""

    def do(it: Doing) -> str | Problem:
        made = next((r for r in it.room.rededications if r.code == code), None)
        if made is None or made.ended is not None:
            return Problem(code, "there is no such make-over under way", "'roomtasks broods' shows "
                           "them")  # fmt: skip
        state = make_over(made, it.room.gates, it.today)
        if state.alarms:
            return Problem(
                code, state.alarms[0], "finish that step first", "gate", f"make-over of {made.tank}"
            )
        _end(it, made)
        count = len(state.done)
        steps = f"{count} step{'s' if count != 1 else ''} done"
        return f"{made.tank} is no longer being made over, {steps}"

    return doing(store, now, who, "make-over", do)


def _end(it: Doing, made: Rededication) -> None:
    it.writer.put("rededications", replace(made, ended=it.today))
    job = next((job for job in it.room.jobs if job.code == made.code), None)
    if job is not None:
        it.writer.put("jobs", replace(job, active=False))
