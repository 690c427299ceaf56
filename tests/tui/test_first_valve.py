"""A tank's first valve is turned on the screen, so that a system can be begun there."""

from pathlib import Path

from tests.rooms import small_room, store_with
from tests.tui.desk import flat, opened
from tests.tui.list_keys import go, hit, pick, said


async def test_a_system_without_a_valve_takes_its_first_tank(tmp_path: Path) -> None:
    store = store_with(tmp_path, {**small_room(), "valves": []})
    store.close()
    async with opened(store.path, size=(80, 45)) as (app, pilot, _):
        await hit(app, pilot, "s")
        assert "S: no valve is open" in flat(app)
        await go(app, pilot, "system S")
        await hit(app, pilot, "6")
        await pick(app, pilot, "A3")
        assert "A3 joins the water of S" in flat(app)
        await hit(app, pilot, "1")
        assert "valve of A3 on S opened" in said(app)
        assert "S: 1 valves open" not in flat(app)
        assert "S: 1 valve open" in flat(app)
