"""The screen of the broods by keys alone: what it shows, what is entered, what is refused."""

from pathlib import Path

import pytest

from tests.tui.brood_room import DAY, brood_store
from tests.tui.desk import flat, new_store, opened
from tests.tui.list_keys import hit, lines

SIZES = [(60, 20), (80, 24), (140, 45)]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    store = brood_store(tmp_path)
    store.close()
    return store.path


@pytest.mark.parametrize("size", SIZES)
async def test_broods_are_lines_of_growth(path: Path, size: tuple[int, int]) -> None:
    async with opened(path, when=DAY, size=size) as (app, pilot, _):
        await hit(app, pilot, "v")
        assert "Broods Thu 6 May 2 open" in flat(app)
        said = lines(app)
        assert "c1 calvus of calvus B1 day 58, counted about 120 fish" in said
        assert "smallest 23, middle 25, largest 28 mm, total length" in said
        assert "35 mm to sell Tue 1 Jun, between Thu 27 May and Mon 7 Jun" in said
        assert (
            "(next spawn): the parents were to spawn again, and may any day: it was about Thu 8 Apr"
            in said
        )
        assert "l1 lelupi of lelupi B2 day 3, eggs not counted" in said
        assert "next: look for the hatch, Thu 6 May, today" in said
        assert "6 plan move" in flat(app)
        await hit(app, pilot, "0")
        assert app.screen is app.walk


async def test_a_room_without_broods_says_how_to_begin(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "v")
        assert "No brood is open; 6 notes a spawn that was seen" in flat(app)
