"""Taking an act back: a new act that puts every row back as it was.

Refused whole where something later leans on it: a row that was changed again,
though it may stand as before, a later mark of the same job, or a later step at
the same reservoir. Then the correcting entry is named. Litres in a reservoir
are put back as a difference, since every change draws on them, but not under a
level that was noted there since. Since when a tank has had fish is told anew
(`fish_since`).
"""

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from roomtasks.room.column import Sheet
from roomtasks.room.journal import Act, Change
from roomtasks.room.naming import STEP_WORDS, day_words, job_said, time_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.store.write import Abandon, Writer, act
from roomtasks.work.fish_since import BY_HAND, tanks_of, tell_anew

DIFFERENCES = {("reservoirs", "holds_litres")}
WHOLE_ROWS = {"groups"}


@dataclass(frozen=True, slots=True)
class Undone:
    """The act taken back, and the act that did it."""

    act: int
    took_back: Act
    words: str


def undo(store: Store, now: datetime, who: str, number: int | None = None) -> Undone | Problem:
    """Take back an act, the newest standing one where no number is given."""
    answer: Undone | Problem | None = None
    room = read.room(store)
    day = now.date() if isinstance(room, Problem) else room.day_at(now)
    with act(store, now, day, who, "undo") as writer:
        old = search.act(store, number) if number is not None else search.last_standing(store)
        answer = _refused(store, old, number)
        if answer is not None or old is None:
            raise Abandon
        answer = _put_back(writer, old)
        if isinstance(answer, Problem):
            raise Abandon
    if answer is None:
        raise RuntimeError("an undo ended with no answer")
    return answer


def _refused(store: Store, old: Act | None, number: int | None) -> Problem | None:
    if old is None:
        if number is None:
            return Problem("undo", "there is nothing to take back", "", "undo")
        return Problem(
            f"act {number}", "the journal has no such act", "'roomtasks journal' lists them"
        )
    by = search.undone(store, [old.id])
    if by:
        chain = search.chain(store, old.id)
        stands = (len(chain) - chain.index(old.id)) % 2
        return Problem(
            f"act {old.id}", f"it was taken back already, by act {by[old.id]}"
            + (f", and act {chain[-1]} put it back" if stands else ""),
            f"take back act {chain[-1]}" if stands else "nothing to do", "undo",
        )  # fmt: skip
    return None


def _put_back(writer: Writer, old: Act) -> Undone | Problem:
    changes = list(reversed(search.changes_of(writer.store, old.id)))
    root = search.act(writer.store, search.chain(writer.store, old.id)[0])
    by_hand = root is not None and root.verb == BY_HAND
    for change in changes:
        if change.sheet == "stocked" and not by_hand:
            continue
        problem = _one_back(writer, old, change)
        if problem is not None:
            return problem
    told = [change for change in changes if change.sheet == "groups" or not by_hand]
    tell_anew(writer, tanks_of(told), old.id)
    writer.undoes = old.id
    writer.words = f"taken back: {old.words}"
    return Undone(writer.id, old, writer.words)


def _one_back(writer: Writer, old: Act, change: Change) -> Problem | None:
    spec = SHEET[change.sheet]
    key = json.loads(change.key)
    present = read.one_row(writer.store, spec, key)
    now_plain = spec.plain(present) if present is not None else None
    before, after = _row(spec, change.before), _row(spec, change.after)
    if present is not None and before is None:
        newer = _newer(writer, old, change.sheet, present)
        if newer is not None:
            return newer
    later = _changed_since(writer, old, change, before, after)
    if later is not None:
        return _leans(writer, old, change, now_plain, later)
    stays = _level_noted_since(writer, old, change)
    merged = _merge(change.sheet, now_plain, before, after, stays)
    if isinstance(merged, Problem):
        return _leans(writer, old, change, now_plain, None)
    if merged is None:
        writer.remove(change.sheet, key)
    else:
        writer.put(change.sheet, spec.value(merged))
    return None


def _changed(before: dict[str, Any] | None, after: dict[str, Any] | None) -> set[str] | None:
    """The columns between two states of a row; None where there was no row at one of them."""
    if before is None or after is None:
        return None
    return {name for name, value in after.items() if before[name] != value}


def _changed_since(
    writer: Writer, old: Act, change: Change, before: dict[str, Any] | None,
    after: dict[str, Any] | None,
) -> Act | None:  # fmt: skip
    """The newest act that left its mark on the same cells after this one, as they may stand now.

    An act that was taken back since, with what took it back, left none.
    """
    own = None if change.sheet in WHOLE_ROWS else _changed(before, after)
    if own is not None:
        own = {name for name in own if (change.sheet, name) not in DIFFERENCES}
        if not own:
            return None
    spec, found = SHEET[change.sheet], 0
    for later in search.changes_after(writer.store, change.sheet, change.key, old.id):
        cells = _changed(_row(spec, later.before), _row(spec, later.after))
        if own is not None and cells is not None and not own & cells:
            continue
        chain = search.chain(writer.store, later.act)
        if len([number for number in chain if number > old.id]) % 2:
            found = max(found, chain[-1])
    return search.act(writer.store, found) if found else None


def _level_noted_since(writer: Writer, old: Act, change: Change) -> bool:
    """Whether somebody noted what stood in a reservoir after this was done there."""
    if change.sheet != "reservoirs":
        return False
    done = old.at
    for other in search.changes_of(writer.store, old.id):
        if other.sheet == "marks":
            done = datetime.fromisoformat(json.loads(other.after or other.before)["at"])
    steps = read.rows(
        writer.store, SHEET["vessel_steps"],
        'WHERE "reservoir" = ? AND "litres" IS NOT NULL AND "act" > ?',
        (json.loads(change.key)[0], old.id),
    )  # fmt: skip
    return any(step.at.astimezone(UTC) >= done.astimezone(UTC) for step in steps)


def _row(spec: Sheet[Any], text: str) -> dict[str, Any] | None:
    """A row as the journal keeps it, with the columns that were added since; None for no row."""
    return spec.filled(json.loads(text)) if text else None


def _newer(writer: Writer, old: Act, sheet: str, present: Any) -> Problem | None:
    """A later mark of the same job, or a later step at the same reservoir, that leans on it."""
    later: Any = None
    if sheet == "marks":
        later = search.later_mark(writer.store, present)
    elif sheet == "vessel_steps":
        later = search.later_step(writer.store, present)
    if later is None:
        return None
    if sheet == "marks":
        jobs = read.rows(writer.store, SHEET["jobs"], 'WHERE "code" = ?', (later.job,))
        job = job_said({row.code: row for row in jobs}, later.job, later.target)
        what = f"{job} was marked again on {day_words(later.day)}"
    else:
        what = f"{later.reservoir}: “{STEP_WORDS[later.step]}” was noted after that"
    which = f" (act {later.act})" if later.act is not None else ""
    return Problem(f"act {old.id}", what, f"take that back first{which}", "undo")


def _merge(
    sheet: str, present: dict[str, Any] | None, before: dict[str, Any] | None,
    after: dict[str, Any] | None, level_stays: bool,
) -> dict[str, Any] | Problem | None:  # fmt: skip
    """The row as it should stand after the undo: only the columns this act changed go back."""
    clash = Problem("", "changed since", "")
    if before is None or after is None:
        return before if present == after else clash
    if present is None or (sheet in WHOLE_ROWS and present != after):
        return clash
    merged = dict(present)
    for name, value in after.items():
        if before[name] == value:
            continue
        if (sheet, name) in DIFFERENCES:
            if level_stays:
                continue
            merged[name] = round(present[name] - value + before[name], 3)
            if not 0 <= merged[name] <= present["full_litres"]:
                return clash
        elif present[name] != value:
            return clash
        else:
            merged[name] = before[name]
    return merged


def _leans(
    writer: Writer, old: Act, change: Change, present: dict[str, Any] | None, later: Act | None
) -> Problem:
    what = "something later leans on it"
    if later is not None:
        what = f"act {later.id} leans on it ({time_words(later.at)}: {later.words})"
    remedy = f"take back act {later.id} first" if later is not None else "enter what is true now"
    if change.sheet == "groups" and present is not None and present["count"]:
        home = _home(writer, old)
        if home:
            remedy += (
                f", or move {present['count']} back to {home}: 'roomtasks move {present['code']} "
                f"{present['count']} {home}'"
            )
    return Problem(f"act {old.id}", what, remedy, "undo")


def _home(writer: Writer, old: Act) -> str:
    """The tank the fish of an act came from, where it was a move."""
    for change in search.changes_of(writer.store, old.id):
        if change.sheet == "groups" and change.before:
            return str(json.loads(change.before)["tank"])
    return ""
