"""How the water is said and drawn: vessels, lines of time, the list, the page of a number."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import timedelta
from typing import Any

import pytest
from rich.cells import cell_len

from roomtasks.room.amount import Amount
from roomtasks.room.problem import Problem
from roomtasks.room.water_plan import ChangePlan, Contents, WhatIf
from roomtasks.tui.signs import PLAIN, SHAPES, Signs
from roomtasks.tui.water_items import laid
from roomtasks.tui.water_lines import parts
from roomtasks.tui.water_words import (
    WaterSeen,
    expected,
    looks,
    next_line,
    opened_rows,
    ready_litres,
    top_line,
    tracks,
    what_if_line,
)
from roomtasks.tui.widgets.timeline import Stroke, Track, timeline
from roomtasks.tui.widgets.vessel_view import Look, drawn, gauge, level_row, vessel_lines
from tests.cli.made_plan import a_plan
from tests.room.example_room import example_room
from tests.rooms import at

BOTH = (SHAPES, PLAIN)


def seen(**more: Any) -> WaterSeen:
    """A look at the hand-made plan in the example room."""
    plan = a_plan(**more)
    held = {each.reservoir: each for each in plan.contents}
    return WaterSeen(example_room(), plan.now, plan, held, ("Plugs out before hands go in.",))


def all_text(look: WaterSeen, width: int = 76, signs: Signs = SHAPES) -> str:
    return " ".join(" ".join(row.text for row in laid(parts(look, signs), width).rows).split())


# ---- vessels -------------------------------------------------------------------------------------

HALF = Look(code="R1", full=700, dead=40, rest=140, now=350, planned=700, in_hand=True,
            words=("conditioned", "18c C", "hard"))  # fmt: skip


def test_a_vessel_shows_its_marks_what_it_holds_and_what_is_planned() -> None:
    assert vessel_lines(HALF, 40, 12, SHAPES) == [
        "▶R1 conditioned  18c C  hard            ",
        " ╲┈┈┈┈┈┈┈┈┈┈┈┈┈┈┈┈╱ 700 full, planned   ",
        "  │              │                      ",
        "  │              │                      ",
        "  │              │                      ",
        "  │              │                      ",
        "  │≈≈≈≈≈≈≈≈≈≈≈≈≈≈├  350 now             ",
        "  │~~~~~~~~~~~~~~│                      ",
        "  │~~~~~~~~~~~~~~│                      ",
        "  │k k k k k k k ├  140 keep-back       ",
        "  │d d d d d d d ├  40 dead             ",
        "  ╰──────────────╯                      ",
    ]


def test_a_vessel_needs_no_signs_beyond_ascii() -> None:
    for height in (4, 6, 12):
        assert "".join(vessel_lines(HALF, 40, height, PLAIN)).isascii()
    assert gauge(HALF, PLAIN).isascii()


@pytest.mark.parametrize(("litres", "rows"), [(0, 0), (1, 1), (350, 5), (660, 9), (699, 10),
                                              (700, 10), (900, 10)])  # fmt: skip
def test_some_water_always_shows_and_only_a_full_vessel_is_full(litres: float, rows: int) -> None:
    assert level_row(litres, 700, 10) == rows


def test_what_stands_in_a_vessel_keeps_its_own_row() -> None:
    low = Look(code="R", full=900, dead=20, rest=100, now=30)
    lines = vessel_lines(low, 40, 6, SHAPES)
    assert "≈" in lines[4]
    assert lines[4].rstrip().endswith("30 now")
    assert lines[3].rstrip().endswith("100 keep-back")
    assert lines[5].rstrip().endswith("20 dead")


@pytest.mark.parametrize("across", [True, False])
@pytest.mark.parametrize("size", [(20, 4), (44, 38), (60, 6), (80, 6), (140, 9)])
def test_vessels_keep_to_the_space_there_is(size: tuple[int, int], across: bool) -> None:
    many = [replace(HALF, code=f"R{n}", now=n * 90.0, in_hand=n == 6) for n in range(9)]
    for signs in BOTH:
        lines = drawn(many, *size, across, signs)
        assert len(lines) <= size[1]
        assert all(cell_len(line) == size[0] for line in lines)
        assert "R6" in "\n".join(lines)


def test_vessels_that_do_not_fit_are_named() -> None:
    many = [replace(HALF, code=f"R{n}", in_hand=n == 0) for n in range(5)]
    assert drawn(many, 80, 6, True, SHAPES)[-1].endswith("> R3 R4")


# ---- lines of time -------------------------------------------------------------------------------


def night(first: str, last: str, now: str, width: int = 80) -> list[str]:
    track = Track("R1 latest", (
        Stroke("hose-out", at(first), 10.0, done=True), Stroke("fill-start", at(first), 90.0),
        Stroke("heat-on", at(last) - timedelta(hours=3), 120.0), Stroke("change", at(last)),
    ))  # fmt: skip
    return timeline([track], at(now), width, SHAPES)


def test_a_line_of_time_goes_over_midnight_with_day_names() -> None:
    axis, line = night("2027-03-12T18:40", "2027-03-13T09:00", "2027-03-12T18:00")
    assert "▼ Fri 18:00" in axis
    assert "│Sat 13" in axis
    assert axis.index("22") < axis.index("│Sat 13") < axis.index("08")
    assert line.startswith("R1 latest ")
    assert line.index("h") > axis.index("│Sat 13")
    assert line.rstrip().endswith("C")
    assert "^^" in line


def test_the_night_of_23_hours_is_an_hour_shorter() -> None:
    """Clocks go forward on 28 March 2027 in Dublin, from 01:00 to 02:00."""
    common = night("2027-03-20T20:00", "2027-03-21T08:00", "2027-03-20T20:00", 134)[0]
    short = night("2027-03-27T20:00", "2027-03-28T08:00", "2027-03-27T20:00", 134)[0]

    def cells_of_an_hour(axis: str) -> float:
        return (axis.index("07") - axis.index("│Sun")) / (6 if axis is short else 7)

    assert " 01 " not in short
    assert cells_of_an_hour(short) > cells_of_an_hour(common)


@pytest.mark.parametrize("width", [12, 20, 40, 58, 80, 140])
@pytest.mark.parametrize("now", ["2027-03-01T06:00", "2027-03-12T23:59", "2027-03-20T00:00"])
def test_lines_of_time_keep_to_the_width(width: int, now: str) -> None:
    plan = a_plan()
    for signs in BOTH:
        lines = timeline(tracks(plan), at(now), width, signs)
        assert all(cell_len(line) <= width for line in lines)
        assert signs.now in lines[0]


def test_nothing_planned_has_no_line_of_time() -> None:
    assert timeline([], at("2027-03-12T18:00"), 80, SHAPES) == []


# ---- the list ------------------------------------------------------------------------------------


def amounts_in(value: object) -> Iterator[Amount]:
    """Every worked-out number in a value, however deep."""
    if isinstance(value, Amount):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from amounts_in(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from amounts_in(getattr(value, field.name))


def test_every_worked_out_number_of_a_plan_opens_from_some_line() -> None:
    look = seen()
    opening = [
        amount for part in parts(look, SHAPES) for item in part.items for _, amount in item.amounts
    ]
    assert not isinstance(look.plan, Problem)
    plan = replace(look.plan, needs=(), walking=(), any_order=(), vessels=())
    missing = [amount for amount in amounts_in(plan) if amount not in opening]
    assert missing == []


def test_an_opened_number_says_formula_inputs_known_and_source() -> None:
    item = next(
        item
        for part in parts(seen(), SHAPES)
        for item in part.items
        if item.text.startswith("c A1")
    )
    rows = "\n".join(row.text for row in opened_rows(item.opened(), 60))
    assert "Litres: 27.3 L" in rows
    assert "Known: computed" in rows
    assert "How: fraction x litres" in rows
    assert "fraction 0.3 (as set)" in rows
    assert "A1 91 L (measured, filled by the clock)" in rows
    assert "Temperature before: 25 C" in rows
    assert "From: read 2027-03-12" in rows
    assert all(len(row.text) <= 60 for row in opened_rows(item.opened(), 60))


@pytest.mark.parametrize("words", [
    "Batch 1: R1 hard, 112.5 L for Sat 09:00", "112.5 L run in onto 140 L",
    "mixes to 13.2c C, wanted 25 C, heat 9.61c kWh, 3 h 22 min of heating",
    "add 28c ml conditioner: for the litres added", "106.7 L RO (59.3 %)",
    "✓ done Fri 17:50 hose out", "○ Sat 03:26 Sat 05:07 heater on, 3 h 22 min",
    "── Sat 13 Mar ──", "── ▶ now Fri 18:00 ──", "c A1 27.3c L lower 8.9 cm 30 %",
    "add 26c g salt", "▲ REFUSED at 21 C", "REFUSED A1: a step of 1.2 K is more than 1 K [cold]",
    "1 one batch, every change at 18.3 %",
    "S: 18.3 %, nitrate settles 43.8 mg/L above the source, not 26.7",
    "2 use the keep-back (only on a yes)", "hard 112.5a L: 81.9 drained, 27.3 top-off",
    "660 of 2412m L out, 27.4 % of the body, 30 % of each tank",
    "S: read 24m, now 31.7f", "crosses it Sat 20 Mar, CHANGE NOW", "a forecast is not a test",
    "running 30 cm, resting 39 cm", "! S: the drip was measured 40 days ago",
    "Plugs out before hands go in.", "m measured c computed a assumed f forecast s as set",
    "140 of 700 L", "keep-back 100, dead 40", "Refused: R1: it is not ready by 09:00",
])  # fmt: skip
def test_the_list_says_all_of_a_plan(words: str) -> None:
    assert words in all_text(seen(), 400)


@pytest.mark.parametrize("width", [20, 40, 58, 78, 138])
def test_no_row_of_the_list_is_wider_than_the_screen(width: int) -> None:
    for signs in BOTH:
        made = laid(parts(seen(), signs), width)
        assert all(cell_len(row.text) <= width for row in made.rows)
        assert len(made.rows) == len(made.items)
        assert all(made.items[head] is None for head in made.heads)


def test_the_list_needs_no_signs_beyond_ascii() -> None:
    assert all_text(seen(), 80, PLAIN).isascii()


def test_parts_are_walked_to_and_fro() -> None:
    made = laid(parts(seen(), SHAPES), 78)
    firsts = [head + 1 for head in made.heads]
    assert made.part_from(0, 1) == firsts[0]
    assert made.part_from(firsts[0], 1) == firsts[1]
    assert made.part_from(firsts[1], -1) == firsts[0]
    assert made.part_from(firsts[-1], 1) == firsts[-1]


# ---- what is next --------------------------------------------------------------------------------


def test_the_top_says_what_is_wanted_what_is_ready_and_what_is_next() -> None:
    look = seen()
    assert top_line(look, SHAPES, 90).startswith(
        "Change Sat 13 Mar 09:00   wanted 112 L, can be ready 0 L   ▲112 L short"
    )
    assert next_line(look, SHAPES, 60).startswith("Next: R1: hose out at 18:46, in 46 min")
    for width in (30, 60, 80):
        assert cell_len(top_line(look, SHAPES, width)) == width


def test_only_water_ready_on_the_day_counts_as_ready() -> None:
    plan = a_plan()
    clock = plan.batches[0].clock
    assert clock is not None
    in_time = replace(plan.batches[0], clock=replace(clock, refused=None))
    day_after = replace(in_time, clock=replace(clock, refused=None,
                                               wanted_at=at("2027-03-14T09:00")))  # fmt: skip
    assert ready_litres(replace(plan, batches=(in_time,))) == pytest.approx(112.476)
    assert ready_litres(replace(plan, batches=(day_after,))) == 0
    assert ready_litres(replace(plan, batches=(replace(in_time, clock=None),))) == pytest.approx(
        112.476
    )


def test_the_expected_step_is_the_plans_next_and_full_while_a_hose_runs() -> None:
    look = seen()
    found = expected(look, "R1")
    assert found is not None
    assert (found.step, found.words) == ("fill-start", "fill started")
    filling = look.contents["R1"]
    look = replace(look, contents={"R1": replace(filling, filling_since=look.now)})
    plan = look.plan
    assert isinstance(plan, ChangePlan)
    batch = plan.batches[0]
    assert batch.clock is not None
    full = replace(batch.clock.steps[1], step="full")
    batch = replace(batch, clock=replace(batch.clock, steps=(*batch.clock.steps, full)))
    found = expected(replace(look, plan=replace(plan, batches=(batch,))), "R1")
    assert found is not None
    assert found.step == "full"
    assert found.level == pytest.approx(252.476)


@pytest.mark.parametrize(("state", "step"), [
    ("empty", "fill-start"), ("filling", "full"), ("raw", "treated"), ("treated", "mixed"),
    ("heating", "mixed"), ("mixed", "ready"), ("ready", ""),
])  # fmt: skip
def test_without_a_plan_the_state_says_what_is_next(state: str, step: str) -> None:
    held = {"R2": Contents(reservoir="R2", litres=20.0, state=state)}
    found = expected(replace(seen(), contents=held), "R2")
    assert (found.step if found is not None else "") == step


def test_a_what_if_says_what_is_asked_and_what_of_it_changes() -> None:
    look = seen()
    assert what_if_line(WhatIf(), look, look) == ""
    text = what_if_line(WhatIf(share=0.6, fill_rates=(("R1", 9.0),)), look, look)
    assert text == (
        "WHAT IF: every change at 60 % of what is planned, R1 fills at 9 L/min. Not kept. "
        "As it is: 0 of 112 L; so: 0 of 112 L. REFUSED"
    )


def test_a_room_without_a_plan_says_what_to_do() -> None:
    room = replace(example_room(), reservoirs=(), jobs=())
    look = WaterSeen(room, at("2027-03-12T18:00"), Problem("", "no day", "add a job"), {})
    text = all_text(look)
    assert "no day; add a job" in text
    assert "No reservoir is entered yet" in text
    assert "No job changes water yet" in text
    assert looks(look, "") == []
    assert next_line(look, SHAPES, 40).startswith("no day; add a job")
