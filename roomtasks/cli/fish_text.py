"""Lots kept apart, courses and watches as text that can be read at 60 columns."""

from collections.abc import Callable

from roomtasks.cli.page import Page
from roomtasks.room.course_days import NO_ADVICE, CourseDay
from roomtasks.room.release import Line
from roomtasks.room.why import day_words
from roomtasks.work.stay_view import FishView, RunNow, StayView, WatchView

SIGNS = {"known": "ok", "ticked": "ok", "open": "--"}


def write_fish(page: Page, view: FishView) -> None:
    """All that is kept apart, with every date."""
    write_apart(page, view, _stay, _watch)


def write_apart(
    page: Page, view: FishView, stay_lines: Callable[[Page, StayView], None],
    watch_lines: Callable[[Page, WatchView], None],
) -> None:  # fmt: skip
    """Lots, courses and watches under their heads, a lot and a watch as the caller has them."""
    page.line(f"Kept apart on {day_words(view.today)} {view.today.year}", style="head")
    if not view.stays:
        page.line("No lot is kept apart.")
    for stay in view.stays:
        stay_lines(page, stay)
    if view.runs:
        page.head("Courses")
        for run in view.runs:
            run_lines(page, run)
        page.line(NO_ADVICE, style="quiet")
    if view.watches:
        page.head("Under watch, sick, or just released to")
        for row in view.watches:
            watch_lines(page, row)


def watch_state(row: WatchView) -> str:
    """A watched tank's state in words."""
    return "under watch" if row.state == "watch" else row.state


def _watch(page: Page, row: WatchView) -> None:
    reason = f": {row.reason}" if row.reason else ""
    page.line(f"{row.tank}  {watch_state(row)} since {day_words(row.since)}{reason}", hang=4)
    page.line(f"clear on {day_words(row.clear_on)} {row.clear_on.year}: {row.why}",
              indent=2, hang=2)  # fmt: skip
    page.line(f"next: {row.next_act}", indent=2, hang=2)


def stay_head(page: Page, stay: StayView) -> None:
    """A lot with its day, its fish, and what sets the day it is free."""
    now = stay.now
    fish = ", ".join(stay.groups) or "no group"
    page.head(f"{now.stay.tank}  day {now.day} of {now.days}  {now.stay.code}")
    page.line(f"{stay.heads} fish ({fish})", indent=2, hang=2)
    page.line(f"free on {day_words(now.release_on)} {now.release_on.year}: {now.set_by.why}",
              indent=2, hang=2)  # fmt: skip


def _stay(page: Page, stay: StayView) -> None:
    now = stay.now
    stay_head(page, stay)
    for item in now.candidates:
        if item != now.set_by:
            page.line(f"{day_words(item.day)}: {item.why}", indent=4, hang=2, style="quiet")
    if now.unlooked:
        days = ", ".join(day_words(day) for day in now.unlooked[-7:])
        many = len(now.unlooked)
        page.line(f"nobody looked on {many} {'day' if many == 1 else 'days'}: {days}"
                  + ("" if many <= 7 else " (the last 7)"), indent=2, hang=2)  # fmt: skip
    for words in now.warnings:
        page.line(words, indent=2, hang=2)
    page.line(f"next: {stay.next_act}", indent=2, hang=2)
    if now.day >= now.days:
        for line in stay.lines:
            write_line(page, line)


def write_line(page: Page, line: Line) -> None:
    """A line of a release, with its sign."""
    page.line(f"{SIGNS[line.state]} {line.number:>2} {line.code}: {line.evidence}",
              indent=4, hang=6)  # fmt: skip


def run_lines(page: Page, run: RunNow) -> None:
    """A course on its day, with what to dose and its label's caution."""
    last = (run.last - run.run.since).days
    page.line(f"{run.run.tank}  {run.course.name}, course day {run.number} of {last}", hang=4)
    if isinstance(run.today, CourseDay):
        page.line("today: " + (", then ".join(run.today.words) or "nothing"), indent=2, hang=2)
    else:
        page.line(run.today.sentence(), indent=2, hang=2)
    if run.missed:
        days = ", ".join(day_words(day) for day in run.missed)
        page.line(f"no dose noted on {days}: it counts as broken off, and starts again at its "
                  "first day", indent=2, hang=2)  # fmt: skip
    if run.course.caution:
        page.line(run.course.caution, indent=2, hang=2)
