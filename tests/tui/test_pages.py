"""The other pages: a tank, the journal, the keys, the forms, the guided start."""

from dataclasses import replace
from pathlib import Path

import pytest
from textual.widgets import Input

from roomtasks.room.problem import Problem
from roomtasks.room.room import SHEET
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui import keeper
from roomtasks.tui.keys import KEYS, markdown
from roomtasks.tui.screens.facts import OFFERED, FactsScreen, FormScreen
from roomtasks.tui.screens.start import DEMO_WANTED, StartScreen
from roomtasks.tui.widgets.lines_view import LinesView
from roomtasks.work import room_acts
from tests.rooms import at, small_room, store_with
from tests.tui.desk import flat, new_store, opened, press, screen_text, settle

DOCS = Path(__file__).parents[2] / "docs"


async def test_a_tank_page_says_who_how_much_and_why(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(100, 40)) as (app, pilot, _):
        await press(
            app, pilot, "asterisk", "b", "1", "enter", "5", "asterisk", "b", "1", "enter", "9"
        )
        text = flat(app)
        assert "6 calvus (calvus), adult (1 male, likely; 3 female, sure; 2 not sexed)" in text
        assert "83.5 L, computed" in text
        assert "stands alone" in text
        assert "Look over: done by Maeve" in text
        await press(app, pilot, "0")
        assert app.screen is app.walk


async def test_the_journal_can_be_searched(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "0", "slash")
        assert "taken back: Heaters and air: done" in flat(app)
        assert "[taken back by act 2]" in flat(app)
        await press(app, pilot, "slash", "z", "z", "enter")
        assert "no such line" in flat(app)


async def test_the_journal_goes_as_far_back_as_one_pages(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(keeper, "JOURNAL_LINES", 60)
    store = store_with(tmp_path, small_room())
    for n in range(150):
        when = at(f"2027-03-05 {10 + n // 60}:{n % 60:02}")
        told = room_acts.seen(store, when, "", "room", "note", note=f"number {n}")
        assert not isinstance(told, Problem)
    store.close()
    async with opened(store.path) as (app, pilot, _):
        await press(app, pilot, "slash")
        lines = app.screen.query_one(LinesView)
        assert lines.count == 60
        await press(app, pilot, *(["3"] * 12))
        assert lines.count == 150
        assert lines.at == 149
        assert lines.row_at(149).text.startswith("1 Fri 5 Mar")
        assert len({lines.row_at(n).text for n in range(150)}) == 150


async def test_the_keys_page_and_its_doc_agree_with_the_program(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(100, 45)) as (app, pilot, _):
        await press(app, pilot, "question_mark")
        for key in KEYS[:8]:
            assert key.doc.split(".")[0][:40] in flat(app)
    assert (DOCS / "keys.md").read_text("utf-8") == markdown()


async def test_a_job_is_changed_in_a_form_that_checks_while_it_is_typed(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(100, 45)) as (app, pilot, _):
        await press(app, pilot, "e", "5")
        assert isinstance(app.screen, FormScreen)
        app.screen.query_one("#f-rule", Input).value = "every so often"
        await settle(pilot)
        assert "is not an interval" in flat(app)
        await press(app, pilot, "f2")
        app.screen.query_one("#f-rule", Input).value = "every 2 days"
        app.screen.query_one("#f-name", Input).value = "Look hard"
        await settle(pilot)
        await press(app, pilot, "f2")
        assert isinstance(app.screen, FactsScreen)
    with Store.open(path) as store:
        jobs = {job.code: job for job in read.rows(store, SHEET["jobs"])}
    assert jobs["carbon"].rule == "every 2 days"
    assert jobs["carbon"].name == "Look hard"


async def test_arrows_go_from_field_to_field_in_a_form_longer_than_the_screen(
    tmp_path: Path,
) -> None:
    async with opened(new_store(tmp_path), size=(80, 24)) as (app, pilot, _):
        await press(app, pilot, "e", "6", "5")
        names = []
        for _turn in range(3):
            assert isinstance(app.focused, Input)
            names.append(app.focused.id)
            await press(app, pilot, "down")
        assert names == ["f-rack", "f-shelf", "f-place"]
        await press(app, pilot, "up")
        assert isinstance(app.focused, Input)
        assert app.focused.id == "f-place"


async def test_a_tank_is_added_and_two_in_one_place_are_refused(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(100, 45)) as (app, pilot, _):
        await press(app, pilot, "e", "6", "plus")
        form = app.screen
        assert isinstance(form, FormScreen)
        facts = {
            "code": "B9", "rack": "B", "shelf": "2", "place": "1", "role": "stock",
            "length_cm": "60", "width_cm": "40", "height_cm": "40", "water_cm": "36",
        }  # fmt: skip
        for name, text in facts.items():
            form.query_one(f"#f-{name}", Input).value = text
        await settle(pilot)
        await press(app, pilot, "f2")
        assert app.screen is form
        form.query_one("#f-place", Input).value = "2"
        await settle(pilot)
        await press(app, pilot, "f2")
        assert isinstance(app.screen, FactsScreen)
    with Store.open(path) as store:
        assert "B9" in {tank.code for tank in read.rows(store, SHEET["tanks"])}


async def test_the_guided_start_makes_a_room_from_one_line(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    async with opened(path) as (app, pilot, _):
        assert isinstance(app.screen, StartScreen)
        app.screen.query_one(
            "#f-layout", Input
        ).value = "3 racks, 4 shelves, 5 places, tanks 60x30x36"
        app.screen.query_one("#f-zone", Input).value = "Europe/Nowhere"
        await settle(pilot)
        await press(app, pilot, "f2")
        assert not path.exists()
        app.screen.query_one("#f-zone", Input).value = "Europe/Oslo"
        await settle(pilot)
        assert "3 racks, 60 tanks" in flat(app)
        await press(app, pilot, "f2")
        assert "A1 c" in flat(app)
    with Store.open(path) as store:
        assert len(read.rows(store, SHEET["tanks"])) == 60


async def test_the_guided_start_can_ask_for_the_demo_room(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "f3")
        assert app.return_value == DEMO_WANTED
    assert not path.exists()


HOSTILE = ("a[/]b", "[@click=app.quit]go[/]", "\x1b[31mred\x1b[0m", "=cmd()", "‮abc", "two\nlines",
           "🐟" * 40, "x" * 9000)  # fmt: skip


async def test_hostile_names_are_shown_as_typed_and_harmless(tmp_path: Path) -> None:
    for name in HOSTILE:
        folder = tmp_path / str(abs(hash(name)))
        folder.mkdir()
        sheets = small_room()
        sheets["jobs"] = [replace(job, name=name, needs=name, note=name) for job in sheets["jobs"]]
        sheets["groups"] = [replace(group, line=name, note=name) for group in sheets["groups"]]
        sheets["racks"] = [replace(rack, name=name) for rack in sheets["racks"]]
        path = new_store(folder, sheets)
        async with opened(path) as (app, pilot, _):
            for keys in (("5",), ("asterisk", "b", "1", "enter", "9"), ("0", "slash"), ("0", "e"),
                         ("5",), ("escape", "0", "full_stop", "full_stop")):  # fmt: skip
                await press(app, pilot, *keys)
                text = screen_text(app)
                assert "\x1b" not in text
                assert "‮" not in text
                assert "\x00" not in text
            assert app.is_running


async def test_every_sheet_of_facts_is_shown_and_opens(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(60, 20)) as (app, pilot, _):
        await press(app, pilot, "e")
        for n, name in enumerate(OFFERED, start=1):
            assert isinstance(app.screen, FactsScreen)
            assert app.screen.sheet_name == name
            assert f"Facts {n} of {len(OFFERED)}: [" in flat(app)
            await press(app, pilot, "5")
            if isinstance(app.screen, FormScreen):
                await press(app, pilot, "escape")
            await press(app, pilot, "6")
        assert isinstance(app.screen, FactsScreen)
        assert app.screen.sheet == 0


async def test_settings_are_changed_and_what_would_break_the_room_is_refused(
    tmp_path: Path,
) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(100, 45)) as (app, pilot, _):
        await press(app, pilot, "e", "4")
        await press(app, pilot, "plus")
        assert "There is one row of settings" in flat(app)
        await press(app, pilot, "5")
        form = app.screen
        assert isinstance(form, FormScreen)
        form.query_one("#f-saturday_minutes", Input).value = "a lot"
        await settle(pilot)
        await press(app, pilot, "f2")
        assert app.screen is form
        form.query_one("#f-saturday_minutes", Input).value = "123"
        await settle(pilot)
        await press(app, pilot, "f2")
        assert isinstance(app.screen, FactsScreen)
        assert "setup settings changed" in flat(app)
    with Store.open(path) as store:
        assert read.rows(store, SHEET["setup"])[0].saturday_minutes == 123


async def test_a_sheet_is_chosen_from_all_of_them(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "e", "asterisk", "2", "2", "5")
        assert isinstance(app.screen, FactsScreen)
        assert app.screen.sheet_name == OFFERED[2]
