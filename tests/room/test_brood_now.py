"""A brood that outgrows its tank before it can be sold wants another, whatever the tank is for.

Worked here, an invented room.
"""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from roomtasks.room.brood import Brood, Sample
from roomtasks.room.brood_life import Nursery
from roomtasks.room.brood_now import BroodNow, brood_now, wants_of
from roomtasks.room.destination import Judging
from roomtasks.room.line import DEFAULT_DAYS, LineFacts
from roomtasks.room.move_day import MoveDay
from roomtasks.room.room import Room
from roomtasks.room.rounds import rounds_of
from roomtasks.room.tank import Filter
from tests.room.scene import at, group, room, tank

SPAWNED = date(2027, 3, 1)
LINE = LineFacts(name="line", move_cm=3.0, sale_cm=6.0, adult_cm=9.0)


def on(age: int) -> date:
    return SPAWNED + timedelta(days=age)


SAMPLES = tuple(
    Sample(brood="b1", day=on(age), n=12, smallest_cm=cm * 0.9, middle_cm=cm, largest_cm=cm * 1.1)
    for age, cm in ((30, 1.4), (44, 1.9), (58, 2.5))
)
BROOD = Brood(code="b1", line="line", tank="D4", spawned=SPAWNED, group="y1", counted=120)


def here(role: str, litres: float) -> tuple[Judging, BroodNow]:
    tanks = (tank("D4", litres, role=role),
             *(tank(f"G{n}", 400.0, role="grow-out") for n in (1, 2, 3)))  # fmt: skip
    made: Room = room(
        tanks=tanks, lines=(LINE,), broods=(BROOD,), samples=SAMPLES,
        groups=(group("y1", "D4", 120, stage="young", born=SPAWNED),),
        filters=tuple(
            Filter(code=f"{t.code}-1", tank=t.code, since=date(2026, 9, 1)) for t in tanks
        ),
    )  # fmt: skip
    judging = Judging(room=made, at=at(f"{on(58)}T09:00"), lengths={"y1": 2.5})
    rounds = rounds_of("07:30 20:00")
    assert isinstance(rounds, tuple)
    nursery = Nursery(brood=BROOD, line=LINE, profile=DEFAULT_DAYS, sightings=(), samples=SAMPLES,
                      rounds=rounds, zone=ZoneInfo("Europe/London"))  # fmt: skip
    return judging, brood_now(judging, nursery)


@pytest.mark.parametrize(("role", "litres"), [("stock", 52.5), ("grow-out", 52.5)])
def test_a_tank_full_before_the_size_of_sale_asks_for_grow_out_tanks_from_that_day(
    role: str, litres: float
) -> None:
    judging, now = here(role, litres)
    (part,) = now.parts
    assert isinstance(part.move, MoveDay)
    assert (part.move.cause, part.move.day) == ("density", on(61))
    assert part.answer is not None
    assert part.answer.whole or part.answer.split
    wants, _ = wants_of(judging, [now])
    own = [(w.kind, w.first, w.tank) for w in wants]
    assert own[-1] == ("grow-out", on(61), "")
    assert [w for w in own if w[2]] == ([("grow-out", on(58), "D4")] if role == "grow-out" else [])


def test_a_tank_that_holds_them_until_they_are_sold_is_wanted_until_then() -> None:
    judging, now = here("grow-out", 700.0)
    assert now.parts[0].answer is None
    wants, _ = wants_of(judging, [now])
    assert [(w.kind, w.first, w.tanks, w.tank) for w in wants] == [("grow-out", on(58), 1, "D4")]


def test_young_that_were_counted_and_measured_are_no_eggs_any_more() -> None:
    """A book begun late has no hatch noted; what was counted has hatched."""
    _, now = here("stock", 52.5)
    assert [step.key for step in now.steps] == ["measure"]
