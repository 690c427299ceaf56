"""What can be done to a brood and to its fish: what is asked, and what is run. Pure.

An answer that will not do is a Problem said at the foot; then nothing was changed.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.brood import LENGTHS
from roomtasks.room.brood_life import account_of
from roomtasks.room.brood_now import BroodNow
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.room.stock import Group
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.brood_typed import (
    TODAY,
    count_typed,
    day_typed,
    lengths_typed,
)
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.side_acts import Act, Ask, Do, HasWords
from roomtasks.work import brood_acts

NOT_COUNTED, NONE, NEXT_CODE = "not counted", "0", "the next one"
SEEN_LABELS = {
    "hatch": "hatch seen", "culture-started": "culture started", "brine-started": "brine started",
    "free-swimming": "free swimming", "parents-out": "parents out",
}  # fmt: skip
ASK_DAY = Ask(text="On which day (Enter today, -2 two days ago), then Enter:", blank=TODAY)
ASK_LENGTHS = Ask(text="Lengths in mm, as 12+14+15, then Enter:")
ASK_LENGTH = Ask(text="Measured as:", choices=("total length", "standard length"), values=LENGTHS)


# ---- stages --------------------------------------------------------------------------


def stage_now(code: str, stage: str) -> Act:
    """A stage seen today, by one key."""
    return Act(
        label=SEEN_LABELS[stage],
        make=lambda _, __: (
            lambda store, now, who: brood_acts.stage_seen(store, now, who, code, stage)
        ),
    )


def stage_other(code: str, today: date) -> Act:
    """A stage seen on another day, or with a count and losses."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        stage, day, count, lost = answers
        on = day_typed(day, today)
        many = None if count == NOT_COUNTED else count_typed(count, 0)
        gone = count_typed(lost, 0)
        if isinstance(on, Problem):
            return on
        if isinstance(many, Problem):
            return many
        if isinstance(gone, Problem):
            return gone
        return lambda store, now, who: brood_acts.stage_seen(
            store,
            now,
            who,
            code,
            stage,
            on,
            many,
            gone,
        )

    return Act(
        label="stage, day and losses", make=make,
        asks=(
            Ask(text="Seen:", choices=tuple(SEEN_LABELS.values()), values=tuple(SEEN_LABELS)),
            ASK_DAY,
            Ask(text="How many there are (Enter: not counted):", blank=NOT_COUNTED),
            Ask(text="How many were lost (Enter: 0):", blank=NONE),
        ),
    )  # fmt: skip


def first_count(code: str) -> Act:
    """The first count, which makes the group of the young."""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        many = count_typed(answers[0])
        if isinstance(many, Problem):
            return many
        return lambda store, now, who: brood_acts.stage_seen(
            store, now, who, code, "first-count", count=many
        )

    return Act(label="first count", make=make, asks=(Ask(text="How many, then Enter:"),))


# ---- samples -------------------------------------------------------------------------


def _length_asks(now: BroodNow, measured: bool) -> tuple[Ask, ...]:
    """Which length, asked once: it is always the same after that."""
    return () if measured else (ASK_LENGTH,)


def sample(now: BroodNow, measured: bool) -> Act:
    """Fish measured today, length by length."""
    code = now.brood.code

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        found = lengths_typed(answers[0])
        if isinstance(found, Problem):
            return found
        length = answers[1] if len(answers) > 1 else now.brood.length
        return lambda store, at, who: brood_acts.sample(
            store, at, who, code, found, None, length, anyway=anyway
        )

    return Act(label="measured", make=make, asks=(ASK_LENGTHS, *_length_asks(now, measured)))


def sample_of(now: BroodNow, measured: bool, today: date) -> Act:
    """Smallest, middle and largest of so many, on any day."""
    code = now.brood.code

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        on, many = day_typed(answers[0], today), count_typed(answers[1])
        found = lengths_typed(answers[2])
        if isinstance(on, Problem):
            return on
        if isinstance(many, Problem):
            return many
        if isinstance(found, Problem):
            return found
        if len(found) != 3:
            return Problem("length", f"{len(found)} lengths are not three", "type the smallest, "
                           "the middle and the largest")  # fmt: skip
        length = answers[3] if len(answers) > 3 else now.brood.length
        return lambda store, at, who: brood_acts.sample(
            store,
            at,
            who,
            code,
            found,
            many,
            length,
            on,
            anyway,
        )

    return Act(
        label="measured, three of many", make=make,
        asks=(ASK_DAY, Ask(text="How many were measured, then Enter:"),
              Ask(text="Smallest, middle and largest in mm, as 12+14+15, then Enter:"),
              *_length_asks(now, measured)),
    )  # fmt: skip


# ---- the end -------------------------------------------------------------------------


def closed(code: str) -> Act:
    """Close a brood with its account, which is shown first."""

    def make(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
        reason = "" if answers[0] == NOT_COUNTED else answers[0]
        return lambda store, now, who: _close(store, now, who, code, reason, anyway)

    return Act(
        label="close with its account", make=make, sure="Close it",
        asks=(Ask(text="What became of it (Enter: nothing to add):", blank=NOT_COUNTED),),
        first=lambda _: lambda store, __: _account(store, code),
    )  # fmt: skip


def _close(
    store: Store, now: datetime, who: str, code: str, reason: str, anyway: bool
) -> HasWords | Problem:
    found = brood_acts.close(store, now, who, code, reason, anyway)
    if isinstance(found, Problem) and "--write-off" in found.remedy:
        return replace(found, remedy="count again, or enter what is missing; else those count as "
                       "died, or say --anyway")  # fmt: skip
    return found


def _account(store: Store, code: str) -> tuple[str, ...] | Problem:
    """The account as it stands."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        brood = brood_acts.brood_of(room, code)
        if isinstance(brood, Problem):
            return brood
        found = account_of(brood, room.groups, read.rows(store, SHEET["transfers"]))
    if isinstance(found, Problem):
        return (found.what,)
    left = found.difference
    open_ = f", {left} open" if left > 0 else f", {-left} too many" if left else ""
    return (f"{found.counted} counted = {found.sold} sold + {found.kept} kept + {found.died} died "
            f"+ {found.given} given{open_}",)  # fmt: skip


# ---- a spawn -------------------------------------------------------------------------


def spawn(seen: BroodsSeen) -> tuple[Act, ...]:
    """A spawn of fish that are known, or of none that are."""
    grown = [g for g in seen.room.groups if g.count and g.stage == "adult"]
    grown.sort(key=lambda g: (seen.room.tank[g.tank].role != "breeding", g.code))
    asks = (Ask(text="Code (Enter: the next one):", blank=NEXT_CODE), ASK_DAY,
            Ask(text="How many eggs (Enter: not counted):", blank=NOT_COUNTED))  # fmt: skip
    known = Ask(text="Spawned by", choices=tuple(f"{g.line} ({g.code}) in {g.tank}" for g in grown),
                values=tuple(g.code for g in grown), page=True)  # fmt: skip
    tanks = Ask(text="Spawn seen in", choices=tuple(seen.room.tank), page=True)
    lines = Ask(text="Which line, then Enter:")
    by_parents = Act(label="a spawn", make=_spawn(seen, grown), asks=(known, *asks))
    return (*([by_parents] if grown else []),
            Act(label="a spawn, parents not known", make=_spawn(seen, []),
                asks=(tanks, lines, *asks)))  # fmt: skip


def _spawn(
    seen: BroodsSeen, grown: Sequence[Group]
) -> Callable[[tuple[str, ...], bool], Do | Problem]:
    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        *who_, code, day, eggs = answers
        on = day_typed(day, seen.today)
        many = None if eggs == NOT_COUNTED else count_typed(eggs, 0)
        if isinstance(on, Problem):
            return on
        if isinstance(many, Problem):
            return many
        pair = next((g for g in grown if g.code == who_[0]), None)
        tank, line = (pair.tank, pair.line) if pair is not None else (who_[0], who_[1])
        named = next_code(seen, line) if code == NEXT_CODE else code
        return lambda store, now, who: brood_acts.spawn(
            store, now, who, named, tank, pair.code if pair else "", line,
            on, many,
        )  # fmt: skip

    return make


def next_code(seen: BroodsSeen, line: str) -> str:
    """A code for the next brood of a line that is not in use."""
    used = {b.code for b in seen.room.broods} | {g.code for g in seen.room.groups}
    letters = "".join(sign for sign in line.lower() if sign.isascii() and sign.isalpha())[:8]
    base = letters or "brood"
    return next(f"{base}{n}" for n in range(1, len(used) + 2) if f"{base}{n}" not in used)


# ---- all of them ---------------------------------------------------------------------


def brood_own(seen: BroodsSeen, now: BroodNow) -> list[Act]:
    """What can be done to a brood itself."""
    brood, known = now.brood, {r.stage for r in seen.room.sightings if r.brood == now.brood.code}
    measured = bool(seen.samples(brood.code))
    found = []
    if "free-swimming" not in known or "first-count" not in known:
        found += [stage_now(brood.code, stage) for stage in SEEN_LABELS
                  if stage not in known and stage != "parents-out"]  # fmt: skip
    if brood.counted is None:
        found.append(first_count(brood.code))
    found += [sample(now, measured), sample_of(now, measured, seen.today)]
    if "parents-out" not in known:
        found.append(stage_now(brood.code, "parents-out"))
    return [*found, stage_other(brood.code, seen.today), closed(brood.code)]
