"""What the journal says of a lot: what came in, what it shared, what was dosed.

Worked here, an invented room; periods are common practice, no published source.
"""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from roomtasks.room.brood import Brood
from roomtasks.room.pin import Trouble
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import StayNow
from roomtasks.room.stay_facts import Seen, stays_now
from roomtasks.room.stock import Condition, Stay
from roomtasks.room.system import System, ValveTurn
from roomtasks.room.transfer import Contact
from roomtasks.room.treatment import Level
from tests.room.scene import at, event, room, tank

CAME = date(2027, 3, 6)
DAYS = frozenset(CAME + timedelta(days=n) for n in range(200))
LOTS = (
    Stay(code="old", tank="Q1", since=CAME),
    Stay(code="young", tank="Q2", since=CAME + timedelta(days=10)),
)


def day(number: int) -> date:
    return CAME + timedelta(days=number)


def contact(number: int, from_tank: str, to_tank: str, on: int, by: str = "net") -> Contact:
    return Contact(id=number, from_tank=from_tank, to_tank=to_tank, by=by, day=day(on),
                   at=at(f"{day(on)}T08:00"))  # fmt: skip


def found(on: int, **facts: Any) -> dict[str, StayNow]:
    base: dict[str, Any] = {
        "tanks": tuple(tank(f"Q{n}", role="quarantine") for n in (1, 2, 3)), "stays": LOTS,
    }  # fmt: skip
    made: Room = room(**{**base, **facts})
    looked = {tank.code: DAYS for tank in made.tanks}
    return {now.stay.code: now for now in stays_now(made, Seen(looked=looked), day(on))}


def test_gear_brings_a_younger_lot_s_date_and_not_an_older_one_s() -> None:
    now = found(20, contacts=(contact(1, "Q2", "Q1", 12),))
    assert now["old"].release_on == day(52)
    assert now["young"].release_on == day(52)
    other_way = found(20, contacts=(contact(1, "Q1", "Q2", 12),))
    assert other_way["old"].release_on == day(42)
    assert other_way["young"].set_by.cause == "arrival"


def test_dates_go_on_along_a_chain_of_gear() -> None:
    third = Stay(code="third", tank="Q3", since=day(15))
    chain = (contact(1, "Q3", "Q2", 16), contact(2, "Q2", "Q1", 17))
    now = found(20, stays=(*LOTS, third), contacts=chain)
    assert {stay.release_on for stay in now.values()} == {day(57)}


def test_a_lot_s_later_sign_moves_what_shared_its_net() -> None:
    now = found(
        30, contacts=(contact(1, "Q2", "Q1", 12),), events=(event("sign", "Q2", str(day(30))),)
    )
    assert now["old"].release_on == day(58)


def test_gear_from_a_sick_tank_asks_for_clear_days_and_from_a_clean_one_for_none() -> None:
    sick = Condition(tank="Q3", since=day(1), state="sick")
    three = (tank("Q1", role="quarantine"), tank("Q2", role="quarantine"), tank("Q3"))
    ill = found(30, tanks=three, conditions=(sick,), contacts=(contact(1, "Q3", "Q1", 20),))
    assert ill["old"].release_on == day(48)
    clean = found(30, tanks=three, contacts=(contact(1, "Q3", "Q1", 20),))
    assert clean["old"].release_on == day(42)


def test_lots_that_shared_water_share_their_date() -> None:
    turns = tuple(
        ValveTurn(tank=code, at=at(f"{day(12)}T08:00"), system="S", state="open")
        for code in ("Q1", "Q2")
    )
    now = found(20, systems=(System(code="S", sump_litres=100.0),), valves=turns)
    assert now["old"].release_on == day(52)
    assert "shared water with Q2" in now["old"].set_by.why


@pytest.mark.parametrize("what", ["arrival", "put-in", "plant", "snail", "wood", "water"])
def test_whatever_comes_in_starts_the_days_anew(what: str) -> None:
    now = found(20, events=(event(what, "Q1", str(day(20))),))
    assert (now["old"].day, now["old"].release_on) == (0, day(62))


def test_what_was_there_before_the_lot_came_counts_for_nothing() -> None:
    events = (event("sign", "Q1", str(day(-3))), event("dose", "Q1", str(day(-2))))
    now = found(1, events=events, levels=(_medicine(-20, -2),))
    assert [item.cause for item in now["old"].candidates] == ["arrival"]


def test_medicine_kept_dissolved_counts_as_doses_to_its_last_day() -> None:
    now = found(20, levels=(_medicine(18, 33),))
    assert now["old"].under_medicine
    assert now["old"].release_on == day(47)
    salt = Level(tank="Q1", product="salt", since=day(18), per_litre=1.0, until=day(33))
    assert not found(20, levels=(salt,))["old"].under_medicine


def test_a_lot_takes_its_signs_along_to_its_next_tank() -> None:
    moved = Stay(code="old", tank="Q3", since=CAME, was_in=f"Q1 {day(25)}")
    events = (
        event("sign", "Q1", str(day(20))), event("moved", "Q3", str(day(25)), note="g from Q1"),
        event("sign", "Q1", str(day(28))),
    )  # fmt: skip
    now = found(30, stays=(moved,), events=events)
    assert now["old"].release_on == day(48)


def test_a_stay_that_is_over_or_lies_ahead_is_not_shown() -> None:
    over = Stay(code="over", tank="Q1", since=CAME, ended=day(5))
    assert set(found(5, stays=(over, LOTS[1]))) == set()
    assert set(found(4, stays=(over, LOTS[1]))) == {"over"}


def _medicine(first: int, last: int) -> Level:
    return Level(tank="Q1", product="remedy", since=day(first), per_litre=0.05, unit="ml",
                 until=day(last), medicine=True)  # fmt: skip


def test_young_born_in_a_lot_s_water_do_not_start_its_days_anew() -> None:
    brood = Brood(code="b1", line="line", tank="Q1", spawned=day(10), group="b1", counted=30)
    counted = event("put-in", "Q1", str(day(24)), note="b1")
    assert found(25, broods=(brood,), events=(counted,))["old"].day == 25
    assert found(25, events=(counted,))["old"].day == 1


def test_a_power_cut_of_the_room_asks_for_two_looks_a_day_at_every_lot() -> None:
    cut = Trouble(code="t1", sort="power-cut", target="room", began=at(f"{day(16)}T02:00"),
                  ended=at(f"{day(17)}T05:00"))  # fmt: skip
    now = found(20, troubles=(cut,))
    assert {stay.look_twice_until for stay in now.values()} == {day(24)}
    noted = found(20, events=(event("power-cut", "room", str(day(18))),))
    assert noted["old"].look_twice_until == day(25)
    assert noted["old"].release_on == found(20)["old"].release_on
    before = replace(cut, began=at(f"{day(2)}T02:00"), ended=at(f"{day(2)}T05:00"))
    assert found(20, troubles=(before,))["young"].look_twice_until is None
