"""What the weeks say, without a terminal: top lines, trials, days, where a job may go."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob, WaterUse, WhatIfAhead
from roomtasks.room.ahead_words import least_over
from roomtasks.room.problem import Problem
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.signs import PLAIN, SHAPES
from roomtasks.tui.water_items import Part
from roomtasks.tui.weeks_acts import Step, job_acts, last_day, stepped
from roomtasks.tui.weeks_asking import Pick, asked
from roomtasks.tui.weeks_lines import day_line, job_line, parts
from roomtasks.tui.weeks_seen import OVERTAKEN, Planner, Trial, WeeksAsk, WeeksSeen
from roomtasks.tui.weeks_words import (
    busiest_words,
    charts,
    figures,
    next_line,
    top_line,
    trial_words,
    what_if_words,
)
from roomtasks.work.ahead_view import AheadScene, scene
from tests.rooms import at, small_room, store_with

FIRST = date(2027, 3, 6)


@cache
def small(when: str = "2027-03-06 07:30") -> AheadScene:
    found = scene(store_with(Path(mkdtemp()), small_room()), at(when))
    assert isinstance(found, AheadScene)
    return found


@cache
def seen_of(when: str = "2027-03-06 07:30", ask: WeeksAsk = WeeksAsk()) -> WeeksSeen:  # noqa: B008
    planner = Planner(wait_seconds=0.0)
    found = planner.think(small(when), ask, planner.number())
    assert isinstance(found, WeeksSeen)
    return found


def job_of(seen: WeeksSeen, name: str, n: int = 0) -> PlannedJob:
    return next(job for job in seen.base.jobs if (job.id, job.n) == (name, n))


def trial_of(job: PlannedJob, days: int) -> Trial:
    return Trial(id=job.id, n=job.n, name=job.name, target=job.target, planned=job.day,
                 day=job.day + timedelta(days=days))  # fmt: skip


def test_the_bound_is_said_with_the_busiest_day() -> None:
    ahead = seen_of().base
    assert busiest_words(ahead) == "Busiest day, Sat 13 Mar: 86 minutes; no plan can have less"
    loose = replace(ahead, busiest_minutes=74.0, bound_minutes=72.0, proven=False)
    assert busiest_words(loose).endswith("74 minutes; it cannot be below 72")


@settings(max_examples=60, deadline=None)
@given(
    width=st.integers(40, 160), busiest=st.integers(0, 900), over=st.integers(0, 5000),
    litres=st.integers(0, 5000), proven=st.booleans(),
)  # fmt: skip
def test_the_top_line_fits_and_names_the_busiest_minutes(
    width: int, busiest: int, over: int, litres: int, proven: bool
) -> None:
    seen = seen_of()
    ahead = replace(
        seen.base, busiest_minutes=float(busiest), over_minutes=float(over),
        bound_minutes=busiest / 2, over_litres=float(litres), proven=proven,
    )  # fmt: skip
    text = top_line(replace(seen, base=ahead), SHAPES, width)
    assert "14 days" in text
    assert f"{busiest} min" in text
    if width >= 60:
        assert cell_len(text) <= width
        assert (f"{SHAPES.late}{over} min over" in text) == (over > 0)
        assert (f"{SHAPES.late}{litres} L short" in text) == (litres > 0)


@pytest.mark.parametrize("width", [40, 60, 80, 140])
def test_the_second_line_says_what_is_asked_beside_what_is(width: int) -> None:
    seen = seen_of(ask=WeeksAsk(what_if=WhatIfAhead(without=("B1",))))
    text = next_line(seen, SHAPES, width)
    assert text.startswith("busiest 86→79  late 6→5")
    assert cell_len(text) <= width
    assert next_line(seen, PLAIN, width).startswith("busiest 86>79  late 6>5")
    assert next_line(seen_of(), SHAPES, width) == "6 late"


@pytest.mark.parametrize("width", [60, 80, 140])
def test_a_trial_is_told_whole_in_three_lines(width: int) -> None:
    job = job_of(seen_of(), "squeeze-1@B1-1")
    seen = seen_of(ask=WeeksAsk(trial=trial_of(job, 2)))
    text = trial_words(seen, width)
    assert len(text) <= 3 * width
    assert text.startswith("Only asked: Squeeze the first sponge B1-1, Sat 6 to Mon 8 Mar: ")
    for word in ("busiest day", "min over", "L short", "late", "moved" if width > 60 else ""):
        assert word in text or "no other job moves" in text


def test_figures_hold_two_plans_against_each_other() -> None:
    seen = seen_of(ask=WeeksAsk(what_if=WhatIfAhead(without=("B1",))))
    found = {figure.name: figure for figure in figures(seen.base, seen.shown)}
    assert found["busiest"].before == seen.base.busiest_minutes
    assert found["busiest"].after == seen.shown.busiest_minutes
    assert found["late"].after <= found["late"].before


def test_what_ifs_are_named() -> None:
    what_if = WhatIfAhead(
        minutes=(("sunday", -60.0),), litres=(("R1", 80.0),), without=("B1",),
        more=(("A1", 2.0),), second=("R2",), helper=(("monday", 30.0),),
    )  # fmt: skip
    assert what_if_words(what_if) == (
        "sunday -60 min, R1 +80 L, without B1, 2 more like A1, a second R2, helper monday 30 min"
    )


# ---- lines ---------------------------------------------------------------------------------------


def test_the_round_is_folded_and_every_other_job_has_its_line() -> None:
    seen = seen_of()
    found = parts(seen, SHAPES)
    assert [part.title for part in found[:3]] == ["The 14 days", "Sat 6 Mar, today", "Sun 7 Mar"]
    for part, day in zip(found[1:], seen.base.days, strict=True):
        keys = [item.key for item in part.items]
        assert keys[0] == f"day {day.day.isoformat()}"
        assert len(set(keys)) == len(keys)
        daily = [job for job in day.jobs if job.kind in ("look", "feed", "check")]
        assert sum(key.startswith("job ") for key in keys) == len(day.jobs) - len(daily)
        assert sum(key.startswith("round ") for key in keys) == (1 if daily else 0)
    assert "Daily round: 11 jobs" in texts(found[1])


def texts(part: Part) -> str:
    return " | ".join(item.text for item in part.items)


def test_what_is_late_stands_first_and_is_signed() -> None:
    first = parts(seen_of(), SHAPES)[1]
    assert first.items[1].text.startswith("▲ Squeeze the first sponge B1-1, 4 min, 3 days late")
    assert first.items[1].weight == "late"


def test_what_waits_for_another_says_so_and_is_not_offered_to_be_kept() -> None:
    job = job_of(seen_of(), "squeeze-1@B1-1")
    waits = replace(job, waits="Squeeze the second sponge at B1-2, planned for Mon 8 Mar")
    line = job_line(waits, seen_of(), SHAPES)
    assert line.endswith("‖ waits for Squeeze the second sponge at B1-2, planned for Mon 8 Mar")
    assert [act.label for act in job_acts(waits)] == []
    assert [act.label for act in job_acts(replace(waits, pinned=True))] == ["let the plan choose"]
    assert "waits" not in job_line(job, seen_of(), SHAPES)


def test_a_day_over_is_told_by_sign_and_number() -> None:
    seen = seen_of("2027-07-28 07:30")
    first = replace(seen.base.days[0], minutes=87.0)
    assert day_line(first, seen.room, PLAIN).startswith("87 of 45 min !42 over")
    use = WaterUse(reservoir="R1", litres=560.0, most_litres=510.0)
    day = replace(seen.base.days[0], litres=(use,))
    assert "R1 560 of 510 L !50 L short" in day_line(day, seen.room, PLAIN)


def test_days_away_name_the_stand_in_and_what_they_have() -> None:
    seen = seen_of("2027-07-28 07:30")
    day = next(day for day in seen.base.days if day.away)
    assert day_line(day, seen.room, SHAPES).startswith("Away: Tom stands in, 12 min, ")
    minutes = charts(seen.base)[0]
    for bar, planned in zip(minutes.bars, seen.base.days, strict=True):
        assert bar.hatched == planned.away
        assert bar.value == (planned.stand_in_minutes if planned.away else planned.minutes)


def test_a_trial_is_marked_as_only_tried() -> None:
    job = job_of(seen_of(), "squeeze-1@B1-1")
    seen = seen_of(ask=WeeksAsk(trial=trial_of(job, 2)))
    moved = next(one for one in seen.shown.jobs if one.id == job.id)
    assert job_line(moved, seen, SHAPES).endswith("only tried, from Sat 6")


# ---- days a job may take -------------------------------------------------------------------------


def day_of(day: int) -> date:
    return date(2027, 3, day)


def test_a_move_goes_to_the_next_day_it_may_take() -> None:
    seen = seen_of()
    job = replace(job_of(seen, "squeeze-1@B1-1"), may=(day_of(6), day_of(9), day_of(11)))

    def go(day: int, step: int) -> Step | Problem:
        return stepped(job, day_of(day), step, seen.base, seen.room)

    assert go(6, 1) == Step(day_of(9))
    assert go(9, 1) == Step(day_of(11))
    assert go(11, -1) == Step(day_of(9))
    past = go(6, -1)
    assert isinstance(past, Problem)
    assert "Fri 5 Mar has gone by" in past.sentence()
    beyond = go(19, 1)
    assert isinstance(beyond, Problem)
    assert "/ shows more" in beyond.sentence()


def test_days_that_are_not_offered_say_why() -> None:
    seen = seen_of()
    job = job_of(seen, "change-alone@B1")
    inside = stepped(job, day_of(6), 1, seen.base, seen.room)
    outside = stepped(job, day_of(9), 1, seen.base, seen.room)
    assert isinstance(inside, Step)
    assert isinstance(outside, Step)
    assert "by the change day" in inside.why
    assert outside.why == "Wed 10 Mar is outside its window, Thu 4 Mar to Tue 9 Mar"


@pytest.mark.parametrize(
    ("text", "day"),
    [("9", date(2027, 3, 9)), ("5", date(2027, 4, 5)), ("3.4", date(2027, 4, 3)),
     ("2027-03-20", date(2027, 3, 20)), ("6", FIRST), ("1,5", date(2027, 5, 1))],
)  # fmt: skip
def test_a_last_day_is_the_next_such_day(text: str, day: date) -> None:
    assert last_day(text, FIRST) == day


@given(text=st.text(max_size=30))
def test_any_last_day_is_a_day_or_refused(text: str) -> None:
    found = last_day(text, FIRST)
    assert isinstance(found, date | Problem)


# ---- questions and plans -------------------------------------------------------------------------


@given(number=st.integers(1, 7), text=st.text(max_size=12), choice=st.integers(1, 2))
def test_any_answers_lead_to_a_question_a_plan_or_a_refusal(
    number: int, text: str, choice: int
) -> None:
    room = small().room
    found = asked(Answer("weeks-what", "", number, ""), WhatIfAhead(), room)
    for _ in range(3):
        if isinstance(found, Pick):
            found = asked(Answer(found.sort, found.codes[choice], 1, ""), WhatIfAhead(), room)
        elif isinstance(found, Question):
            words = found.choices[choice - 1] if found.choices else text
            answer = Answer(found.sort, words, choice if found.choices else 0, found.about)
            found = asked(answer, WhatIfAhead(), room)
    assert isinstance(found, WhatIfAhead | Problem)


def test_a_question_that_was_overtaken_is_not_worked_out() -> None:
    planner = Planner(wait_seconds=0.0)
    old, new = planner.number(), planner.number()
    assert planner.think(small(), WeeksAsk(), old) is OVERTAKEN
    assert isinstance(planner.think(small(), WeeksAsk(), new), WeeksSeen)


def test_what_is_known_is_not_worked_out_again() -> None:
    planner = Planner(wait_seconds=0.0)
    ask = WeeksAsk(what_if=WhatIfAhead(without=("B1",)))
    first = planner.think(small(), ask, planner.number())
    again = planner.think(small(), ask, planner.number())
    assert isinstance(first, WeeksSeen)
    assert isinstance(again, WeeksSeen)
    assert first.base is again.base
    assert first.asked is again.asked


def test_a_fault_of_what_is_asked_leaves_the_plan_as_it_is() -> None:
    seen = seen_of(ask=WeeksAsk(what_if=WhatIfAhead(without=("ZZ",))))
    assert seen.asked is None
    assert seen.fault is not None
    assert isinstance(seen.shown, Ahead)
    assert all(isinstance(day, PlannedDay) for day in seen.shown.days)


def test_a_bound_is_never_rounded_up_to_what_the_plan_has() -> None:
    """2.5 minutes over with a bound of 1.5 both round to 2: that is no proof."""
    ahead = replace(seen_of().base, busiest_minutes=136.6, bound_minutes=131.5, proven=False,
                    over_minutes=2.5, over_bound_minutes=1.5)  # fmt: skip
    assert busiest_words(ahead).endswith("136.6 minutes; it cannot be below 131.5")
    assert least_over(ahead) == "no plan can have less than 1.5"
    assert least_over(replace(ahead, over_bound_minutes=2.5)) == "no plan can have less"
