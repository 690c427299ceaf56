"""Acts on broods and moves: what they write, what stands in the walk, what they refuse."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from roomtasks.room.draw import Drawn, draws_on
from roomtasks.room.line import LineFacts
from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET, Room
from roomtasks.room.stock import Group
from roomtasks.room.water_plan import WhatIf
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work import brood_acts, fish, move_acts
from roomtasks.work.brood_view import BroodsView, brood_view, places_of
from roomtasks.work.fish import Told
from roomtasks.work.picture import Picture, picture
from roomtasks.work.undoing import Undone, undo
from tests.rooms import at, small_room, store_with

SPAWN = at("2027-03-09 19:00")
LINES = [
    LineFacts(name="calvus", adult_cm=5.0, eats="none", looks_like="young lelupi",
              spawns_again_days=30),
    LineFacts(name="young lelupi", eats="none"),
]  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Store:
    sheets = small_room()
    sheets["lines"] = list(LINES)
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank != "B3"]
    return store_with(tmp_path, sheets)


def the_room(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def view(store: Store, when: str) -> BroodsView:
    found = brood_view(store, at(when))
    assert isinstance(found, BroodsView)
    return found


def told(answer: Told | Problem) -> str:
    assert isinstance(answer, Told), answer
    return answer.words


def refused(answer: Told | Problem) -> Problem:
    assert isinstance(answer, Problem), answer
    return answer


def job(store: Store, code: str) -> Any:
    return next(job for job in the_room(store).jobs if job.code == code)


def opened(store: Store) -> None:
    told(brood_acts.spawn(store, SPAWN, "mk", "c1", "B1"))


def counted(store: Store, count: int = 120) -> None:
    opened(store)
    told(brood_acts.stage_seen(store, at("2027-03-12 07:30"), "mk", "c1", "hatch"))
    told(brood_acts.stage_seen(store, at("2027-03-17 07:30"), "mk", "c1", "free-swimming"))
    told(brood_acts.stage_seen(store, at("2027-03-23 09:00"), "mk", "c1", "first-count",
                               count=count))  # fmt: skip


def measured(store: Store) -> None:
    counted(store)
    for day, cm in (("2027-04-08", 1.4), ("2027-04-22", 1.9), ("2027-05-06", 2.5)):
        told(brood_acts.sample(store, at(f"{day} 10:00"), "mk", "c1", [cm - 0.2, cm, cm + 0.3]))


def test_a_spawn_opens_jobs_and_quiet_days(store: Store) -> None:
    said = told(brood_acts.spawn(store, SPAWN, "mk", "c1", "B1"))
    assert "quiet until Fri 19 Mar" in said
    brine = job(store, "c1-brine")
    assert (brine.rule, str(brine.from_time)) == ("once 2027-03-15", "20:00:00")
    assert job(store, "c1-hatch").rule == "once 2027-03-12"
    assert the_room(store).broods[0].parents == "calvus"
    quiet = next(hold for hold in the_room(store).holds if hold.code == "quiet-c1")
    assert (quiet.target, quiet.until) == ("B1", date(2027, 3, 19))
    seen = picture(store, at("2027-03-15 20:05"))
    assert isinstance(seen, Picture)
    assert "c1-brine@B1" in seen.due
    assert seen.due["c1-brine@B1"].on_walk


def test_what_is_seen_moves_the_jobs(store: Store) -> None:
    opened(store)
    told(brood_acts.stage_seen(store, at("2027-03-12 07:30"), "mk", "c1", "hatch"))
    assert not job(store, "c1-hatch").active
    assert job(store, "c1-count").rule == "once 2027-03-23"
    told(brood_acts.stage_seen(store, at("2027-03-16 07:30"), "mk", "c1", "free-swimming"))
    assert job(store, "c1-count").rule == "once 2027-03-22"
    assert job(store, "c1-measure").rule == "once 2027-04-05"
    assert "the small culture only until the jar is ready" in job(store, "c1-feed").needs
    undone = undo(store, at("2027-03-16 07:40"), "mk")
    assert isinstance(undone, Undone)
    assert job(store, "c1-count").rule == "once 2027-03-23"


def test_the_first_count_makes_the_group_of_the_young(store: Store) -> None:
    counted(store)
    young = next(group for group in the_room(store).groups if group.code == "c1")
    assert (young.count, young.origin, young.stage) == (120, "calvus", "fry")
    brood = the_room(store).broods[0]
    assert (brood.counted, brood.group) == (120, "c1")
    assert view(store, "2027-03-24 08:00").origins == {"c1": ("calvus",)}


def test_samples_lead_to_a_day_to_move_and_its_why(store: Store) -> None:
    measured(store)
    found = view(store, "2027-05-06 12:00").broods[0]
    assert found.size_cm == pytest.approx(2.48, abs=0.01)
    part = found.parts[0]
    assert not isinstance(part.move, Problem)
    assert part.move.cause == "next spawn"
    assert {cause.name for cause in part.move.causes} == {"next spawn", "size", "density"}
    assert job(store, "c1-measure").rule == "once 2027-05-20"


def test_what_cannot_be_is_said_and_nothing_changes(store: Store) -> None:
    counted(store)
    now = at("2027-04-08 10:00")
    before = the_room(store)
    cases = [
        (brood_acts.sample(store, now, "mk", "c1", [-1.4]), ""),
        (brood_acts.sample(store, now, "mk", "c1", []), ""),
        (brood_acts.sample(store, now, "mk", "c1", [1.0, 1.2], n=12), ""),
        (brood_acts.sample(store, now, "mk", "c1", [1.4], day=date(2027, 3, 1)), ""),
        (brood_acts.sample(store, now, "mk", "c1", [1.4], day=date(2027, 5, 1)),
         "not-in-the-future"),
        (brood_acts.stage_seen(store, now, "mk", "c1", "hatch", day=date(2027, 3, 8)), ""),
        (brood_acts.stage_seen(store, now, "mk", "c1", "hatch", day=date(2027, 3, 25)), ""),
        (brood_acts.stage_seen(store, now, "mk", "c1", "first-count", count=0), ""),
        (brood_acts.stage_seen(store, now, "mk", "c1", "first-count", count=9), "no-change"),
        (brood_acts.spawn(store, now, "mk", "c1", "B2"), ""),
        (brood_acts.spawn(store, now, "mk", "c2", "ZZ"), ""),
        (brood_acts.spawn(store, now, "mk", "c2", "B3"), ""),
        (brood_acts.part(store, now, "mk", "c1", [(121, "B3")]), "counts-add-up"),
        (brood_acts.part(store, now, "mk", "c1", [(60, "B3"), (61, "B2")]), "counts-add-up"),
        (brood_acts.part(store, now, "mk", "c1", [(0, "B3")]), ""),
        (brood_acts.part(store, now, "mk", "c1", []), ""),
        (brood_acts.close(store, now, "mk", "zz", ""), ""),
    ]  # fmt: skip
    for answer, rule in cases:
        assert refused(answer).rule == rule, answer
    assert the_room(store) == before


def test_a_sample_of_ten_times_the_last_is_asked(store: Store) -> None:
    counted(store)
    told(brood_acts.sample(store, at("2027-04-08 10:00"), "mk", "c1", [1.4]))
    later = at("2027-04-22 10:00")
    assert refused(brood_acts.sample(store, later, "mk", "c1", [19.0])).rule == "ask"
    told(brood_acts.sample(store, later, "mk", "c1", [19.0], anyway=True))


def test_grading_is_one_act_and_is_not_asked_again(store: Store) -> None:
    counted(store)
    told(brood_acts.sample(store, at("2027-04-08 10:00"), "mk", "c1", [1.0, 1.4, 2.1]))
    assert job(store, "c1-grade").active
    said = brood_acts.part(store, at("2027-04-09 10:00"), "mk", "c1", [(30, "B3"), (10, "A3")],
                           graded=True)  # fmt: skip
    assert "graded: 30 to B3, 10 to A3" in told(said)
    assert not job(store, "c1-grade").active
    counts = {g.code: (g.tank, g.count) for g in the_room(store).groups if g.line == "calvus"}
    assert counts["c1"] == ("B1", 80)
    assert {counts["c1.2"], counts["c1.3"]} == {("B3", 30), ("A3", 10)}
    assert isinstance(undo(store, at("2027-04-09 10:05"), "mk"), Undone)
    assert job(store, "c1-grade").active


def test_closed_with_an_account_that_adds_up(store: Store) -> None:
    counted(store)
    now = at("2027-06-20 10:00")
    told(fish.take_out(store, now, "mk", "c1", 70, "sold"))
    told(fish.take_out(store, now, "mk", "c1", 10, "died"))
    told(fish.take_out(store, now, "mk", "c1", 5, "given"))
    told(fish.recount(store, now, "mk", "c1", 32))
    short = refused(brood_acts.close(store, now, "mk", "c1", ""))
    assert short.rule == "counts-add-up"
    assert "3 nothing accounts for" in short.what
    said = told(brood_acts.close(store, now, "mk", "c1", "", write_off=True))
    assert said == "c1 closed: 120 counted = 70 sold + 32 kept + 13 died + 5 given"
    assert not [job for job in the_room(store).jobs if job.code.startswith("c1-") and job.active]
    assert refused(brood_acts.close(store, now, "mk", "c1", "")).rule == "no-change"


def test_a_brood_that_vanished_is_closed_with_a_reason(store: Store) -> None:
    opened(store)
    now = at("2027-03-11 10:00")
    assert refused(brood_acts.close(store, now, "mk", "c1", " ")).rule == "counts-add-up"
    assert "eaten" in told(brood_acts.close(store, now, "mk", "c1", "eaten in the night"))


# --- moves ---------------------------------------------------------------------------


@pytest.fixture
def full(tmp_path: Path) -> Store:
    return full_store(tmp_path)


def full_store(folder: Path) -> Store:
    """B1 to A2 to A3, A3 sold: only these three tanks take them. Worked here, invented room."""
    sheets = small_room()
    fry: dict[str, Any] = {"stage": "young", "since": date(2027, 1, 1)}
    kept = [tank for tank in sheets["tanks"] if tank.code in ("B1", "A2", "A3", "Q1")]
    sheets["tanks"] = [
        replace(tank, measured_litres={"B1": 20.0, "A2": 40.0, "A3": 80.0}.get(tank.code))
        for tank in kept
    ]
    names = {tank.code for tank in kept}
    sheets["valves"] = [row for row in sheets["valves"] if row.tank in names]
    sheets["conditions"] = []
    sheets["jobs"] = [job for job in sheets["jobs"] if not job.code.startswith("squeeze")]
    sheets["between"] = []
    sheets["filters"] = [row for row in sheets["filters"] if row.tank in names]
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank in names]
    lines = ("a", "b", "c")
    sheets["lines"] = [
        LineFacts(name=n, eats="none", looks_like=";".join(x for x in lines if x != n))
        for n in lines
    ]
    sheets["groups"] = [
        *(group for group in sheets["groups"] if group.tank == "Q1"),
        Group(code="small", line="a", tank="B1", count=60, **fry),
        Group(code="half", line="b", tank="A2", count=90, **fry),
        Group(code="large", line="c", tank="A3", count=50, **fry),
    ]
    return store_with(folder, sheets)


MONDAY = at("2027-03-01 09:00")


def chain(store: Store) -> list[Any]:
    return list(the_room(store).planned_moves)


def planned(store: Store) -> str:
    said = told(move_acts.plan_chain(store, MONDAY, "mk", [("small", ("A2",))], ["large"]))
    assert "3 links (no shorter one can be)" in said
    return str(chain(store)[0].chain)


def test_a_three_link_chain_stands_in_the_walk_of_the_change_day(full: Store) -> None:
    code = planned(full)
    ways = [(m.group, m.from_tank, m.to_tank, m.day) for m in chain(full)]
    saturday = date(2027, 3, 6)
    assert ways == [
        ("large", "A3", "", saturday), ("half", "A2", "A3", saturday),
        ("small", "B1", "A2", saturday),
    ]  # fmt: skip
    seen = picture(full, at("2027-03-06 08:00"))
    assert isinstance(seen, Picture)
    assert seen.due[f"{code}-1@A3"].on_walk
    first = refused(move_acts.do_link(full, MONDAY, "mk", code, 2))
    assert first.rule == "chain-order"
    now = at("2027-03-06 10:00")
    told(move_acts.do_link(full, now, "mk", code, 1))
    told(move_acts.do_link(full, now, "mk", code, 2))
    told(move_acts.do_link(full, now, "mk", code, 3))
    where = {g.code: (g.tank, g.count) for g in the_room(full).groups}
    assert where["small"] == ("A2", 60)
    assert where["half"] == ("A3", 90)
    assert where["large"][1] == 0
    assert [m.state for m in chain(full)] == ["done"] * 3
    assert refused(move_acts.do_link(full, now, "mk", code, 3)).rule == "no-change"


def test_a_late_link_moves_all_behind_it_and_a_dropped_chain_rests(full: Store) -> None:
    code = planned(full)
    told(move_acts.do_link(full, at("2027-03-06 10:00"), "mk", code, 1))
    said = told(move_acts.slip(full, at("2027-03-06 11:00"), "mk", code, 2, date(2027, 3, 13)))
    assert "3 on Sat 13 Mar" in said
    assert [str(m.day) for m in chain(full)] == ["2027-03-06", "2027-03-13", "2027-03-13"]
    assert job(full, f"{code}-3").rule == "once 2027-03-13"
    told(move_acts.do_link(full, at("2027-03-16 10:00"), "mk", code, 2))
    assert chain(full)[2].day == date(2027, 3, 16)
    assert "1 of 3" in told(move_acts.drop_chain(full, at("2027-03-16 11:00"), "mk", code))
    assert not job(full, f"{code}-3").active
    early = move_acts.slip(full, at("2027-03-16 11:00"), "mk", code, 3, date(2027, 3, 1))
    refused(early)


def test_a_difference_stays_open_until_it_is_settled(full: Store) -> None:
    code = planned(full)
    now = at("2027-03-06 10:00")
    told(move_acts.do_link(full, now, "mk", code, 1))
    assert refused(move_acts.do_link(full, now, "mk", code, 2, 91)).rule == "counts-add-up"
    assert "open until settled" in told(move_acts.do_link(full, now, "mk", code, 2, 88))
    assert view(full, "2027-03-06 12:00").moves[1].counted_in == 88
    assert refused(move_acts.settle(full, now, "mk", code, 2, 91)).rule == "counts-add-up"
    assert "1 written off" in told(move_acts.settle(full, now, "mk", code, 2, 89))
    assert {g.code: g.count for g in the_room(full).groups}["half"] == 89
    assert refused(move_acts.settle(full, now, "mk", code, 2, 89)).rule == "no-change"


def test_a_chain_that_cannot_be_says_the_least_that_would_do(full: Store) -> None:
    found = refused(move_acts.plan_chain(full, MONDAY, "mk", [("small", ("A2",))]))
    assert found.rule == "no-chain"
    assert "sell or give away the 50 of large in A3" in found.remedy
    assert chain(full) == []
    wrong: list[tuple[Any, dict[str, Any]]] = [
        ([("nobody", ())], {}), ([], {}), ([("small", ("ZZ",))], {}),
        ([("small", ())], {"first": date(2027, 2, 1)}),
        ([("small", ())], {"by": date(2027, 2, 1)}),
    ]  # fmt: skip
    for wants, kind in wrong:
        refused(move_acts.plan_chain(full, MONDAY, "mk", wants, ["large"], **kind))
    planned(full)
    again = move_acts.plan_chain(full, MONDAY, "mk", [("small", ())], ["large"])
    assert refused(again).rule == "in-a-chain"


def test_places_are_judged_with_what_the_store_knows(store: Store) -> None:
    measured(store)
    found = places_of(store, at("2027-05-06 12:00"), "c1")
    assert not isinstance(found, Problem)
    mover, answer = found
    assert mover.leaving_cm == pytest.approx(3.5)
    assert "look-alike" in {p.rule for p in answer.refused["A2"]}
    assert "kept-apart" in {p.rule for p in answer.refused["Q1"]}
    assert "other-class" in {p.rule for p in answer.refused["A5"]}
    assert "A3" in {place.tank for place in (*answer.whole, *answer.partly)}
    assert isinstance(places_of(store, SPAWN, "c1", 500), Problem)
    assert isinstance(places_of(store, SPAWN, "nobody"), Problem)
    assert isinstance(places_of(store, SPAWN, "c1", 5, -1.0), Problem)


def test_a_make_over_puts_its_litres_into_the_demand_and_keeps_its_gates(store: Store) -> None:
    now, saturday = at("2027-03-04 09:00"), date(2027, 3, 6)
    said = told(move_acts.begin_make_over(store, now, "mk", "B3", saturday, "A3"))
    code = said.split("[")[1].rstrip("]")
    room = the_room(store)
    seen = picture(store, now)
    assert isinstance(seen, Picture)
    drawn = draws_on(room, seen.dues, saturday, now, WhatIf())
    assert isinstance(drawn, Drawn)
    litres = {draw.due_id: draw.litres.value for draw in drawn.draws}
    assert litres[f"{code}@B3"] == pytest.approx(0.8 * room.tank_litres("B3"))
    assert refused(move_acts.tick(store, now, "mk", code, 2)).rule == "gate"
    for step in (1, 2, 3, 4, 5, 6):
        last = told(move_acts.tick(store, now, "mk", code, step))
    assert "must not stay so overnight" in last
    assert view(store, "2027-03-07 08:00").make_overs[0].alarms
    assert refused(move_acts.end_make_over(store, now, "mk", code)).rule == "gate"
    for step in range(7, 15):
        told(move_acts.tick(store, now, "mk", code, step))
    assert view(store, "2027-03-07 08:00").make_overs == ()
    assert not job(store, code).active
    refused(move_acts.begin_make_over(store, now, "mk", "ZZ", saturday))


def test_weeks_agree_with_a_count_of_their_own(store: Store) -> None:
    measured(store)
    found = view(store, "2027-05-06 12:00")
    assert len({week.n for week in found.weeks}) == 16
    for week in found.weeks:
        days = [week.first + timedelta(days=n) for n in range(7)]
        counts = [
            sum(w.tanks for w in found.wants if w.kind == week.kind and w.first <= day < w.until)
            for day in days
        ]
        assert week.wanted == max(counts)
    assert any(want.expected and want.pair == "calvus" for want in found.wants)


def test_the_book_of_lines_and_samples_goes_through_the_sheets(store: Store) -> None:
    measured(store)
    rows = read.rows(store, SHEET["samples"])
    assert [row.middle_cm for row in rows] == [1.4, 1.9, 2.5]


def test_a_brood_is_not_closed_before_its_spawn(store: Store) -> None:
    counted(store)
    early = at("2020-01-01 10:00")
    no = refused(brood_acts.close(store, early, "mk", "c1", "lost"))
    assert "before the spawn" in no.what
