"""What is said above the keys, and the keys that go with it: no longer than they hold."""

from pathlib import Path

import pytest

from roomtasks.tui import asking
from roomtasks.tui.asking import Question, key_words
from tests.tui.desk import flat, new_store, opened, press, screen_text
from tests.tui.side_keys import hit


def foot(text: str) -> str:
    return text.splitlines()[-1]


async def test_an_answer_stays_until_the_hand_moves_then_goes(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "5")
        await pilot.pause(1.3)
        assert "done; next Sun 7 Mar" in flat(app)
        await press(app, pilot, "2")
        assert "done; next Sun 7 Mar" not in flat(app)


async def test_an_answer_goes_with_the_next_act(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "5", "6")
        assert "Share done" in flat(app)
        await press(app, pilot, "escape")
        assert app.walk.said == ""


async def test_on_a_list_what_was_said_goes_with_the_next_key(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path), when="2027-03-06 07:30") as (app, pilot, _):
        await hit(app, pilot, "z", "6", "9", "9", "9", "9", "enter")
        assert "will not do" in flat(app)
        await hit(app, pilot, "2")
        assert "will not do" not in flat(app)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (140, 45)])
async def test_with_a_question_open_the_foot_names_its_keys_only(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(new_store(tmp_path), size=size) as (app, pilot, _):
        await press(app, pilot, "7")
        assert foot(screen_text(app)).strip() == "1 to 9 take one  0 or Esc leaves it"
        await press(app, pilot, "0", "3")
        assert foot(screen_text(app)).strip() == "type it  . or Esc leaves it"
        await press(app, pilot, "4")
        assert foot(screen_text(app)).startswith("Enter takes it  Backspace back  Esc leaves it")
        await press(app, pilot, "escape")
        assert "5 done" in foot(screen_text(app))
        await hit(app, pilot, "z", "6")
        assert foot(screen_text(app)).strip() == "type it  . or Esc leaves it"
        await hit(app, pilot, "escape")
        assert "6 short day" in foot(screen_text(app))


def test_every_question_says_how_it_is_answered_and_left() -> None:
    assert key_words(Question("x", "Sure?", ("yes",))) == "1 yes  0 or Esc leaves it"
    assert key_words(Question("x", "When:", blank="now")) == "Enter takes now  . or Esc leaves it"
    assert key_words(asking.note("check@room")) == "type it  Esc leaves it"


async def test_while_the_journal_is_searched_the_foot_names_what_works(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "5", "slash", "slash")
        assert foot(screen_text(app)).startswith("type it  Enter finds")
        await press(app, pilot, "H", "enter")
        assert foot(screen_text(app)).startswith("/ then type to search")


async def test_what_a_form_says_goes_when_the_field_is_mended(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "e", "6", "5", "down", "x", "f2")
        assert "Not saved: mend the fields" in flat(app)
        await press(app, pilot, "backspace", "1")
        assert "Not saved" not in flat(app)
        assert "shelf: " in flat(app)
        await press(app, pilot, "down", "down", "down", "7", "2", "f2")
        assert "Not saved" not in flat(app)
        said = str(app.screen.query_one("#said").render())
        assert said
        await press(app, pilot, "2")
        assert not str(app.screen.query_one("#said").render())


async def test_the_hands_question_is_shown_at_the_foot_and_left_by_any_other_key(
    tmp_path: Path,
) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "asterisk", "Q", "1", "enter", "5")
        await press(app, pilot, "asterisk", "A", "1", "enter", "5")
        assert "hands and gear clean? 5 = yes" in flat(app)
        assert foot(screen_text(app)).startswith("5 yes, hands clean")
        await press(app, pilot, "6")
        await press(app, pilot, "escape")
        assert foot(screen_text(app)).startswith("5 done")
        await press(app, pilot, "5")
        assert "hands and gear clean? 5 = yes" in flat(app)
        await press(app, pilot, "5")
        assert "done; next" in flat(app)


async def test_what_came_by_itself_stays_a_while_whatever_is_hit(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        app.walk.say("Now: Feed at A1.", 10.0)
        await press(app, pilot, "2", "2")
        assert "Now: Feed at A1." in flat(app)
        app.walk._held_until = 0.0
        await press(app, pilot, "2")
        assert "Now: Feed at A1." not in flat(app)


async def test_a_job_that_is_being_timed_says_so_while_it_is_in_hand(tmp_path: Path) -> None:
    async with opened(new_store(tmp_path)) as (app, pilot, _):
        await press(app, pilot, "minus", "2", "8")
        assert "Being timed: done writes the minutes." in flat(app)
        await press(app, pilot, "5")
        assert "Being timed" not in flat(app)
