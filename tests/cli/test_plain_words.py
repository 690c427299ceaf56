"""What commands say of the demo room is in words: no codes, no Python, no slips of number.

The room is looked at as it opens and on bad days, and asked for what it refuses.
"""

from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work import demo
from roomtasks.work.transfer import import_folder
from tests.cli.conftest import Ask, Said
from tests.plain_words import codes_of, raw_forms

SUNDAY = "2027-05-16T07:10"
LOOKS = (
    ("walk", "--all"), ("walk", "--minutes", "30"), ("walk", "--planned"), ("fish",),
    ("broods",), ("water",), ("racks",), ("met", "P21"), ("message",), ("places", "perla-1"),
    ("short-day", "30", "--show"), ("tank", "P21"), ("tank", "W22"), ("tank", "T22"),
    ("ahead",), ("away", "2027-06-02", "2027-06-12"),
)  # fmt: skip
TROUBLES = (
    ("power-cut",), ("pump", "LOOP"), ("heater", "P21"), ("heater", "V1"), ("leak", "W22"),
    ("leak", "T12"), ("outbreak", "P21"), ("reservoir", "V1"),
)  # fmt: skip
REFUSED = (
    ("done", "squeeze@W11-2"), ("done", "deep-clean@room"), ("done", "door@room"),
    ("done", "fast@Y22"), ("partly", "loop-change@LOOP", "60%"), ("undo", "3"),
    ("valve", "T22", "open"), ("pump", "LOOP", "running"), ("lift", "{hold}"),
    ("read", "P21", "ph", "77"), ("move", "mel", "3", "W21"), ("move", "perla-1", "50", "L13"),
    ("release", "{lot}", "W21"), ("arrive", "new", "5", "P11", "--line", "x"),
    ("course", "end", "P21"), ("stage", "anel-1", "hatched"), ("sample", "fan-1", "3100mm"),
    ("chain", "perla-1"), ("link", "{chain}", "3"), ("step-done", "{over}", "9"),
    ("step", "V1", "full"), ("step", "V1", "ready", "--celsius", "20"), ("unpin", "temps@room"),
    ("home", "2027-01-01"), ("back",), ("trouble-over", "power-cut"), ("message-off", "m9"),
)  # fmt: skip
ACTS = (
    ("done", "feed-fry@Y11"), ("put-off", "wipe@W13"), ("cannot", "q-change@P12", "--reason",
     "broken"), ("undo",), ("leave-out", "fry-change@Y12", "--reason", "no time"),
    ("hold", "W21", "filter", "vac", "--reason", "eggs"), ("seen", "P21", "not-seen", "--count",
     "2"), ("read", "LOOP", "sump-level", "30", "cm"), ("count", "perla-1", "48"),
    ("looked", "P12", "sign"), ("stage", "anel-1", "free-swimming"), ("course", "dose", "P21"),
    ("watch-met", "W21", "--reason", "pale"), ("step", "V1", "fill-start"), ("step", "V1", "full"),
    ("pin", "wipe@W13", "2027-05-27"), ("unpin", "wipe@W13"), ("make-over", "W13", "2027-05-30"),
    ("short-day", "60"), ("journal", "--most", "15"), ("walk", "--all"),
)  # fmt: skip


@pytest.fixture
def told(say: Ask, tmp_path: Path) -> Ask:
    """Call on a copy of the demo room at its own time; raw forms in what is said fail."""
    folder, file = demo.demo_folder(), tmp_path / "room.db"
    assert folder is not None
    assert not isinstance(import_folder(folder, file), Problem)
    with Store.open(file) as store:
        room = read.room(store)
    assert not isinstance(room, Problem)
    codes = codes_of(room)
    named = {
        "lot": next(stay.code for stay in room.stays if stay.tank == "P12" and not stay.ended),
        "hold": room.holds[-1].code, "chain": room.planned_moves[-1].chain,
        "over": room.rededications[-1].code,
    }  # fmt: skip

    def call(*words: str) -> Said:
        filled = [word.format(**named) for word in words]
        when = () if "--at" in words else ("--at", SUNDAY)
        said = say("--room", str(file), *when, *filled)
        assert said.status in (0, 1, 2), said.err
        found = list(raw_forms(said.out + said.err, codes))
        assert found == [], (words, found)
        return said

    return call


def test_looks_are_in_words(told: Ask) -> None:
    for words in LOOKS:
        assert told(*words).status == 0


def test_days_away_and_the_return_are_in_words(told: Ask) -> None:
    assert told("keep-away", "2027-06-02", "2027-06-12", "--stand-in", "davi").status == 0
    assert told("ahead", "--days", "28").status == 0
    back = told("back", "--at", "2027-06-13T08:00")
    assert back.status == 0
    assert "Davi stood in" in back.flat


def test_what_is_refused_is_in_words_and_names_its_rule_in_brackets(told: Ask) -> None:
    for words in REFUSED:
        told(*words)


def test_acts_say_what_they_changed_in_words(told: Ask) -> None:
    for words in ACTS:
        assert told(*words).status == 0, words


@pytest.mark.parametrize("trouble", TROUBLES, ids=" ".join)
def test_bad_days_are_in_words(told: Ask, trouble: tuple[str, ...]) -> None:
    assert told("trouble-begin", *trouble, "--when", "02:10").status == 0
    assert told("trouble-begin", *trouble, "--when", "03:10").status == 1
    looks: list[tuple[str, ...]] = [("trouble", "--all"), ("walk", "--all"), ("done", "feed@W")]
    for words in [*looks, *([("water",)] if trouble[0] == "reservoir" else [])]:
        told(*words)
    assert told("trouble-over", trouble[0], "--when", "05:00").status == 0
    for words in [*looks[:2], ("journal", "--most", "3")]:
        assert told(*words).status == 0


@pytest.mark.parametrize(
    "text",
    [
        "fry-change@Y12: held", "held not_yet_open", "None of it", "sump sump level", "1 tanks",
        "until 2027-05-22", "0.97164 m2", "room not-yet-open: done",
    ],
)  # fmt: skip
def test_raw_forms_are_found(text: str) -> None:
    assert list(raw_forms(text, {"not-yet-open"}))


def test_what_is_for_scripts_is_no_raw_form() -> None:
    plain = "it is held until Thu 20 May [not-yet-open]; 'roomtasks lift hold-3' ends it, 1.5 L"
    assert list(raw_forms(plain, {"not-yet-open"})) == []
