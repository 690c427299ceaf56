"""How a plan is said, as JSON and as text: a plan made by hand, so that only the saying counts."""

import json
from dataclasses import replace
from typing import Any

import pytest

from roomtasks.cli.page import Page, cells
from roomtasks.cli.running import json_text
from roomtasks.cli.water_json import plan_document
from roomtasks.cli.water_text import PlanText
from roomtasks.room.water_plan import Note
from tests.cli.made_plan import a_draw, a_plan
from tests.cli.plan_documents import faults


def written(why: bool = False, **more: object) -> str:
    page = Page()
    PlanText(a_plan(**more), ("unplug the heaters",), why).write(page)
    assert all(cells(line) <= 60 for line in page.lines)
    return page.text()


def flat(why: bool = False, **more: object) -> str:
    return " ".join(written(why, **more).split())


@pytest.fixture
def document() -> Any:
    return json.loads(json_text(plan_document(a_plan())))


def test_every_number_has_its_unit_and_says_how_it_is_known(document: Any) -> None:
    assert list(faults(document)) == []


def test_the_look_at_numbers_finds_what_is_wrong() -> None:
    assert list(faults({"litres": 1.0, "x": 2.0, "ml": float("inf"), "ml_known": "computed"}))


def test_the_document_has_every_part_of_the_plan(document: Any) -> None:
    assert set(document) == {
        "day", "wanted_at", "at", "asked", "refused", "next_step", "demands", "by_litres",
        "walking", "any_order", "batches", "bodies", "choices", "needs", "reservoirs",
        "forecasts", "sumps", "notes",
    }  # fmt: skip
    assert (document["day"], document["wanted_at"]) == ("2027-03-13", "2027-03-13T09:00:00+00:00")
    assert document["by_litres"][0]["litres"] == [560.0, 358.76]
    assert document["refused"] == [
        {"about": "A1", "text": "a step of 1.2 K is more than 1 K", "sort": "refused",
         "rule": "cold"}
    ]  # fmt: skip


def test_a_dose_stands_under_its_unit(document: Any) -> None:
    batch = document["batches"][0]
    assert batch["doses"][0]["ml"] == 28.0
    assert batch["doses"][0]["ml_from"]["formula"] == "5 per 100 L"
    draws = {draw["tank"]: draw for draw in document["demands"][0]["draws"]}
    assert draws["H1"]["doses"][0]["g"] == 26.0
    assert draws["A1"]["litres_from"]["inputs"][1] == {
        "name": "A1", "value": 91.0, "unit": "L", "known": "measured",
        "source": "filled by the clock",
    }  # fmt: skip


def test_the_clock_is_a_list_with_latest_advised_and_done(document: Any) -> None:
    batch = document["batches"][0]
    second = batch["clock"][1]
    assert (second["step"], second["latest"][:16], second["advised"][:16]) == (
        "fill-start", "2027-03-12T18:56", "2027-03-12T18:50",
    )  # fmt: skip
    assert batch["clock"][0]["done_at"] == "2027-03-12T17:50:00+00:00"
    assert batch["refused"]["rule"] == "not-ready"
    assert batch["ready_at"] == "2027-03-13T14:13:00+00:00"


def test_a_batch_without_a_clock_has_nulls_and_no_steps() -> None:
    made = a_plan().batches[0]
    plain = replace(made, clock=None, blend=None, heat_kwh=None, heat_minutes=None,
                    mix_celsius=None, emptied_at=None, target_celsius=None)  # fmt: skip
    found = plan_document(a_plan(batches=(plain,)))["batches"][0]
    assert (found["clock"], found["ready_at"], found["blend"]) == ([], None, None)
    assert found["heat_kwh"] is None
    text = flat(batches=(plain,))
    assert "ready at the earliest" not in text


def test_text_says_first_the_day_the_water_and_what_is_refused() -> None:
    lines = written().splitlines()
    assert lines[0] == "Change of Sat 13 Mar 2027, 09:00"
    assert lines[1] == "Wanted: hard 112a L"
    assert lines[2] == "REFUSED A1: a step of 1.2 K is more than 1 K [cold]"
    assert lines[3] == "Next: Fri 12 Mar 18:46 hose out at R1"


@pytest.mark.parametrize(
    "told",
    [
        "hard 112.5a L: 81.9 drained, 27.3 top-off, 0.0 other, 3.3 lost in hoses",
        "hard in fills: by litres 560.0 + 358.8; in walking order 1; in any order 1",
        "system 2412.0m 660.0 30.0 27.4c S",
        "A1 hard 27.3c 8.9 30.0 c",
        "REFUSED at 21.0 C: 25.0 to 23.8 C is a step of 1.2, limit 1.0; coldest 21.7 C, or at "
        "most 25.0 %",
        "add 26.0c g salt: what the change takes out",
        "112.5 L used; 112.5 L run in onto 140.0 L",
        "for A1 A2 H1 S",
        "add 28.0c ml conditioner: for the litres added",
        "mixes to 13.2c C, wanted 25.0 C, heat 9.61c kWh, 3 h 22 min c of heating",
        "106.7 L RO (59.3 % c) and 73.3 L of the source; RO takes 13 h 4 min a, "
        "320.0 L to the drain",
        "ready at the earliest Sat 13 Mar 14:13",
        "REFUSED R1: it is not ready by 09:00; change from 14:13 [not-ready]",
        "free again about Sat 13 Mar 10:40",
        "1 one batch, every change at 18.3 %",
        "S 18.3 %: nitrate settles 43.8 mg/L above the source, not 26.7",
        "2 use the keep-back. Only with a yes",
        "1 a course of treatment, 28.1 L: H1",
        "4 missed last, 28.1 L: A2",
        "S 24.0m 31.7f 31.7f 31.7f 35",
        "crosses its limit on Sat 20 Mar; change now; hold it with 26.7 % c",
        "A forecast is not a test.",
        "R1 holds 140.0 L hard at 18.0f C, treated; 0.0 L to use now, a fill gives 560.0 L",
        "S 30.0 cm running, 39.0 cm at rest, as 63.6c L run back; running at most 34.0 cm",
        "S: the drip was measured 40 days ago",
        "Cautions unplug the heaters",
    ],
)  # fmt: skip
def test_text_says_each_part(told: str) -> None:
    assert told in flat()


def test_the_clock_in_text_has_both_times_and_what_was_done() -> None:
    text = flat()
    assert "Fri 12 Mar 18:46 Fri 12 Mar 18:40 hose out, 10 min c, done Fri 12 Mar 17:50" in text
    assert "Fri 12 Mar 18:56 Fri 12 Mar 18:50 fill start, 1 h 33 min c" in text


def test_why_opens_the_numbers() -> None:
    text = flat(why=True)
    for told in (
        "computed: fraction x litres; fraction 0.3 (as set), A1 91 L (measured, filled by the "
        "clock)",
        "computed: drained / litres",
        "computed: energy / power",
        "computed: (tap - want) / (tap - ro)",
        "why of fill-start",
        "forecast: now + production",
        "computed: area x head + pipes",
    ):
        assert told in text
    assert "fraction x litres" not in flat()


def test_a_day_that_wants_no_water_says_so() -> None:
    text = flat(demands=(), bodies=(), batches=(), choices=(), forecasts=(), vessels=(),
                sumps=(), notes=(), by_litres=(), next_step=None)  # fmt: skip
    assert "No water is wanted that day." in text
    assert "Bodies" not in text


def test_tanks_that_meet_the_water_alike_share_a_line() -> None:
    match = a_plan().demands[0].draws[0].match
    draws = tuple(a_draw(f"B{n}", n, match=match) for n in range(3))
    named = tuple(
        replace(draw, match=replace(match, tank=draw.tank)) if match else draw for draw in draws
    )
    demand = replace(a_plan().demands[0], draws=named)
    assert "25.0m 21.0 23.8 21.7 25.0 no B0 B1 B2" in flat(demands=(demand,))


def test_signs_that_move_a_cursor_are_made_visible() -> None:
    text = written(notes=(Note(about="A1", text="a\x1b[31mred", sort="warned"),))
    assert "\x1b" not in text
