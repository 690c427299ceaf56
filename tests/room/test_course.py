"""Courses: doses by the label's rate, days and holds, and what must never meet.

The labels are invented; the worked salt tank is 52 L at 2 g/L, common practice, no
published source.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.amount import MEASURED, Amount
from roomtasks.room.change_notes import redosed
from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.course_days import (
    CourseDay,
    day_of_run,
    dose_days,
    dose_of,
    holds_of,
    last_day,
    level_of,
    meeting,
    missed_doses,
    steps_of,
)
from roomtasks.room.dosing import redose_for
from roomtasks.room.draw import CHANGE
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import Dose, Draw
from tests.room.scene import dues, job, mark, morning, room, tank

FIRST = date(2027, 3, 10)
LABEL = Course(code="week", name="A week", product="remedy", amount=5.0, unit="ml",
               per_litres=100.0, caution="Gloves")  # fmt: skip
RUN = Run(code="run-1", course="week", tank="D3", since=FIRST)


def step(day: int, action: str = "dose", **facts: float) -> CourseStep:
    return CourseStep(course="week", day=day, action=action, **facts)  # type: ignore[arg-type]


STEPS = steps_of(
    [*(step(n) for n in range(7)), step(3, "change", share=0.25), step(0, "carbon-out"),
     step(2, "fast"), step(3, "fast"), step(5, "fast")],
    "week",
)  # fmt: skip


def one(found: Dose | Problem) -> Dose:
    assert isinstance(found, Dose)
    return found


def the_day(day: date) -> CourseDay:
    found = day_of_run(RUN, LABEL, STEPS, 52.0, day)
    assert isinstance(found, CourseDay)
    return found


def test_dose_is_the_label_s_rate_for_the_litres() -> None:
    assert one(dose_of(LABEL, step(0), 52.0)).amount.value == pytest.approx(2.6)
    half = one(dose_of(LABEL, step(0, share=0.5), 52.0))
    assert half.amount.value == pytest.approx(1.3)
    assert half.why == "50 % of the label's dose for the whole tank"
    assert half.caution.startswith("Gloves. ")
    assert "no veterinary advice" in half.caution


@pytest.mark.parametrize(
    ("course", "litres", "word"),
    [
        (Course(code="x", name="x", product="r", amount=5.0), 52.0, "no unit"),
        (Course(code="x", name="x", product="r", amount=5.0, unit="cups"), 52.0, "cups"),
        (Course(code="x", name="x", product="r", unit="ml"), 52.0, "not typed"),
        (Course(code="x", name="x", amount=5.0, unit="ml"), 52.0, "not typed"),
        (LABEL, 0.0, "0"),
    ],
)
def test_no_dose_without_unit_rate_or_litres(course: Course, litres: float, word: str) -> None:
    found = dose_of(course, step(0), litres)
    assert isinstance(found, Problem)
    assert word in found.what


def test_day_of_a_run_says_the_change_before_the_dose() -> None:
    assert the_day(FIRST).words == ("carbon out", "2.6 ml of remedy")
    third = the_day(FIRST + timedelta(days=3))
    assert third.number == 3
    assert third.words == ("change 25 %", "2.6 ml of remedy", "no food")
    assert third.dose is not None
    assert third.dose.why == "after the change, and no part dose besides"
    assert the_day(FIRST + timedelta(days=7)).words == ()


def test_a_change_under_a_level_is_dosed_for_the_part_replaced() -> None:
    """52 L at 2 g/L, topped up, 25 % drained: 26.0 g to add."""
    salt = Course(code="week", name="Salt", product="salt", amount=2.0, unit="g", medicine=False)
    level = level_of(RUN, salt, [step(0), step(6, "change", share=0.5)])
    assert level is not None
    assert (level.per_litre, level.medicine, level.until) == (2.0, False, FIRST + timedelta(6))
    assert one(redose_for(level, 52.0, 13.0)).amount.value == pytest.approx(26.0)
    assert level_of(RUN, salt, [step(0, "heat", celsius=30.0)]) is None


def test_the_filter_is_on_hold_until_seven_days_after_the_last_dose() -> None:
    """Doses 10 to 16 March, a sponge due 15 March: on hold until Tuesday 23 March, not late."""
    holds = holds_of(RUN, LABEL, STEPS)
    scene = room(
        jobs=(job("sponge", "every 28 days", kind="filter", where="filter D3-1"),), holds=holds
    )
    marks = [mark("sponge", "D3-1", "2027-02-15", "2027-02-15")]
    for day in ("2027-03-15", "2027-03-20", "2027-03-22"):
        due = dues(scene, marks, morning(day))["sponge@D3-1"]
        assert (str(due.state), due.placed) == ("held", date(2027, 3, 23))
    assert str(dues(scene, marks, morning("2027-03-23"))["sponge@D3-1"].state) == "due"


def test_fast_days_hold_the_feeding_span_by_span() -> None:
    fasts = [hold for hold in holds_of(RUN, LABEL, STEPS) if "feed" in hold.kinds]
    days = [(hold.since.day, hold.until.day if hold.until else None) for hold in fasts]
    assert days == [(12, 13), (15, 15)]


def test_a_dose_day_gone_by_without_a_dose_is_missed() -> None:
    given_on = [FIRST, FIRST + timedelta(days=1)]
    today = FIRST + timedelta(days=3)
    assert missed_doses(RUN, STEPS, given_on, today) == (FIRST + timedelta(days=2),)
    assert missed_doses(RUN, STEPS, given_on, FIRST + timedelta(days=2)) == ()


def test_things_that_must_never_meet_are_named() -> None:
    found = meeting("Formalin 37 %", ["potassium permanganate"])
    assert found is not None
    assert found.rule == "never-together"
    assert "explosive" in found.what
    assert meeting("salt", ["remedy"]) is None


@given(st.sets(st.integers(0, 60), min_size=1), st.integers(0, 60))
def test_a_run_that_ended_doses_no_more(days: set[int], end: int) -> None:
    steps = [step(day) for day in sorted(days)]
    over = Run(code="run-1", course="week", tank="D3", since=FIRST, state="interrupted",
               ended=FIRST + timedelta(days=end))  # fmt: skip
    assert all(day <= FIRST + timedelta(days=end) for day in dose_days(over, steps))
    assert set(dose_days(over, steps)) <= set(dose_days(RUN, steps))
    assert last_day(RUN, steps) == FIRST + timedelta(days=max(days))


@pytest.mark.parametrize(
    ("on", "millilitres"),
    [
        (0, 2.6),  # a dose day: the label's dose for 52 L
        (1, 0.65),  # none due: what the 25 % change took out, 13 L of 0.05 ml/L
        (2, 1.3),  # half a dose due: that, and no part dose besides
    ],
)
def test_a_change_under_a_course_is_dosed_once(on: int, millilitres: float) -> None:
    steps = (step(0), step(2, share=0.5), step(9, "carbon-in"))
    level = level_of(RUN, LABEL, steps)
    assert level is not None
    day = FIRST + timedelta(days=on)
    made = room(
        levels=(level,), courses=(LABEL,), course_steps=steps, runs=(RUN,),
        tanks=(tank("D3", 52.0),),
    )  # fmt: skip
    draw = Draw(
        due_id="change@D3", name="Change", sort=CHANGE, place="D3", tank="D3", body="D3",
        recipe="", reservoir="", litres=Amount(13.0, "L", MEASURED), from_reservoir=13.0,
    )  # fmt: skip
    (found,), notes = redosed(made, [draw], day)
    assert notes == []
    (dose,) = found.doses
    assert dose.amount.value == pytest.approx(millilitres)
