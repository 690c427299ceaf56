"""The tick of a destination by keys alone: for one tank, kept, and asked again for another."""

from pathlib import Path

from tests.tui.desk import new_store, opened
from tests.tui.list_keys import choose, go, hit, on_apart, pick

LINE = "line stay-1 destination"


async def test_a_tick_is_for_the_tank_that_was_named(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "lot stay-1")
        await choose(app, pilot, "name the destination")
        await pick(app, pilot, "A3")
        await choose(app, pilot, "tick A3")
        item = on_apart(app).item
        assert item is not None
        assert item.key == LINE
        assert "A3" in item.text
        await choose(app, pilot, "name the destination")
        await pick(app, pilot, "A1")
        item = on_apart(app).item
        assert item is not None
        assert "the tick was for A3, not for A1" in item.text
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "s")
        await go(app, pilot, "lot stay-1")
        item = on_apart(app).item
        assert item is not None
        assert "release to A3" in [act.label for act in item.acts]
