"""The round on the screen, and the questions at its foot: pure, no screen needed."""

from roomtasks.tui import asking
from roomtasks.tui.asking import Answer, Question
from roomtasks.tui.round import Round
from roomtasks.tui.signs import PLAIN, SHAPES, clean, fitted, signs_for
from tests.room.scene import mark
from tests.room.test_walk import a_room, the_walk


def a_round() -> Round:
    return Round().merged(the_walk(a_room()).stops, ())


def test_a_marked_line_stays_where_it_was() -> None:
    before = a_round()
    stops = [line.stop for line in before.lines if line.id != "look@A1"]
    done = mark("look", "A1", "2027-03-13", "2027-03-13", who="Ann")
    after = before.put_in_hand("look@D3").merged(stops, [done])
    assert [line.id for line in after.lines] == [line.id for line in before.lines]
    assert after.lines[1].said == "done 08:00 Ann"
    assert after.in_hand is not None
    assert after.in_hand.id == "look@D3"


def test_a_new_job_is_put_in_its_place_but_never_behind_the_keeper() -> None:
    full = a_round()
    fewer = Round().merged([line.stop for line in full.lines if line.id != "look@B4"], ())
    early = fewer.put_in_hand("look@A1").merged([line.stop for line in full.lines], ())
    assert [line.id for line in early.lines] == [line.id for line in full.lines]
    after = fewer.put_in_hand("look@Q2").merged([line.stop for line in full.lines], ())
    order = [line.id for line in after.lines]
    assert order.index("look@B4") == order.index("look@Q2") + 1
    assert after.in_hand is not None
    assert after.in_hand.id == "look@Q2"


def test_onward_skips_what_is_marked_and_goes_round() -> None:
    start = a_round()
    stops = [line.stop for line in start.lines if line.id == "look@N1"]
    only_first = start.put_in_hand("look@H1").merged(stops, ())
    onward = only_first.onward().in_hand
    assert onward is not None
    assert onward.id == "look@N1"


def type_all(question: Question, keys: str) -> Question | Answer | None:
    state: Question | Answer | None = question
    for key in keys:
        assert isinstance(state, Question)
        state = asking.typed(state, "enter" if key == "\n" else key, None if key == "\n" else key)
    return state


def test_amounts_need_enter_and_choices_one_digit() -> None:
    assert type_all(asking.partly("a@b", "30"), "15\n") == Answer("partly", "15", 0, "a@b")
    assert type_all(asking.leave_out("a@b"), "2") == Answer("leave-out", "no time", 2, "a@b")
    assert type_all(asking.leave_out("a@b"), "0") is None
    assert isinstance(type_all(asking.leave_out("a@b"), "x"), Question)
    assert asking.typed(asking.jump(), "escape", None) is None


def test_signs_have_plain_letters_where_the_terminal_has_no_shapes() -> None:
    assert signs_for("utf-8") is SHAPES
    assert signs_for("ascii") is PLAIN
    assert signs_for(None) is PLAIN
    assert signs_for("no-such-encoding") is PLAIN


def test_text_is_cut_by_cells_and_cleaned() -> None:
    assert fitted("abcdef", 4) == "abc…"
    assert fitted("ab", 4) == "ab  "
    assert fitted("ab", 0) == ""
    assert clean("a\x1b[0m\nb") == "a␛[0m␊b"
