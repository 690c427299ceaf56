"""What the screens say of the demo room is in words, and the page of keys says each sign."""

from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui import words
from roomtasks.tui.app import RoomApp
from roomtasks.tui.keeper import tank_history
from roomtasks.tui.screens.listed import ListedScreen
from roomtasks.tui.sign_words import meanings
from roomtasks.tui.signs import PLAIN, SHAPES
from roomtasks.tui.water_words import opened_rows
from roomtasks.tui.widgets.lines_view import LinesView
from roomtasks.work import demo, trouble_acts
from roomtasks.work.transfer import import_folder
from tests.plain_words import codes_of, raw_forms
from tests.tui.desk import opened, screen_text, settle
from tests.tui.side_keys import hit

WIDTH = 100
SIZE = (140, 45)
LISTS = (("c", "water"), ("s", "apart"), ("v", "broods"), ("y", "weeks"), ("z", "trouble"))
TROUBLES = (("power-cut", ""), ("heater", "P21"), ("leak", "W22"), ("outbreak", "P21"),
            ("reservoir", "V1"))  # fmt: skip


@pytest.fixture
def room_file(tmp_path: Path) -> Path:
    """A copy of the demo room."""
    folder, file = demo.demo_folder(), tmp_path / "room.db"
    assert folder is not None
    assert not isinstance(import_folder(folder, file), Problem)
    return file


@pytest.fixture
def codes(room_file: Path) -> frozenset[str]:
    with Store.open(room_file) as store:
        room = read.room(store)
    assert not isinstance(room, Problem)
    return codes_of(room)


def rows(app: RoomApp) -> str:
    lines = app.screen.query_one(LinesView)
    return "\n".join(lines.row_at(n).text for n in range(lines.count))


def of_list(screen: ListedScreen) -> str:
    """All a list says: its lines, what they open to, and what their acts ask."""
    items = {item.key: item for item in screen.laid.items if item is not None}.values()
    said = [row.text for row in screen.laid.rows]
    for item in items:
        said += [row.text for row in opened_rows(item.opened(), WIDTH)] if item.opens else []
        for act in item.acts:
            said += [act.label, act.sure, *(ask.text for ask in act.asks)]
    return "\n".join(said)


def plain(text: str, codes: frozenset[str]) -> None:
    """Fail on raw forms, but for days as they are typed, dots of pictures and old journal lines."""
    found = [
        each
        for each in raw_forms(text, codes)
        if "doubled stop" not in each and "Enter today" not in each
    ]
    assert found == []


async def test_the_walk_and_every_tank_are_in_words(
    room_file: Path, codes: frozenset[str]
) -> None:  # fmt: skip
    async with opened(room_file, when="2027-05-16 07:10", size=SIZE, who="Rita") as (app, _, _):
        picture = app.picture
        assert picture is not None
        plain(screen_text(app), codes)
        for line in app.walk.round.lines:
            plain("\n".join(words.hand_lines(picture, line, app.signs, WIDTH, 40)), codes)
        for sort in ("held", "done"):
            plain("\n".join(row.text for row in words.other_rows(picture, sort, app.signs, WIDTH)),
                  codes)  # fmt: skip
        for code in picture.room.tank:
            with Store.open(room_file) as store:
                history = tank_history(store, picture, code)
            page = words.tank_lines(picture, code, history, WIDTH)
            plain("\n".join(row.text for row in page), codes)
            plain("\n".join(words.here_lines(picture, code, WIDTH)), codes)


async def test_every_list_is_in_words_and_its_signs_are_told(
    room_file: Path, codes: frozenset[str]
) -> None:  # fmt: skip
    async with opened(room_file, when="2027-05-16 07:10", size=SIZE, who="Rita") as (app, pilot, _):
        for key, name in LISTS:
            await hit(app, pilot, key)
            assert isinstance(app.screen, ListedScreen)
            plain(screen_text(app) + "\n" + of_list(app.screen), codes)
            await hit(app, pilot, "question_mark")
            assert all(meaning.split()[-1] in rows(app) for _, meaning in meanings(name, SHAPES))
            plain(rows(app), codes)
            await hit(app, pilot, "0", "0")


async def test_bad_days_are_in_words(room_file: Path, codes: frozenset[str]) -> None:
    async with opened(room_file, when="2027-05-16 07:10", size=SIZE, who="Rita") as (app, pilot, _):
        for sort, place in TROUBLES:
            with Store.open(room_file) as store:
                begun = trouble_acts.trouble_begin(store, app.now(), "Rita", sort, place)
            assert not isinstance(begun, Problem)
            await app.look_again()
            await settle(pilot)
            plain(begun.words + "\n" + screen_text(app), codes)
            await hit(app, pilot, "z")
            assert isinstance(app.screen, ListedScreen)
            plain(of_list(app.screen), codes)
            await hit(app, pilot, "0")
        assert app.picture is not None
        held = words.other_rows(app.picture, "held", app.signs, WIDTH)
        plain("\n".join(row.text for row in held), codes)


@pytest.mark.parametrize("signs", [SHAPES, PLAIN], ids=["shapes", "plain"])
@pytest.mark.parametrize("name", ["walk", *(name for _, name in LISTS)])
def test_no_sign_of_a_screen_is_told_without_words(name: str, signs: object) -> None:
    told = meanings(name, signs)  # type: ignore[arg-type]
    assert all(sign and meaning for sign, meaning in told)
    assert len({*told}) == len(told)
