"""Marks, acts and groups as JSON and as words: said the same by every command."""

from roomtasks.cli.asked import Document, day, figure, instant
from roomtasks.room.journal import Act, Mark
from roomtasks.room.naming import OUTCOME_WORDS, job_said
from roomtasks.room.room import Room
from roomtasks.room.stock import Group
from roomtasks.room.why import day_words


def mark_document(room: Room, mark: Mark) -> Document:
    """One mark of the journal."""
    return {
        "mark": mark.id, "act": mark.act, "id": f"{mark.job}@{mark.target}", "job": mark.job,
        "target": mark.target, "slot": day(mark.slot), "outcome": mark.outcome,
        "day": day(mark.day), "at": instant(mark.at.astimezone(room.zone)),
        "who": mark.who or None, "fraction": figure(mark.fraction),
        "litres": figure(mark.litres, 3), "minutes": figure(mark.minutes),
        "until": day(mark.until), "reason": mark.reason or None, "note": mark.note or None,
    }  # fmt: skip


def mark_words(room: Room, mark: Mark) -> str:
    """One mark in words, with its day where that is not told elsewhere."""
    at = mark.at.astimezone(room.zone)
    by = f" by {mark.who}" if mark.who else ""
    share = f" {100 * mark.fraction:.3g} %" if mark.fraction is not None else ""
    litres = f", {mark.litres:.1f} L" if mark.litres else ""
    until = f" to {day_words(mark.until)}" if mark.until else ""
    why = f" ({mark.reason})" if mark.reason else ""
    note = f": {mark.note}" if mark.note else ""
    outcome = OUTCOME_WORDS[mark.outcome]
    what = job_said(room.job, mark.job, mark.target)
    return f"{at:%H:%M} {what}: {outcome}{share}{litres}{until}{by}{why}{note}"


def act_document(room: Room, act: Act, undone_by: int | None = None) -> Document:
    """One act of the journal."""
    return {
        "act": act.id, "at": instant(act.at.astimezone(room.zone)), "day": day(act.day),
        "who": act.who or None, "verb": act.verb, "words": act.words, "undoes": act.undoes,
        "undone_by": undone_by,
    }  # fmt: skip


def group_document(group: Group) -> Document:
    """One group of fish."""
    return {
        "group": group.code, "line": group.line, "tank": group.tank, "count": group.count,
        "count_known": group.count_known, "males": group.males, "males_known": group.males_known,
        "females": group.females, "females_known": group.females_known, "unsexed": group.unsexed,
        "stage": group.stage, "since": day(group.since), "born": day(group.born),
        "generation": group.generation or None, "origin": group.origin or None,
        "note": group.note or None,
    }  # fmt: skip


def group_words(group: Group) -> str:
    """One group in words."""
    about = "about " if group.count_known == "about" else ""
    sexes = [
        f"{count} {sex} {known}"
        for count, sex, known in (
            (group.males, "m", group.males_known), (group.females, "f", group.females_known),
        )
        if count
    ]  # fmt: skip
    if sexes and group.unsexed:
        sexes.append(f"{group.unsexed} unsexed")
    told = f" ({', '.join(sexes)})" if sexes else ""
    return (
        f"{about}{group.count} {group.line} [{group.code}]{told}, {group.stage}, "
        f"since {day_words(group.since)} {group.since.year}"
    )
