"""Driving the lists beside the walk by keys alone: to a line, an act by its name, pages, typing."""

import asyncio
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from textual import events
from textual.pilot import Pilot

from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.apart import ApartScreen
from roomtasks.tui.screens.broods import BroodsScreen
from roomtasks.tui.screens.page import PickScreen
from roomtasks.tui.screens.side import SideScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import HandClock

NAMES = {" ": "space", "+": "plus", "-": "minus", ".": "full_stop", "/": "slash", ",": "comma",
         ":": "colon"}  # fmt: skip
LONGEST_SECONDS = 2.0
SIGNS = {name: sign for sign, name in NAMES.items()}


# ---- what is there -------------------------------------------------------------------------------


def on_list(app: RoomApp) -> SideScreen[Any]:
    """The list that is open."""
    assert isinstance(app.screen, SideScreen), app.screen
    return app.screen


def on_apart(app: RoomApp) -> ApartScreen:
    assert isinstance(app.screen, ApartScreen), app.screen
    return app.screen


def on_broods(app: RoomApp) -> BroodsScreen:
    assert isinstance(app.screen, BroodsScreen), app.screen
    return app.screen


def said(app: RoomApp) -> str:
    """The question that is open, else the last sentence."""
    screen = on_list(app)
    return screen.question.line() if screen.question is not None else screen.said


def lines(app: RoomApp) -> str:
    """All the list says, in one line, whatever of it is in view."""
    return " ".join(" ".join(row.text for row in on_list(app).laid.rows).split())


def room_of(path: Path) -> Room:
    """The room as it is on the disk."""
    with Store.open(path) as store:
        found = read.room(store)
    assert not isinstance(found, Problem)
    return found


# ---- keys ----------------------------------------------------------------------------------------


async def _within(begin: Callable[[Callable[[], object]], object]) -> None:
    """Until what is begun calls back, or a screen that was left meanwhile never will."""
    done = asyncio.Event()
    begin(done.set)
    with suppress(TimeoutError):
        await asyncio.wait_for(done.wait(), LONGEST_SECONDS)


async def until_still(app: RoomApp, pilot: "Pilot[int]") -> None:
    """Until keys and acts are through and this list was looked at anew, and is painted.

    The water may go on being worked out.
    """
    still = 0
    for _ in range(400):
        for _ in range(2):
            await _within(app.call_later)
            await _within(app.screen.call_later)
        busy = any(each.is_running and each.name != "_later" for each in app.workers)
        still = 0 if busy else still + 1
        if still == 2:
            break
        await asyncio.sleep(0.005 if busy else 0)
    for _ in range(2):
        await _within(app.screen.call_after_refresh)


def _send(app: RoomApp, key: str) -> None:
    """A key as the terminal sends it."""
    event = events.Key(key, SIGNS.get(key, key if len(key) == 1 else None))
    event.set_sender(app)
    assert app._driver is not None
    app._driver.send_message(event)


async def hit(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Keys with time between them, as a person hits them."""
    for key in keys:
        screen = app.screen
        if isinstance(screen, SideScreen):
            screen._last, screen._opened_by = ("", -10.0), ("", -10.0)
        _send(app, key)
        await until_still(app, pilot)


async def press_all(app: RoomApp, pilot: "Pilot[int]", *keys: str) -> None:
    """Many keys without waiting between them, as typed ahead; then what they bring about."""
    for key in keys:
        _send(app, key)
        await asyncio.sleep(0)
    await until_still(app, pilot)


async def typed(app: RoomApp, pilot: "Pilot[int]", *texts: str) -> None:
    """Texts, each with Enter; nothing typed is Enter alone."""
    for text in texts or ("",):
        await press_all(app, pilot, *(NAMES.get(sign, sign) for sign in text), "enter")


async def escape(app: RoomApp, pilot: "Pilot[int]") -> None:
    await hit(app, pilot, "escape")


async def later(app: RoomApp, pilot: "Pilot[int]", clock: HandClock, **span: float) -> None:
    """Time passes, and the room is looked at again."""
    clock.pass_by(**span)
    await app.look_again()
    await until_still(app, pilot)


# ---- lines, acts, pages --------------------------------------------------------------------------


async def go(app: RoomApp, pilot: "Pilot[int]", key: str) -> None:
    """Take the item of a key in hand."""
    screen = on_list(app)
    wanted, at = screen.laid.row_of(key), screen.query_one(LinesView).at
    keys = sorted({item.key for item in screen.laid.items if item is not None})
    assert wanted is not None, f"{key} is none of {keys}"
    step = "2" if wanted > at else "8"
    await press_all(app, pilot, *[step] * abs(wanted - at))
    assert screen.item is not None
    assert screen.item.key == key


async def pick(app: RoomApp, pilot: "Pilot[int]", words: str) -> None:
    """Take a line of a page by how it begins."""
    screen = app.screen
    assert isinstance(screen, PickScreen), screen
    view = screen.query_one(LinesView)
    rows = [view.row_at(n).text for n in range(view.count)]
    at = next((n for n, row in enumerate(rows) if row.strip().startswith(words)), None)
    assert at is not None, f"{words} is none of {rows}"
    await press_all(app, pilot, *["2"] * (at - view.at))
    await hit(app, pilot, "5")


async def choose(app: RoomApp, pilot: "Pilot[int]", label: str) -> None:
    """Do an act of the line in hand, from the list of all of them."""
    screen = on_list(app)
    assert screen.item is not None
    labels = [act.label for act in screen.item.acts]
    assert label in labels, f"{label} is none of {labels}"
    await hit(app, pilot, "4")
    page = app.screen
    if isinstance(page, PickScreen):
        await press_all(app, pilot, *["2"] * labels.index(label))
        await hit(app, pilot, "5")
    elif screen.question is not None:
        await hit(app, pilot, str(labels.index(label) + 1))
