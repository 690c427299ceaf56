"""Marking wrote litres no keeper can read, and let a rack be touched with hands from elsewhere."""

from dataclasses import replace
from pathlib import Path

from roomtasks.room.job import Job
from roomtasks.room.problem import Problem
from roomtasks.work.marking import How, Marked, mark
from tests.rooms import at, small_room, store_with


def test_planned_litres_are_written_to_the_millilitre(tmp_path: Path) -> None:
    room = small_room()
    room["tanks"] = [
        replace(tank, rock_kg=3.1) if tank.code == "B1" else tank for tank in room["tanks"]
    ]
    with store_with(tmp_path, room) as store:
        answer = mark(store, at("2027-03-06 09:00"), ["change-alone@B1"], "done", How())
        assert isinstance(answer, Marked)
        litres = answer.marks[0].litres
        assert litres is not None
        assert litres > 20
        assert litres == round(litres, 3)


def test_litres_as_told_stay_as_told(tmp_path: Path) -> None:
    with store_with(tmp_path, small_room()) as store:
        how = How(litres=12.3456)
        answer = mark(store, at("2027-03-06 09:00"), ["change-alone@B1"], "done", how)
        assert isinstance(answer, Marked)
        assert answer.marks[0].litres == 12.3456


def test_a_rack_after_the_newcomers_asks_about_hands(tmp_path: Path) -> None:
    room = small_room()
    room["jobs"].append(Job(code="wipe", name="Wipe the rack", kind="wipe", where="rack A",
                            rule="every 14 days"))  # fmt: skip
    with store_with(tmp_path, room) as store:
        now = at("2027-03-06 09:00")
        assert isinstance(mark(store, now, ["look@Q1"], "done", How()), Marked)
        answer = mark(store, now, ["wipe@A"], "done", How())
        assert isinstance(answer, Problem)
        assert answer.rule == "hands"
        assert isinstance(mark(store, now, ["wipe@A"], "done", How(hands_clean=True)), Marked)


def test_after_a_rack_its_riskiest_tank_has_been_touched(tmp_path: Path) -> None:
    room = small_room()
    rack = next(tank.rack for tank in room["tanks"] if tank.code == "B1")
    room["tanks"] = [
        replace(tank, rack=rack, place=9) if tank.code == "Q1" else tank for tank in room["tanks"]
    ]
    room["jobs"].append(Job(code="wipe", name="Wipe the rack", kind="wipe", where=f"rack {rack}",
                            rule="every 14 days"))  # fmt: skip
    with store_with(tmp_path, room) as store:
        now = at("2027-03-06 09:00")
        assert isinstance(mark(store, now, [f"wipe@{rack}"], "done", How()), Marked)
        answer = mark(store, now, ["look@B1"], "done", How())
        assert isinstance(answer, Problem)
        assert answer.rule == "hands"
