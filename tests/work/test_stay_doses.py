"""Which dose of a course is a lot's last one: given, missed, or still to come.

Worked here, an invented room; periods are common practice, no published source.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.course_days import doses_of
from roomtasks.room.draw import Drawn, draws_on
from roomtasks.room.problem import Problem
from roomtasks.room.stay_clock import StayNow
from roomtasks.room.water_plan import WhatIf
from roomtasks.store.base import Store
from roomtasks.work import course_acts, fish, stay_acts
from roomtasks.work.marking import How, Marked, mark
from roomtasks.work.picture import Picture, picture
from roomtasks.work.undoing import Undone, undo
from tests.work.test_stay_acts import CAME, a_store, arrived, on, refused, room_of, told, view

COURSE = Course(code="five", name="Five days", product="remedy", amount=3.0, unit="ml",
                per_litres=35.0)  # fmt: skip
DOSES = (0, 2, 5)
STEPS = [
    *(CourseStep(course="five", day=n, action="dose") for n in DOSES),
    CourseStep(course="five", day=6, action="carbon-in"),
]
BEGUN = 4


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with a_store(tmp_path) as made:
        arrived(made)
        told(course_acts.keep_course(made, on(0), "mk", COURSE, STEPS))
        told(course_acts.start_course(made, on(BEGUN), "mk", "Q1", "five"))
        yield made


def dose_date(store: Store, number: int) -> date:
    (lot,) = (row.now for row in view(store, number).stays)
    assert isinstance(lot, StayNow)
    return next(item.day for item in lot.candidates if item.cause == "dose")


def day(number: int) -> date:
    return CAME + timedelta(days=number)


def test_the_days_after_a_dose_run_from_the_last_dose_and_not_from_the_end_of_its_course(
    store: Store,
) -> None:
    assert dose_date(store, BEGUN) == day(BEGUN + 5 + 14)
    for number in DOSES[1:]:
        told(course_acts.give_dose(store, on(BEGUN + number), "mk", "Q1"))
    told(course_acts.end_course(store, on(BEGUN + 6), "mk", "Q1"))
    assert dose_date(store, BEGUN + 7) == day(BEGUN + 5 + 14)


def test_a_dose_nobody_gave_is_no_last_dose(store: Store) -> None:
    """Doses of day 2 and 5 were missed; broken off on day 6: the last one was on day 0."""
    told(course_acts.interrupt_course(store, on(BEGUN + 6), "mk", "Q1", "two missed"))
    assert dose_date(store, BEGUN + 6) == day(BEGUN + 14)
    (hold,) = [row for row in room_of(store).holds if "filter" in row.kinds]
    assert hold.until == day(BEGUN + 6)


def test_a_course_broken_off_before_the_dose_of_its_day_does_not_count_that_dose(
    store: Store,
) -> None:
    told(course_acts.interrupt_course(store, on(BEGUN + 2), "mk", "Q1", "weak"))
    assert dose_date(store, BEGUN + 2) == day(BEGUN + 14)


def test_a_lot_under_a_course_is_not_moved_whole_until_it_is_broken_off(store: Store) -> None:
    code = view(store, BEGUN).stays[0].now.stay.code
    refused(stay_acts.move_lot(store, on(BEGUN + 1), "mk", code, "B3"), "course-running")
    told(course_acts.interrupt_course(store, on(BEGUN + 1), "mk", "Q1", "it moves"))
    told(stay_acts.move_lot(store, on(BEGUN + 1), "mk", code, "B3"))
    assert view(store, BEGUN + 1).stays[0].now.stay.tank == "B3"


def test_a_course_does_not_go_on_in_a_tank_whose_last_fish_died(store: Store) -> None:
    died = told(fish.take_out(store, on(BEGUN + 1), "mk", "new-9", 8, "died"))
    assert "broken off, since no fish are left in it" in died.words
    assert view(store, BEGUN + 2).runs == ()
    assert all(level.until == day(BEGUN + 1) for level in room_of(store).levels)
    assert isinstance(undo(store, on(BEGUN + 1), "mk", died.act), Undone)
    assert len(view(store, BEGUN + 2).runs) == 1


def test_a_part_that_left_under_a_course_waits_for_the_doses_it_had(store: Store) -> None:
    told(stay_acts.part(store, on(BEGUN + 1), "mk", "new-9", 3, "B3", "bullied"))
    told(course_acts.give_dose(store, on(BEGUN + 2), "mk", "Q1"))
    dates = {
        row.now.stay.tank: next(c.day for c in row.now.candidates if c.cause == "dose")
        for row in view(store, BEGUN + 2).stays
    }
    assert dates == {"Q1": day(BEGUN + 5 + 14), "B3": day(BEGUN + 14)}
    whole = stay_acts.part(store, on(BEGUN + 2), "mk", "new-9", 5, "B3", "x")
    assert isinstance(whole, Problem)
    assert "whole lot" in whole.what


def test_a_course_is_not_begun_twice_in_one_tank(store: Store) -> None:
    again = course_acts.start_course(store, on(BEGUN + 3), "mk", "Q1", "five", also=True)
    refused(again, "course-running")


def test_a_course_nobody_ended_is_over_after_its_last_day_and_its_rest_follows(
    store: Store,
) -> None:
    for number in DOSES[1:]:
        told(course_acts.give_dose(store, on(BEGUN + number), "mk", "Q1"))
    last, rest = BEGUN + 6, 7
    refused(course_acts.start_course(store, on(last + rest), "mk", "Q1", "five"), "rest-between")
    told(course_acts.start_course(store, on(last + rest + 1), "mk", "Q1", "five"))
    assert sorted(run.state for run in room_of(store).runs) == ["ended", "running"]


def test_permanganate_and_formalin_never_meet_whatever_the_keeper_calls_them(
    store: Store,
) -> None:
    for code, product in (("perm", "Potassium permanganate"), ("form", "Formalin")):
        course = replace(COURSE, code=code, product=product, medicine=False, with_others=True)
        told(course_acts.keep_course(store, on(BEGUN), "mk", course,
                                     [CourseStep(course=code, day=n, action="dose")
                                      for n in range(3)]))  # fmt: skip
    told(course_acts.start_course(store, on(BEGUN), "mk", "Q1", "perm", also=True))
    never = course_acts.start_course(store, on(BEGUN + 1), "mk", "Q1", "form", also=True,
                                     anyway=True)  # fmt: skip
    refused(never, "never-together")


def on_walk(store: Store, number: int) -> dict[str, str]:
    seen = picture(store, on(number))
    assert isinstance(seen, Picture)
    return {
        due.job.name: due.job.kind for due in seen.due.values()
        if due.on_walk and due.job.name.startswith("Five days")
    }  # fmt: skip


def test_each_day_of_a_course_stands_in_the_walk_and_its_dose_is_noted_once(store: Store) -> None:
    assert on_walk(store, BEGUN + 1) == {}
    assert on_walk(store, BEGUN + 2) == {"Five days, day 2: dose of remedy": "dose"}
    told(course_acts.give_dose(store, on(BEGUN + 2), "mk", "Q1"))
    assert on_walk(store, BEGUN + 2) == {}
    (job,) = [job for job in room_of(store).jobs if job.code.endswith("-day5")]
    seen = picture(store, on(BEGUN + 5))
    assert isinstance(seen, Picture)
    due = seen.due[f"{job.code}@Q1"]
    ml = seen.room.tank_litres("Q1") * 3 / 35
    assert doses_of(seen.room, due, day(BEGUN + 5)) == (f"{ml:.4g} ml of remedy",)
    done = mark(store, on(BEGUN + 5), [f"{job.code}@Q1"], "done", How(who="mk"))
    assert isinstance(done, Marked)
    refused(course_acts.give_dose(store, on(BEGUN + 5), "mk", "Q1"), "no-change")
    assert view(store, BEGUN + 6).runs[0].missed == ()
    assert on_walk(store, BEGUN + 6) == {"Five days, day 6: carbon back in": "other"}


def test_the_days_of_a_course_rest_once_it_is_broken_off(store: Store) -> None:
    told(course_acts.interrupt_course(store, on(BEGUN + 1), "mk", "Q1", "weak"))
    assert on_walk(store, BEGUN + 2) == {}


def test_the_water_a_course_changes_is_in_the_draws_of_its_day(store: Store) -> None:
    half = Course(code="half", name="Half and half", product="salts", amount=1.0, unit="g",
                  per_litres=1.0, medicine=False)  # fmt: skip
    steps = [
        CourseStep(course="half", day=0, action="dose"),
        CourseStep(course="half", day=2, action="change", share=0.25),
        CourseStep(course="half", day=2, action="dose", share=0.5),
    ]
    told(course_acts.keep_course(store, on(0), "mk", half, steps))
    told(course_acts.start_course(store, on(BEGUN), "mk", "Q1", "half", anyway=True, also=True))
    now = on(BEGUN + 2)
    seen = picture(store, now)
    assert isinstance(seen, Picture)
    dues = [due for due in seen.due.values() if due.job.name.startswith("Half and half, day 2")]
    drawn = draws_on(seen.room, dues, seen.today, now, WhatIf())
    assert isinstance(drawn, Drawn)
    [draw] = [draw for draw in drawn.draws if draw.due_id in {due.id for due in dues}]
    assert draw.sort == "change"
    assert draw.litres.value == pytest.approx(0.25 * seen.room.tank_litres("Q1"))
