"""Bad days by keys alone: begun, stepped through, over, taken back; and the week of a power cut."""

from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.occurrence import State
from roomtasks.room.pin import TROUBLES
from roomtasks.room.room import SHEET
from roomtasks.store import read, search
from roomtasks.store.base import Store
from roomtasks.tui.app import RoomApp
from roomtasks.tui.screens.trouble import TroubleScreen
from roomtasks.tui.widgets.lines_view import LinesView
from tests.tui.desk import HandClock, flat, new_store, opened, screen_text
from tests.tui.side_keys import hit

SIZES = [(60, 20), (80, 24), (140, 45)]


def on_screen(app: RoomApp) -> TroubleScreen:
    assert isinstance(app.screen, TroubleScreen)
    return app.screen


def acts(path: Path) -> int:
    """How many acts the journal holds."""
    with Store.open(path) as store:
        return len(search.acts(store, most=1000))


def rows(app: RoomApp) -> list[str]:
    lines = app.screen.query_one(LinesView)
    return [lines.row_at(n).text for n in range(lines.count)]


def told(app: RoomApp) -> str:
    return " ".join(" ".join(rows(app)).split())


async def to(app: RoomApp, pilot: object, text: str) -> None:
    """Take the line in hand whose text holds this."""
    screen = on_screen(app)
    screen.go(next(n for n, row in enumerate(rows(app)) if text in row))


async def begin(app: RoomApp, pilot: object, sort: str, *keys: str) -> None:
    await to(app, pilot, f"{sort}: begin it here")
    await hit(app, pilot, "6", *keys)  # type: ignore[arg-type]


@pytest.mark.parametrize("size", SIZES)
async def test_it_opens_with_all_that_can_be_begun(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await hit(app, pilot, "z")
        assert "Bad days: no trouble is open" in flat(app)
        assert "Only so many minutes today" in told(app)
        for words in ("Power cut", "Pump failed", "Heater failed", "Leak", "Outbreak",
                      "Reservoir not ready"):  # fmt: skip
            assert f"{words}: begin it here" in told(app)
        assert all(len(line) == size[0] for line in screen_text(app).split("\n"))
        await hit(app, pilot, "0")
        assert app.screen is app.walk


async def test_every_sort_is_begun_its_steps_shown_and_taken_back(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path, size=(140, 45)) as (app, pilot, _):
        await hit(app, pilot, "z")
        for sort in TROUBLES:
            await to(app, pilot, {
                "power-cut": "Power cut", "pump": "Pump failed", "heater": "Heater failed",
                "leak": "Leak", "outbreak": "Outbreak", "reservoir": "Reservoir not ready",
            }[sort])  # fmt: skip
            await hit(app, pilot, "6")
            if "Choose" in flat(app) or not isinstance(app.screen, TroubleScreen):
                await hit(app, pilot, "5")
            elif app.screen.question is not None and app.screen.question.choices:
                await hit(app, pilot, "1")
            await hit(app, pilot, "enter")
            seen = on_screen(app).seen
            assert seen is not None
            assert [plan.trouble.sort for plan in seen.open] == [sort]
            assert seen.open[0].steps
            assert seen.open[0].steps[0].words[:30] in told(app)
            await hit(app, pilot, "u")
            assert not on_screen(app).seen.open  # type: ignore[union-attr]
    with Store.open(path) as store:
        assert read.rows(store, SHEET["troubles"]) == []


async def test_what_cannot_be_is_refused_and_changes_nothing(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        await hit(app, pilot, "z")
        await begin(app, pilot, "Power cut", "5", *"0210", "enter")
        assert "power cut since" in on_screen(app).said
        before = acts(path)
        await begin(app, pilot, "Power cut", "5", *"0300", "enter")
        assert "entered already" in flat(app)
        await begin(app, pilot, "Power cut", "5", *"9900", "enter")
        assert "no day has a 9900" in flat(app)
        await to(app, pilot, "It is over")
        await hit(app, pilot, "6", *"0100", "enter")
        assert "before it began" in flat(app)
        assert acts(path) == before
        assert "POWER CUT, " in app.walk.query_one("#top").render().plain  # type: ignore[union-attr]


async def test_a_short_day_is_shown_first_then_taken_in_one_act_and_back(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    before = acts(path)
    async with opened(path) as (app, pilot, _):
        waiting = len(app.walk.round.lines)
        await hit(app, pilot, "z", "6", *"10", "enter")
        assert "Do so? 1 yes" in flat(app)
        assert "kept" in flat(app)
        assert acts(path) == before
        await hit(app, pilot, "1")
        assert "put off" in on_screen(app).said
        left = [line for line in app.walk.round.lines if line.waits]
        assert len(left) < waiting
        await hit(app, pilot, "u")
        assert len([line for line in app.walk.round.lines if line.waits]) == waiting


async def test_a_question_is_left_from_the_number_pad_and_says_how(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        before = acts(path)
        await hit(app, pilot, "z", "6")
        assert "then Enter: _ (. leaves it)" in flat(app)
        await hit(app, pilot, "full_stop")
        assert on_screen(app).question is None
        await hit(app, pilot, "6", "1", "full_stop", "5", "enter")
        assert "will not do" not in flat(app)  # a point inside a number is a point
        await hit(app, pilot, "escape", "0")
        assert acts(path) == before


async def test_feeding_a_power_cut_holds_is_said_to_be_held(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path), when="2027-03-06 18:30") as (app, pilot, _):
        feeds = {line.id for line in app.walk.round.lines if line.stop.due.job.kind == "feed"}
        assert feeds
        await hit(app, pilot, "z")
        await begin(app, pilot, "Power cut", "5", *"1810", "enter")
        said = {line.id: line.said for line in app.walk.round.lines}
        assert {said[name] for name in feeds} == {"held"}
        await hit(app, pilot, "u")
        assert all(line.waits for line in app.walk.round.lines if line.id in feeds)


@pytest.mark.parametrize("typed", ["0", "2000", "none"])
async def test_no_such_number_of_minutes(tmp_path: Path, typed: str) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        before = acts(path)
        await hit(app, pilot, "z", "6", *typed, "enter")
        assert "will not do" in flat(app)
        assert acts(path) == before


async def test_where_all_fits_nothing_is_put_off(tmp_path: Path) -> None:
    path = new_store(tmp_path)
    async with opened(path) as (app, pilot, _):
        before = acts(path)
        await hit(app, pilot, "z", "6", *"1000", "enter")
        assert "nothing is to be put off" in flat(app).lower()
        assert acts(path) == before


def held(app: RoomApp, kind: str) -> set[str]:
    """Jobs of a kind that the power cut holds."""
    assert app.picture is not None
    return {
        due.id
        for due in app.picture.dues
        if due.job.kind == kind and due.state is State.HELD and due.blocked is not None
        and "power cut" in due.blocked.reason
    }  # fmt: skip


async def morning(app: RoomApp, pilot: object, clock: HandClock, **later: float) -> None:
    clock.pass_by(**later)
    await app.look_again()
    await hit(app, pilot, "question_mark", "0")  # type: ignore[arg-type]


async def test_the_week_of_a_power_cut_is_walked(tmp_path: Path) -> None:
    """Off at 02:10 on Saturday, on at 09:40: food, filters and ammonia day by day."""
    path = new_store(tmp_path)
    async with opened(path, when="2027-03-06 07:30", size=(140, 45)) as (app, pilot, clock):
        feeds = {due.id for due in app.picture.dues if due.job.kind == "feed"}  # type: ignore[union-attr]
        assert not held(app, "feed")
        await hit(app, pilot, "z")
        await begin(app, pilot, "Power cut", "5", *"0210", "enter")
        assert "Battery air" in told(app)
        assert "Oxygen first" in told(app)
        assert "carbon monoxide" in told(app).lower()
        assert held(app, "feed") == feeds
        assert held(app, "filter")
        await to(app, pilot, "Battery air")
        await hit(app, pilot, "6")
        clock.pass_by(hours=2.2)  # 09:42
        await to(app, pilot, "It is over")
        await hit(app, pilot, "6", *"0940", "enter")
        assert "no food until Sun 7 Mar 09:40" in told(app)
        assert "no filter cleaned before Sat 13 Mar" in told(app)
        steps = [row for row in rows(app) if "ammonia" in row.lower()]
        assert steps
        plan = on_screen(app).seen.recent[0]  # type: ignore[union-attr]
        ammonia = [step for step in plan.steps if "ammonia" in step.words.lower()]
        assert [step.day for step in ammonia] == [date(2027, 3, 6), date(2027, 3, 7),
                                                  date(2027, 3, 9)]  # fmt: skip
        await hit(app, pilot, "0")
        await morning(app, pilot, clock, days=1)  # Sunday 09:42
        assert not held(app, "feed")
        assert held(app, "filter")
        remarks = [note for due in app.picture.dues if due.job.kind == "feed"  # type: ignore[union-attr]
                   for note in due.moved]  # fmt: skip
        assert any("half" in note for note in remarks)
        for _ in range(5):
            await morning(app, pilot, clock, days=1)
            assert held(app, "filter")
        await morning(app, pilot, clock, days=1)  # Saturday 13 March
        assert not held(app, "filter")
        assert not any("half" in note for due in app.picture.dues for note in due.moved)  # type: ignore[union-attr]
