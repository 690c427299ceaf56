"""What a keeper may leave to the program when writing a folder by hand."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from roomtasks.room.check import faults
from roomtasks.room.column import FIRST_YEAR, LAST_YEAR
from roomtasks.room.day import FIRST_YEAR as FIRST_YEAR_OF_DAYS
from roomtasks.room.day import LAST_YEAR as LAST_YEAR_OF_DAYS
from tests.files.folders import by_hand, bytes_of, faults_in, read_well, written

CHANGES_OF_7 = (
    'act,n,sheet,key,before,after\n7,0,marks,[7],"{""id"":7,""act"":7,""job"":""look"",'
    '""target"":""L1"",""slot"":""2027-04-01"",""outcome"":""done"",""day"":""2027-04-01"",'
    '""at"":""2027-04-01T07:00:00+00:00"",""who"":"""",""fraction"":null,""litres"":null,'
    '""minutes"":null,""until"":null,""reason"":"""",""note"":""""}",\n'
)
ACT_7 = "id,at,day,verb,words\n7,2027-04-01T07:00,2027-04-01,undo,taken back\n"
MARK = ",look,L1,2027-04-03,done,2027-04-03,2027-04-03T07:10\n"
MARKS = "id,job,target,slot,outcome,day,at\n"


def test_the_example_of_the_reference_is_a_room_without_a_fault(tmp_path: Path) -> None:
    sheets = read_well(by_hand(tmp_path)).sheets
    assert len(sheets["tanks"]) == 4
    assert faults(sheets) == []


def test_numbers_and_codes_left_blank_are_given_in_the_order_of_rows(tmp_path: Path) -> None:
    sheets = read_well(by_hand(tmp_path)).sheets
    assert [mark.id for mark in sheets["marks"]] == [1, 2, 3]
    assert [pair.code for pair in sheets["between"]] == ["P1", "P2"]
    assert [hold.code for hold in sheets["holds"]] == ["H1"]
    assert [stay.code for stay in sheets["stays"]] == ["stay-1"]


def test_given_codes_are_passed_over_and_given_numbers_gone_on_from(tmp_path: Path) -> None:
    pair = ",kind filter,apart,kind vac\n"
    folder = by_hand(
        tmp_path, marks=MARKS + MARK + "41" + MARK + MARK,
        between="code,first,relation,second\n" + pair + "P2" + pair + pair,
    )  # fmt: skip
    sheets = read_well(folder).sheets
    assert sorted(mark.id for mark in sheets["marks"]) == [41, 42, 43]
    assert [pair.code for pair in sheets["between"]] == ["P1", "P2", "P3"]


def test_a_number_that_the_journal_once_gave_is_not_given_again(tmp_path: Path) -> None:
    folder = by_hand(tmp_path, marks=MARKS + "2" + MARK + MARK, acts=ACT_7, changes=CHANGES_OF_7)
    assert [mark.id for mark in read_well(folder).sheets["marks"]] == [2, 8]
    by_hand(tmp_path, acts=ACT_7 + ",2027-04-01T07:00,2027-04-01,note,more\n")
    assert [act.id for act in read_well(folder).sheets["acts"]] == [7, 8]


def test_what_was_numbered_is_written_with_its_numbers(tmp_path: Path) -> None:
    sheets = read_well(by_hand(tmp_path / "hand")).sheets
    first = written(tmp_path / "first", sheets)
    assert read_well(first).sheets == sheets
    assert bytes_of(first) == bytes_of(written(tmp_path / "again", read_well(first).sheets))
    assert (first / "holds.csv").read_text().splitlines()[1].startswith("H1,L3,")


def test_a_time_without_offset_is_local_to_the_room(tmp_path: Path) -> None:
    """Lisbon is on UTC+1 from 28 March 2027 on."""
    sheets = read_well(by_hand(tmp_path)).sheets
    assert sheets["valves"][0].at == datetime(2027, 1, 9, 10, 0, tzinfo=UTC)
    assert sheets["marks"][0].at == datetime(2027, 4, 2, 17, 40, tzinfo=UTC)
    text = (written(tmp_path / "out", sheets) / "marks.csv").read_text()
    assert "2027-04-02T18:40:00+01:00" in text


@pytest.mark.parametrize(
    ("local", "utc", "offset_hours"),
    [
        ("2027-03-28T01:30", datetime(2027, 3, 28, 1, 30, tzinfo=UTC), 1),
        ("2027-10-31T01:30", datetime(2027, 10, 31, 0, 30, tzinfo=UTC), 1),
        ("2027-10-31T02:00", datetime(2027, 10, 31, 2, 0, tzinfo=UTC), 0),
        ("2027-10-31T01:30+00:00", datetime(2027, 10, 31, 1, 30, tzinfo=UTC), 0),
    ],
)
def test_local_times_that_are_missing_or_come_twice(
    tmp_path: Path, local: str, utc: datetime, offset_hours: int
) -> None:
    """RFC 5545 3.3.5; Lisbon's clocks change at 01:00 UTC on the last Sundays."""
    folder = by_hand(tmp_path, pumps=f"system,at,state\nT,{local},off\n")
    turn = read_well(folder).sheets["pumps"][0]
    assert turn.at == utc
    assert turn.at.utcoffset() == timedelta(hours=offset_hours)


def test_two_turns_in_one_local_time_that_comes_twice_are_one_too_many(tmp_path: Path) -> None:
    pumps = "system,at,state\nT,2027-10-31T01:30,off\nT,2027-10-31T00:30+00:00,running\n"
    (fault,) = faults_in(by_hand(tmp_path, pumps=pumps))
    assert (fault.file, fault.line, fault.column) == ("pumps.csv", 3, "at")


def test_parts_of_a_second_are_dropped_so_that_what_is_written_is_what_was_read(
    tmp_path: Path,
) -> None:
    folder = by_hand(tmp_path, pumps="system,at,state\nT,2027-03-01T01:30:15.75,off\n")
    sheets = read_well(folder).sheets
    assert sheets["pumps"][0].at.microsecond == 0
    assert read_well(written(tmp_path / "out", sheets)).sheets == sheets


def test_the_years_of_columns_are_those_of_days() -> None:
    assert (FIRST_YEAR, LAST_YEAR) == (FIRST_YEAR_OF_DAYS, LAST_YEAR_OF_DAYS)
