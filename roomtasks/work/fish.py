"""Acts on fish: moved, sold, died, given, counted, newly put in.

Every move is a transfer whose counts add up. A tank that loses its last fish,
or gets its first, has that written in the same act. Stays, courses and broods
build on these acts elsewhere.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime

from roomtasks.room.day import day_start
from roomtasks.room.journal import Event
from roomtasks.room.naming import day_words, lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.release import lot_refusal, started_anew
from roomtasks.room.room import Room
from roomtasks.room.stock import Group, Stocked
from roomtasks.room.transfer import Transfer
from roomtasks.room.trouble_holds import leaks_now
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.store.write import Abandon, Writer, act
from roomtasks.work.company import company_refusal
from roomtasks.work.course_over import all_leave, emptied
from roomtasks.work.links import counts_follow
from roomtasks.work.lot_over import died_out

OUT = ("sold", "died", "given", "lost")


@dataclass(frozen=True, slots=True)
class Told:
    """What an act changed, in words, with its number."""

    act: int
    words: str


@dataclass(frozen=True, slots=True)
class Doing:
    """An act under way: the room before it, its writer, its instant and doer."""

    room: Room
    writer: Writer
    now: datetime
    today: date
    who: str


def doing(
    store: Store, now: datetime, who: str, verb: str, do: Callable[[Doing], str | Problem]
) -> Told | Problem:
    """Run one act: `do` writes and gives its words, or a Problem that leaves all as it was."""
    answer: Told | Problem | None = None
    room = read.room(store)
    if isinstance(room, Problem):
        return room
    with act(store, now, room.day_at(now), who, verb) as writer:
        fresh = read.room(store)
        if isinstance(fresh, Problem):
            answer = fresh
            raise Abandon
        words = do(Doing(fresh, writer, now, fresh.day_at(now), who))
        if isinstance(words, Problem):
            answer = words
            raise Abandon
        writer.words = words
        answer = Told(writer.id, words)
        if not writer.changes:
            answer = Problem(
                "", "that is how it stands already", "nothing was changed", "no-change"
            )
    if answer is None:
        raise RuntimeError("an act ended with no answer")
    return answer


def move(
    store: Store, now: datetime, who: str, group: str, count: int, to: str, anyway: bool = False
) -> Told | Problem:
    """Move so many of a group to another tank; the rest stays as it was."""
    return doing(store, now, who, "move", lambda it: do_move(it, group, count, to, anyway))


def take_out(
    store: Store, now: datetime, who: str, group: str, count: int, how: str, note: str = ""
) -> Told | Problem:
    """So many of a group were sold, died, were given away or lost."""
    return doing(store, now, who, how, lambda it: do_take_out(it, group, count, how, note))


def put_in(store: Store, now: datetime, who: str, group: Group) -> Told | Problem:
    """A new group of fish in a tank."""
    return doing(store, now, who, "put-in", lambda it: do_put_in(it, group))


def recount(
    store: Store, now: datetime, who: str, group: str, count: int, known: str = "exact"
) -> Told | Problem:
    """A group was counted; the difference is kept as an event."""
    return doing(store, now, who, "count", lambda it: _recount(it, group, count, known))


def _group(it: Doing, code: str) -> Group | Problem:
    found = next((group for group in it.room.groups if group.code == code), None)
    if found is None:
        return Problem(
            code, "there is no such group", "'roomtasks tank CODE' shows who lives there"
        )
    return found


def _held(it: Doing, group: Group) -> Problem | None:
    """The hold that keeps fish in a tank, where one stands."""
    for hold in it.room.holds_at.get(group.tank, ()):
        if hold.on(it.today) and {"move", "all"} & set(hold.kinds.split()):
            return Problem(
                group.tank, f"no fish leave it: {hold.reason}",
                f"lift the hold first: 'roomtasks lift {hold.code}', or say --anyway where the "
                "command has it", "held",
            )  # fmt: skip
    return None


def _leaking(it: Doing, to: str) -> Problem | None:
    """The leak that keeps fish out of a tank."""
    leak = leaks_now(it.room, to, it.now)
    if leak is None:
        return None
    return Problem(
        to, "it leaks", "repair it and say that the leak is over: "
        f"'roomtasks trouble-over {leak.code}', or say --anyway", "held",
    )  # fmt: skip


def _enough(group: Group, count: int) -> Problem | None:
    if count < 1:
        return Problem(group.code, f"{count} fish is no count", "give 1 or more")
    if count > group.count:
        return Problem(
            group.code, f"there are {group.count}, not {count}",
            "count again, or correct the count", "counts-add-up",
        )  # fmt: skip
    return None


def do_move(
    it: Doing, code: str, count: int, to: str, anyway: bool, *, insisted: bool = False
) -> str | Problem:
    """Move fish; `insisted`: by an act that has looked at the lot they belong to."""
    group = _group(it, code)
    if isinstance(group, Problem):
        return group
    refused = _move_refusal(it, group, count, to, anyway, insisted)
    if refused is not None:
        return refused
    became = _placed(it, group, count, to)
    joined = it.room.stay_in(to, it.today)
    if joined is not None:
        it.writer.put("stays", started_anew(joined, it.today))
    note_event(it, "moved-out", group.tank, count, f"{code} to {to}")
    note_event(it, "moved", to, count, f"{code} from {group.tank}")
    _carried(it, group, count, "moved", to=to, became=became)
    told = _turned(it, group.tank, -count)
    _turned(it, to, count)
    return f"{count} of {group.line} ({code}) moved {group.tank} to {to}{told}"


def _move_refusal(
    it: Doing, group: Group, count: int, to: str, anyway: bool, insisted: bool
) -> Problem | None:
    """Why so many of a group may not go to a tank."""
    short = _enough(group, count)
    if short is not None:
        return short
    if to not in it.room.tank:
        return Problem(to, "there is no such tank", "'roomtasks racks' shows them")
    if to == group.tank:
        return Problem(to, f"{group.code} lives there already", "name another tank", "no-change")
    lot = None if insisted else lot_refusal(it.room, group, count, "moved", it.today, to)
    if lot is not None and not (anyway and lot.rule == "two-lots"):
        return lot
    held = None if anyway else _held(it, group) or _leaking(it, to)
    if held is not None:
        return held
    if count == it.room.heads_in(group.tank) and not (anyway or insisted):
        running = all_leave(it.room, group.tank, it.today)
        if running is not None:
            return running
    here, there = it.room.health_of(group.tank, it.today), it.room.health_of(to, it.today)
    if here > there and here.value >= 2 and not anyway:
        return Problem(
            to, f"{group.tank} is {here.word} and {to} is {there.word}",
            "riskier fish do not go to cleaner water; choose another tank, or say --anyway",
            "riskier-to-cleaner",
        )  # fmt: skip
    return None if anyway else company_refusal(it.room, group.code, to, it.today)


def _placed(it: Doing, group: Group, count: int, to: str) -> str:
    """Write the group, or the part of it that went, into its new tank; gives its code there."""
    if count == group.count:
        it.writer.put("groups", replace(group, tank=to, since=it.today))
        return group.code
    became = _free_code(it.room, group.code)
    counts_follow(it.room, it.writer, group, group.count - count)
    males, females = _split(group, count)
    left = replace(
        group, count=group.count - count, males=group.males - males,
        females=group.females - females,
    )  # fmt: skip
    it.writer.put("groups", left)
    it.writer.put(
        "groups",
        replace(
            group, code=became, tank=to, count=count, males=males, females=females,
            since=it.today, origin=group.code,
        ),
    )  # fmt: skip
    return became


def _split(group: Group, count: int) -> tuple[int, int]:
    """Sexes that go along when a part leaves: none unless no unsexed are left to go."""
    over = max(0, count - group.unsexed)
    males = min(group.males, over)
    return males, over - males


def _free_code(room: Room, code: str) -> str:
    used = {group.code for group in room.groups}
    base = code.split(".")[0][:28]
    return next(f"{base}.{n}" for n in range(2, len(used) + 3) if f"{base}.{n}" not in used)


def do_take_out(it: Doing, code: str, count: int, how: str, note: str) -> str | Problem:
    if how not in OUT:
        return Problem(how, "is no way out", "use " + ", ".join(OUT))
    group = _group(it, code)
    if isinstance(group, Problem):
        return group
    short = _enough(group, count)
    if short is not None:
        return short
    held = lot_refusal(it.room, group, count, how, it.today)
    if held is None and how in ("sold", "given"):
        held = _held(it, group)
    if held is not None:
        return held
    males, females = _split(group, count)
    counts_follow(it.room, it.writer, group, group.count - count)
    it.writer.put(
        "groups",
        replace(
            group, count=group.count - count, males=group.males - males,
            females=group.females - females,
        ),
    )  # fmt: skip
    note_event(it, how, group.tank, count, note or code)
    _carried(it, group, count, how, note=note)
    told = _turned(it, group.tank, -count, gone=True)
    said = f"{count} of {group.line} ({code}) in {group.tank}: {how}"
    return said + (f", {note}" if note else "") + told


def do_put_in(it: Doing, group: Group, *, joins: bool = False) -> str | Problem:
    """Put a new group in on the day it is there since; `joins`: to a lot kept apart there."""
    if group.since > it.today:
        return Problem(group.code, f"{day_words(group.since)} lies ahead",
                       "give a day gone by, or today", "not-in-the-future")  # fmt: skip
    stay = it.room.stay_in(group.tank, it.today)
    if stay is not None and not joins:
        return Problem(
            group.tank, f"{lot_words(stay.code)} is kept apart there: one more puts all back to "
            "day 0",
            "use another tank, or 'roomtasks arrive' with --anyway", "two-lots",
        )  # fmt: skip
    if group.tank not in it.room.tank:
        return Problem(group.tank, "there is no such tank", "'roomtasks racks' shows them")
    if any(other.code == group.code for other in it.room.groups):
        return Problem(group.code, "this code is in use", "choose another code")
    if group.count < 1:
        return Problem(group.code, "0 fish is no group", "give 1 or more")
    it.writer.put("groups", group)
    note_event(it, "put-in", group.tank, group.count, group.code, group.since)
    came = replace(group, tank="")
    _carried(it, came, group.count, "put-in", to=group.tank, became=group.code, on=group.since)
    _turned(it, group.tank, group.count, group.since)
    return f"{group.count} {group.line} ({group.code}) put into {group.tank}"


def _recount(it: Doing, code: str, count: int, known: str) -> str | Problem:
    group = _group(it, code)
    if isinstance(group, Problem):
        return group
    if count < 0 or known not in ("exact", "about"):
        return Problem(code, f"{count} {known} is no count", "give 0 or more, exact or about")
    counts_follow(it.room, it.writer, group, count)
    males, females = min(group.males, count), min(group.females, max(0, count - group.males))
    it.writer.put(
        "groups", replace(group, count=count, count_known=known, males=males, females=females)
    )
    change = count - group.count
    note_event(it, "counted", group.tank, count, f"{code}: {change:+d}")
    told = _turned(it, group.tank, change, gone=True)
    about = "about " if known == "about" else ""
    than = f", {abs(change)} {'more' if change > 0 else 'fewer'}" if change else ""
    return f"{group.line} ({code}) in {group.tank} counted: {about}{count}{than}{told}"


def note_event(
    it: Doing, event: str, tank: str, count: int | None, note: str, day: date | None = None
) -> None:
    """Write an event of this act; of an earlier day the hour is not known."""
    on = day or it.today
    it.writer.put(
        "events",
        Event(
            id=it.writer.next_id("events"), act=it.writer.id, event=event, target=tank,
            day=on, at=it.now if on == it.today else None, count=count, who=it.who, note=note,
        ),
    )  # fmt: skip


def _carried(
    it: Doing, group: Group, count: int, how: str, *, to: str = "", became: str = "",
    note: str = "", on: date | None = None,
) -> None:  # fmt: skip
    """Write that fish went from water to water; the group's tank is where they left.

    `on`: a day gone by, whose hour is not known; then from its beginning.
    """
    earlier = on if on is not None and on < it.today else None
    at = day_start(earlier, it.room.zone, it.room.day_starts) if earlier else it.now
    it.writer.put(
        "transfers",
        Transfer(
            id=it.writer.next_id("transfers"), act=it.writer.id, group=group.code,
            to_group=became, line=group.line, from_tank=group.tank, to_tank=to, count=count,
            how=how, day=earlier or it.today, at=at, note=note,
        ),
    )  # fmt: skip


def _turned(
    it: Doing, tank: str, change: int, on: date | None = None, *, gone: bool = False
) -> str:
    """Write that a tank lost its last fish, or got its first; says what ended with them.

    `gone`: the fish left the room, so that a lot kept apart there is no more.
    """
    before = it.room.heads_in(tank)
    after = before + change
    since = max([on or it.today, *(row.since for row in it.room.stocked if row.tank == tank)])
    if before and not after:
        it.writer.put("stocked", Stocked(tank=tank, since=since, state="empty"))
        over = "".join(f"; {said}" for said in emptied(it.room, it.writer, tank, it.today))
        return over + (died_out(it.room, it.writer, tank, it.today) if gone else "")
    if after and not before:
        it.writer.put("stocked", Stocked(tank=tank, since=since, state="fish"))
    return ""
