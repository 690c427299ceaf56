"""What would be if, which is never kept, and choices, which are kept on a yes."""

from datetime import date, time
from pathlib import Path

import pytest

from roomtasks.room.treatment import Choice
from roomtasks.room.water_plan import WhatIf
from roomtasks.store import search
from roomtasks.store.base import Store
from tests.tui.desk import flat, opened, screen_text
from tests.tui.side_keys import hit
from tests.tui.water_keys import (
    DAY,
    FRIDAY,
    choices_in,
    foot,
    go_to,
    steps_in,
    water_of,
    water_store,
)

# ---- what if, and choices ------------------------------------------------------------------------


@pytest.mark.parametrize(("keys", "words"), [
    (("plus",), "WHAT IF: Sun 14 Mar. Not kept. As it is: 455 of 919 L; so: 0 of 0 L."),
    (("asterisk", "1", "1", "0", "3", "0", "enter"), "WHAT IF: begins 10:30."),
    (("asterisk", "2", "1", "5", "enter"), "WHAT IF: every change 15 %."),
    (("asterisk", "3", "9", "enter"), "WHAT IF: R1 fills at 9 L/min."),
    (("asterisk", "4", "5", "enter"), "WHAT IF: with H1 30 %."),
    (("asterisk", "4", "2", "5", "2", "0", "enter"), "WHAT IF: with N1 20 %."),
    (("asterisk", "5", "2", "1", "enter"), "WHAT IF: new water 21 C."),
    (("asterisk", "6", "6", "0", "enter"), "every change at 60 % of what is planned."),
    (("asterisk", "7"), "WHAT IF: with the keep-back."),
    (("asterisk", "8", "1", "0", "4", "0", "enter"), "WHAT IF: R1 empty at Sat 10:40."),
])  # fmt: skip
async def test_what_if_is_shown_as_such_and_nothing_is_kept(
    tmp_path: Path, keys: tuple[str, ...], words: str
) -> None:
    path = water_store(tmp_path)
    with Store.open(path) as store:
        acts = len(search.acts(store))
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, *keys)
        assert words in flat(app)
        assert "Nothing of this is kept." in flat(app)
        assert "6 R1" not in foot(app)
        await hit(app, pilot, "6")
        assert "What if is only asked" in flat(app)
        await hit(app, pilot, "asterisk", "9")
        assert screen.what_if == WhatIf()
        assert "WHAT IF" not in flat(app)
        assert "6 R1 hose out" in foot(app)
    with Store.open(path) as store:
        assert len(search.acts(store)) == acts
    assert steps_in(path) == []


async def test_a_larger_fill_rate_moves_the_clock_and_cold_water_is_refused(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(80, 40)) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "3", "1", "2", "enter")
        assert "Fri 19:43 fill starts, 47 min" in flat(app)
        await hit(app, pilot, "asterisk", "9", "asterisk", "5", "1", "5", "enter")
        assert "REFUSED" in flat(app)


async def test_what_cannot_be_asked_is_told_and_the_plan_stays(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "2", "0", "enter")
        assert "will not do; type 1 to 100" in flat(app)
        await hit(app, pilot, "asterisk", "1", "9", "9", "9", "9", "enter")
        assert "no day has a 9999" in flat(app)
        await hit(app, pilot, "minus")
        assert "WHAT IF: Fri 12 Mar" in flat(app)
        await hit(app, pilot, "minus")
        assert "Thu 11 Mar has gone by" in flat(app)
        assert screen.what_if == WhatIf(day=date(2027, 3, 12))


async def test_one_tank_more_is_picked_from_those_without_a_change(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, "asterisk", "4")
        assert "One tank more: which" in flat(app)
        assert "N1 nursery" in flat(app)
        assert "A1" not in flat(app)
        await hit(app, pilot, "0")
        assert app.screen is screen
        assert screen.question is None


async def test_what_does_not_fit_shows_its_choices_with_their_price(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY, size=(140, 45)) as (app, pilot, _):
        screen = await water_of(app, pilot)
        text = " ".join(row.text for row in screen.laid.rows)
        assert "It does not do for the day: / chooses" in text
        assert "18.3 % instead of 30 %" in text
        await go_to(app, pilot, "2 one batch")
        await hit(app, pilot, "5")
        assert "S: 16.7 %" in flat(app)


@pytest.mark.parametrize(("keys", "made"), [
    (("slash", "1", "1", "0", "3", "0", "enter"), Choice(day=DAY, hour=time(10, 30))),
    (("slash", "2", "6", "0", "enter"), Choice(day=DAY, share=0.6)),
    (("slash", "3"), Choice(day=DAY, keep_back=True)),
    (("asterisk", "1", "1", "0", "3", "0", "enter", "slash", "1"),
     Choice(day=DAY, hour=time(10, 30))),
    (("asterisk", "6", "6", "0", "enter", "slash", "2"), Choice(day=DAY, share=0.6)),
])  # fmt: skip
async def test_a_choice_is_kept_on_a_yes_only(
    tmp_path: Path, keys: tuple[str, ...], made: Choice
) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        screen = await water_of(app, pilot)
        await hit(app, pilot, *keys, "0")
        assert choices_in(path) == []
        await hit(app, pilot, *keys, "1")
        assert screen.what_if == WhatIf()
        assert "change of Sat 13 Mar 2027" in flat(app)
        assert "Chosen for this day; / then 4 takes it back" in flat(app)
        assert choices_in(path) == [made]
        await hit(app, pilot, "slash", "4", "1")
        assert "as planned again" in flat(app)
    assert choices_in(path) == []


async def test_a_chosen_share_makes_the_day_fit(tmp_path: Path) -> None:
    path = water_store(tmp_path)
    async with opened(path, when=FRIDAY) as (app, pilot, _):
        await water_of(app, pilot)
        await hit(app, pilot, "slash", "2", "6", "0", "enter", "1")
        assert "wanted 551 L, can be ready 551 L" in screen_text(app).split("\n")[0]
        assert "short" not in screen_text(app).split("\n")[0]
        await hit(app, pilot, "slash", "2", "2", "0", "0", "enter")
        assert "will not do" in flat(app)
