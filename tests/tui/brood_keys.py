"""The screen of the broods driven by keys alone: to a line, an act by its name, what is typed."""

from pathlib import Path

from textual.events import Key
from textual.pilot import Pilot

from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.broods import BroodsScreen
from roomtasks.tui.screens.page import PickScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import HandClock
from tests.tui.side_keys import hit, until_still

NAMES = {" ": "space", "+": "plus", "-": "minus", ".": "full_stop", "/": "slash", ",": "comma",
         ":": "colon"}  # fmt: skip


def on_screen(app: RoomApp) -> BroodsScreen:
    assert isinstance(app.screen, BroodsScreen), app.screen
    return app.screen


def lines(app: RoomApp) -> str:
    """All the list says, in one line, whatever of it is in view."""
    return " ".join(" ".join(row.text for row in on_screen(app).laid.rows).split())


def room_of(path: Path) -> Room:
    """The room as it is on the disk."""
    store = Store.open(path)
    try:
        found = read.room(store)
    finally:
        store.close()
    assert not isinstance(found, Problem)
    return found


async def fast(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Keys one after the other, as fast as they can be typed; all are taken after it."""
    for sign in keys:
        app.post_message(Key(NAMES.get(sign, sign), sign))
    await pilot.pause(0.01)


async def to_line(app: RoomApp, pilot: "Pilot[int]", key: str) -> None:
    """Down, or up, to a line."""
    await until_still(app, pilot)
    screen = on_screen(app)
    for _ in range(30):
        row, at = screen.laid.row_of(key), screen.query_one(LinesView).at
        assert row is not None, f"no line {key}: {[i.key for i in screen.laid.items if i]}"
        if screen.item is not None and screen.item.key == key:
            break
        jump = screen.laid.part_from(at, 1 if row > at else -1)
        if abs(row - jump) < abs(row - at):
            await fast(app, pilot, "1" if row > at else "7")
        else:
            await fast(app, pilot, *["2" if row > at else "8"] * abs(row - at))
    assert screen.item is not None
    assert screen.item.key == key


async def later(app: RoomApp, pilot: "Pilot[int]", clock: HandClock, **span: float) -> None:
    """Time passes, and the room is looked at again."""
    clock.pass_by(**span)
    await app.look_again()
    await until_still(app, pilot)


async def act(app: RoomApp, pilot: "Pilot[int]", label: str) -> None:
    """One of all that can be done at the line in hand, by its name."""
    screen = on_screen(app)
    assert screen.item is not None
    labels = [each.label for each in screen.item.acts]
    assert label in labels, labels
    await hit(app, pilot, "4")
    if isinstance(app.screen, PickScreen):
        await _down(app, pilot, labels.index(label), len(labels))
    elif screen.question is not None:
        await hit(app, pilot, str(labels.index(label) + 1))


async def _down(app: RoomApp, pilot: "Pilot[int]", row: int, rows: int) -> None:
    """To a row of a page, from its top or its end, and take it."""
    back = rows - 1 - row
    if back + 1 < row and rows <= app.size.height - 4:
        await fast(app, pilot, "3", *["8"] * back)
    else:
        await fast(app, pilot, *["2"] * row)
    await hit(app, pilot, "5")


async def enter(app: RoomApp, pilot: "Pilot[int]", *answers: str) -> None:
    """What is typed, each with Enter."""
    for text in answers:
        await fast(app, pilot, *text)
        await hit(app, pilot, "enter")


async def pick(app: RoomApp, pilot: "Pilot[int]", begins: str) -> None:
    """A line of the page that is open."""
    page = app.screen
    assert isinstance(page, PickScreen), app.screen
    rows = page.rows(app.size.width - 1)
    at = next((n for n, row in enumerate(rows) if row.text.strip().startswith(begins)), None)
    assert at is not None, [row.text for row in rows]
    await _down(app, pilot, at, len(rows))


def said(app: RoomApp) -> str:
    """The sentence or the question at the foot."""
    screen = on_screen(app)
    return screen.question.line() if screen.question is not None else screen.said
