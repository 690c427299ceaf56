"""Local time: gaps, overlaps, the room day, durations, and the text of all of them."""

import zoneinfo
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomtasks.room.day import (
    after,
    day_exists,
    day_start,
    local_exists,
    next_day,
    parse_day,
    parse_instant,
    parse_local,
    previous_day,
    resolve,
    room_day,
    zone_named,
)
from roomtasks.room.problem import Problem
from tests.room.vectors import Row, rows

MIDNIGHT = time()
FOUR = time(4)
ONE_DAY = timedelta(days=1)
LONDON = "Europe/London"


@pytest.fixture(autouse=True, scope="module")
def _package_zone_data() -> Iterator[None]:
    """The zone data of the tzdata package, whatever the machine has."""
    before = zoneinfo.TZPATH
    zoneinfo.reset_tzpath(to=[])
    ZoneInfo.clear_cache()
    yield
    zoneinfo.reset_tzpath(to=before)
    ZoneInfo.clear_cache()


@pytest.mark.parametrize(
    "row", rows("local_time", "resolve"), ids=lambda row: f"{row['zone']} {row['local']}"
)
def test_written_times(row: Row) -> None:
    zone, local = ZoneInfo(row["zone"]), datetime.fromisoformat(row["local"])
    found = resolve(local, zone)
    assert found.isoformat() == row["resolved"]
    assert found.astimezone(UTC) == datetime.fromisoformat(row["utc"])
    assert local_exists(local, zone) == (row["kind"] != "gap")
    assert parse_instant(row["local"], zone) == found
    assert parse_instant(row["resolved"], zone) == found
    assert parse_instant(row["utc"], zone) == found


def test_a_gap_turns_the_order_round_on_lord_howe() -> None:
    # Half an hour is missing: 02:15 is read with the offset before, and so is later than 02:30.
    zone = ZoneInfo("Australia/Lord_Howe")
    missing = resolve(datetime(2025, 10, 5, 2, 15), zone)
    assert missing.isoformat() == "2025-10-05T02:45:00+11:00"
    assert missing > resolve(datetime(2025, 10, 5, 2, 30), zone)


@pytest.mark.parametrize(
    "row", rows("local_time", "day"), ids=lambda row: f"{row['zone']} {row['date']}"
)
def test_days(row: Row) -> None:
    zone, day = ZoneInfo(row["zone"]), date.fromisoformat(row["date"])
    exists = row["start"] is not None
    assert day_exists(day, zone, MIDNIGHT) == exists
    if not exists:
        assert next_day(previous_day(day, zone, MIDNIGHT), zone, MIDNIGHT) > day
        return
    start = day_start(day, zone, MIDNIGHT)
    end = day_start(next_day(day, zone, MIDNIGHT), zone, MIDNIGHT)
    assert (start.isoformat(), end.isoformat()) == (row["start"], row["end"])
    assert end.astimezone(UTC) - start.astimezone(UTC) == timedelta(hours=row["hours"])
    assert room_day(start, zone, MIDNIGHT) == day
    assert room_day(end.astimezone(UTC) - timedelta(microseconds=1), zone, MIDNIGHT) == day
    assert room_day(end, zone, MIDNIGHT) == next_day(day, zone, MIDNIGHT)


@pytest.mark.parametrize(
    ("local", "day"),
    [
        ("2027-05-15T00:30", "2027-05-14"),
        ("2027-05-15T03:59:59", "2027-05-14"),
        ("2027-05-15T04:00", "2027-05-15"),
        ("2027-05-15T23:59", "2027-05-15"),
        ("2027-05-16T00:00", "2027-05-15"),
        # 00:30 in the night of the clock change, and both 01:30 of it.
        ("2027-10-31T00:30", "2027-10-30"),
        ("2027-10-31T01:30", "2027-10-30"),
        ("2027-10-31T01:30Z", "2027-10-30"),
    ],
)
def test_after_midnight_is_still_the_evening_before(local: str, day: str) -> None:
    zone = ZoneInfo(LONDON)
    instant = parse_instant(local, zone)
    assert isinstance(instant, datetime)
    assert room_day(instant, zone, FOUR) == date.fromisoformat(day)
    assert room_day(instant.astimezone(UTC), zone, FOUR) == date.fromisoformat(day)


def test_a_midnight_that_happens_twice_starts_the_day_once() -> None:
    # Havana, 2 November 2025: 00:00 to 01:00 comes twice; the day is the first of them and on.
    zone, day = ZoneInfo("America/Havana"), date(2025, 11, 2)
    start = day_start(day, zone, MIDNIGHT).astimezone(UTC)
    assert start == datetime(2025, 11, 2, 4, tzinfo=UTC)
    for minutes in (0, 59, 60, 61, 119):
        assert room_day(start + timedelta(minutes=minutes), zone, MIDNIGHT) == day
    assert room_day(start - timedelta(seconds=1), zone, MIDNIGHT) == day - ONE_DAY


def test_a_clock_set_back_over_midnight_does_not_bring_yesterday_back() -> None:
    # St John's, 29 October 2006: at 00:01 the clock went back to 23:01 of the 28th.
    zone, day = ZoneInfo("America/St_Johns"), date(2006, 10, 29)
    start = day_start(day, zone, MIDNIGHT).astimezone(UTC)
    later = start + timedelta(minutes=30)
    assert later.astimezone(zone).isoformat() == "2006-10-28T23:30:00-03:30"
    assert room_day(later, zone, MIDNIGHT) == day
    assert room_day(start - timedelta(seconds=1), zone, MIDNIGHT) == day - ONE_DAY


def test_a_naive_instant_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="offset"):
        room_day(datetime(2026, 4, 7, 8), ZoneInfo(LONDON), FOUR)
    with pytest.raises(ValueError, match="no offset"):
        resolve(datetime(2026, 4, 7, 8, tzinfo=UTC), ZoneInfo(LONDON))


@pytest.mark.parametrize("starts", [MIDNIGHT, FOUR, time(12), time(23, 59)])
@pytest.mark.parametrize(
    ("name", "missing"),
    [
        ("Pacific/Apia", date(2011, 12, 30)),
        ("Pacific/Kwajalein", date(1993, 8, 21)),
        ("Pacific/Kiritimati", date(1994, 12, 31)),
    ],
)
def test_days_that_the_date_line_took(name: str, missing: date, starts: time) -> None:
    zone = ZoneInfo(name)
    assert not day_exists(missing, zone, starts)
    assert next_day(missing - ONE_DAY, zone, starts) == missing + ONE_DAY
    assert previous_day(missing + ONE_DAY, zone, starts) == missing - ONE_DAY
    instant = day_start(missing - ONE_DAY, zone, starts).astimezone(UTC)
    seen = {room_day(instant + timedelta(minutes=15 * n), zone, starts) for n in range(200)}
    assert seen == {missing - ONE_DAY, missing + ONE_DAY, missing + 2 * ONE_DAY}


@pytest.mark.parametrize("row", rows("local_time", "elapsed"), ids=lambda row: row["why"])
def test_durations(row: Row) -> None:
    zone, start = ZoneInfo(row["zone"]), datetime.fromisoformat(row["start_local"])
    length = row["duration"]
    if length.startswith("PT"):
        found = after(start, zone, hours=int(length[2:-1]))
    else:
        found = after(start, zone, days=int(length[1:-1]))
    assert found.isoformat() == row["end"]
    gone = found.astimezone(UTC) - resolve(start, zone).astimezone(UTC)
    assert gone == timedelta(hours=row["exact_hours"])


def test_days_are_added_before_hours() -> None:
    # A day on, 01:30 is missing and means 01:30Z; an hour more is 03:30 by the clock.
    # The hour first and then the day would be 02:30 by the clock.
    zone = ZoneInfo(LONDON)
    found = after(datetime(2027, 3, 27, 1, 30), zone, days=1, hours=1)
    assert found.isoformat() == "2027-03-28T03:30:00+01:00"
    assert after(datetime(2027, 3, 27, 0, 30), zone, hours=25.5).isoformat() == (
        "2027-03-28T03:00:00+01:00"
    )
    assert after(datetime(2027, 3, 27, 12), zone, hours=-0.5).hour == 11


def _transitions(zone: ZoneInfo, probes: list[datetime]) -> list[date]:
    """Local dates within two days of which the zone's offset changes."""
    offsets = [probe.astimezone(zone).utcoffset() for probe in probes]
    around = [at for at, (one, two) in enumerate(pairwise(offsets)) if one != two]
    return [probes[at].date() for at in around]


def _hold_days(zone: ZoneInfo, first: date, starts: time) -> None:
    """Every instant near a change has one day; the days exist and are in order."""
    days = [first + timedelta(days=n) for n in range(-1, 5)]
    begins = [day_start(day, zone, starts).astimezone(UTC) for day in days]
    assert begins == sorted(begins)
    for day, begin, end in zip(days, begins, begins[1:], strict=False):
        assert day_exists(day, zone, starts) == (end > begin), (zone.key, day)
        if end > begin:
            assert room_day(begin, zone, starts) == day, (zone.key, day)
            half_hours = (end - begin) // timedelta(minutes=30)
            within = [begin + timedelta(minutes=30 * n) for n in (*range(6), half_hours // 2)]
            within += [end - timedelta(seconds=1), end - timedelta(minutes=30)]
            assert {room_day(at, zone, starts) for at in within} == {day}, (zone.key, day)


@pytest.mark.parametrize("starts", [MIDNIGHT, FOUR])
def test_every_zone_has_its_days_in_order(starts: time) -> None:
    probes = [datetime(2000, 1, 1, tzinfo=UTC) + timedelta(days=2 * n) for n in range(6392)]
    assert probes[-1].year == 2034
    names = sorted(zoneinfo.available_timezones())
    assert len(names) > 400
    changes = 0
    for name in names:
        zone = ZoneInfo(name)
        near = _transitions(zone, probes)
        changes += len(near)
        for first in [*near, date(2027, 5, 15)]:
            _hold_days(zone, first, starts)
    assert changes > 10_000


@given(
    st.sampled_from(["Europe/Dublin", "America/Santiago", "Africa/Cairo", "Antarctica/Troll"]),
    st.datetimes(datetime(2000, 1, 2), datetime(2034, 12, 30)),
    st.sampled_from([MIDNIGHT, FOUR, time(1, 30), time(22)]),
)
def test_an_instant_lies_within_its_room_day(name: str, moment: datetime, starts: time) -> None:
    zone, instant = ZoneInfo(name), moment.replace(tzinfo=UTC)
    day = room_day(instant, zone, starts)
    begin = day_start(day, zone, starts).astimezone(UTC)
    end = day_start(next_day(day, zone, starts), zone, starts).astimezone(UTC)
    assert begin <= instant < end
    assert day_exists(day, zone, starts)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2027-05-15T07:10", "2027-05-15T07:10:00+01:00"),
        (" 2027-05-15 07:10 ", "2027-05-15T07:10:00+01:00"),
        ("2027-05-15T07:10:30", "2027-05-15T07:10:30+01:00"),
        ("2027-05-15T07:10:30.25", "2027-05-15T07:10:30.250000+01:00"),
        ("20270515T071030", "2027-05-15T07:10:30+01:00"),
        ("20270515T071030Z", "2027-05-15T08:10:30+01:00"),
        ("2027-05-15T07:10Z", "2027-05-15T08:10:00+01:00"),
        ("2027-05-15T07:10+05:30", "2027-05-15T02:40:00+01:00"),
        ("2027-05-15T07:10-0400", "2027-05-15T12:10:00+01:00"),
        ("2027-01-15T07:10", "2027-01-15T07:10:00+00:00"),
        ("2028-02-29T23:59", "2028-02-29T23:59:00+00:00"),
    ],
)
def test_instants_as_written(text: str, expected: str) -> None:
    found = parse_instant(text, ZoneInfo(LONDON))
    assert isinstance(found, datetime)
    assert found.isoformat() == expected


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2027-02-30T08:00", "does not exist"),
        ("2027-02-29T08:00Z", "does not exist"),
        ("2027-13-01T08:00", "does not exist"),
        ("2027-05-15T24:00", "time that no day has"),
        ("2027-05-15T07:60", "time that no day has"),
        ("2027-05-15T07:10:60", "time that no day has"),
        ("2027-05-15T07:10+15:00", "no place on earth"),
        ("2027-05-15T07:10+01:60", "no place on earth"),
        ("2027-05-15", "no time of day"),
        ("0001-01-01T00:00", "out of reach"),
        ("9999-12-31T23:59", "out of reach"),
        ("２０２７-05-15T07:10", "not a date"),
        ("2027-05-15T07:10:30,5", "not a date"),
        ("2027-W20-6T07:10", "not a date"),
        ("2027-0515T07:10", "not a date"),
        ("tomorrow", "not a date"),
        ("", "not a date"),
        ("2027-05-15T07:10 Europe/London", "not a date"),
        ("2027-05-15T\x1b[2J", "not a date"),
    ],
)
def test_instants_that_are_refused(text: str, says: str) -> None:
    found = parse_instant(text, ZoneInfo(LONDON))
    assert isinstance(found, Problem)
    assert says in found.what
    assert found.remedy
    assert "\x1b" not in found.sentence()


def test_local_text_is_a_date_or_a_time_without_offset() -> None:
    assert parse_local("1997-09-02") == date(1997, 9, 2)
    assert parse_local("19970902") == date(1997, 9, 2)
    assert parse_local("19970902T090000") == datetime(1997, 9, 2, 9)
    assert not isinstance(parse_local("1997-09-02"), datetime)
    for text in ("1997-09-02T09:00Z", "1997-09-02T09:00+01:00", "1997-09"):
        assert isinstance(parse_local(text), Problem)


def test_days_as_written() -> None:
    assert parse_day("2027-02-28") == date(2027, 2, 28)
    assert parse_day(" 2028-02-29 ") == date(2028, 2, 29)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2027-02-30", "does not exist"),
        ("2027-02-29", "does not exist"),
        ("2027-00-10", "does not exist"),
        ("1899-12-31", "out of reach"),
        ("3000-01-01", "out of reach"),
        ("20270228", "not a date"),
        ("28-02-2027", "not a date"),
        ("2027-2-28", "not a date"),
        ("2027-02-28T08:00", "not a date"),
        ("２０２７-02-28", "not a date"),
        ("2027-02-2８", "not a date"),
        ("", "not a date"),
        ("today", "not a date"),
    ],
)
def test_days_that_are_refused(text: str, says: str) -> None:
    found = parse_day(text)
    assert isinstance(found, Problem)
    assert says in found.what
    assert found.remedy


@pytest.mark.parametrize(
    "name",
    [LONDON, "UTC", "America/Argentina/Buenos_Aires", "Etc/GMT+3", "America/Port-au-Prince"],
)  # fmt: skip
def test_zones_by_name(name: str) -> None:
    assert zone_named(f" {name} ") == ZoneInfo(name)


@pytest.mark.parametrize(
    "name",
    ["", "  ", "..", "../etc/passwd", "/etc/localtime", "Europe/../../etc/passwd", "Europe",
     "Europe/", "/Europe/London", "Europe//London", "Europe/Nowhere", "Europe\\London", "C:zone",
     "zone.tab", "tzdata.zi", "leapseconds", "posix/Europe/London", "right/Europe/London",
     "localtime", "posixrules", "Europe/London\x00", "Europe/Lond\x1b[1mon", "Ｅurope/London",
     "A" * 5000, "a/b/c/d", "-03"],
)  # fmt: skip
def test_zones_that_are_refused(name: str) -> None:
    found = zone_named(name)
    assert isinstance(found, Problem)
    assert "Europe/London" in found.remedy
    assert len(found.sentence()) < 200
    assert found.sentence().isprintable()


def test_every_zone_of_the_data_is_accepted() -> None:
    refused = [
        name for name in zoneinfo.available_timezones() if isinstance(zone_named(name), Problem)
    ]
    assert set(refused) <= {"Factory"}
