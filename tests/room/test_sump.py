"""What a level read at a sump says, by the state of its pump.

148 x 48 cm of floor are 7.104 L/cm; 0.8 cm over 64.56 L/cm and 12 L of pipes run back,
63.6 L or 8.96 cm (geometry; worked here, invented room).
"""

from dataclasses import replace

import pytest

from roomtasks.room.journal import Reading
from roomtasks.room.room import Room
from roomtasks.room.sump import level_note
from roomtasks.room.system import PumpTurn
from tests.room.example_room import at, example_room, with_system

NOON = at("2027-03-12T12:00")


def a_room(state: str = "") -> Room:
    room = with_system(
        example_room(), sump_length_cm=148.0, sump_width_cm=48.0, sump_height_cm=50.0,
        sump_running_cm=30.0, head_cm=0.8, pipes_litres=12.0,
    )  # fmt: skip
    turns = (PumpTurn(system="S", at=at("2027-03-12T08:00"), state=state),) if state else ()
    return replace(room, pumps=turns)


def said(room: Room, cm: float, what: str = "sump-level", target: str = "S") -> str:
    reading = Reading(id=1, target=target, what=what, value=cm, day=NOON.date(), at=NOON)
    note = level_note(room, reading)
    return "" if note is None else f"{note.sort}: {note.text}"


def test_a_running_level_that_would_flood_says_how_much_to_take_out() -> None:
    text = said(a_room("running"), 42.0)
    assert text.startswith("warned: at 42 cm running it would stand at 51 cm once the pump stops")
    assert "at most 39 cm while it runs" in text
    assert text.endswith("take 21.0 L out")  # (42 - 39.04) x 7.104


def test_a_running_level_below_its_mark_says_the_litres() -> None:
    assert said(a_room("running"), 27.0) == (
        "told: it stands 3.0 cm or 21.3 L below its mark while the pump runs"
    )
    assert said(a_room("running"), 29.8) == ""
    assert said(a_room("running"), 38.9) == ""


def test_the_running_mark_at_rest_would_leave_the_pump_sucking_air() -> None:
    text = said(a_room("off"), 30.0)
    assert "30.0 cm are 21.0 cm with the pump running" in text
    assert "9.0 cm or 63.6 L below its mark" in text
    assert "top off to 39.0 cm before the pump is started" in text
    assert said(a_room("off"), 39.0) == ""
    assert said(a_room("off"), 49.0).startswith("warned: at 40 cm running it would stand at 49 cm")


@pytest.mark.parametrize("cm", [0.0, 20.0, 45.0])
def test_without_the_pump_a_level_says_nothing(cm: float) -> None:
    assert "says nothing without the pump's state" in said(a_room(), cm)


def test_other_readings_and_sumps_of_unknown_size_are_let_be() -> None:
    assert said(a_room("running"), 42.0, what="temperature") == ""
    assert said(a_room("running"), 42.0, target="D1") == ""
    assert said(replace(a_room("running"), systems=with_system(
        a_room(), sump_height_cm=None).systems), 42.0) == ""  # fmt: skip
