"""What the screen of the weeks says at its top and foot: figures, what a trial would do, bars.

From plans to words; nothing is worked out here but differences of two plans.
"""

import textwrap
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob, WaterUse, WhatIfAhead
from roomtasks.room.naming import job_there, jobs_at, tenths
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_words import num
from roomtasks.tui.weeks_seen import WeeksSeen, comes_with
from roomtasks.tui.widgets.bars_view import Bar, Chart

ROUND_KINDS = ("look", "feed", "feed-fry", "check", "start")
MOVED_NAMED, FOOT_LINES = 4, 3


def in_the_round(job: PlannedJob) -> bool:
    """Whether it belongs to the daily round, which is the same every day."""
    return job.opens == job.closes == job.slot and job.kind in ROUND_KINDS


def short_day(day: date) -> str:
    """A day of the span: Sat 13."""
    return f"{day:%a} {day.day}"


def person(room: Room, code: str) -> str:
    """A person's name; "nobody" where none is named."""
    return next((p.name for p in room.people if p.code == code), code or "nobody")


# ---- figures -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a plan: a short name, its unit, as it is and as asked."""

    name: str
    unit: str
    before: float
    after: float

    def arrow(self, sign: str) -> str:
        """Both, short: over 12>0."""
        if round(self.before) == round(self.after):
            return f"{self.name} {self.after:.0f}"
        return f"{self.name} {self.before:.0f}{sign}{self.after:.0f}"


def figures(before: Ahead, after: Ahead) -> tuple[Figure, ...]:
    """What two plans are held against each other by, what counts most first."""
    return (
        Figure("busiest", "min", before.busiest_minutes, after.busiest_minutes),
        Figure("over", "min", before.over_minutes, after.over_minutes),
        Figure("short", "L", before.over_litres, after.over_litres),
        Figure("late", "", _late(before), _late(after)),
        Figure("cannot", "", len(refusals(before)), len(refusals(after))),
    )


def _late(ahead: Ahead) -> int:
    return sum(job.late_days > 0 for job in ahead.jobs)


def refusals(ahead: Ahead) -> tuple[str, ...]:
    """What cannot fit, each thing once; minutes over are told day by day."""
    return tuple(
        note.text
        for note in ahead.cannot
        if note.sort in ("refused", "warned") and note.rule != "minutes"
    )


def busiest_day(ahead: Ahead) -> PlannedDay | None:
    """The keeper's longest day, the first of such."""
    return max(ahead.days, key=lambda day: day.minutes, default=None)


def busiest_words(ahead: Ahead) -> str:
    """The busiest day with what no plan can be below."""
    day = busiest_day(ahead)
    name = f", {day_words(day.day)}" if day is not None and day.minutes else ""
    text = f"Busiest day{name}: {tenths(ahead.busiest_minutes)} minutes"
    if ahead.proven:
        return f"{text}; no plan can have less"
    return f"{text}; it cannot be below {tenths(ahead.bound_minutes)}"


# ---- the two lines at the top --------------------------------------------------------------------


def top_line(seen: WeeksSeen, signs: Signs, width: int) -> str:
    """The busiest day, its bound, and what is over, as long as there is room for."""
    ahead = seen.shown
    day = busiest_day(ahead)
    name = short_day(day.day) if day is not None and day.minutes else ""
    busiest, bound = tenths(ahead.busiest_minutes), tenths(ahead.bound_minutes)
    over = "".join(_over(ahead, signs))
    days = f"{len(ahead.days)} days"
    if ahead.proven:
        long, short = "no plan can have less", "least there is"
    else:
        long, short = f"it cannot be below {bound}", f"not below {bound}"
    return _fitting(width, (
        f"The weeks ahead, {days}: busiest day {busiest} minutes, {name}; {long}{over}",
        f"{days}: busiest day {busiest} min, {name}; {long}{over}",
        f"{days}: busiest {name} {busiest} min, {short}{over}",
        f"{days} {name} {busiest} min, {short}{over}",
        f"{days} {name} {busiest} min{over}",
    ))  # fmt: skip


def _over(ahead: Ahead, signs: Signs) -> Iterator[str]:
    if ahead.over_minutes >= 0.5:
        yield f"  {signs.late}{tenths(ahead.over_minutes)} min over"
    if ahead.over_litres >= 0.5:
        yield f"  {signs.late}{ahead.over_litres:.0f} L short"


def next_line(seen: WeeksSeen, signs: Signs, width: int) -> str:
    """What is asked beside what is; else what is to be decided next."""
    if seen.asked is not None:
        return _against(seen, signs, width)
    ahead = seen.base
    parts = []
    over = [day for day in ahead.days if day.over_minutes >= 0.5]
    if over:
        first = over[0]
        parts.append(
            f"{signs.late} {short_day(first.day)}: {first.minutes:.0f} of "
            f"{first.minutes_there_are:.0f} min"
        )
        if len(over) > 1:
            parts.append(f"{len(over)} days are over")
    late, cannot = _late(ahead), len(refusals(ahead))
    if late:
        parts.append(f"{late} late")
    if cannot:
        parts.append(f"{cannot} cannot fit")
    away = next((day for day in ahead.days if day.away), None)
    if away is not None:
        parts.append(f"away from {short_day(away.day)}")
    return _joined(parts or ["Every day fits"], width)


def _against(seen: WeeksSeen, signs: Signs, width: int) -> str:
    """Figures of both plans, and after them what is asked."""
    parts = [
        figure.arrow(signs.off)
        for figure in figures(seen.base, seen.shown)
        if round(figure.before) or round(figure.after)
    ]
    trial = seen.ask.trial
    if trial is not None:
        asked = f"{trial.words} {short_day(trial.planned)}{signs.off}{short_day(trial.day)}"
    else:
        asked = what_if_words(seen.ask.what_if)
    return _joined([*parts, f"if {asked}"], width)


def _joined(parts: Iterable[str], width: int) -> str:
    """As many whole parts as there is room for."""
    text = ""
    for part in parts:
        longer = f"{text}  {part}" if text else part
        if text and cell_len(longer) > width:
            break
        text = longer
    return text


def _fitting(width: int, candidates: Sequence[str]) -> str:
    """The first that fits, else the last."""
    return next((text for text in candidates if cell_len(text) <= width), candidates[-1])


# ---- what is asked -------------------------------------------------------------------------------


def what_if_words(what_if: WhatIfAhead) -> str:
    """What is asked, in few words: sunday +60 min, V1 +80 L, without D3."""
    return ", ".join(_what_ifs(what_if))


def _what_ifs(what_if: WhatIfAhead) -> Iterator[str]:
    for name, minutes in what_if.minutes:
        yield f"{name} {minutes:+g} min"
    for name, litres in what_if.litres:
        yield f"{name} {litres:+g} L"
    for name in what_if.without:
        yield f"without {name}"
    for name, many in what_if.more:
        yield f"{many:g} more like {name}"
    for name in what_if.second:
        yield f"a second {name}"
    for name, minutes in what_if.helper:
        yield f"helper {name} {minutes:g} min"


def asked_words(seen: WeeksSeen, width: int) -> str:
    """What came of a what-if, for the foot."""
    if seen.asked is None:
        return ""
    told = [note.text for note in seen.asked.notes if note.rule == "what-if"]
    text = f"If {what_if_words(seen.ask.what_if)}: {_changes(seen)}. Nothing is kept"
    return _on_the_foot(width, [". ".join([text, *told[:n]]) + "." for n in (9, 2, 1, 0)])


def trial_words(seen: WeeksSeen, width: int) -> str:
    """What a move would do, for the foot: from where to where, and what follows from it.

    Names of other jobs that move are said as far as there is room.
    """
    trial = seen.ask.trial
    if trial is None or seen.asked is None:
        return ""
    moved = [
        f"{job_there(job.name, job.target)} to {short_day(job.day)}" for job in others_moved(seen)
    ]
    way = f"{short_day(trial.planned)} to {day_words(trial.day)}"
    kept = "" if trial.n == 0 else "; only the next one there can be kept on a day"
    lead = f"Only asked: {trial.words}, {way}: {_changes(seen)}; "
    return _on_the_foot(width, [
        f"{lead}{_others(moved, named)}{kept}." for named in range(MOVED_NAMED, -1, -1)
    ])  # fmt: skip


def _others(moved: Sequence[str], named: int) -> str:
    """Other jobs that move, so many of them by name."""
    if not moved:
        return "no other job moves"
    text = f"{_count(len(moved), 'other job')} moved"
    if not named:
        return text
    left = len(moved) - named
    return f"{text}: {', '.join(moved[:named])}{f' and {left} more' if left > 0 else ''}"


def _on_the_foot(width: int, candidates: Sequence[str]) -> str:
    """The longest that is not cut there."""
    return next(
        (text for text in candidates if len(textwrap.wrap(text, max(10, width))) <= FOOT_LINES),
        candidates[-1],
    )


def _changes(seen: WeeksSeen) -> str:
    busiest, over, short, late, _ = figures(seen.base, seen.shown)
    return ", ".join((
        f"busiest day {_was(busiest)} min", f"{_was(over)} min over", f"{_was(short)} L short",
        f"{_was(late)} late",
    ))  # fmt: skip


def _was(figure: Figure) -> str:
    before, after = f"{figure.before:.0f}", f"{figure.after:.0f}"
    return after if before == after else f"{after} (was {before})"


def others_moved(seen: WeeksSeen) -> list[PlannedJob]:
    """Occurrences of other jobs that lie on another day in the asked plan."""
    own = seen.ask.trial.id if seen.ask.trial is not None else ""
    before = seen.base.where()
    return [
        job
        for job in seen.shown.jobs
        if job.id != own and not comes_with(job)
        and before.get((job.id, job.n), job.day) != job.day
    ]  # fmt: skip


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


# ---- bars ----------------------------------------------------------------------------------------


def charts(ahead: Ahead) -> tuple[Chart, ...]:
    """Minutes of each day, then litres of each reservoir, the one nearest to its limit first."""
    minutes = tuple(
        Bar(day.stand_in_minutes, None, hatched=True) if day.away
        else Bar(day.minutes, day.minutes_there_are)
        for day in ahead.days
    )  # fmt: skip
    pressed = sorted(ahead.litres, key=lambda use: (-_share(use), use.reservoir))
    return (Chart("min", minutes), *(_litres(ahead, use) for use in pressed))


def _share(use: WaterUse) -> float:
    return use.litres / use.most_litres if use.most_litres else 0.0


def _litres(ahead: Ahead, heaviest: WaterUse) -> Chart:
    bars = []
    for day in ahead.days:
        use = next((use for use in day.litres if use.reservoir == heaviest.reservoir), None)
        litres = 0.0 if use is None else use.litres
        bars.append(Bar(litres, heaviest.most_litres))
    return Chart(f"{heaviest.reservoir} L", tuple(bars))


def heaviest_words(ahead: Ahead, signs: Signs) -> Iterator[tuple[str, bool]]:
    """What each reservoir gives on its heaviest day, and whether that is too much."""
    for use in ahead.litres:
        day = next((day.day for day in ahead.days if use in day.litres), None)
        when = f" on {day_words(day)}, its heaviest day" if day is not None else ""
        yield f"{litres_words(use, signs)}{when}", use.over_litres > 0


def litres_words(use: WaterUse, signs: Signs) -> str:
    """Litres of a reservoir against what it makes for a day."""
    most = f" of {num(use.most_litres, 0)}" if use.most_litres is not None else ""
    over = f" {signs.late}{use.over_litres:.0f} L short" if use.over_litres else ""
    return f"{use.reservoir} {use.litres:.0f}{most} L{over}"


def together(jobs: Iterable[PlannedJob]) -> list[str]:
    """Jobs of one name together, with their places."""
    places: dict[str, list[str]] = defaultdict(list)
    for job in jobs:
        if job.target not in places[job.name]:
            places[job.name].append(job.target)
    return [jobs_at(name, where) for name, where in places.items()]
