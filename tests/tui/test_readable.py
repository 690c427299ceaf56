"""What is looked up from the walk and the lists can be read to its end, at every size."""

from pathlib import Path

import pytest

from roomtasks.room.room import SHEET
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.asking import Question
from roomtasks.tui.screens.side import SideScreen
from roomtasks.tui.screens.walk_view import TURNED
from roomtasks.tui.water_items import Item, Part, laid
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import flat, in_hand, new_store, opened, press, screen_text
from tests.tui.side_keys import hit

SIZES = [(60, 20), (80, 24), (140, 45)]


@pytest.mark.parametrize("size", SIZES)
async def test_a_list_that_is_turned_up_is_read_to_its_end_and_marks_nothing(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        hand = in_hand(app)
        await press(app, pilot, "full_stop")
        assert TURNED["held"] in flat(app)
        lines = app.walk.query_one(LinesView)
        seen = screen_text(app)
        for _turn in range(20):
            await press(app, pilot, "2")
            seen += screen_text(app)
        assert all(lines.row_at(n).text.split()[-1] in seen for n in range(lines.count))
        assert in_hand(app) == hand
        await press(app, pilot, "5")
        assert app.walk.list_sort == "walk"
        assert "Nothing was marked" in flat(app)
        await press(app, pilot, "5")
        assert "done; next" in flat(app)
    with Store.open(path) as store:
        assert len(read.rows(store, SHEET["marks"])) == 1


async def test_a_finger_that_slips_on_a_turned_list_marks_nothing(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "full_stop")
        await pilot.press("5", "5")
        assert app.walk.list_sort == "walk"
    with Store.open(path) as store:
        assert not read.rows(store, SHEET["marks"])


@pytest.mark.parametrize("width", [20, 40, 60, 80])
def test_no_choice_is_broken_from_its_number(width: int) -> None:
    words = ("no water", "fish too young", "waiting for parts", "not needed")
    shown = Question("x", "Cannot be done, because:", words).shown(width).splitlines()
    assert all(len(line) <= width for line in shown)
    for number, word in enumerate(words, start=1):
        assert any(f"{number} {word}" in line for line in shown)
    assert "0 leaves it" in shown[-1]


def test_a_question_that_fits_is_one_line() -> None:
    question = Question("x", "Which:", ("left", "right"))
    assert question.shown(60) == question.line() == "Which: 1 left  2 right  0 leaves it"


@pytest.mark.parametrize("size", SIZES)
async def test_a_tank_with_nothing_on_the_walk_says_what_is_still_in_hand(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        on_walk = {line.stop.due.tank for line in app.walk.round.lines}
        assert app.picture is not None
        bare = next((code for code in app.picture.room.tank if code not in on_walk), "")
        assert bare
        await press(app, pilot, "asterisk", *bare, "enter")
        assert f"Tank {bare} is not on the walk: 9 opens it." in flat(app)
        assert "In hand is still Heaters and air at room." in flat(app)
        await press(app, pilot, "9")
        assert f"Tank {bare}" in flat(app)


@pytest.mark.parametrize("size", SIZES)
async def test_facts_are_whole_and_a_field_says_what_it_is(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=size) as (app, pilot, _):
        await press(app, pilot, "e")
        lines = app.screen.query_one(LinesView)
        whole = " ".join(lines.row_at(n).text.strip() for n in range(lines.count))
        assert "…" not in whole
        with Store.open(path) as store:
            last = read.rows(store, SHEET["jobs"])[-1]
        while lines.at < lines.count - 1:
            await press(app, pilot, "3")
        await press(app, pilot, "5")
        assert last.name in flat(app)
        await press(app, pilot, "down", "down")
        said = str(app.screen.query_one("#said").render())
        assert said.startswith("where: ")
        assert "…" not in said


@pytest.mark.parametrize("size", SIZES)
async def test_a_trouble_that_is_begun_is_in_hand_at_its_first_step(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "z", "1", "6", "5", "enter")
        screen = app.screen
        assert isinstance(screen, SideScreen)
        assert screen.item is not None
        assert screen.item.text in flat(app)
        assert "6 step done" in flat(app)
        top = flat(app).partition("▶")[0]
        assert "not over" in top
        assert "…" not in top


def test_a_line_is_found_with_all_its_rows() -> None:
    long, short = Item(key="a", text="word " * 40), Item(key="b", text="end")
    found = laid([Part("Head", (long, short))], 30)
    first, rows = found.extent(3)
    assert first == 1
    assert rows > 3
    assert found.extent(first + rows) == (first + rows, 1)
    assert found.extent(0) == (0, 1)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("keys", [("2", "8"), ("3", "9")])
async def test_walking_a_list_by_lines_or_pages_skips_none(
    tmp_path: Path, size: tuple[int, int], keys: tuple[str, str]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "z", "1", "6", "5", "enter", "9", "9", "9")
        screen = app.screen
        assert isinstance(screen, SideScreen)
        rows = [row.text.strip() for row in screen.laid.rows]
        for key in keys:
            seen = screen_text(app)
            for _turn in range(len(rows)):
                await pilot.press(key)
                await pilot.pause(0.01)
                seen += screen_text(app)
            assert all(row in seen for row in rows[1:])
