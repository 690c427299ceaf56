"""Sentences of a plan ahead: why a job lies on its day, what cannot fit, and the proof of it."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from roomtasks.room.ahead_coming import Coming, Outlook
from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob
from roomtasks.room.ahead_tasks import TENTHS, Weeks
from roomtasks.room.level_task import Placement
from roomtasks.room.naming import tenths
from roomtasks.room.water_plan import Note
from roomtasks.room.why import day_words, rule_words

REFUSED, WARNED = "refused", "warned"
WORST_DAYS = 3


def least_over(ahead: Ahead) -> str:
    """What the minutes over cannot be below; never rounded up to what the plan has."""
    if ahead.over_bound_minutes >= ahead.over_minutes - 1e-6:
        return "no plan can have less"
    return f"no plan can have less than {tenths(ahead.over_bound_minutes)}"


def why_planned(one: Coming, job: PlannedJob) -> str:
    """One sentence: the rule, the due day, and why it lies where it does."""
    parts = [rule_words(one.due), f"due {day_words(job.slot)}"]
    if job.opens < job.closes:
        parts[-1] += f", may be done {day_words(job.opens)} to {day_words(job.closes)}"
    if job.late_days:
        parts.append(f"{_days(job.late_days)} past its window")
    if job.pinned:
        parts.append("kept on this day by the keeper")
    elif job.moved_days:
        way = "later" if job.moved_days > 0 else "earlier"
        parts.append(
            f"{_days(abs(job.moved_days))} {way} than {day_words(job.usual)} to level the days"
        )
    elif len(job.may) == 1:
        parts.append("no other day is open to it")
    else:
        parts.append("on its usual day")
    return "; ".join(parts) + "."


def _days(count: int) -> str:
    return f"{count} day{'s' if count != 1 else ''}"


def told(
    outlook: Outlook, weeks: Weeks, placement: Placement, days: Sequence[PlannedDay]
) -> tuple[Note, ...]:
    """Everything that cannot fit, with its proof where there is one."""
    return (
        *_nobody(outlook, weeks.nobody),
        *_off_pins(weeks.off_pins),
        *_late(outlook, weeks, placement, days),
        *_too_long(days),
        *_over(outlook, placement, days),
        *_litres_over(placement, days),
        *_without_place(weeks, placement),
    )


def _nobody(outlook: Outlook, coming: Iterable[Coming]) -> Iterable[Note]:
    """Jobs with no day at all, one note for each job and place."""
    by: dict[str, list[Coming]] = {}
    for one in coming:
        by.setdefault(one.due.id, []).append(one)
    away = outlook.away
    for name, found in sorted(by.items()):
        first = found[0]
        gone = any(one.usual in away for one in found)
        rule = "away" if gone else "hold"
        if len(found) > 1:
            when = f"on {_days(len(found))}, {day_words(found[0].usual)} to "
            when += day_words(found[-1].usual)
        else:
            when = f"due {day_words(first.usual)}"
        because = "nobody who may do it is there" if gone else "it is held on all of its days"
        yield Note(about=name, text=f"{first.due.job.name} {when}: {because}", sort=REFUSED,
                   rule=rule)  # fmt: skip


def _off_pins(coming: Iterable[Coming]) -> Iterable[Note]:
    for one in coming:
        text = f"{one.due.job.name} cannot be kept on the day chosen: it is held or nobody is there"
        yield Note(about=one.due.id, text=text, sort=REFUSED, rule="pin")


def _late(
    outlook: Outlook, weeks: Weeks, placement: Placement, days: Sequence[PlannedDay]
) -> Iterable[Note]:
    """Work past its window: late already, by choice, or with no free day in it."""
    away = outlook.away
    put_late = {
        (weeks.coming[name].due.id, weeks.coming[name].n): why
        for name, why in placement.put_late.items()
    }
    for job in (job for day in days for job in day.overdue):
        if job.pinned:
            text = f"{job.name} is kept {_days(job.late_days)} past its window, by choice"
            yield Note(about=job.id, text=text, rule="pin")
        elif job.closes < outlook.first:
            text = f"{job.name} is late already; planned for {day_words(job.day)}"
            yield Note(about=job.id, text=text, rule="late")
        else:
            yield _no_day(job, set(away), put_late.get((job.id, job.n), ""))


def _no_day(job: PlannedJob, away: set[date], why: str) -> Note:
    """What kept a job from every day of its window."""
    gone = not why and any(day in away for day in _span(job.opens, job.closes))
    because = {
        "pair": "is too near to another job",
        "supply": "lacks the water for it",
    }.get(why, "is away or forbidden" if gone else "is forbidden or taken by work before it")
    text = (
        f"{job.name} finds no day in its window: every one from {day_words(job.opens)} to "
        f"{day_words(job.closes)} {because}; planned late for {day_words(job.day)}"
    )
    rule = {"pair": "days-apart", "supply": "litres"}.get(why, "away" if gone else "late")
    return Note(about=job.id, text=text, sort=WARNED if why else REFUSED, rule=rule)


def _span(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def _too_long(days: Sequence[PlannedDay]) -> Iterable[Note]:
    """Jobs that take longer than any day has minutes."""
    longest = max((day.minutes_there_are for day in days if not day.away), default=0.0)
    seen: set[str] = set()
    for job in (job for day in days if not day.away for job in day.jobs):
        if job.minutes > longest and job.id not in seen:
            seen.add(job.id)
            text = (f"{job.name} takes {tenths(job.minutes)} minutes and no day has more than "
                    f"{tenths(longest)}")  # fmt: skip
            yield Note(about=job.id, text=text, sort=REFUSED, rule="minutes")


def _over(outlook: Outlook, placement: Placement, days: Sequence[PlannedDay]) -> Iterable[Note]:
    """Days over their minutes; refused where it is proven that no plan has fewer over.

    The worst days are said one by one, all of them in a sum.
    """
    over = sorted((day for day in days if day.over_minutes > 0), key=lambda day: -day.over_minutes)
    if not over:
        return
    proven = placement.over <= placement.bounds.over
    least = placement.bounds.over / TENTHS
    sort = REFUSED if least > 0 else WARNED
    in_all = tenths(placement.over / TENTHS)
    text = f"{_days(len(over))} over the minutes there are, {in_all} in all"
    text += "; no plan has fewer" if proven else f"; no plan has fewer than {tenths(least)}"
    if placement.bounds.worst:
        text += f"; in any plan some day is at least {tenths(placement.bounds.worst / TENTHS)} over"
    yield Note(about="minutes", text=text, sort=sort, rule="minutes")
    runs = [_dates(outlook, run) for run in placement.bounds.over_runs]
    for day in over[:WORST_DAYS]:
        text = (
            f"{day_words(day.day)} has {tenths(day.minutes)} minutes of work and "
            f"{tenths(day.minutes_there_are)} there are: {tenths(day.over_minutes)} over"
        )
        run = next((run for run in runs if run[0] <= day.day <= run[1]), None)
        if run is not None:
            text += f"; more than fits can lie nowhere but {_run_words(*run)}"
        yield Note(about=day.day.isoformat(), text=text, sort=REFUSED if run else WARNED,
                   rule="minutes")  # fmt: skip


def _dates(outlook: Outlook, run: tuple[int, int]) -> tuple[date, date]:
    return outlook.first + timedelta(days=run[0]), outlook.first + timedelta(days=run[1])


def _run_words(first: date, last: date) -> str:
    return (
        f"on {day_words(first)}"
        if first == last
        else f"from {day_words(first)} to {day_words(last)}"
    )


def _litres_over(placement: Placement, days: Sequence[PlannedDay]) -> Iterable[Note]:
    """Reservoirs that are asked for more than they make for a day."""
    for day in days:
        if day.away:
            continue
        for use in day.litres:
            if use.over_litres <= 0:
                continue
            proven = (
                placement.supply_over[use.reservoir] <= placement.bounds.supplies[use.reservoir]
            )
            text = (
                f"{day_words(day.day)} takes {tenths(use.litres)} L out of {use.reservoir}, "
                f"which makes {tenths(use.most_litres or 0.0)} L for a day: "
                f"{tenths(use.over_litres)} L over"
            )
            if not proven:
                text += "; no better place was found"
            yield Note(about=use.reservoir, text=text, sort=REFUSED if proven else WARNED,
                       rule="litres")  # fmt: skip


def _without_place(weeks: Weeks, placement: Placement) -> Iterable[Note]:
    """Jobs for which no day was found far enough from the others they must not meet."""
    for left in placement.left:
        due = weeks.coming[left.id].due
        text = f"{due.job.name} found no day far enough from the jobs it must be apart from"
        yield Note(about=due.id, text=text, sort=REFUSED if left.proven else WARNED,
                   rule="days-apart")  # fmt: skip


def idle_weekdays(days: Sequence[PlannedDay]) -> tuple[Note, ...]:
    """Weekdays that have no minutes at all."""
    names = dict.fromkeys(
        f"{day.day:%A}" for day in days if day.minutes_there_are <= 0 and not day.away
    )
    return tuple(
        Note(about=name.lower(), rule="minutes",
             text=f"{name}s have no minutes: only what can lie nowhere else is planned there")
        for name in names
    )  # fmt: skip
