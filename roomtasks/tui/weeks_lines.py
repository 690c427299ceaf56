"""The list of the weeks: the whole first, then each day with its jobs, at one width.

Every job that can be moved has a line of its own; the daily round is one line.
"""

from collections.abc import Iterator, Sequence

from roomtasks.room.ahead_plan import KEEPER, Ahead, PlannedDay, PlannedJob
from roomtasks.room.ahead_words import least_over
from roomtasks.room.naming import job_there, place_of, tenths
from roomtasks.room.room import Room
from roomtasks.room.water_plan import Note
from roomtasks.room.why import day_words
from roomtasks.tui.side_acts import Act
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part
from roomtasks.tui.water_words import num
from roomtasks.tui.weeks_acts import day_acts, job_acts, pull_act
from roomtasks.tui.weeks_back import back_acts
from roomtasks.tui.weeks_seen import WeeksSeen, comes_with, key_of
from roomtasks.tui.weeks_words import (
    busiest_words,
    heaviest_words,
    in_the_round,
    litres_words,
    person,
    short_day,
    together,
)

NOTES_SHOWN = 2
COULD_NAMED = 3


def parts(seen: WeeksSeen, signs: Signs) -> list[Part]:
    """The whole span, then every day."""
    whole = Part(f"The {len(seen.shown.days)} days", tuple(_whole(seen.shown, signs)))
    days = [
        Part(_title(day, seen), tuple(_day(day, seen, signs))) for day in seen.shown.days
    ]  # fmt: skip
    return [whole, *days]


# ---- the whole -----------------------------------------------------------------------------------


def _whole(ahead: Ahead, signs: Signs) -> Iterator[Item]:
    yield Item(key="busiest", text=f"{busiest_words(ahead)}.")
    if ahead.over_minutes >= 0.5:
        days = sum(day.over_minutes >= 0.5 for day in ahead.days)
        yield Item(key="over", weight="late",
                   text=f"{signs.late} {tenths(ahead.over_minutes)} minutes over what there are, "
                   f"on {days} day{'' if days == 1 else 's'}; {least_over(ahead)}.")  # fmt: skip
    for n, (text, over) in enumerate(heaviest_words(ahead, signs)):
        yield Item(key=f"litres {n}", text=f"{text}.", weight="late" if over else "")
    for n, one in enumerate(ahead.helps):
        yield Item(key=f"help {n}", text=f"Would help: {one.text}.")
    yield from _cannot(ahead, signs)
    if ahead.moved:
        text = f"{_jobs(ahead.moved)} off the usual day, to level the days."
        yield Item(key="moved", weight="quiet", text=text)
    for n, note in enumerate(ahead.notes):
        yield Item(key=f"note {n}", text=f"{note.text}.", weight="quiet")


def _cannot(ahead: Ahead, signs: Signs) -> Iterator[Item]:
    """What cannot fit, what found no place, what is late already; many are folded."""
    for sort, lead in (("refused", f"{signs.late} CANNOT FIT: "), ("warned", "No place found: "),
                       ("", "")):  # fmt: skip
        texts = _texts(note for note in ahead.cannot
                       if (note.sort if note.sort in ("refused", "warned") else "") == sort
                       and note.rule != "minutes")  # fmt: skip
        weight = "late" if sort == "refused" else ""
        shown = texts if len(texts) <= NOTES_SHOWN + 1 else texts[:NOTES_SHOWN]
        for n, text in enumerate(shown):
            yield Item(key=f"cannot {sort} {n}", text=f"{lead}{text}.", weight=weight)
        left = texts[len(shown) :]
        if left:
            text = f"{lead}and {len(left)} more like that; 5 opens them."
            yield Item(key=f"cannot {sort} more", weight=weight, more=tuple(left), text=text)


def _texts(notes: Iterator[Note]) -> list[str]:
    """Each sentence once, with the places it is about."""
    places: dict[str, list[str]] = {}
    for note in notes:
        place = place_of(note.about)
        places.setdefault(note.text, []).extend([place] if place else [])
    return [
        f"{' '.join(dict.fromkeys(where))}: {text}" if where else text
        for text, where in places.items()
    ]  # fmt: skip


# ---- a day ---------------------------------------------------------------------------------------


def _title(day: PlannedDay, seen: WeeksSeen) -> str:
    today = ", today" if day.day == seen.shown.first else ""
    return f"{day_words(day.day)}{today}{', away' if day.away else ''}"


def _day(day: PlannedDay, seen: WeeksSeen, signs: Signs) -> Iterator[Item]:
    iso = day.day.isoformat()
    yield Item(
        key=f"day {iso}", about=iso, text=day_line(day, seen.room, signs),
        weight="late" if day.over_minutes >= 0.5 else "", more=tuple(_made_of(day)),
        acts=(*_back(day, seen), *day_acts(day, seen.room)),
    )  # fmt: skip
    late = [job for job in day.jobs if job.late_days]
    for job in (*late, *(job for job in day.jobs if not job.late_days)):
        if not in_the_round(job):
            yield _job(job, iso, seen, signs)
    daily = [job for job in day.jobs if in_the_round(job)]
    if daily:
        minutes = sum(job.minutes for job in daily)
        yield Item(key=f"round {iso}", about=iso, weight="quiet", more=tuple(together(daily)),
                   text=f"Daily round: {_jobs(len(daily))}, {minutes:.0f} min")  # fmt: skip
    if day.could:
        yield Item(key=f"could {iso}", about=iso, weight="quiet", more=tuple(_could(day.could)),
                   text=_could_line(day), acts=pull_act(day))  # fmt: skip


def _back(day: PlannedDay, seen: WeeksSeen) -> tuple[Act, ...]:
    """On today's line: catching up, where days away are just over."""
    return back_acts(seen.room, seen.scene.now) if day.day == seen.scene.today else ()


def day_line(day: PlannedDay, room: Room, signs: Signs) -> str:
    """What a day takes against what there is."""
    litres = [litres_words(use, signs) for use in day.litres if use.litres]
    if day.away:
        who = person(room, day.stand_in)
        theirs = [f"Away: {who} stands in, {day.stand_in_minutes:.0f} min, {_jobs(len(day.jobs))}"]
        return ", ".join([*theirs, *litres])
    text = f"{tenths(day.minutes)} of {tenths(day.minutes_there_are)} min"
    if day.over_minutes >= 0.5:
        text += f" {signs.late}{tenths(day.over_minutes)} over"
    return ", ".join([text, *litres, _jobs(len(day.jobs))])


def _jobs(number: int) -> str:
    return f"{number} job{'' if number == 1 else 's'}"


def _made_of(day: PlannedDay) -> Iterator[str]:
    """How the minutes of a day come about, and all its jobs."""
    if not day.away:
        own = day.minutes - day.setup_minutes - day.way_minutes
        yield (f"{own:.0f} min of jobs, {day.setup_minutes:.0f} of setting up, "
               f"{day.way_minutes:.0f} of way")  # fmt: skip
    yield from together(day.jobs)


def _job(job: PlannedJob, iso: str, seen: WeeksSeen, signs: Signs) -> Item:
    weight = "late" if job.late_days else "quiet" if comes_with(job) else ""
    return Item(key=key_of(job), about=iso, text=job_line(job, seen, signs), weight=weight,
                more=tuple(_job_more(job)), acts=job_acts(job))  # fmt: skip


def job_line(job: PlannedJob, seen: WeeksSeen, signs: Signs) -> str:
    """One job on its day, with what is special about that."""
    trial = seen.ask.trial if seen.asked is not None else None
    said = [job_there(job.name, job.target), f"{job.minutes:.0f} min"]
    if job.litres:
        said.append(f"{num(job.litres, 0)} L{f' of {job.reservoir}' if job.reservoir else ''}")
    if job.late_days:
        said.append(f"{job.late_days} day{'' if job.late_days == 1 else 's'} late")
    if trial is not None and (trial.id, trial.n) == (job.id, job.n):
        said.append(f"only tried, from {short_day(trial.planned)}")
    elif job.pinned:
        said.append("kept by you")
    elif job.moved_days and not job.late_days:
        said.append(f"off {short_day(job.usual)}")
    if comes_with(job):
        said.append("comes along")
    if job.by != KEEPER:
        said.append("the stand-in's")
    if job.waits:
        said.append(f"{signs.held} waits for {job.waits}")
    return (f"{signs.late} " if job.late_days else "") + ", ".join(said)


def _job_more(job: PlannedJob) -> Iterator[str]:
    yield job.why[:1].upper() + job.why[1:]
    others = [short_day(day) for day in job.may if day != job.day]
    if others and not job.pinned:
        yield f"Could also lie on: {', '.join(others)}."
    if job.n and not comes_with(job):
        yield "It comes after the one that is next there: only that can be kept on a day."


def _could_line(day: PlannedDay) -> str:
    names = [job_there(job.name, job.target) for job in day.could]
    left = len(names) - COULD_NAMED
    tail = f" and {left} more" if left > 0 else ""
    free = day.minutes_there_are - day.minutes
    room = f"{free:.0f} min free; " if free >= 1 else ""
    return f"Could come forward: {room}{', '.join(names[:COULD_NAMED])}{tail}"


def _could(jobs: Sequence[PlannedJob]) -> Iterator[str]:
    for job in jobs:
        what = job_there(job.name, job.target)
        yield f"{what}, {job.minutes:.0f} min, planned for {day_words(job.day)}"
