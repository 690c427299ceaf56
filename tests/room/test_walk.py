"""The order of the walk and the choice when time is short."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomtasks.room.fit import Item, best_choice, fit
from roomtasks.room.health import Health
from roomtasks.room.job import Between
from roomtasks.room.rack import Rack, Shelf
from roomtasks.room.room import Room
from roomtasks.room.setup import Setup
from roomtasks.room.stock import Condition, Stay
from roomtasks.room.walk import Walk, walk
from tests.room.scene import dues, group, job, morning, tank
from tests.room.test_due_scenarios import on

NOW = morning("2027-03-13")


def a_room(**facts: object) -> Room:
    """Q stands next to the door (first on the path); its order is by hygiene all the same."""
    codes = ("Q1", "Q2", "N1", "A1", "B4", "D3", "H1")
    tanks = tuple(
        tank(code, role="quarantine" if code[0] == "Q" else "stock") for code in codes
    )  # fmt: skip
    path = {"Q": 0, "A": 1, "B": 2, "D": 3, "H": 4, "N": 5}
    base: dict[str, object] = {
        "racks": tuple(Rack(code=code, path=n) for code, n in path.items()),
        "shelves": tuple(Shelf(rack=code, shelf=1, places=9) for code in path),
        "tanks": tanks,
        "groups": (
            *(group(f"g-{code}", code) for code in codes if code != "N1"),
            group("fry", "N1", 40, stage="fry"),
        ),
        "stays": (
            Stay(code="q1", tank="Q1", since=on("2027-03-09")),
            Stay(code="q2", tank="Q2", since=on("2027-02-11")),
        ),
        "conditions": (
            Condition(tank="H1", since=on("2027-03-10"), state="sick", reason="under medicine"),
            Condition(tank="D3", since=on("2027-03-11"), state="watch", reason="clamped fins"),
        ),
        "jobs": (job("look", "every 1 day", kind="look", where="all tanks"),),
    }
    return Room(Setup(name="test", zone="Europe/London"), **{**base, **facts})  # type: ignore[arg-type]


def the_walk(scene: Room, minutes: float = 60) -> Walk:
    return walk(scene, list(dues(scene, [], NOW).values()), {}, minutes)


def test_fry_then_clean_then_watch_then_the_longest_clean_quarantine_then_sick() -> None:
    assert [stop.due.target for stop in the_walk(a_room()).stops] == [
        "N1", "A1", "B4", "D3", "Q2", "Q1", "H1",
    ]  # fmt: skip


def test_rooms_checks_first_then_what_runs_by_itself_then_the_racks() -> None:
    jobs = (
        job("look", "every 1 day", kind="look", where="tank A1"),
        job("brine", "every 1 day", kind="start", where="room"),
        job("door", "every 1 day", kind="check", where="room"),
    )
    assert [stop.due.job.code for stop in the_walk(a_room(jobs=jobs)).stops] == [
        "door", "brine", "look",
    ]  # fmt: skip


def test_the_pump_comes_after_the_refill_wherever_its_tank_stands() -> None:
    jobs = (
        job("pump-on", "every 1 day", kind="pump", where="tank A1"),
        job("refill", "every 1 day", kind="change", where="tank A1 B4"),
    )
    after = Between(
        code="P", first="job refill", relation="before", second="job pump-on", scope="room"
    )
    order = [stop.due.id for stop in the_walk(a_room(jobs=jobs, between=(after,))).stops]
    assert order == ["refill@A1", "refill@B4", "pump-on@A1"]


def test_set_up_washing_and_steps_are_paid_once() -> None:
    shelves = tuple(
        Shelf(rack=code, shelf=1, places=9, reach="steps" if code in "AB" else "standing")
        for code in "QABDHN"
    )
    looks = job(
        "look", "every 1 day", kind="look", where="all tanks", setup_minutes=5.0, minutes=1.0
    )
    planned = the_walk(a_room(jobs=(looks,), shelves=shelves))
    assert planned.minutes == pytest.approx(5 + 7 * 1 + 4 * 2 + 2 * 2)
    assert [stop.way_minutes for stop in planned.stops] == [0, 4, 2, 2, 2, 0, 2]


def test_recorded_times_beat_the_estimate() -> None:
    scene = a_room()
    found = walk(
        scene, list(dues(scene, [], NOW).values()), {("look", "A1"): [9, 3, 4, 5, 2, 90, 90]}, 60
    )  # fmt: skip
    stop = next(stop for stop in found.stops if stop.due.target == "A1")
    assert (stop.minutes, stop.from_record) == (4, True)


def test_a_short_walk_keeps_the_looks_and_says_what_leaving_costs() -> None:
    jobs = (
        job("look", "every 1 day", kind="look", where="all tanks", minutes=1.0),
        job("wipe", "calendar FREQ=WEEKLY;BYDAY=SA", kind="wipe", where="all tanks", minutes=4.0,
            setup_minutes=3.0, window="-0/+3"),
    )  # fmt: skip
    scene = a_room(jobs=jobs)
    full = the_walk(scene)
    fitted = fit(scene, full, 27)
    kept = [stop.due.id for stop in fitted.walk.stops]
    assert sum(name.startswith("look") for name in kept) == 7
    assert sum(name.startswith("wipe") for name in kept) == 2
    assert len(fitted.left) == 5
    assert all("3 days of window left" in left.cost for left in fitted.left)
    assert fitted.walk.minutes <= 27


names = st.sampled_from(
    [("kind", "a"), ("kind", "b"), ("class", 1), ("class", 2), ("steps", ("A", 1))]
)
items = st.lists(
    st.builds(Item, st.integers(1, 60), st.integers(1, 90), st.frozensets(names, max_size=3)),
    max_size=9,
)
shared_costs = st.dictionaries(names, st.integers(1, 40), max_size=5)


@settings(max_examples=300, deadline=None)
@given(items, shared_costs, st.integers(0, 200))
def test_the_choice_is_the_best_there_is(
    found: list[Item], costs: dict[tuple[str, object], int], capacity: int
) -> None:
    def price(chosen: tuple[int, ...]) -> int:
        shared = {name for index in chosen for name in found[index].shared if name in costs}
        return sum(found[index].tenths for index in chosen) + sum(costs[name] for name in shared)

    known = [
        Item(item.tenths, item.worth, frozenset(n for n in item.shared if n in costs))
        for item in found
    ]
    best = max(
        (
            sum(found[index].worth for index in chosen)
            for size in range(len(found) + 1)
            for chosen in combinations(range(len(found)), size)
            if price(chosen) <= capacity
        ),
        default=0,
    )
    chosen = tuple(sorted(best_choice(known, dict(costs), capacity)))
    assert price(chosen) <= capacity
    assert sum(found[index].worth for index in chosen) == best


def test_health_letters_are_all_different() -> None:
    assert len({health.letter for health in Health}) == len(Health)
