"""One stay lived through with keys alone, from arrival to release, refusals on the way.

Worked here, an invented room: a sign on day 20, a course of seven days from day
21, days 30 and 31 unlooked. 28 clear days after the sign, none of the seven under
medicine nor the two unlooked among them, end on day 57. Periods are common
practice, no published source.
"""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from textual.pilot import Pilot

from roomtasks.room.course import Course, CourseStep
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.stock import Stocked
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from tests.rooms import at, small_room, store_with
from tests.tui.desk import HandClock, flat, opened
from tests.tui.list_keys import (
    choose,
    escape,
    go,
    hit,
    on_apart,
    pick,
    press_all,
    said,
    typed,
    until_still,
)

CAME = date(2027, 3, 6)
COURSE = Course(code="dips", name="Seven days", product="remedy", amount=5.0, unit="ml",
                per_litres=100.0, caution="Gloves.")  # fmt: skip
AWAY = Away(first=date(2027, 3, 18), last=date(2027, 3, 19), stand_in="tb")
STEPS = [
    *(CourseStep(course="dips", day=n, action="dose") for n in range(7)),
    CourseStep(course="dips", day=3, action="change", share=0.25),
    CourseStep(course="dips", day=0, action="carbon-out"),
]


def made(folder: Path) -> Path:
    """The small room: Q1 and B3 ready for newcomers, B2 empty and not stripped, a week away."""
    sheets = small_room()
    sheets["groups"] = [row for row in sheets["groups"] if row.tank not in ("Q1", "B2")]
    sheets["stocked"] = [row for row in sheets["stocked"] if row.tank not in ("Q1", "B2", "B3")]
    sheets["stocked"].append(Stocked(tank="B2", since=date(2027, 2, 10), state="empty"))
    sheets["stays"], sheets["events"] = [], []
    sheets["tanks"] = [
        replace(tank, role="quarantine") if tank.code == "B3" else tank for tank in sheets["tanks"]
    ]
    sheets["away"].append(AWAY)
    sheets["courses"], sheets["course_steps"] = [COURSE], STEPS
    store = store_with(folder, sheets)
    store.close()
    return store.path


class Keeper:
    """Keys of one keeper, and what the store and the screen hold after them."""

    def __init__(self, app: RoomApp, pilot: "Pilot[int]", clock: HandClock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock
        self.lot = ""

    async def turn_to(self, day: int, hour: str = "08:10") -> None:
        self.clock.instant = at(f"{CAME + timedelta(days=day)} {hour}")
        await self.app.look_again()
        await until_still(self.app, self.pilot)

    async def room(self) -> Room:
        def look(store: Store) -> Room:
            found = read.room(store)
            assert isinstance(found, Room)
            return found

        return await self.app.desk.ask(look)

    def free(self, tank: str = "Q1") -> int:
        """The day the lot of a tank is free, counted from 6 March."""
        seen = on_apart(self.app).seen
        assert seen is not None
        stay = next(stay for stay in seen.fish.stays if stay.now.stay.tank == tank)
        return (stay.now.release_on - CAME).days

    async def go(self, key: str) -> None:
        await go(self.app, self.pilot, key)

    async def hit(self, *keys: str) -> None:
        await hit(self.app, self.pilot, *keys)

    async def typed(self, text: str = "") -> None:
        await typed(self.app, self.pilot, text)

    async def choose(self, label: str) -> None:
        await choose(self.app, self.pilot, label)

    async def pick(self, words: str) -> None:
        await pick(self.app, self.pilot, words)

    async def look(self, first: int, end: int) -> None:
        """6 on the lot, each day."""
        await self.go(f"lot {self.lot}")
        for day in range(first, end):
            self.clock.instant = at(f"{CAME + timedelta(days=day)} 08:10")
            await self.hit("6")
            assert "Q1 looked at: fine" in said(self.app)

    async def refused(self, rule: str, *words: str, asked: bool = False) -> None:
        """What was just asked for is refused by its rule, or asked about, and left."""
        told = said(self.app)
        assert rule in told, told
        for word in words:
            assert word in told, told
        screen = on_apart(self.app)
        assert (screen.question is not None) == asked, told
        assert " ".join(told.split()) in flat(self.app)
        if asked:
            assert "Do it all the same? 1 yes" in " ".join(told.split())
            await escape(self.app, self.pilot)

    async def arrival(self, tank: str, line: str = "brevis", count: str = "8") -> None:
        await self.go("arrival")
        await self.hit("6")
        await self.pick(tank)
        await self.typed(line)
        await self.typed(count)
        await self.typed()


async def arrivals_refused(keeper: Keeper) -> None:
    """Shared water, a valve just shut, a tank not stripped: each said with what would do."""
    before = await keeper.room()
    await keeper.arrival("A4")
    await keeper.refused("shared-water", "use a tank that stands alone")
    await keeper.arrival("B2")
    await keeper.refused("not-stripped", "mark the strip job done first", asked=True)
    assert await keeper.room() == before
    await keeper.go("system S")
    await keeper.hit("6")
    await keeper.pick("A4")
    assert "A4 leaves the water of S" in said(keeper.app)
    await keeper.hit("1")
    shut = await keeper.room()
    assert shut.valve.shut_from("A4", keeper.clock.instant) == "S"
    await keeper.arrival("A4")
    await keeper.refused("water-of-the-system", "change or strip it whole first")
    assert await keeper.room() == shut
    await keeper.hit("u")
    assert await keeper.room() == before


async def a_second_lot(keeper: Keeper) -> None:
    """Two lots never share a tank; more fish in one are asked about and start it anew."""
    await keeper.arrival("B3", "pulcher", "5")
    assert keeper.free("B3") == 56
    before = await keeper.room()
    await keeper.go(f"lot {keeper.lot}")
    await keeper.choose("move the whole lot")
    await keeper.pick("B3")
    await keeper.refused("two-lots", "one lot to a tank")
    await keeper.choose("fish added to this lot")
    await keeper.typed("brevis")
    await keeper.typed("2")
    await keeper.typed("a friend")
    await keeper.refused("all go back to day 0", "day 14 of 42", asked=True)
    assert await keeper.room() == before
    assert keeper.free() == 42


async def ways_out_refused(keeper: Keeper) -> None:
    """Nothing of a lot is sold, bred from or given as a seed before its release."""
    before = await keeper.room()
    await keeper.go(f"lot {keeper.lot}")
    await keeper.choose("sold or given away")
    await keeper.hit("1")
    await keeper.typed("2")
    await keeper.typed()
    await keeper.refused("not-released", "release it first")
    await keeper.choose("moved to a tank, to breed or grow")
    await keeper.typed("8")
    await keeper.pick("B1")
    await keeper.refused("not-released", "move the whole lot")
    await keeper.choose("moved to a tank, to breed or grow")
    await keeper.typed("2")
    await keeper.pick("B1")
    await keeper.refused("part-of-a-lot", "part out, with a reason")
    await keeper.go("arrival")
    await keeper.choose("a seed sponge to start a tank")
    await keeper.pick("B1")
    await keeper.pick("Q1-1")
    await keeper.refused("seed-from-apart", "take one from a clean tank")
    assert await keeper.room() == before


async def too_near_to_days_away(keeper: Keeper) -> None:
    """Two days before days away nothing new comes in; the tank itself is ready."""
    before = await keeper.room()
    await keeper.arrival("B3", "pulcher", "5")
    await keeper.refused("before-away", "let them come after Fri 19 Mar", asked=True)
    await keeper.go(f"lot {keeper.lot}")
    await keeper.choose("part out, with a reason")
    await keeper.typed("3")
    await keeper.pick("B1")
    await keeper.typed("bullied")
    await keeper.refused("not-empty", "move them out")
    assert await keeper.room() == before


async def a_course(keeper: Keeper) -> None:
    """Seven days of doses from day 21; the first is noted as it begins."""
    await keeper.look(21, 22)
    await keeper.go(f"lot {keeper.lot}")
    await keeper.choose("start a course")
    await keeper.pick("Seven days")
    assert "carbon out, then 4.32 ml of remedy" in said(keeper.app)
    assert "Gloves." in said(keeper.app)
    await keeper.hit("1")
    assert "begun in Q1" in said(keeper.app)
    seen = on_apart(keeper.app).seen
    assert seen is not None
    run = f"run {seen.fish.runs[0].run.code}"
    assert keeper.free() == 55
    for day in range(22, 28):
        await keeper.turn_to(day)
        await keeper.go(run)
        if day == 24:
            assert "today: change 25 %, then 4.32 ml of remedy (dose not noted yet)" in flat(
                keeper.app
            )
        await keeper.hit("6")
        assert f"dose in Q1, course day {day - 21}" in said(keeper.app)
        await keeper.go(f"lot {keeper.lot}")
        await keeper.hit("6")
    await keeper.look(28, 30)
    await keeper.go(run)
    await keeper.hit("6")
    assert "course Seven days in Q1 is over" in said(keeper.app)


async def released(keeper: Keeper) -> None:
    """The list line by line; a tank under watch is no destination; then out to A1."""
    await keeper.turn_to(57)
    before = await keeper.room()
    await keeper.go(f"lot {keeper.lot}")
    await keeper.choose("release to a tank")
    await keeper.pick("A1")
    await keeper.refused("release-open", "line 3 is open", "tick eating in its release list")
    assert await keeper.room() == before
    await keeper.go(f"line {keeper.lot} dates")
    await keeper.hit("6")
    await keeper.refused("known-line", "nobody ticks it")
    for line in ("eating", "tests", "bag-water", "net"):
        await keeper.go(f"line {keeper.lot} {line}")
        await keeper.hit("6")
    await keeper.go(f"line {keeper.lot} count")
    await keeper.hit("6")
    await keeper.typed("8")
    await to_a_tank_under_watch(keeper)
    await keeper.go(f"line {keeper.lot} destination")
    await keeper.choose("name the destination")
    await keeper.pick("A1")
    await keeper.go(f"line {keeper.lot} destination")
    await keeper.hit("6")
    assert f"Release of {keeper.lot} in Q1 to A1: 12 of 12" in flat(keeper.app)
    await keeper.choose("release to A1")
    assert "all 12 lines of the release hold" in said(keeper.app)
    await keeper.hit("1")
    assert f"{keeper.lot} released from Q1 to A1 on day 57 of 42" in said(keeper.app)


async def to_a_tank_under_watch(keeper: Keeper) -> None:
    before = await keeper.room()
    await keeper.go(f"line {keeper.lot} destination")
    await keeper.hit("6")
    await keeper.pick("A5")
    assert "A5 is under watch" in flat(keeper.app)
    await keeper.choose("release to A5")
    await keeper.refused("release-open", "A5 is under watch")
    assert await keeper.room() == before


async def test_a_stay_is_lived_through_with_keys_alone(tmp_path: Path) -> None:
    async with opened(made(tmp_path), when=f"{CAME} 22:15") as (app, pilot, clock):
        keeper = Keeper(app, pilot, clock)
        await keeper.hit("s")
        await arrivals_refused(keeper)
        await keeper.arrival("Q1")
        keeper.lot = (await keeper.room()).stays[0].code
        assert f"{keeper.lot} on day 0 of 42" in said(app)
        assert keeper.free() == 42
        await keeper.look(1, 11)
        await too_near_to_days_away(keeper)
        await keeper.look(11, 15)
        await a_second_lot(keeper)
        await ways_out_refused(keeper)
        await keeper.look(15, 20)
        assert keeper.free() == 42
        await keeper.turn_to(20)
        await keeper.go(f"lot {keeper.lot}")
        await keeper.choose("sign of illness")
        await keeper.hit("1")
        assert keeper.free() == 48
        await a_course(keeper)
        assert keeper.free() == 55
        await keeper.turn_to(32)
        assert keeper.free() == 57
        await keeper.go(f"lot {keeper.lot}")
        assert "unlooked 2 days (Mon 5 Apr, Tue 6 Apr): they pushed the date" in flat(app)
        await keeper.look(32, 57)
        assert keeper.free() == 57
        await released(keeper)
        await after_it(keeper)


async def after_it(keeper: Keeper) -> None:
    """Looks on four days, the tank to be stripped; taken back, all is as before."""
    room = await keeper.room()
    assert room.heads_in("Q1") == 0
    looks = [job.rule for job in room.jobs if job.kind == "look" and job.rule.startswith("once")]
    assert looks == [f"once {CAME + timedelta(days=57 + n)}" for n in (1, 2, 3, 7)]
    assert any(job.kind == "strip" and job.where == "tank Q1" for job in room.jobs)
    await keeper.go("released A1")
    assert f"A1 just released to since Sun 2 May: {keeper.lot} came out" in flat(keeper.app)
    await press_all(keeper.app, keeper.pilot, "u")
    assert keeper.free() == 57
