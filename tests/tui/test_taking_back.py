"""Taking back: what is not before the keeper's eyes is named, and asked about, first."""

from pathlib import Path

import pytest

from roomtasks.store import search
from roomtasks.store.base import Store
from roomtasks.work import room_acts
from roomtasks.work.marking import How, mark
from tests.rooms import at
from tests.tui.desk import flat, new_store, opened, press
from tests.tui.side_keys import hit


def verbs(path: Path) -> list[str]:
    with Store.open(path) as store:
        return [act.verb for act in search.acts(store)][::-1]


def marked_before(path: Path, when: str = "2027-03-06 06:50") -> None:
    with Store.open(path) as store:
        mark(store, at(when), ["look@B1"], "done", How(who="Tom"))


async def test_what_was_marked_here_just_now_is_taken_back_at_once(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "2", "0")
        assert "Taken back: Heaters and air" in flat(app)
    assert verbs(path) == ["done", "undo"]


async def test_an_act_from_before_is_named_and_taken_back_only_on_a_yes(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    marked_before(path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "0")
        assert "Take back “" in flat(app)
        assert "B1" in app.walk.question.text if app.walk.question else ""
        assert "(06:50, Tom)? 1 yes" in flat(app)
        assert verbs(path) == ["done"]
        await press(app, pilot, "0")
        assert app.walk.question is None
        assert verbs(path) == ["done"]
        await press(app, pilot, "0", "1")
        assert verbs(path) == ["done", "undo"]
        assert "Taken back: " in flat(app)


async def test_after_ones_own_the_one_before_is_asked_about(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    marked_before(path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "5", "0", "0")
        assert "(06:50, Tom)? 1 yes" in flat(app)
    assert verbs(path) == ["done", "done", "undo"]


async def test_an_act_of_another_day_is_named_with_its_day(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    marked_before(path, "2027-03-04 20:15")
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "0")
        assert "(Thu 4 Mar 20:15, Tom)? 1 yes" in flat(app)


async def test_ones_own_of_long_ago_is_asked_about_too(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, clock):
        await press(app, pilot, "5")
        clock.pass_by(minutes=11)
        await press(app, pilot, "0")
        assert "Take back “" in flat(app)
    assert verbs(path) == ["done"]


@pytest.mark.parametrize("key", ["z", "s", "c"])
async def test_on_a_list_what_was_done_on_the_walk_is_asked_about(tmp_path: Path, key: str) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "5", key, "u")
        assert "Take back “Heaters and air" in flat(app)
        assert "Maeve)? 1 yes" in flat(app)
        assert verbs(path) == ["done"]
        await hit(app, pilot, "escape")
        assert verbs(path) == ["done"]
        await hit(app, pilot, "u", "1")
        assert verbs(path) == ["done", "undo"]
        assert "Taken back: Heaters and air" in flat(app)


async def test_on_the_walk_what_was_done_on_a_list_is_asked_about(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "z", "1", "6", "5", "enter", "0")
        assert app.screen is app.walk
        begun = verbs(path)
        assert len(begun) == 1
        await hit(app, pilot, "0")
        assert "Take back “" in flat(app)
        assert "power cut" in flat(app).lower()
        assert verbs(path) == begun
        await hit(app, pilot, "1")
        assert verbs(path)[-1] == "undo"
        assert "POWER CUT" not in flat(app)


async def test_a_yes_takes_back_what_was_asked_about_and_nothing_newer(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    marked_before(path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "0")
        with Store.open(path) as store:
            room_acts.seen(store, at("2027-03-06 07:31"), "Ann", "room", "note", note="rain")
        await press(app, pilot, "1")
    with Store.open(path) as store:
        acts = search.acts(store)
    assert [act.undoes for act in acts if act.verb == "undo"] == [acts[-1].id]


async def test_with_nothing_to_take_back_it_says_so(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await press(app, pilot, "0")
        assert "nothing to take back" in flat(app)
