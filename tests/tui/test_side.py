"""The frame of the lists beside the walk, with a list made for the test."""

from datetime import datetime
from pathlib import Path
from typing import ClassVar

import pytest
from textual.binding import BindingType

from roomtasks.room.problem import Problem
from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.tui import side_desk
from roomtasks.tui.app import RoomApp
from roomtasks.tui.keys import bindings
from roomtasks.tui.screens.side import Look, SideScreen
from roomtasks.tui.side_acts import Act, Ask, Do
from roomtasks.tui.signs import Signs
from roomtasks.tui.water_items import Item, Part
from roomtasks.work import room_acts
from tests.tui.desk import new_store, opened, screen_text
from tests.tui.side_keys import hit


def noted(answers: tuple[str, ...], anyway: bool) -> Do | Problem:
    """A note at the room; one that says nothing is refused, one that shouts unless insisted on."""
    text = " ".join(answers)
    if not text.strip("-"):
        return Problem("note", "the note says nothing", "type a word")
    if text.isupper() and not anyway:
        return Problem("note", "it shouts", "write it small, or say --anyway", "loud")
    return lambda store, now, who: room_acts.seen(store, now, who, "room", "note", note=text)


NOTE = Act(label="note", make=noted, asks=(Ask(text="Note, then Enter:"),))
SURE = Act(label="fixed note", make=lambda _, __: noted(("all well",), False), sure="Note that")
FEW = Act(label="one of two", make=noted,
          asks=(Ask(text="Which:", choices=("left", "right"), values=("L", "R")),))  # fmt: skip
FIRST = Act(label="told first", make=noted, asks=(Ask(text="Note, then Enter:"),), sure="Note it",
            first=lambda answers: lambda _, __: (
                Problem("note", "it is too long", "say less") if len(answers[0]) > 2
                else (f"one note more, of {len(answers[0])} letters",)
            ))  # fmt: skip
WHOLE = Act(label="told at length", make=noted, asks=(Ask(text="Note, then Enter:"),),
            sure="Note it", first=lambda answers: lambda _, __: tuple(
                f"line {n} of what would come of {answers[0]}, at some length" for n in range(30)
            ))  # fmt: skip
LONG = Act(label="long ones", make=noted, asks=(
    Ask(text="Which long one", choices=("left " * 40, "right " * 40), values=("L", "r"), page=True),
))  # fmt: skip
TWELVE = tuple(f"word {n}" for n in range(12))
MANY = Act(label="one of many", make=noted, asks=(Ask(text="Which of many", choices=TWELVE),))


class NotesScreen(SideScreen[int]):
    """So many notes are in the journal."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("apart")
    side = "apart"
    title_words = "Notes"

    def looker(self) -> Look:
        def look(store: Store, now: datetime) -> int:
            return len(search.events_at(store, ["room"], 99))

        return look

    def top(self, seen: int, width: int) -> str:
        return f"{seen} notes"

    def next(self, seen: int, width: int) -> str:
        return "nothing is next"

    def parts(self, seen: int, width: int) -> list[Part]:
        first = Item(key="a", text="The first line", acts=(NOTE, SURE, FEW, MANY), more=("more",))
        last = Item(key="c", text="The last line", acts=(SURE, FIRST, LONG, WHOLE))
        return [Part("One", (first, Item(key="b", text="Nothing here"))), Part("Two", (last,))]


@pytest.fixture(autouse=True)
def notes(monkeypatch: pytest.MonkeyPatch) -> None:
    def made(name: str, signs: Signs) -> NotesScreen:
        return NotesScreen(signs)

    monkeypatch.setattr(side_desk, "screen_of", made)


def flat(app: RoomApp) -> str:
    return " ".join(screen_text(app).split())


def on_screen(app: RoomApp) -> NotesScreen:
    assert isinstance(app.screen, NotesScreen)
    return app.screen


def count(app: RoomApp) -> int:
    seen = on_screen(app).seen
    assert seen is not None
    return seen


@pytest.mark.parametrize("key", ["s", "v", "y", "z"])
async def test_a_key_of_the_walk_opens_it_and_0_closes_it(tmp_path: Path, key: str) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, key)
        assert on_screen(app).said == ""
        assert "nothing is next" in flat(app)
        assert ">The first line" in flat(app) or "▶The first line" in flat(app)
        await hit(app, pilot, "0")
        assert app.screen is app.walk
        assert app.side.screen is None


async def test_the_number_pad_alone_opens_it(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "full_stop", "full_stop", "full_stop")
        assert "1 water 2 fish kept apart 3 broods 4 weeks 5 bad day" in flat(app)
        await hit(app, pilot, "2")
        assert isinstance(app.screen, NotesScreen)


async def test_what_is_typed_is_entered_and_shown_and_taken_back(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        before = count(app)
        await hit(app, pilot, "6", "h", "i", "enter")
        assert count(app) == before + 1
        assert "hi" in on_screen(app).said
        await hit(app, pilot, "u")
        assert count(app) == before
        assert "Taken back" in on_screen(app).said


async def test_acts_are_listed_and_a_yes_is_asked(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "4")
        assert "Do: 1 note 2 fixed note 3 one of two 4 one of many" in flat(app)
        await hit(app, pilot, "2")
        assert "Note that? 1 yes" in flat(app)
        before = count(app)
        await hit(app, pilot, "escape")
        assert count(app) == before
        await hit(app, pilot, "4", "2", "1")
        assert count(app) == before + 1


async def test_a_choice_is_taken_by_its_digit_or_from_a_page(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "4", "3", "2")
        assert "it shouts" in flat(app)  # R alone is upper case
        await hit(app, pilot, "escape", "4", "4")
        assert "Which of many" in flat(app)
        await hit(app, pilot, "2", "2", "5")
        assert isinstance(app.screen, NotesScreen)
        assert "word 2" in on_screen(app).said


async def test_a_refusal_is_said_and_may_be_overruled_where_it_says_so(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        before = count(app)
        await hit(app, pilot, "6", "minus", "enter")
        assert "the note says nothing; type a word" in flat(app).lower()
        await hit(app, pilot, "6", "H", "O", "enter")
        assert "it shouts" in flat(app)
        assert "--anyway" not in flat(app)
        assert "Do it all the same? 1 yes" in flat(app)
        assert count(app) == before
        await hit(app, pilot, "1")
        assert count(app) == before + 1


async def test_lines_without_acts_say_so_and_the_foot_names_what_6_does(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s")
        assert "6 note" in flat(app)
        await hit(app, pilot, "2")
        assert "6 note" not in flat(app)
        await hit(app, pilot, "6")
        assert "Nothing is to be done on this line." in flat(app)
        await hit(app, pilot, "1")
        assert "6 fixed note" in flat(app)
        await hit(app, pilot, "7", "5")
        assert "How it came" in flat(app)


async def test_a_key_hit_twice_within_a_second_counts_once(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "1")
        before = count(app)
        await pilot.press("6", "6")
        assert on_screen(app).question is not None
        await hit(app, pilot, "1")
        assert count(app) == before + 1


async def test_what_would_come_of_an_act_is_shown_before_the_yes(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "1")
        before = count(app)
        await hit(app, pilot, "4", "2", "h", "i", "enter")
        assert "one note more, of 2 letters; Note it? 1 yes" in flat(app)
        assert count(app) == before
        await hit(app, pilot, "1")
        assert count(app) == before + 1
        await hit(app, pilot, "4", "2", "l", "o", "n", "g", "enter")
        assert "it is too long; say less" in flat(app).lower()
        assert count(app) == before + 1


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 45)])
async def test_what_would_come_of_it_at_length_is_a_page_before_the_yes(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "s", "1")
        before = count(app)
        await hit(app, pilot, "4", "4", "h", "i", "enter")
        assert "What would come of it" in flat(app)
        assert "0 on to the question" in flat(app)
        await hit(app, pilot, *["3"] * 8)
        assert "line 29 of what would come of hi" in flat(app)
        await hit(app, pilot, "0")
        assert "Note it? 1 yes" in flat(app)
        assert count(app) == before
        await hit(app, pilot, "1")
        assert count(app) == before + 1


async def test_long_choices_wrap_and_any_line_of_one_takes_it(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await hit(app, pilot, "s", "1", "4", "3")
        assert flat(app).count("right") == 40
        await hit(app, pilot, "2", "2", "2", "2", "2", "5")
        assert isinstance(app.screen, NotesScreen)
        assert "(r)" in on_screen(app).said
