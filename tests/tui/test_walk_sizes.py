"""What must be readable on the walk at every size: the top, the caution in hand, the keys."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Static

from roomtasks.room.kind import KINDS
from roomtasks.store.base import Store
from roomtasks.tui.round import Round
from roomtasks.tui.signs import SHAPES
from roomtasks.tui.top_line import top_lines
from roomtasks.tui.words import HandParts
from roomtasks.work.picture import Picture, picture
from roomtasks.work.trouble_acts import trouble_begin
from tests.rooms import at, small_room
from tests.tui.desk import flat, new_store, opened, press, screen_text

SIZES = [(60, 20), (80, 24), (140, 45)]


def many(sheets: dict[str, list[Any]], systems: int, vessels: int) -> dict[str, list[Any]]:
    """The room with so many systems that have a pump, and so many reservoirs."""
    system, vessel, turn = sheets["systems"][0], sheets["reservoirs"][0], sheets["pumps"][0]
    codes = [f"LOOP{n}" for n in range(systems)]
    return {
        **sheets,
        "systems": [*sheets["systems"], *(replace(system, code=code) for code in codes)],
        "pumps": [*sheets["pumps"], *(replace(turn, system=code) for code in codes)],
        "reservoirs": [
            *sheets["reservoirs"], *(replace(vessel, code=f"R{n}x") for n in range(vessels))
        ],
    }  # fmt: skip


def test_needs_and_caution_come_before_why_where_there_is_little_room() -> None:
    parts = HandParts(
        ["B1  Dose"], ["2 drops"], ["why one", "why two"], ["Needs: gloves"], ["! one", "! two"]
    )
    assert parts.within(5, 40) == ["B1  Dose", "2 drops", "Needs: gloves", "! one", "! two"]
    assert parts.within(6, 40)[2] == "why one …"
    assert len(parts.within(9, 40)) == 7


def seen(folder: Path, sheets: dict[str, list[Any]] | None = None) -> Picture:
    with Store.open(new_store(folder, sheets)) as store:
        found = picture(store, at("2027-03-06 07:30"))
    assert isinstance(found, Picture)
    return found


def whole(found: Picture) -> Round:
    return Round().merged(found.walk.stops, found.marks)


@pytest.mark.parametrize("width", [40, 60, 80, 140])
def test_nothing_of_the_top_is_cut_in_a_power_cut(tmp_path: Path, width: int) -> None:
    found = seen(tmp_path)
    told = ("CLOCK BEHIND THE JOURNAL (06 Mar 09:00)", "POWER CUT room, 14 to do: z")
    lines = top_lines(found, whole(found), SHAPES, width, told, most=9)
    text = "  ".join(lines)
    assert "…" not in text
    assert all(len(line) <= width for line in lines)
    for words in (*told, " min", *(vessel.code for vessel in found.room.reservoirs)):
        assert words in text


def test_what_is_amiss_is_named_before_what_is_well(tmp_path: Path) -> None:
    sheets = small_room()
    found = seen(tmp_path, many(sheets, 6, 8))
    turned = replace(found.room.pumps[0], state="off", at=datetime(2027, 3, 6, 6, tzinfo=UTC))
    room = replace(found.room, pumps=(*found.room.pumps, turned))
    lines = top_lines(replace(found, room=room), whole(found), SHAPES, 60, (), most=2)
    text = "  ".join(lines)
    assert len(lines) <= 2
    assert "…" not in text
    assert f"{turned.system} pump OFF" in text
    assert " well" in text


@pytest.mark.parametrize("size", SIZES)
async def test_a_power_cut_leaves_pumps_and_reservoirs_to_be_read(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    with Store.open(path) as store:
        begun = trouble_begin(store, at("2027-03-06 07:10"), "Maeve", "power-cut", "room", None)
        assert "power cut" in str(begun).lower()
    async with opened(path, size=size) as (app, _, _clock):
        top = flat(app).partition("▶")[0]
        assert "POWER CUT" in top
        assert "S pump OFF" in top
        assert app.picture is not None
        for vessel in app.picture.room.reservoirs:
            assert vessel.code in top


@pytest.mark.parametrize("size", SIZES)
async def test_the_caution_in_hand_is_whole_and_the_foot_keeps_its_keys(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        for _ in range(len(app.walk.round.lines)):
            line = app.walk.round.in_hand
            assert line is not None
            shown = str(app.walk.query_one("#hand", Static).render())
            assert KINDS[line.stop.due.job.kind].caution in " ".join(shown.split())
            await press(app, pilot, "2")
        foot = screen_text(app).splitlines()[-1]
        for key in ("5 done", "0 undo", "9 tank", "1 not today", "4 seen", "? keys"):
            assert key in foot


@pytest.mark.parametrize("size", SIZES)
async def test_9_shows_the_job_in_hand_whole_also_where_it_is_at_no_tank(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await press(app, pilot, "9")
        assert app.screen is not app.walk
        assert "Heaters and air" in flat(app)
        assert KINDS["check"].caution in flat(app)
        await press(app, pilot, "0")
        assert app.screen is app.walk


def test_the_top_wants_of_a_reservoir_what_is_lost_in_hoses_besides(tmp_path: Path) -> None:
    found = seen(tmp_path)
    round_ = whole(found)
    vessel = max(found.room.reservoirs, key=lambda one: round_.litres_wanted(one.code))
    at_tanks = round_.litres_wanted(vessel.code)
    assert at_tanks > 0
    just = replace(vessel, holds_litres=vessel.dead_litres + vessel.keep_back_litres + at_tanks + 1)
    lines = top_lines(
        replace(found, room=replace(found.room, reservoirs=(just,))), round_, SHAPES, 140, ()
    )
    wanted = found.room.setup.with_loss(at_tanks)
    assert f"{vessel.code} {at_tanks + 1:.0f} of {wanted:.0f}{SHAPES.late} L" in "  ".join(lines)
