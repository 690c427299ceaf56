"""What the screens say: from a picture to boxes, lines and sentences. No widgets here."""

import textwrap
from dataclasses import dataclass

from roomtasks.room.caution import cautions_at
from roomtasks.room.course_days import doses_of
from roomtasks.room.journal import Mark, Reading
from roomtasks.room.naming import (
    OUTCOME_WORDS,
    STATE_WORDS,
    job_said,
    kinds_words,
    many,
    minutes_words,
    reading_words,
)  # fmt: skip
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.stock import Group
from roomtasks.room.tank import drain_mark_cm, litres_of
from roomtasks.room.why import day_words, why
from roomtasks.tui.here_words import on_screen, refused_here
from roomtasks.tui.plan_words import Aside
from roomtasks.tui.round import Line
from roomtasks.tui.signs import Signs, clean, fitted, sign_of
from roomtasks.tui.widgets.lines_view import Row
from roomtasks.tui.widgets.rack_view import Box
from roomtasks.work.picture import Picture

WHOLE = 99


def boxes(picture: Picture, signs: Signs) -> dict[str, Box]:
    """A box for every tank."""
    return {code: _box(picture, code, signs) for code in picture.room.tank}


def _box(picture: Picture, code: str, signs: Signs) -> Box:
    room, today = picture.room, picture.today
    heads = room.heads_in(code)
    health = room.health_of(code, today)
    states = [due.state for due in picture.at_tank.get(code, ()) if due.put_off_to is None]
    late, due = states.count(State.LATE), states.count(State.DUE)
    text = ""
    if late:
        text += signs.late
    if due:
        text += f"{signs.due}{due}" if due > 1 else signs.due
    if State.HELD in states:
        text += signs.held
    if room.valve.shut_from(code, picture.now) is not None:
        text += signs.shut
    stay = room.stay_in(code, today)
    if stay is not None:
        text += f"d{(today - stay.since).days}"
    if not heads:
        text += signs.empty * 2
    count = f"{heads}" if heads < 1000 else f"{heads // 1000}k"
    head = f"{clean(code)} {health.letter}{count if heads else ''}"
    return Box(head, text, "late" if late else "due" if due else "" if heads else "quiet")


def line_text(line: Line, signs: Signs, width: int, aside: Aside | None = None) -> Row:
    """One line of the walk; `aside` is what is said of it while it waits."""
    due = line.stop.due
    sign = sign_of(signs, due)
    if line.said:
        sign = signs.done if line.said.startswith(("done", "partly")) else signs.off
    elif aside is not None and aside.leaves:
        sign = signs.off
    place = due.tank or due.target
    tail = line.said or (aside.short if aside is not None else _amount_short(line))
    head = f"{sign} {fitted(clean(place), 6)} {due.health.letter if due.tank else ' '} "
    room_for = max(8, width - len(head) - len(tail) - 2)
    name = clean(due.job.name)
    if due.target != place:
        name = f"{name} {clean(due.target)}"
    text = head + fitted(name, room_for) + " " + clean(tail)
    quiet = line.said or (aside is not None and aside.leaves)
    weight = "quiet" if quiet else "late" if due.state is State.LATE else ""
    return Row(text, weight)


def _amount_short(line: Line) -> str:
    due = line.stop.due
    litres = f"{due.litres:.0f} L " if due.litres else ""
    minutes = line.stop.total_minutes
    return f"{litres}{minutes:.0f} min" if minutes >= 1 else f"{litres}<1 min"


def hand_lines(
    picture: Picture, line: Line, signs: Signs, width: int, most: int, aside: str = ""
) -> list[str]:
    """The job in hand: place and job, how much, why, and the caution where there is one.

    `aside` says why the walk, as it is shown, leaves it.
    """
    due = line.stop.due
    place = clean(due.tank or due.target)
    where = f" ({clean(due.target)})" if due.tank and due.target != due.tank else ""
    title = f"{signs.hand} {place}{where}  {clean(due.job.name)}"
    if due.tank:
        title += f"  ({due.health.word})"
    if line.said:
        title += f"  {signs.done} {clean(line.said)}"
    caution = " ".join(cautions_at(picture.room, due.job.kind, due.tank))
    parts = HandParts(
        textwrap.wrap(title, width, subsequent_indent="  "),
        [
            *textwrap.wrap(clean(aside), width),
            *textwrap.wrap("; ".join([*amount_words(picture, due), _minutes_words(line)]), width),
        ],
        textwrap.wrap(clean(why(due)), width),
        textwrap.wrap("Needs: " + on_screen(clean(due.job.needs)), width) if due.job.needs else [],
        textwrap.wrap("! " + caution, width) if caution else [],
    )
    return parts.within(most, width)


def job_rows(picture: Picture, line: Line, signs: Signs, width: int) -> list[Row]:
    """The job in hand whole, for a page."""
    title, *rest = hand_lines(picture, line, signs, width, WHOLE)
    head = Row(title.removeprefix(signs.hand).lstrip(), "head")
    return [head, *(Row(text) for text in rest), Row("")]


def _minutes_words(line: Line) -> str:
    stop = line.stop
    known = "recorded" if stop.from_record else "as set"
    extra = f"{minutes_words(stop.minutes)} min ({known})"
    if stop.setup_minutes:
        extra += f" + {minutes_words(stop.setup_minutes)} min set-up"
    if stop.way_minutes:
        extra += f" + {minutes_words(stop.way_minutes)} min washing and steps"
    return extra


@dataclass(frozen=True, slots=True)
class HandParts:
    """The job in hand as lines: what can hurt or go wrong without it is cut last, why first."""

    title: list[str]
    amounts: list[str]
    why: list[str]
    needs: list[str]
    caution: list[str]

    def within(self, most: int, width: int) -> list[str]:
        """In so many lines."""
        title = _cut(self.title, max(1, most - len(self.caution) - 2), width)
        left = most - len(title) - len(self.caution)
        amounts = _cut(self.amounts, max(1, left - 1), width)
        left -= len(amounts)
        needs = _cut(self.needs, left, width)
        told = _cut(self.why, left - len(needs), width)
        return [*title, *amounts, *told, *needs, *self.caution][:most]


def _cut(lines: list[str], most: int, width: int) -> list[str]:
    """So many lines; the last says with an ellipsis that there is more on the tank's page."""
    if len(lines) <= most:
        return lines
    if most <= 0:
        return []
    last = lines[most - 1]
    return [*lines[: most - 1], fitted(last, width - 2).rstrip().removesuffix("…") + " …"]


def amount_words(picture: Picture, due: Due) -> list[str]:
    """Litres, drain mark and reservoir of a job, each with how it is known."""
    said: list[str] = []
    said += map(clean, doses_of(picture.room, due, picture.today))
    fraction = due.owed_fraction if due.owed_fraction is not None else due.fraction
    if due.litres is not None and due.fraction is not None and fraction is not None:
        said.append(f"{100 * fraction:.3g} % = {due.litres:.1f} L ({due.litres_known})")
    elif due.litres is not None:
        said.append(f"{due.litres:.1f} L")
    if due.tank and fraction is not None and due.fraction is not None:
        mark = drain_mark_cm(picture.room.tank[due.tank], fraction)
        if not isinstance(mark, Problem):
            said.append(f"lower by {mark:.1f} cm")
    if due.target in picture.room.system and fraction is not None and due.litres:
        said += _system_words(picture, due.target, fraction, due.litres)
    if due.job.reservoir:
        said.append(f"from {clean(due.job.reservoir)}")
    return said


def _system_words(picture: Picture, system: str, fraction: float, litres: float) -> list[str]:
    """Drain marks of the open tanks, and the share of the whole body the change comes to."""
    room, now = picture.room, picture.now
    marks = [
        mark
        for code in room.valve.members(system, now)
        if not isinstance(mark := drain_mark_cm(room.tank[code], fraction), Problem)
    ]
    whole = room.system_litres(system, now)
    said = []
    if marks:
        low, high = min(marks), max(marks)
        span = f"{low:.1f}" if high - low < 0.05 else f"{low:.1f} to {high:.1f}"
        said.append(f"lower {many(len(marks), 'tank')} by {span} cm")
    if whole:
        said.append(f"{100 * litres / whole:.1f} % of all its {whole:.0f} L")
    return said


def here_lines(picture: Picture, code: str, width: int) -> list[str]:
    """The tank in hand in a few lines, for screens with room to spare."""
    if code not in picture.room.tank:
        return []
    tank = picture.room.tank[code]
    lines = [fitted(clean(f"{code}  {tank.role}, {tank.bottom} bottom"), width)]
    for group in picture.room.groups_in(code):
        about = "about " if group.count_known == "about" else ""
        text = f"{about}{group.count} {group.line}, {group.stage}{_sexes(group)}"
        lines += textwrap.wrap(clean(text), width)
    lines += textwrap.wrap(clean(_water_words(picture, code)), width)
    condition = picture.room.condition_of(code, picture.today)
    if condition is not None and condition.state != "clean":
        health = picture.room.health_of(code, picture.today)
        lines += textwrap.wrap(clean(f"{health.word}: {condition.reason}"), width)
    if tank.note:
        lines += textwrap.wrap(clean(tank.note), width)
    for due in picture.at_tank.get(code, ()):
        if due.state is State.HELD:
            lines += textwrap.wrap(clean(f"HELD {due.job.name}: {_until(due)}"), width)
    return lines


def other_rows(picture: Picture, sort: str, signs: Signs, width: int) -> list[Row]:
    """The list turned: what is held or put off, or what is done today."""
    if sort == "done":
        rows = []
        for mark in picture.marks:
            rows += _wrapped(mark_words(picture, mark), width)
        return rows or [Row("Nothing is marked today yet.", "quiet")]
    rows = []
    for due in picture.dues:
        if due.state is State.HELD and due.blocked is not None:
            rows += _wrapped(
                f"{signs.held} {due.tank or due.target} {due.job.name}: {_until(due)}", width
            )
        elif due.put_off_to is not None and due.state in (State.DUE, State.LATE):
            text = f"{signs.off} {due.tank or due.target} {due.job.name}: put off to "
            rows += _wrapped(text + day_words(due.put_off_to), width)
        elif due.later_today is not None and due.state in (State.DUE, State.LATE):
            text = f"{signs.open} {due.tank or due.target} {due.job.name}: from "
            rows += _wrapped(f"{text}{due.later_today:%H:%M}", width)
    return rows or [Row("Nothing is held or put off.", "quiet")]


def mark_words(picture: Picture, mark: Mark) -> str:
    """One mark: when, which job at which place, what became of it."""
    at = mark.at.astimezone(picture.room.zone)
    litres = f", {mark.litres:.1f} L" if mark.litres else ""
    until = f" to {day_words(mark.until)}" if mark.until else ""
    who = f" by {mark.who}" if mark.who else ""
    why_ = f" ({mark.reason})" if mark.reason else ""
    what = job_said(picture.room.job, mark.job, mark.target)
    return f"{at:%H:%M} {what}: {OUTCOME_WORDS[mark.outcome]}{until}{litres}{who}{why_}"


def _until(due: Due) -> str:
    if due.blocked is None:
        return ""
    end = f", free from {day_words(due.placed)}" if due.blocked.until else ", until lifted"
    return due.blocked.reason + end


def _wrapped(text: str, width: int) -> list[Row]:
    lines = textwrap.wrap(clean(text), max(10, width - 2), subsequent_indent="    ")
    return [Row(line) for line in lines]


def tank_lines(picture: Picture, code: str, history: "TankHistory", width: int) -> list[Row]:
    """The page of one tank."""
    room, tank = picture.room, picture.room.tank[code]
    rows: list[Row] = []
    health = room.health_of(code, picture.today)
    rows.append(Row(clean(f"{code}  {tank.role}  rack {tank.rack}, shelf {tank.shelf}, place "
                          f"{tank.place}  {health.word}"), "head"))  # fmt: skip
    rows += _wrapped(_water_words(picture, code), width)
    rows += _wrapped(_drain_words(picture, code), width)
    groups = room.groups_in(code)
    rows.append(Row("Who lives here" if groups else "Nobody lives here", "head"))
    for group in groups:
        about = "about " if group.count_known == "about" else ""
        text = f"{about}{group.count} {group.line} ({group.code}), {group.stage}"
        sexes = _sexes(group)
        rows += _wrapped(f"{text}{sexes}, since {day_words(group.since)}", width)
    rows.append(Row("Jobs", "head"))
    for due in sorted(picture.at_tank.get(code, ()), key=lambda due: (due.placed, due.id)):
        said = f"{STATE_WORDS[due.state]}: {due.said} - {why(due)}"
        rows += _wrapped(said[0].upper() + said[1:], width)
    holds = [h for h in room.holds_at.get(code, ()) if h.on(picture.today)]
    for hold in holds:
        until = f" until {day_words(hold.until)}" if hold.until else " until lifted"
        what = kinds_words(room.job, hold.kinds)
        rows += _wrapped(f"Hold on {what}{until}: {hold.reason}", width)
    rows.append(Row("Readings", "head"))
    for reading in history.readings:
        age = (picture.today - reading.day).days
        old = "today" if age == 0 else f"{many(age, 'day')} old"
        what = reading_words(reading.what)
        rows += _wrapped(f"{what} {reading.value:g} {reading.unit} ({old})", width)
    rows.append(Row("Last events", "head"))
    for text in history.lines:
        rows += _wrapped(text, width)
    return rows


def _sexes(group: Group) -> str:
    parts = []
    if group.males:
        parts.append(f"{group.males} male, {group.males_known}")
    if group.females:
        parts.append(f"{group.females} female, {group.females_known}")
    if parts and group.unsexed:
        parts.append(f"{group.unsexed} not sexed")
    return f" ({'; '.join(parts)})" if parts else ""


def _drain_words(picture: Picture, code: str) -> str:
    """How far to lower the water for each share that a job here, or on its system, changes."""
    system = picture.room.valve.open_to(code, picture.now)
    places = [code, *([system] if system is not None else [])]
    shares = sorted(
        {
            due.fraction
            for place in places
            for due in picture.at_tank.get(place, ())
            if due.fraction is not None
        }
    )
    said = []
    for share in shares:
        mark = drain_mark_cm(picture.room.tank[code], share)
        if not isinstance(mark, Problem):
            litres = share * picture.room.tank_litres(code)
            said.append(f"for {100 * share:.3g} %, {litres:.1f} L, lower by {mark:.1f} cm")
    return "Drain mark: " + "; ".join(said) if said else "No job changes its water."


def _water_words(picture: Picture, code: str) -> str:
    room, now = picture.room, picture.now
    litres = litres_of(room.tank[code])
    if isinstance(litres, Problem):
        return refused_here(litres)
    text = f"{litres.litres:.1f} L, {litres.known} ({litres.source})"
    system = room.valve.open_to(code, now)
    shut = room.valve.shut_from(code, now)
    if system is not None:
        others = len(room.valve.members(system, now)) - 1
        text += f"; shares water with {many(others, 'tank')} and the sump of {system}"
    elif shut is not None:
        since = room.valve.since(code, now)
        text += f"; valve shut, cut off from {shut}" + (f" since {since:%d %b}" if since else "")
    else:
        text += "; stands alone"
    empty = room.empty_since(code)
    if empty is not None:
        text += f"; empty of fish since {day_words(empty)}"
    stay = room.stay_in(code, picture.today)
    if stay is not None:
        text += f"; quarantine day {(picture.today - stay.since).days} of {stay.days}"
    return text


@dataclass(frozen=True, slots=True)
class TankHistory:
    """What the journal knows of one tank: readings, and its newest lines as text."""

    readings: tuple[Reading, ...]
    lines: tuple[str, ...]
