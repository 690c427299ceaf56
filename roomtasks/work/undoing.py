"""Taking an act back: a new act that puts every row back as it was.

Refused whole where something later leans on it: a row that was changed again,
a later mark of the same job, or a later step at the same reservoir. Then the
correcting entry is named. Litres in a reservoir are put back as a difference,
since every change draws on them.
"""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from roomtasks.room.column import Sheet
from roomtasks.room.journal import Act, Change
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.store.write import Abandon, Writer, act

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
        return Problem(
            f"act {old.id}", f"it was taken back already, by act {by[old.id]}", "nothing to do",
            "undo",
        )  # fmt: skip
    return None


def _put_back(writer: Writer, old: Act) -> Undone | Problem:
    changes = list(reversed(search.changes_of(writer.store, old.id)))
    for change in sorted(changes, key=lambda change: change.sheet == "stocked"):
        if change.sheet == "stocked" and _still_true(writer, change):
            continue
        problem = _one_back(writer, old, change)
        if problem is not None:
            return problem
    writer.undoes = old.id
    writer.words = f"taken back: {old.words}"
    return Undone(writer.id, old, writer.words)


def _still_true(writer: Writer, change: Change) -> bool:
    """Whether a tank holds fish, or none, as the act wrote it, though its own fish went back."""
    if not change.after:
        return False
    tank, state = json.loads(change.key)[0], json.loads(change.after)["state"]
    groups = read.rows(writer.store, SHEET["groups"], 'WHERE "tank" = ? AND "count" > 0', (tank,))
    has_fish = bool(groups)
    return has_fish if state == "fish" else not has_fish


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
    merged = _merge(change.sheet, now_plain, before, after)
    if isinstance(merged, Problem):
        return _leans(writer, old, change, now_plain, before)
    if merged is None:
        writer.remove(change.sheet, key)
    else:
        writer.put(change.sheet, spec.value(merged))
    return None


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
        what = f"{later.job}@{later.target} was marked again on {later.day}"
    else:
        what = f"{later.reservoir} was said to be at “{later.step}” after that"
    which = f" (act {later.act})" if later.act is not None else ""
    return Problem(f"act {old.id}", what, f"take that back first{which}", "undo")


def _merge(
    sheet: str, present: dict[str, Any] | None, before: dict[str, Any] | None,
    after: dict[str, Any] | None,
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
            merged[name] = round(present[name] - value + before[name], 3)
            if not 0 <= merged[name] <= present["full_litres"]:
                return clash
        elif present[name] != value:
            return clash
        else:
            merged[name] = before[name]
    return merged


def _leans(
    writer: Writer, old: Act, change: Change, present: dict[str, Any] | None,
    before: dict[str, Any] | None,
) -> Problem:  # fmt: skip
    later = search.later_change(writer.store, change.sheet, change.key, old.id)
    what = "something later leans on it"
    if later is not None:
        what = f"act {later.id} leans on it ({later.at:%d %b %H:%M}: {later.words})"
    remedy = f"take back act {later.id} first" if later is not None else "enter what is true now"
    if change.sheet == "groups" and present is not None and present["count"]:
        home = _home(writer, old)
        if home:
            remedy += (
                f", or move {present['count']} back: roomtasks move {present['code']} "
                f"{present['count']} {home}"
            )
    return Problem(f"act {old.id}", what, remedy, "undo")


def _home(writer: Writer, old: Act) -> str:
    """The tank the fish of an act came from, where it was a move."""
    for change in search.changes_of(writer.store, old.id):
        if change.sheet == "groups" and change.before:
            return str(json.loads(change.before)["tank"])
    return ""
