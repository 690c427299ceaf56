"""One brood from its spawn to the account, by keys, over weeks of a clock turned by hand.

Live food, hatch, free swimming, samples, a grading, a chain of three links with
an open count, a split, sales. The room is invented. The weeks are counted anew here.
"""

from datetime import date, timedelta
from math import ceil, floor
from pathlib import Path

from textual.pilot import Pilot

from roomtasks.room.brood import Brood
from roomtasks.room.room import Room
from roomtasks.tui.app import RoomApp
from tests.rooms import at
from tests.tui.brood_room import pair_store
from tests.tui.desk import HandClock, flat, opened
from tests.tui.list_keys import choose, go, hit, later, lines, on_broods, pick, room_of, said, typed

SPAWNED = date(2027, 3, 9)


class Life:
    """The screen of one brood, day by day."""

    def __init__(self, app: RoomApp, pilot: "Pilot[int]", clock: HandClock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock

    async def on(self, when: str) -> None:
        """The clock is turned to this hour."""
        span = at(when) - self.clock.instant
        await later(self.app, self.pilot, self.clock, seconds=span.total_seconds())

    async def hit(self, *keys: str) -> None:
        await hit(self.app, self.pilot, *keys)

    async def typed(self, *answers: str) -> None:
        await typed(self.app, self.pilot, *answers)

    async def pick(self, begins: str) -> None:
        await pick(self.app, self.pilot, begins)

    async def choose(self, label: str, line: str = "") -> None:
        if line:
            await go(self.app, self.pilot, line)
        await choose(self.app, self.pilot, label)

    def said(self, text: str) -> None:
        assert text in said(self.app), said(self.app)

    def shows(self, text: str) -> None:
        assert text in lines(self.app), lines(self.app)

    def offers(self, text: str) -> None:
        assert text in flat(self.app), flat(self.app)


async def from_spawn_to_count(life: Life) -> None:
    """Each is what the key 6 names on its day."""
    await life.hit("v", "6")
    await life.pick("a (pair) in B1")
    await life.typed("a1", "", "150")
    life.said("brood a1 of a in B1, spawned Tue 9 Mar; quiet until Fri 19 Mar")
    await go(life.app, life.pilot, "brood a1")
    for when, label, stage in (
        ("2027-03-12 07:30", "hatch seen", "hatched"),
        ("2027-03-13 07:40", "culture started", "hatched"),
        ("2027-03-15 20:00", "brine started", "hatched"),
        ("2027-03-17 07:30", "free swimming", "free swimming"),
    ):
        await life.on(when)
        life.offers(f"6 {label}")
        await life.hit("6")
        life.shows(f"a1 a of pair B1 day {(at(when).date() - SPAWNED).days}, {stage}")
    await life.on("2027-03-23 09:00")
    life.offers("6 first count")
    await life.hit("6")
    await life.typed("110")
    life.said("a1: first count seen Tue 23 Mar, 110 counted; group a1")


async def grown_and_graded(life: Life) -> None:
    await life.on("2027-04-08 10:00")
    life.offers("6 measured")
    await life.hit("6")
    await life.typed("12+14+16")
    await life.hit("1")
    life.shows("3 measured Thu 8 Apr, today: smallest 12, middle 14, largest 16 mm, total length")
    await life.choose("died")
    await life.typed("4")
    await life.on("2027-04-22 10:00")
    await life.choose("measured")
    await life.typed("12+19+26")
    life.shows("day 44")
    await life.choose("grade")
    await life.typed("20")
    await life.pick("A1")
    life.said("a1 graded: 20 to A1")
    await life.on("2027-05-06 10:00")
    await life.choose("measured", "brood a1")
    await life.typed("23+25+28")
    life.shows("24.8 mm today by straight line, 0.39 mm a day; 25 mm to move Fri 7 May; 35 mm to")
    life.shows("A1 (a1.2): about 20")


async def moved_by_a_chain(life: Life, path: Path) -> None:
    await life.choose("plan a move with a sale", "tank a1 a1")
    await life.pick("not A2")
    await life.pick("50 c (large) in A3")
    life.shows("1. large A3 to a buyer Sat 8 May 2. half A2 to A3 Sat 8 May 3. a1 B1 to A2 Sat")
    await life.hit("1")
    await life.on("2027-05-08 10:00")
    chain = room_of(path).planned_moves[0].chain
    await go(life.app, life.pilot, f"link {chain} 1")
    await life.hit("6", "1")
    await go(life.app, life.pilot, f"link {chain} 2")
    await life.hit("6")
    await life.typed("88")
    life.shows("half: 90 in, 88 seen, 2 open, A3 since Sat 8 May")
    await go(life.app, life.pilot, f"link {chain} 3")
    await life.hit("6")
    await life.typed("")
    life.said(f"{chain} link 3: 86 of a (a1) moved B1 to A2")
    await go(life.app, life.pilot, f"open {chain} 2")
    await life.hit("6")
    await life.typed("89")
    life.said("settled: 89 of 90 seen, 1 written off")


async def split_sold_and_closed(life: Life) -> None:
    await life.choose("split", "tank a1 a1")
    await life.typed("30")
    await life.pick("A1")
    life.said("a1 split: 30 to A1")
    life.shows("1 Sat 8 May grow-out 2 of 2")
    await life.on("2027-05-20 10:00")
    await life.choose("measured", "brood a1")
    await life.typed("29+31+34")
    await life.on("2027-06-03 10:00")
    life.offers("Next Sun 30 May, 4 days ago: a1: sell from A2")
    await life.choose("sold", "tank a1 a1")
    await life.typed("50")
    await life.choose("sold", "tank a1 a1.3")
    await life.typed("")
    await life.choose("given", "tank a1 a1.2")
    await life.typed("6")
    await life.choose("close with its account", "brood a1")
    await life.typed("keep-backs grow on")
    life.shows("110 counted = 80 sold + 20 kept + 4 died + 6 given")
    await life.hit("1")
    life.said("a1 closed: 110 counted = 80 sold + 20 kept + 4 died + 6 given")
    life.shows("a1 a closed Thu 3 Jun: 110 counted = 80 sold + 20 kept + 4 died + 6 given")


async def test_a_brood_is_followed_from_spawn_to_account(tmp_path: Path) -> None:
    store = pair_store(tmp_path)
    store.close()
    async with opened(store.path, when="2027-03-09 19:00") as (app, pilot, clock):
        life = Life(app, pilot, clock)
        await from_spawn_to_count(life)
        await grown_and_graded(life)
        await moved_by_a_chain(life, store.path)
        the_weeks_agree(life, room_of(store.path))
        await split_sold_and_closed(life)
    brood: Brood = room_of(store.path).broods[0]
    sums = [brood.sold, brood.kept, brood.died, brood.given]
    assert None not in sums
    assert sum(many or 0 for many in sums) == brood.counted == 110
    left = {g.code: g.count for g in room_of(store.path).groups if g.line == "a"}
    assert left == {"pair": 2, "a1": 6, "a1.2": 14, "a1.3": 0}


# ---- the weeks, counted anew ---------------------------------------------------------


def line_through(points: list[tuple[int, float]]) -> tuple[float, float]:
    """Least squares: mm a day, and mm on day 0."""
    n = len(points)
    x, y = sum(p[0] for p in points) / n, sum(p[1] for p in points) / n
    rate = sum((a - x) * (b - y) for a, b in points) / sum((a - x) ** 2 for a, _ in points)
    return rate, y - rate * x


def the_weeks_agree(life: Life, room: Room) -> None:
    """On 8 May: a1 in A2, its large ones in A1, and a brood of the same pair every 60 days."""
    seen = on_broods(life.app).seen
    assert seen is not None
    today = date(2027, 5, 8)
    rate, start = line_through([(30, 14.0), (44, 19.0), (58, 25.0)])
    to_move, to_sale = ceil((25 - start) / rate), ceil((35 - start) / rate)
    assert (to_move, to_sale) == (59, 84)
    stays = [(today, SPAWNED + timedelta(days=to_sale), 1)] * 2
    grams = 0.01 * 3.5**3
    holds = sorted(floor(litres * 1.0 / grams) for litres in (100, 40, 80))[1]
    next_spawn = SPAWNED + timedelta(days=60)
    while next_spawn + timedelta(days=to_move) < today + timedelta(days=112):
        first = next_spawn + timedelta(days=to_move)
        stays.append((first, next_spawn + timedelta(days=to_sale), ceil(106 / holds)))
        next_spawn += timedelta(days=60)
    assert len(stays) == 3
    for n in range(16):
        days = [today + timedelta(days=7 * n + d) for d in range(7)]
        most = max(sum(t for first, until, t in stays if first <= day < until) for day in days)
        week = next(w for w in seen.view.weeks if w.n == n + 1 and w.kind == "grow-out")
        assert (week.wanted, week.there) == (most, 2), f"week {n + 1}"
        assert f"{n + 1} {days[0]:%a} {days[0].day} {days[0]:%b} grow-out {most} of 2" in lines(
            life.app
        )
    assert {g.tank for g in room.groups if g.line == "a" and g.count} == {"A1", "A2", "B1"}
