"""A short day by keys: what has no time is read before the yes, and the top line then agrees."""

import re
from pathlib import Path

import pytest

from roomtasks.room.job import Job
from tests.rooms import small_room, store_with
from tests.tui.desk import flat, new_store, opened, screen_text
from tests.tui.side_keys import hit

SIZES = [(60, 20), (80, 24), (140, 45)]


@pytest.mark.parametrize("size", SIZES)
async def test_what_has_no_time_and_the_question_are_both_in_sight(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "z", "6", *"10", "enter")
        text = " ".join(screen_text(app).split())
        assert "that must not slip" in text
        assert "Do so? 1 yes" in text


async def test_the_top_line_has_the_minutes_that_were_said_to_be_kept(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "z", "6", *"10", "enter")
        said = re.search(r"kept: ([\d.]+) min now.*, of 10", flat(app))
        assert said is not None
        await hit(app, pilot, "1", "0")
        assert app.picture is not None
        assert app.picture.walk.minutes == pytest.approx(float(said[1]), abs=0.051)
        assert app.walk.round.minutes_left == pytest.approx(app.picture.walk.minutes)
        assert re.search(rf"\b{app.picture.walk.minutes:.0f}( of |/)10 min", screen_text(app))
        await hit(app, pilot, "z", "u", "0")
        assert not re.search(r"( of |/)10 min", screen_text(app))


async def test_the_minutes_left_fall_by_what_the_mark_took_and_no_set_up_comes_back(
    tmp_path: Path,
) -> None:
    """A set-up of 5 minutes was asked for again at the next tank after each mark."""
    sheets = small_room()
    sheets["jobs"] = [
        Job(code="wipe", name="Wipe", kind="wipe", where="tank B1 B2", rule="every 1 days",
            minutes=4.0, setup_minutes=5.0)
    ]  # fmt: skip
    path = tmp_path / "room.db"
    store_with(tmp_path, sheets).close()
    async with opened(path) as (app, pilot, _):
        left = [app.walk.round.minutes_left]
        for _ in range(2):
            await hit(app, pilot, "5")
            await pilot.pause(1.1)
            left.append(app.walk.round.minutes_left)
        assert left == pytest.approx([13, 4, 0])
