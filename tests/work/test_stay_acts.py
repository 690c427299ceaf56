"""Lots kept apart through the acts: a stay from arrival to release, refusals, undo.

Worked here, an invented room; periods are common practice, no published source.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.course_days import CourseDay, doses_today
from roomtasks.room.health import Health
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.stock import Group
from roomtasks.room.transfer import TRANSFERS
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work import course_acts, fish, room_acts, stay_acts
from roomtasks.work.fish import Told
from roomtasks.work.met import contact
from roomtasks.work.stay_view import FishView, fish_view
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

CAME = date(2027, 3, 6)
LAST_DOSE = 27  # days after arrival
COURSE = Course(code="dips", name="Seven days", product="remedy", amount=5.0, unit="ml",
                per_litres=100.0, caution="Gloves.")  # fmt: skip
STEPS = [
    *(CourseStep(course="dips", day=n, action="dose") for n in range(7)),
    CourseStep(course="dips", day=3, action="change", share=0.25),
    CourseStep(course="dips", day=0, action="carbon-out"),
]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with a_store(tmp_path) as made:
        yield made


def a_store(folder: Path) -> Store:
    """The small room with its quarantine tank empty since 1 March and never stocked."""
    sheets = small_room()
    sheets["groups"] = [row for row in sheets["groups"] if row.tank != "Q1"]
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "Q1"]
    sheets["stays"], sheets["events"] = [], []
    sheets["tanks"] = [
        replace(tank, role="quarantine") if tank.code == "B3" else tank for tank in sheets["tanks"]
    ]
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "B3"]
    return store_with(folder, sheets)


def on(day: int, hour: str = "08:10") -> datetime:
    return at(f"{CAME + timedelta(days=day)} {hour}")


def lot(code: str = "new-9", tank: str = "Q1", count: int = 8, since: date = CAME) -> Group:
    return Group(code=code, line="brevis", tank=tank, count=count, since=since)


def told(answer: Told | Problem) -> Told:
    assert isinstance(answer, Told), answer
    return answer


def refused(answer: Told | Problem, rule: str) -> Problem:
    assert isinstance(answer, Problem), answer
    assert answer.rule == rule, answer
    assert answer.remedy
    return answer


def room_of(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def view(store: Store, day: int, to: str = "") -> FishView:
    found = fish_view(store, on(day), to)
    assert isinstance(found, FishView)
    return found


def free_on(store: Store, day: int) -> date:
    (stay,) = view(store, day).stays
    return stay.now.release_on


def arrived(store: Store) -> str:
    told(stay_acts.arrive(store, on(0, "22:15"), "mk", lot()))
    (stay,) = room_of(store).stays
    return stay.code


def looked(store: Store, first: int, end: int) -> None:
    for day in range(first, end):
        told(stay_acts.look(store, on(day), "mk", "Q1"))


def test_a_lot_is_counted_from_its_arrival_late_in_the_day(store: Store) -> None:
    code = arrived(store)
    assert free_on(store, 0) == date(2027, 4, 17)
    assert view(store, 1).stays[0].now.day == 1
    refused(stay_acts.release(store, on(41), "mk", code, "B2"), "not-released")


def test_two_more_fish_start_all_anew_after_a_plain_question(store: Store) -> None:
    arrived(store)
    more = lot("new-10", count=2, since=CAME + timedelta(days=20))
    asked = refused(stay_acts.arrive(store, on(20), "mk", more), "ask")
    assert "day 20 of 42" in asked.what
    assert "Fri 7 May 2027" in asked.what
    assert free_on(store, 20) == date(2027, 4, 17)
    act = told(stay_acts.arrive(store, on(20), "mk", more, anyway=True))
    (stay,) = view(store, 20).stays
    assert (stay.now.day, stay.now.release_on) == (0, date(2027, 5, 7))
    assert stay.heads == 10
    assert isinstance(undo(store, on(20), "mk", act.act), Undone)
    assert free_on(store, 20) == date(2027, 4, 17)


def ticked_for(store: Store, code: str) -> None:
    """The destination: not without its tank, not one under watch, not A3 for A1."""
    refused(stay_acts.tick(store, on(57), "mk", code, "destination"), "which-destination")
    refused(stay_acts.tick(store, on(57), "mk", code, "destination", to="A5"), "release-open")
    told(stay_acts.tick(store, on(57), "mk", code, "destination", to="A3"))
    other = refused(stay_acts.release(store, on(57), "mk", code, "A1"), "release-open")
    assert "the tick was for A3, not for A1" in other.what
    meant = told(stay_acts.tick(store, on(57), "mk", code, "destination", "by the pump", "A1"))
    assert meant.words == f"release of {code}: A1 will do as destination (by the pump)"


def test_a_stay_from_arrival_to_release(store: Store) -> None:
    """A sign on day 20, a course of 7 days from day 21, two days nobody looked, release."""
    code = arrived(store)
    told(course_acts.keep_course(store, on(1), "mk", COURSE, STEPS))
    looked(store, 1, 20)
    told(stay_acts.look(store, on(20), "mk", "Q1", "sign", note="white spots"))
    assert free_on(store, 20) == CAME + timedelta(days=48)
    begun = told(course_acts.start_course(store, on(21), "mk", "Q1", "dips"))
    assert "no veterinary advice" in begun.words
    for day in range(22, LAST_DOSE + 1):
        told(course_acts.give_dose(store, on(day), "mk", "Q1"))
    looked(store, 21, 30)
    told(course_acts.end_course(store, on(28), "mk", "Q1"))
    looked(store, 32, 57)  # days 30 and 31 went by unlooked
    assert free_on(store, 56) == CAME + timedelta(days=57)
    (stay,) = view(store, 56).stays
    assert stay.now.unlooked == tuple(CAME + timedelta(days=n) for n in (30, 31))
    refused(stay_acts.release(store, on(56), "mk", code, "B2"), "not-released")
    first_open = refused(stay_acts.release(store, on(57), "mk", code, "A1"), "release-open")
    assert "line 3" in first_open.what
    known = refused(stay_acts.tick(store, on(57), "mk", code, "dates"), "known-line")
    assert "nobody ticks" in known.what
    told(fish.recount(store, on(57), "mk", "new-9", 8))
    for line in ("eating", "tests", "bag-water", "net"):
        told(stay_acts.tick(store, on(57), "mk", code, line))
    ticked_for(store, code)
    out = told(stay_acts.release(store, on(57), "mk", code, "A1"))
    room = room_of(store)
    assert room.stay_in("Q1", CAME + timedelta(days=57)) is None
    assert room.heads_in("Q1") == 0
    looks = [job for job in room.jobs if job.kind == "look" and job.rule.startswith("once")]
    assert [job.rule for job in looks] == [
        f"once {CAME + timedelta(days=57 + n)}" for n in (1, 2, 3, 7)
    ]
    assert {job.where for job in looks} == {"tank A1"}
    (strip,) = [job for job in room.jobs if job.kind == "strip" and job.rule.startswith("once")]
    assert strip.where == "tank Q1"
    nexts = [
        [row.next_act for row in view(store, 57 + n).watches if row.state == "released"]
        for n in (0, 2, 4, 7, 8)
    ]
    days = [CAME + timedelta(days=57 + n) for n in (1, 2, 7, 7)]
    assert nexts == [*([f"look on {day_words(day)}"] for day in days), []]
    assert isinstance(undo(store, on(57), "mk", out.act), Undone)
    assert free_on(store, 57) == CAME + timedelta(days=57)
    assert len(room_of(store).jobs) == len(room.jobs) - 5


def test_the_filter_rests_until_seven_days_after_the_last_dose(store: Store) -> None:
    """Doses 10 to 16 March: the sponge may be squeezed on Tuesday 23 March."""
    arrived(store)
    told(course_acts.keep_course(store, on(1), "mk", COURSE, STEPS))
    told(course_acts.start_course(store, at("2027-03-10 08:00"), "mk", "Q1", "dips"))
    (hold,) = [row for row in room_of(store).holds if "filter" in row.kinds]
    assert (hold.cause, hold.since, hold.until) == ("medicine", date(2027, 3, 10),
                                                    date(2027, 3, 22))  # fmt: skip
    assert room_of(store).health_of("Q1", date(2027, 3, 12)) is Health.SICK
    (level,) = room_of(store).levels
    assert (level.per_litre, level.unit, level.until) == (0.05, "ml", date(2027, 3, 16))
    assert level.medicine


def test_a_course_that_was_broken_off_starts_again_at_its_first_day(store: Store) -> None:
    arrived(store)
    told(course_acts.keep_course(store, on(1), "mk", COURSE, STEPS))
    told(course_acts.start_course(store, on(4), "mk", "Q1", "dips"))
    refused(course_acts.end_course(store, on(6), "mk", "Q1"), "course-not-over")
    assert view(store, 7).runs[0].missed == tuple(CAME + timedelta(days=n) for n in (5, 6))
    told(course_acts.interrupt_course(store, on(7), "mk", "Q1", "bottle empty"))
    again = told(course_acts.start_course(store, on(9), "mk", "Q1", "dips"))
    assert "starts again at its first day" in again.words
    (run,) = view(store, 9).runs
    assert (run.number, run.last) == (0, CAME + timedelta(days=15))


def test_courses_that_are_refused_change_nothing(store: Store) -> None:
    told(course_acts.keep_course(store, on(0), "mk", COURSE, STEPS))
    refused(course_acts.start_course(store, on(0), "mk", "Q1", "dips"), "empty-tank")
    refused(course_acts.start_course(store, on(0), "mk", "A1", "dips"), "shared-water")
    no_unit = course_acts.keep_course(store, on(0), "mk", replace(COURSE, code="x", unit=""),
                                      [CourseStep(course="x", day=0, action="dose")])  # fmt: skip
    assert isinstance(no_unit, Problem)
    assert "unit" in no_unit.where
    arrived(store)
    told(course_acts.start_course(store, on(2), "mk", "Q1", "dips"))
    other = replace(COURSE, code="two", name="Other", product="another")
    told(course_acts.keep_course(store, on(2), "mk", other,
                                 [CourseStep(course="two", day=0, action="dose")]))  # fmt: skip
    refused(course_acts.start_course(store, on(3), "mk", "Q1", "two"), "two-medicines")
    told(course_acts.start_course(store, on(3), "mk", "Q1", "two", also=True))
    assert len(view(store, 3).runs) == 2


def test_two_courses_in_one_tank_are_kept_apart(store: Store) -> None:
    """The first dose of each is noted as it begins; later ones are noted one by one."""
    arrived(store)
    other = replace(COURSE, code="two", name="Other", product="another")
    three = [CourseStep(course="two", day=n, action="dose") for n in range(3)]
    told(course_acts.keep_course(store, on(0), "mk", COURSE, STEPS))
    told(course_acts.keep_course(store, on(0), "mk", other, three))
    told(course_acts.start_course(store, on(2), "mk", "Q1", "dips"))
    told(course_acts.start_course(store, on(2), "mk", "Q1", "two", also=True))
    first = told(course_acts.give_dose(store, on(3), "mk", "Q1"))
    second = told(course_acts.give_dose(store, on(3), "mk", "Q1"))
    assert ("remedy" in first.words, "another" in second.words) == (True, True)
    refused(course_acts.give_dose(store, on(3), "mk", "Q1"), "no-dose-today")
    told(course_acts.give_dose(store, on(4), "mk", "Q1", "two"))
    refused(course_acts.give_dose(store, on(4), "mk", "Q1", "two"), "no-change")
    missed = {run.course.code: run.missed for run in view(store, 5).runs}
    assert missed == {"dips": (CAME + timedelta(days=4),), "two": ()}
    refused(course_acts.interrupt_course(store, on(5), "mk", "Q1", "forgot"), "which-course")
    assert isinstance(course_acts.end_course(store, on(5), "mk", "Q1", "", "none"), Problem)
    told(course_acts.interrupt_course(store, on(5), "mk", "Q1", "forgot", "dips"))
    told(course_acts.end_course(store, on(5), "mk", "Q1"))
    assert view(store, 5).runs == ()


def test_the_dose_of_the_day_stands_with_the_job_at_the_tank(store: Store) -> None:
    """As the label says for the litres of the tank, until it is noted, while the course runs."""
    arrived(store)
    told(course_acts.keep_course(store, on(0), "mk", replace(COURSE, caution="gloves"), STEPS))
    told(course_acts.start_course(store, on(2), "mk", "Q1", "dips"))
    assert doses_today(room_of(store), "Q1", CAME + timedelta(days=2)) == ()  # noted on beginning
    (said,) = doses_today(room_of(store), "Q1", CAME + timedelta(days=3))
    run = view(store, 3).runs[0]
    assert isinstance(run.today, CourseDay)
    assert run.today.dose is not None
    assert said == f"{run.today.dose.amount.value:.4g} ml of remedy (gloves)"
    told(course_acts.give_dose(store, on(3), "mk", "Q1"))
    assert doses_today(room_of(store), "Q1", CAME + timedelta(days=3)) == ()
    told(course_acts.interrupt_course(store, on(4), "mk", "Q1", "bottle empty"))
    assert doses_today(room_of(store), "Q1", CAME + timedelta(days=5)) == ()


def test_arrivals_that_are_refused_change_nothing(store: Store) -> None:
    ahead = lot(since=CAME + timedelta(days=3))
    refused(stay_acts.arrive(store, on(0), "mk", ahead), "not-in-the-future")
    none = stay_acts.arrive(store, on(0), "mk", lot(count=0))
    assert isinstance(none, Problem)
    assert "0 fish" in none.what
    refused(stay_acts.arrive(store, on(0), "mk", lot(tank="A4")), "shared-water")
    refused(stay_acts.arrive(store, on(0), "mk", lot(tank="B2")), "not-empty")
    assert view(store, 0).stays == ()


def test_a_part_of_a_lot_stays_or_takes_its_dates_along(store: Store) -> None:
    code = arrived(store)
    refused(fish.move(store, on(3), "mk", "new-9", 3, "B3"), "part-of-a-lot")
    refused(fish.move(store, on(3), "mk", "new-9", 3, "B3", anyway=True), "part-of-a-lot")
    refused(fish.take_out(store, on(3), "mk", "new-9", 8, "sold"), "not-released")
    blank = stay_acts.part(store, on(3), "mk", "new-9", 3, "B3", " ")
    assert isinstance(blank, Problem)
    told(stay_acts.look(store, on(2), "mk", "Q1", "sign"))
    told(stay_acts.part(store, on(20), "mk", "new-9", 3, "B3", "bullied"))
    here, there = view(store, 20).stays
    assert {here.now.stay.tank, there.now.stay.tank} == {"Q1", "B3"}
    assert here.now.release_on == there.now.release_on
    assert code in (here.now.stay.code, there.now.stay.code)


def test_a_whole_lot_moved_to_a_clean_tank_keeps_its_days(store: Store) -> None:
    code = arrived(store)
    told(stay_acts.look(store, on(9), "mk", "Q1", "sign"))
    before = free_on(store, 10)
    told(stay_acts.move_lot(store, on(10), "mk", code, "B3"))
    (stay,) = view(store, 10).stays
    assert (stay.now.day, stay.now.stay.tank, stay.now.release_on) == (10, "B3", before)
    assert any(job.kind == "strip" and job.where == "tank Q1" for job in room_of(store).jobs)


def test_a_death_explained_is_noted_and_one_unexplained_counts(store: Store) -> None:
    arrived(store)
    told(stay_acts.look(store, on(35), "mk", "Q1", "dead", explained="jumped"))
    assert free_on(store, 35) == date(2027, 4, 17)
    told(stay_acts.look(store, on(35), "mk", "Q1", "dead"))
    assert free_on(store, 35) == CAME + timedelta(days=49)
    assert room_of(store).heads_in("Q1") == 6


def test_a_net_from_a_younger_lot_brings_its_date(store: Store) -> None:
    arrived(store)
    told(stay_acts.arrive(store, on(10), "mk", lot("new-11", "B3", since=CAME + timedelta(10))))

    told(contact(store, on(12), "mk", "B3", "Q1", "net"))
    older = next(stay for stay in view(store, 12).stays if stay.now.stay.tank == "Q1")
    assert older.now.release_on == CAME + timedelta(days=52)
    assert older.now.set_by.cause == "shared"


def test_cool_water_is_warned_of(store: Store) -> None:
    arrived(store)
    told(room_acts.read_off(store, on(1), "mk", "Q1", "temperature", 19.0, "C"))
    assert "19 C" in view(store, 1).stays[0].now.warnings[0]


def test_released_lots_and_a_clock_set_back_are_told(store: Store) -> None:
    code = arrived(store)
    back = stay_acts.release(store, on(-3), "mk", code, "A1")
    refused(back, "not-in-the-future")
    unknown = stay_acts.release(store, on(3), "mk", "lot-99", "A1")
    assert isinstance(unknown, Problem)


ACTS = {
    "fine": lambda s, d: stay_acts.look(s, on(d), "mk", "Q1"),
    "sign": lambda s, d: stay_acts.look(s, on(d), "mk", "Q1", "sign"),
    "dead": lambda s, d: stay_acts.look(s, on(d), "mk", "Q1", "dead"),
    "missing": lambda s, d: stay_acts.look(s, on(d), "mk", "Q1", "not-seen", 2),
    "start": lambda s, d: course_acts.start_course(s, on(d), "mk", "Q1", "dips", also=True),
    "break": lambda s, d: course_acts.interrupt_course(s, on(d), "mk", "Q1", "why"),
    "more": lambda s, d: stay_acts.arrive(
        s, on(d), "mk", lot(f"more-{d}", count=1, since=CAME + timedelta(d)), anyway=True
    ),
}  # fmt: skip


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(st.sampled_from(sorted(ACTS)), min_size=1, max_size=6))
def test_undo_of_any_act_restores_every_date(
    tmp_path_factory: pytest.TempPathFactory, names: list[str]
) -> None:
    with a_store(tmp_path_factory.mktemp("undo")) as store:
        arrived(store)
        told(course_acts.keep_course(store, on(0), "mk", COURSE, STEPS))
        before: list[tuple[int, Any]] = []
        for day, name in enumerate(names, start=1):
            was = view(store, 30).stays
            answer = ACTS[name](store, day)
            if isinstance(answer, Told):
                before.append((answer.act, was))
        for number, was in reversed(before):
            assert isinstance(undo(store, on(9), "mk", number), Undone)
            assert [stay.now for stay in view(store, 30).stays] == [stay.now for stay in was]


def test_an_arrival_entered_days_later_stands_in_every_book_on_its_day(store: Store) -> None:
    """The tank has fish since that day, and what they could have met is met since then."""
    came = CAME - timedelta(days=3)
    told(stay_acts.arrive(store, on(0), "mk", lot(since=came)))
    room = room_of(store)
    (moved,) = [
        row for row in read.rows(store, TRANSFERS) if row.to_tank == "Q1" and row.group == "new-9"
    ]
    assert (moved.day, room.day_at(moved.at)) == (came, came)
    assert max(row.since for row in room.stocked if row.tank == "Q1") == came
