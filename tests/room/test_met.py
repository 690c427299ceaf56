"""Who met whom, against an independent answer by search through stretches of time."""

import os
from collections import deque
from datetime import datetime, timedelta
from random import Random

import pytest

from roomtasks.room.met import (
    History,
    could_have_come_from,
    days_shared,
    lots_in,
    reached_from,
)
from roomtasks.room.system import ValveTurn
from roomtasks.room.transfer import Contact, Transfer
from tests.room.scene import at

BEGIN = at("2027-03-01T08:00")
HISTORIES = int(os.environ.get("ROOMTASKS_HISTORIES", "1000"))
TANKS = tuple("ABCDEFG")


def turn(tank: str, when: datetime, state: str = "open", system: str = "S") -> ValveTurn:
    return ValveTurn(tank=tank, at=when, system=system, state=state)


def moved(n: int, source: str, to: str, when: datetime, how: str = "moved") -> Transfer:
    return Transfer(id=n, group="g", from_tank=source, to_tank=to, count=3, how=how,
                    day=when.date(), at=when)  # fmt: skip


def gear(n: int, source: str, to: str, when: datetime) -> Contact:
    return Contact(id=n, from_tank=source, to_tank=to, by="net", day=when.date(), at=when)


def day(n: float) -> datetime:
    return BEGIN + timedelta(days=n)


def test_by_the_system_and_by_a_move() -> None:
    history = History(
        turns=[turn("B2", day(-9)), turn("B3", day(-9)), turn("B3", day(8), "shut")],
        transfers=[moved(1, "B2", "D2", day(5)), moved(2, "D2", "", day(7), "sold")],
    )
    found = reached_from(history, "B2", day(3), day(20))
    assert {met.tank: met.by for met in found.tanks} == {
        "B2": "start", "B3": "system", "D2": "move"
    }  # fmt: skip
    assert found.tanks[1].path == ("B2 4 Mar", "B3 by the water of S, 4 Mar")
    d2 = found.tank("D2")
    assert d2 is not None
    assert d2.path[-1] == "D2 by move of 6 Mar (3 g)"
    assert days_shared(d2) == "6 to 21 Mar"
    assert [left.transfer.id for left in found.left] == [2]
    assert lots_in(found, {"x": "D2", "y": "Z"}) == ("x",)


def test_water_that_stood_in_the_sump_links_tanks_that_were_never_open_together() -> None:
    history = History(
        turns=[turn("A", day(0)), turn("A", day(2), "shut"), turn("B", day(3))],
    )
    assert reached_from(history, "A", day(1), day(5)).tank("B") is not None
    assert reached_from(history, "B", day(1), day(5)).tank("A") is None
    assert could_have_come_from(history, "B", day(0), day(5)).tank("A") is not None


def test_before_the_first_day_nothing_was_reached() -> None:
    history = History(turns=[], transfers=[moved(1, "A", "B", day(1))])
    assert reached_from(history, "A", day(2), day(5)).tank("B") is None
    assert reached_from(history, "A", day(0), day(0.5)).tank("B") is None


def test_a_stripped_tank_is_clean_until_it_is_reached_again() -> None:
    history = History(
        turns=[], transfers=[moved(1, "A", "B", day(1)), moved(2, "B", "C", day(4))],
        stripped=[("B", day(3))],
    )  # fmt: skip
    found = reached_from(history, "A", day(0), day(9))
    assert found.tank("C") is None
    b = found.tank("B")
    assert b is not None
    assert b.until == day(3)


def test_a_span_that_ends_before_it_begins_is_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="span"):
        reached_from(History(turns=[]), "A", day(2), day(1))


def any_history(chance: Random) -> History:
    """Three months of turns, moves, gear and stripping, no two at one instant."""
    minutes = chance.sample(range(1, 90 * 24 * 60), 40)
    turns, transfers, contacts, stripped = [], [], [], []
    for n, minute in enumerate(minutes):
        when = BEGIN + timedelta(minutes=minute)
        one, other = chance.sample(TANKS, 2)
        match chance.choice(("turn", "turn", "move", "gear", "strip", "out")):
            case "turn":
                system = chance.choice("ST")
                turns.append(turn(one, when, chance.choice(("open", "shut")), system))
            case "move":
                transfers.append(moved(n + 1, one, other, when))
            case "gear":
                contacts.append(gear(n + 1, one, other, when))
            case "out":
                transfers.append(moved(n + 1, one, "", when, "sold"))
            case _:
                stripped.append((one, when))
    return History(turns=turns, transfers=transfers, contacts=contacts, stripped=stripped)


def by_search(
    history: History, start: str, first: datetime, last: datetime, *, forward: bool = True
) -> set[str]:  # fmt: skip
    """Every tank reached, by a search through (place, stretch of time) pairs."""
    carried: list[tuple[str, str, datetime]] = [
        *((m.from_tank, m.to_tank, m.at) for m in history.transfers),
        *((c.from_tank, c.to_tank, c.at) for c in history.contacts),
    ]
    marks = sorted(
        {t.at for t in history.turns}
        | {when for _, _, when in carried}
        | {when for _, when in history.stripped}
    )
    edges = [first, *(m for m in marks if first < m <= last), last + timedelta(seconds=1)]
    stretches = range(len(edges) - 1)
    links: dict[tuple[str, int], set[tuple[str, int]]] = {}

    def link(a: tuple[str, int], b: tuple[str, int]) -> None:
        if not forward:
            a, b = b, a
        links.setdefault(a, set()).add(b)

    places = {*TANKS, "system S", "system T"}
    for k in stretches:
        state: dict[str, ValveTurn] = {}
        for each in sorted(history.turns, key=lambda t: t.at):
            if each.at <= edges[k]:
                state[each.tank] = each
        for tank, each in state.items():
            if each.state == "open":
                links.setdefault((tank, k), set()).add((f"system {each.system}", k))
                links.setdefault((f"system {each.system}", k), set()).add((tank, k))
        if k == 0:
            continue
        boundary = edges[k]
        cut = {tank for tank, when in history.stripped if when == boundary}
        for place in places - cut:
            link((place, k - 1), (place, k))
        for source, to, when in carried:
            if when == boundary and to:
                link((source, k - 1), (to, k))
    begin = (start, 0) if forward else (start, len(edges) - 2)
    seen, queue = {begin}, deque([begin])
    while queue:
        for after in links.get(queue.popleft(), ()):
            if after not in seen:
                seen.add(after)
                queue.append(after)
    return {place for place, _ in seen if not place.startswith("system")}


@pytest.mark.parametrize("part", range(4))
def test_agrees_with_a_search_on_any_history(part: int) -> None:
    for seed in range(part, HISTORIES, 4):
        chance = Random(seed)
        history = any_history(chance)
        start = chance.choice(TANKS)
        first = BEGIN + timedelta(minutes=chance.randrange(60 * 24 * 60), seconds=30)
        last = first + timedelta(minutes=chance.randrange(1, 60 * 24 * 60))
        found = reached_from(history, start, first, last)
        assert {met.tank for met in found.tanks} == by_search(history, start, first, last), seed
        back = could_have_come_from(history, start, first, last)
        wanted = by_search(history, start, first, last, forward=False)
        assert {met.tank for met in back.tanks} == wanted, seed
