"""Rules between rows for the journal: marks, events, readings, acts, changes.

The journal is never erased, so a mark may go on naming a job or a place that
is no more, but only where an act of the same journal took it away. A mark of a
job that never was is refused: a job that should rest is kept with active = no.
Does not live here: whether an act can be taken back today (`work`).
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from roomtasks.room.column import Sheet, from_plain, shown
from roomtasks.room.fault import Facts, Fault, no_place, unknown
from roomtasks.room.flat_json import flat_list, flat_object
from roomtasks.room.journal import Change, Mark
from roomtasks.room.room import SHEET


def past_faults(facts: Facts) -> Iterator[Fault]:
    """Marks, events and readings are about things of the room, and made by known acts."""
    for sheet in ("events", "readings", "marks"):
        for row, fact in facts.rows(sheet):
            if fact.target not in facts.places and fact.target not in facts.places_once:
                fault = no_place(facts, sheet, row, "target", fact.target)
                yield replace(fault, leans_on=(*fault.leans_on, "changes"))
            if fact.act is not None and facts.acts and fact.act not in facts.acts:
                yield _no_act(sheet, row, fact.act)
            if sheet == "marks":
                yield from _mark_faults(facts, row, fact)


def _no_act(sheet: str, row: int, act: int) -> Fault:
    return Fault(
        sheet, row, "act", f"there is no act {act} in the journal",
        "leave act blank, or correct it", ("acts",),
    )  # fmt: skip


def _mark_faults(facts: Facts, row: int, mark: Mark) -> Iterator[Fault]:
    if mark.job not in facts.codes("jobs") and ("jobs", mark.job) not in facts.taken_away:
        keep = "keep the job in jobs with active = no"
        fault = unknown(facts, "marks", row, "job", mark.job, "jobs", keep)
        yield replace(fault, leans_on=("jobs", "changes"))
    if mark.outcome == "partly" and mark.fraction is None:
        yield Fault("marks", row, "fraction", "the job was done partly, but not how much of it",
                    "give a share such as 0.5")  # fmt: skip
    if mark.outcome == "put-off" and mark.until is None:
        yield Fault("marks", row, "until", "the job was put off, but not to which day",
                    "give a day such as 2027-03-14")  # fmt: skip
    if mark.outcome in ("left-out", "blocked") and not mark.reason.strip():
        yield Fault("marks", row, "reason", f"the job was marked {mark.outcome}, but not why",
                    "say why in a few words")  # fmt: skip


def act_faults(facts: Facts) -> Iterator[Fault]:
    """An act takes back one earlier act, and no act is taken back twice."""
    taken: dict[int, int] = {}
    for row, act in facts.rows("acts"):
        if act.undoes is None:
            continue
        if act.undoes >= act.id:
            found = f"act {act.id} takes back act {act.undoes}, which is not before it"
        elif act.undoes not in facts.acts:
            found = f"act {act.id} takes back act {act.undoes}, which is not in the journal"
        elif act.undoes in taken:
            found = f"act {act.undoes} was taken back already, by act {taken[act.undoes]}"
        else:
            taken[act.undoes] = act.id
            continue
        yield Fault(
            "acts", row, "undoes", found,
            "give an earlier act that still stands, or leave it blank", ("acts",),
        )  # fmt: skip


def change_faults(facts: Facts) -> Iterator[Fault]:
    """A change belongs to an act and holds rows that can be put back."""
    for row, change in facts.rows("changes"):
        if change.act not in facts.acts:
            yield _no_act("changes", row, change.act)
        sheet = SHEET.get(change.sheet)
        if sheet is None:
            yield Fault(
                "changes", row, "sheet", f"there is no sheet “{shown(change.sheet)}”",
                "use one of " + ", ".join(SHEET),
            )  # fmt: skip
            continue
        yield from _key_faults(row, change, sheet)
        for column in ("before", "after"):
            yield from _row_faults(row, column, getattr(change, column), sheet)
        if not change.before and not change.after:
            yield Fault("changes", row, "after", "it says neither what was nor what became",
                        "give before, after or both")  # fmt: skip


def _key_faults(row: int, change: Change, sheet: Sheet[Any]) -> Iterator[Fault]:
    key = flat_list(change.key)
    if key is None:
        yield Fault("changes", row, "key", f"“{shown(change.key)}” is no JSON list",
                    'write it as ["B2"]')  # fmt: skip
    elif len(key) != len(sheet.key):
        yield Fault("changes", row, "key", f"it has {len(key)} parts, not {len(sheet.key)}",
                    f"give {', '.join(sheet.key) or 'an empty list'} of {sheet.name}")  # fmt: skip


def _row_faults(row: int, column: str, text: str, sheet: Sheet[Any]) -> Iterator[Fault]:
    if not text:
        return
    plain = flat_object(text)
    if plain is None:
        yield Fault("changes", row, column, f"“{shown(text)}” is no JSON of one row",
                    "write it as {\"code\":\"B2\", ...}, or leave it blank")  # fmt: skip
        return
    wrong = _misfit(plain, sheet)
    if wrong:
        yield Fault("changes", row, column, f"{shown(wrong)} of {sheet.name} does not fit",
                    f"give each column of {sheet.name} a value of its kind")  # fmt: skip


_SCALARS: dict[str, tuple[type, ...]] = {
    "int": (int,),
    "number": (int, float),
    "yesno": (int,),
}


def _misfit(plain: dict[str, Any], sheet: Sheet[Any]) -> str:
    """The first column that is missing, unknown or of the wrong kind; "" if all fit.

    One with a default may be missing: it was added after the row was written.
    """
    for name in plain:
        if name not in sheet.columns:
            return name
    plain = sheet.filled(plain)
    for name, spec in sheet.columns.items():
        if name not in plain:
            return name
        value = plain[name]
        if value is None:
            if sheet.defaults[name] is not None or not spec.optional:
                return name
            continue
        if not isinstance(value, _SCALARS.get(spec.kind, (str,))):
            return name
        if isinstance(value, float) and not math.isfinite(value):
            return name
        if isinstance(value, bool) and spec.kind != "yesno":
            return name
        try:
            from_plain(spec.kind, value)
        except (ValueError, OverflowError):
            return name
    return ""
