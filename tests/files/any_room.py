"""Rooms of every sort for property tests: any values the columns allow, hostile text first.

A room made here keeps the rules between rows, so that it can be read back.
"""

import json
from datetime import date, datetime, time, timedelta, timezone
from typing import Any

from hypothesis import strategies as st

from roomtasks.room.column import Column, Sheet
from roomtasks.room.kind import KINDS
from roomtasks.room.room import SHEET, SHEETS

Sheets = dict[str, list[Any]]

HOSTILE = (
    "[red]late[/]", "[@click=app.quit]go[/]", "=cmd()", "'=cmd()", "+1", "-2/+3", "@sum", "＝1",
    "'", "''", "'tis", "' x", "'' =", " both ends ", "ends\n", "\tx", "\r", "a\nb", "a\r\nb",
    "a\rb", '"', '""', 'say "no"', ",", ";", "a;=cmd()", "\x1b[31mred", "\x1b]0;title\x07",
    "abc\u202efed", "\u200frtl", "\ufeff", "\ufeffx", "\u2028", "\x85", "\x1f", "   ", "\u3000",
    "😀", "👩\u200d🔬", "e\u0301", "x" * 10_000, "😀" * 5_000, "\\", "\\n", "#", "=\x0b", "null",
)  # fmt: skip
RULES = (
    "every 14 days", "every 3 months keeps-month", "calendar FREQ=WEEKLY;BYDAY=MO",
    "once 2027-03-01", "event spawn +3 -2", "state restocked +0..+6 after 7 days",
    "counter pump-hours 4000.5", "every 1 days",
)  # fmt: skip

signs = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")
texts = st.sampled_from(HOSTILE) | st.text(signs, max_size=30)
words = texts.filter(str.strip)
code_texts = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,31}", fullmatch=True).filter(
    lambda code: code != "room"
)
days = st.dates(date(1900, 1, 1), date(2999, 12, 31))


@st.composite
def instants(draw: st.DrawFn) -> datetime:
    """Whole seconds, with any offset a place on earth has, or none stranger than seconds."""
    local = draw(st.datetimes(datetime(1901, 1, 1), datetime(2998, 12, 31)))
    offset = draw(st.integers(-12 * 60, 14 * 60).map(lambda n: timedelta(minutes=n)))
    return local.replace(microsecond=0, tzinfo=timezone(offset))


def value_for(spec: Column, default: Any) -> st.SearchStrategy[Any]:
    """Any value this column allows, its default among them."""
    made = _any_of(spec)
    return made | st.just(default) if spec.optional else made


def _any_of(spec: Column) -> st.SearchStrategy[Any]:
    low = spec.low if spec.low is not None else -1e9
    high = spec.high if spec.high is not None else 1e9
    match spec.kind:
        case "text":
            return texts if spec.optional else words
        case "code":
            return code_texts
        case "word":
            return st.sampled_from(spec.words)
        case "int":
            return st.integers(int(low), int(high))
        case "number":
            return st.floats(low, high)
        case "day":
            return days
        case "instant":
            return instants()
        case "time":
            return st.times().map(lambda found: time(found.hour, found.minute))
        case "yesno":
            return st.booleans()


@st.composite
def rows(draw: st.DrawFn, sheet: Sheet[Any], fixed: dict[str, Any]) -> Any:
    """One value of a sheet with these facts, any others."""
    facts = {
        name: fixed[name] if name in fixed else draw(value_for(spec, sheet.defaults[name]))
        for name, spec in sheet.columns.items()
    }
    return sheet.cls(**facts)


@st.composite
def any_room(draw: st.DrawFn) -> Sheets:
    """A room that keeps every rule between rows."""
    room: Sheets = {sheet.name: [] for sheet in SHEETS}

    def add(name: str, /, **fixed: Any) -> None:
        room[name].append(draw(rows(SHEET[name], fixed)))

    def some(names: list[str], most: int = 3) -> list[str]:
        return draw(st.lists(st.sampled_from(names), max_size=most, unique=True)) if names else []

    zone = draw(st.sampled_from(["UTC", "Europe/Dublin", "Pacific/Apia", "Asia/Kathmandu"]))
    add(
        "setup",
        zone=zone,
        demo_opens_at=draw(st.sampled_from(["", "2027-05-15T07:10"])),
        rounds=draw(st.sampled_from(["07:30 20:00", "06:00"])),
    )
    codes = draw(st.lists(code_texts, min_size=13, max_size=13, unique_by=str.casefold))
    racks, systems, vessels = codes[:2], codes[2:4], codes[4:5]
    tanks, filters = codes[5:9], codes[9:12]
    _stand(add, racks, tanks, filters)
    recipes = _water(draw, add, codes[12])
    for system in systems:
        add(
            "systems",
            code=system,
            sump_running_cm=20.5,
            sump_height_cm=None,
            recipe=draw(st.sampled_from(recipes)),
        )
        add("pumps", system=system)
    for vessel in vessels:
        add(
            "reservoirs",
            code=vessel,
            full_litres=500.0,
            dead_litres=40.25,
            keep_back_litres=draw(st.floats(0, 400)),
            holds_litres=draw(st.floats(0, 500)),
            recipes=" ".join(recipes),
        )
    _kept_in_water(draw, add, tanks, vessels)
    _fish(draw, add, some(tanks), systems)
    _broods(draw, add, tanks)
    _work(draw, add, codes)
    _past(add, some(codes), [job.code for job in room["jobs"]], draw)
    return room


def _stand(add: Any, racks: list[str], tanks: list[str], filters: list[str]) -> None:
    for rack in racks:
        add("racks", code=rack)
        add("shelves", rack=rack, shelf=1, places=len(tanks))
    for place, tank in enumerate(tanks, start=1):
        add(
            "tanks",
            code=tank,
            recipe="",
            rack=racks[place % 2],
            shelf=1,
            place=place,
            length_cm=60.5,
            width_cm=30.25,
            height_cm=40.0,
            water_cm=35.1 + place / 7,
            sand_cm=0.1,
            rock_kg=1 / 3,
            gear_litres=0.0,
            measured_litres=None if place % 2 else 50.0 + place / 3,
        )
    for item in filters:
        add("filters", code=item, tank=tanks[0])


def _water(draw: st.DrawFn, add: Any, source: str) -> list[str]:
    """Sources, recipes and rates; gives the recipes' codes."""
    add("sources", code=source)
    recipes = draw(st.lists(code_texts, min_size=1, max_size=3, unique=True))
    for recipe in recipes:
        add("recipes", code=recipe, source=draw(st.sampled_from(["", source])), ro="")
        add("rates", recipe=recipe)
    return recipes


def _kept_in_water(draw: st.DrawFn, add: Any, tanks: list[str], vessels: list[str]) -> None:
    add("hours", from_time=time(6, 0), until_time=draw(st.sampled_from([time(0, 0), time(8, 1)])))
    add("choices")
    add("levels", tank=tanks[0], until=None)
    for number in draw(st.lists(st.integers(1, 10**9), max_size=2, unique=True)):
        add("vessel_steps", id=number, act=None, reservoir=vessels[0])
        add("transfers", id=number, act=None, from_tank=tanks[0], to_tank="", group=tanks[1])
        add("contacts", id=number, act=None, from_tank=tanks[0], to_tank=tanks[1])


def _fish(draw: st.DrawFn, add: Any, tanks: list[str], systems: list[str]) -> None:
    for tank in tanks:
        add("valves", tank=tank, system=draw(st.sampled_from(systems)))
        add("conditions", tank=tank)
        add("stocked", tank=tank)
        add("stays", code=tank, tank=tank, ended=None, came=None)
        add("ticks", stay=tank)
        add("courses", code=tank, amount=draw(st.none() | st.floats(0.5, 9)), unit="ml",
            product=draw(words))  # fmt: skip
        add("course_steps", course=tank, day=0)
        add("runs", code=tank, course=tank, tank=tank, ended=None)
        add(
            "groups",
            code=tank,
            tank=tank,
            count=draw(st.integers(200, 10**6)),
            males=100,
            females=draw(st.integers(0, 100)),
        )


def _broods(draw: st.DrawFn, add: Any, tanks: list[str]) -> None:
    for name in draw(st.lists(words, max_size=2, unique=True)):
        add("lines", name=name, celsius_from=0.5, celsius_to=44.5, linf_cm=None, k_per_day=None)
        add("stages", line=name)
    for tank in draw(st.lists(st.sampled_from(tanks), max_size=2, unique=True)):
        first = draw(st.dates(date(1900, 1, 1), date(2990, 1, 1)))
        add("broods", code=tank, tank=tank, spawned=first, closed=None)
        later = st.dates(first, first + timedelta(days=99))
        add("sightings", brood=tank, day=draw(later))
        low, middle, high = sorted(draw(st.tuples(*[st.floats(0.05, 300)] * 3)))
        add(
            "samples",
            brood=tank,
            day=draw(later),
            smallest_cm=low,
            middle_cm=middle,
            largest_cm=high,
        )
        add(
            "planned_moves",
            chain=tank,
            from_tank=tank,
            to_tank=draw(st.sampled_from(["", "tub"])),
            state="planned",
            done_on=None,
        )
        add("rededications", code=tank, tank=tank, ended=None)
        add("gates", rededication=tank)


def _work(draw: st.DrawFn, add: Any, codes: list[str]) -> None:
    names = draw(st.lists(code_texts, min_size=1, max_size=4, unique=True))
    for name in names:
        add(
            "jobs",
            code=name,
            kind=draw(st.sampled_from(list(KINDS))),
            where=draw(st.sampled_from(["room", "all tanks", f"tank {codes[5]}"])),
            rule=draw(st.sampled_from(RULES)),
            window=draw(st.sampled_from(["", "-0/+0"])),
            reservoir=draw(st.sampled_from(["", codes[4]])),
            effects=draw(st.sampled_from(["", "pump off; event moved"])),
            starts=draw(st.none() | days),
        )
    add("between", code=names[0], first="kind filter", relation="apart", second=f"job {names[0]}")
    add(
        "holds",
        target=codes[5],
        kinds=draw(st.sampled_from(["all", f"job {names[0]}"])),
        until=None,
    )
    add("pins", job=names[0], target=codes[5])
    add("messages", target="room")
    add("troubles", target=codes[5], ended=None)
    add("calendar_entries")
    first = draw(st.dates(date(1900, 1, 1), date(2990, 1, 1)))
    add("away", first=first, last=first + timedelta(days=draw(st.integers(0, 9))), stand_in="")
    for value, day in ((1.5, 1), (draw(st.floats(2, 1e9)), 2)):
        add("counters", counter=codes[0], day=date(2027, 1, day), value=value)
    for name in names:
        add("people", code=name)


def _past(add: Any, places: list[str], jobs: list[str], draw: st.DrawFn) -> None:
    numbers = draw(st.lists(st.integers(1, 10**9), min_size=3, max_size=3, unique=True))
    rack = json.dumps(SHEET["racks"].plain(SHEET["racks"].cls(code="A", name="É\n", path=1)))
    for number in numbers:
        add("acts", id=number, undoes=None)
        add("changes", act=number, sheet="racks", key='["A"]', before=rack, after="")
    for number, place in zip(numbers, [*places, "room"], strict=False):
        add("events", id=number, act=number, target=place)
        add("readings", id=number, act=None, target=place)
        add(
            "marks",
            id=number,
            act=numbers[0],
            job=draw(st.sampled_from(jobs)),
            target=place,
            fraction=draw(st.floats(0, 1)),
            until=draw(days),
            reason=draw(words),
        )
