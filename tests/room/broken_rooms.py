"""One broken room for every rule between rows, each whole but for one thing."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from roomtasks.room.job import Between, CounterReading, Hold, Job
from roomtasks.room.journal import Act, Change, Event, Mark, Reading
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.setup import Away, Setup
from roomtasks.room.stock import Condition, Group, Stay, Stocked
from roomtasks.room.system import PumpTurn, System, ValveTurn
from roomtasks.room.tank import Filter
from tests.rooms import Sheets, at, small_room

NOON = datetime(2027, 3, 2, 12, 0, tzinfo=UTC)
DAY = date(2027, 3, 2)


def with_row(sheet: str, value: Any) -> Sheets:
    """The small room with one row more."""
    room = small_room()
    return {**room, sheet: [*room.get(sheet, []), value]}


def with_change(sheet: str, code: str, **facts: Any) -> Sheets:
    """The small room with one row of a sheet changed."""
    room = small_room()
    key = "name" if sheet == "setup" else "code"
    assert any(getattr(row, key) == code for row in room[sheet])
    rows = [replace(row, **facts) if getattr(row, key) == code else row for row in room[sheet]]
    return {**room, sheet: rows}


def job(**facts: Any) -> Job:
    """A job that is right but for these facts."""
    whole = {"code": "extra", "name": "Extra", "kind": "wipe", "where": "room",
             "rule": "every 14 days"}  # fmt: skip
    return Job(**{**whole, **facts})


def mark(**facts: Any) -> Mark:
    """A mark that is right but for these facts."""
    whole: dict[str, Any] = {"id": 1, "job": "look", "target": "B1", "slot": DAY,
                             "outcome": "done", "day": DAY, "at": NOON}  # fmt: skip
    return Mark(**{**whole, **facts})


def act(number: int, undoes: int | None = None) -> Act:
    return Act(id=number, at=NOON, day=DAY, verb="done", words="something", undoes=undoes)


def change(**facts: Any) -> Change:
    whole: dict[str, Any] = {"act": 1, "n": 0, "sheet": "racks", "key": '["A"]',
                             "after": '{"code":"A","name":"","path":1}'}  # fmt: skip
    return Change(**{**whole, **facts})


def journal(*rows: Change, acts: tuple[Act, ...] = ()) -> Sheets:
    """The small room with changes, and act 1 unless others are given."""
    return {**small_room(), "acts": list(acts or (act(1),)), "changes": list(rows)}


BROKEN: dict[str, tuple[Callable[[], Mapping[str, list[Any]]], str, str, str]] = {
    "no setup": (lambda: {**small_room(), "setup": []}, "setup", "", "no setup"),
    "two setups": (
        lambda: with_row("setup", Setup(name="Other", zone="UTC")), "setup", "name", "two setups"),
    "unknown zone": (
        lambda: with_change("setup", "Small room", zone="Europe/Dubln"), "setup", "zone", "Dubln"),
    "blanks round the zone": (
        lambda: with_change("setup", "Small room", zone=" UTC"), "setup", "zone", "blanks"),
    "a demo's now that is a day only": (
        lambda: with_change("setup", "Small room", demo_opens_at="2027-03-01"),
        "setup", "demo_opens_at", "2027-03-01"),
    "rack twice": (lambda: with_row("racks", Rack(code="A", path=9)), "racks", "code", "second"),
    "shelf twice": (
        lambda: with_row("shelves", Shelf(rack="A", shelf=1, places=2)),
        "shelves", "shelf", "second"),
    "system with a tank's code": (
        lambda: with_row("systems", System(code="B2", sump_litres=1.0)), "tanks", "code", "B2"),
    "rack called room": (
        lambda: with_row("racks", Rack(code="room", path=9)), "racks", "code", "room"),
    "shelf of no rack": (
        lambda: with_row("shelves", Shelf(rack="Z", shelf=1, places=2)),
        "shelves", "rack", "no rack “Z”"),
    "tank in no rack": (
        lambda: with_change("tanks", "B1", rack="BB"), "tanks", "rack", "no rack “BB”"),
    "tank on no shelf": (
        lambda: with_change("tanks", "B1", shelf=7), "tanks", "shelf", "no shelf 7"),
    "tank beyond the places": (
        lambda: with_change("tanks", "B1", place=4), "tanks", "place", "beyond the 3 places"),
    "two tanks in one place": (
        lambda: with_change("tanks", "B2", place=1), "tanks", "place", "stands in the place of B1"),
    "water above the glass": (
        lambda: with_change("tanks", "B1", water_cm=41.0), "tanks", "water_cm", "above the glass"),
    "no water left": (
        lambda: with_change("tanks", "B1", gear_litres=200.0), "tanks", "gear_litres", "gear take"),
    "rock and no water left": (
        lambda: with_change("tanks", "B1", rock_kg=900.0), "tanks", "rock_kg", "sand, rock"),
    "more measured than the glass holds": (
        lambda: with_change("tanks", "B1", measured_litres=97.0),
        "tanks", "measured_litres", "more than the glass holds (96 L)"),
    "filter in no tank": (
        lambda: with_row("filters", Filter(code="B9-1", tank="B9")),
        "filters", "tank", "no tank “B9”"),
    "valve of no tank": (
        lambda: with_row("valves", ValveTurn(tank="A9", at=NOON, system="S", state="open")),
        "valves", "tank", "no tank “A9”"),
    "valve on no system": (
        lambda: with_row("valves", ValveTurn(tank="A1", at=NOON, system="T", state="open")),
        "valves", "system", "no system “T”"),
    "two turns of one valve in one instant": (
        lambda: with_row("valves", ValveTurn(
            tank="A1", at=at("2026-09-01 10:00").astimezone(UTC), system="S", state="shut")),
        "valves", "at", "second time"),
    "pump of no system": (
        lambda: with_row("pumps", PumpTurn(system="T", at=NOON, state="off")),
        "pumps", "system", "no system “T”"),
    "two turns of one pump in one instant": (
        lambda: with_row("pumps", PumpTurn(system="S", at=at("2026-09-01 10:00"), state="off")),
        "pumps", "at", "second time"),
    "dead volume and keep-back above full": (
        lambda: with_change("reservoirs", "R1", keep_back_litres=980.0),
        "reservoirs", "keep_back_litres", "1010 L"),
    "holds more than full": (
        lambda: with_change("reservoirs", "R1", holds_litres=1001.0),
        "reservoirs", "holds_litres", "1001 L"),
    "more males and females than fish": (
        lambda: with_change("groups", "calvus", males=4, females=3), "groups", "count", "4 males"),
    "group in no tank": (
        lambda: with_row("groups", Group(code="x", line="x", tank="Z9", count=1, since=DAY)),
        "groups", "tank", "no tank “Z9”"),
    "stay that ended before it began": (
        lambda: with_change("stays", "stay-1", ended=date(2027, 2, 19)), "stays", "ended",
        "before it began"),
    "stay in no tank": (
        lambda: with_row("stays", Stay(code="s", tank="Q9", since=DAY)), "stays", "tank", "“Q9”"),
    "class of no tank": (
        lambda: with_row("conditions", Condition(tank="Q9", since=DAY, state="sick")),
        "conditions", "tank", "“Q9”"),
    "fish since, in no tank": (
        lambda: with_row("stocked", Stocked(tank="Q9", since=DAY, state="fish")),
        "stocked", "tank", "“Q9”"),
    "job without a rule": (lambda: with_row("jobs", job(rule="")), "jobs", "rule", "no rule"),
    "rule that is none": (
        lambda: with_row("jobs", job(rule="now and then")), "jobs", "rule", "now and then"),
    "recurrence rule with a bad part": (
        lambda: with_row("jobs", job(rule="calendar FREQ=WEEKLY;BYDAY=XX")), "jobs", "rule", "XX"),
    "recurrence rule that never falls": (
        lambda: with_row("jobs", job(rule="calendar FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")),
        "jobs", "rule", "never falls"),
    "recurrence rule of hours": (
        lambda: with_row("jobs", job(rule="calendar FREQ=HOURLY")), "jobs", "rule", "HOURLY"),
    "once, on a day that does not exist": (
        lambda: with_row("jobs", job(rule="once 2027-02-30")), "jobs", "rule", "does not exist"),
    "once, out of reach": (
        lambda: with_row("jobs", job(rule="once 0001-01-01")), "jobs", "rule", "out of reach"),
    "event with a name none can have": (
        lambda: with_row("jobs", job(rule="event eggs! +3")), "jobs", "rule", "eggs!"),
    "counter with a name none can have": (
        lambda: with_row("jobs", job(rule="counter höhe 40")), "jobs", "rule", "höhe"),
    "follows no job": (
        lambda: with_row("jobs", job(rule="follows refil")), "jobs", "rule", "no job “refil”"),
    "follows itself": (
        lambda: with_row("jobs", job(rule="follows extra")), "jobs", "rule",
        "extra waits for extra"),
    "window that is none": (
        lambda: with_row("jobs", job(window="soon")), "jobs", "window", "soon"),
    "window that reaches the next slot": (
        lambda: with_row("jobs", job(window="-7/+7")), "jobs", "window", "reach the next slot"),
    "place that is none": (
        lambda: with_row("jobs", job(where="the floor")), "jobs", "where", "names no place"),
    "place with an unknown tank": (
        lambda: with_row("jobs", job(where="tank B1 B7")), "jobs", "where", "no tank “B7”"),
    "place with an unknown rack": (
        lambda: with_row("jobs", job(where="filters in rack C")), "jobs", "where", "no rack “C”"),
    "place with an unknown system": (
        lambda: with_row("jobs", job(where="tanks cut off from T")), "jobs", "where", "system “T”"),
    "filters on an unknown tank": (
        lambda: with_row("jobs", job(where="filters on tank B7")), "jobs", "where", "tank “B7”"),
    "place that names a tank twice": (
        lambda: with_row("jobs", job(where="tank B1 B1")), "jobs", "where", "twice"),
    "effect that is none": (
        lambda: with_row("jobs", job(effects="pump maybe")), "jobs", "effects", "pump maybe"),
    "unknown reservoir": (
        lambda: with_row("jobs", job(reservoir="R3")), "jobs", "reservoir", "no reservoir “R3”"),
    "pair with a party that is none": (
        lambda: with_row("between", Between(code="p", first="dose", relation="apart",
                                            second="kind filter")), "between", "first", "dose"),
    "pair with an unknown kind": (
        lambda: with_row("between", Between(code="p", first="kind sweep", relation="apart",
                                            second="kind filter")), "between", "first", "sweep"),
    "pair with an unknown job": (
        lambda: with_row("between", Between(code="p", first="kind filter", relation="before",
                                            second="job sweep")), "between", "second", "sweep"),
    "pair with an event second": (
        lambda: with_row("between", Between(code="p", first="kind filter", relation="apart",
                                            second="event dose")), "between", "second", "dose"),
    "event that should go first on the same visit": (
        lambda: with_row("between", Between(code="p", first="event dose", relation="together",
                                            second="kind filter")), "between", "first", "together"),
    "a kind after itself": (
        lambda: with_row("between", Between(code="p", first="kind filter", relation="before",
                                            second="kind filter")),
        "between", "relation", "squeeze-1 waits for squeeze-1"),
    "hold at no place": (
        lambda: with_row("holds", Hold(code="h", target="Z1", kinds="all", reason="x", since=DAY)),
        "holds", "target", "“Z1”"),
    "hold that ends before it begins": (
        lambda: with_row("holds", Hold(code="h", target="B1", kinds="all", reason="x", since=DAY,
                                       until=date(2027, 3, 1))),
        "holds", "until", "before it begins"),
    "hold on no kind": (
        lambda: with_row("holds", Hold(code="h", target="B1", kinds="filter,vac", reason="x",
                                       since=DAY)), "holds", "kinds", "filter,vac"),
    "hold on an unknown job": (
        lambda: with_row("holds", Hold(code="h", target="room", kinds="job sweep", reason="x",
                                       since=DAY)), "holds", "kinds", "sweep"),
    "counter that goes down": (
        lambda: with_row("counters", CounterReading(counter="carbon", day=DAY, value=2400.0)),
        "counters", "value", "goes down"),
    "away backwards": (
        lambda: with_row("away", Away(first=date(2027, 5, 2), last=date(2027, 5, 1))),
        "away", "last", "before the first"),
    "away twice at once": (
        lambda: with_row("away", Away(first=date(2027, 8, 15), last=date(2027, 8, 20))),
        "away", "first", "inside the days away"),
    "unknown stand-in": (
        lambda: with_row("away", Away(first=DAY, last=DAY, stand_in="pat")),
        "away", "stand_in", "“pat”"),
    "mark of no job": (
        lambda: with_row("marks", mark(job="sweep")), "marks", "job", "no job “sweep”"),
    "mark at no place": (
        lambda: with_row("marks", mark(target="Z1")), "marks", "target", "“Z1”"),
    "partly, not how much": (
        lambda: with_row("marks", mark(outcome="partly")), "marks", "fraction", "how much"),
    "put off, not to when": (
        lambda: with_row("marks", mark(outcome="put-off")), "marks", "until", "which day"),
    "left out, not why": (
        lambda: with_row("marks", mark(outcome="left-out", reason=" ")), "marks", "reason", "why"),
    "blocked, not why": (
        lambda: with_row("marks", mark(outcome="blocked")), "marks", "reason", "why"),
    "mark twice": (
        lambda: {**small_room(), "marks": [mark(), mark()]}, "marks", "id", "second time"),
    "mark of no act": (
        lambda: {**small_room(), "acts": [act(1)], "marks": [mark(act=2)]},
        "marks", "act", "no act 2"),
    "event of no act": (
        lambda: {**small_room(), "acts": [act(1)], "events": [
            Event(id=1, act=2, event="spawn", target="B1", day=DAY)]}, "events", "act", "no act 2"),
    "reading of no act": (
        lambda: {**small_room(), "acts": [act(1)], "readings": [
            Reading(id=1, act=2, target="B1", what="ph", value=7.0, day=DAY, at=NOON)]},
        "readings", "act", "no act 2"),
    "event at no place": (
        lambda: with_row("events", Event(id=9, event="spawn", target="Z1", day=DAY)),
        "events", "target", "“Z1”"),
    "reading at no place": (
        lambda: with_row("readings", Reading(id=9, target="Z1", what="ph", value=7.0, day=DAY,
                                             at=NOON)), "readings", "target", "“Z1”"),
    "undoes an unknown act": (
        lambda: journal(acts=(act(2), act(3, 1))), "acts", "undoes", "not in the journal"),
    "undoes a later act": (
        lambda: journal(acts=(act(1, 2), act(2))), "acts", "undoes", "not before it"),
    "undoes itself": (lambda: journal(acts=(act(1, 1),)), "acts", "undoes", "not before it"),
    "undone twice": (
        lambda: journal(acts=(act(1), act(2, 1), act(3, 1))), "acts", "undoes", "already"),
    "change of no act": (lambda: journal(change(act=2)), "changes", "act", "no act 2"),
    "change of no sheet": (
        lambda: journal(change(sheet="fishes")), "changes", "sheet", "no sheet “fishes”"),
    "change with a key that is no JSON": (
        lambda: journal(change(key="A")), "changes", "key", "no JSON list"),
    "change with a nested key": (
        lambda: journal(change(key='[["A"]]')), "changes", "key", "no JSON list"),
    "change with half a key": (
        lambda: journal(change(sheet="shelves", after="", before="")), "changes", "key", "1 parts"),
    "change with a row that is no JSON": (
        lambda: journal(change(before="{")), "changes", "before", "no JSON of one row"),
    "change with a row of another sheet": (
        lambda: journal(change(after='{"code":"A","path":1,"role":"spare"}')),
        "changes", "after", "role"),
    "change with a column missing": (
        lambda: journal(change(after='{"code":"A","name":""}')), "changes", "after", "path"),
    "change with a number as text": (
        lambda: journal(change(after='{"code":"A","name":"","path":"1"}')),
        "changes", "after", "path"),
    "change with an endless number": (
        lambda: journal(change(sheet="systems", key='["S"]', after=(
            '{"code":"S","name":"","sump_litres":1e999,"pipes_litres":0.0,'
            '"sump_known":"assumed","note":""}'))), "changes", "after", "sump_litres"),
    "change with blank where none may be": (
        lambda: journal(change(after='{"code":null,"name":"","path":1}')),
        "changes", "after", "code"),
    "change with a day that does not exist": (
        lambda: journal(change(sheet="stocked", key='["B1","2027-02-30"]', after=(
            '{"tank":"B1","since":"2027-02-30","state":"fish"}'))), "changes", "after", "since"),
    "change of nothing": (
        lambda: journal(change(after="")), "changes", "after", "neither what was"),
}  # fmt: skip
