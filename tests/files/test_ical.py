"""Calendar files: octet by octet, and read back by two independent parsers."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import icalendar
import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.files.ical import Alarm, Entry, calendar_bytes, escaped, folded
from tests.files.any_room import texts
from tests.files.ical_checker import faults_of

STAMP = datetime(2027, 3, 1, 7, 30, tzinfo=UTC)


def entry(n: int = 1, title: str = "Change at B2", **facts: Any) -> Entry:
    base: dict[str, Any] = {
        "uid": f"{n:032x}",
        "day": date(2027, 3, 13),
        "title": title,
        "stamp": STAMP,
    }
    return Entry(**{**base, **facts})


GOOD = calendar_bytes(
    "The room",
    [
        entry(1, "Squeeze; first, then “look”", text="why: a\nb\\c; d, e " + "ü" * 90,
              place="B2", alarms=(Alarm(minutes=1126, text="hose out"),)),
        entry(2, "水換え " * 20, day=date(2027, 2, 28), sequence=3),
    ],
)  # fmt: skip


def test_the_good_file_has_no_fault_and_ends_each_line_well() -> None:
    assert faults_of(GOOD) == []
    assert b"TRIGGER:PT18H46M\r\n" in GOOD
    assert b"DTEND;VALUE=DATE:20270301\r\n" in GOOD
    assert max(len(line) for line in GOOD.split(b"\r\n")) <= 75


def test_the_same_entries_in_any_order_are_the_same_bytes() -> None:
    entries = [entry(n, day=date(2027, 3, 1 + n % 3)) for n in range(9)]
    assert calendar_bytes("x", entries) == calendar_bytes("x", reversed(entries))


BROKEN: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "LF ends": (lambda d: d.replace(b"\r\n", b"\n"), "CR LF"),
    "an unfolded line": (lambda d: d.replace(b"\r\n ", b"", 1), "octets"),
    "no VERSION": (lambda d: d.replace(b"VERSION:2.0\r\n", b""), "VERSION"),
    "TZID without VTIMEZONE": (
        lambda d: d.replace(b"DTSTART;VALUE=DATE:", b"DTSTART;TZID=Europe/Lisbon:", 1), "TZID"
    ),
    "DTSTAMP not in UTC": (lambda d: d.replace(b"T073000Z", b"T073000", 1), "UTC"),
    "DTEND is DTSTART": (lambda d: d.replace(b"20270301", b"20270228"), "DTEND"),
    "COUNT and UNTIL": (
        lambda d: d.replace(b"TRANSP", b"RRULE:FREQ=DAILY;COUNT=2;UNTIL=20270401\r\nTRANSP", 1),
        "RRULE",
    ),
    "UNTIL of another type": (
        lambda d: d.replace(b"TRANSP", b"RRULE:FREQ=DAILY;UNTIL=20270401T000000Z\r\nTRANSP", 1),
        "RRULE",
    ),
    "BYDAY with a number, weekly": (
        lambda d: d.replace(b"TRANSP", b"RRULE:FREQ=WEEKLY;BYDAY=1SA\r\nTRANSP", 1), "RRULE"
    ),
    "EXDATE of another type": (
        lambda d: d.replace(b"TRANSP", b"EXDATE:20270301T000000Z\r\nTRANSP", 1), "EXDATE"
    ),
    "a UID twice": (lambda d: d.replace(b"%032x" % 2, b"%032x" % 1), "stands twice"),
    "DUE is DTSTART": (
        lambda d: d.replace(b"TRANSP", b"DUE;VALUE=DATE:20270313\r\nTRANSP", 1), "DUE"
    ),
    "a fold inside a character": (
        lambda d: d.replace("ü".encode(), b"\xc3\r\n \xbc", 1), "inside a character"
    ),
    "a bare comma": (lambda d: d.replace(b"first\\, then", b"first, then"), "escaped"),
    "a control character": (lambda d: d.replace(b"Squeeze", b"Sque\x07eze"), "control"),
    "an alarm without words": (
        lambda d: d.replace(b"DESCRIPTION:hose out\r\n", b""), "VALARM without"
    ),
    "a day that does not exist": (lambda d: d.replace(b"20270313", b"20270231"), "no date"),
    "a byte-order mark": (lambda d: b"\xef\xbb\xbf" + d, "byte-order"),
    "a part not closed": (lambda d: d.replace(b"END:VCALENDAR\r\n", b""), "not closed"),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_the_checker_finds_each_fault(name: str) -> None:
    spoil, words = BROKEN[name]
    spoilt = spoil(GOOD)
    assert spoilt != GOOD
    assert any(words in fault for fault in faults_of(spoilt)), faults_of(spoilt)


def test_two_parsers_read_back_what_was_meant() -> None:
    read: Any = icalendar.Calendar.from_ical(GOOD)
    first, second = (event for event in read.walk("VEVENT"))
    assert str(first["SUMMARY"]).startswith("水換え")
    assert second["DTSTART"].dt == date(2027, 3, 13)
    assert second["DTEND"].dt == date(2027, 3, 14)
    assert str(second["DESCRIPTION"]) == "why: a\nb\\c; d, e " + "ü" * 90
    assert read.errors == []
    other = vobject.readOne(GOOD.decode("utf-8"))
    assert other.validate()
    titles = {event.summary.value for event in other.vevent_list}
    assert "Squeeze; first, then “look”" in titles


@given(texts)
def test_any_text_comes_back_from_both_parsers(text: str) -> None:
    made = calendar_bytes("n", [entry(1, "t", text=f"a{text}b")])
    assert faults_of(made) == []
    read: Any = icalendar.Calendar.from_ical(made)
    meant = read.walk("VEVENT")[0]["DESCRIPTION"]
    assert escaped(str(meant)) == escaped(f"a{text}b")


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=300))
def test_folding_never_cuts_a_character_and_can_be_undone(line: str) -> None:
    made = folded(line)
    assert made.replace(b"\r\n ", b"").decode("utf-8") == line + "\r\n"
    assert all(len(part) <= 75 for part in made.split(b"\r\n"))
