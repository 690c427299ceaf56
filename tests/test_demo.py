"""The demo room: it reads without a fault, holds one of everything, and can be made again."""

import json
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from docs.demo_parts.days import in_folder
from docs.make_demo import DEMO, differing
from roomtasks.files import Folder, read_folder
from roomtasks.room.brood_growth import Growth, SizeDay, growth_of, size_day
from roomtasks.room.fit import fit
from roomtasks.room.health import Health
from roomtasks.room.job import RELATIONS
from roomtasks.room.occurrence import State
from roomtasks.room.problem import Problem
from roomtasks.room.rack import REACHES
from roomtasks.room.rebase import Keeps
from roomtasks.room.room import SHEET
from roomtasks.room.slots import trigger_of
from roomtasks.room.stay_facts import LOOKS
from roomtasks.room.tank import litres_of
from roomtasks.room.trigger import (
    STATES,
    AfterEvent,
    Calendar,
    Every,
    Follows,
    Once,
    OnState,
)  # fmt: skip
from roomtasks.room.trigger import Counter as CounterRule
from roomtasks.store.base import Store
from roomtasks.store.write import replace_all
from roomtasks.work.picture import Picture, picture

PREFIX_DAYS = 10
Sheets = dict[str, list[Any]]


@pytest.fixture(scope="module")
def sheets() -> Sheets:
    read = read_folder(DEMO)
    assert isinstance(read, Folder), read[:5]
    return read.sheets


@pytest.fixture(scope="module")
def morning(sheets: Sheets, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Picture]:
    setup = sheets["setup"][0]
    opens = datetime.fromisoformat(setup.demo_opens_at).replace(tzinfo=ZoneInfo(setup.zone))
    with Store.create(tmp_path_factory.mktemp("demo") / "demo.sqlite") as store:
        replace_all(store, sheets)
        found = picture(store, opens)
        assert not isinstance(found, Problem)
        yield found


def test_the_room_is_of_its_own_sort(sheets: Sheets) -> None:
    setup = sheets["setup"][0]
    assert setup.zone == "Europe/Lisbon"
    assert setup.change_day == "sunday"
    assert len(sheets["racks"]) >= 3
    assert len(sheets["tanks"]) >= 26
    assert {shelf.reach for shelf in sheets["shelves"]} == set(REACHES)
    assert len(sheets["reservoirs"]) == 2
    assert {person.part for person in sheets["people"]} == {"keeper", "stand-in"}
    litres = [litres_of(tank) for tank in sheets["tanks"]]
    known = Counter(found.known for found in litres if not isinstance(found, Problem))
    assert min(known["measured"], known["computed"]) >= 5
    assert sum(bool(tank.note) for tank in sheets["tanks"]) >= 5
    assert (DEMO / "README.txt").read_text("utf-8").count("invented") >= 1


def test_tanks_share_water_stand_alone_or_can_be_cut_off(morning: Picture) -> None:
    room, now = morning.room, morning.now
    system = room.systems[0].code
    joined = room.valve.members(system, now) | room.valve.cut_off(system, now)
    assert len(joined) == 14
    assert {room.tank[code].role for code in joined} == {"breeding", "grow-out", "isolation"}
    sponges = Counter(item.tank for item in room.filters if item.tank not in joined)
    assert sum(count == 2 for count in sponges.values()) >= 5
    apart = [tank.code for tank in room.tanks if tank.role == "isolation"]
    assert len(apart) == 2
    assert all(len(room.valve.turns[code]) >= 3 for code in apart)
    assert sorted(room.valve.cut_off(system, now)) == ["T22"]


def test_the_fish_are_many_and_some_stand_in_quarantine(morning: Picture) -> None:
    room, today = morning.room, morning.today
    living = [group for group in room.groups if group.count]
    assert len({group.line for group in living}) >= 12
    running = {
        tank.code: (today - stay.since).days
        for tank in room.tanks
        if (stay := room.stay_in(tank.code, today)) is not None
    }
    assert running == {"P11": 12, "P12": 36}
    assert {group.stage for group in living} == {"fry", "young", "adult"}
    assert any(stay.ended for stay in room.stays)


def test_broods_stand_at_every_stage(sheets: Sheets, morning: Picture) -> None:
    room, today = morning.room, morning.today
    still_open = [brood for brood in room.broods if brood.closed is None]
    samples = Counter(sample.brood for sample in room.samples)
    assert len(still_open) >= 5
    assert all(brood.parents for brood in room.broods)
    assert any(brood.counted is None for brood in still_open)
    assert sum(samples[brood.code] >= 3 for brood in still_open) >= 3
    assert any(sighting.stage == "graded" for sighting in room.sightings)
    lines = {line.name: line for line in room.lines}
    assert {group.line for group in room.groups if group.count} <= set(lines)
    nearly = []
    for brood in still_open:
        growth = growth_of(brood, lines[brood.line], room.samples)
        if isinstance(growth, Growth):
            sale = size_day(growth, lines[brood.line].sale_cm, today)
            assert isinstance(sale, SizeDay)
            nearly.append((sale.day - today).days)
    assert len(nearly) >= 3
    assert 0 < min(nearly) <= 14 < max(nearly)
    done = [brood for brood in room.broods if brood.closed is not None]
    assert all(
        brood.counted
        == (brood.sold or 0) + (brood.kept or 0) + (brood.died or 0) + (brood.given or 0)
        for brood in done
    )
    states = Counter(move.state for move in room.planned_moves)
    assert states["done"] >= 1
    assert states["planned"] >= 2
    (over,) = room.rededications
    assert 0 < sum(gate.rededication == over.code for gate in room.gates) < 14


def test_lots_are_looked_at_and_a_course_is_running(morning: Picture, sheets: Sheets) -> None:
    room, today = morning.room, morning.today
    looks = {event.event for event in room.events if event.target in ("P11", "P12")}
    assert {"arrival", "looked", "sign", "not-seen", "died"} <= looks
    (run,) = [run for run in room.runs if run.state == "running"]
    assert room.health_of(run.tank, today) is Health.SICK
    given = [e.day for e in room.events_at[run.tank] if e.event == "dose"]
    assert [(day - run.since).days for day in given] == [0, 2, 4]
    looked = {
        mark.day
        for mark in sheets["marks"]
        if mark.outcome == "done"
        and (mark.job, mark.target) in {("look-q", "P11"), ("evening", "room")}
    } | {event.day for event in room.events_at["P11"] if event.event in LOOKS}
    since = next(s.since for s in room.stays if s.tank == "P11" and not s.ended)
    days = {since + timedelta(days=n) for n in range(1, (today - since).days)}
    assert len(days - looked) == 1
    assert room.contacts


def test_the_weeks_have_a_pin_messages_and_a_trouble_that_is_over(morning: Picture) -> None:
    room, today = morning.room, morning.today
    assert [pin.day > today for pin in room.pins] == [True]
    assert len(room.messages) >= 2
    (trouble,) = room.troubles
    assert trouble.ended is not None
    assert (today - room.day_at(trouble.ended)).days > 14
    assert all(due.blocked is None or due.blocked.rule != "trouble" for due in morning.dues)


def test_the_jobs_use_every_form_of_rule(sheets: Sheets) -> None:
    jobs = sheets["jobs"]
    assert len(jobs) >= 40
    rules = [trigger_of(job) for job in jobs]
    forms = {type(rule) for rule in rules}
    assert forms == {Every, Calendar, Once, AfterEvent, OnState, CounterRule, Follows}
    keeps = {rule.keeps for rule in rules if isinstance(rule, Every)}
    assert keeps == {Keeps.FLOATING, Keeps.SLOT, Keeps.MONTH}
    calendar = " ".join(rule.rule for rule in rules if isinstance(rule, Calendar))
    assert all(part in calendar for part in ("BYDAY=WE", "BYDAY=1SA", "INTERVAL=2;BYDAY=SU"))
    offsets = [day for rule in rules if isinstance(rule, AfterEvent) for day in rule.offsets]
    assert min(offsets) < 0 < max(offsets)
    states = {rule.state for rule in rules if isinstance(rule, OnState)}
    assert states == set(STATES) - {"valve-open"}
    assert any(isinstance(rule, Follows) and rule.minutes == 15 for rule in rules)


def test_the_jobs_use_every_column(sheets: Sheets) -> None:
    for name in ("window", "starts", "from_time", "setup_minutes", "fraction", "litres",
                 "reservoir", "effects", "needs", "stand_in"):  # fmt: skip
        assert sum(bool(getattr(job, name)) for job in sheets["jobs"]) >= 2, name
    assert {pair.relation for pair in sheets["between"]} == set(RELATIONS)
    assert {hold.cause for hold in sheets["holds"]} >= {"medicine", "spawning", "keeper"}
    assert len({row.counter for row in sheets["counters"]}) >= 2
    read = Counter(row.what for row in sheets["readings"])
    assert all(read[what] >= 10 for what in ("temperature", "nitrate", "ph", "sump-level"))


def test_somebody_will_be_away(sheets: Sheets, morning: Picture) -> None:
    assert any(row.first > morning.today for row in sheets["away"])
    for row in sheets["away"]:
        if row.last < morning.today:
            days = {row.first + timedelta(days=n) for n in range((row.last - row.first).days + 1)}
            assert {mark.who for mark in sheets["marks"] if mark.day in days} == {"Davi"}


def test_the_walk_is_alive_when_the_demo_opens(morning: Picture) -> None:
    assert morning.today.weekday() == morning.room.setup.change_weekday
    stops = morning.walk.stops
    assert 25 <= len(stops) <= 40
    assert 2 <= sum(stop.due.state is State.LATE for stop in stops) <= 3
    held = [due for due in morning.dues if due.state is State.HELD]
    assert 3 <= len(held) <= 7
    assert len({due.blocked.reason for due in held if due.blocked}) == len(held)
    assert any(stop.due.owed_fraction for stop in stops)
    assert any(due.put_off_to and due.put_off_to > morning.today for due in morning.dues)
    assert {stop.due.health for stop in stops if stop.due.tank} == set(Health)
    assert len(morning.marks) == 3


def test_a_look_after_the_pump_opens_later_in_the_morning(morning: Picture) -> None:
    room, now = morning.room, morning.now
    look = morning.due["pump-look@LOOP"]
    assert look.later_today is not None
    assert now < look.later_today <= now + timedelta(minutes=15)
    turn = room.pump_state("LOOP", now)
    assert turn is not None
    assert turn.state == "running"
    assert any(not room.heads_in(tank.code) for tank in room.tanks)


def test_minutes_and_water_are_both_short(morning: Picture) -> None:
    room, there_are = morning.room, morning.walk.minutes_there_are
    assert there_are < morning.walk.minutes < 1.5 * there_are
    fitted = fit(room, morning.walk, there_are)
    assert fitted.left
    assert fitted.over_minutes == 0
    for reservoir in room.reservoirs:
        assert 0.2 < reservoir.holds_litres / reservoir.full_litres < 0.95
    drawn = [
        stop.due.litres or 0.0 for stop in morning.walk.stops if stop.due.job.reservoir == "V1"
    ]
    assert sum(drawn) > room.reservoir["V1"].usable_litres


def test_the_journal_has_a_day_for_every_day(sheets: Sheets, morning: Picture) -> None:
    acts = sheets["acts"]
    assert [act.id for act in acts] == list(range(1, len(acts) + 1))
    assert all(one.at <= other.at for one, other in pairwise(acts))
    days = Counter(act.day for act in acts)
    assert len(days) == 120
    assert max(days) == morning.today
    assert min(count for day, count in days.items() if day < morning.today) >= 10
    outcomes = Counter(mark.outcome for mark in sheets["marks"])
    assert set(outcomes) == {"done", "partly", "put-off", "left-out", "blocked"}
    assert sum(act.undoes is not None for act in acts) >= 5
    timed = sum(mark.minutes is not None for mark in sheets["marks"])
    assert 0.05 < timed / len(sheets["marks"]) < 0.5
    assert {"sold", "died", "moved", "spawn", "hands-clean"} <= {
        event.event for event in sheets["events"]
    }


def test_every_row_is_what_its_changes_left(sheets: Sheets) -> None:
    """Each change begins where the one before it ended, and the last is the row of today."""
    by_row: dict[tuple[str, str], list[Any]] = defaultdict(list)
    for change in sheets["changes"]:
        by_row[change.sheet, change.key].append(change)
    assert len(by_row) > 3000
    for (name, key), changes in by_row.items():
        for one, other in pairwise(changes):
            assert one.after == other.before
        sheet = SHEET[name]
        rows = [row for row in sheets[name] if _key(name, row) == key] if len(changes) > 1 else None
        if rows is not None:
            last = changes[-1].after
            assert [sheet.plain(row) for row in rows] == ([json.loads(last)] if last else [])


def _key(name: str, row: Any) -> str:
    plain = SHEET[name].plain(row)
    return json.dumps([plain[part] for part in SHEET[name].key], separators=(",", ":"))


def test_the_days_can_be_worked_again(sheets: Sheets, tmp_path: Path) -> None:
    """The first days, simulated anew, are the journal's first days to the last character.

    Where a rule of the room was changed on purpose, docs/make_demo.py makes the room anew.
    """
    again = in_folder(tmp_path, PREFIX_DAYS)
    count = len(again["acts"])
    assert count > 150
    assert again["acts"] == sheets["acts"][:count]
    assert again["changes"] == [row for row in sheets["changes"] if row.act <= count]
    began = min(act.day for act in sheets["acts"])
    assert max(act.day for act in again["acts"]) == began + timedelta(days=PREFIX_DAYS - 1)
    last = date.max if count == len(sheets["acts"]) else sheets["acts"][count].day
    assert last == began + timedelta(days=PREFIX_DAYS)


def test_a_changed_folder_is_told_from_the_made_one(tmp_path: Path) -> None:
    made, kept = tmp_path / "made", tmp_path / "kept"
    for folder in (made, kept):
        folder.mkdir()
        (folder / "tanks.csv").write_text("code\nW11\n")
        (folder / "jobs.csv").write_text("code\nlook\n")
    (kept / "README.txt").write_text("words")
    assert differing(made, kept) == []
    (kept / "jobs.csv").write_text("code\nfeed\n")
    (kept / "holds.csv").write_text("code\n")
    assert differing(made, kept) == ["holds.csv", "jobs.csv"]


def test_the_folder_is_small() -> None:
    size = sum(path.stat().st_size for path in DEMO.iterdir())
    assert size < 3_000_000
