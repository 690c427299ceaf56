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
from roomtasks.work import brood_acts
from tests.rooms import at
from tests.tui.brood_room import brood_store, told

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
    ("tank c1 c1", "split over several", ("60 A6 61 A3",), "there are 120, not 121"),
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


def test_the_weeks_say_when_the_room_is_full_and_what_would_help(store: Store) -> None:
    for code in ("k1", "k2"):
        when = at("2027-05-04 09:00")
        told(brood_acts.spawn(store, when, "mk", code, "B1", line="calvus", day=date(2027, 4, 20)))
        told(brood_acts.stage_seen(store, when, "mk", code, "first-count", count=400))
        told(brood_acts.sample(store, when, "mk", code, [0.6, 0.8, 1.0]))
        told(brood_acts.sample(store, at("2027-05-14 09:00"), "mk", code, [1.0, 1.3, 1.6]))
    seen = look(store, "2027-05-16 09:00")
    said = item(seen, "weeks say")
    assert said.text == "! This week 3 broods need 5 grow-out tanks and 3 are there."
    assert item(seen, "week 1").text.endswith("grow-out 5 of 3 !2 short  nursery 0 of 2")
    assert item(seen, "week 7").text == " 7  Sun 27 Jun  grow-out 0 of 3  nursery 0 of 2"
    assert item(seen, "lever 0").text == "  keep fewer of k1, in one tank less: gives 1 tank back"
    fewer = look(store, "2027-05-16 09:00", WhatIf(sold_in={"k1": 1, "k2": 1}))
    assert item(fewer, "weeks asked").text.endswith(
        "k1 sold by the end of week 1, k2 sold by the end of week 1"
    )
    assert item(fewer, "week 2").text.endswith("grow-out 1 of 3  nursery 0 of 2")


def test_an_old_sample_is_called_stale_and_a_full_tank_slows_growth(store: Store) -> None:
    seen = look(store, "2027-06-10 09:00")
    assert "35 days ago" in item(seen, "sample c1").text
    assert item(seen, "sample c1").text.endswith("STALE, measure again")
    texts = [i.text for part in parts(seen, PLAIN) for i in part.items]
    assert any("of its limit: growth slows, and the forecast with it" in text for text in texts)


def test_a_brood_without_samples_says_what_would_tell(store: Store) -> None:
    when = at("2027-05-17 09:00")
    told(brood_acts.stage_seen(store, when, "mk", "l1", "first-count", count=30))
    seen = look(store, "2027-05-18 09:00")
    assert item(seen, "sample l1").text == "  not measured yet"
    assert "measure twice, 7 days apart" in item(seen, "size l1").text
    assert "no day to move: nothing tells a day to move" in item(seen, "tank l1 l1").text
    assert "B2: about 30" in item(seen, "tank l1 l1").text


def test_every_act_has_its_own_name_on_a_line(store: Store) -> None:
    for part in parts(look(store, LATER), PLAIN):
        for each in part.items:
            labels = [act.label for act in each.acts]
            assert len(labels) == len(set(labels)), labels
            assert all(len(label) <= 26 for label in labels)


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
