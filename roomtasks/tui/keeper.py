"""What the interface asks of the store, as plain functions run on the store thread."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from roomtasks.room.journal import Mark
from roomtasks.room.naming import OUTCOME_WORDS, day_words, happened, job_said, time_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stock import Group
from roomtasks.room.trouble_holds import WORDS
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.tui.signs import clean
from roomtasks.tui.words import TankHistory
from roomtasks.work import fish, marking, room_acts, undoing
from roomtasks.work.marking import How
from roomtasks.work.picture import Picture

if TYPE_CHECKING:
    from roomtasks.room.change import WaterScene
    from roomtasks.room.water_plan import WhatIf
    from roomtasks.tui.water_words import WaterSeen


@dataclass(frozen=True, slots=True)
class Told:
    """An act that is on the disk: the sentence, the marks it made, the line it brought back."""

    words: str
    marks: tuple[Mark, ...] = ()
    back_to: str = ""


Said = Told | Problem


def marked(store: Store, now: datetime, what: str, names: Sequence[str], how: How) -> Said:
    """Mark jobs as one act; the sentence says what changed and what is next."""
    answer = marking.mark(store, now, names, what, how)
    if isinstance(answer, Problem):
        return answer
    due = answer.next_due.get(names[0])
    tail = f"; next {day_words(due)}" if due is not None and what != "put-off" else ""
    said = [answer.words + tail, *answer.remarks] if answer.act else [answer.words]
    return Told("; ".join(said) + ".", answer.marks)


def hour_of(text: str) -> time | Problem:
    """A time of day, from 2000, 20:00 or 730."""
    digits = text.replace(":", "").replace(".", "").strip()
    if not digits.isascii() or not digits.isdigit() or not 3 <= len(digits) <= 4:
        return Problem("time", f"“{text}” is no time of day", "type it as 2000 or 20:00")
    hour, minute = int(digits[:-2]), int(digits[-2:])
    if hour > 23 or minute > 59:
        return Problem("time", f"no day has a {text}", "type 0000 to 2359")
    return time(hour, minute)


def time_gone_by(text: str, now: datetime) -> datetime | Problem:
    """The last such time of the clock gone by, from 2000, 20:00 or 730."""
    hour = hour_of(text)
    if isinstance(hour, Problem):
        return hour
    today = now.replace(hour=hour.hour, minute=hour.minute, second=0, microsecond=0)
    return today if today <= now else today - timedelta(days=1)


def noted(store: Store, now: datetime, who: str, place: str, text: str) -> Said:
    """Keep a note at a place."""
    told = room_acts.seen(store, now, who, place, "note", note=text)
    return told if isinstance(told, Problem) else Told(told.words + ".")


def read_off(
    store: Store, now: datetime, who: str, place: str, reading: tuple[str, float, str], anyway: bool
) -> Said:  # fmt: skip
    """Note a reading: what, value, unit. What is far from the usual is asked first."""
    what, value, unit = reading
    told = room_acts.read_off(store, now, who, place, what, value, unit, anyway)
    return told if isinstance(told, Problem) else Told(told.words + ".")


def undone(store: Store, now: datetime, who: str, number: int | None = None) -> Said:
    """Take back an act, the last one where none is named."""
    answer = undoing.undo(store, now, who, number)
    if isinstance(answer, Problem):
        return answer
    marks = [
        json.loads(change.after)
        for change in search.changes_of(store, answer.took_back.id)
        if change.sheet == "marks" and change.after
    ]
    back_to = f"{marks[0]['job']}@{marks[0]['target']}" if marks else ""
    return Told(f"Taken back: {answer.took_back.words}.", back_to=back_to)


def saw(store: Store, now: datetime, who: str, picture: Picture, place: str, event: str) -> Said:
    """Note something seen at a tank."""
    answer = room_acts.seen(store, now, who, place, event)
    return answer if isinstance(answer, Problem) else Told(answer.words + ".")


def counted(
    store: Store, now: datetime, who: str, picture: Picture, place: str, event: str, count: int
) -> Said:
    """So many dead, or so many not seen. Dead fish leave the count where one group lives there."""
    groups: tuple[Group, ...] = picture.room.groups_in(place)
    if event == "dead" and len(groups) == 1:
        answer = fish.take_out(store, now, who, groups[0].code, count, "died", "found dead")
        return answer if isinstance(answer, Problem) else Told(answer.words + ".")
    note = "which group is not known" if event == "dead" and groups else ""
    told = room_acts.seen(store, now, who, place, event, count=count, note=note)
    return told if isinstance(told, Problem) else Told(told.words + ".")


def how_for(what: str, text: str, who: str, picture: Picture) -> How | Problem:
    """What was typed for a marking, as a `How`."""
    if what == "partly":
        try:
            percent = float(text.replace(",", ".").rstrip("% "))
        except ValueError:
            percent = -1.0
        if not 0 < percent <= 100:
            return Problem("share", f"“{text}” is no share", "type 1 to 100, in percent")
        return How(who=who, fraction=percent / 100)
    if what == "put-off":
        if not text.isdigit() or not 1 <= int(text) <= 60:
            return Problem("days", f"“{text}” is no number of days", "type 1 to 60")
        return How(who=who, until=picture.today + timedelta(days=int(text)))
    return How(who=who, reason=text)


def trouble_words(store: Store, room: Room, now: datetime) -> str:
    """The top line's words on troubles: what is open, how many steps wait; "" for none."""
    if not room.troubles:
        return ""
    from roomtasks.work.trouble_view import troubles_view

    seen = troubles_view(store, now)
    if isinstance(seen, Problem):
        return ""
    found = [_headed(p.trouble.sort, p.trouble.target) for p in seen.open]
    waiting = len(seen.steps_now)
    if not found and not waiting:
        return ""
    what = found[0] if len(found) == 1 else f"{len(found)} TROUBLES" if found else "TROUBLE OVER"
    return clean(f"{what}, {waiting} to do: z" if waiting else f"{what}: z")


def _headed(sort: str, target: str) -> str:
    """A trouble in capitals, with its place where that is not the room."""
    return WORDS[sort].upper() + ("" if target == "room" else f" {target}")


def tank_history(store: Store, picture: Picture, code: str) -> TankHistory:
    """Readings and the newest lines of the journal at one tank."""
    from roomtasks.room.trouble_steps import TICK

    filters = [item.code for item in picture.room.filters if item.tank == code]
    zone = picture.room.zone
    lines = []
    for mark in search.marks_at(store, [code, *filters], 12):
        name = job_said(picture.room.job, mark.job, "" if mark.target == code else mark.target)
        litres = f", {mark.litres:.1f} L" if mark.litres else ""
        who = f" by {mark.who}" if mark.who else ""
        done = f"{name}: {OUTCOME_WORDS[mark.outcome]}{litres}{who}"
        lines.append((mark.at, f"{time_words(mark.at.astimezone(zone))} {done}"))
    for event in search.events_at(store, [code], 12):
        note = f" ({event.note})" if event.note and event.event != TICK else ""
        at = event.at or datetime.combine(event.day, datetime.min.time(), zone)
        when = time_words(at.astimezone(zone)) if event.at else day_words(event.day)
        lines.append((at, f"{when} {happened(event.event, event.count)}{note}"))
    lines.sort(key=lambda item: item[0], reverse=True)
    readings = tuple(search.readings_at(store, [code]))
    return TankHistory(readings, tuple(text for _, text in lines[:14]))


JOURNAL_LINES = 400


@dataclass(frozen=True, slots=True)
class Line:
    """An act of the journal as it is shown, and whether it was taken back."""

    act: int
    text: str
    gone: bool


def journal_lines(store: Store, text: str, before: int | None = None) -> list[Line]:
    """The newest acts that hold a text, as lines; those before an act where one is given."""
    acts = search.acts(store, text=text, before=before, most=JOURNAL_LINES)
    back = search.undone(store, [act.id for act in acts]) if acts else {}
    lines = []
    for act in acts:
        who = f" {act.who}" if act.who else ""
        gone = f" [taken back by act {back[act.id]}]" if act.id in back else ""
        told = f"{act.id} {time_words(act.at)}{who}: {act.words}{gone}"
        lines.append(Line(act.id, told, act.id in back))
    return lines


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone:
    """A step at a reservoir as the keeper tells it; fields as `work.water.step`."""

    reservoir: str
    step: str
    litres: float | None = None
    celsius: float | None = None
    recipe: str = ""
    for_day: date | None = None
    when: datetime | None = None
    anyway: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What the keeper chose for a change day; fields as `work.water.choose`."""

    day: date
    hour: time | None = None
    share: float | None = None
    keep_back: bool | None = None
    as_planned: bool = False


def water_planned(scene: "WaterScene", what_if: "WhatIf") -> "WaterSeen":
    """The water as the screen shows it, worked out from one look at the store."""
    from roomtasks.room.change import plan_change
    from roomtasks.room.contents import contents_of
    from roomtasks.tui.water_words import WaterSeen
    from roomtasks.work.water import cautions

    room, now = scene.room, scene.now
    plan = plan_change(scene, what_if)
    if isinstance(plan, Problem):
        held = [contents_of(room, vessel, now, scene.readings) for vessel in room.reservoirs]
        return WaterSeen(room, now, plan, {each.reservoir: each for each in held})
    held_by = {each.reservoir: each for each in plan.contents}
    return WaterSeen(room, now, plan, held_by, cautions(plan))


def stepped(store: Store, now: datetime, who: str, done: StepDone) -> Said:
    """Write one step at a reservoir."""
    from roomtasks.work.water import step

    answer = step(
        store, now, who, done.reservoir, done.step, done.litres, done.celsius, done.recipe,
        done.for_day, done.when, done.anyway,
    )  # fmt: skip
    return answer if isinstance(answer, Problem) else Told(answer.words + ".")


def chosen(store: Store, now: datetime, who: str, choice: Chosen) -> Said:
    """Keep what was chosen for a change day."""
    from roomtasks.work.water import choose

    answer = choose(
        store, now, who, choice.day, choice.hour, choice.share, choice.keep_back,
        choice.as_planned,
    )  # fmt: skip
    return answer if isinstance(answer, Problem) else Told(answer.words + ".")
