"""`calendar`: the coming work as a file, its numbers moving only with a change."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import icalendar
import vobject

from roomtasks.work.calendar_out import titled
from tests.cli.conftest import Ask
from tests.files.ical_checker import faults_of

LATER = "2027-03-06T08:00"


def entries(path: Path) -> dict[str, Any]:
    read: Any = icalendar.Calendar.from_ical(path.read_bytes())
    return {str(event["UID"]): event for event in read.walk("VEVENT")}


def test_the_plan_stands_in_the_file_day_by_day(ask: Ask, tmp_path: Path) -> None:
    file = tmp_path / "room.ics"
    said = ask("calendar", str(file), "--days", "14", "--json")
    assert said.status == 0
    assert faults_of(file.read_bytes()) == []
    found = entries(file)
    assert len(found) == said.json["entries"]
    ahead = ask("ahead", "--days", "14", "--json").json
    meant = {
        (day["day"], titled(job["name"], job["target"]))
        for day in ahead["days"]
        for job in day["jobs"]
        if not job["id"].startswith(("look@", "feed@", "check@"))
    }
    written = {
        (event["DTSTART"].dt.isoformat(), str(event["SUMMARY"])) for event in found.values()
        if not str(event["SUMMARY"]).startswith("Water in ")
    }  # fmt: skip
    assert written == meant
    other = vobject.readOne(file.read_bytes().decode("utf-8"))
    assert other.validate()
    assert len(other.vevent_list) == len(found)
    assert "left out" in said.err


def test_the_same_room_is_the_same_bytes_and_a_change_moves_one_number(
    ask: Ask, tmp_path: Path
) -> None:
    first, second, third = (tmp_path / f"{n}.ics" for n in range(3))
    ask("calendar", str(first))
    again = ask("calendar", str(second), "--at", LATER, "--json").json
    assert first.read_bytes() == second.read_bytes()
    assert (again["changed"], again["act"]) == (0, None)
    assert ask("pin", "squeeze-2@B1-2", "2027-03-14", "--anyway").status == 0
    ask("calendar", str(third), "--at", LATER)
    before, after = entries(first), entries(third)
    moved = [uid for uid in before.keys() & after.keys() if before[uid] != after[uid]]
    assert moved
    assert all(after[uid]["SEQUENCE"] == before[uid]["SEQUENCE"] + 1 for uid in moved)
    assert all(after[uid]["DTSTAMP"].dt > before[uid]["DTSTAMP"].dt for uid in moved)
    same = before.keys() & after.keys() - set(moved)
    assert all(after[uid]["DTSTAMP"].dt == before[uid]["DTSTAMP"].dt for uid in same)


def test_every_day_can_be_asked_for(ask: Ask, tmp_path: Path) -> None:
    few = ask("calendar", str(tmp_path / "a.ics"), "--json").json["entries"]
    many = ask("calendar", str(tmp_path / "b.ics"), "--daily", "--json").json["entries"]
    assert many > few


def test_a_file_that_is_no_calendar_is_left_as_it_is(ask: Ask, tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("do not lose me", "utf-8")
    said = ask("calendar", str(file))
    assert (said.status, "[not-ours]" in said.err) == (1, True)
    assert file.read_text("utf-8") == "do not lose me"
    assert ask("calendar", str(file), "--over").status == 0
    assert ask("calendar", str(tmp_path)).status == 2
    assert ask("calendar", str(tmp_path / "no" / "where.ics")).status == 2
    assert ask("calendar", str(tmp_path / "c.ics"), "--days", "0").status == 2


CLOCKS_GO_ON = {
    "room.toml": '[room]\nname = "r"\nzone = "Europe/London"\nchange_day = "sunday"\n',
    "racks.csv": "code,name,path\nA,a,1\n",
    "shelves.csv": "rack,shelf,places\nA,1,2\n",
    "tanks.csv": (
        "code,rack,shelf,place,role,length_cm,width_cm,height_cm,water_cm\n"
        "A1,A,1,1,stock,60,30,40,35\n"
    ),
    "groups.csv": "code,line,tank,count,since\ng,x,A1,9,2027-01-01\n",
    "reservoirs.csv": (
        "code,full_litres,holds_litres,fill_litres_per_min,rest_hours\nV,300,10,5,4\n"
    ),
    "jobs.csv": (
        "code,name,kind,where,rule,window,starts,fraction,reservoir\n"
        "c,Change,change,tank A1,every 7 days,-1/+2,2027-03-28,0.25,V\n"
    ),
}  # fmt: skip


def test_an_alarm_rings_at_its_hour_also_on_the_day_the_clocks_change(
    say: Ask, tmp_path: Path
) -> None:
    folder, file, store = tmp_path / "room", tmp_path / "a.ics", str(tmp_path / "r.sqlite")
    folder.mkdir()
    for name, text in CLOCKS_GO_ON.items():
        (folder / name).write_text(text, "utf-8")
    assert say("-r", store, "import", str(folder)).status == 0
    said = say("-r", store, "calendar", str(file), "--days", "7", "--at", "2027-03-27T08:00")
    assert said.status == 0
    water = [event for event in entries(file).values() if event["SUMMARY"] == "Water in V"]
    assert [str(event["DTSTART"].dt) for event in water] == ["2027-03-28"]
    midnight = datetime(2027, 3, 28, tzinfo=ZoneInfo("Europe/London"))
    rung = [
        (midnight.astimezone(UTC) + alarm["TRIGGER"].dt).astimezone(midnight.tzinfo)
        for alarm in water[0].walk("VALARM")
    ]
    told = [line[:5] for line in str(water[0]["DESCRIPTION"]).splitlines()]
    assert [f"{at:%H:%M}" for at in rung] == told
    assert told[-1] == "08:30"
