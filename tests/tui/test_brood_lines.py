"""Lines, acts and what is typed at the broods, without a terminal."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.room_full import WhatIf
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.tui.brood_lines import parts
from roomtasks.tui.brood_look import judge_places, read_broods
from roomtasks.tui.brood_typed import count_typed, day_typed, lengths_typed, shares_typed
from roomtasks.tui.brood_words import BroodsSeen
from roomtasks.tui.signs import PLAIN
from roomtasks.tui.water_items import Item
from tests.rooms import at
from tests.tui.brood_room import brood_store

LATER = "2027-05-20 10:00"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = brood_store(tmp_path)
    yield made
    made.close()


def look(store: Store, when: str, what_if: WhatIf | None = None) -> BroodsSeen:
    found = read_broods(store, at(when), what_if or WhatIf())
    assert not isinstance(found, Problem), found
    return judge_places(found)


def the_room(store: Store) -> Room:
    found = read.room(store)
    assert isinstance(found, Room)
    return found


def item(seen: BroodsSeen, key: str) -> Item:
    return next(i for part in parts(seen, PLAIN) for i in part.items if i.key == key)


BAD: list[tuple[str, str, tuple[str, ...], str]] = [
    ("brood c1", "measured", ("-14",), "-14 mm is no length"),
    ("brood c1", "measured", ("12,5",), "has a comma"),
    ("brood c1", "measured", ("x",), "“x” is no length"),
    ("brood c1", "measured, three of many", ("0", "15", "12 14 15"), "no month has a day 0"),
    ("brood c1", "measured, three of many", ("-0", "0", "12 14 15"), "0 fish is no count"),
    ("brood c1", "measured, three of many", ("-0", "12", "12 14"), "2 lengths are not three"),
    ("brood c1", "measured, three of many", ("+3", "12", "30 31 32"), "lies ahead"),
    ("brood c1", "measured, three of many", ("-90", "12", "30 31 32"), "is before the spawn"),
    ("brood l1", "first count", ("0",), "0 fish is no count"),
    ("brood l1", "first count", ("-5",), "“-5” is no count of fish"),
    ("tank c1 c1", "sold", ("0",), "0 fish is no count"),
    ("tank c1 c1", "sold", ("121",), "there are 120, not 121"),
    ("tank c1 c1", "died", ("999",), "there are 120, not 999"),
    ("tank c1 c1", "split over several", ("60 A6 61 A3",), "there are 60, not 61"),
    ("tank c1 c1", "split over several", ("60 ZZ",), "there is no such tank"),
    ("tank c1 c1", "split over several", ("60",), "is no list of counts and tanks"),
]


@pytest.mark.parametrize(("line", "label", "answers", "why"), BAD)
def test_what_cannot_be_is_said_and_nothing_changes(
    store: Store, line: str, label: str, answers: tuple[str, ...], why: str
) -> None:
    before = the_room(store)
    act = next(a for a in item(look(store, LATER), line).acts if a.label == label)
    found = act.make(answers, False)
    if not isinstance(found, Problem):
        answer = found(store, at(LATER), "mk")
        assert isinstance(answer, Problem), answer
        found = answer
    assert why in found.sentence()
    assert the_room(store) == before


TODAY = date(2027, 3, 1)


@pytest.mark.parametrize(("text", "ahead", "day"), [
    ("", False, "2027-03-01"), ("today", False, "2027-03-01"), ("yesterday", False, "2027-02-28"),
    ("-2", False, "2027-02-27"), ("+7", True, "2027-03-08"), ("1", False, "2027-03-01"),
    ("28", False, "2027-02-28"), ("30", False, "2027-01-30"), ("12", True, "2027-03-12"),
    ("31", True, "2027-03-31"), ("2027-02-03", False, "2027-02-03"),
])  # fmt: skip
def test_days_are_typed_with_the_number_pad(text: str, ahead: bool, day: str) -> None:
    assert day_typed(text, TODAY, ahead=ahead) == date.fromisoformat(day)


@pytest.mark.parametrize("text", ["0", "32", "x", "2027-02-30", "+", "1.5", "+99999", "٣"])
def test_what_is_no_day_says_how_one_is_typed(text: str) -> None:
    found = day_typed(text, TODAY)
    assert isinstance(found, Problem)
    assert "2027-03-12" in found.remedy


def test_lengths_are_typed_in_mm() -> None:
    assert lengths_typed("12+14.5 15") == [1.2, 1.45, 1.5]
    assert lengths_typed("1.4cm 15mm") == pytest.approx([1.4, 1.5])
    for text in ("", "12,5", "nan", "inf", "0", "-3", "1e999", "a b"):
        assert isinstance(lengths_typed(text), Problem), text


def test_counts_and_shares_are_whole() -> None:
    assert count_typed("12") == 12
    for text in ("0", "-1", "1.5", "x", "9999999", "", "²"):
        assert isinstance(count_typed(text), Problem), text
    assert shares_typed("40 D3 20:D4") == [(40, "D3"), (20, "D4")]
    for text in ("", "40", "D3 40", "0 D3"):
        assert isinstance(shares_typed(text), Problem), text
