"""Today by the plan of the weeks, on the walk: the same keys act on what it shows."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from roomtasks.room.job import Job
from roomtasks.room.occurrence import State
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from tests.rooms import small_room
from tests.tui.desk import flat, in_hand, new_store, opened, press, settle

FRIDAY = "2027-03-05 07:30"
SIZES = [(60, 20), (80, 24), (140, 45)]


def open_room(folder: Path) -> Path:
    """The small room with two jobs that are open on Friday and due on Sunday."""
    sheets = small_room()
    wide: dict[str, Any] = {
        "rule": "every 14 days",
        "window": "-3/+3",
        "starts": date(2027, 3, 7),
        "minutes": 3.0,
    }
    more = [
        Job(code="nets", name="Nets", kind="gear", where="room", **wide),
        Job(code="glass", name="Front glass", kind="wipe", where="tank B1", **wide),
    ]
    return new_store(folder, {**sheets, "jobs": [*sheets["jobs"], *more]})


async def by_plan(app: RoomApp, pilot: "Pilot[int]") -> None:
    await press(app, pilot, "full_stop", "full_stop", "full_stop", "6")
    for _ in range(1500):
        if app.walk.plan is not None:
            break
        await pilot.pause(0.02)
    await settle(pilot)


def ahead(app: RoomApp) -> list[str]:
    """Lines of the walk that are not due yet."""
    lines = app.walk.round.lines
    return [line.id for line in lines if line.stop.due.state is State.OPEN and line.waits]


async def to(app: RoomApp, pilot: "Pilot[int]", name: str) -> None:
    for _ in range(len(app.walk.round.lines)):
        if in_hand(app) == name:
            return
        await press(app, pilot, "2")


@pytest.mark.parametrize("size", SIZES)
async def test_the_walk_shows_what_may_wait_and_what_could_be_done(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(open_room(tmp_path), when=FRIDAY, size=size) as (app, pilot, _):
        before = [line.id for line in app.walk.round.lines]
        await by_plan(app, pilot)
        assert "by the plan" in flat(app)
        assert "+ shows all" in flat(app)
        assert [line.id for line in app.walk.round.lines][: len(before)] == before
        waiting = [name for name, aside in app.walk.asides.items() if aside.leaves]
        assert set(waiting) <= set(before)
        assert ahead(app)
        await to(app, pilot, ahead(app)[-1])
        shown = str(app.walk.query_one("#hand", Static).render())
        assert app.walk.asides[in_hand(app)].whole in " ".join(shown.split())
        await press(app, pilot, "plus")
        assert [line.id for line in app.walk.round.lines] == before
        assert "by the plan" not in flat(app)


async def test_its_lines_are_marked_by_the_keys_of_the_walk(tmp_path: Path) -> None:
    path = open_room(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await by_plan(app, pilot)
        first, *others = ahead(app)
        await to(app, pilot, first)
        await press(app, pilot, "5")
        if app.walk.hands:
            await press(app, pilot, "5")
        assert first not in ahead(app)
        done = next(line for line in app.walk.round.lines if line.id == first)
        assert done.said.startswith("done")
        assert set(ahead(app)) == set(others)
        await press(app, pilot, "9")
        assert app.screen is not app.walk
        await press(app, pilot, "0", "0")
        assert "Taken back" in flat(app)
        assert first in ahead(app)
    with Store.open(path) as store:
        assert [act.verb for act in search.acts(store)][:2] == ["undo", "done"]


async def test_what_waits_by_the_plan_may_be_left_out_from_there(tmp_path: Path) -> None:
    path = open_room(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await by_plan(app, pilot)
        line = app.walk.round.in_hand
        assert line is not None
        await press(app, pilot, "7", "2")
        said = next(each for each in app.walk.round.lines if each.id == line.id).said
        assert said.startswith("left out")
        assert app.walk.plan is not None


async def test_a_new_day_shows_all_of_the_walk(tmp_path: Path) -> None:
    async with opened(open_room(tmp_path), when=FRIDAY) as (app, pilot, clock):
        await by_plan(app, pilot)
        clock.pass_by(days=1)
        await pilot.pause(1.6)
        await settle(pilot)
        assert app.picture is not None
        assert app.picture.today == date(2027, 3, 6)
        assert app.walk.plan is None
        assert not app.walk.asides


async def test_the_short_walk_takes_the_place_of_the_plan_and_says_so(tmp_path: Path) -> None:
    async with opened(open_room(tmp_path), when=FRIDAY) as (app, pilot, _):
        await by_plan(app, pilot)
        await press(app, pilot, "plus", "plus")
        assert app.walk.fitted is not None
        assert "short walk" in flat(app)
        await press(app, pilot, "plus")
        assert "short walk" not in flat(app)
