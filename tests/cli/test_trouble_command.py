"""Bad days by commands: a week after a power cut lived day by day, refusals, the short day."""

import json
from typing import Any

import pytest

from tests.cli.conftest import Ask

OFF, ON = "02:10", "09:40"


def walk(ask: Ask, when: str) -> Any:
    said = ask("walk", "--json", "--at", when)
    assert said.status == 0, said.err
    return said.json


def held(found: Any, job: str) -> dict[str, str | None]:
    """Target and the first free day of each that is held."""
    return {each["id"].partition("@")[2]: each["free_from"] for each in found["held"]
            if each["job"] == job}  # fmt: skip


def stops(found: Any, job: str) -> set[str]:
    return {each["target"] for each in found["stops"] if each["job"] == job}


def steps(found: Any) -> dict[str, Any]:
    return {step["step"]: step for plan in found["troubles"] for step in plan["steps"]}


def read(ask: Ask, when: str, *words: str) -> None:
    said = ask("read", *words, "--at", when)
    assert said.status == 0, said.err


def test_a_power_cut_lived_through_day_by_day(ask: Ask) -> None:
    wednesday = "2027-03-17"
    assert "feed" in {each["job"] for each in walk(ask, f"{wednesday}T01:00")["stops"]}
    begun = ask("trouble-begin", "power-cut", "--when", OFF, "--at", f"{wednesday}T05:00")
    assert begun.status == 0, begun.err
    assert "power cut since Wed 17 Mar 02:10" in begun.flat

    dark = walk(ask, f"{wednesday}T05:00")
    assert set(held(dark, "feed")) == {"A1", "A2", "B1", "B2", "Q1"}
    assert set(held(dark, "feed").values()) == {None}
    assert set(held(dark, "squeeze-1")) == {"B1-1", "B2-1", "B3-1"}
    assert dark["pumps"][0]["state"] == "off"
    assert set(steps(dark)) == {"battery", "warm"}
    assert stops(dark, "look") == {"A1", "A2", "B1", "B2", "Q1"}
    air = ask("seen", "B1", "battery-air", "--at", f"{wednesday}T05:10")
    assert air.status == 0
    assert "B1" not in steps(walk(ask, f"{wednesday}T05:15"))["battery"]["left"]

    over = ask("trouble-over", "power-cut", "--when", ON, "--at", f"{wednesday}T09:45")
    assert "no food until Thu 18 Mar 09:40, then half of it to Sat 20 Mar" in over.flat
    _the_day_it_is_back(ask, f"{wednesday}T09:50")
    _no_food_for_a_day_then_half(ask)
    _ammonia_on_day_0_1_and_3(ask)
    _filters_rest_to_the_seventh_day(ask)


def _the_day_it_is_back(ask: Ask, when: str) -> None:
    back = walk(ask, when)
    names = [step["step"] for plan in back["troubles"] for step in plan["steps"]]
    assert names == ["sump", "run", "outlets", "air", "heaters", "timers", "ammonia-0"]
    assert set(held(back, "feed").values()) == {"2027-03-18"}
    read(ask, when, "S", "sump-level", "36", "cm")
    assert ask("pump", "S", "running", "--at", when).status == 0
    assert ask("trouble-tick", "power-cut-1", "outlets", "--at", when).status == 0
    left = list(steps(walk(ask, when)))
    assert left == ["air", "heaters", "timers", "ammonia-0"]
    weak = ask("trouble", "--json", "--at", when).json["recent"][0]["weakened"]
    assert "S" in weak
    assert "B1" not in weak
    assert "B2" in weak


def _no_food_for_a_day_then_half(ask: Ask) -> None:
    night = walk(ask, "2027-03-18T03:00")
    assert stops(night, "feed") == set()
    early = walk(ask, "2027-03-18T09:39")
    assert stops(early, "feed") == set()
    no = ask("done", "feed@A1", "--at", "2027-03-18T09:39")
    assert no.status == 1
    assert "no food until 24 h after the power is back" in no.err.replace("\n    ", " ")
    evening = walk(ask, "2027-03-18T18:30")
    assert stops(evening, "feed") == {"A1", "A2", "B1", "B2", "Q1"}
    half = ask("walk", "--at", "2027-03-18T18:30").flat
    assert "half the usual food to Sat 20 Mar (after the power cut)" in half
    assert "half the usual food" in ask("walk", "--at", "2027-03-20T18:30").flat
    assert "half the usual food" not in ask("walk", "--at", "2027-03-21T18:30").flat


def _ammonia_on_day_0_1_and_3(ask: Ask) -> None:
    for n, day in ((0, "2027-03-17"), (1, "2027-03-18"), (3, "2027-03-20")):
        found = steps(walk(ask, f"{day}T20:00"))
        test = found[f"ammonia-{n}"]
        assert set(test["left"]) == {"S", "B1", "B2", "Q1"}
        assert f"read {test['left'][0]} ammonia" in test["note_with"]
        for place in ("A2", "B1", "B2", "Q1"):  # A2 shares the water of S
            read(ask, f"{day}T20:10", place, "ammonia", "0", "mg/L")
        assert f"ammonia-{n}" not in steps(walk(ask, f"{day}T20:20"))
    assert not any(name.startswith("ammonia") for name in steps(walk(ask, "2027-03-19T20:00")))


def _filters_rest_to_the_seventh_day(ask: Ask) -> None:
    for day in range(17, 24):
        found = walk(ask, f"2027-03-{day}T10:00")
        assert set(held(found, "squeeze-1").values()) == {"2027-03-24"}, day
        assert stops(found, "squeeze-1") == set()
    tuesday = ask("walk", "--at", "2027-03-23T23:00").flat
    assert "filters rest 7 days after it: power cut of Wed 17 Mar 02:10, over 09:40" in tuesday
    free = walk(ask, "2027-03-24T07:30")
    assert stops(free, "squeeze-1") == {"B1-1", "B2-1", "B3-1"}
    assert held(free, "squeeze-1") == {}


def test_the_weeks_ahead_keep_filters_off_the_days_of_rest(ask: Ask) -> None:
    before = _squeezed(ask)
    assert min(before) < "2027-03-24"
    ask("trouble-begin", "power-cut", "--when", OFF, "--at", "2027-03-17T09:50")
    ask("trouble-over", "power-cut", "--when", ON, "--at", "2027-03-17T09:50")
    assert min(_squeezed(ask)) >= "2027-03-24"


def _squeezed(ask: Ask) -> list[str]:
    said = ask("ahead", "--json", "--days", "21", "--at", "2027-03-17T10:00")
    assert said.status == 0, said.err
    return [each["day"] for each in said.json["days"]
            for job in each["jobs"] if job["id"].startswith("squeeze-1@")]  # fmt: skip


def test_undo_takes_a_trouble_and_what_it_held_back(ask: Ask) -> None:
    before = walk(ask, "2027-03-17T10:00")
    ask("trouble-begin", "power-cut", "--when", OFF, "--at", "2027-03-17T10:00")
    assert walk(ask, "2027-03-17T10:00") != before
    assert ask("undo", "--at", "2027-03-17T10:00").status == 0
    assert walk(ask, "2027-03-17T10:00") == before


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("trouble-begin", "power-cut", "--when", "2027-03-17T10:01"), 1, "lies ahead"),
        (("trouble-begin", "leak", "B9"), 2, "there is no such place"),
        (("trouble-begin", "leak"), 1, "which tank is not said"),
        (("trouble-begin", "pump", "B1"), 1, "[trouble-place]"),
        (("trouble-begin", "leek", "B1"), 2, "did you mean leak?"),
        (("trouble-begin", "leak", "B2"), 1, "[trouble-open]"),
        (("trouble-over", "leak-1", "--when", "2027-03-16T08:59"), 1, "[over-before-begun]"),
        (("trouble-over", "leak-1", "--when", "2027-03-17T10:01"), 1, "[not-in-the-future]"),
        (("trouble-over", "leak-8"), 2, "did you mean leak-1?"),
        (("trouble-tick", "leak-1", "dance"), 2, "its steps: floor"),
        (("trouble", "--idle-hours", "-1"), 2, "--idle-hours"),
        (("short-day", "0"), 2, "MINUTES"),
        (("short-day", "1441"), 2, "MINUTES"),
        (("short-day", "soon"), 2, "MINUTES"),
    ],
)
def test_refusals_say_why_and_change_nothing(
    ask: Ask, words: tuple[str, ...], status: int, says: str
) -> None:
    now = "2027-03-17T10:00"
    ask("trouble-begin", "leak", "B2", "--when", "2027-03-16T09:00", "--at", now)
    before = ask("trouble", "--json", "--at", now).out, ask("journal", "--json", "--at", now).out
    said = ask(*words, "--at", now)
    assert said.status == status, said.err
    assert says in " ".join(said.err.split())
    after = ask("trouble", "--json", "--at", now).out, ask("journal", "--json", "--at", now).out
    assert after == before


def test_troubles_can_be_read_at_60_columns(ask: Ask) -> None:
    now = "2027-03-17T10:00"
    assert ask("trouble", "--at", now).flat == "No trouble is open, and none lately over."
    for sort, place in (("power-cut", "room"), ("pump", "S"), ("heater", "B1"), ("leak", "B2"),
                        ("outbreak", "A1"), ("reservoir", "R1")):  # fmt: skip
        assert ask("trouble-begin", sort, place, "--at", now).status == 0
    for words in (("trouble", "--all"), ("walk",)):
        said = ask(*words, "--at", now)
        assert said.status == 0, said.err
        assert max(map(len, said.out.splitlines())) <= 60
    found = ask("trouble", "--json", "--at", now).json
    assert {plan["sort"] for plan in found["open"]} == {
        "power-cut", "pump", "heater", "leak", "outbreak", "reservoir",
    }  # fmt: skip
    json.dumps(found, allow_nan=False)


# --- the short day --------------------------------------------------------------------------


def test_a_short_day_by_command_and_its_one_undo(ask: Ask) -> None:
    before = ask("walk", "--json").out
    would = ask("short-day", "15", "--show", "--json").json
    assert would["changed"] is False
    assert ask("walk", "--json").out == before
    done = ask("short-day", "15", "--json").json
    assert done["changed"] is True
    assert done["put_off"] == would["put_off"]
    after = ask("walk", "--json").json
    assert {each["id"] for each in after["put_off"]} == {each["id"] for each in done["put_off"]}
    assert after["minutes_needed"] <= 15
    again = ask("short-day", "15")
    assert again.status == 0
    assert "all of today's work fits" in again.flat
    assert ask("undo").status == 0
    assert ask("walk", "--json").out == before


def test_a_short_day_reads_at_60_columns_and_says_what_is_late(ask: Ask) -> None:
    said = ask("short-day", "2")
    assert said.status == 0, said.err
    assert max(map(len, said.out.splitlines())) <= 60
    assert "What must be done takes" in said.flat
    assert "days late then" in said.flat


def test_the_walk_after_a_short_day_has_the_minutes_that_were_said(ask: Ask) -> None:
    done = ask("short-day", "15", "--json").json
    walk = ask("walk", "--json").json
    assert walk["minutes_needed"] == done["kept_now_minutes"]
    assert walk["minutes_there_are"] == 15
    assert walk["minutes_there_are_known"] == "as the short day was taken"
    kept = done["kept_now_minutes"] + done["kept_later_today_minutes"]
    assert kept == pytest.approx(done["kept_minutes"])
    planned = ask("walk", "--planned", "--json").json["planned"]
    assert planned["minutes_there_are"] == 15
    assert ask("undo").status == 0
    assert ask("walk", "--json").json["minutes_there_are"] > 15


def test_what_must_not_slip_and_has_no_time_is_named_before_anything_else(ask: Ask) -> None:
    would = ask("short-day", "2", "--show", "--json").json
    named = would["no_time_though_must_not_slip"]
    assert named
    by_id = {each["id"]: each for each in would["put_off"]}
    assert all(by_id[name]["must_not_slip"] and not by_id[name]["daily"] for name in named)
    said = ask("short-day", "2", "--show")
    flat = said.flat
    assert f"No time for {len(named)} that must not slip" in flat
    for name in named:
        job, _, place = name.partition("@")
        assert place in flat.partition("Kept, in walking order")[0], job
    assert "min would hold them: give that many." in flat
    most = ask("short-day", str(would["must_not_slip_minutes"]), "--show", "--json").json
    assert most["no_time_though_must_not_slip"] == []
    assert "'roomtasks undo' and give that many" in ask("short-day", "2").flat
