"""Sentences of the list of fish kept apart: dates, the next act, refusals as the screen says them.

Pure. What stands behind them comes from `work.apart_view`.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rich.cells import cell_len

from roomtasks.room.course import Run
from roomtasks.room.course_days import NO_ADVICE, CourseDay, doses_noted
from roomtasks.room.problem import Problem
from roomtasks.room.stay_clock import Candidate
from roomtasks.room.stay_facts import periods_of
from roomtasks.room.why import day_words
from roomtasks.tui.here_words import refused_here
from roomtasks.tui.signs import Signs
from roomtasks.work.apart_view import ApartView
from roomtasks.work.stay_view import RunNow, StayView, WatchView

CAUTIONS = (
    NO_ADVICE + " Diagnosis, medicines and humane killing are for a vet and the law of the place.",
    "The label decides a dose: gloves, eyes, air, litres and not guesswork. No dose is made up.",
    "Permanganate and formalin never meet: together they are an explosive mix.",
    "Medicine uses up oxygen: extra air is part of a course. It hides signs: days under it are "
    "no clear days.",
    "Own net, siphon and bucket for each tank kept apart; no open cuts in the water, never start "
    "a siphon by mouth.",
    "Clean tanks first, these last. Bag water and old water to waste, not into another tank.",
    "Shutting a valve today does not undo last week: who shared the water has met it.",
)
FULL_LIST_DAYS = 14
_ISO = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")


@dataclass(frozen=True, slots=True)
class Next:
    """What is to be done next at one place; the smaller `rank`, the sooner."""

    rank: int
    day: date
    tank: str
    words: str


def full_day(day: date) -> str:
    """A day with its year: Sat 17 Apr 2027."""
    return f"{day_words(day)} {day.year}"


def said_days(text: str) -> str:
    """A text with its dates as a keeper says them."""

    def words(found: re.Match[str]) -> str:
        try:
            return day_words(date(int(found[1]), int(found[2]), int(found[3])))
        except ValueError:
            return found[0]

    return _ISO.sub(words, text)


def refusal(problem: Problem) -> str:
    """Why something was not entered: what would make it possible, and the rule by its name."""
    if problem.rule == "two-medicines":
        remedy = "where the label allows it, answer so when the course asks"
        return refused_here(replace(problem, remedy=remedy))
    return refused_here(problem)


# ---- one lot -------------------------------------------------------------------------------------


def looked_words(seen: ApartView, tank: str) -> str:
    """When a tank was last looked at."""
    last = seen.looked.get(tank)
    came = _came(seen, tank)
    if last is None and came is not None:
        return "came today" if came == seen.today else "not looked at since it came"
    if last is None:
        return "never looked at yet"
    if last == seen.today:
        return "looked at today"
    if last == seen.today - timedelta(days=1):
        return "last looked at yesterday"
    return f"last looked at {day_words(last)}"


def owes_look(seen: ApartView, tank: str) -> bool:
    """Whether nobody looked at a tank today yet; a lot was seen on the day it came."""
    return seen.today not in (seen.looked.get(tank), _came(seen, tank))


def _came(seen: ApartView, tank: str) -> date | None:
    """The day the first of the lot in a tank came."""
    lots = (stay.now.stay for stay in seen.fish.stays)
    return next((lot.first_day for lot in lots if lot.tank == tank), None)


def overdue(seen: ApartView) -> tuple[str, ...]:
    """Tanks that nobody looked at yesterday, nor today."""
    yesterday = seen.today - timedelta(days=1)
    found = []
    for stay in seen.fish.stays:
        tank = stay.now.stay.tank
        last = seen.looked.get(tank, stay.now.stay.first_day)
        if last < yesterday:
            found.append(tank)
    for row in seen.fish.watches:
        if row.state != "released" and seen.looked.get(row.tank, row.since) < yesterday:
            found.append(row.tank)
    return tuple(dict.fromkeys(found))


def clear_words(seen: ApartView, stay: StayView) -> str:
    """Clear days counted since the last sign or death, and days that were none."""
    now, periods = stay.now, periods_of(seen.room)
    wanted = {"sign": periods.clear_days, "death": periods.clear_days_after_death}
    counted = []
    for each in now.candidates:
        if each.cause in wanted:
            many = wanted[each.cause]
            had = max(0, many - _owed(each, now.no_clear, seen.today))
            counted.append(f"{had} of {many} clear days since the {each.cause}")
    words = [", ".join(counted) or "no sign since it came"]
    if now.unlooked:
        shown = ", ".join(day_words(day) for day in now.unlooked[-4:])
        many = len(now.unlooked)
        more = "the last: " if many > 4 else ""
        pushed = len(set(now.unlooked) & set(now.no_clear))
        who = "they" if pushed == many else f"{pushed} of them"
        what = f"{who} pushed the date" if pushed else "the release wants 14 days looked at"
        words.append(f"unlooked {many} {'day' if many == 1 else 'days'} ({more}{shown}): {what}")
    if now.under_medicine:
        words.append("under medicine: no clear day")
    return "; ".join(words)


def _owed(each: Candidate, no_clear: Iterable[date], today: date) -> int:
    """Clear days still to come, today among them, also where it is the day of the sign."""
    none = set(no_clear)
    span = (each.day - today).days + 1
    return sum(today + timedelta(days=n) not in none for n in range(max(0, span)))


def run_today(run: RunNow, given: bool) -> str:
    """What a course does today."""
    if isinstance(run.today, Problem):
        return refused_here(run.today)
    words = ", then ".join(run.today.words) or "nothing"
    if run.today.dose is None:
        return words
    return f"{words} ({'dose noted' if given else 'dose not noted yet'})"


def dose_given(seen: ApartView, run: Run) -> bool:
    """Whether today's dose of a course is noted."""
    return seen.today in doses_noted(seen.room, run)


# ---- what is next --------------------------------------------------------------------------------


def run_next(seen: ApartView, run: RunNow) -> Next | None:
    """What a course wants next; None where today wants nothing more."""
    tank, name = run.run.tank, run.course.name
    if run.missed:
        return Next(0, run.missed[0], tank,
                    f"{name}: a dose was missed, break it off and start again")  # fmt: skip
    if seen.today > run.last:
        return Next(3, run.last, tank, f"{name}: note that it is over")
    today = run.today
    if isinstance(today, Problem):
        return Next(0, seen.today, tank, f"{name}: {today.what}")
    if today.words and not (today.dose is not None and dose_given(seen, run.run)):
        words = ", then ".join(today.words)
        return Next(1, seen.today, tank, f"course day {today.number}: {words}")
    return None


def stay_next(seen: ApartView, stay: StayView) -> Next:
    """What a lot wants next."""
    now, tank = stay.now, stay.now.stay.tank
    runs = [run_next(seen, run) for run in seen.fish.runs if run.run.tank == tank]
    wanted = [each for each in runs if each is not None]
    if wanted:
        return min(wanted, key=lambda each: (each.rank, each.day))
    twice = now.look_twice_until is not None and seen.today <= now.look_twice_until
    if owes_look(seen, tank):
        late = tank in overdue(seen)
        words = "look at it today" + (", twice: power or cold" if twice else "")
        return Next(2 if late else 4, seen.looked.get(tank, seen.today), tank, words)
    if not now.free(seen.today):
        again = "look again this evening" if twice else "look again tomorrow"
        return Next(7, now.release_on, tank, f"{again}; free {day_words(now.release_on)}")
    lines = seen.lines[now.stay.code]
    still = [line for line in lines if line.state == "open"]
    if still:
        return Next(5, now.release_on, tank, f"release list {still[0].number}: {still[0].words}")
    return Next(5, now.release_on, tank, "release it")


def watch_next(seen: ApartView, row: WatchView) -> Next:
    """What a tank under watch, sick or just released to wants next."""
    if row.state == "released":
        return Next(6, seen.today, row.tank, said_days(row.next_act))
    if owes_look(seen, row.tank):
        late = row.tank in overdue(seen)
        return Next(2 if late else 4, seen.looked.get(row.tank, row.since), row.tank,
                    "look at it today")  # fmt: skip
    if seen.today >= row.clear_on:
        return Next(6, row.clear_on, row.tank, "its clear days are over: set it clean, if you "
                    "find it so")  # fmt: skip
    return Next(7, row.clear_on, row.tank,
                f"look again tomorrow; clear {day_words(row.clear_on)}")  # fmt: skip


def nexts(seen: ApartView) -> list[Next]:
    """All that is next, the soonest first."""
    found: list[Next] = list(_all_next(seen))
    return sorted(found, key=lambda each: (each.rank, each.day, each.tank))


def _all_next(seen: ApartView) -> Iterator[Next]:
    lots = {stay.now.stay.tank for stay in seen.fish.stays}
    yield from (stay_next(seen, stay) for stay in seen.fish.stays)
    yield from (watch_next(seen, row) for row in seen.fish.watches)
    for run in seen.fish.runs:
        found = run_next(seen, run) if run.run.tank not in lots else None
        if found is not None:
            yield found


# ---- the two lines at the top --------------------------------------------------------------------


def top_words(seen: ApartView, signs: Signs, width: int) -> str:
    """How many lots, what is overdue to look at, the nearest release; the rest where it fits."""
    found = _top_parts(seen, signs)
    text = next(found)
    for part in found:
        if cell_len(text) + 2 + cell_len(part) > width:
            break
        text += "  " + part
    return text


def _top_parts(seen: ApartView, signs: Signs) -> Iterator[str]:
    stays = seen.fish.stays
    yield f"{len(stays) or 'No'} lot{'' if len(stays) == 1 else 's'} apart"
    late = overdue(seen)
    if late:
        more = f" and {len(late) - 2}" if len(late) > 2 else ""
        yield f"{signs.late} not looked at {' '.join(late[:2])}{more}"
    if stays:
        first = min(stays, key=lambda stay: stay.now.release_on).now
        yield f"{first.stay.tank} free {day_words(first.release_on)}"
    if seen.fish.runs:
        yield f"{len(seen.fish.runs)} dosed"
    ill = [row for row in seen.fish.watches if row.state != "released"]
    if ill:
        yield f"{len(ill)} watched"


def next_words(seen: ApartView) -> str:
    """The next act of all."""
    found = nexts(seen)
    if not found:
        return "next: nothing is kept apart; 'an arrival' begins a lot"
    return f"next: {found[0].tank} {found[0].words}"


def course_day(run: RunNow) -> str:
    """Day 3 of 6 of a course."""
    last = (run.last - run.run.since).days
    number = run.today.number if isinstance(run.today, CourseDay) else run.number
    return f"course day {number} of {last}"
